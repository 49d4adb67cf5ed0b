//! Writing files so that a crash, a full disk or a second process leaves
//! either the old file or the new one, never half of one.

use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use glost_chemistry::diagnostic::Diagnostic;
use tempfile::NamedTempFile;

/// What temporary files' names begin with; hidden, so that no folder lists them.
const TEMPORARY: &str = ".glost-";

/// Replaces a file, or makes it, as a whole. A link is followed; permissions
/// of the old file are kept.
///
/// # Errors
/// It can't be written; the old file is then untouched.
pub fn replace(path: &Path, text: &str) -> Result<(), Diagnostic> {
    Prepared::new(path, text.as_bytes(), TEMPORARY)?.put_in_place()
}

/// A file's new text, on disk beside the old one, to be put in its place.
#[derive(Debug)]
pub(crate) struct Prepared {
    new: NamedTempFile,
    target: PathBuf,
    path: PathBuf,
}

impl Prepared {
    /// Writes the new text beside the file, under a name that begins with `prefix`.
    ///
    /// # Errors
    /// It can't be written; nothing has changed then.
    pub fn new(path: &Path, bytes: &[u8], prefix: &str) -> Result<Prepared, Diagnostic> {
        let trouble = |error: io::Error| cannot_write(path, &error);
        let target = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
        let new = written_beside(&target, bytes, prefix).map_err(trouble)?;
        if let Ok(old) = fs::metadata(&target) {
            new.as_file().set_permissions(old.permissions()).map_err(trouble)?;
        }
        Ok(Prepared {
            new,
            target,
            path: path.to_owned(),
        })
    }

    /// Puts the new text in the old one's place and waits until that lasts.
    ///
    /// # Errors
    /// It can't be; the old file is then untouched.
    pub fn put_in_place(self) -> Result<(), Diagnostic> {
        let trouble = |error: io::Error| cannot_write(&self.path, &error);
        self.new.persist(&self.target).map_err(|error| trouble(error.error))?;
        sync_folder(&self.target).map_err(trouble)
    }
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
    let new = written_beside(path, text.as_bytes(), TEMPORARY).map_err(trouble)?;
    new.persist_noclobber(path).map_err(|error| trouble(error.error))?;
    sync_folder(path).map_err(trouble)
}

fn folder_of(path: &Path) -> PathBuf {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder.to_owned(),
        _ => PathBuf::from("."),
    }
}

/// A finished temporary file in the same folder, with a new file's usual permissions.
fn written_beside(path: &Path, bytes: &[u8], prefix: &str) -> io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(prefix);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    let mut new = builder.tempfile_in(folder_of(path))?;
    new.write_all(bytes)?;
    new.as_file().sync_all()?;
    Ok(new)
}

/// Makes a new name in a folder last.
pub(crate) fn sync_folder(path: &Path) -> io::Result<()> {
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
}
