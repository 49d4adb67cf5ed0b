//! Writing files so that a crash, a full disk or a second process leaves
//! either the old file or the new one, never half of one.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;

use glost_core::diagnostic::{Diagnostic, Source};
use tempfile::NamedTempFile;

/// How often and how long to wait for another process that is appending.
const LOCK_TRIES: u32 = 1000;
const LOCK_PAUSE: Duration = Duration::from_millis(10);

/// Replaces a file, or makes it, as a whole. A link is followed; permissions
/// of the old file are kept.
///
/// # Errors
/// It can't be written; the old file is then untouched.
pub fn replace(path: &Path, text: &str) -> Result<(), Diagnostic> {
    let trouble = |error: io::Error| cannot_write(path, &error);
    let target = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    let new = written_beside(&target, text).map_err(trouble)?;
    if let Ok(old) = fs::metadata(&target) {
        new.as_file().set_permissions(old.permissions()).map_err(trouble)?;
    }
    new.persist(&target).map_err(|error| trouble(error.error))?;
    sync_folder(&target).map_err(trouble)
}

/// Makes a file that isn't there yet, as a whole.
///
/// # Errors
/// Something of this name is there already (it is untouched), or it can't be
/// written.
pub fn create_new(path: &Path, text: &str) -> Result<(), Diagnostic> {
    let trouble = |error: io::Error| match error.kind() {
        io::ErrorKind::AlreadyExists => already_there(path),
        _ => cannot_write(path, &error),
    };
    if path.symlink_metadata().is_ok() {
        return Err(already_there(path));
    }
    let new = written_beside(path, text).map_err(trouble)?;
    new.persist_noclobber(path).map_err(|error| trouble(error.error))?;
    sync_folder(path).map_err(trouble)
}

/// The largest file that lines are added to, in bytes.
pub(crate) const MOST_JOURNAL_BYTES: u64 = 64_000_000;

/// Adds a line to a file, or makes the file with it, and waits until it is on
/// disk. A last line that a crash left without its end is closed first, so
/// that the new line stands alone.
///
/// # Errors
/// As [`append_lines`]; the line holds a line end.
pub fn append_line(path: &Path, line: &str) -> Result<(), Diagnostic> {
    append_lines(path, |_| Ok((vec![line.to_owned()], ())))
}

/// Adds the lines that `compose` makes of what the file holds, all or none of
/// them, and waits until they are on disk. From reading to the last byte no
/// other `glost` can write to the file. Where writing fails in the middle, the
/// file is cut back to what it was. No lines: nothing is written.
///
/// # Errors
/// What `compose` says; a line holds a line end; another process keeps the file
/// locked for ten seconds; the file is larger than 64 MB, no plain file, or it
/// can't be written.
pub fn append_lines<T, E: From<Diagnostic>>(
    path: &Path,
    compose: impl FnOnce(&Source) -> Result<(Vec<String>, T), E>,
) -> Result<T, E> {
    let trouble = |error: io::Error| cannot_write(path, &error);
    let (mut file, made) = open_locked(path)?;
    let before = file.metadata().map_err(trouble)?.len();
    let old = journal_text(&mut file, path).map_err(trouble)?;
    let source = Source::from_text(&path.to_string_lossy(), &String::from_utf8_lossy(&old));
    let (lines, answer) = compose(&source)?;
    if lines.iter().any(|line| line.contains(['\n', '\r'])) {
        return Err(Diagnostic::error("line-end-inside", "one line can't hold a line end").into());
    }
    if lines.is_empty() {
        return Ok(answer);
    }
    let mut text = String::new();
    if old.last().is_some_and(|last| *last != b'\n') {
        text.push('\n');
    }
    for line in &lines {
        text.push_str(line);
        text.push('\n');
    }
    // One write, so that no other line can come between.
    let written = file.write_all(text.as_bytes()).and_then(|()| file.sync_all());
    if let Err(error) = written {
        let cut_back = file.set_len(before).and_then(|()| file.sync_all());
        let left = match cut_back {
            Ok(()) => "nothing was added",
            Err(_) => "half a line may stay at its end: it is passed by when the file is read",
        };
        return Err(cannot_write(path, &error)
            .help(format!("{left}; make room or put the disk right, then do it again"))
            .into());
    }
    if made {
        sync_folder(path).map_err(trouble)?;
    }
    Ok(answer)
}

