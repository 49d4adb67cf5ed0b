//! `glost start`: what was made, the first ticket, the label, what is next.

use glost_chemistry::diagnostic::Diagnostic;
use glost_desk::start::Answer;

use super::label::label_text;
use super::weigh;
use crate::Shown;
use crate::layout::{Style, indented};
use crate::print::label_sheet::LabelSheet;
use crate::print::{File, Printed, ticket_sheet};
use crate::words::say;
use crate::words::ticket::{volume, water_words};

impl Shown for Answer {
    /// What fits a terminal of 24 lines: the batch, its water, its cautions, where the rest is.
    fn text(&self, style: Style) -> String {
        let ticket = &self.ticket;
        let mut text = style.bold(&format!("Your studio is in {}. The first batch:", self.dir));
        text.push('\n');
        text.push_str(&weigh::weighings(ticket));
        text.push_str(&indented(
            "Water: ",
            &format!(
                "{}, {} of it first; makes {} at {:.2} g/ml.",
                water_words(ticket),
                volume(10.0 * (ticket.water_first_millilitres / 10.0).round()),
                volume(ticket.volume_millilitres),
                ticket.density
            ),
        ));
        for caution in &ticket.cautions {
            text.push_str(&indented("Caution: ", &format!("{}.", say(caution))));
        }
        for doubt in self.doubts.iter().take(MOST_DOUBTS) {
            text.push_str(&indented("Doubt: ", &say(doubt)));
        }
        if self.doubts.len() > MOST_DOUBTS {
            let more = self.doubts.len() - MOST_DOUBTS;
            text.push_str(&indented(
                "Doubt: ",
                &format!("and {more} more, in {}.", self.reading.display()),
            ));
        }
        text.push_str(&indented(
            "Ticket and label: ",
            &format!(
                "open {} in a browser and print; to read, {}.",
                self.file.path.display(),
                self.reading.display()
            ),
        ));
        for (index, next) in next(self).iter().take(NEXT_SHOWN).enumerate() {
            let first = if index == 0 && self.dir != "." {
                format!("cd {}; ", self.dir)
            } else {
                String::new()
            };
            text.push_str(&indented("Next: ", &format!("{first}{next}")));
        }
        text
    }

    /// Ticket and label, a page each or more; and all of it as text.
    fn printed(&self) -> Result<Printed, Diagnostic> {
        let mut pages = ticket_sheet::pages(&self.ticket);
        let label = LabelSheet {
            labels: std::slice::from_ref(&self.label),
            sheet: &self.sheet,
        };
        match label.print() {
            Ok(label) => pages.drawings.extend(label.pages.drawings),
            // A label that doesn't fit is no reason not to begin; who asks for the page is told.
            Err(_) if !self.asked_for_page => {}
            Err(why) => return Err(why),
        }
        let mut printed = Printed::pages(&self.file, &pages, String::new())?;
        printed.files.push(File {
            path: self.reading.clone(),
            text: whole(self),
        });
        Ok(printed)
    }
}

/// Doubts about a recipe that the screen has room for.
const MOST_DOUBTS: usize = 3;
/// The jar of the example, ml.
const JAR_MILLILITRES: f64 = 500.0;
/// What comes next, as far as the screen has room for it.
const NEXT_SHOWN: usize = 2;

/// The ticket, the label and what is next, to be read at leisure.
fn whole(answer: &Answer) -> String {
    let style = Style::default();
    let mut text = "TICKET\n\n".to_owned();
    text.push_str(&answer.ticket.text(style));
    text.push_str("\nLABEL\n\n");
    text.push_str(&label_text(&answer.label, style));
    text.push('\n');
    for doubt in &answer.doubts {
        text.push_str(&indented("Doubt: ", &say(doubt)));
    }
    for next in next(answer) {
        text.push_str(&indented("Next: ", &next));
    }
    text
}

fn next(answer: &Answer) -> Vec<String> {
    let glaze = &answer.label.label.glaze;
    let jar = JAR_MILLILITRES * answer.ticket.density;
    vec![
        format!(
            "weigh a jar of it (about {jar:.0} g in {JAR_MILLILITRES:.0} ml, its own weight taken off): `glost slurry \
             \"{glaze}\" --jar \"{JAR_MILLILITRES:.0} ml = {jar:.0} g\"` with your figure says how wet it is."
        ),
        format!("count the pieces in your cupboard, crazed and whole: `glost note \"{glaze}\" --made 2025-03 --crazed 5/20`."),
        "dip a tile, fire it as always, look at it after a day, a month and half a year, and note what you see (`glost due` reminds)."
            .to_owned(),
        "weigh three fired bars of your clay dry, soaked and boiled, and put the weights into its file in clays/."
            .to_owned(),
        format!("another label or another sheet: `glost label \"{glaze}\" --page label.html`."),
    ]
}
