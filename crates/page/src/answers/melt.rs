//! `glost melt`.

use glost_chemistry::glass::{Estimate, MeltCurve, MeltPoint, MeltReading};
use glost_chemistry::quantity::Celsius;
use glost_desk::melt::{Answer, Peak, SHOWN_POWERS};

use crate::layout::capital;
use crate::layout::{Align, Style, Table, assumed, paragraph};
use crate::melt_words::{NOT_FOR, names, pascal_seconds, refusals};
use crate::words::say_all;
use crate::{Csv, Shown};

const FEEL: &str = "For feel, roughly: honey has about 10 Pa.s, peanut butter about 250 (from memory).";

impl Shown for Answer {
    fn csv(&self) -> Option<Csv> {
        Csv::of_json(self, "points")
    }

    /// For a terminal.
    fn text(&self, style: Style) -> String {
        let curve = self.told_curve();
        let mut text = style.bold(paragraph(&headline(self), 0).trim_end());
        text.push_str("\n\n");
        if let Some((_, oxides)) = &self.without {
            let sentence = format!(
                "No figure with its {}: {}. What follows leaves it out.",
                names(oxides),
                refusals(&self.curve.0.refusals)
            );
            text.push_str(&paragraph(&sentence, 0));
            text.push('\n');
        }
        if curve.inside_domain() {
            let readings = readings_table(self, curve);
            if !readings.is_empty() {
                text.push_str(&readings);
                text.push('\n');
            }
        }
        let places = places_table(self, curve);
        if !places.is_empty() {
            text.push_str(&places);
            text.push('\n');
        }
        if let Some(cold) = &self.cold {
            let modulus = cold.modulus.estimate;
            let sentence = format!(
                "Stiffness when cold: Young's modulus {:.0} +/- {:.0} GPa.",
                modulus.value, modulus.plus_minus_90
            );
            text.push_str(&paragraph(&sentence, 0));
        }
        if curve.inside_domain() {
            text.push_str(&paragraph(FEEL, 0));
            text.push_str(&paragraph(NOT_FOR, 0));
        }
        text.push_str(&assumed(&say_all(&self.assumptions)));
        text
    }
}

fn headline(answer: &Answer) -> String {
    let curve = answer.told_curve();
    let mut name = answer.glaze.clone();
    if answer.additions_out {
        name.push_str(" without its additions");
    } else if let Some((_, oxides)) = &answer.without {
        name.push_str(&format!(" without its {}", names(oxides)));
    }
    if !curve.inside_domain() {
        return format!(
            "{name}: no figure for its melt. {}.",
            capital(&refusals(&curve.refusals))
        );
    }
    match (&answer.peak, answer.at.as_slice()) {
        (_, [first, ..]) => format!("{name} at {:.0} C: {}.", first.celsius(), reading_words(curve, *first)),
        (Some(peak), []) => {
            let celsius = peak.estimate().value;
            let near = match peak {
                Peak::Cone(..) => format!(" (near {celsius:.0} C)"),
                Peak::Temperature(_) => String::new(),
            };
            let words = Celsius::new(celsius).map_or_else(String::new, |at| reading_words(curve, at));
            format!("{name} at {}{near}: {words}.", peak_name(peak))
        }
        (None, []) => match curve.celsius_at(3.0) {
            MeltPoint::Celsius(found) => format!(
                "{name}: the melt has 1000 Pa.s near {:.0} +/- {:.0} C.",
                found.value, found.plus_minus_90
            ),
            MeltPoint::Below | MeltPoint::Above | MeltPoint::Refused => format!("{name}: its melt."),
        },
    }
}

