//! The book of batches, `batches.jsonl` in the studio's folder: booking a batch,
//! taking a booking back, and finishing what a kill broke off.
//!
//! The order that makes a kill harmless at any moment: the new texts of the
//! materials files are written beside them; the booking's line, which holds the
//! stock moves, is appended and synced; the new texts take the old ones' places;
//! a line says that it is done. Before the first line nothing has happened; after
//! it, whoever opens the book next does the rest.

use glost_chemistry::diagnostic::{Diagnostic, Severity, Source, of_typed};
use glost_chemistry::quantity::Date;
use glost_core::workshop::batches::{
    Batch, BatchNumber, Booking, Journal as Batches, NotOne, StockMove, Unfinished, Void, finished_line, read_journal,
    void_finished_line, void_line,
};

use crate::folder::StudioFolder;
use crate::journal::{Held, Journal, Kept, Unreadable};
use crate::line_file::LineFile;
use crate::stock_files::{StockFile, moves, moves_back, overtaken, prepare, tidy};
use crate::text_file::{about_file, cannot_read, not_plain, plain};

pub use crate::stock_files::Take;

/// Numbers that a complaint names before it points at the list.
const MOST_NAMED: usize = 12;

/// Where a studio writes its batches down.
#[derive(Debug, Clone)]
pub struct BatchBook {
    folder: StudioFolder,
}

impl Kept for Batches {
    const FILE: &'static str = "batches.jsonl";
    /// A lifetime of batches stays far below.
    const MOST_BYTES: u64 = 200_000_000;

    fn parse(source: &Source) -> (Batches, Vec<Diagnostic>) {
        let mut batches = read_journal(&source.name, &source.text);
        let complaints = std::mem::take(&mut batches.complaints);
        (batches, complaints)
    }

    fn unreadable(journal: &Journal<Batches>, why: &Unreadable) -> Diagnostic {
        let shown = journal.shown();
        match why {
            Unreadable::Disk(error) => cannot_read(&*journal.folder.disk, &journal.path(), &shown, error),
            Unreadable::NoPlainFile(about) => not_plain(about, &shown),
            Unreadable::TooLarge(_) => {
                let message = of_typed(&shown, "is larger than a lifetime of batches");
                about_file("file-too-large", message, &shown).help("is it the file you mean?")
            }
        }
    }
}

/// The book as read.
#[derive(Debug)]
pub struct BookRead {
    /// What it holds.
    pub journal: Batches,
    /// What the user should be told: lines left out, bookings that were finished
    /// now, or can't be.
    pub cautions: Vec<Diagnostic>,
    /// Whether stocks changed on opening, because a booking was finished.
    pub stocks_changed: bool,
}

/// A batch that was booked.
#[derive(Debug)]
pub struct Booked {
    /// As it was written down.
    pub booking: Booking,
    /// As in [`BookRead`].
    pub cautions: Vec<Diagnostic>,
}

/// A booking that was taken back.
#[derive(Debug)]
pub struct Voided {
    /// The booking.
    pub booking: Box<Booking>,
    /// How it was taken back.
    pub void: Void,
    /// As in [`BookRead`].
    pub cautions: Vec<Diagnostic>,
}

impl BatchBook {
    pub(crate) fn of(folder: &StudioFolder) -> BatchBook {
        BatchBook { folder: folder.clone() }
    }

    fn journal(&self) -> Journal<Batches> {
        Journal::of(&self.folder)
    }

    /// Reads the book and finishes what was broken off. Where that can't be done
    /// now (a disk that can only be read), a caution says so.
    ///
    /// # Errors
    /// The book can't be read.
    pub fn read(&self) -> Result<BookRead, Diagnostic> {
        let (batches, complaints) = self.journal().read()?;
        let mut read = BookRead::of(batches, complaints);
        if read.journal.unfinished.is_empty() {
            return Ok(read);
        }
        match self.opened() {
            Ok((_, read)) => Ok(read),
            Err(error) => {
                read.cautions.push(Diagnostic {
                    severity: Severity::Caution,
                    ..error
                });
                Ok(read)
            }
        }
    }

