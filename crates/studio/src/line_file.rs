//! Files of lines that only grow: notes, versions, batches.
//!
//! A writer holds the file from before it reads until after its last byte is on
//! disk, so two writers at once never mix and what one has composed from the
//! file still holds when it is written.

use std::fs::TryLockError;
use std::io::{self, SeekFrom};
use std::path::{Path, PathBuf};
use std::sync::{Arc, OnceLock};
use std::time::Duration;

use glost_chemistry::diagnostic::{Diagnostic, is_no};

use crate::disk::{Disk, DiskFile, read_at_most};
use crate::save::{cannot_write, folder_of};

/// How often and how long to wait for another process that is appending: ten seconds.
const LOCK_TRIES: u32 = 1000;
const LOCK_PAUSE: Duration = Duration::from_millis(10);
/// After so many tries somebody wonders what is the matter: a second.
const TELL_AT: u32 = 100;

/// Who hears that a file is waited for.
static HEARS: OnceLock<fn(&Path)> = OnceLock::new();

/// Has somebody hear, once a wait, that another program keeps a file for longer than a
/// second. The first one that is named hears for the whole process.
pub fn tell_of_waiting(hear: fn(&Path)) {
    let _ = HEARS.set(hear);
}
/// The largest file that lines are added to, in bytes.
pub(crate) const MOST_JOURNAL_BYTES: u64 = 64_000_000;

/// A file of lines, held against other writers until it is let go.
#[derive(Debug)]
pub(crate) struct LineFile {
    disk: Arc<dyn Disk>,
    file: Box<dyn DiskFile>,
    path: PathBuf,
    /// Its name in the folder isn't on disk yet.
    made: bool,
    /// Whether the disk knows locks: only then is the end of the file ours alone.
    held: bool,
}

impl LineFile {
    /// Opens the file, or makes it, and waits for other writers to be done.
    ///
    /// # Errors
    /// Another process keeps it locked for ten seconds, it is no plain file, or
    /// it can't be opened.
    pub fn open(disk: &Arc<dyn Disk>, path: &Path) -> Result<LineFile, Diagnostic> {
        loop {
            let there = disk.about(path);
            if there.as_ref().is_ok_and(|about| !about.is_file()) {
                let message = is_no(path.display(), "plain file: nothing can be added to it");
                return Err(Diagnostic::error("not-a-plain-file", message).help("move it away"));
            }
            let mut file = disk.open_to_append(path).map_err(|error| cannot_write(path, &error))?;
            let held = lock(&mut *file, path)?;
            // While waiting for the lock another program may have put a new file
            // in its place; lines added to the old one would be lost.
            if still_there(&**disk, &*file, path) {
                return Ok(LineFile {
                    disk: Arc::clone(disk),
                    file,
                    path: path.to_owned(),
                    made: there.is_err(),
                    held,
                });
            }
        }
    }

    /// The bytes that are in it.
    ///
    /// # Errors
    /// It can't be read, or is larger than 64 MB.
    pub fn bytes(&mut self) -> Result<Vec<u8>, Diagnostic> {
        let start = self.file.seek(SeekFrom::Start(0));
        let read = start.and_then(|_| read_at_most(&mut *self.file, MOST_JOURNAL_BYTES + 1));
        let bytes = read.map_err(|error| cannot_write(&self.path, &error))?;
        if bytes.len() as u64 > MOST_JOURNAL_BYTES {
            let most = MOST_JOURNAL_BYTES / 1_000_000;
            let message = format!("`{}` has grown beyond {most} MB", self.path.display());
            return Err(Diagnostic::error("file-too-big", message)
                .help("move it away and keep it; a new one begins with the next line"));
        }
        Ok(bytes)
    }

    /// Adds a line and waits until it is on disk, as [`LineFile::append_all`].
    ///
    /// # Errors
    /// As [`LineFile::append_all`].
    pub fn append(&mut self, line: &str) -> Result<(), Diagnostic> {
        self.append_all(&[line.to_owned()])
    }

