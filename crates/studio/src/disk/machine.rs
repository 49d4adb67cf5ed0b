//! The machine's own disk.

use std::ffi::OsString;
use std::fs::{self, File, Metadata, OpenOptions, Permissions, TryLockError};
use std::io;
use std::path::{Path, PathBuf};

use super::{About, Disk, DiskFile, EntryKind};

#[derive(Debug)]
pub(super) struct Machine;

fn about(metadata: &Metadata) -> About {
    let kind = metadata.file_type();
    About {
        kind: if kind.is_file() {
            EntryKind::File
        } else if kind.is_dir() {
            EntryKind::Folder
        } else if kind.is_symlink() {
            EntryKind::Link
        } else {
            EntryKind::Other
        },
        bytes: metadata.len(),
        identity: identity(metadata),
        permissions: Some(metadata.permissions()),
    }
}

#[allow(clippy::unnecessary_wraps, reason = "other systems have none")]
fn identity(metadata: &Metadata) -> Option<(u64, u64)> {
    #[cfg(unix)]
    {
        use std::os::unix::fs::MetadataExt;
        Some((metadata.dev(), metadata.ino()))
    }
    #[cfg(not(unix))]
    {
        let _ = metadata;
        None
    }
}

impl DiskFile for File {
    fn about(&self) -> io::Result<About> {
        self.metadata().map(|metadata| about(&metadata))
    }

    fn sync(&mut self) -> io::Result<()> {
        self.sync_all()
    }

    fn cut_to(&mut self, bytes: u64) -> io::Result<()> {
        self.set_len(bytes)
    }

    fn allow(&mut self, permissions: &Permissions) -> io::Result<()> {
        self.set_permissions(permissions.clone())
    }

    fn try_lock(&mut self) -> Result<(), TryLockError> {
        File::try_lock(self)
    }

    fn try_lock_shared(&mut self) -> Result<(), TryLockError> {
        File::try_lock_shared(self)
    }
}

fn boxed(file: File) -> Box<dyn DiskFile> {
    Box::new(file)
}

impl Disk for Machine {
    fn about(&self, path: &Path) -> io::Result<About> {
        fs::metadata(path).map(|metadata| about(&metadata))
    }

    fn about_name(&self, path: &Path) -> io::Result<About> {
        fs::symlink_metadata(path).map(|metadata| about(&metadata))
    }

    fn resolved(&self, path: &Path) -> io::Result<PathBuf> {
        fs::canonicalize(path)
    }

    fn list(&self, folder: &Path) -> io::Result<Vec<OsString>> {
        Ok(fs::read_dir(folder)?.flatten().map(|entry| entry.file_name()).collect())
    }

    fn open(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        File::open(path).map(boxed)
    }

    fn open_to_append(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        let mut options = OpenOptions::new();
        options.read(true).append(true).create(true).open(path).map(boxed)
    }

    fn create(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        File::create_new(path).map(boxed)
    }

    fn create_folder(&self, path: &Path) -> io::Result<()> {
        fs::create_dir(path)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::rename(from, to)
    }

    fn rename_to_new(&self, from: &Path, to: &Path) -> io::Result<()> {
        // The system's own call where it has one, else a second name and the first removed.
        let moved = tempfile::TempPath::try_from_path(from)?.persist_noclobber(to);
        moved.map_err(|failed| {
            // Let go without removing it: that is the caller's to decide.
            let _ = failed.path.keep();
            failed.error
        })
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        fs::remove_file(path)
    }

    fn remove_folder(&self, path: &Path) -> io::Result<()> {
        fs::remove_dir(path)
    }

    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        // Elsewhere a folder can't be opened as a file.
        #[cfg(unix)]
        File::open(folder)?.sync_all()?;
        let _ = folder;
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use std::io::{Read, Write};

    use super::*;

    fn text(path: &Path) -> io::Result<String> {
        let mut text = String::new();
        Machine.open(path)?.read_to_string(&mut text)?;
        Ok(text)
    }

    fn kind<T>(answer: io::Result<T>) -> Option<io::ErrorKind> {
        answer.err().map(|error| error.kind())
    }

