//! `glost start`: what was made, the first ticket, the label, what is next.

use glost_chemistry::diagnostic::Diagnostic;
use glost_desk::start::Answer;

use super::label::label_text;
use crate::Shown;
use crate::layout::{Style, indented};
use crate::print::label_sheet::LabelSheet;
use crate::print::{Printed, ticket_sheet};
use crate::words::say;

impl Shown for Answer {
    fn text(&self, style: Style) -> String {
        let mut text = style.bold(&format!(
            "Your studio is in {}. Here are the first ticket and label.",
            self.dir
        ));
        text.push('\n');
        let mut next = next(self).into_iter();
        if let Some(first) = next.next() {
            text.push_str(&indented("Next: ", &first));
        }
        text.push_str("\nTICKET\n\n");
        text.push_str(&self.ticket.text(style));
        text.push_str("\nLABEL\n\n");
        text.push_str(&label_text(&self.label, style));
        text.push('\n');
        for doubt in &self.doubts {
            text.push_str(&indented("Doubt: ", &say(doubt)));
        }
        for next in next {
            text.push_str(&indented("Next: ", &next));
        }
        text
    }

    /// Ticket and label, a page each or more.
    fn printed(&self) -> Result<Printed, Diagnostic> {
        let Some(file) = &self.file else {
            return Ok(Printed::default());
        };
        let mut pages = ticket_sheet::pages(&self.ticket);
        let label = LabelSheet {
            labels: std::slice::from_ref(&self.label),
            sheet: &self.sheet,
        };
        pages.drawings.extend(label.print()?.pages.drawings);
        Printed::pages(file, &pages, String::new())
    }
}

fn next(answer: &Answer) -> Vec<String> {
    let (dir, glaze) = (&answer.dir, &answer.label.label.glaze);
    let print = match &answer.page {
        Some(page) => format!("open {page} in a browser and print it."),
        None => format!("cd {dir}, then `glost label \"{glaze}\" --page label.html` makes a label to print."),
    };
    vec![
        print,
        format!("weigh a jar of it: `glost slurry \"{glaze}\" --jar \"500 ml = 669 g\"` says how wet it is."),
        format!("count the pieces in your cupboard, crazed and whole: `glost note \"{glaze}\" --made 2025-03 --crazed 5/20`."),
        "dip a tile, fire it as always, look at it after a day, a month and half a year, and note what you see (`glost due` reminds)."
            .to_owned(),
        "weigh three fired bars of your clay dry, soaked and boiled, and put the weights into its file in clays/."
            .to_owned(),
    ]
}
