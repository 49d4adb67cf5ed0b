//! `cone 6`, `melt 1240 C`: who may melt, and why the melt can't be told.

use glost_chemistry::diagnostic::Diagnostic;
use glost_core::recipes::adjust::{
    AdjustAnswer, AdjustQuestion, AdjustTrouble, Asked, MeltTrouble, TwoWays, adjust, melters, two_ways,
};
use glost_core::recipes::aims::{MeltAsked, Phrase};
use glost_studio::{FoundGlaze, Origin};

use crate::Failure;

use super::{Recipe, Worth};

/// A newcomer nobody named must spare this part of the change, and this much of it,
/// to be worth a new jar (ours).
const SPARES_PART: f64 = 0.1;
const SPARES: f64 = 1.0;

/// Whether an aim is on the melt.
pub(super) fn asked_for(question: &AdjustQuestion<'_>) -> bool {
    let melt = |asked: &Asked| matches!(asked, Asked::Phrase(Phrase::Melt { .. }));
    question.aims.iter().any(melt)
}

/// The aim on the melt.
pub(super) fn asked_melt(question: &AdjustQuestion<'_>) -> Option<MeltAsked> {
    question.aims.iter().find_map(|asked| match asked {
        Asked::Phrase(Phrase::Melt { asked, .. }) => Some(*asked),
        _ => None,
    })
}

/// The best answer: where the melt is asked for and nobody is named, the means of
/// the trade on the shelf are tried one at a time.
pub(super) fn best(question: &AdjustQuestion<'_>, found: &FoundGlaze) -> Result<AdjustAnswer, AdjustTrouble> {
    let first = adjust(question)?;
    if !question.with.is_empty() || !asked_for(question) {
        return Ok(first);
    }
    let objective = |answer: &AdjustAnswer| match answer {
        AdjustAnswer::Possible { objective, .. } => *objective,
        AdjustAnswer::Impossible { .. } => f64::INFINITY,
    };
    let mut best = first;
    for newcomer in melters(&found.glaze, &found.library, found.origin == Origin::Shipped) {
        let other = adjust(&AdjustQuestion {
            with: vec![newcomer],
            ..question.clone()
        })?;
        if objective(&other) < (1.0 - SPARES_PART) * objective(&best) - SPARES {
            best = other;
        }
    }
    Ok(best)
}

/// The other way to a cone: boron as it is, silica and alumina in step.
#[derive(Debug, Clone)]
pub struct InStep {
    /// Why it is shown.
    pub why: TwoWays,
    /// The recipe.
    pub recipe: Box<Recipe>,
}

/// The other answer to a cone, where the trade would try both.
pub(super) fn in_step(
    question: &AdjustQuestion<'_>,
    found: &FoundGlaze,
    worth: &Worth<'_>,
) -> Result<Option<InStep>, Failure> {
    let mut aims = question.aims.clone();
    let mut why = None;
    for aim in &mut aims {
        if let Asked::Phrase(Phrase::Melt { asked, .. }) = aim
            && let MeltAsked::Cone(cone, family) = *asked
        {
            why = two_ways(&found.glaze.about, cone, worth.comparison.target());
            *asked = MeltAsked::ConeInStep(cone, family);
        }
    }
    let Some(why) = why else { return Ok(None) };
    let other = AdjustQuestion {
        aims,
        with: Vec::new(),
        sure: None,
        ..question.clone()
    };
    // Where silica and alumina alone don't get there, boron is the only answer.
    let Ok(AdjustAnswer::Possible { glaze, .. }) = adjust(&other) else {
        return Ok(None);
    };
    Ok(Some(InStep {
        why,
        recipe: worth.recipe(&glaze)?,
    }))
}

pub(super) fn trouble(found: &FoundGlaze, trouble: &MeltTrouble) -> Diagnostic {
    let name = &found.glaze.name;
    match trouble {
        MeltTrouble::NoCone => Diagnostic::error("no-cone", format!("{name} says no cone to start from"))
            .help("add `cone: 6` or `peak: 1220 C` to its file"),
        MeltTrouble::NoTemperature(cone) => Diagnostic::error(
            "no-cone",
            format!("no temperature is known for cone {} of that family", cone.name()),
        )
        .help("write the temperature: \"melt 1240 C\""),
        MeltTrouble::Refused(_) | MeltTrouble::OutOfReach => {
            Diagnostic::error("no-melt", format!("the melt of {name} can't be told at its own firing"))
                .help("see `glost melt`; try it on tiles instead")
        }
    }
}
