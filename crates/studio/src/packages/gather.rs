//! The files of a package, from a folder or from an archive; whatever isn't plainly one of
//! them is refused: links, paths that lead elsewhere, too many, too large.

use std::io::Read;
use std::path::{Component, Path};

use flate2::read::GzDecoder;
use glost_chemistry::diagnostic::{Diagnostic, is_no, of_typed};
use tar::{Archive, EntryType};

use super::{MANIFEST_FILE, PackageFile};
use crate::disk::{Disk, DiskFile, EntryKind};
use crate::text_file::{cannot_read, read_bytes_up_to};

/// Files that a package may hold.
const MOST_FILES: usize = 500;
/// Bytes of one of them.
const MOST_FILE_BYTES: u64 = 1 << 20;
/// Bytes of all of them.
const MOST_BYTES: u64 = 8 << 20;
/// Entries of an archive that are looked at, its folders counted in.
const MOST_ENTRIES: usize = 2_000;
/// How deep its folders go.
const MOST_LEVELS: usize = 4;
/// The folders of scripts, and what else may lie in a package, with their endings.
const FOLDERS: [(&str, &str); 10] = [
    ("limits", "rhai"),
    ("check", "rhai"),
    ("swap", "rhai"),
    ("blend", "rhai"),
    ("run", "rhai"),
    ("fault", "rhai"),
    ("lib", "rhai"),
    ("data", "csv"),
    ("materials", "yaml"),
    ("glazes", "yaml"),
];
/// How packages end that are packed.
pub(super) const PACKED: &str = ".tar.gz";
/// What may lie beside `package.yaml`.
const AT_THE_TOP: [&str; 4] = [MANIFEST_FILE, "README.md", "LICENCE", "LICENSE"];

fn refused(what: impl Into<String>) -> Diagnostic {
    Diagnostic::error("bad-package", what)
}

/// Takes files in one by one, and keeps count.
#[derive(Default)]
struct Gathered {
    files: Vec<PackageFile>,
    bytes: u64,
}

impl Gathered {
    fn take(&mut self, path: &str, bytes: Vec<u8>) -> Result<(), Diagnostic> {
        belongs(path)?;
        let alike = self.files.iter().find(|file| file.path.eq_ignore_ascii_case(path));
        if let Some(alike) = alike {
            let message = format!("two files of one name: `{}` and `{path}`", alike.path);
            return Err(refused(message).help("capitals make no difference on some systems"));
        }
        self.bytes += bytes.len() as u64;
        if self.files.len() >= MOST_FILES {
            return Err(refused(format!("it has more than {MOST_FILES} files")));
        }
        if bytes.len() as u64 > MOST_FILE_BYTES {
            return Err(refused(format!("`{path}` is larger than {} MB", MOST_FILE_BYTES >> 20)));
        }
        if self.bytes > MOST_BYTES {
            return Err(refused(format!(
                "all its files are larger than {} MB",
                MOST_BYTES >> 20
            )));
        }
        let text = String::from_utf8(bytes).map_err(|_| refused(of_typed(path, "isn't UTF-8 text")))?;
        self.files.push(PackageFile {
            path: path.to_owned(),
            text: text.strip_prefix('\u{feff}').unwrap_or(&text).to_owned(),
        });
        Ok(())
    }

    fn done(mut self) -> Vec<PackageFile> {
        self.files.sort_by(|a, b| a.path.cmp(&b.path));
        self.files
    }
}

/// Whether a path is one that a package may have.
fn belongs(path: &str) -> Result<(), Diagnostic> {
    let plain = |sign: char| sign.is_alphanumeric() || matches!(sign, '-' | '_' | '.' | '/' | ' ');
    if !path.chars().all(plain) || path.split('/').any(|step| step.is_empty() || step.starts_with('.')) {
        return Err(refused(is_no(path, "plain path")).help("letters, digits, hyphens; no dots in front"));
    }
    let fits = match path.split_once('/') {
        None => AT_THE_TOP.contains(&path),
        Some((folder, name)) => FOLDERS
            .iter()
            .any(|(known, ending)| folder == *known && name.ends_with(&format!(".{ending}"))),
    };
    if fits {
        return Ok(());
    }
    Err(refused(of_typed(path, "has no place in a package")).help(
        "scripts lie in folders named by their kind, libraries in lib/, tables in data/*.csv, sheets in materials/*.yaml, recipes in glazes/*.yaml",
    ))
}

/// The files of a package in a folder.
pub(super) fn of_folder(disk: &dyn Disk, path: &Path, shown: &str) -> Result<Vec<PackageFile>, Diagnostic> {
    let mut gathered = Gathered::default();
    walk(disk, path, shown, "", &mut gathered)?;
    Ok(gathered.done())
}

