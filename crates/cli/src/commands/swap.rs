use std::sync::Arc;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::Glaze;
use glost_chemistry::material::Material;
use glost_core::recipes::swap::{Comparison, Proposal, alkali_split, one_for_one};
use glost_page::layout::Style;
use glost_page::swap::SwapPage;
use glost_script::Request;
use glost_studio::{FoundGlaze, Workplace};

use crate::args::SwapOptions;
use crate::outcome::{Answer, Failure, Outcome};
use crate::rulebook::{Rulebook, scene_of};
use crate::trouble;

/// Proposals or newcomers that can be asked for at most.
const MOST_ASKED: usize = 100;

pub(super) fn run(options: &SwapOptions, workplace: &Workplace, style: Style) -> Outcome {
    let dry = super::weight("dry", &options.dry)?;
    if !(1..=MOST_ASKED).contains(&options.show) {
        return Err(Diagnostic::error("bad-option", format!("--show: from 1 to {MOST_ASKED} proposals")).into());
    }
    if options.at_most.is_some_and(|most| most > MOST_ASKED) {
        return Err(Diagnostic::error("bad-option", format!("--at-most: up to {MOST_ASKED} newcomers")).into());
    }
    let found = super::glaze(workplace, &options.glaze)?;
    let library = &found.library;
    let named = |option: &str, names: &[String]| -> Result<Vec<Arc<Material>>, Diagnostic> {
        let mut materials: Vec<Arc<Material>> = Vec::new();
        for name in names {
            let material = super::material(library, option, name)?;
            if !materials.iter().any(|known| known.name == material.name) {
                materials.push(material);
            }
        }
        Ok(materials)
    };
    let (out, with) = (named("out", &options.out)?, named("with", &options.with)?);
    if let Some(absent) = out.iter().find(|material| !found.glaze.holds(material)) {
        return Err(trouble::not_in_recipe(&found, &absent.name).into());
    }
    can_come_in(&with, &out)?;
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
    // A recipe without flux has no unity formula to set beside the old one: it is no proposal.
    let worth = |glaze: &Glaze| -> Result<Option<Proposal>, Failure> {
        let proposal = comparison.propose(glaze.clone(), dry.grams(), scales);
        Ok(proposal.map_err(|bad| trouble::no_analysis(&found, &bad))?)
    };
    let mut proposals: Vec<Proposal> = Vec::new();
    for recipe in &recipes {
        proposals.extend(worth(recipe)?);
    }
    if proposals.is_empty() {
        return Err(trouble::no_flux_left(&found).into());
    }
    let mut beside = Vec::new();
    for newcomer in single_newcomers(&proposals, &with) {
        if let [gone] = out.as_slice() {
            let plain = worth(&one_for_one(&found.glaze, gone, &newcomer))?;
            beside.extend(plain.map(|plain| (newcomer.name.clone(), plain)));
        }
    }
    let split = match out.as_slice() {
        [gone] => alkali_split(gone, &single_newcomers(&proposals, &with)),
        _ => None,
    };
    let page = SwapPage {
        split,
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

/// Newcomers that are named must be there and known.
fn can_come_in(with: &[Arc<Material>], out: &[Arc<Material>]) -> Result<(), Diagnostic> {
    if let Some(gone) = with
        .iter()
        .find(|material| out.iter().any(|out| out.name == material.name))
    {
        let message = format!("--with: `{}` can't come in, it is what --out takes away", gone.name);
        return Err(Diagnostic::error("not-a-newcomer", message).help("name another material"));
    }
    if let Some(unknown) = with.iter().find(|material| material.fired.is_none()) {
        let message = format!(
            "--with: nobody tells what is in `{}`, so nothing can be worked out with it",
            unknown.name
        );
        return Err(Diagnostic::error("unknown-analysis", message)
            .help("with an analysis from its maker in materials/ it can be; or blend it in and judge by results"));
    }
    Ok(())
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
    let nothing = || Failure::from(trouble::nothing_to_swap_to(found, !with.is_empty()));
    let scene = book.with_limits(scene_of(found));
    match script.swap(&Arc::new(found.glaze.clone()), request, &scene, &settings) {
        Ok(recipes) if recipes.is_empty() => Err(nothing()),
        Ok(recipes) => Ok(recipes),
        // The engine's answer to the script is the user's answer too, not a fault in the script.
        Err(failure) if failure.diagnostic.code == "nothing-to-swap-to" => Err(nothing()),
        Err(mut failure) if failure.diagnostic.code == "too-many-sets" => {
            failure.diagnostic.place = None;
            Err(failure.into())
        }
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
