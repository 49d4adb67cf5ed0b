//! Writing files so that a crash, a full disk or a second process leaves
//! either the old file or the new one, never half of one.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use glost_chemistry::diagnostic::{Diagnostic, of_typed};

use crate::disk::{Disk, DiskFile, create_folders, is_taken, read_at_most, real_disk};

/// What temporary files' names begin with; hidden, so that no folder lists them.
const TEMPORARY: &str = ".glost-";

/// Replaces a file, or makes it, as a whole. A link is followed; permissions
/// of the old file are kept.
///
/// # Errors
/// It can't be written; the old file is then untouched.
pub fn replace(path: &Path, text: &str) -> Result<(), Diagnostic> {
    Prepared::new(&real_disk(), path, text.as_bytes(), TEMPORARY)?.put_in_place()
}

/// A file's new text, on disk beside the old one, to be put in its place.
#[derive(Debug)]
pub(crate) struct Prepared {
    new: Temporary,
    target: PathBuf,
    path: PathBuf,
}

impl Prepared {
    /// Writes the new text beside the file, under a name that begins with `prefix`.
    ///
    /// # Errors
    /// It can't be written; nothing has changed then.
    pub fn new(disk: &Arc<dyn Disk>, path: &Path, bytes: &[u8], prefix: &str) -> Result<Prepared, Diagnostic> {
        let trouble = |error: io::Error| cannot_write(path, &error);
        let target = disk.resolved(path).unwrap_or_else(|_| path.to_owned());
        let (new, mut file) = written_beside(disk, &target, bytes, prefix).map_err(trouble)?;
        if let Ok(old) = disk.about(&target)
            && let Some(permissions) = &old.permissions
        {
            file.allow(permissions).map_err(trouble)?;
        }
        Ok(Prepared {
            new,
            target,
            path: path.to_owned(),
        })
    }

    /// Where it lies, and whose place it takes.
    pub fn places(&self) -> (&Path, &Path) {
        (&self.new.path, &self.target)
    }

    /// Leaves it where it lies, for somebody else to put in place.
    pub fn stays(mut self) {
        self.new.moved = true;
    }

    /// Whether what lies beside the file is what was written.
    ///
    /// # Errors
    /// It isn't, or it can't be read; the old file is untouched.
    pub fn holds(&self, bytes: &[u8]) -> Result<(), Diagnostic> {
        let trouble = |error: io::Error| cannot_write(&self.path, &error);
        let mut file = self.new.disk.open(&self.new.path).map_err(trouble)?;
        let more = bytes.len() as u64 + 1;
        if read_at_most(&mut *file, more).map_err(trouble)? != bytes {
            let message = of_typed(self.path.display(), "read back otherwise than it was written");
            return Err(Diagnostic::error("cannot-write", message).help("the old file stays; is the disk failing?"));
        }
        Ok(())
    }

    /// Puts the new text in the old one's place and waits until that lasts.
    ///
    /// # Errors
    /// It can't be; the old file is then untouched.
    pub fn put_in_place(self) -> Result<(), Diagnostic> {
        let trouble = |error: io::Error| cannot_write(&self.path, &error);
        let disk = Arc::clone(&self.new.disk);
        self.new
            .moved(|from| disk.rename(from, &self.target))
            .map_err(trouble)?;
        disk.sync_folder(folder_of(&self.target)).map_err(trouble)
    }
}

/// Makes a file that isn't there yet, as a whole.
///
/// # Errors
/// Something of this name is there already (it is untouched), or it can't be
/// written.
pub fn create_new(path: &Path, text: &str) -> Result<(), Diagnostic> {
    create_new_on(&real_disk(), path, text)
}

/// As [`create_new`].
pub(crate) fn create_new_on(disk: &Arc<dyn Disk>, path: &Path, text: &str) -> Result<(), Diagnostic> {
    create_bytes_on(disk, path, text.as_bytes())
}

/// As [`create_new`], of bytes that are no text.
pub(crate) fn create_new_bytes(path: &Path, bytes: &[u8]) -> Result<(), Diagnostic> {
    create_bytes_on(&real_disk(), path, bytes)
}

fn create_bytes_on(disk: &Arc<dyn Disk>, path: &Path, bytes: &[u8]) -> Result<(), Diagnostic> {
    let trouble = |error: io::Error| match error.kind() {
        io::ErrorKind::AlreadyExists => already_there(path),
        _ => cannot_write(path, &error),
    };
    if is_taken(&**disk, path) {
        return Err(already_there(path));
    }
    let (new, _) = written_beside(disk, path, bytes, TEMPORARY).map_err(trouble)?;
    new.moved(|from| disk.rename_to_new(from, path)).map_err(trouble)?;
    disk.sync_folder(folder_of(path)).map_err(|error| {
        // Whoever is told that it isn't there shall not come upon it.
        let _ = disk.remove(path);
        trouble(error)
    })
}

