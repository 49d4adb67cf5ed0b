//! The JSON Schema of every answer, made from the types that are written, and of a
//! studio's files, made from the keys that their readers know.

mod answers;
mod keys;

use glost_chemistry::diagnostic::{Diagnostic, is_no, suggestion};
use serde::{Serialize, Serializer};
use serde_json::Value;

pub use crate::file_schemas::StudioFile;
use crate::{Desk, Failure, Words};

pub use answers::{answer_schema, answer_words};
pub use keys::list_keys;
pub use schemars::JsonSchema;

/// What is asked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Question {
    /// Which schemas there are.
    Which,
    /// Of a kind of file.
    File(StudioFile),
    /// Of a command's answer.
    Answer(String),
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        let Some(word) = words.text("of") else {
            return Ok(Question::Which);
        };
        let word = word.trim().trim_start_matches("glost ");
        if let Some(file) = StudioFile::ALL.into_iter().find(|file| file.word() == word) {
            return Ok(Question::File(file));
        }
        if answer_words().any(|known| known == word) {
            return Ok(Question::Answer(word.to_owned()));
        }
        let files = || StudioFile::ALL.into_iter().map(StudioFile::word);
        Err(Diagnostic::error(
            "bad-option",
            is_no(word, "file of a studio and no command with an answer"),
        )
        .help(suggestion(word, files().chain(answer_words())).unwrap_or_else(|| {
            format!(
                "files: {}; answers: the command's own name, such as `glost schema unity`",
                files().collect::<Vec<_>>().join(", ")
            )
        })))
    }

    fn ask(&self, _: &Desk) -> Result<Answer, Failure> {
        Ok(self.answer())
    }

    fn at_once(&self) -> Option<Result<Answer, Failure>> {
        Some(Ok(self.answer()))
    }
}

impl Question {
    fn answer(&self) -> Answer {
        match self {
            Question::File(file) => Answer::Schema(file.schema()),
            Question::Answer(word) => answer_schema(word).map_or_else(Answer::which, Answer::Schema),
            Question::Which => Answer::which(),
        }
    }
}

/// A schema, or which there are.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// A schema.
    Schema(Value),
    /// The words for files, and the commands.
    Which {
        /// Files of a studio.
        files: Vec<&'static str>,
        /// Commands whose answers have one.
        answers: Vec<&'static str>,
    },
}

impl Answer {
    fn which() -> Answer {
        Answer::Which {
            files: StudioFile::ALL.into_iter().map(StudioFile::word).collect(),
            answers: answer_words().collect(),
        }
    }
}

#[derive(Serialize)]
struct WhichJson<'a> {
    files: &'a [&'static str],
    answers: &'a [&'static str],
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        match self {
            Answer::Schema(schema) => schema.serialize(to),
            Answer::Which { files, answers } => WhichJson { files, answers }.serialize(to),
        }
    }
}

impl crate::Answer for Answer {}
