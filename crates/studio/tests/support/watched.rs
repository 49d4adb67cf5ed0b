//! A disk that tells what it was asked, and does first what a test wants.

use std::ffi::OsString;
use std::fmt;
use std::fs::{Permissions, TryLockError};
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

use glost_studio::{About, Disk, DiskFile, real_disk};

/// What happens before a call, by its name and its path; an error is the call's answer.
type Before = dyn Fn(&str, &Path) -> io::Result<()> + Send + Sync;

/// The machine's disk, on which paths that aren't whole begin at a folder of the test's.
#[derive(Clone)]
pub struct Watched {
    root: PathBuf,
    below: Arc<dyn Disk>,
    before: Arc<Before>,
    asked: Arc<Mutex<Vec<String>>>,
}

impl fmt::Debug for Watched {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(to, "Watched({})", self.root.display())
    }
}

impl Watched {
    pub fn at(root: &Path, before: impl Fn(&str, &Path) -> io::Result<()> + Send + Sync + 'static) -> Watched {
        Watched {
            root: root.to_owned(),
            below: real_disk(),
            before: Arc::new(before),
            asked: Arc::default(),
        }
    }

    /// Every call so far that changes something or makes it last, with its path below the
    /// folder; those that are asked for from now on begin anew.
    pub fn asked(&self) -> Vec<String> {
        std::mem::take(&mut *self.asked.lock().unwrap_or_else(PoisonError::into_inner))
    }

    fn real(&self, path: &Path) -> PathBuf {
        self.root.join(path)
    }

    fn ask(&self, call: &str, path: &Path) -> io::Result<PathBuf> {
        let below = path.strip_prefix(&self.root).unwrap_or(path);
        let mut asked = self.asked.lock().unwrap_or_else(PoisonError::into_inner);
        asked.push(format!("{call} {}", below.display()));
        drop(asked);
        (self.before)(call, below)?;
        Ok(self.real(path))
    }

    fn file(&self, path: &Path, file: Box<dyn DiskFile>) -> Box<dyn DiskFile> {
        Box::new(WatchedFile {
            disk: self.clone(),
            path: path.to_owned(),
            file,
        })
    }
}

impl Disk for Watched {
    fn about(&self, path: &Path) -> io::Result<About> {
        (self.before)("about", path.strip_prefix(&self.root).unwrap_or(path))?;
        self.below.about(&self.real(path))
    }

    fn about_name(&self, path: &Path) -> io::Result<About> {
        self.below.about_name(&self.real(path))
    }

    fn resolved(&self, path: &Path) -> io::Result<PathBuf> {
        self.below.resolved(&self.real(path))
    }

    fn list(&self, folder: &Path) -> io::Result<Vec<OsString>> {
        self.below.list(&self.real(folder))
    }

    fn open(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        Ok(self.file(path, self.below.open(&self.real(path))?))
    }

    fn open_to_append(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        let real = self.ask("open_to_append", path)?;
        Ok(self.file(path, self.below.open_to_append(&real)?))
    }

    fn create(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        let real = self.ask("create", path)?;
        Ok(self.file(path, self.below.create(&real)?))
    }

    fn create_folder(&self, path: &Path) -> io::Result<()> {
        self.below.create_folder(&self.ask("create_folder", path)?)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.below.rename(&self.real(from), &self.ask("rename", to)?)
    }

    fn rename_to_new(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.below
            .rename_to_new(&self.real(from), &self.ask("rename_to_new", to)?)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        self.below.remove(&self.ask("remove", path)?)
    }

    fn remove_folder(&self, path: &Path) -> io::Result<()> {
        self.below.remove_folder(&self.ask("remove_folder", path)?)
    }

    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        self.below.sync_folder(&self.ask("sync_folder", folder)?)
    }
}

#[derive(Debug)]
struct WatchedFile {
    disk: Watched,
    path: PathBuf,
    file: Box<dyn DiskFile>,
}

impl WatchedFile {
    fn ask(&self, call: &str) -> io::Result<()> {
        self.disk.ask(call, &self.path).map(|_| ())
    }

    fn ask_for_lock(&self, call: &str) -> Result<(), TryLockError> {
        self.ask(call).map_err(|error| match error.kind() {
            io::ErrorKind::WouldBlock => TryLockError::WouldBlock,
            _ => TryLockError::Error(error),
        })
    }
}

impl Read for WatchedFile {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        self.file.read(into)
    }
}

impl Seek for WatchedFile {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        self.file.seek(to)
    }
}

impl Write for WatchedFile {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.ask("write")?;
        self.file.write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.file.flush()
    }
}

impl DiskFile for WatchedFile {
    fn about(&self) -> io::Result<About> {
        self.file.about()
    }

    fn sync(&mut self) -> io::Result<()> {
        self.ask("sync")?;
        self.file.sync()
    }

    fn cut_to(&mut self, bytes: u64) -> io::Result<()> {
        self.ask("cut_to")?;
        self.file.cut_to(bytes)
    }

    fn allow(&mut self, permissions: &Permissions) -> io::Result<()> {
        self.ask("allow")?;
        self.file.allow(permissions)
    }

    fn try_lock(&mut self) -> Result<(), TryLockError> {
        self.ask_for_lock("try_lock")?;
        self.file.try_lock()
    }

    fn try_lock_shared(&mut self) -> Result<(), TryLockError> {
        self.ask_for_lock("try_lock_shared")?;
        self.file.try_lock_shared()
    }
}