/// Makes a folder with all above it; one that is there is fine.
///
/// # Errors
/// It can't be made.
pub fn make_folder(folder: &Path) -> Result<(), Diagnostic> {
    let disk = real_disk();
    create_folders(&*disk, folder).map_err(|why| match why.kind() {
        io::ErrorKind::AlreadyExists => {
            // It may be one of those above.
            let file = folder.ancestors().find(|path| is_taken(&*disk, path)).unwrap_or(folder);
            Diagnostic::error("not-a-folder", of_typed(file.display(), "is a file, not a folder"))
                .help("choose another name")
        }
        _ => cannot_write(folder, &why),
    })
}

/// Makes a file, or renews one that begins with `head`: anything else of that
/// name stays untouched.
///
/// # Errors
/// As [`create_new`] and [`replace`].
pub fn create_or_renew(path: &Path, text: &str, head: &str) -> Result<(), Diagnostic> {
    let ours =
        crate::text_file::read_text(path, &path.display().to_string()).is_ok_and(|old| old.text.starts_with(head));
    if ours {
        replace(path, text)
    } else {
        create_new(path, text)
    }
}

/// The folder that a file lies in.
pub(crate) fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// A file under a name for the time being; removed unless it is moved away.
#[derive(Debug)]
struct Temporary {
    disk: Arc<dyn Disk>,
    path: PathBuf,
    moved: bool,
}

impl Temporary {
    fn moved(mut self, rename: impl FnOnce(&Path) -> io::Result<()>) -> io::Result<()> {
        rename(&self.path)?;
        self.moved = true;
        Ok(())
    }
}

impl Drop for Temporary {
    fn drop(&mut self) {
        if !self.moved {
            // What can't be removed is hidden and does no harm.
            let _ = self.disk.remove(&self.path);
        }
    }
}

/// A finished temporary file in the same folder, with a new file's usual permissions.
fn written_beside(
    disk: &Arc<dyn Disk>,
    path: &Path,
    bytes: &[u8],
    prefix: &str,
) -> io::Result<(Temporary, Box<dyn DiskFile>)> {
    let (path, mut file) = unused_name(folder_of(path), prefix, |path| disk.create(path))?;
    let new = Temporary {
        disk: Arc::clone(disk),
        path,
        moved: false,
    };
    file.write_all(bytes)?;
    file.sync()?;
    Ok((new, file))
}

/// Makes something in a folder under a name that nothing has.
///
/// # Errors
/// As `make`, but for a name that is taken: the next one is tried.
pub(crate) fn unused_name<T>(
    folder: &Path,
    prefix: &str,
    make: impl Fn(&Path) -> io::Result<T>,
) -> io::Result<(PathBuf, T)> {
    static USED: AtomicU64 = AtomicU64::new(0);
    loop {
        let number = USED.fetch_add(1, Ordering::Relaxed);
        let path = folder.join(format!("{prefix}{}-{number}", std::process::id()));
        match make(&path) {
            // Left over from a process that was killed, or another machine's.
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
            made => return made.map(|made| (path, made)),
        }
    }
}

/// Whether something of this name is there, a link that leads nowhere included.
pub fn is_there(path: &Path) -> bool {
    is_taken(&*real_disk(), path)
}

/// The complaint that a file of this name is there already.
pub fn already_there(path: &Path) -> Diagnostic {
    Diagnostic::error("already-there", of_typed(path.display(), "is there already"))
        .help("nothing was written; move it away or choose another name")
}

