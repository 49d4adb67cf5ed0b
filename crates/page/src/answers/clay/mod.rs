//! `glost clay`.

mod list;

use glost_core::evidence::ware::{
    Absorption, AbsorptionFrom, AbsorptionGroup, BarLengths, Clay, ClayExpansion, Measured,
};
use glost_desk::clay::{Answer, Bar, ClayWords, OneClay};

use crate::Shown;
use crate::layout::{Align, Style, Table, assumed, indented, paragraph};
use crate::number;
use crate::stress::{cooling_text, stress_assumptions, stress_text};
use crate::words::clay::clay_words;

impl Shown for Answer {
    fn text(&self, style: Style) -> String {
        match self {
            Answer::One(one) => one_text(one, style),
            Answer::All(all) => list::text(all, style),
        }
    }
}

fn one_text(one: &OneClay, style: Style) -> String {
    let report = &one.report;
    let mut text = style.bold(paragraph(&headline(one), 0).trim_end());
    text.push_str("\n\n");
    if let Some(weighed) = &report.weighed {
        text.push_str(&bars_table(weighed, &one.bars));
        text.push_str(&scales_words(weighed, one.step_on_uptake_percent));
        text.push('\n');
    }
    if let Some(bar) = &report.clay.shrinkage {
        text.push_str(&indented("Shrinkage: ", &shrinkage_words(bar)));
    }
    if let Some(expansion) = &report.expansion {
        text.push_str(&indented("Expansion: ", &expansion_words(expansion, &report.clay)));
    } else {
        text.push_str(&indented(
            "Expansion: ",
            "not known. Pieces that you look at teach what fits: `glost note`, `glost fit`.",
        ));
    }
    text.push_str(&glaze_text(one));
    text.push('\n');
    if report.absorption.is_none() {
        text.push_str(&paragraph(
            "For cups, walls, floors or outdoors nothing can be said before some bars are weighed.",
            0,
        ));
    } else {
        for found in &one.suitability {
            let why = clay_words(&ClayWords::Why(found.why));
            let words = format!("{}: {why}.", found.standing.words());
            text.push_str(&indented(&format!("{:<11}", found.usage.word()), &words));
        }
    }
    text.push('\n');
    if let Some(group) = report.group {
        text.push_str(&paragraph(&group_words(group, report.group_beside), 0));
    }
    text.push_str(&paragraph(&clay_words(&ClayWords::NoPromise), 0));
    text.push_str(&indented("Next: ", &clay_words(&ClayWords::Next(report.next.clone()))));
    if one.goes_outdoors {
        text.push_str(&indented("      ", &clay_words(&ClayWords::OwnFrostTest)));
    }
    let said = report.assumptions.iter();
    let said: Vec<String> = said.map(|said| clay_words(&ClayWords::Assumed(said.clone()))).collect();
    text.push_str(&assumed(&said));
    text
}

fn glaze_text(one: &OneClay) -> String {
    let Some(on_it) = &one.glaze else {
        return String::new();
    };
    let name = &on_it.glaze;
    match &on_it.stress {
        Some(stress) => format!(
            "\n{name} on it\n{}{}{}",
            stress_text(stress),
            cooling_text(stress),
            stress_assumptions(stress)
        ),
        None => indented(
            "Stress: ",
            &format!(
                "not worked out for {name}: it takes an expansion measured on this clay at this firing, by dilatometer (`dilatometer:` in its file) or as a number with `measured: true`. A bag's number is too unsure for it."
            ),
        ),
    }
}

fn headline(one: &OneClay) -> String {
    let report = &one.report;
    let fired = match (&report.clay.cone, report.clay.peak) {
        (Some(cone), _) => format!(" at cone {cone}"),
        (None, Some(peak)) => format!(" at {:.0} C", peak.celsius()),
        (None, None) => String::new(),
    };
    let name = &report.clay.name;
    let takes = match (report.absorption, &report.weighed) {
        (None, _) => return format!("{name}{fired}: absorption isn't known."),
        (Some((percent, AbsorptionFrom::Printed)), _) => {
            return format!("{name}{fired}: absorption {} % as printed.", number::percent(percent));
        }
        (Some(_), None) => String::new(),
        (Some(_), Some(weighed)) => [(weighed.cold, "cold"), (weighed.boiled, "boiled")]
            .into_iter()
            .filter_map(|(measured, how)| Some(format!("{:.1} % {how}", measured?.value)))
            .collect::<Vec<_>>()
            .join(", "),
    };
    let ratio = report.weighed.as_ref().and_then(|weighed| weighed.saturation);
    let ratio = ratio.map_or_else(String::new, |ratio| {
        let off = ratio.plus_minus();
        let decimals = if off < 0.0095 { 3 } else { 2 };
        format!(": C/B {:.2} +/- {off:.decimals$}", ratio.value)
    });
    format!("{name}{fired} takes up {takes}{ratio}.")
}

