//! A disk on which some files read as an editor holds them, saved or not.

use std::collections::BTreeMap;
use std::ffi::OsString;
use std::fs::{Permissions, TryLockError};
use std::io::{self, Cursor, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::sync::{Arc, PoisonError, RwLock};

use super::{About, Disk, DiskFile, EntryKind};

/// Texts of open documents over another disk: they are read instead of its files, and
/// stand in its folders. What is written goes to the disk below.
#[derive(Debug)]
pub struct Unsaved {
    below: Arc<dyn Disk>,
    texts: RwLock<BTreeMap<PathBuf, Arc<str>>>,
}

impl Unsaved {
    /// No document yet.
    pub fn over(below: Arc<dyn Disk>) -> Unsaved {
        Unsaved {
            below,
            texts: RwLock::default(),
        }
    }

    /// A document as it reads now.
    pub fn put(&self, path: &Path, text: &str) {
        let mut texts = self.texts.write().unwrap_or_else(PoisonError::into_inner);
        texts.insert(path.to_owned(), text.into());
    }

    /// A document was closed: its file reads as it was saved.
    pub fn close(&self, path: &Path) {
        let mut texts = self.texts.write().unwrap_or_else(PoisonError::into_inner);
        texts.remove(path);
    }

    /// The text of an open document.
    pub fn text(&self, path: &Path) -> Option<Arc<str>> {
        let texts = self.texts.read().unwrap_or_else(PoisonError::into_inner);
        texts.get(path).cloned()
    }

    /// The open documents, in order of their paths.
    pub fn documents(&self) -> Vec<PathBuf> {
        let texts = self.texts.read().unwrap_or_else(PoisonError::into_inner);
        texts.keys().cloned().collect()
    }

    /// Whether an open document lies below a folder, which need not be on disk yet.
    fn is_folder_of_some(&self, path: &Path) -> bool {
        self.documents()
            .iter()
            .any(|document| document != path && document.starts_with(path))
    }

    fn told(&self, path: &Path, below: io::Result<About>) -> io::Result<About> {
        let Some(text) = self.text(path) else {
            return if below.is_err() && self.is_folder_of_some(path) {
                Ok(NEW_FOLDER)
            } else {
                below
            };
        };
        let (identity, permissions) = below.map_or((None, None), |about| (about.identity, about.permissions));
        Ok(About {
            kind: EntryKind::File,
            bytes: text.len() as u64,
            identity,
            permissions,
        })
    }
}

/// A folder that will be made when its document is saved.
const NEW_FOLDER: About = About {
    kind: EntryKind::Folder,
    bytes: 0,
    identity: None,
    permissions: None,
};

impl Disk for Unsaved {
    fn about(&self, path: &Path) -> io::Result<About> {
        self.told(path, self.below.about(path))
    }

    fn about_name(&self, path: &Path) -> io::Result<About> {
        self.told(path, self.below.about_name(path))
    }

    fn resolved(&self, path: &Path) -> io::Result<PathBuf> {
        match self.below.resolved(path) {
            Err(_) if self.text(path).is_some() => Ok(path.to_owned()),
            resolved => resolved,
        }
    }

    fn list(&self, folder: &Path) -> io::Result<Vec<OsString>> {
        let documents = self.documents();
        let below = documents.iter().filter_map(|path| path.strip_prefix(folder).ok());
        let mut open: Vec<OsString> = below
            .filter_map(|path| path.iter().next())
            .map(OsString::from)
            .collect();
        open.dedup();
        match self.below.list(folder) {
            Err(_) if !open.is_empty() => Ok(open),
            listed => listed.map(|mut names| {
                let new: Vec<OsString> = open.into_iter().filter(|name| !names.contains(name)).collect();
                names.extend(new);
                names
            }),
        }
    }

    fn open(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        match self.text(path) {
            Some(text) => Ok(Box::new(Document(Cursor::new(text.as_bytes().to_vec())))),
            None => self.below.open(path),
        }
    }

    fn open_to_append(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        self.below.open_to_append(path)
    }

    fn create(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        self.below.create(path)
    }

    fn create_folder(&self, path: &Path) -> io::Result<()> {
        self.below.create_folder(path)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.below.rename(from, to)
    }

    fn rename_to_new(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.below.rename_to_new(from, to)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        self.below.remove(path)
    }

    fn remove_folder(&self, path: &Path) -> io::Result<()> {
        self.below.remove_folder(path)
    }

    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        self.below.sync_folder(folder)
    }
}

/// An open document, to be read only.
#[derive(Debug)]
struct Document(Cursor<Vec<u8>>);

fn read_only() -> io::Error {
    io::Error::new(io::ErrorKind::ReadOnlyFilesystem, "the editor holds this file")
}

impl Read for Document {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        self.0.read(into)
    }
}

impl Seek for Document {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        self.0.seek(to)
    }
}

impl Write for Document {
    fn write(&mut self, _: &[u8]) -> io::Result<usize> {
        Err(read_only())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

impl DiskFile for Document {
    fn about(&self) -> io::Result<About> {
        Ok(About {
            kind: EntryKind::File,
            bytes: self.0.get_ref().len() as u64,
            identity: None,
            permissions: None,
        })
    }

    fn sync(&mut self) -> io::Result<()> {
        Ok(())
    }

    fn cut_to(&mut self, _: u64) -> io::Result<()> {
        Err(read_only())
    }

    fn allow(&mut self, _: &Permissions) -> io::Result<()> {
        Err(read_only())
    }

    fn try_lock(&mut self) -> Result<(), TryLockError> {
        Ok(())
    }

    fn try_lock_shared(&mut self) -> Result<(), TryLockError> {
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::disk::real_disk;

    #[test]
    fn an_open_document_is_read_instead_of_its_file() -> io::Result<()> {
        let folder = tempfile::tempdir()?;
        let saved = folder.path().join("clear.yaml");
        let new = folder.path().join("new/new.yaml");
        std::fs::write(&saved, "glaze: saved")?;
        let disk = Unsaved::over(real_disk());
        let text = |path: &Path| -> io::Result<String> {
            let mut text = String::new();
            disk.open(path)?.read_to_string(&mut text)?;
            Ok(text)
        };
        assert_eq!(text(&saved)?, "glaze: saved");
        disk.put(&saved, "glaze: typed");
        disk.put(&new, "glaze: new");
        assert_eq!(
            (text(&saved)?, text(&new)?),
            ("glaze: typed".into(), "glaze: new".into())
        );
        assert_eq!(disk.list(folder.path())?.len(), 2);
        assert_eq!(disk.list(&folder.path().join("new"))?, ["new.yaml"]);
        assert!(disk.about(&folder.path().join("new"))?.is_folder());
        assert_eq!(disk.about(&new)?.bytes, 10);
        disk.close(&saved);
        disk.close(&new);
        assert_eq!(text(&saved)?, "glaze: saved");
        assert!(disk.about(&new).is_err());
        Ok(())
    }
}