    #[test]
    fn what_is_asked_of_a_file_is_done() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        let path = dir.path().join("a");
        let mut file = Machine.create(&path)?;
        file.write_all(b"clear glaze")?;
        file.sync()?;
        file.cut_to(5)?;
        assert_eq!((text(&path)?, file.about()?.bytes), ("clear".to_owned(), 5));
        let mut more = Machine.open_to_append(&path)?;
        more.write_all(b" blue")?;
        assert_eq!(text(&path)?, "clear blue");
        let mut read_only = fs::metadata(&path)?.permissions();
        read_only.set_readonly(true);
        file.allow(&read_only)?;
        assert!(Machine.about(&path)?.is_read_only() && Machine.about(&path)?.is_file());
        assert_eq!(kind(Machine.create(&path)), Some(io::ErrorKind::AlreadyExists));
        assert!(Machine.open_to_append(&dir.path().join("b")).is_ok(), "it is made");
        Ok(())
    }

    #[test]
    fn a_lock_keeps_writers_out_and_lets_readers_join() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        let path = dir.path().join("a");
        let mut first = Machine.open_to_append(&path)?;
        let mut second = Machine.open(&path)?;
        assert!(first.try_lock().is_ok());
        assert!(matches!(second.try_lock(), Err(TryLockError::WouldBlock)));
        assert!(matches!(second.try_lock_shared(), Err(TryLockError::WouldBlock)));
        drop(first);
        assert!(second.try_lock_shared().is_ok() && Machine.open(&path)?.try_lock_shared().is_ok());
        let mut third = Machine.open_to_append(&path)?;
        assert!(matches!(third.try_lock(), Err(TryLockError::WouldBlock)));
        Ok(())
    }

    #[test]
    fn a_name_is_moved_and_never_over_another_unless_asked() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        let [a, b, c] = ["a", "b", "c"].map(|name| dir.path().join(name));
        fs::write(&a, "new")?;
        fs::write(&b, "old")?;
        assert_eq!(kind(Machine.rename_to_new(&a, &b)), Some(io::ErrorKind::AlreadyExists));
        assert_eq!((text(&a)?, text(&b)?), ("new".to_owned(), "old".to_owned()));
        Machine.rename(&a, &b)?;
        Machine.rename_to_new(&b, &c)?;
        assert_eq!(Machine.list(dir.path())?, ["c"]);
        assert_eq!(text(&c)?, "new");
        Machine.create_folder(&a)?;
        assert!(Machine.about_name(&a)?.is_folder());
        Machine.remove_folder(&a)?;
        Machine.remove(&c)?;
        assert!(Machine.list(dir.path())?.is_empty());
        for gone in [Machine.remove(&c), Machine.remove_folder(&a), Machine.rename(&a, &b)] {
            assert_eq!(kind(gone), Some(io::ErrorKind::NotFound));
        }
        Ok(())
    }

    #[cfg(unix)]
    #[test]
    fn what_a_name_stands_for_is_told() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        let (file, link) = (dir.path().join("a"), dir.path().join("link"));
        fs::write(&file, "x")?;
        std::os::unix::fs::symlink(&file, &link)?;
        let kind_of = |path: &Path| Machine.about_name(path).map(|about| about.kind);
        assert_eq!(kind_of(&file)?, EntryKind::File);
        assert_eq!(kind_of(&link)?, EntryKind::Link);
        assert_eq!(kind_of(dir.path())?, EntryKind::Folder);
        assert_eq!(kind_of(Path::new("/dev/null"))?, EntryKind::Other);
        assert_eq!(Machine.about(&link)?.kind, EntryKind::File);
        assert_eq!(Machine.resolved(&link)?, fs::canonicalize(&file)?);
        Ok(())
    }

    /// Else a power cut would take what was acknowledged.
    #[cfg(unix)]
    #[test]
    fn what_cannot_last_is_not_said_to() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        assert!(Machine.sync_folder(dir.path()).is_ok());
        let gone = Machine.sync_folder(&dir.path().join("gone"));
        assert_eq!(kind(gone), Some(io::ErrorKind::NotFound));
        if cfg!(target_os = "linux") {
            assert!(
                Machine.open(Path::new("/dev/null"))?.sync().is_err(),
                "nothing lasts there"
            );
        }
        Ok(())
    }
}
