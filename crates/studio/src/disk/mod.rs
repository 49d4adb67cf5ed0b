//! The disk as the studio sees it: everything here that touches a file goes through
//! [`Disk`], so that another disk than the machine's own can be put under it.
//!
//! The calls keep apart what is written and what lasts: bytes last once their file
//! is synced ([`DiskFile::sync`]), a name (new, renamed, removed) lasts once its
//! folder is ([`Disk::sync_folder`]). A disk that forgets the rest when power fails
//! is thereby a disk of the same calls.

use std::ffi::OsString;
use std::fmt::Debug;
use std::fs::{Permissions, TryLockError};
use std::io::{self, Read, Seek, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;

mod machine;
#[cfg(debug_assertions)]
mod stopping;
mod unsaved;

pub use unsaved::Unsaved;

/// What a name stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EntryKind {
    /// A plain file.
    File,
    /// A folder.
    Folder,
    /// A link, where links aren't followed.
    Link,
    /// A pipe, a device.
    Other,
}

/// What a disk knows about a file or folder without reading it.
#[derive(Debug, Clone)]
pub struct About {
    /// What it is.
    pub kind: EntryKind,
    /// Bytes, as stated; some files state 0 and never end.
    pub bytes: u64,
    /// Two names of the same identity are the same file; `None` where the disk has no such thing.
    pub identity: Option<(u64, u64)>,
    /// Who may do what; `None` where the disk has no such thing.
    pub permissions: Option<Permissions>,
}

impl About {
    /// Whether it is a folder.
    pub fn is_folder(&self) -> bool {
        self.kind == EntryKind::Folder
    }

    /// Whether it is a plain file.
    pub fn is_file(&self) -> bool {
        self.kind == EntryKind::File
    }

    /// Whether it is marked as not to be written.
    pub fn is_read_only(&self) -> bool {
        self.permissions.as_ref().is_some_and(Permissions::readonly)
    }
}

/// An open file. Reading and seeking are as of [`std::fs::File`]; what was written
/// can be read at once and lasts once synced.
pub trait DiskFile: Read + Write + Seek + Debug + Send {
    /// What is known about the open file, wherever its name has gone.
    ///
    /// # Errors
    /// What the disk says.
    fn about(&self) -> io::Result<About>;

    /// Waits until bytes and length last.
    ///
    /// # Errors
    /// What the disk says; nobody knows then what of it lasts.
    fn sync(&mut self) -> io::Result<()>;

    /// Cuts the file to so many bytes.
    ///
    /// # Errors
    /// What the disk says.
    fn cut_to(&mut self, bytes: u64) -> io::Result<()>;

    /// Gives the file these permissions.
    ///
    /// # Errors
    /// What the disk says.
    fn allow(&mut self, permissions: &Permissions) -> io::Result<()>;

    /// Keeps other writers out, without waiting, until the file is let go.
    ///
    /// # Errors
    /// Somebody else holds it, or the disk knows no locks.
    fn try_lock(&mut self) -> Result<(), TryLockError>;

    /// Joins other readers, without waiting, until the file is let go.
    ///
    /// # Errors
    /// A writer holds it, or the disk knows no locks.
    fn try_lock_shared(&mut self) -> Result<(), TryLockError>;
}

/// A disk. Paths are as given: relative ones start where the process stands.
///
/// Every call may fail with what the disk says.
#[allow(clippy::missing_errors_doc, reason = "said once, above")]
pub trait Disk: Debug + Send + Sync {
    /// What lies at a path; a link is followed.
    fn about(&self, path: &Path) -> io::Result<About>;

    /// What lies at a path; a link is told as one.
    fn about_name(&self, path: &Path) -> io::Result<About>;

    /// The path without links and dots.
    fn resolved(&self, path: &Path) -> io::Result<PathBuf>;

    /// The names in a folder, in no order; a name that can't be told is left out.
    fn list(&self, folder: &Path) -> io::Result<Vec<OsString>>;

    /// Opens a file, or a pipe, to be read.
    fn open(&self, path: &Path) -> io::Result<Box<dyn DiskFile>>;

    /// Opens a file to be read and added to at its end; makes it where there is none.
    fn open_to_append(&self, path: &Path) -> io::Result<Box<dyn DiskFile>>;

    /// Makes a file of a name that nothing has, with a new file's usual permissions.
    fn create(&self, path: &Path) -> io::Result<Box<dyn DiskFile>>;

    /// Makes a folder in one that is there.
    fn create_folder(&self, path: &Path) -> io::Result<()>;

    /// Moves a file in one step; what had the new name is gone.
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()>;

    /// Moves a file or folder in one step to a name that nothing has.
    fn rename_to_new(&self, from: &Path, to: &Path) -> io::Result<()>;

    /// Removes a file.
    fn remove(&self, path: &Path) -> io::Result<()>;

    /// Removes an empty folder.
    fn remove_folder(&self, path: &Path) -> io::Result<()>;

    /// Waits until the names in a folder last.
    fn sync_folder(&self, folder: &Path) -> io::Result<()>;
}

/// The machine's own disk.
pub fn real_disk() -> Arc<dyn Disk> {
    #[cfg(debug_assertions)]
    if let Some(stopping) = stopping::asked_for() {
        return stopping;
    }
    Arc::new(machine::Machine)
}

/// Whether anything lies at a path; a link that leads nowhere is nothing.
pub(crate) fn is_there(disk: &dyn Disk, path: &Path) -> bool {
    disk.about(path).is_ok()
}

/// Whether anything has this name, be it a link that leads nowhere.
pub(crate) fn is_taken(disk: &dyn Disk, path: &Path) -> bool {
    disk.about_name(path).is_ok()
}

/// Whether a folder lies at a path.
pub(crate) fn is_folder(disk: &dyn Disk, path: &Path) -> bool {
    disk.about(path).is_ok_and(|about| about.is_folder())
}

/// Makes a folder with all that it lies in.
///
/// # Errors
/// What the disk says.
pub(crate) fn create_folders(disk: &dyn Disk, path: &Path) -> io::Result<()> {
    if path.as_os_str().is_empty() || is_folder(disk, path) {
        return Ok(());
    }
    if let Some(outer) = path.parent() {
        create_folders(disk, outer)?;
    }
    let made = disk.create_folder(path).and_then(|()| match path.parent() {
        // Else what is written into it goes with it when power fails.
        Some(outer) if !outer.as_os_str().is_empty() => disk.sync_folder(outer),
        _ => disk.sync_folder(Path::new(".")),
    });
    match made {
        // Somebody else was as quick.
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists && is_folder(disk, path) => Ok(()),
        made => made,
    }
}

/// At most so many bytes of a file.
///
/// # Errors
/// What the disk says.
pub(crate) fn read_at_most(file: &mut dyn DiskFile, bytes: u64) -> io::Result<Vec<u8>> {
    let mut read = Vec::new();
    file.take(bytes).read_to_end(&mut read)?;
    Ok(read)
}