fn bars_table(weighed: &Absorption, bars: &[Bar]) -> String {
    let mut align = vec![Align::Left];
    align.extend([Align::Right; 6]);
    let mut table = Table::new(&align);
    table.row(["bar", "dry g", "soaked g", "boiled g", "cold %", "boiled %", "C/B"]);
    let grams =
        |weight: Option<f64>| weight.map_or_else(|| "-".to_owned(), |grams| number::grams(grams, weighed.step_grams));
    let told = |value: Option<f64>, decimals: usize| {
        value.map_or_else(|| "-".to_owned(), |value| format!("{value:.decimals$}"))
    };
    for (index, bar) in bars.iter().enumerate() {
        let weights = bar.weighed;
        table.row([
            (index + 1).to_string(),
            grams(Some(weights.dry.grams())),
            grams(weights.soaked.map(|weight| weight.grams())),
            grams(weights.boiled.map(|weight| weight.grams())),
            told(bar.cold_percent, 1),
            told(bar.boiled_percent, 1),
            told(bar.saturation, 2),
        ]);
    }
    if weighed.bars.len() > 1 {
        let mean = |measured: Option<Measured>, decimals: usize| told(measured.map(|one| one.value), decimals);
        let none = String::new;
        table.row([
            "mean".to_owned(),
            none(),
            none(),
            none(),
            mean(weighed.cold, 1),
            mean(weighed.boiled, 1),
            mean(weighed.saturation, 2),
        ]);
    }
    table.text()
}

/// What the scales' step, and the spread of the bars, leave open.
fn scales_words(weighed: &Absorption, step_on_uptake_percent: Option<f64>) -> String {
    let step = number::plain(weighed.step_grams);
    let mut said = Vec::new();
    match (
        weighed.saturation,
        weighed.least_cold_uptake_grams(),
        step_on_uptake_percent,
    ) {
        (Some(_), Some(uptake), Some(percent)) => {
            said.push(format!(
                "the scales' {step} g on {} g taken up cold is {} of C/B",
                number::grams(uptake, weighed.step_grams),
                whole_percent(percent)
            ));
        }
        (None, ..) if weighed.boiled.is_some() && weighed.cold.is_some() => {
            said.push(format!(
                "nothing was taken up that {step} g scales could see, so C/B isn't defined"
            ));
        }
        _ => {}
    }
    for (measured, how) in [(weighed.cold, "cold"), (weighed.boiled, "boiled")] {
        if let Some(measured) = measured.filter(|one| one.bars == 1 && weighed.saturation.is_none()) {
            said.push(format!(
                "{how} {:.2} +/- {:.2} % by the scales' {step} g",
                measured.value, measured.from_scales
            ));
        }
        if let Some(measured) = measured.filter(|measured| measured.bars > 1) {
            said.push(format!(
                "{how} {:.2} +/- {:.2} % (90 %, {} bars from {:.2} to {:.2})",
                measured.value,
                measured.plus_minus(),
                measured.bars,
                measured.lowest,
                measured.highest
            ));
        }
    }
    if said.is_empty() {
        return String::new();
    }
    let ratio = if weighed.saturation.is_some() {
        " C/B, the saturation ratio, is cold over boiled."
    } else {
        ""
    };
    let wiped = "How dry the bars were wiped isn't in it.";
    indented("Error: ", &format!("{}. {wiped}{ratio}", said.join("; ")))
}

fn whole_percent(percent: f64) -> String {
    if percent < 0.95 {
        format!("{} %", number::percent(percent))
    } else {
        format!("{percent:.0} %")
    }
}

fn shrinkage_words(bar: &BarLengths) -> String {
    let parts = match (bar.drying_percent(), bar.firing_percent()) {
        (Some(drying), Some(firing)) => format!(" ({drying:.1} drying, then {firing:.1} firing)"),
        _ => String::new(),
    };
    format!(
        "{:.1} +/- {:.1} % from wet to fired{parts}, marks read to 0.5 mm. For 100 mm fired make it {:.1} mm wet.",
        bar.total_percent(),
        bar.plus_minus_percent(),
        bar.wet_for_fired(100.0)
    )
}

fn expansion_words(expansion: &ClayExpansion, clay: &Clay) -> String {
    let how = if expansion.measured { "measured" } else { "printed" };
    let range = expansion
        .given_over_celsius
        .map_or_else(String::new, |(low, high)| format!(" at {low:.0}-{high:.0} C"));
    let from_table = clay.dilatometer.is_some() && expansion.measured;
    let value = match &clay.expansion {
        Some(printed) if !from_table => {
            format!(
                "{:.1} x 1e-6/K{range}, {how} as `{}`",
                printed.per_million_per_kelvin, printed.printed
            )
        }
        _ => format!(
            "{:.1} x 1e-6/K, {how} by dilatometer{range}",
            expansion.per_million_per_kelvin
        ),
    };
    let misses = clay_words(&ClayWords::misses(expansion));
    let verdict = "It isn't set against a glaze's as a verdict: your own pieces on this clay decide.";
    format!("{value}. What it can't tell: {misses} {verdict}")
}

fn group_words(group: AbsorptionGroup, beside: Option<AbsorptionGroup>) -> String {
    let beside = beside.map_or_else(String::new, |beside| {
        format!(", by its error perhaps {}", beside.name())
    });
    format!(
        "By absorption alone it would be in group {} ({}){beside}. {}",
        group.name(),
        group.range(),
        clay_words(&ClayWords::GroupIsComparison)
    )
}
