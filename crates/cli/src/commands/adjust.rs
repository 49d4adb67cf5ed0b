use std::sync::Arc;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glass::ExpansionModel;
use glost_chemistry::glaze::{Glaze, NoAnalysis};
use glost_chemistry::material::Material;
use glost_chemistry::oxides::Oxide;
use glost_core::recipes::adjust::{AdjustAnswer, AdjustQuestion, AdjustTrouble, Asked, Least, adjust, sources_of};
use glost_core::recipes::aims::{Phrase, parse_phrase};
use glost_core::recipes::swap::{Comparison, Proposal};
use glost_core::rules::Rules;
use glost_page::adjust::{AdjustPage, Outcome as Shown};
use glost_page::layout::Style;
use glost_studio::{FoundGlaze, Workplace};

use glost_desk::Desk;

use crate::args::{AdjustOptions, LeastOption};
use crate::outcome::{Answer, Failure, Outcome};
use glost_desk::rulebook::{Rulebook, scene_of};
use glost_desk::trouble;

use super::adjust_fit::{self, FitAsked};

pub(super) fn run(options: &AdjustOptions, desk: &Desk, style: Style) -> Outcome {
    let workplace = desk.workplace();
    let dry = super::weight("dry", &options.dry)?;
    let found = super::glaze(workplace, &options.glaze)?;
    if let Some(ladders) = adjust_fit::ladders(options, desk, &found, style)? {
        return Ok(ladders);
    }
    let with: Vec<Arc<Material>> = options
        .with
        .iter()
        .map(|name| super::material(&found.library, "with", name))
        .collect::<Result<_, _>>()?;
    let fluxes = &found.settings.fluxes;
    let comparison = Comparison::with(&found.glaze, fluxes)
        .map_err(|bad| trouble::no_analysis(&found, &bad))?
        .ok_or_else(|| trouble::no_flux(&found))?;
    let least = match options.least {
        LeastOption::Change => Least::Change,
        LeastOption::Weights => Least::Weights,
        LeastOption::Cost => Least::Cost,
    };
    let fit = FitAsked::of(options, desk, &found)?;
    let question = AdjustQuestion {
        glaze: &found.glaze,
        fluxes,
        aims: aims(options, workplace, &found, fit.as_ref())?,
        with,
        least,
        distance_from: None,
    };
    let answer = adjust(&question).map_err(|bad| why_not(&found, bad))?;
    let worth = |glaze: &Glaze| -> Result<Proposal, Failure> {
        let proposal = comparison.propose(glaze.clone(), dry.grams(), &found.settings.scales);
        Ok(proposal
            .map_err(|bad| trouble::no_analysis(&found, &bad))?
            .ok_or_else(|| trouble::no_flux(&found))?)
    };
    let shown = match answer {
        AdjustAnswer::Possible {
            glaze,
            objective,
            certified,
            binding,
            unasked,
        } => Shown::Possible {
            proposal: Box::new(worth(&glaze)?),
            objective,
            certified,
            binding,
            unasked,
        },
        AdjustAnswer::Impossible {
            clash,
            other_clashes,
            nearest,
            misses,
            certified,
        } => Shown::Impossible {
            clash,
            other_clashes,
            nearest: nearest.map(|glaze| worth(&glaze)).transpose()?.map(Box::new),
            misses,
            certified,
        },
    };
    let fit = match &fit {
        Some(fit) => Some(fit.ways(&question, &found, &worth)?),
        None => None,
    };
    let page = AdjustPage {
        fit,
        old: &found.glaze,
        old_unity: comparison.yardstick().target(),
        shown,
        least_cost: least == Least::Cost,
        currency: found.settings.currency.clone(),
        dry_grams: dry.grams(),
        step_grams: found.settings.scales.reads_to.grams(),
        expansion: &|proposal: &Proposal| ExpansionModel::default().value(&proposal.analysis.moles),
    };
    Ok(Answer {
        text: page.text(style),
        json: page.json(),
        says_no: page.says_no(),
    })
}

/// The aims as typed values, limit sets looked up among the scripts.
fn aims(
    options: &AdjustOptions,
    workplace: &Workplace,
    found: &FoundGlaze,
    fit: Option<&FitAsked>,
) -> Result<Vec<Asked>, Failure> {
    let mut asked = Vec::new();
    let mut rules = None;
    for (index, text) in options.aims.iter().enumerate() {
        if options.aims[..index].contains(text) {
            return Err(Diagnostic::error("bad-aim", format!("the aim `{text}` is given twice")).into());
        }
        match parse_phrase(text, &found.library)? {
            Phrase::Limits(name) => {
                if rules.is_none() {
                    rules = Some(Rulebook::open(workplace, &found.settings)?.rules(scene_of(found)));
                }
                if let Some(rules) = &rules {
                    asked.push(Asked::Limits(
                        text.clone(),
                        rules.as_rules().ranges(&name, &found.glaze)?,
                    ));
                }
            }
            Phrase::Fit { .. } => asked.extend(fit.map(|fit| fit.asked(text))),
            phrase => asked.push(Asked::Phrase(phrase)),
        }
    }
    Ok(asked)
}

pub(super) fn why_not(found: &FoundGlaze, bad: AdjustTrouble) -> Diagnostic {
    match bad {
        AdjustTrouble::UnknownAnalysis(names) => trouble::no_analysis(found, &NoAnalysis::Unknown(names)),
        AdjustTrouble::NoPrice(name) => {
            Diagnostic::error("no-price", format!("`{name}` has no price: the cost can't be told"))
                .help("add `price: 1.60 EUR/kg` to it in materials/")
        }
        AdjustTrouble::NoAims => Diagnostic::error("no-aims", "adjust to what? No aim is given")
            .help("add one such as \"SiO2 >= 3.0\", or ask for --least cost"),
        AdjustTrouble::NotThere(diagnostic) => diagnostic,
        AdjustTrouble::NoSource { aim, oxides } => no_source(found, &aim, &oxides),
        AdjustTrouble::NothingToHold { aim, there } => {
            let there: Vec<&str> = there.into_iter().map(Oxide::formula).collect();
            Diagnostic::error(
                "nothing-to-hold",
                format!("`{aim}`: {} has none of it", found.glaze.name),
            )
            .help(format!("it has {}", there.join(", ")))
        }
        AdjustTrouble::NoFlux => trouble::no_flux(found),
        AdjustTrouble::Unsolvable(_) => {
            Diagnostic::error("unsolvable", "the amounts in this recipe are beyond what can be solved")
                .help("look for a figure that is thousands of times too large or too small")
        }
    }
}

/// Nobody in sight brings what an aim wants: who could.
fn no_source(found: &FoundGlaze, aim: &str, oxides: &[Oxide]) -> Diagnostic {
    let wanted: Vec<&str> = oxides.iter().map(|oxide| oxide.formula()).collect();
    let error = Diagnostic::error(
        "no-source",
        format!("`{aim}`: no material here brings {}", wanted.join(" or ")),
    );
    let could: Vec<String> = sources_of(oxides, &found.library)
        .iter()
        .map(|material| format!("--with \"{}\"", material.name))
        .collect();
    if could.is_empty() {
        error.help("nothing in materials/ does; describe one there")
    } else {
        error.help(format!("add {}", could.join(" or ")))
    }
}
