//! Packages: scripts, libraries, tables, materials and glazes of somebody else, taken in
//! whole and held to the very bytes by `scripts.lock`. Nothing here knows a network.

mod contents;
mod gather;
mod install;
mod lock;
mod manifest;
mod pack;

use std::path::Path;

use glost_chemistry::diagnostic::{Diagnostic, Source};
use glost_chemistry::read::folded;
use sha2::{Digest, Sha256};

pub use contents::library_of;
pub use install::{Incoming, Moved};
pub use lock::Locked;
pub use manifest::Manifest;

use crate::disk::Disk;
use crate::folder::{GLAZES_FOLDER, MATERIALS_FOLDER, StudioFolder};

/// The folder that packages are copied to, below the studio's.
pub(crate) const FOLDER: &str = "scripts/from";
/// The file that holds them to their bytes.
pub(crate) const LOCK_FILE: &str = "scripts.lock";
/// The file that a package says what it is in.
pub(crate) const MANIFEST_FILE: &str = "package.yaml";

/// A file of a package: its path with `/`, and its text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PackageFile {
    /// Its path in the package, `check/own-rule.rhai`.
    pub path: String,
    /// Its text.
    pub text: String,
}

impl PackageFile {
    /// SHA-256 of its text, lines ending with LF.
    pub fn hash(&self) -> String {
        let hash = Sha256::digest(self.text.replace("\r\n", "\n").as_bytes());
        hash.iter().map(|byte| format!("{byte:02x}")).collect()
    }

    /// As a source that shows where it lies.
    pub fn source(&self, package: &str) -> Source {
        Source::from_text(&format!("{FOLDER}/{package}/{}", self.path), &self.text)
    }

    /// The folder that it lies in; empty at the top.
    pub fn folder(&self) -> &str {
        self.path.split_once('/').map_or("", |(folder, _)| folder)
    }
}

/// A package as it lies in the studio, every byte as locked.
#[derive(Debug, Clone)]
pub struct Package {
    /// What it says of itself.
    pub manifest: Manifest,
    /// Its files, by path.
    pub files: Vec<PackageFile>,
}

/// The packages of a studio.
#[derive(Debug, Clone, Default)]
pub struct Packages {
    /// Those that are as they were taken in, in the order of the lock.
    pub whole: Vec<Package>,
    /// The first thing that differs from the lock.
    pub changed: Option<Diagnostic>,
    /// Whether what differs may bring sheets or recipes: then more than scripts hangs on it.
    pub changed_brings_more: bool,
    /// Folders that the lock doesn't know: nothing of them is used.
    pub strays: Vec<String>,
}

impl Packages {
    /// The package of which a sheet of this name is used: of several the last lies on top.
    pub fn bringing(&self, material: &str) -> Option<&str> {
        let brings = |package: &&Package| {
            let sheets = package.files.iter().filter(|file| file.folder() == MATERIALS_FOLDER);
            let read =
                |file: &PackageFile| glost_chemistry::material::read_sheets(&file.source(&package.manifest.name));
            let mut entries = sheets.flat_map(|file| read(file).entries);
            entries.any(|entry| folded(&entry.name.text) == folded(material))
        };
        let found = self.whole.iter().rev().find(brings);
        found.map(|package| package.manifest.name.as_str())
    }
}

/// Reads the packages and holds them to their lock.
pub(crate) fn read(folder: &StudioFolder) -> Packages {
    let disk = &*folder.disk;
    let mut packages = Packages::default();
    let locked = match lock::read(folder) {
        Ok(locked) => locked,
        Err(why) => {
            packages.changed = Some(why);
            packages.changed_brings_more = true;
            Vec::new()
        }
    };
    for one in &locked {
        match whole(folder, one) {
            Ok(package) => packages.whole.push(package),
            Err(why) => {
                packages.changed = packages.changed.or(Some(why));
                packages.changed_brings_more |= brings_more(folder, one);
            }
        }
    }
    packages.strays = folders(disk, &folder.dir.join(FOLDER))
        .into_iter()
        .filter(|name| locked.iter().all(|one| one.manifest.name != *name))
        .collect();
    packages
}

/// Whether a package brings sheets or recipes, by its lock or by what lies there now.
fn brings_more(folder: &StudioFolder, locked: &Locked) -> bool {
    let disk = &*folder.disk;
    let path = folder.dir.join(FOLDER).join(&locked.manifest.name);
    [MATERIALS_FOLDER, GLAZES_FOLDER].iter().any(|more| {
        let is_in_it = |file: &str| file.split('/').next() == Some(*more);
        locked.files.iter().any(|(file, _)| is_in_it(file)) || crate::disk::is_folder(disk, &path.join(more))
    })
}

/// The names of the folders in a folder.
fn folders(disk: &dyn Disk, path: &Path) -> Vec<String> {
    // A studio without packages has no such folder.
    let mut names: Vec<String> = disk
        .list(path)
        .into_iter()
        .flatten()
        .map(|name| name.to_string_lossy().into_owned())
        .filter(|name| !name.starts_with('.') && crate::disk::is_folder(disk, &path.join(name)))
        .collect();
    names.sort();
    names
}

/// One package, if every byte is as locked.
fn whole(folder: &StudioFolder, locked: &Locked) -> Result<Package, Diagnostic> {
    let name = &locked.manifest.name;
    let path = folder.dir.join(FOLDER).join(name);
    let shown = folder.shown(&format!("{FOLDER}/{name}"));
    let differs = |what: String| {
        Diagnostic::error("package-changed", what).help(format!(
            "`glost script update {name}` takes it in again and shows the difference, `glost script remove {name}` takes it out; what it changed for good belongs into a script of your own"
        ))
    };
    let files = gather::of_folder(&*folder.disk, &path, &shown).map_err(|why| differs(why.message))?;
    for file in &files {
        match locked.files.iter().find(|(path, _)| *path == file.path) {
            None => return Err(differs(format!("`{shown}/{}` isn't in {LOCK_FILE}", file.path))),
            Some((_, hash)) if *hash != file.hash() => {
                return Err(differs(format!("`{shown}/{}` is not as it was taken in", file.path)));
            }
            Some(_) => {}
        }
    }
    let manifest = files.iter().find(|file| file.path == MANIFEST_FILE);
    let told = manifest.and_then(|file| Manifest::read(&file.source(name)).ok());
    if told.as_ref().is_some_and(|told| *told != locked.manifest) {
        return Err(differs(
            "scripts.lock says otherwise of this package than its package.yaml".to_owned(),
        ));
    }
    match locked
        .files
        .iter()
        .find(|(path, _)| files.iter().all(|file| file.path != *path))
    {
        Some((path, _)) => Err(differs(format!("`{shown}/{path}` is gone"))),
        None => Ok(Package {
            manifest: locked.manifest.clone(),
            files,
        }),
    }
}
