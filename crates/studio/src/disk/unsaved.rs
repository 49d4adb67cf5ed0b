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

    /// The editor knows only what is read; what is written is on disk at once.
    #[test]
    fn what_is_written_goes_to_the_disk_below() -> io::Result<()> {
        let folder = tempfile::tempdir()?;
        let disk = Unsaved::over(real_disk());
        let shed = folder.path().join("shed");
        let [x, y, z] = ["x", "y", "z"].map(|name| shed.join(name));
        disk.create_folder(&shed)?;
        disk.create(&x)?.write_all(b"clear")?;
        disk.open_to_append(&x)?.write_all(b" blue")?;
        disk.rename(&x, &y)?;
        disk.rename_to_new(&y, &z)?;
        assert_eq!(std::fs::read_to_string(&z)?, "clear blue");
        assert_eq!(disk.resolved(&z)?, std::fs::canonicalize(&z)?);
        assert_eq!(disk.list(&shed)?, ["z"]);
        assert!(disk.sync_folder(&shed).is_ok());
        disk.remove(&z)?;
        assert!(!z.exists());
        disk.remove_folder(&shed)?;
        assert!(!shed.exists());
        #[cfg(unix)]
        assert!(disk.sync_folder(&shed).is_err(), "it isn't there");
        assert!(disk.resolved(&z).is_err() && disk.list(&shed).is_err());
        Ok(())
    }

    #[test]
    fn a_document_is_told_as_the_file_it_will_be() -> io::Result<()> {
        let folder = tempfile::tempdir()?;
        let disk = Unsaved::over(real_disk());
        let saved = folder.path().join("glazes/clear.yaml");
        let new = folder.path().join("tests/may/new.yaml");
        std::fs::create_dir(folder.path().join("glazes"))?;
        std::fs::write(&saved, "glaze: saved")?;
        let before = disk.about(&saved)?;
        for document in [&saved, &new] {
            disk.put(document, "glaze: typed, and more");
        }
        assert_eq!(disk.documents(), [saved.clone(), new.clone()]);
        assert_eq!(disk.text(&new).as_deref(), Some("glaze: typed, and more"));
        for about in [disk.about(&saved)?, disk.about_name(&saved)?] {
            assert!(about.is_file() && about.bytes == 22);
            assert_eq!(
                (about.identity, about.permissions),
                (before.identity, before.permissions.clone())
            );
        }
        let about = disk.about_name(&new)?;
        assert!(about.is_file() && about.bytes == 22 && about.identity.is_none());
        assert_eq!(disk.resolved(&new)?, new);
        assert_eq!(disk.resolved(&saved)?, std::fs::canonicalize(&saved)?);
        // Its folders will be made with it.
        assert!(disk.about_name(&folder.path().join("tests"))?.is_folder());
        assert!(disk.about(&new.join("within")).is_err());
        assert!(disk.about(&folder.path().join("test")).is_err());
        let mut names = disk.list(folder.path())?;
        names.sort();
        assert_eq!(names, ["glazes", "tests"]);
        assert_eq!(disk.list(&folder.path().join("glazes"))?, ["clear.yaml"]);
        assert_eq!(disk.list(&folder.path().join("tests"))?, ["may"]);
        assert!(disk.list(&folder.path().join("plans")).is_err());
        disk.close(&new);
        assert!(disk.about(&folder.path().join("tests")).is_err() && disk.text(&new).is_none());
        Ok(())
    }

    #[test]
    fn a_document_is_read_and_never_written() -> io::Result<()> {
        let disk = Unsaved::over(real_disk());
        let path = Path::new("clear.yaml");
        disk.put(path, "glaze: typed");
        let mut file = disk.open(path)?;
        let about = file.about()?;
        assert!(about.is_file() && about.bytes == 12);
        file.seek(SeekFrom::Start(7))?;
        let mut text = String::new();
        file.read_to_string(&mut text)?;
        assert_eq!(text, "typed");
        let permissions = std::fs::metadata(".")?.permissions();
        let refused = [file.write(b"x").map(|_| ()), file.cut_to(1), file.allow(&permissions)];
        for answer in refused {
            assert_eq!(
                answer.map_err(|error| error.kind()),
                Err(io::ErrorKind::ReadOnlyFilesystem)
            );
        }
        assert!(file.flush().is_ok() && file.sync().is_ok());
        assert!(file.try_lock().is_ok() && file.try_lock_shared().is_ok());
        assert_eq!(disk.text(path).as_deref(), Some("glaze: typed"));
        Ok(())
    }
}
