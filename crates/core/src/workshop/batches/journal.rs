//! Reading `batches.jsonl`.

use serde::Deserialize;
use serde_json::{Value, json};

use glost_chemistry::diagnostic::{Diagnostic, Mark, Place};
use glost_chemistry::read::folded;

use super::booking::{BatchNumber, Booking, StockMove, Void};

/// Characters of a line that can't be read which a complaint shows.
const SHOWN: usize = 60;

/// A batch with what became of its booking.
#[derive(Debug, Clone, PartialEq)]
pub struct Batch {
    /// What was written down.
    pub booking: Booking,
    /// Where the booking was taken back.
    pub void: Option<Void>,
    /// The booking's line in the journal, from 1.
    pub line: usize,
    booked: bool,
    voided: bool,
}

impl Batch {
    /// Whether it is in force.
    pub fn stands(&self) -> bool {
        self.void.is_none()
    }
}

/// A booking, or its taking back, whose last line is missing.
#[derive(Debug, Clone, PartialEq)]
pub struct Unfinished {
    /// The batch's number.
    pub number: BatchNumber,
    /// Whether it was being taken back.
    pub void: bool,
    /// The stock moves, made or not.
    pub stock: Vec<StockMove>,
}

/// The journal as read.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Journal {
    /// All batches in order of their lines, taken back or not.
    pub batches: Vec<Batch>,
    /// What was begun and not finished, in order.
    pub unfinished: Vec<Unfinished>,
    /// Lines that can't be read.
    pub complaints: Vec<Diagnostic>,
}

impl Journal {
    /// The batch of this number: the one in force, else the last taken back.
    pub fn find(&self, number: &str) -> Option<&Batch> {
        let wanted = folded(number);
        let fitting = || {
            self.batches
                .iter()
                .rev()
                .filter(|batch| folded(batch.booking.number.text()) == wanted)
        };
        fitting().find(|batch| batch.stands()).or_else(|| fitting().next())
    }

    /// One more than the highest number so far; numbers taken back stay used,
    /// because a bucket may carry them.
    pub fn next_number(&self) -> BatchNumber {
        let counts = self.batches.iter().filter_map(|batch| batch.booking.number.count());
        BatchNumber::counted(counts.max().unwrap_or(0) + 1)
    }

    /// A batch in force of the same glaze, powder and day.
    pub fn same_ticket(&self, booking: &Booking) -> Option<&Batch> {
        self.batches
            .iter()
            .rev()
            .find(|batch| batch.stands() && batch.booking.same_ticket(booking))
    }

    fn last(&mut self, number: &BatchNumber, fits: impl Fn(&Batch) -> bool) -> Option<&mut Batch> {
        self.batches
            .iter_mut()
            .rev()
            .find(|batch| batch.booking.number == *number && fits(batch))
    }

    fn take(&mut self, record: Record, line: usize) -> Result<(), &'static str> {
        match record {
            Record::Booking(booking) => self.batches.push(Batch {
                booking: *booking,
                void: None,
                line,
                booked: false,
                voided: false,
            }),
            Record::Booked(number) => {
                let batch = self.last(&number, |batch| !batch.booked);
                batch.ok_or("it finishes a booking that isn't there")?.booked = true;
            }
            Record::Void(void) => {
                let batch = self.last(&void.number, Batch::stands);
                batch.ok_or("it takes back a batch that isn't there")?.void = Some(*void);
            }
            Record::Voided(number) => {
                let batch = self.last(&number, |batch| batch.void.is_some() && !batch.voided);
                batch.ok_or("it finishes what wasn't begun")?.voided = true;
            }
        }
        Ok(())
    }

    fn gather_unfinished(&mut self) {
        for batch in &self.batches {
            let booking = &batch.booking;
            if !batch.booked {
                self.unfinished.push(Unfinished {
                    number: booking.number.clone(),
                    void: false,
                    stock: booking.stock.clone(),
                });
            }
            if let Some(void) = batch.void.as_ref().filter(|_| !batch.voided) {
                self.unfinished.push(Unfinished {
                    number: void.number.clone(),
                    void: true,
                    stock: void.stock.clone(),
                });
            }
        }
    }
}

/// The line that finishes a booking.
pub fn finished_line(number: &BatchNumber) -> String {
    json!({ "booked": number }).to_string()
}

/// The line that begins to take a booking back.
pub fn void_line(void: &Void) -> String {
    serde_json::to_string(void).unwrap_or_default()
}

/// The line that ends it.
pub fn void_finished_line(number: &BatchNumber) -> String {
    json!({ "voided": number }).to_string()
}

enum Record {
    Booking(Box<Booking>),
    Booked(BatchNumber),
    Void(Box<Void>),
    Voided(BatchNumber),
}

fn record(line: &str) -> Result<Record, &'static str> {
    let value: Value = serde_json::from_str(line).map_err(|_| "it is cut off, or no JSON")?;
    let has = |key: &str| value.get(key).is_some();
    let (booking, void) = (has("batch"), has("void"));
    let number = |key: &str| {
        value
            .get(key)
            .and_then(|number| BatchNumber::deserialize(number).ok())
            .ok_or("its number is no text")
    };
    if booking {
        let read = Booking::deserialize(&value).map_err(|_| "a part of the booking is missing")?;
        match read.weighs_something() {
            true => Ok(Record::Booking(Box::new(read))),
            false => Err("its weights are no weights"),
        }
    } else if void {
        let read = Void::deserialize(&value).map_err(|_| "a part of it is missing")?;
        Ok(Record::Void(Box::new(read)))
    } else if has("booked") {
        number("booked").map(Record::Booked)
    } else if has("voided") {
        number("voided").map(Record::Voided)
    } else {
        Err("it says nothing about a batch")
    }
}

