//! The simulated disk as a studio sees it.

use std::ffi::OsString;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use glost_studio::{About, Disk, DiskFile, EntryKind};

use super::file::OpenFile;
use super::state::{File, Folder, Moment, Node, Refusal};

/// A disk in memory; clones are the same disk.
#[derive(Debug, Clone, Default)]
pub struct SimulatedDisk(Arc<Mutex<Held>>);

#[derive(Debug, Default)]
pub(super) struct Held {
    pub now: Moment,
    /// As it was before and after each call that changed something.
    moments: Vec<Moment>,
    /// Calls that change something, so far.
    calls: u64,
    /// The call that is refused, and how.
    refused: Option<(u64, Refusal)>,
}

impl Held {
    /// Counts a call that changes something, and refuses it where that was asked.
    pub fn call(&mut self) -> Result<(), Refusal> {
        self.calls += 1;
        match self.refused {
            Some((at, how)) if at == self.calls => Err(how),
            _ => Ok(()),
        }
    }

    /// Remembers how it is now.
    pub fn remember(&mut self) {
        self.moments.push(self.now.clone());
    }

    fn change<T>(&mut self, change: impl FnOnce(&mut Moment) -> io::Result<T>) -> io::Result<T> {
        self.call().map_err(Refusal::error)?;
        let done = change(&mut self.now)?;
        self.remember();
        Ok(done)
    }

    pub fn about(&self, id: usize) -> About {
        let (kind, bytes) = match self.now.node(id) {
            Node::File(file) => (EntryKind::File, file.written.len() as u64),
            Node::Folder(_) => (EntryKind::Folder, 0),
        };
        About {
            kind,
            bytes,
            identity: Some((1, id as u64)),
            permissions: None,
        }
    }
}

impl SimulatedDisk {
    /// A disk as one was left.
    pub fn of(moment: Moment) -> SimulatedDisk {
        let disk = SimulatedDisk::default();
        disk.held().now = moment;
        disk
    }

    /// A disk with the files of a folder of this machine, below `/`, all of them lasting.
    ///
    /// # Panics
    /// They can't be read.
    pub fn with_files_of(folder: &Path) -> SimulatedDisk {
        let disk = SimulatedDisk::default();
        disk.copy(folder, Path::new("/"));
        let mut held = disk.held();
        held.now.settle();
        held.moments.clear();
        held.calls = 0;
        drop(held);
        disk
    }

    fn copy(&self, from: &Path, to: &Path) {
        let entries = std::fs::read_dir(from).unwrap_or_else(|why| panic!("{}: {why}", from.display()));
        for entry in entries.flatten() {
            let (path, new) = (entry.path(), to.join(entry.file_name()));
            if path.is_dir() {
                let made = self.create_folder(&new);
                assert!(made.is_ok(), "{made:?}");
                self.copy(&path, &new);
            } else {
                let bytes = std::fs::read(&path).unwrap_or_else(|why| panic!("{}: {why}", path.display()));
                let mut file = self
                    .create(&new)
                    .unwrap_or_else(|why| panic!("{}: {why}", new.display()));
                let written = io::Write::write_all(&mut file, &bytes);
                assert!(written.is_ok(), "{written:?}");
            }
        }
    }

    /// Refuses the call of this number, from 1, of those that change something.
    pub fn refuse(&self, call: u64, how: Refusal) {
        let mut held = self.held();
        held.calls = 0;
        held.refused = Some((call, how));
    }

    /// How many calls changed something.
    pub fn calls(&self) -> u64 {
        self.held().calls
    }

    /// The moments since they were last taken.
    pub fn take_moments(&self) -> Vec<Moment> {
        std::mem::take(&mut self.held().moments)
    }

    /// As it is now.
    pub fn now(&self) -> Moment {
        self.held().now.clone()
    }

    pub(super) fn held(&self) -> MutexGuard<'_, Held> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn opened(&self, id: usize, at_end: bool) -> Box<dyn DiskFile> {
        Box::new(OpenFile::new(self.clone(), id, at_end))
    }
}

fn taken() -> io::Error {
    io::Error::from(io::ErrorKind::AlreadyExists)
}

/// Moves a name, in one step within a folder; between folders the new one comes first.
fn moved(now: &mut Moment, from: &Path, to: &Path) -> io::Result<()> {
    let id = now.find(from)?;
    let (old, name) = now.place(from)?;
    let (new, new_name) = now.place(to)?;
    if old == new {
        now.change(old, vec![(name, None), (new_name, Some(id))]);
    } else {
        now.change(new, vec![(new_name, Some(id))]);
        now.change(old, vec![(name, None)]);
    }
    Ok(())
}

impl Disk for SimulatedDisk {
    fn about(&self, path: &Path) -> io::Result<About> {
        let held = self.held();
        held.now.find(path).map(|id| held.about(id))
    }

    fn about_name(&self, path: &Path) -> io::Result<About> {
        Disk::about(self, path)
    }

    fn resolved(&self, path: &Path) -> io::Result<PathBuf> {
        self.held().now.find(path).map(|_| path.to_owned())
    }

    fn list(&self, folder: &Path) -> io::Result<Vec<OsString>> {
        let held = self.held();
        let id = held.now.find(folder)?;
        Ok(held.now.folder(id)?.names.keys().cloned().collect())
    }

    fn open(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        let id = {
            let held = self.held();
            let id = held.now.find(path)?;
            held.now.file(id)?;
            id
        };
        Ok(self.opened(id, false))
    }

    fn open_to_append(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        let found = self.held().now.find(path);
        let id = match found {
            Ok(id) => id,
            Err(_) => self.held().change(|now| {
                let place = now.place(path)?;
                Ok(now.make(place, Node::File(File::default())))
            })?,
        };
        Ok(self.opened(id, true))
    }

    fn create(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        let id = self.held().change(|now| {
            if now.find(path).is_ok() {
                return Err(taken());
            }
            let place = now.place(path)?;
            Ok(now.make(place, Node::File(File::default())))
        })?;
        Ok(self.opened(id, false))
    }

    fn create_folder(&self, path: &Path) -> io::Result<()> {
        self.held().change(|now| {
            if now.find(path).is_ok() {
                return Err(taken());
            }
            let place = now.place(path)?;
            now.make(place, Node::Folder(Folder::default()));
            Ok(())
        })
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.held().change(|now| moved(now, from, to))
    }

    fn rename_to_new(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.held().change(|now| {
            if now.find(to).is_ok() {
                return Err(taken());
            }
            moved(now, from, to)
        })
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        self.held().change(|now| {
            now.find(path)?;
            let (folder, name) = now.place(path)?;
            now.change(folder, vec![(name, None)]);
            Ok(())
        })
    }

    fn remove_folder(&self, path: &Path) -> io::Result<()> {
        self.remove(path)
    }

    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        self.held().change(|now| {
            let id = now.find(folder)?;
            now.sync(id);
            Ok(())
        })
    }
}
