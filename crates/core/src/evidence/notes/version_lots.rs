//! The lots of many notes: of those that say none the lots of their versions' sheets, each
//! version looked up once.

use std::collections::HashMap;

use super::note::Note;
use super::pieces::are_of_lot;
use super::versions::Versions;

/// Materials with their lots.
type Lots = Vec<(String, String)>;

/// Lots by glaze and version, as they are asked for.
#[derive(Debug)]
pub struct VersionLots<'a> {
    versions: &'a Versions,
    known: HashMap<String, HashMap<String, Lots>>,
}

impl<'a> VersionLots<'a> {
    /// Of these versions.
    pub fn of(versions: &'a Versions) -> VersionLots<'a> {
        VersionLots {
            versions,
            known: HashMap::new(),
        }
    }

    /// Of these versions, with the lots of all these notes looked up.
    pub fn of_all(versions: &'a Versions, notes: &[Note]) -> VersionLots<'a> {
        let mut lots = VersionLots::of(versions);
        notes.iter().for_each(|note| lots.look_up(note));
        lots
    }

    /// As [`Versions::lots_of`].
    pub fn lots<'s>(&'s mut self, note: &'s Note) -> &'s [(String, String)] {
        self.look_up(note);
        self.known(note)
    }

    /// The same of a note that was looked up; its own alone of any other.
    pub fn known<'s>(&'s self, note: &'s Note) -> &'s [(String, String)] {
        let (Some(glaze), Some(version), true) = (&note.glaze, &note.version, note.lots.is_empty()) else {
            return &note.lots;
        };
        let of_glaze = self.known.get(glaze);
        of_glaze
            .and_then(|of_glaze| of_glaze.get(version))
            .map_or(&[], Vec::as_slice)
    }

    fn look_up(&mut self, note: &Note) {
        let (Some(glaze), Some(version), true) = (&note.glaze, &note.version, note.lots.is_empty()) else {
            return;
        };
        let is_known = |of_glaze: &HashMap<String, Lots>| of_glaze.contains_key(version);
        if !self.known.get(glaze).is_some_and(is_known) {
            let lots = self.versions.lots_of(note);
            let of_glaze = self.known.entry(glaze.clone()).or_default();
            of_glaze.insert(version.clone(), lots);
        }
    }

    /// Whether a note's pieces were made of a lot, whatever of.
    pub fn hold(&mut self, note: &Note, lot: &str) -> bool {
        are_of_lot(self.lots(note), lot)
    }

    /// Whether a note that was looked up is of pieces of a lot, whatever of.
    pub fn known_to_hold(&self, note: &Note, lot: &str) -> bool {
        are_of_lot(self.known(note), lot)
    }

    /// A note that was looked up, with them.
    pub fn known_in(&self, note: &Note) -> Note {
        let mut note = note.clone();
        if note.lots.is_empty() {
            note.lots = self.known(&note).to_vec();
        }
        note
    }

    /// Puts them into a note that says none.
    pub fn fill(&mut self, note: &mut Note) {
        if note.lots.is_empty() {
            note.lots = self.lots(note).to_vec();
        }
    }
}
