//! Rows of a table of text, in blocks, each with the bytes that it was read from.

use std::io::{self, Cursor, Read};

use csv::{ByteRecord, Reader, ReaderBuilder};
use glost_chemistry::diagnostic::Diagnostic;

use crate::text_file::about_file;

/// The longest row that is read, in bytes.
pub const MOST_ROW_BYTES: u64 = 1 << 20;
/// Bytes asked for at once.
const BUFFER_BYTES: usize = 1 << 16;
/// What may stand between columns; the first whose headings make sense is taken.
const DELIMITERS: [u8; 3] = [b',', b';', b'\t'];

/// Where a table comes from.
pub(super) type Input = Box<dyn Read + Send>;

/// Some rows in the order of the table.
#[derive(Debug)]
pub struct RowBlock {
    pub(super) records: Vec<ByteRecord>,
    /// The bytes of these rows.
    pub(super) raw: Vec<u8>,
    /// Where `raw` begins in the table.
    pub(super) from: u64,
    /// The line in which `raw` begins, from 1.
    pub(super) first_line: usize,
    /// What ends a line.
    pub(super) line_end: u8,
}

impl RowBlock {
    /// How many rows it holds.
    pub fn row_count(&self) -> usize {
        self.records.len()
    }

    /// Each row with its line and its bytes as they stand in the table.
    pub(super) fn rows(&self) -> impl Iterator<Item = (usize, &[u8], &ByteRecord)> {
        let (mut at, mut line) = (0, self.first_line);
        let starts: Vec<usize> = self.records.iter().map(|record| self.start(record)).collect();
        self.records.iter().enumerate().map(move |(index, record)| {
            let start = starts[index];
            let end = starts.get(index + 1).copied().unwrap_or(self.raw.len());
            line += count(&self.raw[at..start], self.line_end);
            at = start;
            (line, &self.raw[start..end], record)
        })
    }

    /// Where a row begins in `raw`; line ends before it belong to nobody.
    fn start(&self, record: &ByteRecord) -> usize {
        let at = record.position().map_or(0, |position| position.byte() - self.from) as usize;
        let rest = &self.raw[at..];
        at + rest.iter().take_while(|byte| matches!(byte, b'\n' | b'\r')).count()
    }
}

/// Keeps what was read until it is let go, so that a complaint can show its row.
struct Kept {
    input: Input,
    kept: Vec<u8>,
    /// Where `kept` begins in the table.
    from: u64,
    /// Where the row that is being read begins.
    row_from: u64,
}

impl Kept {
    fn end(&self) -> u64 {
        self.from + self.kept.len() as u64
    }

    fn before(&self, at: u64) -> &[u8] {
        let count = at.saturating_sub(self.from).min(self.kept.len() as u64);
        &self.kept[..count as usize]
    }
}

impl Read for Kept {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        if self.end() - self.row_from > MOST_ROW_BYTES {
            return Err(io::Error::other(RowTooLong));
        }
        let count = self.input.read(buffer)?;
        self.kept.extend_from_slice(&buffer[..count]);
        Ok(count)
    }
}

#[derive(Debug)]
struct RowTooLong;

impl std::fmt::Display for RowTooLong {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("the row is too long")
    }
}

impl std::error::Error for RowTooLong {}

/// The rows below the headings, as they come in.
pub struct SheetRows {
    reader: Reader<Kept>,
    shown: String,
    line: usize,
    line_end: u8,
    /// What comes after the rows that could still be read.
    trouble: Option<Diagnostic>,
    done: bool,
}

