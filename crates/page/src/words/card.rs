//! What stands on a recipe card, on screens and on paper alike.

use glost_chemistry::quantity::WaterPerKilo;
use glost_desk::card::{Answer, Look};

use crate::number;
use crate::words::label::{density, water_words};
use crate::words::notes::seen_words;
use crate::words::say;

/// Set beside a weight that the scales can't show well enough.
const COARSE: &str = "*";

/// `Cone 6, oxidation. On: buff stoneware. For: food.` and the version, blank where unknown.
pub(crate) fn facts(answer: &Answer) -> Vec<String> {
    let cone = answer.cone.as_ref().map(|cone| format!("cone {cone}"));
    let peak = answer.peak_celsius.map(|peak| format!("{peak:.0} C"));
    let fire: Vec<String> = cone
        .into_iter()
        .chain(peak)
        .chain(answer.atmosphere.map(|own| own.to_string()))
        .collect();
    let fire = match fire.is_empty() {
        true => "________".to_owned(),
        false => fire.join(", "),
    };
    let clay = answer.clay.as_deref().unwrap_or("________");
    let mut facts = vec![format!("Fire to: {fire}. On: {clay}")];
    facts.extend(answer.usage.as_ref().map(|usage| format!("Use: {usage}")));
    let package = answer.package.as_ref();
    facts.extend(package.map(|package| format!("Came with the package: {package}")));
    let version = answer.version.as_deref().unwrap_or("______");
    facts.push(format!("Version: {version}"));
    facts
}

/// The heads of the recipe's table.
pub(crate) fn heads(answer: &Answer) -> Vec<String> {
    let sizes = answer.batches.iter().map(|batch| size(batch.base_grams));
    let first = [String::new(), "base 100".to_owned()];
    first.into_iter().chain(sizes).collect()
}

/// `100 g`, `5 kg`.
fn size(grams: f64) -> String {
    match grams >= 1000.0 {
        true => format!("{} kg", number::plain(grams / 1000.0)),
        false => format!("{} g", number::plain(grams)),
    }
}

/// The recipe: a material, its share, its weight in each batch, additions after the base;
/// then what it comes to.
pub(crate) fn rows(answer: &Answer) -> Vec<Vec<String>> {
    let base = answer.parts.0.iter().map(|part| (part, false));
    let additions = answer.additions.0.iter().map(|part| (part, true));
    let mut rows: Vec<Vec<String>> = base
        .chain(additions)
        .map(|((name, percent), is_addition)| {
            let weights = answer.batches.iter().map(|batch| {
                let line = batch
                    .lines
                    .iter()
                    .find(|line| line.material == *name && line.is_addition == is_addition);
                line.map_or_else(String::new, |line| {
                    let coarse = if batch.cannot_weigh.contains(name) { COARSE } else { "" };
                    format!("{}{coarse}", number::grams(line.grams, answer.step_grams))
                })
            });
            let shown = if is_addition { format!("+ {name}") } else { name.clone() };
            [shown, number::parts(*percent)].into_iter().chain(weights).collect()
        })
        .collect();
    if !answer.batches.is_empty() {
        let total = answer.batches.iter();
        let total = total.map(|batch| number::grams(batch.dry_grams, answer.step_grams));
        let sum: f64 = answer
            .parts
            .0
            .iter()
            .chain(&answer.additions.0)
            .map(|part| part.1)
            .sum();
        let first = ["in all, g".to_owned(), number::parts(sum)];
        rows.push(first.into_iter().chain(total).collect());
    }
    rows
}

/// What these scales can't do.
pub(crate) fn scales(answer: &Answer) -> Vec<String> {
    let step = number::plain(answer.step_grams);
    let mut said = Vec::new();
    if answer.batches.iter().any(|batch| !batch.cannot_weigh.is_empty()) {
        said.push(format!(
            "{COARSE} More than 5 % off on scales of {step} g: `glost weigh` tells the ways out."
        ));
    }
    if !answer.unweighed.is_empty() {
        let sizes: Vec<String> = answer.unweighed.iter().map(|size_of| size(size_of.0)).collect();
        said.push(format!(
            "Not on these scales ({step} g): {}. `glost weigh --scales` asks for others.",
            sizes.join(", ")
        ));
    }
    said
}

/// Water and density, with room to write where nobody says.
pub(crate) fn wet(answer: &Answer) -> [String; 2] {
    let water = answer.water_millilitres_per_kg.map(|millilitres_per_kg| {
        let water = WaterPerKilo { millilitres_per_kg };
        water_words(water, answer.cup)
    });
    let water = water.unwrap_or_else(|| "1 kg of powder to ________ l".to_owned());
    [
        format!("Water: {water}"),
        format!("Density: {}", density(answer.wetness)),
    ]
}

/// What it looked like, a line a look.
pub(crate) fn looks(answer: &Answer) -> Vec<String> {
    answer.looks.iter().map(look).collect()
}

fn look(look: &Look) -> String {
    let note = &look.0;
    let of = [
        Some(note.on.to_string()),
        note.version.clone(),
        note.clay.clone(),
        note.cone.as_ref().map(|cone| format!("cone {cone}")),
    ];
    let of: Vec<String> = of.into_iter().flatten().collect();
    let text = note.text.as_ref().map_or_else(String::new, |text| {
        format!("; {}", text.split_whitespace().collect::<Vec<_>>().join(" "))
    });
    format!("{}: {}{text}", of.join(", "), seen_words(note))
}

/// Where nobody has noted anything.
pub(crate) const NO_LOOKS: &str = "nothing is noted yet; `glost note` keeps what comes out of the kiln.";

/// What to mind, a sentence or two each.
pub(crate) fn cautions(answer: &Answer) -> Vec<String> {
    answer.cautions.iter().map(say).collect()
}
