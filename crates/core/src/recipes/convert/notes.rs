//! What the sum of a conversion doesn't tell.

use glost_chemistry::material::Material;
use glost_chemistry::oxides::Oxide;

use super::conversion::Side;

/// Points of loss on ignition from which more gas is worth a word.
const MUCH_MORE_LOSS: f64 = 10.0;

/// Grain, strength, gas and handling, as sentences.
pub(super) fn notes(from: &Side, to: &Side) -> Vec<String> {
    let mut said = vec![if from.oxide == to.oxide {
        format!(
            "like for like in {} once fired; strength in the glaze may still differ",
            from.oxide
        )
    } else {
        stand_in(from.oxide)
    }];
    let is = |side: &Side, word: &str| side.material.name.to_lowercase().contains(word);
    if is(from, "oxide") && is(to, "carbonate") {
        said.push(
            "a carbonate is mostly finer and spreads more evenly: fewer specks, softer edges (common practice, no source)"
                .to_owned(),
        );
    } else if is(from, "carbonate") && is(to, "oxide") {
        said.push(
            "an oxide is mostly coarser and may speck: sieve it finer, or grind it wet (common practice, no source)"
                .to_owned(),
        );
    }
    let more = to.amount * to.fired.loss_grams - from.amount * from.fired.loss_grams;
    if more > MUCH_MORE_LOSS * from.amount {
        said.push(
            "more gas leaves: look for pinholes, and rise slowly to 900 C (common practice, no source)".to_owned(),
        );
    }
    if to.material.soluble && !from.material.soluble {
        said.push(format!(
            "{} dissolves in the bucket: it wanders with the water and dries to the edges; gloves",
            to.material.name
        ));
    }
    said.extend(handling(&to.material));
    said
}

fn stand_in(from: Oxide) -> String {
    let words = "one stands in for the other mole for mole as a flux; surface and colour may move";
    match from {
        Oxide::BaO => format!(
            "{words}: barium's satin surface and its blues with copper may not come back. Strontium spares you \
             barium's poison in dust and bucket; a leach test is still a lab's (common practice, no source)"
        ),
        _ => format!(
            "{words}. Barium compounds are poisonous in small amounts and may leach from a glaze: keep strontium \
             where you can, and have ware for food or drink tested by a lab (common practice, no source)"
        ),
    }
}

fn handling(material: &Material) -> Vec<String> {
    let mut said = Vec::new();
    if material.toxic {
        said.push(format!(
            "{} is poisonous to handle: gloves, a fitted respirator, and its safety data sheet first",
            material.name
        ));
    }
    let fumes = |hazard: &&String| hazard.contains("fire with ventilation");
    said.extend(
        material
            .hazards
            .iter()
            .filter(fumes)
            .map(|hazard| format!("{}: {hazard}", material.name)),
    );
    said
}

/// What each analysis is taken to be.
pub(super) fn assumptions(from: &Side, to: &Side) -> Vec<String> {
    let mut pure = Vec::new();
    let mut said = Vec::new();
    for side in [from, to] {
        let material = &side.material;
        match &material.formula {
            Some(formula) => pure.push(format!("{} as {formula}{}", material.name, form_word(formula))),
            None => said.push(format!("{} by its analysis ({})", material.name, material.provenance)),
        }
        for sentence in &side.fired.assumptions {
            if !said.contains(sentence) {
                said.push(sentence.clone());
            }
        }
    }
    if !pure.is_empty() {
        said.insert(0, format!("pure and dry, as no bag quite is: {}", pure.join("; ")));
    }
    said
}

/// Whether a carbonate is the plain or the basic one.
fn form_word(formula: &str) -> &'static str {
    match (formula.contains("CO3"), formula.contains("OH")) {
        (true, true) => ", the basic carbonate",
        (true, false) => ", the plain carbonate",
        _ => "",
    }
}
