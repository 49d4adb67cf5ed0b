//! Packages come in, are renewed, and go.

use std::path::{Path, PathBuf};

use glost_chemistry::diagnostic::{Diagnostic, did_you_mean, nearest};

use super::{FOLDER, LOCK_FILE, Locked, MANIFEST_FILE, Manifest, PackageFile, gather, lock, pack};
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
            gather::of_folder(disk, &path, from)
        } else {
            gather::of_archive(open_stream(disk, &path, from)?)
        };
        let files = gathered.map_err(|why| in_whole(why, from))?;
        let Some(manifest) = files.iter().find(|file| file.path == MANIFEST_FILE) else {
            return Err(
                Diagnostic::error("bad-package", format!("`{from}` holds no {MANIFEST_FILE}")).help(
                    "it names the package: `name: kiln-club`, `version: 1.0`, `author: ...`, `licence: ...`, `api: 1`",
                ),
            );
        };
        let shown = format!("{}/{MANIFEST_FILE}", from.trim_end_matches('/'));
        let source = glost_chemistry::diagnostic::Source::from_text(&shown, &manifest.text);
        Ok(Incoming {
            manifest: Manifest::read(&source)?,
            files,
        })
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
            Diagnostic::error("unknown-package", format!("no package `{name}` was taken in")).maybe_help(near)
        })
    }

    /// How the files of a package move if this one takes its place.
    ///
    /// # Errors
    /// As [`Workplace::locked_package`].
    pub fn difference(&self, incoming: &Incoming) -> Result<Vec<Moved>, Diagnostic> {
        let locked = self.locked_package(&incoming.manifest.name)?;
        let mut moved = Vec::new();
        for file in &incoming.files {
            match locked.files.iter().find(|(path, _)| *path == file.path) {
                None => moved.push(Moved::New(file.path.clone())),
                Some((_, hash)) if *hash != file.hash() => moved.push(Moved::Changed(file.path.clone())),
                Some(_) => {}
            }
        }
        let stays = |path: &String| incoming.files.iter().any(|file| file.path == *path);
        let gone = locked.files.iter().filter(|(path, _)| !stays(path));
        moved.extend(gone.map(|(path, _)| Moved::Gone(path.clone())));
        Ok(moved)
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
        if !renew && (known.is_some() || is_taken(&*folder.disk, &place)) {
            let message = format!("a package `{name}` is here already");
            return Err(Diagnostic::error("already-there", message).help(format!(
                "`glost script update {name}` renews it, `glost script remove {name}` takes it out"
            )));
        }
        if is_taken(&*folder.disk, &place) {
            clear(&*folder.disk, &place)?;
        }
        for file in &incoming.files {
            let path = place.join(&file.path);
            if let Some(parent) = path.parent() {
                create_folders(&*folder.disk, parent).map_err(|error| cannot(&path, &error))?;
            }
            create_new_on(&folder.disk, &path, &file.text)?;
        }
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
