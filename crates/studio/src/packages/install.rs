//! Packages come in, are renewed, and go.

use std::path::{Path, PathBuf};

use glost_chemistry::diagnostic::{Diagnostic, did_you_mean, nearest};

use super::{FOLDER, LOCK_FILE, Locked, MANIFEST_FILE, Manifest, Package, PackageFile, gather, lock, pack};
use crate::disk::{Disk, create_folders, is_folder, is_taken};
use crate::folder::StudioFolder;
use crate::save::create_new_on;
use crate::text_file::{about_file, missing, open_stream};
use crate::workplace::Workplace;

/// A package that may come in.
#[derive(Debug, Clone)]
pub struct Incoming {
    /// What it says of itself.
    pub manifest: Manifest,
    /// Its files, by path.
    pub files: Vec<PackageFile>,
}

/// How a file moves when a package is renewed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Moved {
    /// It is new.
    New(String),
    /// It is other than before.
    Changed(String),
    /// It is there no more.
    Gone(String),
}

pub(super) fn no_manifest(from: &str) -> Diagnostic {
    Diagnostic::error("bad-package", format!("`{from}` holds no {MANIFEST_FILE}"))
        .help("it names the package: `name: kiln-club`, `version: 1.0`, `author: ...`, `licence: ...`, `api: 1`")
}

/// What is wrong with a package as a whole, with its name and a cure.
fn in_whole(mut why: Diagnostic, from: &str) -> Diagnostic {
    why.place = why.place.or_else(|| about_file("bad-package", "", from).place);
    if why.help.is_none() {
        why.help =
            Some("a package is one folder of small plain files; `glost script pack` makes an archive of it".to_owned());
    }
    why
}

impl Workplace {
    /// Looks at a package in a folder or an archive; nothing is changed.
    ///
    /// # Errors
    /// Why it can't come in.
    pub fn incoming(&self, from: &str) -> Result<Incoming, Diagnostic> {
        let (disk, path) = (&**self.disk(), self.path(from));
        if !is_taken(disk, &path) {
            return Err(missing(disk, &path, from, "folder or archive"));
        }
        let gathered = if is_folder(disk, &path) {
            if !is_taken(disk, &path.join(MANIFEST_FILE)) {
                return Err(no_manifest(from));
            }
            gather::of_folder(disk, &path, from)
        } else {
            gather::of_archive(open_stream(disk, &path, from)?)
        };
        let files = gathered.map_err(|why| in_whole(why, from))?;
        let Some(manifest) = files.iter().find(|file| file.path == MANIFEST_FILE) else {
            return Err(no_manifest(from));
        };
        let shown = format!("{}/{MANIFEST_FILE}", from.trim_end_matches('/'));
        let source = glost_chemistry::diagnostic::Source::from_text(&shown, &manifest.text);
        Ok(Incoming {
            manifest: Manifest::read(&source)?,
            files,
        })
    }

    /// What of a package can't be used here: sheets, recipes, tables; in the order of its files.
    pub fn wrong_in(&self, package: &Package) -> Vec<Diagnostic> {
        super::contents::wrong_in(package, self.library(), self.settings().cup)
    }

    /// What the lock knows of a package.
    ///
    /// # Errors
    /// No studio, no such package (with the nearest), a lock that can't be read.
    pub fn locked_package(&self, name: &str) -> Result<Locked, Diagnostic> {
        let locked = lock::read(self.studio_folder()?)?;
        let found = locked.iter().find(|one| one.manifest.name == name).cloned();
        found.ok_or_else(|| {
            let names = locked.iter().map(|one| one.manifest.name.as_str());
            let near = nearest(name, names).map(did_you_mean);
            let stray = self.packages().strays.iter().any(|stray| stray == name);
            let stray = stray.then(|| {
                "its folder in scripts/from isn't in scripts.lock: `glost script add PATH` takes the package in that it came from, or move the folder away".to_owned()
            });
            let error = Diagnostic::error("unknown-package", format!("no package `{name}` was taken in"));
            error.maybe_help(stray.or(near))
        })
    }

    /// The files of a package as they lie in the studio now, whatever the lock says of them;
    /// none where they can't be read.
    pub fn on_disk(&self, name: &str) -> Vec<PackageFile> {
        let Some(folder) = self.folder() else {
            return Vec::new();
        };
        let place = folder.dir.join(FOLDER).join(name);
        let files = gather::of_folder(&*folder.disk, &place, &folder.shown(FOLDER));
        // What can't be read is as good as gone: it is written anew.
        files.into_iter().flatten().collect()
    }

    /// How files move if a package takes the place of these.
    pub fn difference(&self, incoming: &Incoming, before: &[PackageFile]) -> Vec<Moved> {
        let mut moved = Vec::new();
        for file in &incoming.files {
            match before.iter().find(|known| known.path == file.path) {
                None => moved.push(Moved::New(file.path.clone())),
                Some(known) if known.hash() != file.hash() => moved.push(Moved::Changed(file.path.clone())),
                Some(_) => {}
            }
        }
        let stays = |path: &str| incoming.files.iter().any(|file| file.path == path);
        let gone = before.iter().filter(|file| !stays(&file.path));
        moved.extend(gone.map(|file| Moved::Gone(file.path.clone())));
        moved
    }

