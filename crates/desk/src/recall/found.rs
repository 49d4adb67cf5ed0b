//! What a mark, a lot, a batch or a firing leads to.

use std::collections::{HashMap, HashSet};

use glost_chemistry::quantity::Date;
use glost_chemistry::read::folded;
use glost_core::evidence::firings::{Firing, Put};
use glost_core::evidence::notes::Note;
use glost_core::workshop::batches::{Batch, Wanted, holdings};
use serde::Serialize;

use super::{Places, is_called, is_of, same};

/// As what something was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum FoundAs {
    /// A mark on pieces.
    Mark,
    /// A lot of a material.
    Lot,
    /// A batch by its number or id.
    Batch,
    /// A firing by its name or id.
    Firing,
}

impl FoundAs {
    /// All of them.
    pub const ALL: [FoundAs; 4] = [FoundAs::Mark, FoundAs::Lot, FoundAs::Batch, FoundAs::Firing];

    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            FoundAs::Mark => "mark",
            FoundAs::Lot => "lot",
            FoundAs::Batch => "batch",
            FoundAs::Firing => "firing",
        }
    }
}

/// Whether pieces are among what is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Belongs {
    /// They are.
    Yes,
    /// They may be: they are of a glaze that the lot is in, and their note names no lot.
    MayBe,
    /// They aren't, as far as anybody wrote.
    No,
}

/// What was found.
#[derive(Debug, Default)]
pub(super) struct Found<'a> {
    /// As what.
    pub(super) ways: Vec<FoundAs>,
    /// The batches.
    pub(super) batches: Vec<&'a Batch>,
    /// The firings that they were in, or that are meant.
    pub(super) firings: Vec<&'a Firing>,
    /// Batches that share the mark.
    pub(super) marked: Vec<String>,
    /// Firings that are meant whole.
    whole: Vec<&'a Firing>,
    /// Batches that are meant only because they hold the lot.
    by_lot: Vec<&'a Batch>,
    /// Lines of notes that are meant themselves.
    lines: HashSet<usize>,
    /// Ids of the batches and of the firings.
    known: (HashSet<&'a str>, HashSet<&'a str>),
}

