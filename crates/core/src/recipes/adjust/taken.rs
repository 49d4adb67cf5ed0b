//! Aims as they were asked, taken as bounds: what `keep`, `hold` and `colour` mean
//! for this glaze.

use std::sync::Arc;

use crate::recipes::aims::{Aim, MeltAsked, Phrase, Quantity, aims_of_limits};
use crate::rules::Subject;
use glost_chemistry::diagnostic::{Diagnostic, of_typed};
use glost_chemistry::distance::ChemistryDistance;
use glost_chemistry::glaze::{Glaze, Portion};
use glost_chemistry::material::{Kind, Material};
use glost_chemistry::oxides::{Oxide, OxideMoles};
use glost_chemistry::quantity::Cone;

use super::melted::{self, Relaxed};
use super::question::{AdjustQuestion, Asked};
use super::rows;
use super::space::Space;
use super::trouble::AdjustTrouble;

/// Oxides that colour a glaze (titania whitens and breaks: no colour here).
const COLOURS: [Oxide; 7] = [
    Oxide::Fe2O3,
    Oxide::MnO,
    Oxide::CoO,
    Oxide::CuO,
    Oxide::Cr2O3,
    Oxide::NiO,
    Oxide::V2O5,
];

/// Phrases as typed, and aims with the number of the phrase that each came from.
pub(super) struct Taken {
    pub phrases: Vec<String>,
    pub aims: Vec<(usize, Aim)>,
    /// Rows that give way to a melt aim.
    pub relaxed: Relaxed,
}

/// Frit that an aim on the melt may bring a base to, per cent (common practice, no source).
const MOST_FRIT_PERCENT: f64 = 40.0;
/// B2O3 that an aim on a cone from 6 up may bring a glaze to, in the unity formula (the same).
const MOST_BORON: f64 = 0.35;

/// Takes all aims of a question.
pub(super) fn take(question: &AdjustQuestion<'_>, old: &OxideMoles) -> Result<Taken, AdjustTrouble> {
    let held = ChemistryDistance::new(old, question.fluxes);
    let mut taken = Taken {
        phrases: Vec::new(),
        aims: Vec::new(),
        relaxed: Relaxed::default(),
    };
    for asked in &question.aims {
        let number = taken.phrases.len();
        let (phrase, aims) = match asked {
            Asked::Limits(phrase, set) => (phrase.clone(), aims_of_limits(set, phrase, old, question.fluxes)),
            Asked::Fit { phrase, low, high } => {
                let aim = Aim {
                    phrase: phrase.clone(),
                    quantity: Quantity::Expansion,
                    low: *low,
                    high: *high,
                    wanted: None,
                };
                (phrase.clone(), vec![aim])
            }
            Asked::Phrase(Phrase::Melt { phrase, asked }) => {
                let melted = melted::read(phrase, *asked, &question.glaze.about, old)?;
                taken.relaxed.by_boron |= melted.by_boron;
                taken.relaxed.in_step |= melted.in_step;
                let mut aims = melted.aims;
                if !matches!(asked, MeltAsked::Same) {
                    aims.extend(within_reason(phrase, *asked, question, &held));
                }
                (phrase.clone(), aims)
            }
            Asked::Phrase(phrase) => meant(phrase, question.glaze, &held)?,
        };
        taken.phrases.push(phrase);
        taken.aims.extend(aims.into_iter().map(|aim| (number, aim)));
    }
    Ok(taken)
}

/// What bounds the means of a melt aim: colours stay, and frit and boron have a measure.
fn within_reason(phrase: &str, asked: MeltAsked, question: &AdjustQuestion<'_>, held: &ChemistryDistance) -> Vec<Aim> {
    let old = held.target();
    let there = COLOURS.into_iter().filter(|&oxide| old.get(oxide) > 0.0);
    let mut aims: Vec<Aim> = there.map(|oxide| near(phrase, oxide, old.get(oxide), held)).collect();
    let base = question.glaze.base.iter().map(|portion| &portion.material);
    let mut frits: Vec<Arc<Material>> = Vec::new();
    for material in base
        .chain(&question.with)
        .filter(|material| material.kind == Kind::Frit)
    {
        if !frits.iter().any(|known| known.name == material.name) {
            frits.push(material.clone());
        }
    }
    let aim = |quantity: Quantity, high: f64, wanted: Option<f64>| Aim {
        phrase: phrase.to_owned(),
        quantity,
        low: None,
        high: Some(high),
        wanted,
    };
    if !frits.is_empty() {
        let frit = |portion: &&Portion| portion.material.kind == Kind::Frit;
        let now: f64 = question
            .glaze
            .base
            .iter()
            .filter(frit)
            .map(|portion| portion.percent)
            .sum();
        aims.push(aim(Quantity::Share(frits), now.max(MOST_FRIT_PERCENT), None));
    }
    let six = Cone::parse("6").ok();
    if matches!(asked, MeltAsked::Cone(cone, _) if six.is_some_and(|six| cone >= six)) {
        let boron = old.get(Oxide::B2O3);
        let quantity = Quantity::Chemistry(Subject::Oxide(Oxide::B2O3));
        aims.push(aim(quantity, boron.max(MOST_BORON), Some(boron)));
    }
    aims
}