/// Opens a file to add to it and locks it; whether it was made.
fn open_locked(path: &Path) -> Result<(File, bool), Diagnostic> {
    let trouble = |error: io::Error| cannot_write(path, &error);
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
            .map_err(trouble)?;
        lock(&file, path)?;
        // While waiting for the lock another program may have put a new file
        // in its place; lines added to the old one would be lost.
        if still_there(&file, path) {
            return Ok((file, made));
        }
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

fn journal_text(file: &mut File, path: &Path) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    file.seek(SeekFrom::Start(0))?;
    file.take(MOST_JOURNAL_BYTES + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > MOST_JOURNAL_BYTES {
        return Err(io::Error::other(format!(
            "`{}` has grown beyond {} MB",
            path.display(),
            MOST_JOURNAL_BYTES / 1_000_000
        )));
    }
    Ok(bytes)
}

fn lock(file: &File, path: &Path) -> Result<(), Diagnostic> {
    for _ in 0..LOCK_TRIES {
        match file.try_lock() {
            Ok(()) => return Ok(()),
            Err(TryLockError::WouldBlock) => std::thread::sleep(LOCK_PAUSE),
            // Some network disks know no locks; one write is still one write.
            Err(TryLockError::Error(_)) => return Ok(()),
        }
    }
    Err(
        Diagnostic::error("locked", format!("another program is writing to `{}`", path.display()))
            .help("wait for it to finish, then try again"),
    )
}

fn folder_of(path: &Path) -> PathBuf {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder.to_owned(),
        _ => PathBuf::from("."),
    }
}

/// A finished temporary file in the same folder, with a new file's usual permissions.
fn written_beside(path: &Path, text: &str) -> io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".glost-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    let mut new = builder.tempfile_in(folder_of(path))?;
    new.write_all(text.as_bytes())?;
    new.as_file().sync_all()?;
    Ok(new)
}

/// Makes a new name in a folder last.
fn sync_folder(path: &Path) -> io::Result<()> {
    // Elsewhere a folder can't be opened as a file.
    #[cfg(unix)]
    File::open(folder_of(path))?.sync_all()?;
    let _ = path;
    Ok(())
}

/// The complaint that a file of this name is there already.
pub fn already_there(path: &Path) -> Diagnostic {
    Diagnostic::error("already-there", format!("`{}` is there already", path.display()))
        .help("nothing was written; move it away or choose another name")
}

pub(crate) fn cannot_write(path: &Path, error: &io::Error) -> Diagnostic {
    let why = match error.kind() {
        io::ErrorKind::PermissionDenied => "you may not write there".to_owned(),
        io::ErrorKind::StorageFull => "the disk is full".to_owned(),
        io::ErrorKind::FileTooLarge => "no more may be written to it (a limit on files, or a full disk)".to_owned(),
        io::ErrorKind::QuotaExceeded => "your share of the disk is used up".to_owned(),
        io::ErrorKind::ReadOnlyFilesystem => "the disk can only be read".to_owned(),
        io::ErrorKind::NotFound => "its folder isn't there".to_owned(),
        io::ErrorKind::NotADirectory => "a file stands where a folder should be".to_owned(),
        io::ErrorKind::IsADirectory => "it is a folder".to_owned(),
        _ => error.to_string(),
    };
    Diagnostic::error("cannot-write", format!("`{}` can't be written: {why}", path.display()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(folder: &Path) -> io::Result<Vec<String>> {
        let mut names: Vec<String> = fs::read_dir(folder)?
            .flatten()
            .map(|entry| entry.file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        Ok(names)
    }

    #[test]
    fn replacing_leaves_the_new_text_and_nothing_else() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        let path = dir.path().join("a.yaml");
        assert_eq!(replace(&path, "one"), Ok(()));
        assert_eq!(replace(&path, "two"), Ok(()));
        assert_eq!(fs::read_to_string(&path)?, "two");
        assert_eq!(names(dir.path())?, ["a.yaml"]);
        Ok(())
    }

    #[test]
    fn what_cannot_be_written_leaves_the_old_as_it_was() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        let folder = dir.path().join("a.yaml");
        fs::create_dir(&folder)?;
        fs::write(folder.join("inside"), "x")?;
        let error = replace(&folder, "one").err().map(|error| error.code);
        assert_eq!(error, Some("cannot-write"));
        assert_eq!(names(dir.path())?, ["a.yaml"]);
        let lost = replace(&dir.path().join("gone/a.yaml"), "one").err();
        assert!(lost.is_some_and(|error| error.message.ends_with("its folder isn't there")));
        Ok(())
    }

    #[cfg(unix)]
    #[test]
    fn permissions_stay_and_links_are_followed() -> io::Result<()> {
        use std::os::unix::fs::PermissionsExt;
        let dir = tempfile::tempdir()?;
        let (path, link) = (dir.path().join("a.yaml"), dir.path().join("link.yaml"));
        fs::write(&path, "one")?;
        fs::set_permissions(&path, fs::Permissions::from_mode(0o640))?;
        std::os::unix::fs::symlink(&path, &link)?;
        assert_eq!(replace(&link, "two"), Ok(()));
        assert_eq!(fs::read_to_string(&path)?, "two");
        assert!(link.symlink_metadata()?.is_symlink());
        assert_eq!(fs::metadata(&path)?.permissions().mode() & 0o777, 0o640);
        Ok(())
    }

    #[test]
    fn a_new_file_never_takes_the_place_of_another() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        let path = dir.path().join("a.yaml");
        assert_eq!(create_new(&path, "mine"), Ok(()));
        let error = create_new(&path, "other").err().map(|error| error.code);
        assert_eq!(error, Some("already-there"));
        assert_eq!(fs::read_to_string(&path)?, "mine");
        assert_eq!(names(dir.path())?, ["a.yaml"]);
        Ok(())
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
}