    /// Books a batch: number and stock moves are filled in here. `takes`: what
    /// comes off the studio's own stocks, where they are stated.
    ///
    /// # Errors
    /// The number is in use; without a number: the same powder of the same glaze
    /// was booked for that day; a stock can't be changed in place; the book is
    /// locked; it can't be written. Nothing is booked then, but for one case that
    /// says so: the line is written and a materials file can't be replaced.
    pub fn book(&self, draft: Booking, number: Option<&BatchNumber>, takes: &[Take]) -> Result<Booked, Diagnostic> {
        if !self.journal().is_begun() {
            // All that can be refused is refused before the file is made.
            self.can_book(&draft, number, takes)?;
        }
        let (mut lines, read) = self.opened()?;
        let number = numbered(&read.journal, &draft, number)?;
        let files = StockFile::all(&self.folder)?;
        let booking = told_apart(
            &read.journal,
            Booking {
                stock: moves(&files, takes)?,
                number,
                ..draft
            },
        );
        let prepared = prepare(&files, &booking.stock)?;
        lines.append(&booking.line())?;
        let placed = prepared.into_iter().try_for_each(|file| file.put_in_place());
        placed
            .and_then(|()| lines.append(&finished_line(&booking.number, &booking.id)))
            .map_err(|error| half_done(&booking.number, "is written down", &error))?;
        Ok(Booked {
            booking,
            cautions: read.cautions,
        })
    }

    /// Whether a batch could be booked now; nothing is changed.
    ///
    /// # Errors
    /// As [`BatchBook::book`], as far as it can be told beforehand.
    pub fn can_book(&self, draft: &Booking, number: Option<&BatchNumber>, takes: &[Take]) -> Result<(), Diagnostic> {
        numbered(&self.journal().read()?.0, draft, number)?;
        let files = StockFile::all(&self.folder)?;
        prepare(&files, &moves(&files, takes)?)?;
        Ok(())
    }

    /// Takes a booking back and puts its stock back on the shelf, where one is
    /// still stated.
    ///
    /// # Errors
    /// No batch of this number, or one taken back already; else as [`BatchBook::book`].
    pub fn void(&self, number: &str, on: Date, text: Option<&str>) -> Result<Voided, Diagnostic> {
        if !self.journal().is_begun() {
            return Err(self.unknown(&Batches::default(), number));
        }
        let (mut lines, read) = self.opened()?;
        let batch = self.only(&read.journal, number)?;
        let booking = batch.booking.clone();
        if let Some(void) = &batch.void {
            let message = format!("batch {} was taken back already, on {}", booking.number.text(), void.on);
            return Err(Diagnostic::error("batch-void", message).help("`glost batches` lists what stands"));
        }
        let files = StockFile::all(&self.folder)?;
        let void = Void {
            number: booking.number.clone(),
            on,
            text: text.map(str::to_owned),
            stock: moves_back(&files, &booking.stock)?,
            of: Some(booking.id.clone()),
            id: String::new(),
        }
        .named();
        let prepared = prepare(&files, &void.stock)?;
        lines.append(&void_line(&void))?;
        let placed = prepared.into_iter().try_for_each(|file| file.put_in_place());
        placed
            .and_then(|()| lines.append(&void_finished_line(&void.number, &booking.id)))
            .map_err(|error| half_done(&void.number, "is taken back", &error))?;
        Ok(Voided {
            booking,
            void,
            cautions: read.cautions,
        })
    }

