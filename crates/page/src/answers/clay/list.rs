//! All clays as a list.

use glost_core::evidence::ware::{Absorption, AbsorptionFrom, Measured};
use glost_desk::clay::AllClays;

use crate::layout::{Align, Style, Table};

/// All clays as a table.
pub(super) fn text(all: &AllClays, style: Style) -> String {
    let reports = all.clays.iter().map(|one| &one.report);
    let head = match reports.len() {
        0 => "No clays yet: write one as a file in clays/, `clay: buff stoneware` and its weights.".to_owned(),
        1 => "One clay.".to_owned(),
        many => format!("{many} clays."),
    };
    let mut text = style.bold(&head);
    text.push('\n');
    if all.clays.is_empty() {
        return text;
    }
    text.push('\n');
    let mut table = Table::new(&[
        Align::Left,
        Align::Right,
        Align::Right,
        Align::Right,
        Align::Right,
        Align::Right,
        Align::Left,
    ]);
    table.row(["clay", "cone", "cold %", "boiled %", "C/B", "1e-6/K", ""]);
    let told = |value: Option<f64>, decimals: usize| {
        value.map_or_else(|| "-".to_owned(), |value| format!("{value:.decimals$}"))
    };
    for report in reports.clone() {
        let weighed = report.weighed.as_ref();
        let of = |pick: fn(&Absorption) -> Option<Measured>| weighed.and_then(pick).map(|measured| measured.value);
        let boiled = of(|weighed| weighed.boiled);
        let how = report
            .expansion
            .as_ref()
            .map_or("", |expansion| if expansion.measured { "measured" } else { "printed" });
        let printed = report.absorption.filter(|(_, from)| *from == AbsorptionFrom::Printed);
        let mut name = report.clay.name.clone();
        if name.chars().count() > 28 {
            name = name.chars().take(27).chain(['…']).collect();
        }
        table.row([
            name,
            report.clay.cone.clone().unwrap_or_else(|| "-".to_owned()),
            told(of(|weighed| weighed.cold), 1),
            match printed {
                Some((percent, _)) => format!("{percent:.1}*"),
                None => told(boiled, 1),
            },
            told(of(|weighed| weighed.saturation), 2),
            told(
                report
                    .expansion
                    .as_ref()
                    .map(|expansion| expansion.per_million_per_kelvin),
                1,
            ),
            how.to_owned(),
        ]);
    }
    text.push_str(&table.text());
    text.push('\n');
    if reports
        .clone()
        .any(|report| matches!(report.absorption, Some((_, AbsorptionFrom::Printed))))
    {
        text.push_str("* as printed on the bag\n");
    }
    text.push_str("`glost clay NAME` tells what each is good for, and what no number promises.\n");
    text
}
