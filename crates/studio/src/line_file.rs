//! Files of lines that only grow: notes, versions, batches.
//!
//! A writer holds the file from before it reads until after its last byte is on
//! disk, so two writers at once never mix and what one has composed from the
//! file still holds when it is written.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;

use glost_chemistry::diagnostic::{Diagnostic, Source};

use crate::save::{cannot_write, sync_folder};

/// How often and how long to wait for another process that is appending: ten seconds.
const LOCK_TRIES: u32 = 1000;
const LOCK_PAUSE: Duration = Duration::from_millis(10);
/// The largest file that lines are added to, in bytes.
pub(crate) const MOST_JOURNAL_BYTES: u64 = 64_000_000;

/// Adds a line to a file, or makes the file with it, and waits until it is on
/// disk. A last line that a crash left without its end is closed first, so
/// that the new line stands alone.
///
/// # Errors
/// As [`append_lines`].
pub fn append_line(path: &Path, line: &str) -> Result<(), Diagnostic> {
    LineFile::open(path)?.append(line)
}

/// Adds the lines that `compose` makes of what the file holds, all or none of
/// them, and waits until they are on disk. From reading to the last byte no
/// other `glost` can write to the file. No lines: nothing is written.
///
/// # Errors
/// What `compose` says; a line holds a line end; another process keeps the file
/// locked for ten seconds; the file is larger than 64 MB, no plain file, or it
/// can't be written. The file is then as it was.
pub fn append_lines<T, E: From<Diagnostic>>(
    path: &Path,
    compose: impl FnOnce(&Source) -> Result<(Vec<String>, T), E>,
) -> Result<T, E> {
    let mut file = LineFile::open(path)?;
    let old = file.bytes()?;
    let source = Source::from_text(&path.to_string_lossy(), &String::from_utf8_lossy(&old));
    let (lines, answer) = compose(&source)?;
    file.append_all(&lines)?;
    Ok(answer)
}

/// A file of lines, held against other writers until it is let go.
#[derive(Debug)]
pub(crate) struct LineFile {
    file: File,
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
    pub fn open(path: &Path) -> Result<LineFile, Diagnostic> {
        loop {
            if let Ok(metadata) = fs::metadata(path)
                && !metadata.is_file()
            {
                let message = format!("`{}` is no plain file: nothing can be added to it", path.display());
                return Err(Diagnostic::error("not-a-plain-file", message).help("move it away"));
            }
            let made = !path.exists();
            let file = OpenOptions::new()
                .read(true)
                .append(true)
                .create(true)
                .open(path)
                .map_err(|error| cannot_write(path, &error))?;
            let held = lock(&file, path)?;
            // While waiting for the lock another program may have put a new file
            // in its place; lines added to the old one would be lost.
            if still_there(&file, path) {
                return Ok(LineFile {
                    file,
                    path: path.to_owned(),
                    made,
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
        let mut bytes = Vec::new();
        let read = self
            .file
            .seek(SeekFrom::Start(0))
            .and_then(|_| (&self.file).take(MOST_JOURNAL_BYTES + 1).read_to_end(&mut bytes));
        read.map_err(|error| cannot_write(&self.path, &error))?;
        if bytes.len() as u64 > MOST_JOURNAL_BYTES {
            let most = MOST_JOURNAL_BYTES / 1_000_000;
            let message = format!("`{}` has grown beyond {most} MB", self.path.display());
            return Err(Diagnostic::error("file-too-big", message)
                .help("move it away and keep it; a new one begins with the next line"));
        }
        Ok(bytes)
    }

    /// As [`append_line`].
    pub fn append(&mut self, line: &str) -> Result<(), Diagnostic> {
        self.append_all(&[line.to_owned()])
    }

    /// Adds these lines, all or none, and waits until they are on disk.
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
        let before = self.file.metadata().map_err(trouble)?.len();
        let mut text = String::new();
        if !ends_with_line_end(&mut self.file).map_err(trouble)? {
            text.push('\n');
        }
        for line in lines {
            text.push_str(line);
            text.push('\n');
        }
        // One write, so that no other line can come between.
        let written = self.file.write_all(text.as_bytes());
        if let Err(error) = written.and_then(|()| self.file.sync_all()) {
            // Half a line is worse than none.
            let cut_back = self.held && self.file.set_len(before).and_then(|()| self.file.sync_all()).is_ok();
            let left = if cut_back {
                "nothing was added"
            } else {
                "half a line may stay at its end: it is passed by when the file is read"
            };
            return Err(cannot_write(&self.path, &error)
                .help(format!("{left}; make room or put the disk right, then do it again")));
        }
        // Whoever made the file may have been stopped before its name was on disk.
        if self.made || before == 0 {
            sync_folder(&self.path).map_err(|error| cannot_write(&self.path, &error))?;
            self.made = false;
        }
        Ok(())
    }
}

#[cfg(unix)]
fn still_there(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    match (file.metadata(), fs::metadata(path)) {
        (Ok(open), Ok(named)) => (open.dev(), open.ino()) == (named.dev(), named.ino()),
        _ => false,
    }
}

#[cfg(not(unix))]
fn still_there(_: &File, path: &Path) -> bool {
    path.exists()
}

/// Whether the file is now locked.
fn lock(file: &File, path: &Path) -> Result<bool, Diagnostic> {
    for _ in 0..LOCK_TRIES {
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

fn ends_with_line_end(file: &mut File) -> io::Result<bool> {
    if file.metadata()?.len() == 0 {
        return Ok(true);
    }
    file.seek(SeekFrom::End(-1))?;
    let mut last = [0];
    file.read_exact(&mut last)?;
    Ok(last == *b"\n")
}

#[cfg(test)]
mod tests {
    use super::*;

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
}
