//! A whole notebook as read: its notes, what was taken back, what can't be read.

use std::collections::HashMap;

use glost_chemistry::diagnostic::{Diagnostic, Source};

use super::lines::{line_count, lines};
use super::note::{Entry, Note, Void, read_entry};

/// The notes of a notebook in the order of their lines.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Notes {
    notes: Vec<Note>,
    voids: Vec<Void>,
    unread: Vec<usize>,
    lines: usize,
}

impl Notes {
    /// Reads the text of `notes.jsonl`: every note that is whole, and every
    /// complaint, each with its line. Errors stand for lines that aren't read,
    /// cautions for lines that are. A line that a later one takes back is
    /// complained about no more.
    pub fn read(source: &Source) -> (Notes, Vec<Diagnostic>) {
        let mut notes = Notes {
            lines: line_count(&source.text),
            ..Notes::default()
        };
        let mut complaints: Vec<(usize, Diagnostic)> = Vec::new();
        for line in lines(source) {
            let mut doubts = Vec::new();
            match read_entry(line, &mut doubts) {
                Ok(Entry::Note(note)) => notes.notes.push(*note),
                Ok(Entry::Void(void)) => notes.voids.push(void),
                Err(error) => {
                    notes.unread.push(line.number);
                    doubts.push(error);
                }
            }
            complaints.extend(doubts.into_iter().map(|doubt| (line.number, doubt)));
        }
        let taken_back = notes.settle_voids();
        for note in &mut notes.notes {
            note.void = taken_back.get(&note.line).copied();
        }
        notes.unread.retain(|line| !taken_back.contains_key(line));
        complaints.retain(|(line, _)| !taken_back.contains_key(line));
        (notes, complaints.into_iter().map(|(_, complaint)| complaint).collect())
    }

    /// From the last line up, so that a void which is itself taken back is
    /// known not to count before it does anything.
    fn settle_voids(&mut self) -> HashMap<usize, usize> {
        let mut taken_back = HashMap::new();
        for void in self.voids.iter_mut().rev() {
            void.counts = !taken_back.contains_key(&void.line);
            if void.counts {
                taken_back.insert(void.of, void.line);
            }
        }
        taken_back
    }

    /// The notebook with a further note, which gets the next line.
    pub fn push(&mut self, note: Note) -> usize {
        self.lines += 1;
        self.notes.push(Note {
            line: self.lines,
            void: None,
            ..note
        });
        self.lines
    }

    /// The notebook with a further line that takes another back.
    pub fn push_void(&mut self, void: Void) -> usize {
        self.lines += 1;
        if let Some(note) = self.notes.iter_mut().find(|note| note.line == void.of) {
            note.void = Some(self.lines);
        }
        self.unread.retain(|line| *line != void.of);
        self.voids.push(Void {
            line: self.lines,
            ..void
        });
        self.lines
    }

    /// The notes that nobody has taken back, in the order of their lines.
    pub fn standing(&self) -> impl Iterator<Item = &Note> {
        self.notes.iter().filter(|note| note.void.is_none())
    }

    /// Every note that could be read, taken back or not.
    pub fn all(&self) -> &[Note] {
        &self.notes
    }

    /// The note on a line, taken back or not.
    pub fn at(&self, line: usize) -> Option<&Note> {
        let index = self.notes.binary_search_by_key(&line, |note| note.line).ok()?;
        self.notes.get(index)
    }

    /// The lines that take others back.
    pub fn voids(&self) -> &[Void] {
        &self.voids
    }

    /// Lines that can't be read and that nobody has taken back.
    pub fn unread(&self) -> &[usize] {
        &self.unread
    }

