//! Pieces as they came from opened kilns, before anybody looked at them.

use std::collections::HashMap;

use glost_chemistry::read::folded;
use glost_core::evidence::firings::{Firing, FiringKind, Group, Put};
use glost_core::evidence::notes::{APART_KEY, KILN_KEY, MARK_KEY, MISSED_KEY, Note, OVER_KEY};
use glost_core::workshop::batches::{Batch, Journal};
use serde_json::Value;

/// Each group of pieces as the look on the day that its kiln was opened: of age 0, nothing
/// counted. Its line is 0: it stands in the kiln's book, not in the notebook.
pub fn pieces_from_kilns<'a>(firings: impl IntoIterator<Item = &'a Firing>, batches: Option<&Journal>) -> Vec<Note> {
    let mut pieces: Vec<Note> = unnamed_from_kilns(firings, batches).collect();
    Note::name_each(&mut pieces);
    pieces
}

/// The same without their ids, for whoever needs few of them.
pub fn unnamed_from_kilns<'a, 'b>(
    firings: impl IntoIterator<Item = &'a Firing> + 'b,
    batches: Option<&'b Journal>,
) -> impl Iterator<Item = Note> + 'b
where
    'a: 'b,
{
    let glazed = firings
        .into_iter()
        .filter(|firing| firing.is_open() && firing.kind != FiringKind::Biscuit);
    let groups = glazed.flat_map(Firing::groups);
    let books = batches.map(Bookings::of);
    groups.filter_map(move |group| piece(&group, books.as_ref()))
}

/// A book of batches, to be asked for many pieces.
struct Bookings<'a> {
    by_id: HashMap<&'a str, &'a Batch>,
    /// In order of their lines.
    by_number: HashMap<String, Vec<&'a Batch>>,
}

impl<'a> Bookings<'a> {
    fn of(journal: &'a Journal) -> Bookings<'a> {
        let mut books = Bookings {
            by_id: HashMap::new(),
            by_number: HashMap::new(),
        };
        for batch in &journal.batches {
            books.by_id.entry(&batch.booking.id).or_insert(batch);
            let number = folded(batch.booking.number.text());
            books.by_number.entry(number).or_default().push(batch);
        }
        books
    }

    fn numbered(&self, number: &str) -> &[&'a Batch] {
        self.by_number.get(&folded(number)).map_or(&[], Vec::as_slice)
    }

    /// As [`booked`].
    fn booked(&self, number: &str, id: Option<&str>) -> Option<&'a Batch> {
        match id {
            Some(id) => self.by_id.get(id).copied(),
            None => self.numbered(number).last().copied(),
        }
    }

    /// Whether a number alone doesn't tell which batch is meant: several in force share it, or
    /// no batch has it, be it as its id.
    fn is_shared(&self, number: &str) -> bool {
        let numbered = self.numbered(number);
        match numbered.iter().filter(|batch| batch.stands()).count() {
            0 => numbered.is_empty() && !self.by_id.contains_key(folded(number).as_str()),
            standing => standing > 1,
        }
    }
}

/// What later looks at the pieces of a group without a batch share: the firing, and which of
/// its pieces.
pub fn group_name(firing: &Firing, put: &Put) -> String {
    format!("{} {}", firing.id, put.name())
}

fn piece(group: &Group<'_>, books: Option<&Bookings<'_>>) -> Option<Note> {
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
            let of = books.and_then(|books| books.booked(number, booking.as_deref()));
            let shared = books.is_some_and(|books| books.is_shared(number));
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
    if firing.is_apart() {
        note.other.push((APART_KEY.to_owned(), Value::Bool(true)));
    }
    if let Some(over) = group.over {
        note.with_text(OVER_KEY, over);
    }
    if let Some(mark) = group.marks.first() {
        note.with_text(MARK_KEY, mark);
    }
    Some(note)
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
