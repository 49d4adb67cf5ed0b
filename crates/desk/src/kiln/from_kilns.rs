//! Pieces as they came from opened kilns, before anybody looked at them.

use glost_chemistry::read::folded;
use glost_core::evidence::firings::{Firing, FiringKind, Group, Put};
use glost_core::evidence::notes::{KILN_KEY, MARK_KEY, MISSED_KEY, Note, OVER_KEY};
use glost_core::workshop::batches::{Batch, Journal};
use serde_json::Value;

/// Each group of pieces as the look on the day that its kiln was opened: of age 0, nothing
/// counted. Its line is 0: it stands in the kiln's book, not in the notebook.
pub fn pieces_from_kilns<'a>(firings: impl IntoIterator<Item = &'a Firing>, batches: Option<&Journal>) -> Vec<Note> {
    let glazed = firings
        .into_iter()
        .filter(|firing| firing.is_open() && firing.kind != FiringKind::Biscuit);
    let groups = glazed.flat_map(Firing::groups);
    groups.filter_map(|group| piece(&group, batches)).collect()
}

/// What later looks at the pieces of a group without a batch share: the firing, and which of
/// its pieces.
pub fn group_name(firing: &Firing, put: &Put) -> String {
    format!("{} {}", firing.id, put.name())
}

fn piece(group: &Group<'_>, batches: Option<&Journal>) -> Option<Note> {
    let firing = group.firing;
    let opened = firing.opened.as_ref()?;
    let mut note = Note {
        clay: group.clay.map(str::to_owned),
        firing: firing.firing.clone(),
        cone: firing.cone().map(str::to_owned),
        age_days: Some(0.0),
        pieces: Some(group.pieces),
        ..Note::on(opened.on)
    };
    match group.put {
        Put::Batch { number, booking } => {
            let of = batches.and_then(|journal| booked(journal, number, booking.as_deref()));
            let shared = batches.is_some_and(|journal| journal.only(number).is_err());
            note.glaze = of.map(|batch| batch.booking.glaze.clone());
            note.version = of.and_then(|batch| batch.booking.version.clone());
            note.lots = of.map_or_else(Vec::new, |batch| batch.booking.lots());
            let id = booking.as_ref().filter(|_| shared);
            note.batch = Some(id.unwrap_or(number).clone());
        }
        Put::Glaze(name) => {
            note.glaze = Some(name.clone());
            note.batch = Some(group_name(firing, group.put));
        }
        Put::Tile(name) => {
            note.tile = Some(name.clone());
            note.batch = Some(group_name(firing, group.put));
        }
        Put::Ware(_) => return None,
    }
    note.with_text(KILN_KEY, &firing.id);
    if let Some(missed) = firing.missed() {
        note.other.push((MISSED_KEY.to_owned(), Value::from(missed)));
    }
    if let Some(over) = group.over {
        note.with_text(OVER_KEY, over);
    }
    if let Some(mark) = group.marks.first() {
        note.with_text(MARK_KEY, mark);
    }
    Some(note.named())
}

/// The booking that an entry names.
pub fn booked<'a>(journal: &'a Journal, number: &str, id: Option<&str>) -> Option<&'a Batch> {
    match id {
        Some(id) => journal.batches.iter().find(|batch| batch.booking.id == id),
        None => journal
            .batches
            .iter()
            .rev()
            .find(|batch| folded(batch.booking.number.text()) == folded(number)),
    }
}
