//! Reading `batches.jsonl`.

use std::collections::HashMap;

use serde::Deserialize;
use serde_json::{Value, json};

use glost_chemistry::diagnostic::{Diagnostic, Mark, Place};
use glost_chemistry::read::{each_in_parts, folded};

use crate::renames::{Rename, Renames};

use super::booking::{BatchNumber, Booking, StockMove, Void};

/// Characters of a line that can't be read which a complaint shows.
const SHOWN: usize = 60;
/// So many lines at least are worth a core of their own.
const LINES_FOR_A_CORE: usize = 1000;

/// A batch with what became of its booking.
#[derive(Debug, Clone, PartialEq)]
pub struct Batch {
    /// What was written down.
    pub booking: Box<Booking>,
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
    /// Its booking's id.
    pub id: String,
    /// Whether it was being taken back.
    pub void: bool,
    /// The stock moves, made or not.
    pub stock: Vec<StockMove>,
}

/// Why a text names no one batch.
#[derive(Debug, Clone, PartialEq)]
pub enum NotOne<'a> {
    /// No batch has this number or id.
    Unknown,
    /// Two clones of the studio gave this number; each has its own id.
    Several(Vec<&'a Batch>),
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
    /// Where the first batch of each id stands.
    by_id: HashMap<String, usize>,
}

impl Journal {
    /// The batch of this id, or of this number: the one in force, else the last taken back.
    pub fn find(&self, number: &str) -> Option<&Batch> {
        let wanted = folded(number);
        let fitting = || {
            self.batches
                .iter()
                .rev()
                .filter(|batch| folded(batch.booking.number.text()) == wanted)
        };
        let by_number = fitting().find(|batch| batch.stands()).or_else(|| fitting().next());
        by_number.or_else(|| self.with_id(&wanted))
    }

    fn with_id(&self, id: &str) -> Option<&Batch> {
        let fitting = || self.batches.iter().rev().filter(|batch| batch.booking.id == id);
        fitting().find(|batch| batch.stands()).or_else(|| fitting().next())
    }

    /// As [`Journal::find`], where one batch alone is meant.
    ///
    /// # Errors
    /// None, or several in force that share the number.
    pub fn only(&self, number: &str) -> Result<&Batch, NotOne<'_>> {
        let wanted = folded(number);
        let standing = self.batches.iter().filter(|batch| batch.stands());
        let named: Vec<&Batch> = standing
            .filter(|batch| folded(batch.booking.number.text()) == wanted)
            .collect();
        match named.as_slice() {
            [_, _, ..] => Err(NotOne::Several(named)),
            _ => self.find(number).ok_or(NotOne::Unknown),
        }
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

    /// The booking that a later line is about: by its id, which no order of lines changes;
    /// else, in lines of before there were ids, the last above it of this number that fits.
    fn meant(
        &mut self,
        about: &About,
        line: usize,
        fits: impl Fn(&Batch) -> bool,
    ) -> Result<Option<&mut Batch>, &'static str> {
        match &about.id {
            Some(id) => {
                let known = self.by_id.get(id).and_then(|at| self.batches.get_mut(*at));
                let found = known.ok_or("the booking that it is about isn't there")?;
                // Two clones may both have finished it.
                Ok(Some(found).filter(|batch| fits(batch)))
            }
            None => {
                let mut before = self.batches.iter_mut().rev();
                let found =
                    before.find(|batch| batch.line < line && batch.booking.number == about.number && fits(batch));
                found.map(Some).ok_or("it finishes or takes back what isn't there")
            }
        }
    }

    fn begin(&mut self, booking: Box<Booking>, line: usize) {
        let written = !booking.id.is_empty();
        let booking = if written { booking } else { Box::new(booking.named()) };
        if written && self.by_id.contains_key(&booking.id) {
            return;
        }
        self.by_id.entry(booking.id.clone()).or_insert(self.batches.len());
        self.batches.push(Batch {
            booking,
            void: None,
            line,
            booked: false,
            voided: false,
        });
    }

    fn take(&mut self, record: Record, line: usize) -> Result<(), &'static str> {
        match record {
            Record::Booking(booking) => self.begin(booking, line),
            Record::Booked(about) => {
                if let Some(batch) = self.meant(&about, line, |batch| !batch.booked)? {
                    batch.booked = true;
                }
            }
            Record::Void(void) => {
                let about = About {
                    number: void.number.clone(),
                    id: void.of.clone(),
                };
                if let Some(batch) = self.meant(&about, line, Batch::stands)? {
                    batch.void = Some(*void);
                }
            }
            Record::Voided(about) => {
                let open = |batch: &Batch| batch.void.is_some() && !batch.voided;
                if let Some(batch) = self.meant(&about, line, open)? {
                    batch.voided = true;
                }
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
                    id: booking.id.clone(),
                    void: false,
                    stock: booking.stock.clone(),
                });
            }
            if let Some(void) = batch.void.as_ref().filter(|_| !batch.voided) {
                self.unfinished.push(Unfinished {
                    number: void.number.clone(),
                    id: booking.id.clone(),
                    void: true,
                    stock: void.stock.clone(),
                });
            }
        }
    }
}

