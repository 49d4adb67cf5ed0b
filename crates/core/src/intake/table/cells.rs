//! A table's text as cells: whatever stands between its columns.

use csv::{ReaderBuilder, StringRecord, Trim};
use glost_chemistry::diagnostic::{Diagnostic, Mark, Place, Source};
use glost_chemistry::quantity::parse_number;
use glost_chemistry::read::unguarded;

/// What may stand between columns; of equals the first is taken.
const DELIMITERS: [char; 4] = [';', '\t', ',', '|'];
/// So many lines show what stands between columns.
const LINES_LOOKED_AT: usize = 20;
/// The most columns that are read.
pub const MOST_COLUMNS: usize = 50_000;
/// The most cells that are read.
pub const MOST_CELLS: usize = 5_000_000;

/// One row below the headings.
#[derive(Debug, Clone)]
pub struct Row {
    /// The line it begins in, from 1.
    pub line: usize,
    cells: StringRecord,
}

impl Row {
    /// The text of a cell, blanks around it off; empty where there is none.
    pub fn cell(&self, column: usize) -> &str {
        self.cells.get(column).map_or("", |cell| unguarded(cell.trim()))
    }

    /// The text of a cell with the blanks around it.
    pub fn as_it_is(&self, column: usize) -> &str {
        self.cells.get(column).unwrap_or("")
    }

    /// How many cells it has.
    pub fn width(&self) -> usize {
        self.cells.len()
    }
}

/// A table with headings.
#[derive(Debug, Clone)]
pub struct Table {
    /// Its file as shown.
    pub file: String,
    /// Its headings, blanks around them off.
    pub headings: Vec<String>,
    /// The line that the headings stand in.
    pub head_line: usize,
    /// Its rows; blank ones are left out.
    pub rows: Vec<Row>,
    /// What stands between its columns.
    pub delimiter: char,
}

impl Table {
    /// Reads a table.
    ///
    /// # Errors
    /// No rows, more cells than [`MOST_CELLS`], a first row that is no headings.
    pub fn read(source: &Source) -> Result<Table, Diagnostic> {
        let (text, skipped) = without_hint(&source.text);
        let delimiter = text.1.unwrap_or_else(|| delimiter(text.0));
        if let Some(mark) = open_quote(text.0, delimiter) {
            let mark = Mark {
                line: mark.line + skipped,
                ..mark
            };
            return Err(Diagnostic::error("open-quote", "this quote isn't closed")
                .at(source, mark, 1)
                .help("close it where its cell ends, or take it out; a quote inside quotes is written twice. Nothing was taken in"));
        }
        let mut reader = ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .trim(Trim::None)
            // All of them are one byte long.
            .delimiter(delimiter as u8)
            .from_reader(text.0.as_bytes());
        let mut rows: Vec<Row> = Vec::new();
        let mut cells = 0;
        for record in reader.records() {
            let record = record.map_err(|error| about(source, format!("the table can't be read: {error}")))?;
            let line = record.position().map_or(1, |position| {
                // Blank lines before a row count as read with it.
                let rest = &text.0.as_bytes()[position.byte() as usize..];
                let blank = rest.iter().take_while(|byte| matches!(byte, b'\n' | b'\r'));
                position.line() as usize + blank.filter(|byte| **byte == b'\n').count()
            }) + skipped;
            cells += record.len();
            if record.len() > MOST_COLUMNS || cells > MOST_CELLS {
                return Err(too_many(source));
            }
            if record.iter().any(|cell| !cell.trim().is_empty()) {
                rows.push(Row { line, cells: record });
            }
        }
        let title_lines = rows.iter().take_while(|row| filled(row) < 2).count();
        // A table of one column has no titles above it.
        if title_lines < rows.len() {
            rows.drain(..title_lines);
        }
        if rows.is_empty() {
            return Err(about(source, "the table is empty".to_owned())
                .help("its first row names the columns: `glaze,feldspar,silica,whiting`"));
        }
        let head = rows.remove(0);
        let table = Table {
            file: source.name.to_string(),
            headings: (0..head.width()).map(|at| one_line(head.cell(at))).collect(),
            head_line: head.line,
            rows,
            delimiter,
        };
        table.are_headings()?;
        Ok(table)
    }

    /// A row of numbers is no headings.
    fn are_headings(&self) -> Result<(), Diagnostic> {
        let numbers = self.headings.iter().filter(|text| parse_number(text).is_ok()).count();
        let texts = self.headings.iter().filter(|text| !text.is_empty()).count() - numbers;
        if numbers == 0 || texts > 2 * numbers {
            return Ok(());
        }
        let mut error = Diagnostic::error("no-headings", "the first row holds numbers: it is no row of headings");
        error.place = Some(Box::new(Place {
            file: self.file.as_str().into(),
            mark: Mark {
                line: self.head_line,
                column: 1,
            },
            width: 1,
            source_line: self.headings.join(&self.delimiter.to_string()),
        }));
        Err(error.help("put a row above it that names the columns, such as `glaze,material,amount`, or `glaze` and then the materials"))
    }

