//! `glost chart`: where glazes lie, in words and as a drawing.

mod bars;
mod map;

use glost_chemistry::diagnostic::Diagnostic;
use glost_desk::PageFormat;
use glost_desk::chart::{Answer, Marked, SOURCE, Within};
use glost_desk::glazes::Surface;
use serde_json::Value;

use crate::layout::{Align, Style, Table, indented, paragraph};
use crate::print::Printed;
use crate::sheet::{Pages, Setting};
use crate::{Csv, Shown, number};

impl Shown for Answer {
    fn csv(&self) -> Option<Csv> {
        Csv::of_json(self, "glazes")
    }

    fn text(&self, style: Style) -> String {
        let mut text = style.bold(paragraph(&self.headline(), 0).trim_end());
        text.push_str("\n\n");
        let mut table = Table::new(&[Align::Left, Align::Right, Align::Right, Align::Right, Align::Left]);
        table.row(["", "SiO2", "Al2O3", "SiO2:Al2O3", "reads"]);
        for marked in &self.glazes {
            table.row([
                marked.glaze.clone(),
                number::unity(marked.place.silica),
                number::unity(marked.place.alumina),
                format!("{:.1}", marked.place.ratio),
                reads(marked).to_owned(),
            ]);
        }
        text.push_str(&table.text());
        text.push('\n');
        if let (Some(grade), false) = (&self.grade, self.tiles.is_empty()) {
            text.push_str(&indented(
                "Graded here: ",
                &format!(
                    "{} things for {grade}; they are the rings of the drawing.",
                    self.tiles.len()
                ),
            ));
        }
        for within in self.within.iter().flatten() {
            text.push_str(&indented("Limits: ", &in_words(within)));
        }
        if !self.unplaced.is_empty() {
            text.push_str(&indented("No place: ", &format!("{}.", self.unplaced.join(", "))));
        }
        text.push_str(&indented("Bands: ", &format!("{}.", self.bands())));
        text
    }

    fn printed(&self) -> Result<Printed, Diagnostic> {
        let map = map::drawing(self);
        let Some(page) = &self.page else {
            // A page in a browser shows the drawing inside itself.
            return Ok(Printed {
                json: vec![("svg", Value::from(map))],
                ..Printed::default()
            });
        };
        let mut drawings = vec![map];
        if page.format == PageFormat::Html
            && let Some(lists) = self.within.as_ref().filter(|lists| !lists.is_empty())
        {
            drawings.push(bars::drawing(&self.headline(), lists));
        }
        let pages = Pages {
            title: self.headline(),
            setting: Setting::AnyPaper,
            drawings,
        };
        Printed::pages(page, &pages, format!("Chart: {}\n", page.path.display()))
    }
}

trait Words {
    fn headline(&self) -> String;
    fn bands(&self) -> String;
}

impl Words for Answer {
    fn headline(&self) -> String {
        match self.glazes.as_slice() {
            [only] => format!(
                "{}: SiO2 {}, SiO2:Al2O3 {:.1}.",
                only.glaze,
                number::unity(only.place.silica),
                only.place.ratio
            ),
            [] => "No glaze has a place on the chart.".to_owned(),
            several => format!("{} glazes by silica and its ratio to alumina.", several.len()),
        }
    }

    fn bands(&self) -> String {
        format!(
            "matt below 5, satin to 6, bright from there on; beyond 12 short of alumina. {SOURCE}. Elsewhere a rough guide, silent where other oxides or a low heat make the surface"
        )
    }
}

/// How the ratio reads, in a word.
fn reads(marked: &Marked) -> &'static str {
    match marked.reads {
        Some(Surface::Matt) => "matt",
        Some(Surface::Satin) => "satin",
        Some(Surface::Glossy) => "glossy",
        None => "the ratio doesn't tell",
    }
}

fn in_words(within: &Within) -> String {
    let missed: Vec<String> = within
        .values()
        .filter_map(|(range, value)| Some((range, value?)))
        .filter(|(range, value)| !range.holds(*value))
        .map(|(range, value)| format!("{} {}", range.subject.name(), number::unity(value)))
        .collect();
    let whose = if within.is_own() { ", your own" } else { "" };
    match missed.as_slice() {
        [] => format!("inside {}{whose}.", within.set.name),
        missed => format!("outside {}{whose} by {}.", within.set.name, missed.join(", ")),
    }
}