    /// The batch that a number or an id names.
    ///
    /// # Errors
    /// None, or several in force that share the number.
    pub fn only<'a>(&self, journal: &'a Batches, number: &str) -> Result<&'a Batch, Diagnostic> {
        journal.only(number).map_err(|why| match why {
            NotOne::Unknown => self.unknown(journal, number),
            NotOne::Several(batches) => shared(number, &batches),
        })
    }

    /// The complaint that no batch has this number.
    pub fn unknown(&self, journal: &Batches, number: &str) -> Diagnostic {
        let numbers: Vec<&str> = journal
            .batches
            .iter()
            .map(|batch| batch.booking.number.text())
            .collect();
        let error = Diagnostic::error("unknown-batch", format!("no batch {number} is booked here"));
        match numbers.len() {
            0 => error.help("`glost weigh GLAZE --dry \"5 kg\" --commit` books the first"),
            1..=MOST_NAMED => error.help(format!("booked here: {}", numbers.join(", "))),
            _ => error.help("`glost batches` lists them"),
        }
    }

    /// The book held against others, with everything in it finished.
    fn opened(&self) -> Result<(LineFile, BookRead), Diagnostic> {
        let journal = self.journal();
        if let Ok(about) = self.folder.disk.about(&journal.path()) {
            plain(&about, &journal.shown())?;
        }
        let Held {
            mut lines,
            kept,
            complaints,
        } = journal.held()?;
        let mut read = BookRead::of(kept, complaints);
        tidy(&self.folder);
        for begun in std::mem::take(&mut read.journal.unfinished) {
            let finished = self.finish(&mut lines, &begun);
            read.cautions
                .push(finished.map_err(|error| not_finished(&begun, error))?);
            read.stocks_changed |= !begun.stock.is_empty();
        }
        Ok((lines, read))
    }

    /// Makes the moves of a broken-off booking that aren't made yet.
    fn finish(&self, lines: &mut LineFile, begun: &Unfinished) -> Result<Diagnostic, Diagnostic> {
        let files = StockFile::all(&self.folder)?;
        let left = overtaken(&files, &begun.stock);
        for file in prepare(&files, &begun.stock)? {
            file.put_in_place()?;
        }
        let (line, what) = if begun.void {
            (void_finished_line(&begun.number, &begun.id), "was being taken back")
        } else {
            (finished_line(&begun.number, &begun.id), "was being booked")
        };
        lines.append(&line)?;
        let number = begun.number.text();
        let message = format!("batch {number} {what} when something broke off; it is finished now");
        let caution = Diagnostic::caution("batch-finished", message);
        Ok(match left.as_slice() {
            [] => caution,
            left => {
                let told: Vec<String> = left.iter().map(|one| told(one)).collect();
                caution.help(format!(
                    "these stocks were changed by hand meanwhile and are left alone: {}",
                    told.join("; ")
                ))
            }
        })
    }
}

impl BookRead {
    fn of(journal: Batches, cautions: Vec<Diagnostic>) -> BookRead {
        BookRead {
            journal,
            cautions,
            stocks_changed: false,
        }
    }
}

/// Two clones of a studio may give one number.
fn shared(number: &str, batches: &[&Batch]) -> Diagnostic {
    let each: Vec<String> = batches
        .iter()
        .map(|batch| format!("{} ({}, {})", batch.booking.id, batch.booking.glaze, batch.booking.on))
        .collect();
    let message = format!("{} batches are called {number}", batches.len());
    Diagnostic::error("shared-number", message).help(format!("name one by its id: {}", each.join(", ")))
}

/// With its id, and told apart from bookings alike that were taken back.
fn told_apart(journal: &Batches, draft: Booking) -> Booking {
    let mut booking = draft.named();
    let mut copy = 1;
    while journal.batches.iter().any(|batch| batch.booking.id == booking.id) {
        copy += 1;
        booking = Booking {
            copy: Some(copy),
            ..booking
        }
        .named();
    }
    booking
}

fn told(one: &StockMove) -> String {
    format!("{} ({} to {})", one.whose(), one.before, one.after)
}

fn not_finished(begun: &Unfinished, error: Diagnostic) -> Diagnostic {
    let number = begun.number.text();
    let message = format!("batch {number} was broken off and can't be finished: {}", error.message);
    Diagnostic { message, ..error }
}

fn half_done(number: &BatchNumber, what: &str, error: &Diagnostic) -> Diagnostic {
    let message = format!(
        "batch {} {what}, but its stock isn't settled: {}",
        number.text(),
        error.message
    );
    Diagnostic {
        message,
        ..error.clone()
    }
    .help("mend that; the next `glost batches` finishes it and takes nothing off twice")
}

/// The number of a new batch.
fn numbered(journal: &Batches, draft: &Booking, named: Option<&BatchNumber>) -> Result<BatchNumber, Diagnostic> {
    let next = journal.next_number();
    match named {
        Some(number) => match journal.find(number.text()).filter(|batch| batch.stands()) {
            None => Ok(number.clone()),
            Some(batch) => {
                let booking = &batch.booking;
                let message = format!(
                    "batch {} is booked already: {}, {}",
                    booking.number.text(),
                    booking.glaze,
                    booking.on
                );
                Err(Diagnostic::error("batch-booked", message).help(format!(
                    "book this one as --batch {}; was {number} a slip? `glost batches --void {number}` takes it back",
                    next.text(),
                    number = booking.number.text()
                )))
            }
        },
        None => match journal.same_ticket(draft) {
            None => Ok(next),
            Some(batch) => {
                let number = batch.booking.number.text();
                let message = format!(
                    "this ticket is booked already, as batch {number}: the same weights of {} on {}",
                    draft.glaze, draft.on
                );
                Err(Diagnostic::error("ticket-booked", message).help(format!(
                    "mixed it twice that day? Book the second with --batch {}",
                    next.text()
                )))
            }
        },
    }
}
