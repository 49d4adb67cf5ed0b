//! What pieces look like, noted: one look, many in a table, a line taken back.

mod again;
mod blank;
mod books;
mod draft;
mod named;
mod one;
mod record;
mod said;
mod sheet;
mod take_back;
mod typed;
mod which;

pub use again::look_again;
pub use blank::{BlankForm, BlankSheet};
pub use draft::{DRAFT_KEYS, Draft, Settled, Slip};
pub(crate) use one::note_of_results;
pub use one::{Meaning, NextLook, Noted};
pub use said::Noticed;
pub use sheet::TypedIn;
pub use take_back::{TakenBack, WhatStood};
pub use typed::{MadeOn, parse_age, parse_grade, parse_made, parse_share, parse_thickness};

use std::path::PathBuf;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::quantity::Date;
use serde::Serialize;

use crate::{Desk, Failure, Words, words::bad_option};

/// What stands for other keys in a sheet, and what may be said several times: no options
/// of one value.
const NO_OPTIONS: [&str; 4] = ["age_days", "thickness_mm", "grade", "grades"];

/// What is asked.
#[derive(Debug, Clone)]
pub enum Question {
    /// A blank sheet.
    Blank {
        /// The file that it goes into.
        file: PathBuf,
        /// What it is to be.
        form: BlankForm,
        /// What is known of the pieces already.
        usual: Draft,
    },
    /// One note.
    One {
        /// What was typed of it.
        draft: Draft,
        /// The line or id of an earlier look at the same pieces.
        again: Option<String>,
        /// Whether names that no file has are taken.
        unlisted: bool,
        /// Whether a note that is there already is written once more.
        twice: bool,
    },
    /// A line taken back.
    TakeBack {
        /// The line, by its number or its id.
        line: String,
        /// The day; else today.
        on: Option<Date>,
        /// Why.
        text: Option<String>,
    },
    /// A table of notes, all of it or none.
    Sheet {
        /// The table's file.
        file: String,
        /// What holds for every row that doesn't say it itself.
        usual: Draft,
        /// Whether names that no file has are taken.
        unlisted: bool,
        /// Whether rows that are noted already are noted again.
        twice: bool,
    },
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        if let Some(file) = words.text("blank") {
            let file = PathBuf::from(file);
            return Ok(Question::Blank {
                form: BlankForm::of(&file)?,
                file,
                usual: draft(words),
            });
        }
        if let Some(line) = words.owned("void") {
            return Ok(Question::TakeBack {
                line,
                on: words.read("on", Date::parse)?,
                text: words.owned("text"),
            });
        }
        let unlisted = words.flag("unlisted");
        if let Some(file) = words.owned("sheet") {
            return Ok(Question::Sheet {
                file,
                usual: draft(words),
                unlisted,
                twice: words.flag("twice"),
            });
        }
        Ok(Question::One {
            draft: draft(words),
            again: words.owned("again"),
            unlisted,
            twice: words.flag("twice"),
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let today = desk.today()?;
        if !matches!(self, Question::Blank { .. }) {
            desk.workplace().kept_in()?;
        }
        Ok(match self {
            Question::Blank { file, form, usual } => Answer::Blank(Box::new(BlankSheet {
                file: file.clone(),
                form: *form,
                usual: usual.clone(),
                today,
            })),
            Question::One {
                draft,
                again,
                unlisted,
                twice,
            } => {
                let writing = one::Writing {
                    again: again.as_deref(),
                    unlisted: *unlisted,
                    twice: *twice,
                };
                Answer::Noted(Box::new(one::note(desk, draft.clone(), writing, today)?))
            }
            Question::TakeBack { line, on, text } => Answer::TakenBack(Box::new(take_back::take_back(
                desk,
                line,
                on.unwrap_or(today),
                text.clone(),
            )?)),
            Question::Sheet {
                file,
                usual,
                unlisted,
                twice,
            } => {
                let asked = sheet::Asked {
                    file,
                    usual,
                    unlisted: *unlisted,
                    twice: *twice,
                };
                Answer::Typed(Box::new(asked.type_in(desk, today)?))
            }
        })
    }
}

/// What was written.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
#[serde(untagged)]
pub enum Answer {
    /// A blank sheet.
    Blank(Box<BlankSheet>),
    /// One note.
    Noted(Box<Noted>),
    /// A line taken back.
    TakenBack(Box<TakenBack>),
    /// A table of notes.
    Typed(Box<TypedIn>),
}

impl crate::Answer for Answer {}

/// A note as typed.
fn draft(words: &Words) -> Draft {
    let mut draft = Draft::default();
    for key in DRAFT_KEYS.into_iter().filter(|key| !NO_OPTIONS.contains(key)) {
        if let Some(text) = words.text(key) {
            draft.say(key, text);
        }
    }
    for grade in words.list("grade") {
        draft.say("grade", grade);
    }
    draft
}

/// What is wrong with an option.
fn slip(slip: Slip) -> Diagnostic {
    match slip.key {
        "glaze" => Diagnostic::error("nothing-named", slip.trouble.message).maybe_help(slip.trouble.help),
        "age_days" => bad_option("age", slip.trouble),
        key => bad_option(key, slip.trouble),
    }
}
