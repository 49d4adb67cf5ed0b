//! `glost start`: what was made, the first ticket, the label, what is next.

use glost_chemistry::diagnostic::Diagnostic;
use serde_json::{Value, json};

use crate::label::LabelPage;
use crate::label_sheet::LabelSheet;
use crate::layout::{Style, indented};
use crate::sheet::Pages;
use crate::weigh::WeighPage;

/// Ticket and label to print, a page each or more; `code_text` for the label's code.
///
/// # Errors
/// A label that doesn't fit a page of its own.
pub fn first_pages(ticket: WeighPage<'_>, label: LabelPage<'_>, code_text: &str) -> Result<Pages, Diagnostic> {
    let mut pages = ticket.pages();
    let labels = LabelSheet {
        labels: vec![label],
        copies: 1,
        skip: 0,
        grid: LabelSheet::plain(label.kind),
        outlines: true,
        code_text: Some(code_text.to_owned()),
    };
    pages.drawings.extend(labels.print()?.pages.drawings);
    Ok(pages)
}

/// The first day.
#[derive(Debug)]
pub struct StartPage<'a> {
    /// The folder that was made.
    pub dir: &'a str,
    /// Its files.
    pub files: &'a [String],
    /// The first ticket.
    pub ticket: WeighPage<'a>,
    /// The label.
    pub label: LabelPage<'a>,
    /// What is uncertain about a recipe that was read.
    pub doubts: &'a [String],
    /// The page that was written.
    pub page: Option<&'a str>,
}

impl StartPage<'_> {
    /// As JSON; `ticket` is that of `glost weigh`.
    pub fn json(&self) -> Value {
        json!({
            "dir": self.dir,
            "files": self.files,
            "ticket": self.ticket.json(),
            "label": self.label.json(None),
            "doubts": self.doubts,
            "page": self.page,
        })
    }

    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
        let mut text = style.bold(&format!(
            "Your studio is in {}. Here are the first ticket and label.",
            self.dir
        ));
        text.push_str("\n\nTICKET\n\n");
        text.push_str(&self.ticket.text(style));
        text.push_str("\nLABEL\n\n");
        text.push_str(&self.label.text(style));
        text.push('\n');
        for doubt in self.doubts {
            text.push_str(&indented("Doubt: ", doubt));
        }
        for next in self.next() {
            text.push_str(&indented("Next: ", &next));
        }
        text
    }

    fn next(&self) -> Vec<String> {
        let (dir, glaze) = (self.dir, &self.label.label.glaze);
        let print = match self.page {
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
}
