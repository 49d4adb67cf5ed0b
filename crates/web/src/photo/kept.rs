//! Photos in the studio's folder, under names of our own.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use super::Kind;
use crate::keeping::hex;

/// Where they lie in a studio.
const FOLDER: &str = "photos";

/// A photo that lies there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Kept {
    /// Its path below the studio's folder, as a note names it.
    pub(crate) path: String,
    /// Whether it was written just now.
    is_new: bool,
}

impl Kept {
    /// Writes a bare picture: whole or not at all. The same picture has the same name.
    ///
    /// # Errors
    /// The disk's.
    pub(crate) fn write(studio: &Path, kind: Kind, bare: &[u8]) -> io::Result<Kept> {
        let name = format!("{}.{}", &hex(bare)[..20], kind.ending());
        let folder = studio.join(FOLDER);
        fs::create_dir_all(&folder)?;
        let path = folder.join(&name);
        let is_new = !path.exists();
        if is_new {
            let new = folder.join(format!(".{name}.new"));
            let mut file = fs::File::create(&new)?;
            file.write_all(bare).and_then(|()| file.sync_all())?;
            fs::rename(&new, &path)?;
        }
        Ok(Kept {
            path: format!("{FOLDER}/{name}"),
            is_new,
        })
    }

    /// Takes it away again where nothing names it.
    pub(crate) fn take_back(&self, studio: &Path) {
        if self.is_new {
            // Left there, it is a file that nobody names.
            let _ = fs::remove_file(studio.join(&self.path));
        }
    }
}

/// The photo of a name of ours, and its kind.
pub(crate) fn of_name(studio: &Path, name: &str) -> Option<(PathBuf, Kind)> {
    let (own, ending) = name.split_once('.')?;
    let kind = [Kind::Jpeg, Kind::Png, Kind::WebP]
        .into_iter()
        .find(|kind| kind.ending() == ending)?;
    let is_ours = own.len() == 20 && own.bytes().all(|byte| byte.is_ascii_hexdigit());
    is_ours.then(|| (studio.join(FOLDER).join(name), kind))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_names_of_ours_are_served() {
        let studio = Path::new("/studio");
        assert!(of_name(studio, "0123456789abcdef0123.jpg").is_some());
        for name in [
            "../x.jpg",
            "x.jpg",
            "0123456789abcdef0123.svg",
            "0123456789abcdef0123",
            "0123456789abcdef01/3.jpg",
        ] {
            assert!(of_name(studio, name).is_none(), "{name}");
        }
    }

    #[test]
    fn one_picture_is_kept_once() {
        let studio = tempfile::tempdir().unwrap();
        let first = Kept::write(studio.path(), Kind::Png, b"picture").unwrap();
        let again = Kept::write(studio.path(), Kind::Png, b"picture").unwrap();
        assert_eq!(first.path, again.path);
        again.take_back(studio.path());
        assert!(studio.path().join(&first.path).exists());
        first.take_back(studio.path());
        assert!(!studio.path().join(&first.path).exists());
    }
}