/// The line that finishes the booking of this number and id.
pub fn finished_line(number: &BatchNumber, id: &str) -> String {
    json!({ "booked": number, "of": id }).to_string()
}

/// The line that begins to take a booking back.
pub fn void_line(void: &Void) -> String {
    serde_json::to_string(void).unwrap_or_default()
}

/// The line that ends it.
pub fn void_finished_line(number: &BatchNumber, id: &str) -> String {
    json!({ "voided": number, "of": id }).to_string()
}

/// Which booking a later line is about.
struct About {
    number: BatchNumber,
    id: Option<String>,
}

/// What a line of the journal says.
enum Line {
    Rename(Box<Rename>),
    Record(Result<Record, &'static str>),
}

enum Record {
    Booking(Box<Booking>),
    Booked(About),
    Void(Box<Void>),
    Voided(About),
}

impl Record {
    /// What must be known before it.
    fn stage(&self) -> u8 {
        match self {
            Record::Booking(_) => 0,
            Record::Booked(_) => 1,
            Record::Void(_) => 2,
            Record::Voided(_) => 3,
        }
    }
}

/// The line that finishes a booking, and nothing more.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Finished {
    #[serde(rename = "booked")]
    number: BatchNumber,
    #[serde(rename = "of", default)]
    id: Option<String>,
}

/// A line that is as plain as most: read at once. `None`: it has to be looked at key by key.
fn plain_record(line: &str) -> Option<Record> {
    if line.starts_with("{\"booked\"") {
        let Finished { number, id } = serde_json::from_str(line).ok()?;
        return Some(Record::Booked(About { number, id }));
    }
    let mut booking: Booking = serde_json::from_str(line).ok()?;
    // Years of batches are held at once.
    booking.lines.shrink_to_fit();
    booking.weighs_something().then(|| Record::Booking(Box::new(booking)))
}

fn record(line: &str) -> Result<Record, &'static str> {
    if let Some(record) = plain_record(line) {
        return Ok(record);
    }
    let value: Value = serde_json::from_str(line).map_err(|_| "it is cut off, or no JSON")?;
    let has = |key: &str| value.get(key).is_some();
    let (booking, void) = (has("batch"), has("void"));
    let about = |key: &str| {
        let number = value.get(key).and_then(|number| BatchNumber::deserialize(number).ok());
        let number = number.ok_or("its number is no text")?;
        let id = value.get("of").and_then(Value::as_str).map(str::to_owned);
        Ok(About { number, id })
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
        about("booked").map(Record::Booked)
    } else if has("voided") {
        about("voided").map(Record::Voided)
    } else {
        Err("it says nothing about a batch")
    }
}

/// Reads the journal: what is whole, and a complaint for each line that isn't.
/// `shown`: the file's name in complaints.
pub fn read_journal(shown: &str, text: &str) -> Journal {
    let mut journal = Journal::default();
    let mut later = Vec::new();
    let mut renames = Renames::default();
    let text = text.strip_prefix('\u{FEFF}').unwrap_or(text);
    let any_renamed = Renames::may_stand_in(text);
    let numbered = text
        .split('\n')
        .enumerate()
        .map(|(index, line)| (index + 1, line.trim()));
    let lines: Vec<(usize, &str)> = numbered.filter(|(_, line)| !line.is_empty()).collect();
    // A line by itself says what it says; what it means hangs on the others.
    let read = |(_, line): &(usize, &str)| {
        let rename = any_renamed.then(|| Rename::of_line(line)).flatten();
        rename.map_or_else(|| Line::Record(record(line)), |rename| Line::Rename(Box::new(rename)))
    };
    let said = each_in_parts(&lines, LINES_FOR_A_CORE, read);
    for ((number, line), said) in lines.iter().copied().zip(said) {
        match said {
            Line::Rename(rename) => renames.push(*rename),
            Line::Record(Ok(Record::Booking(booking))) => journal.begin(booking, number),
            Line::Record(Ok(record)) => later.push((number, line, record)),
            Line::Record(Err(why)) => journal.complaints.push(left_out(shown, number, line, why)),
        }
    }
    // A merge may have put what finishes a booking above it.
    later.sort_by_key(|(.., record)| record.stage());
    for (number, line, record) in later {
        if let Err(why) = journal.take(record, number) {
            journal.complaints.push(left_out(shown, number, line, why));
        }
    }
    let line_of = |complaint: &Diagnostic| complaint.place.as_ref().map(|place| place.mark.line);
    journal.complaints.sort_by_key(line_of);
    if !renames.is_empty() {
        journal
            .batches
            .iter_mut()
            .for_each(|batch| batch.booking.call_anew(&renames));
    }
    journal.gather_unfinished();
    journal
}

