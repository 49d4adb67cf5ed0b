//! Sums by hand end where the engine ends, and every line adds up.

#[allow(dead_code, reason = "other laws use the rest of it")]
mod invented;

use glost_chemistry::glaze::{Additions, Analysis, FluxList, Glaze, IronCount};
use glost_chemistry::oxides::Oxide;
use glost_desk::by_hand::UnitySteps;
use invented::{alike, for_all, invented, shelf};
use proptest::test_runner::TestCaseError;

/// Rounding of double precision, with room for a sum of a few dozen terms.
const EXACT: f64 = 1e-12;

/// Each line from the line before it, and the last equal to the engine's formula.
fn adds_up(glaze: &Glaze, fluxes: &FluxList, additions: Additions) -> Result<(), TestCaseError> {
    let steps = UnitySteps::of(glaze, fluxes, additions);
    let engine = Analysis::of(glaze, fluxes, additions).map_err(|why| TestCaseError::fail(format!("{why:?}")))?;
    for line in steps.materials.iter().flat_map(|material| {
        let percent = material.percent;
        material.oxides.iter().map(move |line| (percent, line))
    }) {
        let (percent, oxide) = line;
        alike(&[percent * oxide.percent_of_material / 100.0], &[oxide.grams], EXACT)?;
    }
    let mut flux = 0.0;
    for step in &steps.oxides {
        let brought = steps.materials.iter().flat_map(|material| &material.oxides);
        let grams: f64 = brought
            .filter(|line| line.oxide == step.oxide)
            .map(|line| line.grams)
            .sum();
        alike(&[grams], &[step.grams], EXACT)?;
        alike(&[step.grams], &[engine.grams.get(step.oxide)], EXACT)?;
        alike(&[step.grams / step.grams_per_mole], &[step.moles], EXACT)?;
        alike(&[step.moles], &[engine.moles.get(step.oxide)], EXACT)?;
        flux += step.moles * step.counts_as_flux;
    }
    alike(&[flux], &[steps.flux_moles], EXACT)?;
    let of = |amounts: &Option<glost_chemistry::oxides::OxideMoles>| {
        amounts
            .as_ref()
            .map_or_else(Vec::new, |amounts| amounts.as_slice().to_vec())
    };
    alike(&of(&steps.unity()), &of(&engine.unity), EXACT)
}

#[test]
fn unity_by_hand_is_the_engine_s_for_random_recipes() {
    let own = FluxList::new(vec![Oxide::Na2O, Oxide::K2O, Oxide::CaO, Oxide::MgO, Oxide::B2O3]).unwrap();
    let lists = [FluxList::default(), FluxList::default().with_iron(IronCount::FEO), own];
    for_all(256, invented(), |recipe| {
        let glaze = recipe.glaze(&shelf(&recipe.sheets));
        for fluxes in &lists {
            adds_up(&glaze, fluxes, Additions::In)?;
            adds_up(&glaze, fluxes, Additions::Out)?;
        }
        Ok(())
    });
}

#[test]
fn unity_by_hand_is_the_engine_s_for_the_example_s_glazes() {
    let outer = tempfile::tempdir().unwrap();
    let studio = outer.path().join("studio");
    glost_studio::init(&studio, true).unwrap();
    let place = glost_desk::Place {
        studio: Some(studio.clone()),
        materials: Vec::new(),
        here: studio,
    };
    let today = || Ok(glost_chemistry::quantity::Date::parse("2026-11-25").unwrap());
    let desk = glost_desk::Desk::open(place, today).unwrap();
    let (glazes, complaints) = desk.workplace().all_glazes();
    assert!(complaints.is_empty(), "{complaints:?}");
    let mut held = 0;
    for found in &glazes {
        // A bought powder has no analysis, so no sum.
        if Analysis::of(&found.glaze, &found.settings.fluxes, Additions::In).is_ok() {
            adds_up(&found.glaze, &found.settings.fluxes, Additions::In).unwrap();
            held += 1;
        }
    }
    assert!(held >= 6, "{held} of {}", glazes.len());
}
