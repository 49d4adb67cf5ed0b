//! The studio's notebook of results: `notes.jsonl` and `versions.jsonl`.

use std::path::PathBuf;

use glost_chemistry::diagnostic::{Diagnostic, Source};
use glost_core::evidence::notes::{Notes, Versions, Void};

use crate::folder::StudioFolder;
use crate::journal::{Journal, Kept, Unreadable};
use crate::line_file::MOST_JOURNAL_BYTES;
use crate::text_file::about_file;
use crate::workplace::Workplace;

impl Kept for Notes {
    const FILE: &'static str = "notes.jsonl";
    const MOST_BYTES: u64 = MOST_JOURNAL_BYTES;

    fn parse(source: &Source) -> (Notes, Vec<Diagnostic>) {
        Notes::read(source)
    }

    fn unreadable(journal: &Journal<Notes>, why: &Unreadable) -> Diagnostic {
        cannot_read(&journal.shown(), why)
    }
}

impl Kept for Versions {
    const FILE: &'static str = "versions.jsonl";
    const MOST_BYTES: u64 = MOST_JOURNAL_BYTES;

    fn parse(source: &Source) -> (Versions, Vec<Diagnostic>) {
        Versions::read(source)
    }

    fn unreadable(journal: &Journal<Versions>, why: &Unreadable) -> Diagnostic {
        cannot_read(&journal.shown(), why)
    }
}

pub(crate) fn cannot_read(shown: &str, why: &Unreadable) -> Diagnostic {
    let cannot = |why: String| about_file("cannot-read", format!("`{shown}` can't be read: {why}"), shown);
    match why {
        Unreadable::Disk(error) => cannot(error.to_string()),
        Unreadable::NoPlainFile(_) => {
            cannot("it is no plain file".to_owned()).help("move it away: notes are kept in a file of that name")
        }
        Unreadable::TooLarge(bytes) => cannot(format!("it is {:.1} MB large", *bytes as f64 / 1e6))
            .help("move it away and start a new one; nothing is lost by that"),
    }
}

impl Workplace {
    /// The notebook as it stands, and every complaint about its lines; empty
    /// where none is kept yet or there is no studio.
    ///
    /// # Errors
    /// The file is there and can't be read at all.
    pub fn notes(&self) -> Result<(Notes, Vec<Diagnostic>), Diagnostic> {
        self.read_journal()
    }

    /// Whether a text stands anywhere in the notebook: a quick look before it is read.
    pub fn notebook_holds(&self, text: &str) -> bool {
        self.folder()
            .is_some_and(|folder| Journal::<Notes>::of(folder).holds(text))
    }

    /// The recorded versions, as [`Workplace::notes`].
    ///
    /// # Errors
    /// As [`Workplace::notes`].
    pub fn versions(&self) -> Result<(Versions, Vec<Diagnostic>), Diagnostic> {
        self.read_journal()
    }

    /// Adds the lines that `compose` makes of the notebook, all or none; they are
    /// on disk when this returns, and no other `glost` writes to it meanwhile.
    ///
    /// # Errors
    /// No studio to keep notes in; what `compose` says; it can't be written.
    pub fn add_notes<T, E: From<Diagnostic>>(
        &self,
        compose: impl FnOnce(&Notes) -> Result<(Vec<String>, T), E>,
    ) -> Result<T, E> {
        Journal::of(self.keeping()?).add(|notes: &Notes| {
            if let Some(line) = notes.conflict() {
                return Err(left_by_a_merge("notes.jsonl", line).into());
            }
            let (mut lines, answer) = compose(notes)?;
            if !lines.is_empty() {
                lines.extend(notes.id_forms().iter().map(Void::to_line));
            }
            Ok((lines, answer))
        })
    }

    /// Adds versions, as [`Workplace::add_notes`].
    ///
    /// # Errors
    /// As [`Workplace::add_notes`].
    pub fn add_versions<T, E: From<Diagnostic>>(
        &self,
        compose: impl FnOnce(&Versions) -> Result<(Vec<String>, T), E>,
    ) -> Result<T, E> {
        Journal::of(self.keeping()?).add(compose)
    }

    /// The folder that the notebook lies in.
    ///
    /// # Errors
    /// There is no studio.
    pub fn kept_in(&self) -> Result<PathBuf, Diagnostic> {
        self.keeping().map(|folder| folder.dir.clone())
    }

    pub(crate) fn keeping(&self) -> Result<&StudioFolder, Diagnostic> {
        self.folder().ok_or_else(|| {
            Diagnostic::error("no-studio", "there is no studio's folder here to keep notes in")
                .help("`glost start` makes one from five answers; or name one with --studio")
        })
    }

    pub(crate) fn read_journal<T: Kept>(&self) -> Result<(T, Vec<Diagnostic>), Diagnostic> {
        match self.folder() {
            Some(folder) => Journal::of(folder).read(),
            None => Ok(T::parse(&Source::from_text(T::FILE, ""))),
        }
    }
}

/// Nothing is written among the marks of a conflict: which side a new line belonged to could
/// not be told.
pub(crate) fn left_by_a_merge(file: &str, line: usize) -> Diagnostic {
    Diagnostic::error(
        "conflict-mark",
        format!("{file}, line {line}: git left its marks of a conflict; nothing was written"),
    )
    .help("keep the lines of both sides, take the lines of <, = and > out, and save; their order doesn't matter")
}