impl SheetRows {
    /// The headings and what comes below them.
    pub(super) fn open(
        mut input: Input,
        shown: &str,
        headings_make_sense: impl Fn(&ByteRecord) -> bool,
    ) -> Result<(ByteRecord, SheetRows), Diagnostic> {
        let first = beginning(&mut input).map_err(|error| broken_off(shown, 1, &error.into()))?;
        if first.starts_with(b"\xFF\xFE") || first.starts_with(b"\xFE\xFF") {
            return Err(
                about_file("not-utf8", "the table isn't UTF-8 text", shown).help("save it again as CSV in UTF-8")
            );
        }
        let sensible = |delimiter: &u8| {
            let mut headings = ByteRecord::new();
            let read = with_delimiter(*delimiter)
                .from_reader(&*first)
                .read_byte_record(&mut headings);
            read.is_ok() && headings_make_sense(&headings)
        };
        let delimiter = DELIMITERS.into_iter().find(sensible).unwrap_or(b',');
        let line_end = if first.contains(&b'\r') && !first.contains(&b'\n') {
            b'\r'
        } else {
            b'\n'
        };
        let kept = Kept {
            input: Box::new(Cursor::new(first).chain(input)),
            kept: Vec::new(),
            from: 0,
            row_from: 0,
        };
        let mut rows = SheetRows {
            reader: with_delimiter(delimiter).from_reader(kept),
            shown: shown.to_owned(),
            line: 1,
            line_end,
            trouble: None,
            done: false,
        };
        let mut headings = ByteRecord::new();
        rows.read(&mut headings)?;
        let end = rows.reader.position().byte();
        let read = rows.take(end);
        rows.line += count(&read, line_end);
        Ok((headings, rows))
    }

    /// The next rows, `most` at most; fewer where no more have come in yet.
    /// `None` after the last.
    ///
    /// # Errors
    /// The input breaks off, or holds a row longer than [`MOST_ROW_BYTES`].
    /// Nothing comes after an error.
    pub fn next_block(&mut self, most: usize) -> Option<Result<RowBlock, Diagnostic>> {
        let from = self.reader.position().byte();
        let mut end = from;
        let mut records: Vec<ByteRecord> = Vec::new();
        // Whoever sends row after row through a pipe gets each answered at once.
        while !self.done && records.len() < most && (records.is_empty() || self.more_has_come()) {
            let mut record = ByteRecord::new();
            match self.read(&mut record) {
                Ok(true) => {
                    records.push(record);
                    end = self.reader.position().byte();
                }
                Ok(false) => self.done = true,
                Err(trouble) => {
                    self.done = true;
                    self.trouble = Some(trouble);
                }
            }
        }
        if records.is_empty() {
            return self.trouble.take().map(Err);
        }
        let block = RowBlock {
            raw: self.take(end),
            records,
            from,
            first_line: self.line,
            line_end: self.line_end,
        };
        self.line += count(&block.raw, self.line_end);
        Some(Ok(block))
    }

    /// Whether the next row, or its beginning, has come in already.
    fn more_has_come(&self) -> bool {
        // The second byte of a line end is taken up with the row after it.
        self.reader
            .get_ref()
            .end()
            .saturating_sub(self.reader.position().byte())
            > 1
    }

    fn read(&mut self, record: &mut ByteRecord) -> Result<bool, Diagnostic> {
        let at = self.reader.position().byte();
        self.reader.get_mut().row_from = at;
        self.reader.read_byte_record(record).map_err(|error| {
            let before = self.reader.get_ref().before(at);
            broken_off(&self.shown, self.line + count(before, self.line_end), &error)
        })
    }

    /// The kept bytes up to a place in the table; they are let go.
    fn take(&mut self, end: u64) -> Vec<u8> {
        let kept = self.reader.get_mut();
        let taken = kept.before(end).to_vec();
        kept.kept.drain(..taken.len());
        kept.from += taken.len() as u64;
        taken
    }
}

fn count(bytes: &[u8], wanted: u8) -> usize {
    bytes.iter().filter(|byte| **byte == wanted).count()
}

fn with_delimiter(delimiter: u8) -> ReaderBuilder {
    let mut builder = ReaderBuilder::new();
    builder
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter)
        .buffer_capacity(BUFFER_BYTES);
    builder
}

