//! What stands on a label.

use glost_chemistry::quantity::{Millilitres, WaterPerKilo};
use glost_core::intake::start::in_cups;
use glost_core::workshop::label::{Hazard, LabelKind, Wetness};
use glost_desk::label::{OneLabel, Saying};

use crate::layout::capital;
use crate::number;
use crate::words::laboratory;
use crate::words::notes::lots_words;

/// What stands on every label about food.
pub const NOT_TESTED: &str = "Not tested for food: only a laboratory's leach test on the fired piece answers that.";
pub(crate) const DUST: &str = "Powder into water, never water onto powder. Fitted respirator, wet cleaning, nothing down the drain. The safety data sheet and local rules come first.";

pub(crate) fn saying(saying: &Saying) -> String {
    match saying {
        Saying::Water(water, cup) => water_words(*water, *cup),
        Saying::Density(wetness) => density(*wetness),
        Saying::Hazard(told) => hazard(told),
        Saying::Locked(metal, material) => format!(
            "Holds {metal}, from {material}: no batch is weighed of it. For arithmetic only; match its chemistry without {metal}."
        ),
        Saying::PowderIntoWater => DUST.to_owned(),
        Saying::NotTested => NOT_TESTED.to_owned(),
        Saying::NotForFood(metal) => format!("Holds {metal}: not for food, whatever the firing."),
        Saying::NotADrink => NOT_A_DRINK.to_owned(),
    }
}

/// `1 kg of powder to 5 3/4 cups (1.44 l)`.
pub(crate) fn water_words(water: WaterPerKilo, cup: Millilitres) -> String {
    let (measured, litres) = measured(water, cup);
    match measured {
        Some(cups) => format!("1 kg of powder to {cups} ({litres})"),
        None => format!("1 kg of powder to {litres}"),
    }
}

/// The water for a kilo, in cups where one can measure it so, and in litres.
pub(crate) fn measured(water: WaterPerKilo, cup: Millilitres) -> (Option<String>, String) {
    let per_kilo = water.millilitres_per_kg;
    let cups = in_cups(per_kilo, cup).map(|cups| cups.to_string());
    (cups, format!("{:.2} l", per_kilo / 1000.0))
}

pub(crate) fn density(wetness: Option<Wetness>) -> String {
    match wetness {
        Some(Wetness::Density(density)) => format!("mix to {} g/ml", number::plain(density)),
        Some(Wetness::Water { density, low, high }) => {
            format!("about {density:.2} g/ml by its water ({low:.2} to {high:.2}): weigh a jar and write yours down")
        }
        None => "________ g/ml: weigh a jar that dipped well and write it down".to_owned(),
    }
}

/// What is in it that harms, as a sentence.
pub(crate) fn hazard(hazard: &Hazard) -> String {
    match hazard {
        Hazard::Untold(names) => format!(
            "Nobody tells what is in {}: keep its safety data sheet by the bucket.",
            names.join(", ")
        ),
        Hazard::Silica { percent, at_least } => {
            let least = if *at_least { "at least " } else { "" };
            format!("Dry: {least}{percent:.0} % crystalline silica. The dust scars lungs.")
        }
        Hazard::SilicaUntold => "Dry: treat its dust as silica dust. It scars lungs.".to_owned(),
        Hazard::Poisons(names) => format!(
            "Poisonous to handle: {}. Gloves; keep from food and children.",
            names.join(", ")
        ),
        Hazard::Soluble(names) => format!("Dissolves in the water: {}. Don't pour water off.", names.join(", ")),
        Hazard::Gas(names) => format!(
            "May make gas standing: {}. Vent the lid, and open it away from your face.",
            names.join(", ")
        ),
        Hazard::Metals(metals) => format!("Metals that may leave the fired ware: {}.", metals.join(", ")),
    }
}