/// Reads the journal: what is whole, and a complaint for each line that isn't.
/// `shown`: the file's name in complaints.
pub fn read_journal(shown: &str, text: &str) -> Journal {
    let mut journal = Journal::default();
    let text = text.strip_prefix('\u{FEFF}').unwrap_or(text);
    for (index, line) in text.split('\n').enumerate() {
        let line = line.trim();
        if line.is_empty() {
            continue;
        }
        let taken = record(line).and_then(|record| journal.take(record, index + 1));
        if let Err(why) = taken {
            journal.complaints.push(left_out(shown, index + 1, line, why));
        }
    }
    journal.gather_unfinished();
    journal
}

fn left_out(shown: &str, line: usize, text: &str, why: &str) -> Diagnostic {
    let mut complaint = Diagnostic::caution("batch-line", format!("line {line} of `{shown}` is left out: {why}"))
        .help("a crash while writing leaves such a line; all others count. Was that batch mixed? Then book it again. Taking the line out ends this notice");
    let start: String = text.chars().filter(|sign| !sign.is_control()).take(SHOWN).collect();
    let more = if text.chars().count() > SHOWN { "..." } else { "" };
    complaint.place = Some(Box::new(Place {
        file: shown.into(),
        mark: Mark { line, column: 1 },
        width: 1,
        source_line: format!("{start}{more}"),
    }));
    complaint
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use glost_chemistry::quantity::Date;

    pub(crate) fn booking(number: &str) -> Booking {
        let number = BatchNumber::parse(number);
        Booking {
            number: number.unwrap_or_else(|_| BatchNumber::counted(1)),
            on: Date::new(2026, 11, 24).unwrap_or_else(|| panic!("a day")),
            by: None,
            glaze: "Lamplight clear".to_owned(),
            version: None,
            firing: None,
            clay: None,
            base_grams: 1000.0,
            dry_grams: 1000.0,
            water_millilitres: 900.0,
            volume_millilitres: 1284.0,
            density: 1.48,
            step_grams: 0.1,
            lines: Vec::new(),
            stock: Vec::new(),
        }
    }

    fn void(number: &str) -> Void {
        Void {
            number: booking(number).number,
            on: booking(number).on,
            text: Some("a slip".to_owned()),
            stock: Vec::new(),
        }
    }

    #[test]
    fn a_line_reads_back_as_it_was_written() {
        let first = booking("14");
        let lines = [first.line(), finished_line(&first.number)].join("\n");
        let journal = read_journal("batches.jsonl", &lines);
        assert_eq!(journal.batches[0].booking, first);
        assert!(journal.unfinished.is_empty() && journal.complaints.is_empty());
        assert_eq!(journal.next_number().text(), "15");
    }

    #[test]
    fn what_was_begun_is_known_until_it_is_finished() {
        let first = booking("14");
        let mut text = first.line() + "\n";
        let begun = |text: &str| {
            let unfinished = read_journal("b", text).unfinished;
            unfinished.iter().map(|one| one.void).collect::<Vec<_>>()
        };
        assert_eq!(begun(&text), [false]);
        text.push_str(&finished_line(&first.number));
        assert_eq!(begun(&text), [true; 0]);
        text.push_str(&format!("\n{}", void_line(&void("14"))));
        assert_eq!(begun(&text), [true]);
        text.push_str(&format!("\n{}\n", void_finished_line(&first.number)));
        assert_eq!(begun(&text), [true; 0]);
        assert!(!read_journal("b", &text).batches[0].stands());
    }

    #[test]
    fn a_torn_line_is_told_and_the_others_count() {
        let whole = booking("14").line();
        for cut in (1..whole.len()).step_by(7) {
            let text = format!(
                "{}\n{}\n{}\n",
                booking("13").line(),
                &whole[..cut],
                booking("15").line()
            );
            let journal = read_journal("batches.jsonl", &text);
            let numbers: Vec<&str> = journal
                .batches
                .iter()
                .map(|batch| batch.booking.number.text())
                .collect();
            assert_eq!(numbers, ["13", "15"], "{cut}");
            assert_eq!(journal.complaints.len(), 1);
            assert_eq!(
                journal.complaints[0].place.as_ref().map(|place| place.mark.line),
                Some(2)
            );
        }
    }

    #[test]
    fn a_number_may_be_booked_anew_once_it_is_taken_back() {
        let lines = [
            booking("14").line(),
            finished_line(&booking("14").number),
            void_line(&void("14")),
            void_finished_line(&booking("14").number),
            booking("14").line(),
            finished_line(&booking("14").number),
        ];
        let journal = read_journal("b", &lines.join("\n"));
        assert!(journal.complaints.is_empty() && journal.unfinished.is_empty());
        assert_eq!(
            journal.find("14").map(|batch| (batch.line, batch.stands())),
            Some((5, true))
        );
    }

    #[test]
    fn lines_of_something_else_are_left_out() {
        let nothing = booking("9").line().replace("\"base_grams\":1000.0", "\"base_grams\":0");
        for line in [
            "[]",
            "{}",
            "3",
            "null",
            "{\"booked\":\"9\"}",
            "{\"void\":\"9\",\"on\":\"2026-01-01\"}",
            &nothing,
            "{\"batch\":\"9\"}",
            "\0\0\0",
            "{\"voided\":\"9\"}",
            "{\"batch\":null}",
        ] {
            let journal = read_journal("b", line);
            assert!(journal.batches.is_empty() && journal.complaints.len() == 1, "{line}");
        }
    }
}
