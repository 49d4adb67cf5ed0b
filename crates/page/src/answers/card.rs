//! `glost card`.

use glost_chemistry::diagnostic::Diagnostic;
use glost_desk::card::Answer;

use crate::Shown;
use crate::layout::{Align, Style, Table, capital, indented, paragraph};
use crate::print::{Printed, card_sheet};
use crate::words::card::{NO_LOOKS, cautions, facts, heads, looks, rows, scales, wet};
use crate::words::laboratory::sentence;

impl Shown for Answer {
    fn text(&self, style: Style) -> String {
        let mut text = style.bold(paragraph(&self.glaze, 0).trim_end());
        text.push('\n');
        for fact in facts(self) {
            text.push_str(&paragraph(&fact, 2));
        }
        text.push('\n');
        let mut align = vec![Align::Left, Align::Point];
        align.extend(self.batches.iter().map(|_| Align::Right));
        let mut table = Table::new(&align);
        table.row(heads(self));
        for row in rows(self) {
            table.row(row);
        }
        text.push_str(&table.text());
        for said in scales(self) {
            text.push_str(&paragraph(&said, 0));
        }
        text.push('\n');
        for line in wet(self) {
            text.push_str(&paragraph(&line, 2));
        }
        text.push('\n');
        if self.looks.is_empty() {
            text.push_str(&indented("Looked at: ", NO_LOOKS));
        } else {
            text.push_str("Looked at, the latest first:\n");
            for look in looks(self) {
                text.push_str(&indented("  ", &look));
            }
        }
        text.push('\n');
        if let Some(laboratory) = &self.laboratory {
            text.push_str(&indented("Laboratory: ", &capital(&sentence(laboratory))));
        }
        for caution in cautions(self) {
            text.push_str(&indented("! ", &caution));
        }
        text
    }

    fn printed(&self) -> Result<Printed, Diagnostic> {
        let Some(file) = &self.page else {
            return Ok(Printed::default());
        };
        let pages = card_sheet::pages(self);
        let cards = match pages.drawings.len() {
            1 => String::new(),
            several => format!(" It takes {several} cards."),
        };
        let said = format!(
            "\nPage: {}, to open in a browser and print on {}.{cards}\n",
            file.path.display(),
            self.paper.name()
        );
        Printed::pages(file, &pages, said)
    }
}