    /// Adds a line that isn't there yet. The beginning of it that a kill left at the end
    /// is taken away first.
    ///
    /// # Errors
    /// As [`LineFile::bytes`] and [`LineFile::append_all`].
    pub fn append_once(&mut self, line: &str) -> Result<(), Diagnostic> {
        let bytes = self.bytes()?;
        let torn = bytes.rsplit(|byte| *byte == b'\n').next().unwrap_or(&[]);
        if bytes.split(|byte| *byte == b'\n').any(|known| known == line.as_bytes()) && torn != line.as_bytes() {
            return Ok(());
        }
        if !torn.is_empty() && line.as_bytes().starts_with(torn) {
            let whole = (bytes.len() - torn.len()) as u64;
            let cut = self.file.cut_to(whole).and_then(|()| self.file.sync());
            cut.map_err(|error| cannot_write(&self.path, &error))?;
        }
        self.append(line)
    }

    /// Adds these lines, all or none, and waits until they are on disk. A last
    /// line that a crash left without its end is closed first, so that the new
    /// ones stand alone.
    ///
    /// # Errors
    /// A line holds a line end, or they can't be written; the file is then as it was.
    pub fn append_all(&mut self, lines: &[String]) -> Result<(), Diagnostic> {
        if lines.is_empty() {
            return Ok(());
        }
        if lines.iter().any(|line| line.contains(['\n', '\r'])) {
            return Err(Diagnostic::error("line-end-inside", "one line can't hold a line end"));
        }
        let trouble = |error: io::Error| cannot_write(&self.path, &error);
        let before = self.file.about().map_err(trouble)?.bytes;
        let mut text = String::new();
        if !ends_with_line_end(&mut *self.file).map_err(trouble)? {
            text.push('\n');
        }
        for line in lines {
            text.push_str(line);
            text.push('\n');
        }
        // One write, so that no other line can come between.
        let written = self.file.write_all(text.as_bytes());
        if let Err(error) = written.and_then(|()| self.file.sync()) {
            return Err(self.taken_back(before, &error));
        }
        // Whoever made the file may have been stopped before its name was on disk.
        if self.made || before == 0 {
            let lasts = self.disk.sync_folder(folder_of(&self.path));
            lasts.map_err(|error| cannot_write(&self.path, &error))?;
            self.made = false;
        }
        Ok(())
    }

    /// Half a line is worse than none: the file is cut back to what it was.
    fn taken_back(&mut self, before: u64, error: &io::Error) -> Diagnostic {
        let cut_back = self.held && self.file.cut_to(before).and_then(|()| self.file.sync()).is_ok();
        let left = if cut_back {
            "nothing was added"
        } else {
            "half a line may stay at its end: it is passed by when the file is read"
        };
        cannot_write(&self.path, error).help(format!("{left}; make room or put the disk right, then do it again"))
    }
}

/// Whether the open file still has its name.
fn still_there(disk: &dyn Disk, file: &dyn DiskFile, path: &Path) -> bool {
    match (file.about(), disk.about(path)) {
        // Where files have no identity, a file of this name has to do.
        (Ok(open), Ok(named)) => open.identity == named.identity,
        _ => false,
    }
}

/// Whether the file is now locked.
#[allow(clippy::disallowed_methods, reason = "locks can't be waited for with an end to it")]
fn lock(file: &mut dyn DiskFile, path: &Path) -> Result<bool, Diagnostic> {
    for tried in 0..LOCK_TRIES {
        if tried == TELL_AT
            && let Some(hear) = HEARS.get()
        {
            hear(path);
        }
        match file.try_lock() {
            Ok(()) => return Ok(true),
            Err(TryLockError::WouldBlock) => std::thread::sleep(LOCK_PAUSE),
            // Some network disks know no locks; one write is still one write.
            Err(TryLockError::Error(_)) => return Ok(false),
        }
    }
    Err(
        Diagnostic::error("locked", format!("another program is writing to `{}`", path.display()))
            .help("wait for it to finish, then try again"),
    )
}

