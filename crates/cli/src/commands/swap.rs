use std::sync::Arc;

use glost_core::diagnostic::Diagnostic;
use glost_core::glaze::Glaze;
use glost_core::material::Material;
use glost_core::swap::{Comparison, Proposal, one_for_one};
use glost_page::layout::Style;
use glost_page::swap::SwapPage;
use glost_script::Request;
use glost_studio::{FoundGlaze, Workplace};

use crate::args::SwapOptions;
use crate::outcome::{Answer, Failure, Outcome};
use crate::rulebook::{Rulebook, scene_of};
use crate::trouble;

pub(super) fn run(options: &SwapOptions, workplace: &Workplace, style: Style) -> Outcome {
    let dry = super::weight("dry", &options.dry)?;
    if options.show == 0 {
        return Err(Diagnostic::error("bad-option", "--show: at least 1 proposal").into());
    }
    let found = super::glaze(workplace, &options.glaze)?;
    let library = &found.library;
    let named = |option: &str, names: &[String]| -> Result<Vec<Arc<Material>>, Diagnostic> {
        names
            .iter()
            .map(|name| super::material(library, option, name))
            .collect()
    };
    let (out, with) = (named("out", &options.out)?, named("with", &options.with)?);
    if let Some(absent) = out.iter().find(|material| !found.glaze.holds(material)) {
        return Err(trouble::not_in_recipe(&found, &absent.name).into());
    }
    let fluxes = &found.settings.fluxes;
    let comparison = Comparison::with(&found.glaze, fluxes)
        .map_err(|bad| trouble::no_analysis(&found, &bad))?
        .ok_or_else(|| trouble::no_flux(&found))?;
    let recipes = match recipes(options, workplace, &found, &out, &with) {
        Err(Failure::Wrong(why)) if why.first().is_some_and(|first| first.code == "no-recipe") => {
            let names: Vec<&str> = out.iter().map(|material| material.name.as_str()).collect();
            return Ok(Answer {
                text: glost_page::swap::no_recipe_text(&found.glaze.name, &names, &why[0].message, style),
                json: glost_page::swap::no_recipe_json(&names, &why[0].message),
                says_no: true,
            });
        }
        other => other?,
    };
    let scales = &found.settings.scales;
    let worth = |glaze: &Glaze| -> Result<Proposal, Failure> {
        let proposal = comparison.propose(glaze.clone(), dry.grams(), scales);
        Ok(proposal
            .map_err(|bad| trouble::no_analysis(&found, &bad))?
            .ok_or_else(|| trouble::no_flux(&found))?)
    };
    let proposals: Vec<Proposal> = recipes.iter().map(|recipe| worth(recipe)).collect::<Result<_, _>>()?;
    let mut beside = Vec::new();
    for newcomer in single_newcomers(&proposals, &with) {
        if let [gone] = out.as_slice() {
            beside.push((
                newcomer.name.clone(),
                worth(&one_for_one(&found.glaze, gone, &newcomer))?,
            ));
        }
    }
    let page = SwapPage {
        old: &found.glaze,
        old_unity: comparison.yardstick().target(),
        out: out.iter().map(|material| material.name.clone()).collect(),
        proposals,
        one_for_one: beside,
        dry_grams: dry.grams(),
        step_grams: scales.reads_to.grams(),
        named: !with.is_empty(),
    };
    Ok(Answer {
        text: page.text(style),
        json: page.json(),
        says_no: page.says_no(),
    })
}

/// The recipes that the swap script proposes.
fn recipes(
    options: &SwapOptions,
    workplace: &Workplace,
    found: &FoundGlaze,
    out: &[Arc<Material>],
    with: &[Arc<Material>],
) -> Result<Vec<Arc<Glaze>>, Failure> {
    let book = Rulebook::open(workplace, &found.settings)?;
    let script = book.script(workplace, &options.script)?;
    let settings = book.settings_of(&script, &options.set)?;
    let request = Request {
        out: out.to_vec(),
        with: with.to_vec(),
        at_most: options.at_most,
        show: options.show,
        ..Request::default()
    };
    let nothing = || Failure::from(trouble::nothing_to_swap_to(found));
    let scene = book.with_limits(scene_of(found));
    match script.swap(&Arc::new(found.glaze.clone()), request, &scene, &settings) {
        Ok(recipes) if recipes.is_empty() => Err(nothing()),
        Ok(recipes) => Ok(recipes),
        // The engine's answer to the script is the user's answer too, not a fault in the script.
        Err(failure) if failure.diagnostic.code == "nothing-to-swap-to" => Err(nothing()),
        Err(failure) => Err(failure.into()),
    }
}

/// Newcomers to show one for one: the named ones, else those proposed.
fn single_newcomers(proposals: &[Proposal], with: &[Arc<Material>]) -> Vec<Arc<Material>> {
    let mut found: Vec<Arc<Material>> = Vec::new();
    let proposed = proposals.iter().flat_map(|proposal| &proposal.newcomers);
    for material in proposed.chain(with) {
        if !found.iter().any(|known| known.name == material.name) {
            found.push(material.clone());
        }
    }
    found
}
