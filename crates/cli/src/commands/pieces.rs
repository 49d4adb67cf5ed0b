//! The pieces that were looked at, and what they were glazed with.

use glost_core::diagnostic::Diagnostic;
use glost_core::glaze::Glaze;
use glost_core::notes::{Notes, Versions};
use glost_core::read::folded;
use glost_core::studio::StudioSettings;
use glost_core::ware::Clay;
use glost_core::window::Notebook;
use glost_studio::{FoundGlaze, Workplace};

use crate::outcome::Failure;

/// A studio's notebook with its recipes.
pub(super) struct Pieces {
    notes: Notes,
    versions: Versions,
    glazes: Vec<Glaze>,
}

impl Pieces {
    /// Reads the notebook; what can't be read is told on stderr.
    pub(super) fn open(workplace: &Workplace) -> Result<Pieces, Failure> {
        let (notes, notes_trouble) = workplace.notes()?;
        let (versions, versions_trouble) = workplace.versions()?;
        let complaints: Vec<String> = notes_trouble
            .iter()
            .chain(&versions_trouble)
            .map(glost_page::diagnostic::text)
            .collect();
        crate::complain(&complaints.join("\n"));
        let (everything, _) = workplace.all_glazes();
        Ok(Pieces {
            notes,
            versions,
            glazes: everything.into_iter().map(|found| found.glaze).collect(),
        })
    }

    /// As core asks for it.
    pub(super) fn notebook<'a>(&'a self, settings: &'a StudioSettings) -> Notebook<'a> {
        Notebook {
            notes: &self.notes,
            versions: &self.versions,
            glazes: &self.glazes,
            fluxes: &settings.fluxes,
            settings: &settings.fit,
        }
    }

    /// The clay of the call, else the glaze's own. One that has no file but stands in the
    /// notebook is a clay of which nothing else is known.
    pub(super) fn clay(&self, asked: Option<&str>, workplace: &Workplace, found: &FoundGlaze) -> Result<Clay, Failure> {
        let name = asked.or(found.glaze.about.clay.as_deref());
        let Some(name) = name else {
            return Err(
                Diagnostic::error("no-clay", format!("on which clay? {} names none", found.glaze.name))
                    .help("say it with --clay, or write `clay: ...` in the glaze's file")
                    .into(),
            );
        };
        workplace.clay(name).map(|found| found.clay).or_else(|complaints| {
            let unknown = complaints.iter().all(|complaint| complaint.code == "unknown-clay");
            let noted = self.notes.standing().filter_map(|note| note.clay.as_deref());
            match noted.into_iter().find(|noted| folded(noted) == folded(name)) {
                Some(noted) if unknown => Ok(Clay {
                    name: noted.to_owned(),
                    ..Clay::unnamed()
                }),
                _ => Err(complaints.into()),
            }
        })
    }
}
