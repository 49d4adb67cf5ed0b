//! A new name for a glaze, a material or a clay, everywhere.

use glost_chemistry::diagnostic::Diagnostic;
use glost_studio::{Editable, OfWhat, RenameDone};
use serde::{Serialize, Serializer};

use crate::set::{no_such, of_what};
use crate::{Desk, Failure, Words};

/// What is asked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// The old name.
    pub from: String,
    /// The new one.
    pub to: String,
    /// What it is, where several have the name.
    pub of: Option<OfWhat>,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        Ok(Question {
            from: words.required("old")?.to_owned(),
            to: words.required("new")?.to_owned(),
            of: of_what(words)?,
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let workplace = desk.workplace();
        let what = self.meant(workplace.editables(&self.from)?)?;
        let done = workplace.rename(&what, &self.to, desk.today()?)?;
        Ok(Answer { done })
    }
}

impl Question {
    fn meant(&self, found: Vec<Editable>) -> Result<Editable, Diagnostic> {
        let asked: Vec<Editable> = found
            .into_iter()
            .filter(|one| self.of.is_none_or(|of| one.of == of))
            .collect();
        match asked.as_slice() {
            [one] => Ok(one.clone()),
            [] => Err(no_such(&self.from, self.of)),
            several => {
                let words: Vec<&str> = several.iter().map(|one| one.of.word()).collect();
                let message = format!("`{}` is the name of a {}", self.from, words.join(" and of a "));
                Err(Diagnostic::error("name-of-several", message)
                    .help(format!("say which: --of {}", words.join(" or --of "))))
            }
        }
    }
}

/// What was renamed.
#[derive(Debug, Clone)]
pub struct Answer {
    /// Names, files and what still has the old one.
    pub done: RenameDone,
}

impl crate::Answer for Answer {}

#[derive(Serialize, schemars::JsonSchema)]
struct NamedInJson<'a> {
    file: &'a str,
    line: usize,
}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    renamed: &'static str,
    from: &'a str,
    to: &'a str,
    files: &'a [String],
    moved_to: Option<&'a str>,
    named_in: Vec<NamedInJson<'a>>,
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let done = &self.done;
        let named_in = done.named_in.iter().map(|named| NamedInJson {
            file: &named.file,
            line: named.line,
        });
        AnswerJson {
            renamed: done.rename.of.word(),
            from: &done.rename.from,
            to: &done.rename.to,
            files: &done.files,
            moved_to: done.moved_to.as_deref(),
            named_in: named_in.collect(),
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);
