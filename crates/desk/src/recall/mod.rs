//! A cup that came back: its batch, firing and lots, its sisters, and what to look at now.

mod answer;
mod found;

use std::borrow::Cow;
use std::collections::HashMap;

pub use answer::{Answer, Photo, Sisters};
pub use found::FoundAs;

use glost_chemistry::diagnostic::{Diagnostic, did_you_mean, nearest, none_called};
use glost_chemistry::read::{folded, same_name};
use glost_core::evidence::firings::{Firing, Firings};
use glost_core::evidence::notes::{self, Note, Story, VersionLots, stories};
use glost_core::workshop::batches::{Batch, Journal};

use crate::kiln::unnamed_from_kilns;
use crate::notebook::Book;
use crate::{Desk, Failure, PageFile, Words, due};

use found::{Belongs, ByName, Found};

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// A mark, a lot, a batch or a firing.
    pub what: String,
    /// As which of them it is meant; none: as all that it is.
    pub meant: Option<FoundAs>,
    /// The contact sheet to print.
    pub page: Option<PageFile>,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        let ways = FoundAs::ALL.map(|way| (way.word(), Some(way)));
        Ok(Question {
            what: words.required("what")?.to_owned(),
            meant: match words.text("as") {
                None => None,
                Some(_) => words.choice("as", ways[0], &ways[1..])?,
            },
            page: words.page("page")?,
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let today = desk.today()?;
        let book = Book::open(desk, today)?;
        let batches = match desk.workplace().batch_book() {
            Some(book) => {
                let read = book.read()?;
                desk.tell(read.cautions);
                read.journal
            }
            None => Journal::default(),
        };
        let (firings, complaints) = desk.workplace().kiln_book()?;
        desk.tell(complaints);
        let noted = book.notes.into_standing();
        let lots = VersionLots::of_all(&book.versions, &noted);
        let places = Places {
            batches: &batches,
            firings: &firings,
            noted: &noted,
            lots: &lots,
        };
        let found = Found::of(&self.what, self.meant, &places);
        if found.ways.is_empty() {
            return Err(unknown(&self.what, &places).into());
        }
        let (pieces, may_be) = places.pieces_of(&found);
        let list = notes::due_of(&pieces, &book.versions, &book.recipes, today);
        let due = list.into_iter().map(|due| due::Due::of(due, today)).collect();
        let by_id: HashMap<&str, &Firing> = firings
            .all()
            .iter()
            .map(|firing| (firing.id.as_str(), firing))
            .collect();
        let sisters_of = |told: &[Story<'_>]| told.iter().map(|story| sisters(story, &by_id)).collect();
        let sisters: Vec<Sisters> = sisters_of(&stories(&pieces));
        let looks: Vec<Note> = pieces.into_iter().filter(|note| note.line > 0).collect();
        let answer = Answer {
            what: self.what.clone(),
            pieces_out: sisters.iter().map(|one| u64::from(one.pieces.unwrap_or(0))).sum(),
            photos: photos(desk, &looks),
            page: self.page.clone(),
            found_as: found.ways.clone(),
            batches: found.batches.iter().map(|batch| (*batch).clone()).collect(),
            firings: found.firings.iter().map(|firing| (*firing).clone()).collect(),
            lots: found.lots(),
            lot_of: found.lot_of(&self.what, &places),
            marked: found.marked.clone(),
            notes: looks,
            sisters,
            may_be: sisters_of(&stories(&may_be)),
            due,
        };
        desk.put_away((noted, batches, firings));
        Ok(answer)
    }
}

/// Where things are looked for.
pub(crate) struct Places<'a> {
    pub(crate) batches: &'a Journal,
    pub(crate) firings: &'a Firings,
    pub(crate) noted: &'a [Note],
    pub(crate) lots: &'a VersionLots<'a>,
}

impl<'a> Places<'a> {
    /// The pieces that are meant, as they came from the kilns, and every look at them; then
    /// those that may be.
    fn pieces_of(&self, found: &Found<'a>) -> (Vec<Note>, Vec<Note>) {
        let (all, ids) = (ByName::new(&self.batches.batches), found.ids());
        let from_kilns = unnamed_from_kilns(self.firings.opened(), Some(self.batches)).map(Cow::Owned);
        let noted = self.noted.iter().map(Cow::Borrowed);
        // Those from kilns are named where they are meant: there are thousands of others.
        let named = |note: Cow<'_, Note>| match note {
            Cow::Owned(note) => note.named(),
            Cow::Borrowed(note) => self.lots.known_in(note),
        };
        let (mut pieces, mut may_be) = (Vec::new(), Vec::new());
        for note in from_kilns.chain(noted) {
            match found.belongs(&note, self.lots.known(&note), &all, &ids) {
                Belongs::Yes => pieces.push(named(note)),
                Belongs::MayBe => may_be.push(named(note)),
                Belongs::No => {}
            }
        }
        (pieces, may_be)
    }
}