fn left_out(shown: &str, line: usize, text: &str, why: &str) -> Diagnostic {
    let mut complaint = Diagnostic::caution("batch-line", format!("line {line} of `{shown}` is left out: {why}"))
        .help("a crash while writing leaves such a line; all others count. Was that batch mixed? Then book it again. Taking the line out ends this notice");
    let mut start: String = text.chars().filter(|sign| !sign.is_control()).take(SHOWN).collect();
    start.push_str(if text.chars().count() > SHOWN { "..." } else { "" });
    complaint.place = Some(Box::new(Place {
        file: shown.into(),
        mark: Mark { line, column: 1 },
        width: 1,
        source_line: start,
    }));
    complaint
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use crate::renames::Renamed;
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
            cone: None,
            fired_in: None,
            mark: None,
            into: None,
            copy: None,
            id: String::new(),
        }
        .named()
    }

    fn void(number: &str) -> Void {
        Void {
            number: booking(number).number,
            on: booking(number).on,
            text: Some("a slip".to_owned()),
            stock: Vec::new(),
            of: Some(booking(number).id),
            id: String::new(),
        }
        .named()
    }

    #[test]
    fn a_line_reads_back_as_it_was_written() {
        let first = booking("14");
        let lines = [first.line(), finished_line(&first.number, &first.id)].join("\n");
        let journal = read_journal("batches.jsonl", &lines);
        assert_eq!(*journal.batches[0].booking, first);
        assert!(journal.unfinished.is_empty() && journal.complaints.is_empty());
        assert_eq!(journal.next_number().text(), "15");
    }

    #[test]
    fn a_batch_is_known_by_the_new_name_of_its_glaze() {
        let first = booking("14");
        let rename = Rename {
            on: Date::new(2026, 11, 25).unwrap(),
            turn: 1,
            of: Renamed::Glaze,
            from: first.glaze.clone(),
            to: "Lamplight bright".to_owned(),
        };
        let journal = read_journal("batches.jsonl", &[first.line(), rename.to_line()].join("\n"));
        assert_eq!(journal.batches[0].booking.glaze, "Lamplight bright");
        assert_eq!(journal.batches[0].booking.id, first.id);
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
        text.push_str(&finished_line(&first.number, &first.id));
        assert_eq!(begun(&text), [true; 0]);
        text.push_str(&format!("\n{}", void_line(&void("14"))));
        assert_eq!(begun(&text), [true]);
        text.push_str(&format!("\n{}\n", void_finished_line(&first.number, &first.id)));
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
        let anew = Booking {
            copy: Some(2),
            ..booking("14")
        }
        .named();
        let lines = [
            booking("14").line(),
            finished_line(&booking("14").number, &booking("14").id),
            void_line(&void("14")),
            void_finished_line(&booking("14").number, &booking("14").id),
            anew.line(),
            finished_line(&anew.number, &anew.id),
        ];
        let journal = read_journal("b", &lines.join("\n"));
        assert!(journal.complaints.is_empty() && journal.unfinished.is_empty());
        assert_eq!(
            journal.find("14").map(|batch| (batch.line, batch.stands())),
            Some((5, true))
        );
    }

    #[test]
    fn lines_of_before_there_were_ids_keep_their_meaning() {
        let old = |line: String| {
            let Ok(Value::Object(mut keys)) = serde_json::from_str(&line) else {
                panic!("no object: {line}")
            };
            keys.retain(|key, _| key != "id" && key != "of");
            Value::Object(keys).to_string()
        };
        let first = booking("14");
        let lines = [
            first.line(),
            finished_line(&first.number, &first.id),
            void_line(&void("14")),
            void_finished_line(&first.number, &first.id),
            first.line(),
            finished_line(&first.number, &first.id),
        ];
        let journal = read_journal("b", &lines.map(old).join("\n"));
        assert!(
            journal.complaints.is_empty() && journal.unfinished.is_empty(),
            "{journal:?}"
        );
        assert_eq!(journal.batches.len(), 2);
        assert!(
            journal
                .find("14")
                .is_some_and(|batch| batch.stands() && batch.line == 5)
        );
        assert_eq!(journal.batches[0].booking.id, first.id, "its id is what its keys give");
    }

    #[test]
    fn two_clones_give_one_number_and_any_order_of_lines_says_the_same() {
        let ours = booking("15");
        let theirs = Booking {
            glaze: "Millpond copper green".to_owned(),
            ..booking("15")
        }
        .named();
        let their_void = Void {
            of: Some(theirs.id.clone()),
            ..void("15")
        }
        .named();
        let mut lines = vec![
            ours.line(),
            finished_line(&ours.number, &ours.id),
            theirs.line(),
            finished_line(&theirs.number, &theirs.id),
        ];
        let journal = read_journal("b", &lines.join("\n"));
        assert!(matches!(journal.only("15"), Err(NotOne::Several(two)) if two.len() == 2));
        let by_id = journal.only(&theirs.id).map(|batch| batch.booking.glaze.clone());
        assert_eq!(by_id, Ok(theirs.glaze.clone()));
        lines.extend([void_line(&their_void), void_finished_line(&theirs.number, &theirs.id)]);
        for turn in 0..lines.len() {
            lines.rotate_left(1);
            let journal = read_journal("b", &lines.join("\n"));
            assert!(journal.complaints.is_empty() && journal.unfinished.is_empty(), "{turn}");
            let only = journal.only("15").map(|batch| batch.booking.id.clone());
            assert_eq!(only, Ok(ours.id.clone()), "{turn}");
        }
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
