//! The book of batches: the list, one batch, two compared, one taken back.

mod answer;
mod seen;
mod wanted;

use std::collections::HashMap;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::quantity::Date;
use glost_chemistry::read::folded;
use glost_core::evidence::firings::{Entry, Put};
use glost_core::workshop::batches::{Batch, BookedLine, Booking, Differences, Journal, differences, holdings, lots_of};
use glost_studio::BatchBook;

use crate::{Desk, Failure, Words, trouble};

pub use answer::{Answer, Compared, Listed, SeenOfBatch};
use seen::Seen;
pub use wanted::AskedList;

/// What is asked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Question {
    /// The batches that fit.
    List(AskedList),
    /// One batch in full, by its number.
    One(String),
    /// Two batches compared, by their numbers.
    Difference(String, String),
    /// A booking taken back.
    Void {
        /// The batch's number.
        number: String,
        /// The day; none: today.
        on: Option<Date>,
        /// Why.
        why: Option<String>,
    },
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        if let Some(number) = words.owned("void") {
            return Ok(Question::Void {
                number,
                on: words.read("on", Date::parse)?,
                why: words.one_line("text"),
            });
        }
        if let Some((before, after)) = pair(words)? {
            return Ok(Question::Difference(before.to_owned(), after.to_owned()));
        }
        Ok(match words.list("words").first() {
            Some(number) => Question::One(number.clone()),
            None => Question::List(AskedList {
                material: words.owned("material"),
                lot: words.owned("lot"),
                glaze: words.owned("glaze"),
            }),
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let book = desk
            .workplace()
            .batch_book()
            .ok_or_else(|| trouble::no_studio("here are no batches"))?;
        match self {
            Question::Void { number, on, why } => {
                let on = on.map_or_else(|| desk.today(), Ok)?;
                let done = book.void(number, on, why.as_deref())?;
                desk.tell(done.cautions);
                desk.tell(was_fired(desk, &done.booking)?);
                Ok(Answer::TakenBack {
                    booking: done.booking,
                    void: done.void,
                })
            }
            Question::List(asked) => list(asked, desk, journal(desk, &book)?),
            Question::One(number) => {
                let journal = journal(desk, &book)?;
                Ok(Answer::One(find(&book, &journal, number)?.clone()))
            }
            Question::Difference(before, after) => {
                let journal = journal(desk, &book)?;
                let before = &find(&book, &journal, before)?.booking;
                let after = &find(&book, &journal, after)?.booking;
                Ok(Answer::Difference(compared(desk, before, after)))
            }
        }
    }
}

fn journal(desk: &Desk, book: &BatchBook) -> Result<Journal, Failure> {
    let read = book.read()?;
    desk.tell(read.cautions);
    Ok(read.journal)
}

fn find<'a>(book: &BatchBook, journal: &'a Journal, number: &str) -> Result<&'a Batch, Diagnostic> {
    book.only(journal, number)
}

fn list(asked: &AskedList, desk: &Desk, journal: Journal) -> Result<Answer, Failure> {
    let wanted = asked.checked(desk.workplace(), &journal)?;
    let lots = wanted.material.as_ref().map_or_else(Vec::new, |names| {
        let lots = lots_of(&journal.batches, names);
        lots.into_iter().map(str::to_owned).collect()
    });
    // Whoever reads the notebook for its own sake complains about it.
    let notes = desk.workplace().notes().map(|read| read.0).ok();
    let seen = notes.as_ref().map(Seen::of);
    let told: Vec<Outline> = holdings(&journal.batches, &wanted)
        .into_iter()
        .map(|holding| Outline {
            line: holding.batch.line,
            lines: holding.lines.into_iter().cloned().collect(),
            through_a_mix: holding.through_a_mix,
            seen: seen.as_ref().and_then(|seen| seen.of_batch(&holding.batch.booking)),
        })
        .collect();
    Ok(Answer::List {
        booked: journal.batches.len(),
        batches: filled(told, journal.batches),
        material: wanted.material.and_then(|names| names.into_iter().next()),
        lot: wanted.lot,
        glaze: wanted.glaze,
        lots,
    })
}