/// Pieces that belong together, with what was seen of them.
fn sisters(story: &Story<'_>, firings: &HashMap<&str, &Firing>) -> Sisters {
    let kiln = story.any(Note::kiln_id).map(str::to_owned);
    let firing = kiln.as_deref().and_then(|id| firings.get(id));
    let loaded = story.looks.iter().find(|note| note.line == 0);
    let pieces = loaded.and_then(|note| note.pieces);
    let counts = story.looks.iter().filter_map(|note| note.pieces).max();
    Sisters {
        glaze: story.any(|note| note.glaze.clone()),
        tile: story.any(|note| note.tile.clone()),
        batch: story.any(|note| note.batch.clone()),
        clay: story.any(|note| note.clay.clone()),
        firing: story.any(|note| note.firing.clone()),
        firing_id: kiln,
        opened_on: firing
            .and_then(|firing| firing.opened.as_ref())
            .map(|opened| opened.on.to_string()),
        // What left the kiln, else the most that anybody counted.
        pieces: pieces.or(counts),
        crazed: story.crazed(),
        shivered: story.any(|note| note.shivered),
        dunted: story.any(|note| note.dunted),
        failed_tests: story
            .looks
            .iter()
            .filter(|note| note.crazed.is_some_and(|crazed| crazed > 0))
            .filter_map(|note| note.test().map(str::to_owned))
            .collect(),
        age_days: story
            .looks
            .iter()
            .filter_map(|note| note.age_days)
            .max_by(f64::total_cmp),
        kept: story.any(|note| note.kept.clone()),
        marks: {
            let mut marks: Vec<String> = story
                .looks
                .iter()
                .filter_map(|note| note.mark())
                .map(str::to_owned)
                .collect();
            marks.dedup();
            marks
        },
        lines: story
            .looks
            .iter()
            .map(|note| note.line)
            .filter(|line| *line > 0)
            .collect(),
        looked: story.looks.iter().any(|note| note.line > 0),
    }
}

fn photos(desk: &Desk, looks: &[Note]) -> Vec<Photo> {
    let with_photo = looks.iter().filter_map(|note| Some((note, note.photo.clone()?)));
    with_photo
        .map(|(note, photo)| Photo {
            line: note.line,
            caption: note.clone(),
            at: desk.workplace().file_at(&photo).map(|path| {
                // What can't be made absolute is shown from where the page lies.
                std::path::absolute(&path).unwrap_or(path)
            }),
            photo,
        })
        .collect()
}

fn unknown(what: &str, places: &Places<'_>) -> Diagnostic {
    let mut known: Vec<String> = Vec::new();
    for batch in &places.batches.batches {
        let booking = &batch.booking;
        known.push(booking.number.text().to_owned());
        known.extend(booking.mark.clone());
        known.extend(booking.lines.iter().filter_map(|line| line.lot.clone()));
    }
    for firing in places.firings.all() {
        known.extend(firing.firing.clone());
        known.push(firing.id.clone());
        known.extend(firing.load.iter().filter_map(|entry| entry.mark.clone()));
    }
    for note in places.noted {
        known.extend(note.mark().map(str::to_owned));
        known.extend(note.batch.clone());
        known.extend(places.lots.known(note).iter().map(|(_, lot)| lot.clone()));
    }
    let error = Diagnostic::error(
        "unknown-recall",
        none_called("mark, no lot, no batch and no firing here", what.trim()),
    );
    let near = nearest(what, known.iter().map(String::as_str));
    error.help(match near {
        Some(near) => did_you_mean(near),
        None => "`glost batches` lists the batches with their lots, `glost kiln` the firings".to_owned(),
    })
}

/// Whether two texts are the same, without case.
fn same(one: &str, other: &str) -> bool {
    same_name(one, other)
}

/// Whether a batch is what a firing's entry names.
fn is_of(batch: &Batch, number: &str, id: Option<&str>) -> bool {
    match id {
        Some(id) => batch.booking.id == id,
        None => same(batch.booking.number.text(), number),
    }
}

/// Whether a firing is called so.
fn is_called(firing: &Firing, what: &str) -> bool {
    firing.id == folded(what) || firing.firing.as_deref().is_some_and(|name| same(name, what))
}
