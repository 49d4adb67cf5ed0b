//! `glost schema`.

use glost_desk::schema::Answer;

use crate::Shown;
use crate::layout::{Style, indented};

impl Shown for Answer {
    fn is_verbatim(&self) -> bool {
        matches!(self, Answer::Schema(_))
    }

    fn text(&self, _: Style) -> String {
        match self {
            Answer::Schema(schema) => format!("{schema:#}\n"),
            Answer::Which { files, answers } => {
                let lines = [
                    indented("Files: ", &files.join(", ")),
                    indented("Answers: ", &answers.join(", ")),
                    indented("Next: ", "`glost schema glaze` prints one."),
                ];
                lines.concat()
            }
        }
    }
}