/// One line for each temperature asked for; nothing where the headline says it all.
fn readings_table(answer: &Answer, curve: &MeltCurve) -> String {
    if answer.at.len() < 2 {
        return String::new();
    }
    let mut table = Table::new(&[Align::Right, Align::Right, Align::Left, Align::Left]);
    table.row(["C", "Pa.s", "90 %", "log10, 90 %"]);
    for at in &answer.at {
        let celsius = format!("{:.0}", at.celsius());
        match curve.at(*at) {
            MeltReading::Power(power) => table.row([
                celsius,
                pascal_seconds(power.value),
                format!("{} to {}", pascal_seconds(power.low()), pascal_seconds(power.high())),
                format!("{:.2} +/- {:.2}", power.value, power.plus_minus_90),
            ]),
            MeltReading::Thinner => table.row([celsius, "< 10".to_owned(), "no number".to_owned(), String::new()]),
            MeltReading::Thicker => table.row([celsius, "> 100 000".to_owned(), "no number".to_owned(), String::new()]),
            MeltReading::Refused(_) => table.row([celsius, "-".to_owned(), "refused".to_owned(), String::new()]),
        }
    }
    let mut text = table.text();
    if answer
        .at
        .iter()
        .any(|at| matches!(curve.at(*at), MeltReading::Refused(_)))
    {
        let (low, high) = MeltCurve::TOLD_CELSIUS;
        text.push_str(&format!("refused: the curve was checked for {low:.0} to {high:.0} C\n"));
    }
    text
}

/// Where it sets, where it has round viscosities, and its peak.
fn places_table(answer: &Answer, curve: &MeltCurve) -> String {
    let mut rows: Vec<(Estimate, String)> = Vec::new();
    let mut unknown = Vec::new();
    if let Some(cold) = &answer.cold {
        rows.push((cold.transition.estimate, "it sets (transition)".to_owned()));
    }
    for power in SHOWN_POWERS {
        let name = format!("{} Pa.s", pascal_seconds(power));
        match curve.celsius_at(power) {
            MeltPoint::Celsius(found) => rows.push((found, name)),
            MeltPoint::Below => unknown.push(format!("{name} lies below {:.0} C", MeltCurve::TOLD_CELSIUS.0)),
            MeltPoint::Above => unknown.push(format!("{name} lies above {:.0} C", MeltCurve::TOLD_CELSIUS.1)),
            MeltPoint::Refused => {}
        }
    }
    if let Some(peak) = &answer.peak {
        rows.push((peak.estimate(), peak_words(peak)));
    }
    if rows.is_empty() {
        return String::new();
    }
    rows.sort_by(|a, b| a.0.value.total_cmp(&b.0.value));
    let mut table = Table::new(&[Align::Left, Align::Right, Align::Left]);
    table.row(["", "C", "90 %"]);
    for (celsius, what) in rows {
        let band = if celsius.plus_minus_90 > 0.0 {
            format!("+/- {:.0}", celsius.plus_minus_90)
        } else {
            String::new()
        };
        table.row([what, format!("{:.0}", celsius.value), band]);
    }
    let mut text = table.text();
    for sentence in unknown {
        text.push_str(&paragraph(&format!("{sentence}, outside what the curve tells."), 0));
    }
    text
}

fn peak_name(peak: &Peak) -> String {
    match peak {
        Peak::Cone(cone, _) => format!("cone {}", cone.name()),
        Peak::Temperature(celsius) => format!("{:.0} C", celsius.celsius()),
    }
}

fn peak_words(peak: &Peak) -> String {
    match peak {
        Peak::Cone(_, point) => match point.celsius_per_hour {
            Some(rate) => format!("{}, {}, {rate:.0} C/h", peak_name(peak), point.family.name()),
            None => format!("{}, {}", peak_name(peak), point.family.name()),
        },
        Peak::Temperature(_) => "the peak".to_owned(),
    }
}

/// What the curve says at a temperature, as a clause; never a number without its band.
fn reading_words(curve: &MeltCurve, at: Celsius) -> String {
    match curve.at(at) {
        MeltReading::Power(power) => format!(
            "about {} Pa.s (90 %: {} to {})",
            pascal_seconds(power.value),
            pascal_seconds(power.low()),
            pascal_seconds(power.high())
        ),
        MeltReading::Thinner => "thinner than 10 Pa.s, no number: likely to run; a catcher under the tile".to_owned(),
        MeltReading::Thicker => {
            "stiffer than 100 000 Pa.s, no number: hardly melted, likely dry or underfired".to_owned()
        }
        MeltReading::Refused(reasons) => format!("no figure: {}", refusals(&reasons)),
    }
}
