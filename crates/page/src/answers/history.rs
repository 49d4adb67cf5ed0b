//! `glost history`: a glaze's versions by date.

use glost_chemistry::distance::Nearness;
use glost_desk::history::{Answer, Step};

use crate::layout::{Style, indented, paragraph};
use crate::words::notes::{change_words, seen_words};
use crate::{Csv, Shown};

/// More looks under one version than this are counted.
const MOST_LOOKS: usize = 6;

impl Shown for Answer {
    fn csv(&self) -> Option<Csv> {
        Csv::of_json(self, "versions")
    }

    fn text(&self, style: Style) -> String {
        let count = self.steps.len();
        let headline = match count {
            1 => format!("{}: one recipe so far.", self.glaze),
            _ => format!("{}: {count} versions, the oldest first.", self.glaze),
        };
        let mut text = style.bold(paragraph(&headline, 0).trim_end());
        text.push('\n');
        for step in &self.steps {
            text.push('\n');
            text.push_str(&style.bold(paragraph(&heading(step), 0).trim_end()));
            text.push('\n');
            text.push_str(&below(step));
        }
        text
    }
}

fn heading(step: &Step) -> String {
    let version = &step.version;
    let today = match (step.is_today, version.line) {
        (true, 0) if step.notes.is_empty() => "the recipe of today, in no note yet".to_owned(),
        (true, 0) => "the recipe of today".to_owned(),
        (true, _) => format!("{}, {}: the recipe of today", version.version, version.on),
        (false, _) => format!("{}, {}", version.version, version.on),
    };
    match step.distance {
        Some(distance) => format!(
            "{today}; {} ({distance:.1}) the one before",
            near_words(Nearness::of(distance))
        ),
        None => today,
    }
}

fn near_words(near: Nearness) -> &'static str {
    match near {
        Nearness::Near => "near",
        Nearness::Noticeable => "noticeably off",
        Nearness::Far => "far from",
    }
}

fn below(step: &Step) -> String {
    let mut text = String::new();
    for changed in &step.changes {
        let effect = changed
            .effect
            .map_or_else(String::new, |effect| format!(" (moves it by {effect:.1})"));
        text.push_str(&indented(
            "  changed: ",
            &format!("{}{effect}", change_words(&changed.change)),
        ));
    }
    for booking in &step.batches {
        text.push_str(&indented(
            "  batch: ",
            &format!("{}, {}", booking.number.text(), booking.on),
        ));
    }
    for note in step.notes.iter().take(MOST_LOOKS) {
        let clay = note
            .clay
            .as_ref()
            .map_or_else(String::new, |clay| format!(" on {clay}"));
        text.push_str(&indented(
            "  looked: ",
            &format!("{}{clay}: {}", note.on, seen_words(note)),
        ));
    }
    if step.notes.len() > MOST_LOOKS {
        text.push_str(&format!(
            "  and {} more looks; glost notes has them\n",
            step.notes.len() - MOST_LOOKS
        ));
    }
    if text.is_empty() {
        text.push_str("  nothing was made of it or noted\n");
    }
    text
}