fn ends_with_line_end(file: &mut dyn DiskFile) -> io::Result<bool> {
    if file.about()?.bytes == 0 {
        return Ok(true);
    }
    file.seek(SeekFrom::End(-1))?;
    let mut last = [0];
    file.read_exact(&mut last)?;
    Ok(last == *b"\n")
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;
    use crate::disk::real_disk;

    fn append_line(path: &Path, line: &str) -> Result<(), Diagnostic> {
        LineFile::open(&real_disk(), path)?.append(line)
    }

    #[test]
    fn lines_are_added_and_a_torn_one_is_closed() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        let path = dir.path().join("notes.jsonl");
        assert_eq!(append_line(&path, "{\"a\":1}"), Ok(()));
        assert_eq!(append_line(&path, "{\"a\":2}"), Ok(()));
        assert_eq!(fs::read_to_string(&path)?, "{\"a\":1}\n{\"a\":2}\n");
        fs::write(&path, "{\"torn")?;
        assert_eq!(append_line(&path, "whole"), Ok(()));
        assert_eq!(fs::read_to_string(&path)?, "{\"torn\nwhole\n");
        assert!(append_line(&path, "two\nlines").is_err());
        Ok(())
    }

    #[test]
    fn many_at_once_lose_no_line() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        let path = dir.path().join("notes.jsonl");
        std::thread::scope(|scope| {
            for writer in 0..4 {
                let path = &path;
                scope.spawn(move || {
                    for line in 0..20 {
                        assert_eq!(append_line(path, &format!("{writer} {line}")), Ok(()));
                    }
                });
            }
        });
        let text = fs::read_to_string(&path)?;
        let mut lines: Vec<&str> = text.lines().collect();
        lines.sort_unstable();
        lines.dedup();
        assert_eq!(lines.len(), 80);
        Ok(())
    }

    /// Up to the last byte that may be, and one more.
    #[test]
    fn a_file_may_grow_to_its_bound() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        let path = dir.path().join("notes.jsonl");
        let bytes = |length: u64| -> io::Result<_> {
            fs::File::create(&path)?.set_len(length)?;
            Ok(LineFile::open(&real_disk(), &path).and_then(|mut file| file.bytes()))
        };
        assert_eq!(
            bytes(MOST_JOURNAL_BYTES)?.map(|read| read.len() as u64),
            Ok(MOST_JOURNAL_BYTES)
        );
        let beyond = bytes(MOST_JOURNAL_BYTES + 1)?.err();
        assert_eq!(beyond.as_ref().map(|why| why.code), Some("file-too-big"));
        assert!(beyond.is_some_and(|why| why.message.ends_with("beyond 64 MB")));
        Ok(())
    }

    /// Whatever a kill left of it: the line stands there once, whole, and no other is changed.
    #[test]
    fn a_line_is_added_once_whatever_is_left_of_it() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        let path = dir.path().join("notes.jsonl");
        for (left, after) in [
            ("", "renamed\n"),
            ("one\ntwo\n", "one\ntwo\nrenamed\n"),
            ("one\nrenamed\ntwo\n", "one\nrenamed\ntwo\n"),
            ("one\ntwo\nrenamed\n", "one\ntwo\nrenamed\n"),
            ("one\ntwo\nren", "one\ntwo\nrenamed\n"),
            ("one\ntwo\nrenamed", "one\ntwo\nrenamed\n"),
            ("one\ntwo\nother", "one\ntwo\nother\nrenamed\n"),
            ("renamed\none\nren", "renamed\none\nren"),
        ] {
            fs::write(&path, left)?;
            let added = LineFile::open(&real_disk(), &path).and_then(|mut lines| lines.append_once("renamed"));
            assert_eq!(added, Ok(()), "{left:?}");
            assert_eq!(fs::read_to_string(&path)?, after, "{left:?}");
        }
        Ok(())
    }
}
