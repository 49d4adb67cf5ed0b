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

#[cfg(unix)]
#[allow(clippy::unnecessary_wraps, reason = "other systems have none")]
fn identity(metadata: &Metadata) -> Option<(u64, u64)> {
    use std::os::unix::fs::MetadataExt;
    Some((metadata.dev(), metadata.ino()))
}

#[cfg(not(unix))]
fn identity(_: &Metadata) -> Option<(u64, u64)> {
    None
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
