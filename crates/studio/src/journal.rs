//! Journals of a studio: files of lines that are read whole, added to and never
//! rewritten. One [`Journal`] serves notes, versions and batches; what a journal
//! holds says by [`Kept`] how its text is read.

use std::fs::TryLockError;
use std::io;
use std::marker::PhantomData;
use std::path::PathBuf;
use std::time::Duration;

use glost_chemistry::diagnostic::{Diagnostic, Source};

use crate::disk::{About, Disk, DiskFile, is_there, read_at_most};
use crate::folder::StudioFolder;
use crate::line_file::LineFile;

/// How often and how long a reader waits for a writer.
const READ_TRIES: u32 = 100;
const READ_PAUSE: Duration = Duration::from_millis(10);

/// What a journal holds.
pub(crate) trait Kept: Sized {
    /// The journal's name in the studio's folder.
    const FILE: &'static str;
    /// The largest journal that is read, in bytes.
    const MOST_BYTES: u64;

    /// Reads the lines, and complains about those that can't be.
    fn parse(source: &Source) -> (Self, Vec<Diagnostic>);

    /// The complaint that the journal can't be read at all.
    fn unreadable(journal: &Journal<Self>, why: &Unreadable) -> Diagnostic;
}

/// Why a journal can't be read at all.
#[derive(Debug)]
pub(crate) enum Unreadable {
    /// What the disk says.
    Disk(io::Error),
    /// A folder, a pipe, a device.
    NoPlainFile(About),
    /// So many bytes.
    TooLarge(u64),
}

/// A journal in a studio's folder.
#[derive(Debug)]
pub(crate) struct Journal<T> {
    pub folder: StudioFolder,
    kept: PhantomData<fn() -> T>,
}

/// A journal held against other writers, with what it holds.
#[derive(Debug)]
pub(crate) struct Held<T> {
    pub lines: LineFile,
    pub kept: T,
    pub complaints: Vec<Diagnostic>,
}

impl<T: Kept> Journal<T> {
    pub fn of(folder: &StudioFolder) -> Journal<T> {
        Journal {
            folder: folder.clone(),
            kept: PhantomData,
        }
    }

    fn disk(&self) -> &dyn Disk {
        &*self.folder.disk
    }

    pub fn path(&self) -> PathBuf {
        self.folder.dir.join(T::FILE)
    }

    /// Its name in complaints.
    pub fn shown(&self) -> String {
        self.folder.shown(T::FILE)
    }

    /// Whether it was begun.
    pub fn is_begun(&self) -> bool {
        is_there(self.disk(), &self.path())
    }

    /// What it holds, and every complaint about its lines; what an empty one holds
    /// where none was begun.
    ///
    /// # Errors
    /// It is there and can't be read at all.
    pub fn read(&self) -> Result<(T, Vec<Diagnostic>), Diagnostic> {
        let bytes = self.bytes().map_err(|why| T::unreadable(self, &why))?;
        // A notebook of years is held once.
        let source = self.source(bytes);
        Ok(T::parse(&source))
    }

    /// Whether a text stands anywhere in it; what can't be read may hold it.
    pub fn holds(&self, text: &str) -> bool {
        let stands_in = |bytes: Vec<u8>| memchr::memmem::find(&bytes, text.as_bytes()).is_some();
        self.bytes().map_or(true, stands_in)
    }

    /// Holds it against other writers, and reads it; begins it where there is none.
    ///
    /// # Errors
    /// Another process keeps it locked for ten seconds; it is larger than 64 MB, no
    /// plain file, or can't be opened.
    pub fn held(&self) -> Result<Held<T>, Diagnostic> {
        let mut lines = LineFile::open(&self.folder.disk, &self.path())?;
        let source = self.source(lines.bytes()?);
        let (kept, complaints) = T::parse(&source);
        Ok(Held {
            lines,
            kept,
            complaints,
        })
    }

    /// Adds the lines that `compose` makes of what the journal holds, all or none of
    /// them, and waits until they are on disk. From reading to the last byte no
    /// other `glost` can write to it. No lines: nothing is written.
    ///
    /// # Errors
    /// What `compose` says; a line holds a line end; as [`Journal::held`]; it can't
    /// be written. The journal is then as it was.
    pub fn add<A, E: From<Diagnostic>>(&self, compose: impl FnOnce(&T) -> Result<(Vec<String>, A), E>) -> Result<A, E> {
        let mut held = self.held()?;
        let (lines, answer) = compose(&held.kept)?;
        held.lines.append_all(&lines)?;
        Ok(answer)
    }

    /// What isn't UTF-8 becomes a replacement sign, so that one damaged line, torn
    /// inside a letter, hides no other.
    fn source(&self, bytes: Vec<u8>) -> Source {
        Source::from_text(&self.shown(), &String::from_utf8_lossy(&bytes))
    }

    fn bytes(&self) -> Result<Vec<u8>, Unreadable> {
        let path = self.path();
        let about = match self.disk().about(&path) {
            Ok(about) => about,
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
            Err(error) => return Err(Unreadable::Disk(error)),
        };
        if !about.is_file() {
            return Err(Unreadable::NoPlainFile(about));
        }
        if about.bytes > T::MOST_BYTES {
            return Err(Unreadable::TooLarge(about.bytes));
        }
        let mut file = self.disk().open(&path).map_err(Unreadable::Disk)?;
        wait_for_writer(&mut *file);
        read_at_most(&mut *file, T::MOST_BYTES).map_err(Unreadable::Disk)
    }
}

/// Waits a little for whoever is writing, so that no half line is read. Reading
/// goes on without the lock: a stuck writer hides no notes.
#[allow(clippy::disallowed_methods, reason = "locks can't be waited for with an end to it")]
fn wait_for_writer(file: &mut dyn DiskFile) {
    for _ in 0..READ_TRIES {
        match file.try_lock_shared() {
            Err(TryLockError::WouldBlock) => std::thread::sleep(READ_PAUSE),
            Ok(()) | Err(TryLockError::Error(_)) => return,
        }
    }
}