impl<'a> Found<'a> {
    pub(super) fn of(what: &str, meant: Option<FoundAs>, places: &Places<'a>) -> Found<'a> {
        let mut found = Found::default();
        for way in FoundAs::ALL
            .into_iter()
            .filter(|way| meant.is_none_or(|meant| meant == *way))
        {
            let any = match way {
                FoundAs::Mark => found.by_mark(what, places),
                FoundAs::Lot => found.by_lot(what, places),
                FoundAs::Batch => found.by_batch(what, places),
                FoundAs::Firing => found.by_firing(what, places),
            };
            if any {
                found.ways.push(way);
            }
        }
        found.firings_of_batches(places);
        found
    }

    /// Whether it is new among those that are meant.
    fn add_batch(&mut self, batch: &'a Batch) -> bool {
        let is_new = self.known.0.insert(&batch.booking.id);
        if is_new {
            self.batches.push(batch);
        }
        is_new
    }

    fn add_firing(&mut self, firing: &'a Firing) {
        if self.known.1.insert(&firing.id) {
            self.firings.push(firing);
        }
    }

    fn by_mark(&mut self, what: &str, places: &Places<'a>) -> bool {
        let before = self.batches.len();
        for batch in &places.batches.batches {
            if batch.booking.mark.as_deref().is_some_and(|mark| same(mark, what)) {
                self.add_batch(batch);
            }
        }
        let mut any = self.batches.len() > before;
        for firing in places.firings.standing() {
            let marked = firing
                .load
                .iter()
                .filter(|entry| entry.mark.as_deref().is_some_and(|mark| same(mark, what)));
            for entry in marked {
                any = true;
                self.add_firing(firing);
                self.batches_put(&entry.put, places);
            }
        }
        for note in places
            .noted
            .iter()
            .filter(|note| note.mark().is_some_and(|mark| same(mark, what)))
        {
            any = true;
            self.lines.insert(note.line);
            if let Some(batch) = &note.batch {
                self.batches_named(batch, note.glaze.as_deref(), places);
            }
        }
        self.marked = self
            .batches
            .iter()
            .map(|batch| batch.booking.number.text().to_owned())
            .collect();
        any
    }

    fn by_lot(&mut self, what: &str, places: &Places<'a>) -> bool {
        let wanted = Wanted {
            lot: Some(what.to_owned()),
            ..Wanted::default()
        };
        let holding: Vec<&'a Batch> = holdings(&places.batches.batches, &wanted)
            .into_iter()
            .map(|holding| holding.batch)
            .collect();
        for batch in &holding {
            if self.add_batch(batch) {
                self.by_lot.push(batch);
            }
        }
        let noted = places.noted.iter().filter(|note| places.lots.known_to_hold(note, what));
        let lines: Vec<usize> = noted.map(|note| note.line).collect();
        let any = !holding.is_empty() || !lines.is_empty();
        self.lines.extend(lines);
        any
    }

    fn by_batch(&mut self, what: &str, places: &Places<'a>) -> bool {
        let before = self.batches.len();
        self.batches_named(what, None, places);
        let noted = places.noted.iter();
        let lines: Vec<usize> = noted
            .filter(|note| note.batch.as_deref().is_some_and(|batch| same(batch, what)))
            .map(|note| note.line)
            .collect();
        let any = self.batches.len() > before || !lines.is_empty();
        self.lines.extend(lines);
        any
    }

    fn by_firing(&mut self, what: &str, places: &Places<'a>) -> bool {
        for firing in places.firings.all().iter().filter(|firing| is_called(firing, what)) {
            self.add_firing(firing);
            self.whole.push(firing);
        }
        let noted = places.noted.iter();
        let lines: Vec<usize> = noted
            .filter(|note| note.firing.as_deref().is_some_and(|firing| same(firing, what)))
            .map(|note| note.line)
            .collect();
        let any = !self.whole.is_empty() || !lines.is_empty();
        self.lines.extend(lines);
        any
    }

    fn batches_named(&mut self, name: &str, glaze: Option<&str>, places: &Places<'a>) {
        for batch in &places.batches.batches {
            let booking = &batch.booking;
            let is_named = same(booking.number.text(), name) || same(&booking.id, name);
            if is_named && glaze.is_none_or(|glaze| same(glaze, &booking.glaze)) {
                self.add_batch(batch);
            }
        }
    }

    fn batches_put(&mut self, put: &Put, places: &Places<'a>) {
        if let Put::Batch { number, booking } = put {
            for batch in places
                .batches
                .batches
                .iter()
                .filter(|batch| is_of(batch, number, booking.as_deref()))
            {
                self.add_batch(batch);
            }
        }
    }

    /// The firings that the batches were in; of firings that are meant whole, their batches.
    fn firings_of_batches(&mut self, places: &Places<'a>) {
        let batches = self.batches.clone();
        let ids: HashSet<&str> = batches.iter().map(|batch| batch.booking.id.as_str()).collect();
        let is_in = |firing: &Firing| {
            firing.load.iter().any(|entry| match &entry.put {
                Put::Batch {
                    booking: Some(booking), ..
                } => ids.contains(booking.as_str()),
                Put::Batch { number, booking: None } => batches.iter().any(|batch| is_of(batch, number, None)),
                Put::Glaze(_) | Put::Tile(_) | Put::Ware(_) => false,
            })
        };
        for firing in places.firings.standing().filter(|firing| is_in(firing)) {
            self.add_firing(firing);
        }
        for firing in self.whole.clone() {
            for entry in &firing.load {
                self.batches_put(&entry.put, places);
            }
        }
    }

    /// Whether a note, or pieces from a kiln, of these lots, are among what is meant. `all`:
    /// every batch by name.
    pub(super) fn belongs(&self, note: &Note, lots: &[(String, String)], all: &ByName<'_>, ids: &Ids<'_>) -> Belongs {
        let in_whole = note
            .kiln_id()
            .is_some_and(|id| self.whole.iter().any(|firing| firing.id == id));
        if in_whole || (note.line > 0 && self.lines.contains(&note.line)) {
            return Belongs::Yes;
        }
        // Of a firing that is meant whole the batches' pieces of other firings are not.
        if !self.whole.is_empty() && self.ways.as_slice() == [FoundAs::Firing] {
            return Belongs::No;
        }
        let of_batches = all.of(note);
        let meant = |batch: &&Batch| ids.meant.contains(batch.booking.id.as_str());
        // Pieces as they came from a kiln name their booking.
        let is_by_lot = |batch: &Batch| ids.by_lot.contains(batch.booking.id.as_str());
        let is_sure = |batch: &&Batch| meant(batch) && (note.line == 0 || !is_by_lot(batch));
        if of_batches.iter().any(is_sure) {
            return Belongs::Yes;
        }
        let glaze = note.glaze.as_deref().unwrap_or("");
        let unsaid = note.line > 0 && lots.is_empty() && (of_batches.is_empty() || of_batches.iter().any(meant));
        // Fired since any batch of its glaze with the lot was mixed: since the first.
        let of_lot = || {
            ids.first_with_lot
                .get(&folded(glaze))
                .is_some_and(|first| is_fired_since(note, *first))
        };
        match unsaid && of_lot() {
            true => Belongs::MayBe,
            false => Belongs::No,
        }
    }

    /// The ids of what is meant, to be asked for many notes.
    pub(super) fn ids(&self) -> Ids<'a> {
        let of = |batches: &[&'a Batch]| batches.iter().map(|batch| batch.booking.id.as_str()).collect();
        let mut first_with_lot: HashMap<String, Date> = HashMap::new();
        for booking in self.by_lot.iter().map(|batch| &batch.booking) {
            let first = first_with_lot.entry(folded(&booking.glaze)).or_insert(booking.on);
            *first = booking.on.min(*first);
        }
        Ids {
            meant: of(&self.batches),
            by_lot: of(&self.by_lot),
            first_with_lot,
        }
    }

    /// The materials of which a lot is called so, where a lot was asked for.
    pub(super) fn lot_of(&self, what: &str, places: &Places<'a>) -> Vec<String> {
        if !self.ways.contains(&FoundAs::Lot) {
            return Vec::new();
        }
        let booked = self.batches.iter().flat_map(|batch| batch.booking.lots());
        let noted = places
            .noted
            .iter()
            .flat_map(|note| places.lots.known(note).iter().cloned());
        let is_it = |lots: &str| lots.split(" + ").any(|lot| same(lot, what));
        let mut materials: Vec<String> = booked
            .chain(noted)
            .filter(|(_, lots)| is_it(lots))
            .map(|pair| pair.0)
            .collect();
        materials.sort();
        materials.dedup();
        materials
    }

    /// Each material's lots in the batches, several joined.
    pub(super) fn lots(&self) -> Vec<(String, String)> {
        let mut lots: Vec<(String, Vec<String>)> = Vec::new();
        for (material, lot) in self.batches.iter().flat_map(|batch| batch.booking.lots()) {
            match lots.iter_mut().find(|(known, _)| *known == material) {
                Some((_, known)) if known.contains(&lot) => {}
                Some((_, known)) => known.push(lot),
                None => lots.push((material, vec![lot])),
            }
        }
        lots.into_iter()
            .map(|(material, lots)| (material, lots.join(", ")))
            .collect()
    }
}

/// Ids of batches that are meant, and of those that are only because they hold the lot.
pub(super) struct Ids<'a> {
    meant: HashSet<&'a str>,
    by_lot: HashSet<&'a str>,
    /// The day that the first batch of each glaze, by its name folded, was mixed of those.
    first_with_lot: HashMap<String, Date>,
}