    /// Takes a package in: copies it, then writes the lock. `renew`: over one of that name.
    ///
    /// # Errors
    /// No studio; one of that name is there (unless renewed); it can't be written, and then
    /// the lock says what it said before.
    pub fn take_in(&self, incoming: &Incoming, from: &str, renew: bool) -> Result<(), Diagnostic> {
        let folder = self.studio_folder()?;
        let name = &incoming.manifest.name;
        let mut locked = lock::read(folder)?;
        let known = locked.iter().position(|one| one.manifest.name == *name);
        let place = folder.dir.join(FOLDER).join(name);
        if !renew && known.is_some() {
            let message = format!("a package `{name}` is here already");
            return Err(Diagnostic::error("already-there", message).help(format!(
                "`glost script update {name}` renews it, `glost script remove {name}` takes it out"
            )));
        }
        if known.is_none() {
            nothing_else_in(folder, &place, incoming)?;
        }
        write_in(folder, &place, incoming)?;
        let new = Locked::of(incoming.manifest.clone(), from, &incoming.files);
        match known {
            Some(index) => locked[index] = new,
            None => locked.push(new),
        }
        lock::write(&folder.dir.join(LOCK_FILE), &locked)
    }

    /// Takes a package out again.
    ///
    /// # Errors
    /// As [`Workplace::locked_package`]; it can't be removed.
    pub fn take_out(&self, name: &str) -> Result<Locked, Diagnostic> {
        let folder = self.studio_folder()?;
        let gone = self.locked_package(name)?;
        let mut locked = lock::read(folder)?;
        locked.retain(|one| one.manifest.name != name);
        let place = folder.dir.join(FOLDER).join(name);
        if is_taken(&*folder.disk, &place) {
            clear(&*folder.disk, &place)?;
        }
        lock::write(&folder.dir.join(LOCK_FILE), &locked)?;
        Ok(gone)
    }

    /// Packs a folder into one file in the folder that the call stands in.
    ///
    /// # Errors
    /// It is no package, or the file can't be written.
    pub fn pack(&self, incoming: &Incoming) -> Result<PathBuf, Diagnostic> {
        pack::pack(incoming, &self.path(""))
    }

    fn studio_folder(&self) -> Result<&StudioFolder, Diagnostic> {
        self.folder().ok_or_else(|| {
            Diagnostic::error("no-studio", "packages come into a studio, and there is none here")
                .help("`glost init DIR` makes one; or say where it is with --studio DIR")
        })
    }
}

fn cannot(path: &Path, error: &std::io::Error) -> Diagnostic {
    Diagnostic::error("cannot-write", format!("{} can't be written: {error}", path.display()))
}

/// Whether a folder that no lock knows holds nothing but files of this package, as they come
/// in: somebody's own would be lost.
fn nothing_else_in(folder: &StudioFolder, place: &Path, incoming: &Incoming) -> Result<(), Diagnostic> {
    let disk = &*folder.disk;
    if !is_taken(disk, place) {
        return Ok(());
    }
    let name = &incoming.manifest.name;
    let shown = folder.shown(&format!("{}/{}", FOLDER, name));
    let other = |what: String| {
        let message = format!("`{}` isn't in {}, and {}", shown, LOCK_FILE, what);
        Diagnostic::error("already-there", message).help("move that folder away, or remove it; then add the package")
    };
    let there = gather::of_folder(disk, place, &shown).map_err(|why| other(why.message))?;
    for file in &there {
        match incoming.files.iter().find(|new| new.path == file.path) {
            None => return Err(other(format!("`{}` in it is none of this package", file.path))),
            Some(new) if new.hash() != file.hash() => {
                return Err(other(format!("`{}` in it is not as it comes in", file.path)));
            }
            Some(_) => {}
        }
    }
    Ok(())
}

/// Writes the files of a package beside its place, then lets them take it: whatever goes
/// wrong before, the place is as it was.
fn write_in(folder: &StudioFolder, place: &Path, incoming: &Incoming) -> Result<(), Diagnostic> {
    let disk = &*folder.disk;
    let coming = folder
        .dir
        .join(FOLDER)
        .join(format!(".{}-coming", incoming.manifest.name));
    if is_taken(disk, &coming) {
        clear(disk, &coming)?;
    }
    let write = || {
        for file in &incoming.files {
            let path = coming.join(&file.path);
            if let Some(parent) = path.parent() {
                create_folders(disk, parent).map_err(|error| cannot(&path, &error))?;
            }
            create_new_on(&folder.disk, &path, &file.text)?;
        }
        Ok(())
    };
    let written: Result<(), Diagnostic> = write();
    if let Err(why) = written {
        if is_taken(disk, &coming) {
            clear(disk, &coming)?;
        }
        return Err(why);
    }
    if is_taken(disk, place) {
        clear(disk, place)?;
    }
    disk.rename(&coming, place).map_err(|error| cannot(place, &error))
}

/// Removes a folder with all in it; a link in it is removed, not followed.
fn clear(disk: &dyn Disk, path: &Path) -> Result<(), Diagnostic> {
    let trouble = |error: std::io::Error| cannot(path, &error);
    let about = disk.about_name(path).map_err(trouble)?;
    if !about.is_folder() {
        return disk.remove(path).map_err(trouble);
    }
    for name in disk.list(path).map_err(trouble)? {
        clear(disk, &path.join(name))?;
    }
    disk.remove_folder(path).map_err(trouble)
}