    /// How many lines the file has; the next note stands on the line after.
    pub fn line_count(&self) -> usize {
        self.lines
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const BOOK: &str = r#"{"on": "2026-10-25", "glaze": "Lamplight clear", "version": "v1", "clay": "buff stoneware", "firing": null, "cone": "6", "batch": 3, "tile": null, "age_days": 1, "pieces": 5, "crazed": 0, "shivered": 0, "grades": {"gloss": 4}, "kiln_shelf": "top"}
{"on": "2026-11-24", "glaze": "Lamplight clear", "batch": "3", "age_days": 30, "pieces": 5, "crazed": 2}
{"on": "2026-11-24", "void": 1, "text": "wrong clay"}
"#;

    fn read(text: &str) -> (Notes, Vec<Diagnostic>) {
        Notes::read(&Source::from_text("notes.jsonl", text))
    }

    fn standing(notes: &Notes) -> Vec<usize> {
        notes.standing().map(|note| note.line).collect()
    }

    #[test]
    fn notes_are_read_and_taken_back() {
        let (notes, complaints) = read(BOOK);
        assert_eq!(complaints, []);
        assert_eq!(standing(&notes), [2]);
        let first = notes.at(1).unwrap_or_else(|| panic!("no line 1"));
        assert_eq!((first.batch.as_deref(), first.cone.as_deref()), (Some("3"), Some("6")));
        assert_eq!((first.grade("Gloss"), first.void), (Some(4.0), Some(3)));
        assert_eq!(first.other, [("kiln_shelf".to_owned(), "top".into())]);
        assert_eq!(
            first.fired_on().map(|day| day.to_string()).as_deref(),
            Some("2026-10-24")
        );
        assert_eq!(notes.line_count(), 3);
    }

    #[test]
    fn a_void_can_be_taken_back_too() {
        let (notes, complaints) = read(&format!("{BOOK}{{\"on\": \"2026-11-25\", \"void\": 3}}\n"));
        assert_eq!((standing(&notes), complaints), (vec![1, 2], vec![]));
        assert_eq!(
            notes.voids().iter().map(|void| void.counts).collect::<Vec<_>>(),
            [false, true]
        );
    }

    #[test]
    fn what_is_written_reads_the_same() {
        let (notes, _) = read(BOOK);
        for note in notes.all() {
            let (again, complaints) = read(&note.to_line());
            assert_eq!(complaints, []);
            let expected = Note {
                line: 1,
                void: None,
                ..note.clone()
            };
            assert_eq!(again.all(), [expected]);
        }
    }

    /// A notebook cut off after any byte: what was whole stays, and the next
    /// note stands on a line of its own.
    #[test]
    fn cut_off_anywhere_the_whole_lines_are_read() {
        let text = BOOK.replace("top", "tür");
        for cut in 0..text.len() {
            let torn = String::from_utf8_lossy(&text.as_bytes()[..cut]);
            let whole = torn.matches('\n').count();
            let (notes, complaints) = read(&torn);
            assert!(notes.all().len() + notes.voids().len() >= whole, "{cut}");
            assert!(complaints.len() <= 1, "{cut}: {complaints:?}");
            let (after, _) = read(&format!("{torn}\n{{\"on\": \"2026-11-26\", \"tile\": \"A1\"}}\n"));
            assert_eq!(
                after.all().last().and_then(|note| note.tile.as_deref()),
                Some("A1"),
                "{cut}"
            );
        }
    }

    /// Whatever happens to one line, the others are read as before.
    #[test]
    fn damage_to_one_line_stays_there() {
        let whole = read(BOOK).0;
        let mut random = 0x2545_F491_4F6C_DD1D_u64;
        let mut next = |below: usize| {
            random ^= random << 13;
            random ^= random >> 7;
            random ^= random << 17;
            (random % below as u64) as usize
        };
        for _ in 0..20_000 {
            let mut lines: Vec<Vec<u8>> = BOOK.lines().map(|line| line.as_bytes().to_vec()).collect();
            // The last line takes the first back: its damage would show in the first.
            let hit = next(2);
            for _ in 0..=next(4) {
                let length = lines[hit].len();
                let at = next(length);
                match next(3) {
                    0 => lines[hit][at] = next(256) as u8,
                    1 => lines[hit].truncate(at + 1),
                    _ => lines[hit].insert(at, b"{}[]\",:0e9"[next(10)]),
                }
            }
            lines[hit].retain(|byte| *byte != b'\n');
            let text = String::from_utf8_lossy(&lines.join(&b'\n')).into_owned();
            let (notes, _) = read(&text);
            let other = 2 - hit;
            assert_eq!(notes.at(other), whole.at(other), "{text}");
        }
    }

    #[test]
    fn a_line_that_cannot_be_read_hides_no_other_and_can_be_set_aside() {
        let text = "{\"on\": \"2026-01-01\", \"glaze\": \"A\"\n\n{\"on\": \"2026-01-02\", \"glaze\": \"A\"}\n";
        let (notes, complaints) = read(text);
        assert_eq!((notes.unread(), standing(&notes)), (&[1][..], vec![3]));
        assert_eq!(
            complaints.iter().map(|complaint| complaint.code).collect::<Vec<_>>(),
            ["cut-off"]
        );
        let (notes, complaints) = read(&format!("{text}{{\"void\": 1}}"));
        assert_eq!((notes.unread(), complaints.len()), (&[][..], 0));
    }

    #[test]
    fn each_slip_has_its_place() {
        let slip = |line: &str| {
            let (_, complaints) = read(line);
            let first = complaints
                .into_iter()
                .next()
                .unwrap_or_else(|| panic!("{line} was taken"));
            (first.code, first.place.map_or(0, |place| place.mark.column))
        };
        for (line, code, column) in [
            (r#"{"glaze": "A"}"#, "missing-key", 1),
            (r#"{"on": "2026-01-01"}"#, "missing-key", 1),
            (r#"{"on": "2026-02-30", "glaze": "A"}"#, "bad-date", 2),
            (r#"{"on": "2026-01-01", "glaze": 4}"#, "wrong-type", 22),
            (
                r#"{"on": "2026-01-01", "tile": "A", "pieces": 5, "crazed": 6}"#,
                "more-than-pieces",
                48,
            ),
            (r#"{"on": "2026-01-01", "tile": "A", "crazed": 6}"#, "no-pieces", 35),
            (r#"{"on": "2026-01-01", "tile": "A", "pieces": 2.5}"#, "wrong-type", 35),
            (
                r#"{"on": "2026-01-01", "tile": "A", "pieces": 1e300}"#,
                "out-of-range",
                35,
            ),
            (
                r#"{"on": "2026-01-01", "tile": "A", "age_days": -1}"#,
                "out-of-range",
                35,
            ),
            (
                r#"{"on": "2026-01-01", "tile": "A", "grades": {"gloss": 7}}"#,
                "bad-grade",
                46,
            ),
            (r#"{"on": "2026-01-01", "tile": "A", "crased": 1}"#, "unknown-key", 35),
            (r#"{"on": "2026-01-01", "tile": "A", "tile": "B"}"#, "not-json", 45),
            (r#"{"on": "2026-01-01", "void": 1}"#, "void-of-nothing", 22),
            (r#"[1, 2]"#, "not-json", 1),
            ("{\"on\": \"2026-01-01\", \"tile\": \"ü\u{0}\"}", "not-json", 32),
            ("\u{0}\u{0}\u{0}", "not-json", 1),
        ] {
            let (said, at) = slip(line);
            assert_eq!(said, code, "{line}");
            assert!(at.abs_diff(column) <= 1, "{line}: column {at}");
        }
        assert!(read(&"[".repeat(100_000)).1.len() == 1, "deep nesting is one complaint");
    }
}
