//! Where a name was made: the file of the studio that a material, a glaze or a clay
//! stands in.

use std::path::{Component, Path, PathBuf};

use glost_chemistry::diagnostic::{Mark, Source};
use glost_chemistry::material::{MaterialEntry, read_materials};
use glost_chemistry::read::folded;

use crate::folder::MATERIALS_FOLDER;
use crate::shelf::{Named, Shelf, name_line};
use crate::workplace::Workplace;

/// A name in a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WhereMade {
    /// The file, its path whole.
    pub file: PathBuf,
    /// Where the name stands.
    pub mark: Mark,
    /// How many characters it has.
    pub width: usize,
}

impl Workplace {
    /// The sheet of a material in the studio's files or in those of its packages; `None` of
    /// one that came with Glost.
    pub fn sheet_of(&self, material: &str) -> Option<WhereMade> {
        let folder = self.folder()?;
        let own = folder.files(MATERIALS_FOLDER, &["yaml", "yml"]).into_iter();
        let sheets = own.filter_map(|file| file.text.ok()).chain(self.package_sheets());
        let wanted = folded(material);
        let fits = |entry: &MaterialEntry| {
            let others = entry.other_names.iter().any(|name| folded(&name.text) == wanted);
            folded(&entry.name.text) == wanted || others
        };
        sheets.into_iter().find_map(|source| {
            let entry = read_materials(&source).0.into_iter().find(|entry| fits(entry))?;
            self.made(&source, entry.name.mark, &entry.name.text)
        })
    }

    fn package_sheets(&self) -> Vec<Source> {
        let packages = self.packages().whole.iter();
        packages
            .flat_map(|package| {
                let sheets = package.files.iter().filter(|file| file.folder() == MATERIALS_FOLDER);
                sheets.map(|file| file.source(&package.manifest.name))
            })
            .collect()
    }

    /// The file of a glaze of the studio.
    pub fn file_of_glaze(&self, name: &str) -> Option<WhereMade> {
        self.file_of(self.own_glazes(), name)
    }

    /// The file of a clay of the studio.
    pub fn file_of_clay(&self, name: &str) -> Option<WhereMade> {
        self.file_of(self.own_clays(), name)
    }

    fn file_of<T: Named>(&self, shelf: &Shelf<T>, name: &str) -> Option<WhereMade> {
        self.folder()?;
        let item = shelf.find(name).ok().flatten()?;
        let (name, mark) = name_line(item.source(), T::NAME_KEYS)?;
        self.made(item.source(), mark, &name)
    }

    fn made(&self, source: &Source, mark: Mark, name: &str) -> Option<WhereMade> {
        Some(WhereMade {
            file: self.whole_path(&source.name)?,
            mark,
            width: name.chars().count().max(1),
        })
    }

    /// The whole path of a file of the studio, from the name that complaints show.
    pub fn whole_path(&self, shown: &str) -> Option<PathBuf> {
        let folder = self.folder()?;
        let seen = plain_path(&self.path(shown));
        let in_studio = plain_path(&folder.dir.join(shown));
        let there = |path: &Path| folder.disk.about(path).is_ok_and(|about| about.is_file());
        [seen, in_studio].into_iter().find(|path| there(path))
    }
}

/// A path without steps up and down again.
pub fn plain_path(path: &Path) -> PathBuf {
    let mut plain = PathBuf::new();
    for step in path.components() {
        match step {
            Component::CurDir => {}
            Component::ParentDir => {
                plain.pop();
            }
            step => plain.push(step),
        }
    }
    plain
}