/// Batches by their numbers and ids, without case.
pub(super) struct ByName<'a>(HashMap<String, Vec<&'a Batch>>);

impl<'a> ByName<'a> {
    pub(super) fn new(batches: &'a [Batch]) -> ByName<'a> {
        let mut by_name: HashMap<String, Vec<&Batch>> = HashMap::new();
        for batch in batches {
            let booking = &batch.booking;
            for name in [booking.number.text(), booking.id.as_str()] {
                by_name.entry(folded(name)).or_default().push(batch);
            }
        }
        ByName(by_name)
    }

    /// Those that a note names, of its glaze, where its pieces may have been fired since.
    fn of(&self, note: &Note) -> Vec<&'a Batch> {
        let named = note.batch.as_deref().and_then(|name| self.0.get(&folded(name)));
        let glaze = note.glaze.as_deref();
        let of_glaze = |batch: &&&Batch| glaze.is_none_or(|glaze| same(glaze, &batch.booking.glaze));
        // A kiln's own book names the booking.
        let fired_since = |batch: &&&Batch| note.line == 0 || is_fired_since(note, batch.booking.on);
        named
            .into_iter()
            .flatten()
            .filter(of_glaze)
            .filter(fired_since)
            .copied()
            .collect()
    }
}

/// Whether pieces may have been fired since the day a batch was mixed: ages are told roughly.
fn is_fired_since(note: &Note, mixed: Date) -> bool {
    let slack = 3.0 + note.age_days.unwrap_or(0.0) / 10.0;
    let fired = note.fired_on().unwrap_or(note.on);
    mixed.days_since(fired) as f64 <= slack
}
