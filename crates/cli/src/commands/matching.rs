use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, Mark, Source, suggestion};
use glost_chemistry::glaze::{Additions, Analysis, FluxList};
use glost_chemistry::material::{Library, Material};
use glost_chemistry::oxides::{Oxide, OxideMoles};
use glost_chemistry::quantity::parse_number;
use glost_core::recipes::swap::{Comparison, MatchQuestion, Proposal, SwapTrouble, match_target};
use glost_core::studio::StudioSettings;
use glost_page::layout::Style;
use glost_page::matching::MatchPage;
use glost_studio::Workplace;

use crate::args::MatchOptions;
use crate::outcome::{Answer, Failure, Outcome};
use glost_desk::trouble;

/// What is to be met, and whose materials and settings serve.
struct Target {
    name: String,
    unity: OxideMoles,
    library: Arc<Library>,
    settings: Arc<StudioSettings>,
}

pub(super) fn run(options: &MatchOptions, workplace: &Workplace, style: Style) -> Outcome {
    let dry = super::weight("dry", &options.dry)?;
    if options.show == 0 || options.at_most == Some(0) {
        return Err(Diagnostic::error("bad-option", "--show and --at-most are 1 at least").into());
    }
    let target = target(options, workplace)?;
    let with: Vec<Arc<Material>> = options
        .with
        .iter()
        .map(|name| super::material(&target.library, "with", name))
        .collect::<Result<_, _>>()?;
    let left_out: Vec<String> = with
        .iter()
        .filter(|material| material.fired.as_ref().is_none_or(|fired| fired.oxides.total() <= 0.0))
        .map(|material| material.name.clone())
        .collect();
    let question = MatchQuestion {
        target: &target.unity,
        fluxes: &target.settings.fluxes,
        with,
        at_most: options.at_most,
        show: options.show,
        name: target.name.clone(),
    };
    let found = match_target(&question).map_err(|bad| nothing(&bad))?;
    let comparison = Comparison::with_target(&target.unity, &target.settings.fluxes);
    let scales = &target.settings.scales;
    let proposals: Vec<Proposal> = found
        .into_iter()
        .filter_map(|candidate| comparison.propose(candidate.glaze, dry.grams(), scales).ok().flatten())
        .collect();
    let page = MatchPage {
        target: &target.name,
        target_unity: &target.unity,
        proposals,
        left_out,
        dry_grams: dry.grams(),
        step_grams: scales.reads_to.grams(),
    };
    Ok(Answer {
        text: page.text(style),
        json: page.json(),
        says_no: page.says_no(),
    })
}

fn nothing(bad: &SwapTrouble) -> Diagnostic {
    match bad {
        SwapTrouble::NothingToSwapTo => Diagnostic::error(
            "nothing-to-match-with",
            "none of these materials has oxides to match with",
        )
        .help("name materials with a known analysis"),
        _ => Diagnostic::error("unsolvable", "these amounts are beyond what can be solved"),
    }
}

fn target(options: &MatchOptions, workplace: &Workplace) -> Result<Target, Failure> {
    if let Some(formula) = &options.unity {
        let settings = workplace.settings().clone();
        let unity = unity(formula, &settings.fluxes)?;
        return Ok(Target {
            name: "the unity formula".to_owned(),
            unity,
            library: workplace.library().clone(),
            settings,
        });
    }
    let name = options.glaze.as_deref().unwrap_or_default();
    let found = super::glaze(workplace, name)?;
    let analysis = Analysis::of(&found.glaze, &found.settings.fluxes, Additions::In)
        .map_err(|bad| trouble::no_analysis(&found, &bad))?;
    let unity = analysis.unity.ok_or_else(|| trouble::no_flux(&found))?;
    Ok(Target {
        name: found.glaze.name.clone(),
        unity,
        library: found.library,
        settings: found.settings,
    })
}

/// A unity formula as typed: oxides with moles, in any scale.
fn unity(text: &str, fluxes: &FluxList) -> Result<OxideMoles, Diagnostic> {
    let source = Source::from_text("--unity", text);
    let wrong = |part: &str, message: String| {
        let at = text.find(part).unwrap_or(0);
        let column = text.get(..at).unwrap_or_default().chars().count() + 1;
        Diagnostic::error("bad-unity", message).at(&source, Mark { line: 1, column }, part.chars().count())
    };
    let mut pairs: Vec<(Oxide, f64)> = Vec::new();
    for part in text.split([',', ';']).map(str::trim).filter(|part| !part.is_empty()) {
        let Some((name, amount)) = part.split_once([' ', ':', '=']) else {
            return Err(wrong(part, format!("`{part}` has no amount"))
                .help("write it such as \"K2O 0.3, CaO 0.7, Al2O3 0.5, SiO2 4\""));
        };
        let name = name.trim();
        let oxide = Oxide::from_formula(name).ok_or_else(|| {
            wrong(name, format!("`{name}` is no oxide that Glost knows"))
                .maybe_help(suggestion(name, Oxide::ALL.map(Oxide::formula)))
        })?;
        let amount = amount.trim();
        let moles = parse_number(amount)
            .map_err(|bad| wrong(amount, bad.message).maybe_help(bad.help))?
            .value;
        if !(0.0..=1e6).contains(&moles) {
            return Err(wrong(amount, format!("{moles} mol of {oxide} can't be")));
        }
        if pairs.iter().any(|pair| pair.0 == oxide) {
            return Err(wrong(name, format!("`{oxide}` is given twice")));
        }
        pairs.push((oxide, moles));
    }
    let moles = OxideMoles::new(pairs).unwrap_or_default();
    fluxes.unity(&moles).ok_or_else(|| {
        wrong(text, "the target has no flux".to_owned()).help("give its fluxes too: K2O, Na2O, CaO, MgO ...")
    })
}
