//! A new studio's folder, whole or not at all; nothing is ever overwritten.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, of_typed};

use crate::disk::{Disk, is_folder, is_taken, real_disk};
use crate::folder::STUDIO_FILE;
use crate::save::{already_there, cannot_write, create_new_on, folder_of, unused_name};
use crate::shipped::{EXAMPLE, STARTER};
use crate::text_file::{about_file, missing};

/// Journals of two clones are merged by keeping the lines of both: any order gives the same
/// answers. A folder that has such a file keeps its own.
const GIT_ATTRIBUTES: (&str, &str) = (".gitattributes", "*.jsonl merge=union\n");

/// What `init` has made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Created {
    /// The studio's folder, as given.
    pub dir: PathBuf,
    /// Its files within the folder, sorted.
    pub files: Vec<PathBuf>,
}

/// Makes a studio's folder: the example studio's files, or commented starter
/// files. The folder may be new (the one it stands in must be there), or there
/// already without any file of these names.
///
/// # Errors
/// A studio or a file of one of these names is there already, or it can't be
/// written; whatever was there before is as it was.
pub fn init(dir: &Path, example: bool) -> Result<Created, Diagnostic> {
    create(dir, &first_files(example))
}

/// The files of a new studio, (path with `/`, text), `studio.yaml` last: of the example,
/// or commented starter files.
pub fn first_files(example: bool) -> Vec<(&'static str, &'static str)> {
    let files = if example { EXAMPLE } else { STARTER };
    files.iter().map(|file| (file.path, file.text)).collect()
}

/// Makes a studio's folder of these files, (path with `/`, text), as [`init`] does.
/// `studio.yaml` has to come last.
///
/// # Errors
/// As [`init`].
pub fn create(dir: &Path, files: &[(&str, &str)]) -> Result<Created, Diagnostic> {
    let shown = dir.display().to_string();
    if dir.as_os_str().is_empty() {
        return Err(Diagnostic::error("no-name", "the folder's name is empty"));
    }
    let disk = real_disk();
    let mut files: Vec<(&str, &str)> = files.to_vec();
    if !is_taken(&*disk, &dir.join(GIT_ATTRIBUTES.0)) {
        files.insert(0, GIT_ATTRIBUTES);
    }
    let files = files.as_slice();
    match disk.about(dir) {
        Ok(there) if there.is_folder() => fill(&disk, dir, files)?,
        Ok(_) => {
            return Err(
                about_file("not-a-folder", of_typed(&shown, "is a file, not a folder"), &shown)
                    .help("choose another name"),
            );
        }
        Err(error) if error.kind() == io::ErrorKind::NotFound && !is_taken(&*disk, dir) => {
            make(&disk, dir, files)?;
        }
        Err(error) => return Err(cannot_write(dir, &error)),
    }
    Ok(Created {
        dir: dir.to_owned(),
        files: files.iter().map(|file| PathBuf::from(file.0)).collect(),
    })
}

/// Makes the folder beside its place and moves it there in one step.
fn make(disk: &Arc<dyn Disk>, dir: &Path, files: &[(&str, &str)]) -> Result<(), Diagnostic> {
    let trouble = |error: io::Error| cannot_write(dir, &error);
    let outer = folder_of(dir);
    if !is_folder(&**disk, outer) {
        let error = missing(&**disk, outer, &outer.display().to_string(), "folder");
        return Err(error.help(format!("make `{}` first, or check the path", outer.display())));
    }
    let (half_made, ()) = unused_name(outer, ".glost-init-", |path| disk.create_folder(path)).map_err(trouble)?;
    let mut made = Made {
        disk: Arc::clone(disk),
        folders: vec![half_made.clone()],
        files: Vec::new(),
    };
    let moved = files
        .iter()
        .try_for_each(|file| made.file(&half_made, *file))
        .and_then(|()| disk.rename(&half_made, dir).map_err(trouble));
    if moved.is_err() {
        made.take_back();
        return moved;
    }
    disk.sync_folder(outer).map_err(trouble)
}

/// Fills a folder that is there; if that fails half-way, takes out again what
/// was put in.
fn fill(disk: &Arc<dyn Disk>, dir: &Path, files: &[(&str, &str)]) -> Result<(), Diagnostic> {
    if is_taken(&**disk, &dir.join(STUDIO_FILE)) {
        let message = of_typed(dir.display(), "is a studio already: it holds studio.yaml");
        return Err(Diagnostic::error("already-there", message).help("nothing was written; choose another folder"));
    }
    // studio.yaml comes last in both lists: the folder is a studio once all is there.
    add(disk, dir, files)
}

/// Adds files, (path with `/`, text), to a folder that is there: all of them or none.
///
/// # Errors
/// One of them is there already, or can't be written; what was written is taken back.
pub(crate) fn add(disk: &Arc<dyn Disk>, dir: &Path, files: &[(&str, &str)]) -> Result<(), Diagnostic> {
    for (name, _) in files {
        let path = dir.join(name);
        if is_taken(&**disk, &path) {
            return Err(already_there(&path));
        }
    }
    let mut made = Made {
        disk: Arc::clone(disk),
        folders: Vec::new(),
        files: Vec::new(),
    };
    let result = files.iter().try_for_each(|file| made.file(dir, *file));
    if result.is_err() {
        made.take_back();
    }
    result
}