/// A phrase with the aims that it means.
fn meant(phrase: &Phrase, glaze: &Glaze, held: &ChemistryDistance) -> Result<(String, Vec<Aim>), AdjustTrouble> {
    Ok(match phrase {
        Phrase::Aim(aim) => (aim.phrase.clone(), vec![aim.clone()]),
        Phrase::Keep { phrase, material } => (phrase.clone(), vec![keep(phrase, material, glaze)?]),
        Phrase::Hold { phrase, oxide } => {
            if held.target().get(*oxide) <= 0.0 {
                return Err(AdjustTrouble::NothingToHold {
                    aim: phrase.clone(),
                    there: held.target().iter().map(|(oxide, _)| oxide).collect(),
                });
            }
            (
                phrase.clone(),
                vec![near(phrase, *oxide, held.target().get(*oxide), held)],
            )
        }
        Phrase::Colour { phrase, times } => {
            let there: Vec<Oxide> = COLOURS
                .into_iter()
                .filter(|&oxide| held.target().get(oxide) > 0.0)
                .collect();
            if there.is_empty() {
                return Err(AdjustTrouble::NothingToHold {
                    aim: phrase.clone(),
                    there: held.target().iter().map(|(oxide, _)| oxide).collect(),
                });
            }
            let colours = there.into_iter().map(|oxide| {
                let wanted = times * held.target().get(oxide);
                near(phrase, oxide, wanted, held)
            });
            (phrase.clone(), colours.collect())
        }
        // Looked up by whoever asks.
        Phrase::Limits(name) => (format!("limits: {name}"), Vec::new()),
        Phrase::Fit { clay, .. } => (format!("fit: {clay}"), Vec::new()),
        Phrase::Melt { phrase, .. } => (phrase.clone(), Vec::new()),
    })
}

/// An oxide within its tolerance of a value.
fn near(phrase: &str, oxide: Oxide, moles: f64, held: &ChemistryDistance) -> Aim {
    let tolerance = held.tolerance_for(oxide, moles);
    Aim {
        phrase: phrase.to_owned(),
        quantity: Quantity::Chemistry(Subject::Oxide(oxide)),
        low: Some((moles - tolerance).max(0.0)),
        high: Some(moles + tolerance),
        wanted: Some(moles),
    }
}

fn keep(phrase: &str, material: &Arc<Material>, glaze: &Glaze) -> Result<Aim, AdjustTrouble> {
    let same = |portion: &&Portion| portion.material.name == material.name;
    let now: f64 = glaze.portions().filter(same).map(|portion| portion.percent).sum();
    if now <= 0.0 {
        let error = Diagnostic::error(
            "not-in-recipe",
            format!("there is no `{}` in the recipe to keep", material.name),
        );
        return Err(AdjustTrouble::NotThere(
            error.help("keep holds a material of the recipe at its present share or above"),
        ));
    }
    Ok(Aim {
        phrase: phrase.to_owned(),
        quantity: Quantity::Share(vec![material.clone()]),
        low: Some(now),
        high: None,
        wanted: None,
    })
}

/// A share from below needs one of its materials in the recipe or named to come in.
pub(super) fn must_be_there(materials: &[Arc<Material>], aim: &Aim, space: &Space) -> Result<(), AdjustTrouble> {
    let wanted = aim.low.is_some_and(|low| low > 0.0);
    let Some(first) = materials.first() else { return Ok(()) };
    if !wanted || materials.iter().any(|material| space.holds(material)) {
        return Ok(());
    }
    let message = of_typed(&first.name, "is neither in the recipe nor named with --with");
    Err(AdjustTrouble::NotThere(
        Diagnostic::error("not-in-recipe", message).help(format!("add --with \"{}\"", first.name)),
    ))
}

/// An oxide wanted must come from somewhere, and so must what a ratio stands over.
pub(super) fn must_be_brought(aim: &Aim, space: &Space) -> Result<(), AdjustTrouble> {
    let fluxes = &space.fluxes;
    let (above, below) = match &aim.quantity {
        Quantity::Chemistry(Subject::Oxide(oxide)) => (vec![*oxide], Vec::new()),
        Quantity::Chemistry(Subject::SilicaToAlumina) => (vec![Oxide::SiO2], vec![Oxide::Al2O3]),
        Quantity::Sum(sum) => (sum.oxides(fluxes), Vec::new()),
        Quantity::Ratio(above, below) => (above.oxides(fluxes), below.oxides(fluxes)),
        _ => return Ok(()),
    };
    let absent = |oxides: &[Oxide]| !rows::brought(oxides, space);
    let wanted = aim.low.is_some_and(|low| low > 0.0);
    let lacking = if !below.is_empty() && absent(&below) {
        below
    } else if wanted && absent(&above) {
        above
    } else {
        return Ok(());
    };
    Err(AdjustTrouble::NoSource {
        aim: aim.phrase.clone(),
        oxides: lacking,
    })
}
