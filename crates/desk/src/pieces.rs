//! The pieces that were looked at, and what they were glazed with.

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::Glaze;
use glost_chemistry::quantity::Date;
use glost_chemistry::read::folded;
use glost_core::evidence::notes::Note;
use glost_core::evidence::ware::Clay;
use glost_core::evidence::window::{Notebook, gather};
use glost_core::studio::StudioSettings;
use glost_script::StudioNotebook;
use glost_studio::FoundGlaze;

use crate::notebook::Book;
use crate::{Desk, Failure};

/// A studio's notebook with its recipes.
#[derive(Debug)]
pub struct Pieces {
    book: Book,
    glazes: Vec<Glaze>,
    /// The day today.
    pub today: Date,
}

impl Pieces {
    /// Reads the notebook; what can't be read is told on stderr.
    pub fn open(desk: &Desk) -> Result<Pieces, Failure> {
        let today = desk.today()?;
        let (everything, _) = desk.workplace().all_glazes();
        Ok(Pieces {
            book: Book::read(desk, today)?,
            glazes: everything.into_iter().map(|found| found.glaze).collect(),
            today,
        })
    }

    /// As scripts see it.
    pub fn for_scripts(self, settings: &StudioSettings) -> StudioNotebook {
        StudioNotebook {
            notes: self.book.notes,
            versions: self.book.versions,
            glazes: self.glazes,
            settings: settings.fit.clone(),
            today: Some(self.today),
        }
    }

    /// The notebook for checks of a glaze on a clay; `None` where no piece on this clay at its
    /// firing was looked at, so that checks which need pieces stay silent. Reads no more than
    /// it must.
    pub fn that_speak(desk: &Desk, found: &FoundGlaze, clay: Option<&str>) -> Result<Option<StudioNotebook>, Failure> {
        let Some(clay) = clay else { return Ok(None) };
        let on_it = |note: &Note| note.clay.as_deref().is_some_and(|noted| folded(noted) == folded(clay));
        if !desk.workplace().notes()?.0.standing().any(on_it) {
            return Ok(None);
        }
        let pieces = Pieces::open(desk)?;
        let evidence = gather(&pieces.notebook(&found.settings), &found.glaze, clay, None);
        let speaks = !evidence.witnesses.is_empty();
        Ok(speaks.then(|| pieces.for_scripts(&found.settings)))
    }

    /// As core asks for it.
    pub fn notebook<'a>(&'a self, settings: &'a StudioSettings) -> Notebook<'a> {
        Notebook {
            notes: &self.book.notes,
            versions: &self.book.versions,
            glazes: &self.glazes,
            fluxes: &settings.fluxes,
            settings: &settings.fit,
        }
    }

    /// The clay of the call, else the glaze's own. One that has no file but stands in the
    /// notebook is a clay of which nothing else is known.
    pub fn clay(&self, asked: Option<&str>, desk: &Desk, found: &FoundGlaze) -> Result<Clay, Failure> {
        let name = asked.or(found.glaze.about.clay.as_deref());
        let Some(name) = name else {
            return Err(
                Diagnostic::error("no-clay", format!("on which clay? {} names none", found.glaze.name))
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
        match noted.find(|noted| folded(noted) == folded(name)) {
            Some(noted) if unknown => Ok(Clay {
                name: noted.to_owned(),
                ..Clay::unnamed()
            }),
            _ => Err(nothing.complaints.into()),
        }
    }
}
