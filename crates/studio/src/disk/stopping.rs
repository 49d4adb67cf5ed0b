//! A disk on which the process dies at a counted moment, for tests of what a kill
//! leaves behind. Builds without debug assertions don't have it.
//!
//! A moment lies before and after each call that changes something, and one in the
//! middle of each write, when half of its bytes are written. Counting them makes a
//! kill the same on an idle machine and on a busy one.

use std::ffi::OsString;
use std::fs::{Permissions, TryLockError};
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use super::machine::Machine;
use super::{About, Disk, DiskFile};

/// The moment at which the process dies, from 1.
const STOP_AT: &str = "GLOST_STOP_AT_DISK_MOMENT";

/// One count for the whole process, however many disks it opens.
static MOMENTS: AtomicU64 = AtomicU64::new(0);

/// The disk that stops, where the environment asks for it.
pub(super) fn asked_for() -> Option<Arc<dyn Disk>> {
    let text = std::env::var(STOP_AT).ok()?;
    let Ok(at) = text.parse() else {
        panic!("{STOP_AT}: `{text}` is no count of moments")
    };
    Some(Arc::new(Stopping { at }))
}

#[derive(Debug, Clone, Copy)]
struct Stopping {
    at: u64,
}

impl Stopping {
    fn moment(self) {
        if MOMENTS.fetch_add(1, Ordering::SeqCst) + 1 == self.at {
            // No destructor runs and no buffer is written out, as when killed.
            std::process::abort();
        }
    }

    fn around<T>(self, change: impl FnOnce() -> T) -> T {
        self.moment();
        let done = change();
        self.moment();
        done
    }

    fn file(self, file: Box<dyn DiskFile>) -> Box<dyn DiskFile> {
        Box::new(StoppingFile { file, stops: self })
    }
}

#[derive(Debug)]
struct StoppingFile {
    file: Box<dyn DiskFile>,
    stops: Stopping,
}

impl Read for StoppingFile {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        self.file.read(buffer)
    }
}

impl Seek for StoppingFile {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        self.file.seek(to)
    }
}

impl Write for StoppingFile {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let (first, second) = bytes.split_at(bytes.len() / 2);
        self.stops.moment();
        self.file.write_all(first)?;
        self.stops.moment();
        self.file.write_all(second)?;
        self.stops.moment();
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        self.file.flush()
    }
}

impl DiskFile for StoppingFile {
    fn about(&self) -> io::Result<About> {
        self.file.about()
    }

    fn sync(&mut self) -> io::Result<()> {
        self.stops.around(|| self.file.sync())
    }

    fn cut_to(&mut self, bytes: u64) -> io::Result<()> {
        self.stops.around(|| self.file.cut_to(bytes))
    }

    fn allow(&mut self, permissions: &Permissions) -> io::Result<()> {
        self.stops.around(|| self.file.allow(permissions))
    }

    fn try_lock(&mut self) -> Result<(), TryLockError> {
        self.file.try_lock()
    }

    fn try_lock_shared(&mut self) -> Result<(), TryLockError> {
        self.file.try_lock_shared()
    }
}

impl Disk for Stopping {
    fn about(&self, path: &Path) -> io::Result<About> {
        Machine.about(path)
    }

    fn about_name(&self, path: &Path) -> io::Result<About> {
        Machine.about_name(path)
    }

    fn resolved(&self, path: &Path) -> io::Result<PathBuf> {
        Machine.resolved(path)
    }

    fn list(&self, folder: &Path) -> io::Result<Vec<OsString>> {
        Machine.list(folder)
    }

    fn open(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        Machine.open(path)
    }

    fn open_to_append(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        self.around(|| Machine.open_to_append(path)).map(|file| self.file(file))
    }

    fn create(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        self.around(|| Machine.create(path)).map(|file| self.file(file))
    }

    fn create_folder(&self, path: &Path) -> io::Result<()> {
        self.around(|| Machine.create_folder(path))
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.around(|| Machine.rename(from, to))
    }

    fn rename_to_new(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.around(|| Machine.rename_to_new(from, to))
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        self.around(|| Machine.remove(path))
    }

    fn remove_folder(&self, path: &Path) -> io::Result<()> {
        self.around(|| Machine.remove_folder(path))
    }

    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        self.around(|| Machine.sync_folder(folder))
    }
}
