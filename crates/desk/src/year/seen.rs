//! What was seen of the year's pieces, by glaze and clay, and by lot.

use std::borrow::Cow;
use std::collections::HashMap;

use glost_chemistry::read::{folded, folding};
use glost_core::evidence::notes::{Note, VersionLots, stories};
use serde::Serialize;

use crate::notebook::Book;

/// What was seen of one glaze on one clay, by the latest look in the year at each of its
/// pieces.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct WareSeen {
    /// The glaze.
    pub glaze: String,
    /// The clay, where it was noted.
    pub clay: Option<String>,
    /// Pieces that were looked at for crazing.
    pub pieces: u32,
    /// How many are crazed.
    pub crazed: u32,
    /// How many have shivered.
    pub shivered: u32,
    /// How many cracked through.
    pub dunted: u32,
}

/// What was seen of pieces with one lot in them.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct LotSeen {
    /// The material.
    pub material: String,
    /// The lot.
    pub lot: String,
    /// Pieces that were looked at for crazing.
    pub pieces: u32,
    /// How many are crazed.
    pub crazed: u32,
}

/// The latest look in the year at each of the pieces; torture tests are no ware.
fn looks(book: &Book, year: i64) -> Vec<&Note> {
    let counts = |note: &&Note| note.on.year() == year && note.glaze.is_some() && note.test().is_none();
    let counted = |note: &Note| note.crazed.is_some() || note.shivered.is_some() || note.dunted.is_some();
    let looked = book.notes.standing().filter(counts).filter(|note| counted(note));
    stories(looked).iter().map(|story| story.latest()).collect()
}

/// Pieces of a look; one where only what crazed was counted.
fn pieces(note: &Note) -> u32 {
    let seen = [note.crazed, note.shivered, note.dunted].into_iter().flatten().max();
    note.pieces.or(seen).unwrap_or(0)
}

/// By glaze and clay, what crazed most first; then by lot, of lots with a piece that crazed,
/// the worst first.
pub(super) fn of(book: &Book, year: i64) -> (Vec<WareSeen>, Vec<LotSeen>) {
    let looks = looks(book, year);
    (by_ware(&looks), by_lot(&looks, book))
}

fn by_ware(looks: &[&Note]) -> Vec<WareSeen> {
    let mut found: Vec<WareSeen> = Vec::new();
    let mut places: HashMap<(Cow<'_, str>, Option<Cow<'_, str>>), usize> = HashMap::new();
    for note in looks {
        let Some(glaze) = &note.glaze else { continue };
        let place = places.entry((folding(glaze), note.clay.as_deref().map(folding)));
        let place = *place.or_insert_with(|| {
            found.push(WareSeen {
                glaze: glaze.clone(),
                clay: note.clay.clone(),
                pieces: 0,
                crazed: 0,
                shivered: 0,
                dunted: 0,
            });
            found.len() - 1
        });
        let known = &mut found[place];
        known.pieces += pieces(note);
        known.crazed += note.crazed.unwrap_or(0);
        known.shivered += note.shivered.unwrap_or(0);
        known.dunted += note.dunted.unwrap_or(0);
    }
    let share = |ware: &WareSeen| f64::from(ware.crazed + ware.shivered) / f64::from(ware.pieces.max(1));
    found.sort_by(|a, b| share(b).total_cmp(&share(a)).then_with(|| a.glaze.cmp(&b.glaze)));
    found
}

fn by_lot(looks: &[&Note], book: &Book) -> Vec<LotSeen> {
    let mut found: Vec<LotSeen> = Vec::new();
    let mut places: HashMap<(String, String), usize> = HashMap::new();
    let mut of_versions = VersionLots::of(&book.versions);
    for note in looks {
        for (material, lots) in of_versions.lots(note) {
            for lot in lots.split(" + ") {
                let place = places.entry((folded(material), folded(lot))).or_insert_with(|| {
                    found.push(LotSeen {
                        material: material.clone(),
                        lot: lot.to_owned(),
                        pieces: 0,
                        crazed: 0,
                    });
                    found.len() - 1
                });
                let known = &mut found[*place];
                known.pieces += pieces(note);
                known.crazed += note.crazed.unwrap_or(0);
            }
        }
    }
    found.retain(|lot| lot.crazed > 0);
    let share = |lot: &LotSeen| f64::from(lot.crazed) / f64::from(lot.pieces.max(1));
    found.sort_by(|a, b| share(b).total_cmp(&share(a)).then_with(|| a.material.cmp(&b.material)));
    found
}
