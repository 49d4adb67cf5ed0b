//! A line of the notebook taken back.

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::quantity::Date;
use glost_core::evidence::notes::{Note, Notes, Void};
use serde::{Serialize, Serializer};

use crate::wire::NoteJson;
use crate::{Desk, Failure};

/// A line that was just taken back.
#[derive(Debug, Clone, PartialEq)]
pub struct TakenBack {
    /// The line that says so.
    pub line: usize,
    /// The day.
    pub on: Date,
    /// The line taken back.
    pub of: usize,
    /// Why.
    pub text: Option<String>,
    /// What stood there.
    pub what: WhatStood,
}

/// What stood on a line that is taken back.
#[derive(Debug, Clone, PartialEq)]
pub enum WhatStood {
    /// A note.
    Note(Box<Note>),
    /// A line that took this one back: it stands again.
    Void(usize),
    /// Nothing that could be read.
    Unread,
}

#[derive(Serialize, schemars::JsonSchema)]
struct TakenBackJson<'a> {
    line: usize,
    on: String,
    void: usize,
    text: Option<&'a str>,
    taken_back: Option<NoteJson<'a>>,
}

impl Serialize for TakenBack {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        TakenBackJson {
            line: self.line,
            on: self.on.to_string(),
            void: self.of,
            text: self.text.as_deref(),
            taken_back: match &self.what {
                WhatStood::Note(note) => Some(NoteJson(note)),
                WhatStood::Void(_) | WhatStood::Unread => None,
            },
        }
        .serialize(to)
    }
}

crate::wire::written_as!(TakenBack: TakenBackJson<'_>);

pub(super) fn take_back(desk: &Desk, what: &str, on: Date, text: Option<String>) -> Result<TakenBack, Failure> {
    desk.workplace().add_notes(|notes| -> Result<_, Failure> {
        let of = line_of(notes, what)?;
        can_be_taken_back(notes, of)?;
        let id = notes.id_of(of).ok_or_else(|| no_such_line(notes, what))?;
        let why = text.clone().filter(|text| !text.trim().is_empty());
        let void = notes.void_anew(Void::by_id(id, Some(on), why));
        let what = match (notes.at(of), notes.voids().iter().find(|void| void.line == of)) {
            (Some(note), _) => WhatStood::Note(Box::new(note.clone())),
            (None, Some(void)) => WhatStood::Void(void.of),
            (None, None) => WhatStood::Unread,
        };
        let taken_back = TakenBack {
            line: notes.line_count() + 1,
            on,
            of,
            text: text.clone(),
            what,
        };
        Ok((vec![void.to_line()], taken_back))
    })
}

fn can_be_taken_back(notes: &Notes, line: usize) -> Result<(), Diagnostic> {
    let void = notes.voids().iter().find(|void| void.counts && void.of == line);
    if let Some(void) = void {
        let message = format!("line {line} was taken back already, by line {}", void.line);
        return Err(Diagnostic::error("void-already", message)
            .help(format!("`glost note --void {}` makes it stand again", void.line)));
    }
    Ok(())
}

/// The note on a line, where nobody took it back.
pub(super) fn standing_note(notes: &Notes, line: usize) -> Result<&Note, Diagnostic> {
    let Some(note) = notes.at(line) else {
        return Err(no_such_line(notes, &line.to_string()));
    };
    match (notes.follow(line), note.void) {
        (Some(note), _) => Ok(note),
        (None, None) => Err(no_such_line(notes, &line.to_string())),
        (None, Some(void)) => {
            let message = format!("the note on line {line} was taken back by line {void}");
            Err(Diagnostic::error("void-already", message).help("`glost notes` shows the lines that stand"))
        }
    }
}

/// The line that a number or an id names.
pub(super) fn line_of(notes: &Notes, text: &str) -> Result<usize, Diagnostic> {
    notes.line_of(text).ok_or_else(|| no_such_line(notes, text))
}

fn no_such_line(notes: &Notes, line: &str) -> Diagnostic {
    let is_number = line.chars().all(|sign| sign.is_ascii_digit());
    let message = match notes.line_count() {
        count if count > 0 && !is_number => format!("no note has the id `{line}`"),
        0 => "nothing is noted yet".to_owned(),
        1 => format!("no note stands on line {line}: the notebook has one line"),
        count => format!("no note stands on line {line}: the notebook has {count} lines"),
    };
    Diagnostic::error("no-such-line", message).help("`glost notes` shows each note with its line")
}
