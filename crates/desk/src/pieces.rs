//! The pieces that were looked at, and what they were glazed with.

use std::sync::Arc;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::Glaze;
use glost_chemistry::material::Library;
use glost_chemistry::quantity::Date;
use glost_chemistry::read::same_name;
use glost_core::evidence::notes::{Note, Notes};
use glost_core::evidence::ware::Clay;
use glost_core::evidence::window::{Kiln, KnownFirings, LadderTile, LearntTables, Notebook, any_piece_speaks};
use glost_core::studio::StudioSettings;
use glost_core::tiles::blend::SavedPlan;
use glost_script::StudioNotebook;
use glost_studio::{FoundGlaze, Workplace};

use crate::notebook::Book;
use crate::{Desk, Failure};

/// A studio's notebook with its recipes.
#[derive(Debug)]
pub struct Pieces {
    book: Book,
    glazes: Vec<Arc<Glaze>>,
    ladders: Vec<LadderTile>,
    library: Library,
    firings: Vec<String>,
    learnt: LearntTables,
    /// The day today.
    pub today: Date,
}

impl Pieces {
    /// Reads the notebook; what can't be read is told on stderr.
    pub fn open(desk: &Desk) -> Result<Pieces, Failure> {
        Pieces::with(desk, desk.workplace().notes()?)
    }

    /// The same of notes that are read already, with the complaints about their lines.
    pub(crate) fn with(desk: &Desk, notes: (Notes, Vec<Diagnostic>)) -> Result<Pieces, Failure> {
        let today = desk.today()?;
        let (everything, _) = desk.workplace().all_recipes();
        Ok(Pieces {
            book: Book::with(desk, notes, today)?,
            glazes: everything.into_iter().map(|recipe| recipe.glaze).collect(),
            ladders: ladders(desk),
            library: Library::clone(desk.workplace().library()),
            firings: firings(desk.workplace()),
            learnt: LearntTables::default(),
            today,
        })
    }

    /// The notes.
    pub fn notes(&self) -> &Notes {
        &self.book.notes
    }

    /// As scripts see it.
    pub fn for_scripts(self, settings: &StudioSettings) -> StudioNotebook {
        StudioNotebook {
            notes: self.book.notes,
            versions: self.book.versions,
            glazes: self.glazes,
            ladders: self.ladders,
            library: self.library,
            firings: self.firings,
            settings: settings.fit.clone(),
            today: Some(self.today),
            learnt: self.learnt,
        }
    }

    /// The notebook where any piece on this clay was looked at, or where it is needed all the
    /// same. Reads no more than it must.
    pub fn on(desk: &Desk, clay: Option<&str>, needed: bool) -> Result<Option<Pieces>, Failure> {
        let Some(clay) = clay else { return Ok(None) };
        let on_it = |note: &Note| note.clay.as_deref().is_some_and(|noted| same_name(noted, clay));
        let read = desk.workplace().notes()?;
        if !needed && !read.0.standing().any(on_it) {
            return Ok(None);
        }
        Pieces::with(desk, read).map(Some)
    }

    /// The notebook for checks of a glaze on a clay; `None` where no piece on this clay at its
    /// firing was looked at, so that checks which need pieces stay silent.
    pub fn that_speak(self, desk: &Desk, found: &FoundGlaze, clay: &str) -> Option<StudioNotebook> {
        if any_piece_speaks(&self.notebook(&found.settings), &found.glaze, clay) {
            return Some(self.for_scripts(&found.settings));
        }
        desk.put_away(self);
        None
    }

    /// As core asks for it.
    pub fn notebook<'a>(&'a self, settings: &'a StudioSettings) -> Notebook<'a> {
        Notebook {
            notes: &self.book.notes,
            versions: &self.book.versions,
            glazes: &self.glazes,
            ladders: &self.ladders,
            library: &self.library,
            firings: &self.firings,
            fluxes: &settings.fluxes,
            settings: &settings.fit,
            learnt: &self.learnt,
        }
    }

    /// What the firing that a call names counts with: one that notes, glazes, the kiln's book or
    /// the studio's files know.
    ///
    /// # Errors
    /// None of them, with the nearest; several of that name that don't count together.
    pub fn firing(&self, desk: &Desk, asked: Option<&str>) -> Result<Option<Kiln>, Failure> {
        let Some(text) = asked else { return Ok(None) };
        Ok(Some(known_firings(desk, &self.book.notes, &self.glazes)?.asked(text)?))
    }

    /// The clay of the call, else the glaze's own. One that has no file but stands in the
    /// notebook is a clay of which nothing else is known.
    pub fn clay(&self, asked: Option<&str>, desk: &Desk, glaze: &Glaze) -> Result<Clay, Failure> {
        let name = asked.or(glaze.about.clay.as_deref());
        let Some(name) = name else {
            return Err(
                Diagnostic::error("no-clay", format!("on which clay? {} names none", glaze.name))
                    .help("say it with --clay, or write `clay: ...` in the glaze's file")
                    .into(),
            );
        };
        let nothing = match desk.workplace().look_for_clay(name) {
            Ok(found) => return Ok(found.clay),
            Err(nothing) => nothing,
        };
        // A file that can't be used may be the clay's.
        let unknown = nothing.unknown && nothing.complaints.len() == 1;
        let mut noted = self.book.notes.standing().filter_map(|note| note.clay.as_deref());
        match noted.find(|noted| same_name(noted, name)) {
            Some(noted) if unknown => Ok(Clay {
                name: noted.to_owned(),
                ..Clay::unnamed()
            }),
            _ => Err(nothing.complaints.into()),
        }
    }
}

/// Tiles of saved plans with what they were made of; plans that can't be read
/// are told aside.
fn ladders(desk: &Desk) -> Vec<LadderTile> {
    let (plans, complaints) = desk.workplace().plans();
    desk.tell(complaints);
    plans.iter().flat_map(SavedPlan::told).collect()
}

/// Every firing that the studio knows.
pub(crate) fn known_firings(desk: &Desk, notes: &Notes, glazes: &[Arc<Glaze>]) -> Result<KnownFirings, Failure> {
    let mut known = KnownFirings::of(notes, glazes, &firings(desk.workplace()));
    // Whoever asks for the kiln's book itself is told which lines can't be read.
    let (book, _) = desk.workplace().kiln_book()?;
    book.standing().for_each(|firing| known.book(firing));
    Ok(known)
}

/// Names of the studio's files of firings.
fn firings(workplace: &Workplace) -> Vec<String> {
    let Some(dir) = workplace.studio_dir() else {
        return Vec::new();
    };
    // A studio without that folder keeps no such files.
    let files = workplace.yaml_files_in(&dir.join("firings").to_string_lossy());
    let names = files.into_iter().flatten();
    names
        .filter_map(|path| Some(path.file_stem()?.to_string_lossy().replace('_', " ")))
        .collect()
}
