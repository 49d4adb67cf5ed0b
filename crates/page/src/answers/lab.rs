//! `glost lab`: laboratories' reports beside the limits.

use glost_desk::lab::{Answer, Report};

use super::run::table_text;
use crate::layout::{Style, assumed, indented, paragraph};
use crate::words::laboratory::reasons;
use crate::words::notes::{lots_words, pieces_words};
use crate::words::say_all;
use crate::words::signed::signed;
use crate::{Csv, Shown};

impl Shown for Answer {
    fn csv(&self) -> Option<Csv> {
        Csv::of_json(self, "reports")
    }

    fn text(&self, style: Style) -> String {
        let mut text = style.bold(paragraph(&headline(self), 0).trim_end());
        text.push('\n');
        for report in &self.reports {
            text.push('\n');
            text.push_str(&one(report, style));
        }
        text.push_str(&assumed(&say_all(&self.assumptions)));
        if let Some(line) = self.kept {
            text.push_str(&indented(
                "Wrong? ",
                &format!("glost note --void {line} takes it back."),
            ));
        }
        text
    }
}

fn headline(answer: &Answer) -> String {
    let of = answer
        .glaze
        .as_ref()
        .map_or_else(String::new, |glaze| format!(" of {glaze}"));
    match (answer.kept, answer.reports.len()) {
        (Some(line), _) if answer.already => {
            format!("This report{of} is kept already, on line {line}: nothing was written.")
        }
        (Some(line), _) => format!("The report{of} is kept, on line {line} of the notebook."),
        (None, 0) => format!(
            "No laboratory's report{of} is kept. `glost lab GLAZE --batch B --sheet lab.csv` keeps one: columns metal, value, unit, shape."
        ),
        (None, 1) => format!("1 report{of}."),
        (None, many) => format!("{many} reports{of}, the latest first."),
    }
}

fn one(report: &Report, style: Style) -> String {
    let note = &report.note;
    let name = note.lab.as_deref().unwrap_or("report");
    let mut text = style.bold(paragraph(&format!("{name}, {}", note.on), 0).trim_end());
    text.push('\n');
    text.push_str(&indented(
        "Tested: ",
        &format!("{}.", pieces_words(std::slice::from_ref(note))),
    ));
    if !note.lots.is_empty() {
        text.push_str(&indented("Lots: ", &format!("{}.", lots_words(&note.lots))));
    }
    let belongs = match report.no_longer.as_slice() {
        [] => "to this glaze as it is made now: the same recipe, lots, clay and firing.".to_owned(),
        why => format!(
            "no longer to this glaze: {}. As it is made now nobody tested it.",
            reasons(why)
        ),
    };
    text.push_str(&indented("Belongs: ", &belongs));
    let Some(compared) = &report.compared else {
        text.push_str(&indented(
            "Results: ",
            "not typed in. `glost lab GLAZE --sheet lab.csv` keeps them beside the limits.",
        ));
        return text;
    };
    for said in &compared.said {
        text.push('\n');
        text.push_str(&paragraph(said, 0));
    }
    for table in &compared.tables {
        text.push('\n');
        text.push_str(&paragraph(&table.0.title, 0));
        text.push_str(&table_text(&table.0));
    }
    text.push('\n');
    text.push_str(&paragraph(&format!("({})", signed(&compared.signed)), 0));
    text
}
