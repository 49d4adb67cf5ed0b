use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, suggestion};
use glost_chemistry::glaze::{Additions, FiredChemistry, IronCount, USES};
use glost_chemistry::oxides::Oxide;
use glost_page::check::{CheckPage, IronReading};
use glost_page::layout::Style;
use glost_script::{Checked, Kind, Scene, Script, Suits};
use glost_studio::{FoundGlaze, Workplace};

use crate::args::CheckOptions;
use crate::outcome::{Answer, Failure, Outcome};
use glost_desk::rulebook::{Rulebook, scene};

use glost_desk::Desk;
use glost_desk::pieces::Pieces;

pub(super) fn run(options: &CheckOptions, desk: &Desk, style: Style) -> Outcome {
    let workplace = desk.workplace();
    let usage = usage(options.usage.as_deref())?;
    let found = super::glaze(workplace, options.glaze.as_deref().unwrap_or_default())?;
    let clay = options.clay.as_deref().or(found.glaze.about.clay.as_deref());
    let notebook = Pieces::that_speak(desk, &found, clay)?;
    let clay = match (clay, &options.clay) {
        (Some(name), Some(_)) => Some(workplace.clay(name)?.clay),
        // A clay that only the recipe names may have no file: nothing is lost.
        (Some(name), None) => workplace.clay(name).ok().map(|found| found.clay),
        (None, _) => None,
    };
    let book = Rulebook::open(workplace, &found.settings)?;
    let glaze = Arc::new(found.glaze.clone());
    let asked = usage.clone().or_else(|| glaze.about.usage.clone());
    let scene = scene(&found.library, &found.settings.fluxes, &found.origin, clay, usage);
    let scene = book.with_limits(Arc::new(Scene {
        notebook: notebook.map(Arc::new),
        ..Scene::clone(&scene)
    }));
    let mut scripts = scripts(options, workplace, &book, asked.as_deref(), &scene)?;
    let mut not_for_this: Vec<Arc<Script>> = Vec::new();
    let mut limits: Option<Vec<String>> = None;
    if options.script.is_empty() {
        (scripts, not_for_this) = scripts
            .into_iter()
            .partition(|script| script.about.suits(&glaze.about) == Suits::Yes);
        let of_limits = scripts.iter().filter(|script| script.about.kind == Kind::Limits);
        limits = Some(of_limits.map(|script| script.name.clone()).collect());
    }
    let mut checked = Checked::default();
    for script in &scripts {
        let settings = book.settings_of(script, &options.set)?;
        let one = script.check(&glaze, &scene, &settings)?;
        // Limits without a range for this glaze have nothing to say unless they were named.
        let says_nothing = options.script.is_empty()
            && script.about.kind == Kind::Limits
            && script
                .limits(&glaze, &scene, &settings)
                .is_ok_and(|set| set.ranges.is_empty());
        if says_nothing {
            not_for_this.push(script.clone());
            continue;
        }
        checked.findings.extend(one.findings);
        checked.printed.extend(one.printed);
    }
    for line in &checked.printed {
        crate::complain(&format!("{line}\n"));
    }
    let page = CheckPage {
        glaze: &glaze.name,
        findings: &checked.findings,
        usage: asked.as_deref(),
        looked_at_pieces: scene.notebook.is_some() && scripts.iter().any(|script| script.about.needs_pieces),
        limits,
        not_for_this: not_for_this
            .iter()
            .map(|script| (script.name.clone(), script.about.meant_for()))
            .collect(),
        iron: iron(&found)?,
        ran: scripts.iter().map(|script| script.name.clone()).collect(),
    };
    Ok(Answer {
        text: page.text(style),
        json: page.json(),
        says_no: page.worst().says_no(),
    })
}

/// The glaze with its iron as FeO, where its firing leaves that open.
fn iron(found: &FoundGlaze) -> Result<Option<IronReading>, Failure> {
    // A glaze whose analysis nobody tells has no reading: its checks say so.
    let Ok(analysis) = FiredChemistry::of(&found.glaze, &found.settings.fluxes, Additions::In) else {
        return Ok(None);
    };
    if !super::unity::hangs_on_iron(found, &analysis.moles) {
        return Ok(None);
    }
    let as_feo = found.settings.fluxes.clone().with_iron(IronCount::FEO);
    Ok(as_feo.unity(&analysis.moles).map(|unity| IronReading {
        silica: unity.get(Oxide::SiO2),
        alumina: unity.get(Oxide::Al2O3),
        feo: 2.0 * unity.get(Oxide::Fe2O3),
    }))
}

pub(super) fn usage(asked: Option<&str>) -> Result<Option<String>, Diagnostic> {
    match asked {
        Some(word) if !USES.contains(&word) => Err(Diagnostic::error(
            "unknown-word",
            format!("--use: `{word}` is not a use"),
        )
        .maybe_help(suggestion(word, USES))),
        other => Ok(other.map(str::to_owned)),
    }
}

/// The scripts asked for, else every check that says it applies and every limits script that
/// names its cones.
pub(super) fn scripts(
    options: &CheckOptions,
    workplace: &Workplace,
    book: &Rulebook,
    usage: Option<&str>,
    scene: &Scene,
) -> Result<Vec<Arc<Script>>, Failure> {
    if !options.script.is_empty() {
        let found: Result<Vec<_>, _> = options.script.iter().map(|name| book.script(workplace, name)).collect();
        return Ok(found?);
    }
    if !options.set.is_empty() {
        let error = Diagnostic::error("bad-option", "--set needs the --script whose option it sets");
        return Err(error.help("or set it for good in studio.yaml under `scripts:`").into());
    }
    let checks = book.store.of_kind(Kind::Check)?;
    let limits = book.store.of_kind(Kind::Limits)?;
    let limits = limits.into_iter().filter(|script| script.about.cones.is_some());
    Ok(checks
        .into_iter()
        .chain(limits)
        .filter(|script| script.applies_to(usage, scene))
        .collect())
}
