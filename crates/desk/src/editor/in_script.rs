//! Scripts: what is wrong with one, what may stand at a place, what a name means, where
//! it was made. A script of a package sees the libraries of its package, wherever that lies.

use std::path::{Path, PathBuf};

use glost_chemistry::diagnostic::{Diagnostic, Mark, Source};
use glost_core::rules::Whose;
use glost_script::{Defined, Named, Script, ScriptStore, complete, define, explain, lints};
use glost_studio::{Disk, read_text_on};

use super::told::{Explained, Made, Offers};
use super::{Editor, names};

/// The file that makes a folder a package.
const PACKAGE_FILE: &str = "package.yaml";
/// The folder of libraries.
const LIBRARIES: &str = "lib";

/// Where a script lies, and what it sees from there.
pub(super) struct Home {
    /// The folder that `lib/` lies in.
    root: PathBuf,
    /// Its name below that.
    name: String,
    package: bool,
}

impl Home {
    pub(super) fn is_library(&self) -> bool {
        self.name.starts_with(LIBRARIES)
    }

    fn library_file(&self, library: &str) -> PathBuf {
        self.root.join(format!("{library}.rhai"))
    }
}

impl Editor {
    /// The studio's `scripts/` or the package that a script lies in; `None` elsewhere.
    pub(super) fn home_of_script(&self, path: &Path) -> Option<Home> {
        let is_package = |folder: &Path| self.disk.about(&folder.join(PACKAGE_FILE)).is_ok();
        let packages = path.ancestors().skip(1).take(3).find(|folder| is_package(folder));
        let studio = self.home(path).map(|home| home.join("scripts"));
        let root = packages.map(Path::to_owned).or(studio)?;
        let below = path.strip_prefix(&root).ok()?.with_extension("");
        let steps: Vec<_> = below.iter().map(|step| step.to_string_lossy()).collect();
        Some(Home {
            name: steps.join("/"),
            package: packages.is_some(),
            root,
        })
    }

    pub(super) fn of_script(&self, path: &Path, source: &Source) -> Result<(), Vec<Diagnostic>> {
        let home = self.home_of_script(path);
        let loaded = match &home {
            Some(home) if home.is_library() || source.text.trim().is_empty() => {
                Script::load_or_mistakes(&home.name, source.clone())
            }
            Some(home) if home.package => self.in_package(home, source),
            Some(home) => match self.book(path) {
                Some(book) => book.store.find_or_mistakes(&home.name),
                // Where the studio can't be opened, what can be said of the text alone is.
                None => Script::load_or_mistakes(&home.name, source.clone()),
            },
            None => Script::load_or_mistakes(&path.with_extension("").to_string_lossy(), source.clone()),
        };
        let mut cautions = loaded?.cautions.clone();
        cautions.extend(lints(source));
        if cautions.is_empty() { Ok(()) } else { Err(cautions) }
    }

    /// A script of a package that is being written.
    fn in_package(&self, home: &Home, source: &Source) -> Result<std::sync::Arc<Script>, Vec<Diagnostic>> {
        let mut store = ScriptStore::with_shipped();
        let whose = Whose::Package {
            instead: false,
            name: PACKAGE_FILE.to_owned(),
            version: String::new(),
        };
        for (name, text) in self.libraries_of(home) {
            store.add(&name, Ok(text), whose.clone());
        }
        store.add(&home.name, Ok(source.clone()), whose);
        store.find_or_mistakes(&home.name)
    }

    /// The libraries that a script can import, by their names.
    fn libraries_of(&self, home: &Home) -> Vec<(String, Source)> {
        let names = self.disk.list(&home.root.join(LIBRARIES)).into_iter().flatten();
        let names = names.filter_map(|name| Some(name.to_string_lossy().strip_suffix(".rhai")?.to_owned()));
        let mut names: Vec<String> = names.map(|name| format!("{LIBRARIES}/{name}")).collect();
        names.sort();
        let read = names
            .into_iter()
            .filter_map(|name| Some((name.clone(), self.library(home, &name)?)));
        read.collect()
    }

    fn library(&self, home: &Home, name: &str) -> Option<Source> {
        let file = home.library_file(name);
        read_text_on(&*self.disk, &file, &file.to_string_lossy()).ok()
    }

    pub(super) fn offers_in_script(&self, path: &Path, source: &Source, mark: Mark) -> Offers {
        let home = self.home_of_script(path);
        let library = |name: &str| self.library(home.as_ref()?, name);
        let found = complete(source, mark, &library);
        let mut offers = found.offers;
        match (found.named, &home) {
            (Some(Named::Libraries), Some(home)) => {
                let libraries = self.libraries_of(home).into_iter();
                offers.extend(libraries.map(|(name, _)| glost_script::Offer::plain(name, glost_script::What::Library)));
            }
            (Some(named), _) => {
                let workplace = self.names_from(path);
                offers.extend(workplace.iter().flat_map(|workplace| names::of(named, workplace)));
            }
            (None, _) => {}
        }
        Offers {
            from: found.from,
            offers,
        }
    }

    pub(super) fn explained_in_script(&self, path: &Path, source: &Source, mark: Mark) -> Option<Explained> {
        let home = self.home_of_script(path);
        let library = |name: &str| self.library(home.as_ref()?, name);
        match explain(source, mark, &library)? {
            glost_script::Explained::Known { shape, about, example } => {
                Some(Explained::Words { shape, about, example })
            }
            glost_script::Explained::Named(Named::Materials, name) => {
                let workplace = self.names_from(path)?;
                workplace.library().find(&name).cloned().map(Explained::Material)
            }
            glost_script::Explained::Named(..) => None,
        }
    }

    pub(super) fn made_in_script(&self, path: &Path, source: &Source, mark: Mark) -> Option<Made> {
        let home = self.home_of_script(path);
        let library = |name: &str| self.library(home.as_ref()?, name);
        let (file, mark, width) = match define(source, mark, &library)? {
            Defined::Here(mark, width) => (path.to_owned(), mark, width),
            Defined::Library(name, mark, width) => {
                let file = home.as_ref()?.library_file(&name);
                self.disk.about(&file).ok()?;
                (file, mark, width)
            }
            Defined::Named(named, name) => return names::made(named, &name, &self.names_from(path)?),
        };
        Some(Made { file, mark, width })
    }

    /// Where a library is imported whose file this is, in the text of a script.
    pub(super) fn import_of(&self, path: &Path, source: &Source, library: &Path) -> Option<(Mark, usize)> {
        let home = self.home_of_script(path)?;
        let name = library.strip_prefix(&home.root).ok()?.with_extension("");
        let quoted = format!("\"{}\"", name.to_string_lossy());
        source.text.lines().enumerate().find_map(|(index, line)| {
            let at = line.trim_start().starts_with("import").then(|| line.find(&quoted))??;
            let mark = Mark {
                line: index + 1,
                column: line[..at].chars().count() + 1,
            };
            Some((mark, quoted.chars().count()))
        })
    }
}
