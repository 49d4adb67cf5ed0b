//! `glost affected`.

use glost_chemistry::distance::Nearness;
use glost_chemistry::oxides::Oxide;
use glost_desk::Said;
use glost_desk::affected::Answer;

use crate::layout::{Align, Style, Table, indented, paragraph};
use crate::number;
use crate::words::say;
use crate::{Csv, Shown};

impl Shown for Answer {
    fn csv(&self) -> Option<Csv> {
        Csv::of_json(self, "glazes")
    }

    fn text(&self, style: Style) -> String {
        let (touched, all) = (self.found.len(), self.glazes);
        let mut headline = format!("{}: {touched} of {all} glazes are touched.", say(&self.happened()));
        if self.skipped > 0 {
            headline.push_str(&format!(
                " {} files could not be read and are not counted.",
                self.skipped
            ));
        }
        let mut text = style.bold(paragraph(&headline, 0).trim_end());
        text.push('\n');
        if touched == 0 {
            return text;
        }
        text.push('\n');
        let mut table = Table::new(&[Align::Left, Align::Right, Align::Left, Align::Left, Align::Left]);
        table.row(["test in this order", "share", "change", "expansion", "quick swap"]);
        for name in &self.order {
            let Some(affected) = self.found.iter().find(|affected| affected.glaze == *name) else {
                continue;
            };
            let change = match affected.distance {
                Some(distance) => format!("{} ({})", Nearness::of(distance).word(), number::distance(distance)),
                None => "unknown".to_owned(),
            };
            let expansion = affected
                .expansion_change
                .map_or_else(String::new, |(change, band)| format!("{change:+.2} +/- {band:.2}"));
            let swap = affected.quick_swap.as_ref().map_or_else(
                || "none".to_owned(),
                |swap| match swap.newcomers.as_slice() {
                    [] => format!("re-weigh ({})", number::distance(swap.distance)),
                    names => names.join(", "),
                },
            );
            table.row([
                short(name, 22),
                format!("{:.0} %", affected.touched_percent),
                change,
                expansion,
                short(&swap, 18),
            ]);
        }
        text.push_str(&table.text());
        text.push('\n');
        for affected in &self.found {
            if let Some(trouble) = affected.trouble.clone().map(Said::NoNumbers) {
                let trouble = say(&trouble);
                text.push_str(&indented(&format!("{}: ", affected.glaze), &format!("{trouble}.")));
            }
            let moved = largest(&affected.unity_change);
            if !moved.is_empty() {
                text.push_str(&indented(
                    &format!("{}: ", affected.glaze),
                    &format!("{moved} in unity."),
                ));
            }
        }
        text.push_str(&paragraph(
            "Expansion by the default model, 1e-6/K; a change smaller than its band says nothing. `glost swap GLAZE --out MATERIAL` gives the weights. Every glaze touched wants a tile beside the old one, and its leach test no longer holds.",
            0,
        ));
        text
    }
}

fn short(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    text.chars().take(most - 1).chain(['…']).collect()
}

/// The three largest moves.
fn largest(changes: &[(Oxide, f64)]) -> String {
    let mut sorted: Vec<&(Oxide, f64)> = changes.iter().filter(|change| change.1.abs() >= 0.0005).collect();
    sorted.sort_by(|a, b| b.1.abs().total_cmp(&a.1.abs()));
    let told: Vec<String> = sorted
        .iter()
        .take(3)
        .map(|(oxide, change)| {
            let sign = if *change < 0.0 { "-" } else { "+" };
            format!("{oxide} {sign}{}", number::unity_of(*oxide, change.abs()))
        })
        .collect();
    told.join(", ")
}
