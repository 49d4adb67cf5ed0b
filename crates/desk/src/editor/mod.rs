//! What an editor is told while a file of a studio is written: the same complaints as
//! the terminal's, at the same places, of the text as it reads now.
//!
//! Scripts are loaded, never run, so that no bound of theirs can end who asks.

mod document;

use std::path::{Path, PathBuf};
use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, Mark, Source};
use glost_chemistry::glaze::read_glaze;
use glost_core::studio::StudioSettings;
use glost_script::Script;
use glost_studio::{Unsaved, Workplace, find_studio, real_disk};

use crate::rulebook::Rulebook;
use document::Sort;

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

    /// The open documents.
    pub fn documents(&self) -> Vec<PathBuf> {
        self.disk.documents()
    }

    /// What is wrong with an open document. What keeps it from being read but lies in
    /// another file stands at its start, with that file's name and line.
    pub fn complaints(&self, path: &Path) -> Vec<Diagnostic> {
        let Some(text) = self.text(path) else { return Vec::new() };
        let source = Source::from_text(&path.to_string_lossy(), &text);
        let sort = Sort::of(path, &source);
        let found = match sort {
            Sort::Script => self.of_script(path, &source),
            Sort::Glaze => self.of_glaze(path, &source),
            Sort::Clay => self.seen_from(path).and_then(|workplace| {
                let clay = workplace.clay(&path.to_string_lossy());
                clay.map(|_| ())
            }),
            Sort::Materials => self.seen_from(path).map(|_| ()),
            Sort::Studio => self.seen_from(path).and_then(|workplace| {
                let book = Rulebook::open(&workplace, workplace.settings());
                book.map(|_| ()).map_err(|why| vec![why])
            }),
            Sort::Other => Ok(()),
        };
        let complaints = found.err().unwrap_or_else(Vec::new);
        // Materials and the studio's settings don't depend on other files being right.
        let alone = matches!(sort, Sort::Materials | Sort::Studio);
        here(complaints, &source, alone)
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
        let home = self.home(path);
        let folder = path.parent().unwrap_or(path);
        let in_studio = home.as_ref().is_some_and(|home| home.join("materials") == folder);
        let apart = self.text(path).is_some_and(|text| {
            let source = Source::from_text("", &text);
            Sort::of(path, &source) == Sort::Materials && !in_studio
        });
        let extra = if apart { vec![path.to_owned()] } else { Vec::new() };
        Workplace::open_on(self.disk.clone(), home.as_deref(), &extra, folder)
    }

    fn of_glaze(&self, path: &Path, source: &Source) -> Result<(), Vec<Diagnostic>> {
        let workplace = self.seen_from(path).map_err(|elsewhere| {
            // What is wrong with the glaze itself matters more.
            let read = read_glaze(source, StudioSettings::default().cup);
            read.err().into_iter().chain(elsewhere).collect::<Vec<_>>()
        })?;
        workplace.glaze(&path.to_string_lossy()).map(|_| ())
    }

    fn of_script(&self, path: &Path, source: &Source) -> Result<(), Vec<Diagnostic>> {
        let name = path.with_extension("");
        let root = self.home(path).map(|home| home.join("scripts"));
        let in_studio = root.and_then(|root| name.strip_prefix(root).ok().map(Path::to_owned));
        let steps: Vec<_> = in_studio.iter().flat_map(|name| name.iter()).collect();
        let steps: Vec<_> = steps.iter().map(|step| step.to_string_lossy()).collect();
        let stands_alone = steps.first().is_none_or(|first| matches!(&**first, "lib" | "from"));
        let book = self.seen_from(path).and_then(|workplace| {
            let book = Rulebook::open(&workplace, workplace.settings());
            book.map_err(|why| vec![why])
        });
        let loaded = match book {
            Ok(book) if !stands_alone && !source.text.trim().is_empty() => {
                book.store.find_or_mistakes(&steps.join("/"))
            }
            // Where the studio can't be opened, what can be said of the text alone is.
            _ if stands_alone && !steps.is_empty() => Script::load_or_mistakes(&steps.join("/"), source.clone()),
            _ => Script::load_or_mistakes(&name.to_string_lossy(), source.clone()),
        };
        match loaded?.cautions.as_slice() {
            [] => Ok(()),
            cautions => Err(cautions.to_vec()),
        }
    }
}

/// Those complaints that lie in a file; where none does, the first at its start, unless
/// the file is right whatever is wrong with others.
fn here(complaints: Vec<Diagnostic>, source: &Source, alone: bool) -> Vec<Diagnostic> {
    let in_it = |complaint: &Diagnostic| complaint.place.as_ref().is_none_or(|place| place.file == source.name);
    let (own, others): (Vec<Diagnostic>, Vec<Diagnostic>) = complaints.into_iter().partition(in_it);
    if !own.is_empty() || alone {
        return own;
    }
    others
        .into_iter()
        .take(1)
        .map(|other| at_the_start(other, source))
        .collect()
}

fn at_the_start(mut complaint: Diagnostic, source: &Source) -> Diagnostic {
    let start = Mark { line: 1, column: 1 };
    if let Some(place) = complaint.place.replace(Box::new(source.place(start, 1))) {
        let (file, mark) = (&place.file, place.mark);
        complaint.message = format!("{file}:{}:{}: {}", mark.line, mark.column, complaint.message);
    }
    complaint
}
