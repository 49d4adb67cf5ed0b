//! The studio's notebook of results: `notes.jsonl` and `versions.jsonl`, read
//! whole, added to and never rewritten.

use std::fs::{self, TryLockError};
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use std::time::Duration;

use glost_chemistry::diagnostic::{Diagnostic, Source};
use glost_core::evidence::notes::{Notes, Versions};

use crate::line_file::{MOST_JOURNAL_BYTES, append_lines};
use crate::text_file::about_file;
use crate::workplace::Workplace;

const NOTES_FILE: &str = "notes.jsonl";
const VERSIONS_FILE: &str = "versions.jsonl";
/// How often and how long a reader waits for a writer.
const READ_TRIES: u32 = 100;
const READ_PAUSE: Duration = Duration::from_millis(10);

impl Workplace {
    /// The notebook as it stands, and every complaint about its lines; empty
    /// where none is kept yet or there is no studio.
    ///
    /// # Errors
    /// The file is there and can't be read at all.
    pub fn notes(&self) -> Result<(Notes, Vec<Diagnostic>), Diagnostic> {
        Ok(Notes::read(&self.journal(NOTES_FILE)?))
    }

    /// The recorded versions, as [`Workplace::notes`].
    ///
    /// # Errors
    /// As [`Workplace::notes`].
    pub fn versions(&self) -> Result<(Versions, Vec<Diagnostic>), Diagnostic> {
        Ok(Versions::read(&self.journal(VERSIONS_FILE)?))
    }

    /// Adds the lines that `compose` makes of the notebook; they are on disk
    /// when this returns. See [`append_lines`].
    ///
    /// # Errors
    /// No studio to keep notes in; what `compose` says; it can't be written.
    pub fn add_notes<T, E: From<Diagnostic>>(
        &self,
        compose: impl FnOnce(&Notes) -> Result<(Vec<String>, T), E>,
    ) -> Result<T, E> {
        let path = self.kept_in()?.join(NOTES_FILE);
        append_lines(&path, |source| compose(&Notes::read(source).0))
    }

    /// Adds versions, as [`Workplace::add_notes`].
    ///
    /// # Errors
    /// As [`Workplace::add_notes`].
    pub fn add_versions<T, E: From<Diagnostic>>(
        &self,
        compose: impl FnOnce(&Versions) -> Result<(Vec<String>, T), E>,
    ) -> Result<T, E> {
        let path = self.kept_in()?.join(VERSIONS_FILE);
        append_lines(&path, |source| compose(&Versions::read(source).0))
    }

    /// The folder that the notebook lies in.
    ///
    /// # Errors
    /// There is no studio.
    pub fn kept_in(&self) -> Result<PathBuf, Diagnostic> {
        let dir = self.studio_dir().ok_or_else(|| {
            Diagnostic::error("no-studio", "there is no studio's folder here to keep notes in")
                .help("`glost start` makes one from five answers; or name one with --studio")
        })?;
        Ok(dir.to_owned())
    }

    fn journal(&self, name: &str) -> Result<Source, Diagnostic> {
        match self.studio_dir() {
            Some(dir) => read_journal(&dir.join(name), &self.shown(name)),
            None => Ok(Source::from_text(name, "")),
        }
    }
}

/// A journal's text; empty where there is none. What isn't UTF-8 becomes a
/// replacement sign, so that one damaged line hides no other.
fn read_journal(path: &Path, shown: &str) -> Result<Source, Diagnostic> {
    let cannot = |why: String| about_file("cannot-read", format!("`{shown}` can't be read: {why}"), shown);
    let metadata = match fs::metadata(path) {
        Ok(metadata) => metadata,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Source::from_text(shown, "")),
        Err(error) => return Err(cannot(error.to_string())),
    };
    if !metadata.is_file() {
        return Err(
            cannot("it is no plain file".to_owned()).help("move it away: notes are kept in a file of that name")
        );
    }
    if metadata.len() > MOST_JOURNAL_BYTES {
        let message = format!("it is {:.1} MB large", metadata.len() as f64 / 1e6);
        return Err(cannot(message).help("move it away and start a new one; nothing is lost by that"));
    }
    let mut bytes = Vec::new();
    let file = fs::File::open(path).map_err(|error| cannot(error.to_string()))?;
    wait_for_writer(&file);
    let read = file.take(MOST_JOURNAL_BYTES).read_to_end(&mut bytes);
    read.map_err(|error| cannot(error.to_string()))?;
    Ok(Source::from_text(shown, &String::from_utf8_lossy(&bytes)))
}

/// Waits a little for whoever is writing, so that no half line is read. Reading
/// goes on without the lock: a stuck writer hides no notes.
fn wait_for_writer(file: &fs::File) {
    for _ in 0..READ_TRIES {
        match file.try_lock_shared() {
            Err(TryLockError::WouldBlock) => std::thread::sleep(READ_PAUSE),
            Ok(()) | Err(TryLockError::Error(_)) => return,
        }
    }
}
