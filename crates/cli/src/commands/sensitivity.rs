use std::sync::Arc;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::Analysis;
use glost_chemistry::material::Material;
use glost_chemistry::quantity::parse_number;
use glost_core::recipes::sensitivity::{doubts, sensitivity};
use glost_page::layout::Style;
use glost_page::sensitivity::SensitivityPage;
use glost_studio::{FoundGlaze, Workplace};

use crate::args::SensitivityOptions;
use crate::outcome::{Answer, Outcome};
use glost_desk::trouble;

/// Steps that still are steps, parts on 100 of base.
const STEPS: std::ops::RangeInclusive<f64> = 0.01..=50.0;

pub(super) fn run(options: &SensitivityOptions, workplace: &Workplace, style: Style) -> Outcome {
    let step = step(&options.step)?;
    let dry = super::weight("dry", &options.dry)?;
    let found = super::glaze(workplace, &options.glaze)?;
    let scales = super::scales(options.scales.as_deref(), found.settings.scales)?;
    let newcomers = newcomers(options, &found)?;
    let fluxes = &found.settings.fluxes;
    let no_analysis = |bad| trouble::no_analysis(&found, &bad);
    let analysis = Analysis::of(&found.glaze, fluxes, glost_chemistry::glaze::Additions::In).map_err(no_analysis)?;
    let steps = sensitivity(&found.glaze, fluxes, step, &newcomers).map_err(no_analysis)?;
    let doubts = doubts(&found.glaze, fluxes, scales.reads_to.grams(), dry.grams()).map_err(no_analysis)?;
    let page = SensitivityPage {
        glaze: &found.glaze.name,
        sensitivity: &steps,
        doubts: &doubts,
        dry_grams: dry.grams(),
        step_grams: scales.reads_to.grams(),
        assumptions: &analysis.assumptions,
    };
    Ok(Answer::yes(page.text(style), page.json()))
}

fn step(text: &str) -> Result<f64, Diagnostic> {
    let bare = text.trim().trim_end_matches("parts").trim_end_matches("part").trim();
    let value = parse_number(bare.trim_start_matches('+'))
        .map_err(|bad| trouble::option("step", bad))?
        .value;
    if STEPS.contains(&value.abs()) {
        return Ok(value);
    }
    Err(
        Diagnostic::error("bad-option", format!("--step: `{text}` is no step to look at"))
            .help("it is in parts on 100 of base, from 0.01 to 50; less with a minus: --step \"-2\""),
    )
}

fn newcomers(options: &SensitivityOptions, found: &FoundGlaze) -> Result<Vec<Arc<Material>>, Diagnostic> {
    let mut newcomers: Vec<Arc<Material>> = Vec::new();
    for name in &options.with {
        let material = super::material(&found.library, "with", name)?;
        if material.fired.is_none() {
            let message = format!(
                "--with: nobody tells what is in `{}`: its effect can't be computed",
                material.name
            );
            return Err(Diagnostic::error("unknown-analysis", message)
                .help("its effect can be seen: `glost blend series` makes a ladder of it, tile by tile"));
        }
        if !newcomers.iter().any(|other| Arc::ptr_eq(other, &material)) {
            newcomers.push(material);
        }
    }
    Ok(newcomers)
}