/// The input's first bytes, a whole line if it isn't too long.
fn beginning(input: &mut Input) -> io::Result<Vec<u8>> {
    let mut first = Vec::new();
    let mut buffer = vec![0; BUFFER_BYTES];
    while !first.contains(&b'\n') && first.len() as u64 <= MOST_ROW_BYTES {
        match input.read(&mut buffer) {
            Ok(0) => break,
            Ok(count) => first.extend_from_slice(&buffer[..count]),
            Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
            Err(error) => return Err(error),
        }
    }
    Ok(first)
}

fn broken_off(shown: &str, line: usize, error: &csv::Error) -> Diagnostic {
    let too_long = match error.kind() {
        csv::ErrorKind::Io(error) => error.get_ref().is_some_and(|inner| inner.is::<RowTooLong>()),
        _ => false,
    };
    let mut diagnostic = if too_long {
        let message = format!("a row is longer than {} KB", MOST_ROW_BYTES >> 10);
        about_file("row-too-long", message, shown).help("is a quote left open, or is it another kind of file?")
    } else {
        about_file("cannot-read", format!("`{shown}` can't be read on: {error}"), shown)
    };
    if let Some(place) = &mut diagnostic.place {
        place.mark.line = line;
    }
    diagnostic
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Gives its bytes a few at a time, as a pipe may.
    struct Dribble(Vec<u8>, usize);

    impl Read for Dribble {
        fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
            let count = self.1.min(self.0.len()).min(buffer.len());
            buffer[..count].copy_from_slice(&self.0[..count]);
            self.0.drain(..count);
            Ok(count)
        }
    }

    fn rows(text: &str, at_once: usize, most: usize) -> Result<Vec<(usize, Vec<String>)>, Diagnostic> {
        let input = Box::new(Dribble(text.as_bytes().to_vec(), at_once));
        let (_, mut rows) = SheetRows::open(input, "t.csv", |headings| headings.len() > 1)?;
        let mut found = Vec::new();
        while let Some(block) = rows.next_block(most) {
            let block = block?;
            assert!(block.records.len() <= most);
            for (line, raw, record) in block.rows() {
                let cells: Vec<String> = record
                    .iter()
                    .map(|cell| String::from_utf8_lossy(cell).into_owned())
                    .collect();
                assert!(
                    raw.starts_with(cells[0].as_bytes()) || raw.starts_with(b"\""),
                    "{raw:?} {cells:?}"
                );
                found.push((line, cells));
            }
        }
        Ok(found)
    }

    #[test]
    fn rows_come_out_alike_however_they_come_in() {
        for text in [
            "\u{FEFF}glaze,silica\na,1\n\n\"b, \"\"c\"\"\",2\n\"d\ne\",3\nf,4",
            "glaze,silica\r\na,1\r\n\r\n\"b, \"\"c\"\"\",2\r\n\"d\r\ne\",3\r\nf,4\r\n",
            "glaze;silica\na;1\n\n\"b, \"\"c\"\"\";2\n\"d\ne\";3\nf;4\n",
        ] {
            let whole = rows(text, usize::MAX, usize::MAX).unwrap();
            let lines: Vec<usize> = whole.iter().map(|row| row.0).collect();
            assert_eq!(lines, [2, 4, 5, 7], "{text:?}");
            assert_eq!(whole[1].1, ["b, \"c\"", "2"]);
            for at_once in [1, 2, 3, 7] {
                for most in [1, 2, 3] {
                    assert_eq!(rows(text, at_once, most).unwrap(), whole, "{text:?} {at_once} {most}");
                }
            }
        }
    }

    #[test]
    fn a_row_without_end_is_refused_and_those_before_it_are_read() {
        let text = format!("glaze,silica\na,1\n\"b{}", "x\n".repeat(1 << 20));
        let input = Box::new(Dribble(text.into_bytes(), usize::MAX));
        let (_, mut rows) = SheetRows::open(input, "t.csv", |_| true).unwrap();
        assert!(rows.next_block(100).unwrap().unwrap().records.len() == 1);
        let error = rows.next_block(100).unwrap().unwrap_err();
        assert_eq!(error.code, "row-too-long");
        assert_eq!(error.place.map(|place| place.mark.line), Some(3));
        assert!(rows.next_block(100).is_none());
    }
}