    /// The indices of columns, with their headings.
    pub fn columns(&self) -> impl Iterator<Item = (usize, &str)> {
        self.headings.iter().map(String::as_str).enumerate()
    }
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Where a quote opens that nothing closes: the cells after it would all be one.
fn open_quote(text: &str, delimiter: char) -> Option<Mark> {
    let mut mark = Mark { line: 1, column: 1 };
    let (mut opened, mut cell_begins) = (None, true);
    let mut signs = text.chars().peekable();
    while let Some(sign) = signs.next() {
        match (sign, opened) {
            ('"', None) if cell_begins => opened = Some(mark),
            ('"', Some(_)) if signs.peek() == Some(&'"') => {
                signs.next();
                mark.column += 1;
            }
            ('"', Some(_)) => opened = None,
            _ => {}
        }
        cell_begins = opened.is_none() && (sign == delimiter || sign == '\n');
        if sign == '\n' {
            mark = Mark {
                line: mark.line + 1,
                column: 1,
            };
        } else {
            mark.column += 1;
        }
    }
    opened
}

fn filled(row: &Row) -> usize {
    row.cells.iter().filter(|cell| !cell.trim().is_empty()).count()
}

fn about(source: &Source, message: String) -> Diagnostic {
    Diagnostic::error("bad-table", message).at(source, Mark { line: 1, column: 1 }, 1)
}

fn too_many(source: &Source) -> Diagnostic {
    about(
        source,
        format!("the table is too large: at most {MOST_COLUMNS} columns and {MOST_CELLS} cells are read"),
    )
    .help("take out what holds no recipes, or split it into several files")
}

/// The text below a line such as `sep=;`, which some spreadsheets write, with what
/// it says; and how many lines that took.
fn without_hint(text: &str) -> ((&str, Option<char>), usize) {
    let first = text.split('\n').next().map_or("", str::trim_end);
    let hint = first
        .strip_prefix("sep=")
        .and_then(|rest| rest.chars().next())
        .filter(char::is_ascii);
    match hint {
        Some(sign) => ((text.split_once('\n').map_or("", |(_, rest)| rest), Some(sign)), 1),
        None => ((text, None), 0),
    }
}

/// What stands between the columns: the sign that comes as often in each line as in
/// the first that holds it, and then the one that comes most.
fn delimiter(text: &str) -> char {
    let lines: Vec<&str> = text
        .lines()
        .filter(|line| !line.trim().is_empty())
        .take(LINES_LOOKED_AT)
        .collect();
    let mut best = (0, 0, ',');
    for sign in DELIMITERS {
        let counts: Vec<usize> = lines.iter().map(|line| outside_quotes(line, sign)).collect();
        let Some(first) = counts.iter().copied().find(|count| *count > 0) else {
            continue;
        };
        let alike = counts.iter().filter(|count| **count == first).count();
        if (alike, first) > (best.0, best.1) {
            best = (alike, first, sign);
        }
    }
    best.2
}

fn outside_quotes(line: &str, wanted: char) -> usize {
    let (mut count, mut quoted) = (0, false);
    for sign in line.chars() {
        if sign == '"' {
            quoted = !quoted;
        } else if sign == wanted && !quoted {
            count += 1;
        }
    }
    count
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Table {
        Table::read(&Source::from_text("t.csv", text)).unwrap()
    }

    #[test]
    fn a_quote_that_nothing_closes_has_its_place() {
        for (text, place) in [
            ("glaze,silica\nA,\"50\nB,60\n", Some((2, 3))),
            ("sep=;\nglaze;silica\n\"A;50\n", Some((3, 1))),
            ("glaze,silica\n\"A, \"\"big\"\"\",50\n6\" tile,50\n", None),
            ("glaze,notes\nA,\"two\nlines\"\n", None),
        ] {
            let refused = Table::read(&Source::from_text("t.csv", text)).err();
            let at = refused
                .and_then(|why| why.place)
                .map(|place| (place.mark.line, place.mark.column));
            assert_eq!(at, place, "{text}");
        }
    }

    #[test]
    fn any_delimiter_is_seen_with_decimal_commas_among_them() {
        for (text, sign) in [
            ("glaze;silica;whiting\nA;12,5;3,25\nB;1;2\n", ';'),
            ("glaze\tsilica\nA\t12,5\n", '\t'),
            ("glaze,silica\nA,\"12,5\"\n", ','),
            ("glaze|silica\nA|12\n", '|'),
            ("sep=;\nglaze;silica\nA;1,5\n", ';'),
        ] {
            let table = read(text);
            assert_eq!(table.delimiter, sign, "{text}");
            assert_eq!(table.headings[0], "glaze");
            assert_eq!(table.rows[0].cell(0), "A");
        }
    }

    #[test]
    fn a_title_above_is_passed_by_and_lines_are_counted() {
        let table = read("Our glazes 2026;;\n\nglaze;silica;x\nA;1;\n\nB;2;\n");
        assert_eq!(table.headings[..2], ["glaze", "silica"]);
        assert_eq!(table.rows.iter().map(|row| row.line).collect::<Vec<_>>(), [4, 6]);
    }

    #[test]
    fn numbers_are_no_headings() {
        let error = Table::read(&Source::from_text("t.csv", "Clear,38,26\nMatt,40,20\n")).unwrap_err();
        assert_eq!(error.code, "no-headings");
    }
}