/// What is known about food: a report of this very glaze, else that nobody tested it.
pub(crate) fn food(one: &OneLabel) -> String {
    if let never @ Saying::NotForFood(_) = one.food() {
        let report = one.laboratory.as_ref();
        let report = report.map_or_else(String::new, |report| {
            format!(" The laboratory's {}", laboratory::sentence(report))
        });
        return format!("{}{report}", saying(&never));
    }
    match &one.laboratory {
        Some(report) if report.no_longer.is_empty() => {
            format!("Laboratory: {}", laboratory::sentence(report))
        }
        Some(report) if !report.above.is_empty() => {
            format!("{NOT_TESTED} Laboratory: {}", laboratory::sentence(report))
        }
        Some(report) => format!("{NOT_TESTED} The laboratory's {}", laboratory::sentence(report)),
        None => NOT_TESTED.to_owned(),
    }
}

/// The same in a few words.
pub(crate) fn food_briefly(one: &OneLabel) -> String {
    if let Saying::NotForFood(metal) = one.food() {
        return format!("{}: not for food.", capital(metal));
    }
    let report = one.laboratory.as_ref().and_then(laboratory::short);
    report.unwrap_or_else(|| "Not tested for food.".to_owned())
}

pub(crate) fn title(one: &OneLabel) -> String {
    one.label.glaze.clone()
}

pub(crate) fn facts(one: &OneLabel) -> Vec<String> {
    let label = &one.label;
    let mut facts = Vec::new();
    let mut fire = format!("Fire to: {}", fired(one));
    if let Some(clay) = &label.clay {
        fire.push_str(&format!(". On: {clay}"));
    }
    facts.push(fire);
    facts.extend(
        label
            .water
            .map(|water| format!("Water: {}", water_words(water, one.cup))),
    );
    if !one.stamp.lots.is_empty() {
        facts.push(format!("Lots: {}", lots_words(&one.stamp.lots)));
    }
    if one.kind != LabelKind::Bag {
        facts.push(format!("Density: {}", density(label.wetness)));
    }
    facts
}

/// What no bottle may be without.
pub(crate) const NOT_A_DRINK: &str = "NOT A DRINK";

/// `bottle 2 of 5`.
pub(crate) fn container_words(one: &OneLabel) -> String {
    match &one.stamp.container {
        Some(container) => format!("{} {} of {}", container.what, container.number, container.of),
        None => format!("{} ____ of ____", one.kind.word()),
    }
}

/// A bottle's label in five lines, as one would write it on tape by hand.
pub(crate) fn five_lines(one: &OneLabel) -> [String; 5] {
    let stamp = &one.stamp;
    let version = stamp
        .version
        .as_ref()
        .map_or_else(String::new, |version| format!(" {version}"));
    let batch = stamp.batch.as_deref().unwrap_or("____");
    let day = stamp.day.map_or_else(|| "__________".to_owned(), |day| day.to_string());
    let by = stamp.by.as_deref().unwrap_or("________");
    let lots = match stamp.lots.as_slice() {
        [] => "lot ________".to_owned(),
        // One bag has one lot; the lots of a recipe stand in the book under the batch.
        [(_, lot)] => format!("lot {lot}"),
        lots => {
            let each: Vec<&str> = lots.iter().map(|(_, lot)| lot.as_str()).collect();
            format!("lots {}", each.join(", "))
        }
    };
    [
        NOT_A_DRINK.to_owned(),
        format!("{}{version}", title(one)),
        format!("{}, batch {batch}", container_words(one)),
        lots,
        format!("mixed {day} by {by}"),
    ]
}

/// `cone 6, oxidation`.
pub(crate) fn fired(one: &OneLabel) -> String {
    let firing = one.label.firing.as_ref().map(ToString::to_string);
    let firing = firing.unwrap_or_else(|| "________".to_owned());
    match one.label.atmosphere {
        Some(atmosphere) => format!("{firing}, {atmosphere}"),
        None => firing,
    }
}

/// Version, batch, day and by whom, given or to be written.
pub(crate) fn marks(one: &OneLabel) -> [String; 4] {
    let stamp = &one.stamp;
    let mark = |word: &str, given: &Option<String>, blank: usize| {
        format!("{word} {}", given.clone().unwrap_or_else(|| "_".repeat(blank)))
    };
    [
        mark("Version", &stamp.version, 6),
        mark("Batch", &stamp.batch, 6),
        mark("Mixed on", &stamp.day.map(|day| day.to_string()), 12),
        mark("By", &stamp.by, 8),
    ]
}