fn walk(disk: &dyn Disk, folder: &Path, shown: &str, inside: &str, gathered: &mut Gathered) -> Result<(), Diagnostic> {
    if inside.matches('/').count() > MOST_LEVELS {
        return Err(refused(of_typed(inside, "lies too deep")));
    }
    let mut names = disk
        .list(folder)
        .map_err(|error| cannot_read(disk, folder, shown, &error))?;
    names.sort();
    for name in names {
        let text = name.to_string_lossy();
        // Hidden files, and what editors leave beside the file they edit.
        if text.starts_with(['.', '~', '#']) || text.ends_with('~') {
            continue;
        }
        // What `glost script pack` wrote where the package lies.
        if inside.is_empty() && text.ends_with(PACKED) {
            continue;
        }
        let (path, inside) = (folder.join(&name), format!("{inside}{text}"));
        let about = disk
            .about_name(&path)
            .map_err(|error| cannot_read(disk, &path, shown, &error))?;
        match about.kind {
            EntryKind::Folder => walk(disk, &path, shown, &format!("{inside}/"), gathered)?,
            EntryKind::File => {
                let bytes = read_bytes_up_to(disk, &path, &format!("{shown}/{inside}"), MOST_FILE_BYTES)?;
                gathered.take(&inside, bytes)?;
            }
            EntryKind::Link | EntryKind::Other => {
                return Err(refused(of_typed(inside, "is a link, or no plain file")));
            }
        }
    }
    Ok(())
}

/// The files of a package in an archive, `.tar.gz`.
pub(super) fn of_archive(file: Box<dyn DiskFile>) -> Result<Vec<PackageFile>, Diagnostic> {
    // Headers and padding come on top of what the files hold.
    let most = MOST_BYTES + 1024 * MOST_ENTRIES as u64;
    let mut archive = Archive::new(GzDecoder::new(file).take(most));
    let broken = |error: std::io::Error| {
        refused(format!("the archive can't be read: {error}")).help(format!(
            "a .tar.gz of at most {} MB unpacked, as `glost script pack` makes it",
            MOST_BYTES >> 20
        ))
    };
    let mut found: Vec<(String, Vec<u8>)> = Vec::new();
    for (count, entry) in archive.entries().map_err(broken)?.enumerate() {
        let entry = entry.map_err(broken)?;
        if count >= MOST_ENTRIES || found.len() > MOST_FILES {
            return Err(refused(format!("it has more than {MOST_FILES} files")));
        }
        let path = entry.path().map_err(broken)?.into_owned();
        let plain = plain_path(&path)?;
        match entry.header().entry_type() {
            EntryType::Directory => continue,
            EntryType::Regular => {}
            _ => return Err(refused(of_typed(path.display(), "is a link, or no plain file"))),
        }
        let mut bytes = Vec::new();
        entry
            .take(MOST_FILE_BYTES + 1)
            .read_to_end(&mut bytes)
            .map_err(broken)?;
        if bytes.len() as u64 > MOST_FILE_BYTES {
            return Err(refused(format!(
                "`{plain}` is larger than {} MB",
                MOST_FILE_BYTES >> 20
            )));
        }
        found.push((plain, bytes));
    }
    let is_manifest = |path: &str| path.rsplit('/').next() == Some(MANIFEST_FILE);
    if !found.iter().any(|(path, _)| is_manifest(path)) {
        return Err(super::install::no_manifest("the archive"));
    }
    let mut gathered = Gathered::default();
    for (path, bytes) in without_outer_folder(found) {
        gathered.take(&path, bytes)?;
    }
    Ok(gathered.done())
}

/// A path that leads nowhere but into the package.
fn plain_path(path: &Path) -> Result<String, Diagnostic> {
    let mut steps = Vec::new();
    for step in path.components() {
        match step {
            Component::Normal(step) => match step.to_str() {
                Some(step) if !step.contains(['\\', ':']) => steps.push(step),
                _ => return Err(refused(is_no(path.display(), "plain path"))),
            },
            Component::CurDir => {}
            Component::ParentDir | Component::RootDir | Component::Prefix(_) => {
                return Err(refused(of_typed(path.display(), "leads out of the package")));
            }
        }
    }
    Ok(steps.join("/"))
}

/// The same files where all of them lie in one folder, as archives of a folder have it.
fn without_outer_folder(found: Vec<(String, Vec<u8>)>) -> Vec<(String, Vec<u8>)> {
    if found.iter().any(|(path, _)| path == MANIFEST_FILE) {
        return found;
    }
    let manifest = found.iter().find_map(|(path, _)| path.strip_suffix(MANIFEST_FILE));
    let Some(outer) = manifest.map(str::to_owned) else {
        return found;
    };
    if !found.iter().all(|(path, _)| path.starts_with(&outer)) {
        return found;
    }
    let inside = found.into_iter();
    inside
        .map(|(path, bytes)| (path[outer.len()..].to_owned(), bytes))
        .collect()
}
