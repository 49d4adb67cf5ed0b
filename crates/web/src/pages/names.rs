//! Names that pickers offer, read anew where a file of the studio has changed.

use std::fs::{self, Metadata};
use std::path::Path;
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, SystemTime};

use glost_chemistry::diagnostic::Diagnostic;
use glost_page::bench::{Html, fields};
use glost_studio::Workplace;

use super::Bench;
use super::asking::{Told, Trouble};
use crate::door::Visitor;
use crate::keeping::hex;

/// Names that pickers offer.
#[derive(Debug, Clone)]
pub(crate) struct Names {
    /// Who sees the page.
    pub(crate) visitor: Visitor,
    /// The studio's name.
    pub(crate) studio: String,
    /// Its cup.
    pub(crate) cup_millilitres: f64,
    /// What can't be read in its folder: everything else works.
    pub(crate) broken: Vec<Told>,
    pub(crate) glazes: Vec<String>,
    pub(crate) clays: Vec<String>,
    /// The studio's own first.
    pub(crate) materials: Vec<String>,
    /// How many of them are its own.
    own: usize,
}

impl Names {
    /// A picker of materials, those on the shelf first.
    pub(crate) fn pick_material(&self, name: &str, label: &str, none: Option<&str>, chosen: Option<&str>) -> Html {
        let (own, known) = self.materials.split_at(self.own);
        let groups = [("On your shelf", own), ("From handbooks", known)];
        fields::grouped(name, label, none, &groups, chosen)
    }
}

/// The names as they were read last, with what the folder looked like then.
#[derive(Debug, Default)]
pub(crate) struct Read(Mutex<Option<(String, Names)>>);

impl Bench {
    /// The names that pickers offer; where the studio can't be read, why.
    ///
    /// # Errors
    /// What is wrong in its files.
    pub(crate) async fn names(&self) -> Result<Names, Trouble> {
        if self.visitor == Visitor::Owner && self.folder.is_dir() && !self.is_begun() {
            return Err(Trouble::NotBegun);
        }
        let (folder, read, visitor) = (self.folder.clone(), self.read.clone(), self.visitor);
        let names = tokio::task::spawn_blocking(move || read.names(&folder));
        let broke = |why| Diagnostic::error("our-fault", format!("reading the studio broke off: {why}"));
        let names = names.await.unwrap_or_else(|why| Err(broke(why)));
        names
            .map(|names| Names { visitor, ..names })
            .map_err(|why| Trouble::Told(Told::of(&why)))
    }
}

impl Read {
    fn names(&self, folder: &Path) -> Result<Names, Diagnostic> {
        let look = look_of(folder);
        let mut read = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let (Some(look), Some((known, names))) = (&look, read.as_ref())
            && look == known
        {
            return Ok(names.clone());
        }
        *read = None;
        let names = names_in(folder)?;
        *read = look.map(|look| (look, names.clone()));
        Ok(names)
    }
}

/// What files are called that names come from, below the studio's folder.
const PLACES: [&str; 6] = [".", "glazes", "clays", "materials", "scripts", "scripts/from"];
/// A file that was written just now may be written again within one tick of its clock.
const SETTLED: Duration = Duration::from_secs(2);

/// All that can be seen of the files without reading them, in one word; `None` where one
/// of them was written just now.
#[allow(
    clippy::disallowed_methods,
    reason = "no day that a user reads: whether a file's clock has moved on"
)]
fn look_of(folder: &Path) -> Option<String> {
    let settled = SystemTime::now().checked_sub(SETTLED)?;
    let mut seen = String::new();
    for place in PLACES {
        // What isn't there, or can't be listed, looks like nothing; reading tells why.
        let entries = fs::read_dir(folder.join(place)).ok();
        let mut files: Vec<_> = entries.into_iter().flatten().flatten().collect();
        files.sort_by_key(fs::DirEntry::file_name);
        for file in files {
            let Ok(about) = fs::metadata(file.path()) else { continue };
            if about.modified().ok()? > settled {
                return None;
            }
            seen.push_str(&format!("{place}/{:?} {}\n", file.file_name(), look(&about)));
        }
    }
    Some(hex(seen.as_bytes()))
}

#[cfg(unix)]
fn look(about: &Metadata) -> String {
    use std::os::unix::fs::MetadataExt;
    format!(
        "{} {} {} {} {} {}",
        about.len(),
        about.ino(),
        about.mtime(),
        about.mtime_nsec(),
        about.ctime(),
        about.ctime_nsec()
    )
}

#[cfg(not(unix))]
fn look(about: &Metadata) -> String {
    format!("{} {:?}", about.len(), about.modified())
}

fn names_in(folder: &Path) -> Result<Names, Diagnostic> {
    let workplace = Workplace::open(Some(folder), &[], folder).map_err(|mut all| {
        if all.is_empty() {
            Diagnostic::error("our-fault", "the studio can’t be read")
        } else {
            all.remove(0)
        }
    })?;
    let (studio, complaints) = workplace.studio();
    let mut glazes: Vec<String> = studio.glazes.iter().map(|glaze| glaze.name.text.clone()).collect();
    let mut clays: Vec<String> = studio.clays.iter().map(|clay| clay.name.clone()).collect();
    let all = |shipped: bool| {
        let some = studio
            .library
            .iter()
            .filter(move |material| material.shipped == shipped);
        let mut names: Vec<String> = some.map(|material| material.name.clone()).collect();
        names.sort_by_key(|name| name.to_lowercase());
        names
    };
    let mut materials = all(false);
    let own = materials.len();
    materials.extend(all(true));
    for list in [&mut glazes, &mut clays] {
        list.sort_by_key(|name| name.to_lowercase());
        list.dedup();
    }
    Ok(Names {
        visitor: Visitor::Class,
        studio: studio.settings.name.clone(),
        cup_millilitres: studio.settings.cup.millilitres(),
        broken: complaints.iter().map(Told::of).collect(),
        glazes,
        clays,
        materials,
        own,
    })
}
