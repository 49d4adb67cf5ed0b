//! `glost rename`.

use glost_desk::rename::Answer;

use crate::Shown;
use crate::layout::{Style, indented};

impl Shown for Answer {
    fn text(&self, style: Style) -> String {
        let done = &self.done;
        let (of, from, to) = (done.rename.of.word(), &done.rename.from, &done.rename.to);
        let mut text = style.bold(&format!("The {of} {from} is now {to}."));
        text.push_str("\n\n");
        text.push_str(&indented("Changed: ", &format!("{}.", done.files.join(", "))));
        if let Some(moved) = &done.moved_to {
            text.push_str(&indented("Its file: ", &format!("{moved}.")));
        }
        text.push_str(&indented(
            "Notebook: ",
            "a line says so; what was noted under the old name is found under the new, and nothing is rewritten.",
        ));
        for named in &done.named_in {
            let place = format!(
                "{}, line {}: the old name stands in this script; change it there.",
                named.file, named.line
            );
            text.push_str(&indented("Left: ", &place));
        }
        text
    }
}
