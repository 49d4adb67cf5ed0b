use std::sync::Arc;

use glost_core::blend::{PlanOrder, codes, plan};
use glost_core::diagnostic::{Diagnostic, suggestion};
use glost_core::glaze::Glaze;
use glost_core::quantity::{Millilitres, parse_number};
use glost_page::blend::BlendPage;
use glost_page::layout::Style;
use glost_script::{Kind, Request, Script};
use glost_studio::{FoundGlaze, Workplace};

use crate::args::BlendOptions;
use crate::outcome::{Answer, Failure, Outcome};
use crate::rulebook::{Rulebook, scene_of};
use crate::trouble;

/// Density in g/ml of a slurry where none is said.
const USUAL_DENSITY: f64 = 1.45;

pub(super) fn run(options: &BlendOptions, workplace: &Workplace, style: Style) -> Outcome {
    let dry = super::weight("dry", &options.dry)?;
    let density = options.density.as_deref().map(density).transpose()?;
    let ends: Vec<FoundGlaze> = options
        .ends
        .iter()
        .map(|end| Ok(workplace.glaze(end)?))
        .collect::<Result<_, Failure>>()?;
    if let Some(notice) = workplace.notice() {
        crate::complain(&format!("{notice}\n"));
    }
    let Some(first) = ends.first() else {
        return Err(Diagnostic::error("bad-call", "a blend needs glazes at its ends").into());
    };
    let volume = options
        .volume
        .as_deref()
        .map(|text| volume(text, first.settings.cup))
        .transpose()?;
    let book = Rulebook::open(workplace, &first.settings)?;
    let script = script(options, workplace, &book)?;
    let settings = book.settings_of(&script, &options.set)?;
    let glazes: Vec<Arc<Glaze>> = ends.iter().map(|end| Arc::new(end.glaze.clone())).collect();
    let scene = book.with_limits(scene_of(first));
    let request = Request {
        steps: options.steps,
        ..Request::default()
    };
    let tiles = script.blend(&glazes, request, &scene, &settings)?;
    let row = codes(&[tiles.len()]);
    let order = PlanOrder {
        kind: options.kind.clone(),
        ends: ends.iter().map(|end| end.glaze.clone()).collect(),
        tiles: tiles
            .into_iter()
            .zip(row)
            .map(|(tile, code)| (tile.code.unwrap_or(code), tile.shares))
            .collect(),
        dry_grams: dry.grams(),
        volume_millilitres: volume.map(Millilitres::millilitres),
        slurry_grams_per_millilitre: density.unwrap_or(USUAL_DENSITY),
        fluxes: &first.settings.fluxes,
        scales: first.settings.scales,
    };
    let rules = book.rules(scene);
    let plan = plan(&order, Some(&rules.as_rules()));
    let page = BlendPage {
        plan: &plan,
        dry_grams: dry.grams(),
        volume_millilitres: order.volume_millilitres,
        density: volume.map(|_| order.slurry_grams_per_millilitre),
        step_grams: first.settings.scales.reads_to.grams(),
    };
    Ok(Answer::yes(page.text(style), page.json()))
}

fn script(options: &BlendOptions, workplace: &Workplace, book: &Rulebook) -> Result<Arc<Script>, Failure> {
    if let Some(name) = &options.script {
        return Ok(book.script(workplace, name)?);
    }
    let name = format!("blend/{}", options.kind);
    if let Ok(script) = book.store.find(&name) {
        return Ok(script);
    }
    let designs: Vec<String> = book
        .store
        .of_kind(Kind::Blend)?
        .iter()
        .map(|script| script.name.trim_start_matches("blend/").to_owned())
        .collect();
    // A design that does not load says why; one that is not there, what is.
    let message = format!("no blend is called `{}`", options.kind);
    let mut error = Diagnostic::error("unknown-design", message)
        .maybe_help(suggestion(&options.kind, designs.iter().map(String::as_str)));
    if book.store.names().contains(&name.as_str())
        && let Err(why) = book.store.find(&name)
    {
        error = why;
    }
    Err(error.into())
}

fn volume(text: &str, cup: Millilitres) -> Result<Millilitres, Diagnostic> {
    let volume = Millilitres::parse(text, cup).map_err(|bad| trouble::option("volume", bad))?;
    if volume.millilitres() <= 0.0 {
        return Err(Diagnostic::error(
            "bad-option",
            format!("--volume: `{text}` is nothing"),
        ));
    }
    Ok(volume)
}

fn density(text: &str) -> Result<f64, Diagnostic> {
    let density = parse_number(text).map_err(|bad| trouble::option("density", bad))?.value;
    if !(1.05..=2.2).contains(&density) {
        return Err(
            Diagnostic::error("bad-option", format!("--density: {text} g/ml is no glaze slurry"))
                .help("between 1.05 and 2.2; most are 1.3 to 1.7, water is 1.0"),
        );
    }
    Ok(density)
}
