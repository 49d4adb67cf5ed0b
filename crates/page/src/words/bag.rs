//! Words of mended bag labels.

use glost_core::intake::bag::{Compound, Guess, Mended, Reason, entry};

/// A label's entry as a file's text.
pub fn bag_entry(mended: &Mended) -> String {
    let printed = |label: &str| format!("The label says: {label}");
    entry(mended, printed, reason, guess)
}

pub(super) fn reason(reason: &Reason) -> String {
    match reason {
        Reason::Number(comma) => comma.to_string(),
        Reason::ByFormula(compound) => by_formula(compound),
        Reason::OwnLoss(loss) => format!("the label's own loss on ignition, {loss} %, is used"),
        Reason::AsSupplied { oxides, loss } => {
            format!(
                "oxides {oxides:.1} and loss {loss} make {:.1} %: as supplied",
                oxides + loss
            )
        }
        Reason::OxidesOfFired { oxides, loss } => oxides_of_fired(*oxides, *loss),
        Reason::UnlikelyLoss(loss, expected) => format!(
            "{loss} % is not what a {} loses ({}): ask for the sheet",
            expected.word, expected.why
        ),
        Reason::NoLossStated(oxides, expected) => format!(
            "its oxides make {oxides:.1} % with no loss on ignition; a raw {} can't: {}",
            expected.word, expected.why
        ),
        Reason::LooksFired(expected) => format!(
            "so it looks like an analysis of the fired material: with a loss of {} % each oxide counts x {:.2}",
            expected.usual,
            1.0 - expected.usual / 100.0
        ),
        Reason::LossIsTheRest { oxides, loss } => {
            format!("its oxides make {oxides:.1} %: as supplied, the loss on ignition is the rest, {loss:.1} %")
        }
        Reason::AskWhetherFired => {
            "if it loses more than that in the fire, the figures are of the fired material: ask".to_owned()
        }
        Reason::StandIn(material, provenance) => {
            format!("the label has no figures: {material} stands in, {provenance}")
        }
    }
}

fn by_formula(compound: &Compound) -> String {
    let leaves: Vec<String> = compound
        .oxides
        .iter()
        .map(|(name, percent)| format!("{percent:.1} % {name}"))
        .collect();
    format!(
        "{} {} % is by its formula {}: {}, and {:.1} % lost in firing",
        compound.printed,
        compound.percent,
        compound.formula,
        leaves.join(", "),
        compound.loss_percent
    )
}

fn oxides_of_fired(oxides: f64, loss: f64) -> String {
    format!(
        "its oxides alone make {oxides:.1} % with a loss of {loss} % beside: the oxides are of the fired material, each counts x {:.2}",
        1.0 - loss / 100.0
    )
}

pub(super) fn guess(guess: &Guess) -> String {
    match guess {
        Guess::WorkedOut { printed, untold } => {
            let untold = untold.map_or_else(String::new, |rest| format!("; the other {rest:.1} % is not told"));
            format!("oxides and loss on ignition are worked out from the label's `{printed}`{untold}")
        }
        Guess::BasisFired { oxides, loss } => format!("the basis is a guess: {}", oxides_of_fired(*oxides, *loss)),
        Guess::BasisAndLoss { loss, printed, oxides } => format!(
            "basis fired and loss on ignition {loss} % are guesses; the label says only `{printed}`, {oxides:.1} % without a loss"
        ),
        Guess::Loss(loss) => format!("loss on ignition {loss:.1} % is a guess, 100 less the oxides on its label"),
        Guess::StandIn(material) => format!("nobody tells its analysis; {material} stands in for it"),
    }
}
