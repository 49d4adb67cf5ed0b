//! What an editor is told while a file of a studio is written: the same complaints as
//! the terminal's, at the same places, of the text as it reads now.
//!
//! Scripts are loaded, never run, so that no bound of theirs can end who asks.

mod document;
mod in_script;
mod in_yaml;
mod names;
mod schema_place;
mod told;
mod yaml_place;

use std::path::{Path, PathBuf};
use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, Mark, Severity, Source};
use glost_chemistry::glaze::read_glaze;
use glost_core::studio::StudioSettings;
use glost_studio::{Disk as _, Unsaved, Workplace, find_studio, real_disk};

use crate::rulebook::Rulebook;
use document::Sort;
pub use glost_script::{Offer, What};
pub use told::{Complaints, Explained, Made, Offers};

/// The studio's folder that a folder lies in.
pub fn studio_of(folder: &Path) -> Option<PathBuf> {
    find_studio(folder)
}

/// The documents that are open in an editor, over the files on disk.
#[derive(Debug)]
pub struct Editor {
    disk: Arc<Unsaved>,
    /// The studio of documents that lie in none.
    studio: Option<PathBuf>,
}

impl Editor {
    /// No document is open yet. Documents that lie in no studio see this one's materials.
    pub fn new(studio: Option<PathBuf>) -> Editor {
        Editor {
            disk: Arc::new(Unsaved::over(real_disk())),
            studio,
        }
    }

    /// A document as it reads now. Its path is a whole one.
    pub fn put(&self, path: &Path, text: &str) {
        self.disk.put(path, text);
    }

    /// A document was closed: what is saved counts.
    pub fn close(&self, path: &Path) {
        self.disk.close(path);
    }

    /// The text of an open document.
    pub fn text(&self, path: &Path) -> Option<Arc<str>> {
        self.disk.text(path)
    }

    /// The text of a file, as it is open, else as it was saved.
    pub fn saved_or_open(&self, path: &Path) -> Option<Arc<str>> {
        let saved = || glost_studio::read_text_on(&*self.disk, path, &path.to_string_lossy());
        self.text(path).or_else(|| saved().ok().map(|source| source.text))
    }

    /// The open documents.
    pub fn documents(&self) -> Vec<PathBuf> {
        self.disk.documents()
    }

    /// What is wrong with an open document, and with files that it needs. Of those the
    /// first is told in the document too: where it is imported, else at the start.
    pub fn complaints(&self, path: &Path) -> Complaints {
        let Some((source, sort)) = self.document(path) else {
            return Complaints::default();
        };
        let found = match sort {
            Sort::Script => self.of_script(path, &source),
            Sort::Glaze => self.of_glaze(path, &source),
            Sort::Clay => self.seen_from(path).and_then(|workplace| {
                let clay = workplace.clay(&path.to_string_lossy());
                clay.map(|_| ())
            }),
            Sort::Materials => self.seen_from(path).map(|_| ()),
            Sort::Studio => self.seen_from(path).and_then(|workplace| {
                let book = Rulebook::to_look(&workplace, workplace.settings());
                book.map(|_| ())
            }),
            Sort::Other => Ok(()),
        };
        let in_it = |complaint: &Diagnostic| {
            complaint
                .place
                .as_ref()
                .is_none_or(|place| self.is(&place.file, path, &source))
        };
        let complaints = found.err().unwrap_or_else(Vec::new).into_iter();
        let (mut own, others): (Vec<_>, Vec<_>) = complaints.partition(in_it);
        let elsewhere: Vec<(PathBuf, Diagnostic)> = others
            .iter()
            .filter_map(|other| Some((self.file_of(path, &other.place.as_ref()?.file)?, other.clone())))
            .collect();
        // Materials and the studio's settings don't depend on other files being right.
        let alone = matches!(sort, Sort::Materials | Sort::Studio);
        if own.is_empty() && !alone {
            let file = elsewhere.first().map(|(file, _)| file.as_path());
            let import = file.and_then(|file| self.import_of(path, &source, file));
            own.extend(
                others
                    .into_iter()
                    .take(1)
                    .map(|other| told_here(other, &source, import)),
            );
        }
        Complaints { own, elsewhere }
    }

    /// What may stand at a place of an open document.
    pub fn offers(&self, path: &Path, mark: Mark) -> Option<Offers> {
        let (source, sort) = self.document(path)?;
        match sort {
            Sort::Script => Some(self.offers_in_script(path, &source, mark)),
            sort => self.offers_in_yaml(path, &source, mark, sort),
        }
    }

    /// What the name at a place of an open document means.
    pub fn explained(&self, path: &Path, mark: Mark) -> Option<Explained> {
        let (source, sort) = self.document(path)?;
        match sort {
            Sort::Script => self.explained_in_script(path, &source, mark),
            sort => self.explained_in_yaml(path, &source, mark, sort),
        }
    }

    /// Where the name at a place of an open document was made.
    pub fn made(&self, path: &Path, mark: Mark) -> Option<Made> {
        let (source, sort) = self.document(path)?;
        match sort {
            Sort::Script => self.made_in_script(path, &source, mark),
            sort => self.made_in_yaml(path, &source, mark, sort),
        }
    }