pub(crate) fn cannot_write(path: &Path, error: &io::Error) -> Diagnostic {
    let why = match error.kind() {
        io::ErrorKind::PermissionDenied => "you may not write there".to_owned(),
        io::ErrorKind::StorageFull => "the disk is full".to_owned(),
        io::ErrorKind::FileTooLarge => "no more may be written to it (a limit on files, or a full disk)".to_owned(),
        io::ErrorKind::QuotaExceeded => "your share of the disk is used up".to_owned(),
        io::ErrorKind::ReadOnlyFilesystem => "the disk can only be read".to_owned(),
        io::ErrorKind::NotFound => "its folder isn't there".to_owned(),
        io::ErrorKind::NotADirectory => "a file stands where a folder should be".to_owned(),
        io::ErrorKind::IsADirectory => "it is a folder".to_owned(),
        _ => error.to_string(),
    };
    Diagnostic::error("cannot-write", format!("`{}` can't be written: {why}", path.display()))
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;

    fn names(folder: &Path) -> io::Result<Vec<String>> {
        let mut names: Vec<String> = fs::read_dir(folder)?
            .flatten()
            .map(|entry| entry.file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        Ok(names)
    }

    #[test]
    fn replacing_leaves_the_new_text_and_nothing_else() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        let path = dir.path().join("a.yaml");
        assert_eq!(replace(&path, "one"), Ok(()));
        assert_eq!(replace(&path, "two"), Ok(()));
        assert_eq!(fs::read_to_string(&path)?, "two");
        assert_eq!(names(dir.path())?, ["a.yaml"]);
        Ok(())
    }

    #[test]
    fn what_cannot_be_written_leaves_the_old_as_it_was() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        let folder = dir.path().join("a.yaml");
        fs::create_dir(&folder)?;
        fs::write(folder.join("inside"), "x")?;
        let error = replace(&folder, "one").err().map(|error| error.code);
        assert_eq!(error, Some("cannot-write"));
        assert_eq!(names(dir.path())?, ["a.yaml"]);
        let lost = replace(&dir.path().join("gone/a.yaml"), "one").err();
        assert!(lost.is_some_and(|error| error.message.ends_with("its folder isn't there")));
        Ok(())
    }

    #[cfg(unix)]
    #[test]
    fn permissions_stay_and_links_are_followed() -> io::Result<()> {
        use std::os::unix::fs::PermissionsExt;
        let dir = tempfile::tempdir()?;
        let (path, link) = (dir.path().join("a.yaml"), dir.path().join("link.yaml"));
        fs::write(&path, "one")?;
        fs::set_permissions(&path, fs::Permissions::from_mode(0o640))?;
        std::os::unix::fs::symlink(&path, &link)?;
        assert_eq!(replace(&link, "two"), Ok(()));
        assert_eq!(fs::read_to_string(&path)?, "two");
        assert!(link.symlink_metadata()?.is_symlink());
        assert_eq!(fs::metadata(&path)?.permissions().mode() & 0o777, 0o640);
        Ok(())
    }

    #[test]
    fn a_new_file_never_takes_the_place_of_another() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        let path = dir.path().join("a.yaml");
        assert_eq!(create_new(&path, "mine"), Ok(()));
        let error = create_new(&path, "other").err().map(|error| error.code);
        assert_eq!(error, Some("already-there"));
        assert_eq!(fs::read_to_string(&path)?, "mine");
        assert_eq!(names(dir.path())?, ["a.yaml"]);
        Ok(())
    }

    /// However many make one file at once, one of them does, and the others are told.
    #[test]
    fn of_many_at_once_one_makes_the_file() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        for turn in 0..40 {
            let path = dir.path().join(format!("{turn}.yaml"));
            let told = std::sync::Mutex::new(Vec::new());
            std::thread::scope(|scope| {
                for _ in 0..6 {
                    scope.spawn(|| {
                        let made = create_new(&path, "text");
                        if let Ok(mut told) = told.lock() {
                            told.push(made);
                        }
                    });
                }
            });
            let made = told.into_inner().unwrap_or_default();
            assert_eq!(made.len(), 6);
            assert_eq!(made.iter().filter(|made| made.is_ok()).count(), 1);
            let mut refused = made.iter().filter_map(|made| made.as_ref().err());
            assert!(refused.all(|why| why.code == "already-there"), "{made:?}");
            assert_eq!(fs::read_to_string(&path)?, "text");
        }
        Ok(())
    }

    #[test]
    fn a_name_that_was_left_over_is_passed_by() -> io::Result<()> {
        let tried = std::cell::Cell::new(0);
        let (path, ()) = unused_name(Path::new("x"), "left-", |_| {
            tried.set(tried.get() + 1);
            if tried.get() < 4 {
                Err(io::ErrorKind::AlreadyExists.into())
            } else {
                Ok(())
            }
        })?;
        assert_eq!(tried.get(), 4);
        assert!(path.starts_with("x"));
        let refused = unused_name(Path::new("x"), "left-", |_| {
            Err::<(), _>(io::ErrorKind::StorageFull.into())
        });
        assert_eq!(refused.err().map(|why| why.kind()), Some(io::ErrorKind::StorageFull));
        Ok(())
    }

    #[test]
    fn a_file_is_no_folder_to_be_made() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        let file = dir.path().join("a");
        fs::write(&file, "x")?;
        for folder in [&file, &file.join("b"), &file.join("b/c")] {
            let why = make_folder(folder).err();
            assert_eq!(why.as_ref().map(|why| why.code), Some("not-a-folder"));
            let told = format!("`{}` is a file", file.display());
            assert!(why.is_some_and(|why| why.message.starts_with(&told)), "{told}");
        }
        assert_eq!(make_folder(&dir.path().join("c/d")), Ok(()));
        assert_eq!(make_folder(&dir.path().join("c/d")), Ok(()));
        Ok(())
    }

    /// A failing disk is noticed before the old text is gone.
    #[test]
    fn what_reads_back_otherwise_is_not_put_in_place() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        let path = dir.path().join("a.yaml");
        fs::write(&path, "old")?;
        for (lies_there, code) in [
            ("new text", None),
            ("new tex", Some("cannot-write")),
            ("new texts", Some("cannot-write")),
            ("new\0text", Some("cannot-write")),
        ] {
            let prepared = Prepared::new(&real_disk(), &path, b"new text", TEMPORARY);
            let prepared = prepared.unwrap_or_else(|why| panic!("{why:?}"));
            fs::write(prepared.places().0, lies_there)?;
            let told = prepared.holds(b"new text").err().map(|why| why.code);
            assert_eq!(told, code, "{lies_there:?}");
            drop(prepared);
            assert_eq!(names(dir.path())?, ["a.yaml"]);
            assert_eq!(fs::read_to_string(&path)?, "old");
        }
        Ok(())
    }

    #[test]
    fn only_what_begins_as_ours_is_renewed() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        let path = dir.path().join("a.md");
        let renew = |text: &str| create_or_renew(&path, text, "# ours").map_err(|why| why.code);
        assert_eq!(renew("# ours, first"), Ok(()));
        assert_eq!(renew("# ours, second"), Ok(()));
        assert_eq!(fs::read_to_string(&path)?, "# ours, second");
        fs::write(&path, "mine")?;
        assert_eq!(renew("# ours, third"), Err("already-there"));
        assert_eq!(fs::read_to_string(&path)?, "mine");
        Ok(())
    }

    #[test]
    fn a_name_is_taken_by_whatever_has_it() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        assert!(is_there(dir.path()));
        assert!(!is_there(&dir.path().join("a")));
        #[cfg(unix)]
        {
            std::os::unix::fs::symlink(dir.path().join("nowhere"), dir.path().join("a"))?;
            assert!(is_there(&dir.path().join("a")), "a link that leads nowhere");
        }
        Ok(())
    }

    #[test]
    fn a_bare_name_lies_where_the_call_stands() {
        for (path, folder) in [
            ("a.yaml", "."),
            ("glazes/a.yaml", "glazes"),
            ("/a.yaml", "/"),
            ("/", "."),
        ] {
            assert_eq!(folder_of(Path::new(path)), Path::new(folder), "{path}");
        }
    }

    #[test]
    fn why_a_file_cannot_be_written_is_told_in_plain_words() {
        for (kind, told) in [
            (io::ErrorKind::PermissionDenied, "you may not write there"),
            (io::ErrorKind::StorageFull, "the disk is full"),
            (io::ErrorKind::FileTooLarge, "no more may be written"),
            (io::ErrorKind::QuotaExceeded, "your share of the disk"),
            (io::ErrorKind::ReadOnlyFilesystem, "the disk can only be read"),
            (io::ErrorKind::NotFound, "its folder isn't there"),
            (io::ErrorKind::NotADirectory, "a file stands where a folder should be"),
            (io::ErrorKind::IsADirectory, "it is a folder"),
            (io::ErrorKind::TimedOut, "timed out"),
        ] {
            let why = cannot_write(Path::new("a.yaml"), &kind.into()).message;
            assert!(why.starts_with(&format!("`a.yaml` can't be written: {told}")), "{why}");
        }
    }

    #[cfg(unix)]
    #[test]
    fn only_names_of_one_file_have_one_identity() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        let [a, b, c] = ["a", "b", "c"].map(|name| dir.path().join(name));
        fs::write(&a, "same")?;
        fs::write(&b, "same")?;
        fs::hard_link(&a, &c)?;
        let identity = |path: &Path| real_disk().about(path).map(|about| about.identity);
        assert_eq!(identity(&a)?, identity(&c)?);
        assert_ne!(identity(&a)?, identity(&b)?);
        Ok(())
    }
}