/// A batch of the list before it is put into it.
struct Outline {
    line: usize,
    lines: Vec<BookedLine>,
    through_a_mix: bool,
    seen: Option<SeenOfBatch>,
}

/// The list; each batch is in it once, and moved: a book of years is held once.
fn filled(told: Vec<Outline>, batches: Vec<Batch>) -> Vec<Listed> {
    let mut batches: HashMap<usize, Batch> = batches.into_iter().map(|batch| (batch.line, batch)).collect();
    let listed = told.into_iter().filter_map(|outline| {
        Some(Listed {
            batch: batches.remove(&outline.line)?,
            lines: outline.lines,
            through_a_mix: outline.through_a_mix,
            seen: outline.seen,
        })
    });
    listed.collect()
}

fn compared(desk: &Desk, before: &Booking, after: &Booking) -> Compared {
    let workplace = desk.workplace();
    let found: Differences = differences(before, after, workplace.library(), &workplace.settings().fluxes);
    Compared {
        before: before.number.clone(),
        after: after.number.clone(),
        found,
    }
}

/// The two batches to compare, where two are named.
fn pair(words: &Words) -> Result<Option<(&str, &str)>, Diagnostic> {
    let named: Vec<&str> = words.list("words").iter().map(String::as_str).collect();
    let wrong = |message: &str| {
        Diagnostic::error("bad-call", message.to_owned())
            .help("one batch in full: `glost batches 14`; two compared: `glost batches diff 14 15`")
    };
    let found = match (named.as_slice(), words.text("against")) {
        (["diff", before, after], None) => Some((*before, *after)),
        (["diff", before] | [before], Some(after)) => Some((*before, after)),
        (["diff", ..], _) => return Err(wrong("two batches are compared, no more and no less")),
        ([], Some(_)) => return Err(wrong("--against needs a batch to compare with")),
        ([_], None) | ([], None) => None,
        _ => return Err(wrong("one batch at a time is shown")),
    };
    let filtered = ["lot", "material", "glaze"]
        .iter()
        .any(|name| words.text(name).is_some());
    if filtered && !named.is_empty() {
        return Err(wrong(
            "--lot, --material and --glaze go with the list, not with a batch's number",
        ));
    }
    if let Some((before, after)) = found
        && folded(before) == folded(after)
    {
        return Err(wrong("a batch doesn't differ from itself"));
    }
    Ok(found)
}

/// A batch whose booking is taken back although its pieces were fired: they are out there.
fn was_fired(desk: &Desk, booking: &Booking) -> Result<Vec<Diagnostic>, Failure> {
    let (firings, _) = desk.workplace().kiln_book()?;
    let of_it = |entry: &Entry| match &entry.put {
        Put::Batch { number, booking: id } => match id {
            Some(id) => *id == booking.id,
            None => folded(number) == folded(booking.number.text()),
        },
        Put::Glaze(_) | Put::Tile(_) | Put::Ware(_) => false,
    };
    let holding = firings.standing().filter(|firing| firing.load.iter().any(of_it));
    let named: Vec<String> = holding
        .map(|firing| firing.firing.clone().unwrap_or_else(|| firing.id.clone()))
        .collect();
    if named.is_empty() {
        return Ok(Vec::new());
    }
    let number = booking.number.text();
    let loaded = named.join(", ");
    let message = format!(
        "pieces of batch {} were loaded, in {}: they stay in the kiln's book",
        number, loaded
    );
    let help = format!(
        "taking a booking back takes no piece back: `glost recall {}` shows them; was only the booking wrong, book it anew",
        number
    );
    Ok(vec![Diagnostic::caution("batch-was-fired", message).help(help)])
}