/// Makes a folder of these files: a new one as a whole, or one that is there and empty.
/// `shown` is its name in complaints.
///
/// # Errors
/// It holds something, or can't be written.
pub(crate) fn make_folder_of(
    disk: &Arc<dyn Disk>,
    dir: &Path,
    shown: &str,
    files: &[(&str, &str)],
) -> Result<(), Diagnostic> {
    match disk.about(dir) {
        Ok(there) if there.is_folder() => {
            let held = disk.list(dir).map_err(|error| cannot_write(dir, &error))?;
            if !held.is_empty() {
                let error = Diagnostic::error("already-there", format!("the folder `{shown}` holds something already"));
                return Err(error.help("nothing was written; name a new folder, or an empty one"));
            }
            add(disk, dir, files)
        }
        Ok(_) => Err(
            about_file("not-a-folder", of_typed(shown, "is a file, not a folder"), shown).help("choose another name"),
        ),
        Err(error) if error.kind() == io::ErrorKind::NotFound && !is_taken(&**disk, dir) => make(disk, dir, files),
        Err(error) => Err(cannot_write(dir, &error)),
    }
}

/// What was made so far.
struct Made {
    disk: Arc<dyn Disk>,
    folders: Vec<PathBuf>,
    files: Vec<PathBuf>,
}

impl Made {
    fn file(&mut self, dir: &Path, (name, text): (&str, &str)) -> Result<(), Diagnostic> {
        let path = dir.join(name);
        self.folder(folder_of(&path))?;
        create_new_on(&self.disk, &path, text)?;
        self.files.push(path);
        Ok(())
    }

    /// Makes a folder with those above it.
    fn folder(&mut self, folder: &Path) -> Result<(), Diagnostic> {
        if is_folder(&*self.disk, folder) {
            return Ok(());
        }
        let outer = folder_of(folder);
        if outer != folder && !is_taken(&*self.disk, outer) {
            self.folder(outer)?;
        }
        let made = self.disk.create_folder(folder);
        made.map_err(|error| cannot_write(folder, &error))?;
        self.folders.push(folder.to_owned());
        let lasts = self.disk.sync_folder(outer);
        lasts.map_err(|error| cannot_write(folder, &error))
    }

    fn take_back(&self) {
        // What can't be taken away stays, and the error that led here is told.
        for file in &self.files {
            let _ = self.disk.remove(file);
        }
        for folder in self.folders.iter().rev() {
            // Only an empty one goes.
            let _ = self.disk.remove_folder(folder);
        }
    }
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;

    fn count(folder: &Path) -> usize {
        fs::read_dir(folder).map_or(0, Iterator::count)
    }

    #[test]
    fn a_new_folder_holds_everything() -> io::Result<()> {
        let outer = tempfile::tempdir()?;
        let dir = outer.path().join("my studio");
        let created = init(&dir, true).unwrap_or_else(|error| panic!("{error:?}"));
        assert_eq!(created.files.len(), EXAMPLE.len() + 1, "and .gitattributes");
        for file in EXAMPLE {
            assert_eq!(fs::read_to_string(dir.join(file.path))?, file.text);
        }
        assert_eq!(count(outer.path()), 1, "nothing is left beside it");
        Ok(())
    }

    #[test]
    fn a_studio_is_never_written_over() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        fs::write(dir.path().join(STUDIO_FILE), "studio: mine")?;
        let error = init(dir.path(), false).err();
        assert!(error.is_some_and(|error| error.code == "already-there" && error.message.contains("studio.yaml")));
        assert_eq!(fs::read_to_string(dir.path().join(STUDIO_FILE))?, "studio: mine");
        assert_eq!(count(dir.path()), 1);
        Ok(())
    }

    #[test]
    fn an_empty_folder_is_filled_and_other_files_in_it_stay() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        fs::write(dir.path().join("diary.txt"), "mine")?;
        assert!(init(dir.path(), false).is_ok());
        assert_eq!(fs::read_to_string(dir.path().join("diary.txt"))?, "mine");
        assert!(dir.path().join(STUDIO_FILE).is_file());
        Ok(())
    }

    #[test]
    fn a_file_in_the_way_is_named_and_nothing_is_written() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        fs::create_dir(dir.path().join("glazes"))?;
        fs::write(dir.path().join("glazes/first_clear.yaml"), "mine")?;
        let error = init(dir.path(), false).err();
        assert!(error.is_some_and(|error| error.message.contains("first_clear.yaml")));
        assert_eq!(count(dir.path()), 1);

        let other = tempfile::tempdir()?;
        fs::write(other.path().join("materials"), "a file where a folder should be")?;
        assert!(init(other.path(), false).is_err());
        assert_eq!(count(other.path()), 1, "what was made half-way is taken back");
        Ok(())
    }

    #[test]
    fn a_file_or_a_missing_outer_folder_is_refused() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        fs::write(dir.path().join("f"), "x")?;
        let code = |path: &str| init(&dir.path().join(path), false).err().map(|error| error.code);
        assert_eq!(code("f"), Some("not-a-folder"));
        assert_eq!(code("gone/studio"), Some("no-such-file"));
        assert_eq!(code("f/studio"), Some("cannot-write"));
        assert_eq!(count(dir.path()), 1);
        Ok(())
    }
}
