//! `glost script add`, `update`, `remove` and `pack`.

use glost_desk::scripts::packages::{Answer, Deed};

use crate::Shown;
use crate::layout::{Style, indented, paragraph};

impl Shown for Answer {
    fn is_verbatim(&self) -> bool {
        true
    }

    fn text(&self, style: Style) -> String {
        let mut text = style.bold(&headline(self));
        text.push('\n');
        if self.told && !self.done {
            return "Nothing was taken in.\n".to_owned();
        }
        if self.deed == Deed::Remove || self.told {
            return text;
        }
        for (lead, told) in [("Author: ", &self.author), ("Licence: ", &self.licence)] {
            text.push_str(&indented(lead, told.as_deref().unwrap_or("not said")));
        }
        text.push_str(&indented("From: ", &self.from));
        text.push_str(&indented("Files: ", &format!("{}.", self.files.join(", "))));
        if !self.instead.is_empty() {
            let come = if self.instead.len() == 1 { "comes" } else { "come" };
            let what = format!("{}, which {come} with Glost.", self.instead.join(", "));
            text.push_str(&indented("In place of: ", &what));
        }
        if self.deed == Deed::Update {
            let moved: Vec<String> = self
                .moved
                .iter()
                .map(|one| format!("{} {}", one.file, one.how))
                .collect();
            let what = if moved.is_empty() {
                "nothing".to_owned()
            } else {
                moved.join(", ")
            };
            text.push_str(&indented("Moves: ", &format!("{what}.")));
            for one in self.moved.iter().filter(|one| !one.lines.is_empty()) {
                text.push_str(&format!("\n{}\n{}\n", one.file, super::lines_text(&one.lines)));
            }
        }
        text.push_str(&indented(
            "Tests: ",
            &format!("{} hold, {} failures.", self.tests, self.failures.len()),
        ));
        for failure in &self.failures {
            text.push_str(&crate::diagnostic::text(&failure.0));
        }
        if self.held_back {
            text.push_str(&paragraph(
                "Nothing was taken in: its tests don't all hold. Ask its author; `--yes --failing` takes it in all the same.",
                0,
            ));
        }
        text
    }
}

fn headline(answer: &Answer) -> String {
    let package = format!("{} {}", answer.name, answer.version);
    match (answer.deed, answer.done) {
        (Deed::Add, true) => format!("{package} is in scripts/from/{}, held by scripts.lock.", answer.name),
        (Deed::Add, false) => format!("{package} would come in:"),
        (Deed::Update, true) => format!("{package} is renewed."),
        (Deed::Update, false) => format!("{package} would take the place of what is here:"),
        (Deed::Remove, _) => format!("{package} is taken out."),
        (Deed::Pack, _) => format!("{package} is in {}.", answer.file.as_deref().unwrap_or("a file")),
    }
}