    fn document(&self, path: &Path) -> Option<(Source, Sort)> {
        let text = self.text(path)?;
        let source = Source::from_text(&path.to_string_lossy(), &text);
        let sort = Sort::of(path, &source);
        Some((source, sort))
    }

    /// Whether a name that a complaint shows is that of the document.
    fn is(&self, shown: &str, path: &Path, source: &Source) -> bool {
        *shown == *source.name || self.file_of(path, shown).is_some_and(|file| file == path)
    }

    /// The file that a complaint is about, its path whole.
    fn file_of(&self, path: &Path, shown: &str) -> Option<PathBuf> {
        let folder = path.parent()?;
        let plain = glost_studio::plain_path(&folder.join(shown));
        let there = self.disk.about(&plain).is_ok_and(|about| about.is_file());
        if there {
            return Some(plain);
        }
        self.home(path)
            .map(|home| home.join(shown))
            .filter(|file| self.disk.about(file).is_ok())
    }

    /// The scripts in sight, with the studio's settings; `None` where those are wrong.
    fn book(&self, path: &Path) -> Option<Rulebook> {
        let workplace = self.names_from(path)?;
        Rulebook::open(&workplace, workplace.settings()).ok()
    }

    /// The studio that a document lies in, else the one that was named.
    fn home(&self, path: &Path) -> Option<PathBuf> {
        let folder = path.parent()?;
        match find_studio(folder) {
            None if path.ends_with(document::STUDIO_FILE) => Some(folder.to_owned()),
            None => self.studio.clone(),
            found => found,
        }
    }

    /// What a document can see. A file of materials outside of the studio lies on top.
    fn seen_from(&self, path: &Path) -> Result<Workplace, Vec<Diagnostic>> {
        let (workplace, complaints) = self.seen_anyway(path)?;
        if complaints.is_empty() {
            Ok(workplace)
        } else {
            Err(complaints)
        }
    }

    /// As far as it can be read, and what is wrong with the rest.
    fn seen_anyway(&self, path: &Path) -> Result<(Workplace, Vec<Diagnostic>), Vec<Diagnostic>> {
        let home = self.home(path);
        let folder = path.parent().unwrap_or(path);
        let in_studio = home.as_ref().is_some_and(|home| home.join("materials") == folder);
        let apart = self.text(path).is_some_and(|text| {
            let source = Source::from_text("", &text);
            Sort::of(path, &source) == Sort::Materials && !in_studio
        });
        let extra = if apart { vec![path.to_owned()] } else { Vec::new() };
        Workplace::open_anyway_on(self.disk.clone(), home.as_deref(), &extra, folder)
    }

    /// What names a document can see, whatever is wrong elsewhere.
    fn names_from(&self, path: &Path) -> Option<Workplace> {
        self.seen_anyway(path).ok().map(|(workplace, _)| workplace)
    }

    fn of_glaze(&self, path: &Path, source: &Source) -> Result<(), Vec<Diagnostic>> {
        let workplace = self.seen_from(path).map_err(|elsewhere| {
            // What is wrong with the glaze itself matters more.
            let read = read_glaze(source, StudioSettings::default().cup);
            read.err().into_iter().chain(elsewhere).collect::<Vec<_>>()
        })?;
        let found = workplace.glaze(&path.to_string_lossy())?;
        let store = Rulebook::unsettled(&workplace);
        let accepted = found.glaze.about.accepted.iter();
        let unknown: Vec<Diagnostic> = accepted
            .filter_map(|entry| {
                Some(accepts_nothing(
                    store.whole_name(&entry.script).err()?,
                    &entry.script,
                    source,
                ))
            })
            .collect();
        if unknown.is_empty() { Ok(()) } else { Err(unknown) }
    }
}

/// What a glaze's file accepts of a rule that there is none of, where the rule is named.
fn accepts_nothing(why: Diagnostic, script: &str, source: &Source) -> Diagnostic {
    let why = Diagnostic {
        severity: Severity::Caution,
        ..why
    };
    let named = source.text.lines().enumerate().find_map(|(index, line)| {
        let at = line
            .find("finding")
            .and_then(|from| Some(from + line[from..].find(script)?))?;
        let column = line[..at].chars().count() + 1;
        Some(Mark {
            line: index + 1,
            column,
        })
    });
    let mark = named.unwrap_or(Mark { line: 1, column: 1 });
    why.at(source, mark, script.chars().count())
}

/// A complaint about another file, at a place of this one.
fn told_here(mut complaint: Diagnostic, source: &Source, at: Option<(Mark, usize)>) -> Diagnostic {
    let (mark, width) = at.unwrap_or((Mark { line: 1, column: 1 }, 1));
    if let Some(place) = complaint.place.replace(Box::new(source.place(mark, width))) {
        let (file, mark) = (&place.file, place.mark);
        complaint.message = format!("{file}:{}:{}: {}", mark.line, mark.column, complaint.message);
    }
    complaint
}
