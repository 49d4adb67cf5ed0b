//! Tables as text: cells between commas, semicolons or tabs, with their places.
//!
//! Reads RFC 4180 quoting. The separator is the one of the three that the head
//! has most of, so that spreadsheets of any country are read.

use super::csv_cell::unguarded;
use crate::diagnostic::{Diagnostic, Mark, Source};

/// One cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cell {
    /// Its text, blanks around it taken off, quotes resolved.
    pub text: String,
    /// Where it starts.
    pub mark: Mark,
    /// How many characters it takes up in the file.
    pub width: usize,
}

/// A table with a head.
#[derive(Debug, Clone)]
pub struct CsvTable {
    /// The whole text.
    pub source: Source,
    /// The names of the columns.
    pub head: Vec<Cell>,
    /// The rows, each as long as the head; wholly empty lines are left out.
    pub rows: Vec<Vec<Cell>>,
}

/// Reads a table; its first line is the head.
///
/// # Errors
/// No head, a column named twice, a row of another length, a quote that isn't
/// closed: each with its place.
pub fn parse_csv(source: &Source) -> Result<CsvTable, Diagnostic> {
    parse_csv_headed(source, "its first line names the columns: `date,material,kg`")
}

/// Reads a table as [`parse_csv`] does; `wanted` says which head it should have, where it has
/// none.
///
/// # Errors
/// As [`parse_csv`].
pub fn parse_csv_headed(source: &Source, wanted: impl Into<String>) -> Result<CsvTable, Diagnostic> {
    let first = source.text.lines().find(|line| !line.trim().is_empty()).unwrap_or("");
    let count = |sign: char| first.matches(sign).count();
    let separator = [',', ';', '\t'].into_iter().rev().max_by_key(|sign| count(*sign));
    let mut records = Reader {
        source,
        signs: source.text.chars().peekable(),
        separator: separator.unwrap_or(','),
        mark: Mark { line: 1, column: 1 },
    }
    .records()?
    .into_iter()
    .filter(|record| record.iter().any(|cell| !cell.text.is_empty()));
    let Some(head) = records.next() else {
        return Err(Diagnostic::error("empty-table", "the table is empty")
            .at(source, Mark { line: 1, column: 1 }, 1)
            .help(wanted));
    };
    for (index, cell) in head.iter().enumerate() {
        if head[..index].iter().any(|other| other.text == cell.text) {
            let message = format!("the column `{}` is there twice", cell.text);
            return Err(Diagnostic::error("duplicate-key", message).at(source, cell.mark, cell.width));
        }
    }
    let mut rows = Vec::new();
    for mut row in records {
        let length = row.len();
        // Spreadsheets leave empty cells at the end of a row out, or add some.
        while row.len() > head.len() && row.last().is_some_and(|cell| cell.text.is_empty()) {
            row.pop();
        }
        if row.len() > head.len() {
            let at = &row[head.len()];
            let message = format!("this row has {length} cells, the head has {}", head.len());
            return Err(Diagnostic::error("ragged-row", message)
                .at(source, at.mark, at.width)
                .help("a cell with a comma in it goes in double quotes"));
        }
        let end = row.last().map_or(Mark { line: 1, column: 1 }, |cell| Mark {
            column: cell.mark.column + cell.width,
            ..cell.mark
        });
        row.resize_with(head.len(), || Cell {
            text: String::new(),
            mark: end,
            width: 1,
        });
        rows.push(row);
    }
    Ok(CsvTable {
        source: source.clone(),
        head,
        rows,
    })
}

struct Reader<'a> {
    source: &'a Source,
    signs: std::iter::Peekable<std::str::Chars<'a>>,
    separator: char,
    mark: Mark,
}

impl Reader<'_> {
    fn next(&mut self) -> Option<char> {
        let sign = self.signs.next()?;
        if sign == '\n' {
            self.mark = Mark {
                line: self.mark.line + 1,
                column: 1,
            };
        } else {
            self.mark.column += 1;
        }
        Some(sign)
    }

    fn records(&mut self) -> Result<Vec<Vec<Cell>>, Diagnostic> {
        let mut records = vec![Vec::new()];
        while self.signs.peek().is_some() {
            let cell = self.cell()?;
            if let Some(record) = records.last_mut() {
                record.push(cell);
            }
            match self.next() {
                Some('\n') => records.push(Vec::new()),
                Some(sign) if sign == self.separator && matches!(self.signs.peek(), None | Some('\n' | '\r')) => {
                    if let Some(record) = records.last_mut() {
                        record.push(Cell {
                            text: String::new(),
                            mark: self.mark,
                            width: 1,
                        });
                    }
                    while self.signs.peek() == Some(&'\r') {
                        self.next();
                    }
                    if self.next().is_some() {
                        records.push(Vec::new());
                    }
                }
                _ => {}
            }
        }
        Ok(records)
    }

    /// A cell up to its separator or line end, which stays.
    fn cell(&mut self) -> Result<Cell, Diagnostic> {
        while self
            .signs
            .peek()
            .is_some_and(|sign| matches!(sign, ' ' | '\t') && *sign != self.separator)
        {
            self.next();
        }
        let mark = self.mark;
        let mut text = String::new();
        if self.signs.peek() == Some(&'"') {
            self.next();
            loop {
                match self.next() {
                    Some('"') if self.signs.peek() == Some(&'"') => {
                        self.next();
                        text.push('"');
                    }
                    Some('"') => break,
                    Some(sign) => text.push(sign),
                    None => {
                        return Err(Diagnostic::error("open-quote", "this quote isn't closed")
                            .at(self.source, mark, 1)
                            .help("a quote inside a cell is written twice: \"\""));
                    }
                }
            }
        }
        while self
            .signs
            .peek()
            .is_some_and(|sign| *sign != '\n' && *sign != self.separator)
        {
            if let Some(sign) = self.next() {
                text.push(sign);
            }
        }
        let width = if self.mark.line == mark.line {
            self.mark.column.saturating_sub(mark.column)
        } else {
            1
        };
        let text = unguarded(text.trim()).to_owned();
        Ok(Cell {
            width: width.min(text.chars().count() + 2).max(1),
            text,
            mark,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(text: &str) -> Vec<Vec<String>> {
        let table = parse_csv(&Source::from_text("t.csv", text)).unwrap_or_else(|why| panic!("{why:?}"));
        std::iter::once(&table.head)
            .chain(&table.rows)
            .map(|row| row.iter().map(|cell| cell.text.clone()).collect())
            .collect()
    }

    #[test]
    fn commas_semicolons_tabs_and_quotes() {
        assert_eq!(texts("a,b\n1,2\r\n\n3,4"), [["a", "b"], ["1", "2"], ["3", "4"]]);
        assert_eq!(texts("a;b\n1,5;2"), [["a", "b"], ["1,5", "2"]]);
        assert_eq!(texts("a\tb\n1\t"), [["a", "b"], ["1", ""]]);
        assert_eq!(
            texts("a,b\n\"x, \"\"y\"\"\",2\n3"),
            [["a", "b"], ["x, \"y\"", "2"], ["3", ""]]
        );
        assert_eq!(texts("a,b\n,\n1,2,,\n"), [["a", "b"], ["1", "2"]]);
    }

    #[test]
    fn what_is_wrong_has_a_place() {
        let place = |text: &str| {
            let why = parse_csv(&Source::from_text("t.csv", text)).err();
            why.and_then(|why| why.place)
                .map(|place| (place.mark.line, place.mark.column))
        };
        assert_eq!(place("a,b\n1,2,3\n"), Some((2, 5)));
        assert_eq!(place("a,a\n"), Some((1, 3)));
        assert_eq!(place("a,b\n1,\"x\n"), Some((2, 3)));
        assert_eq!(place(" \n"), Some((1, 1)));
    }

    #[test]
    fn cells_know_where_they_stand_and_how_wide_they_are() {
        let table = parse_csv(&Source::from_text(
            "t.csv",
            "day, grams\n \"a \"\"b\"\"\",12\n7\n\"two\nlines\",3,\n",
        ))
        .unwrap();
        let places = |row: &[Cell]| {
            row.iter()
                .map(|cell| (cell.mark.line, cell.mark.column, cell.width))
                .collect::<Vec<_>>()
        };
        assert_eq!(places(&table.head), [(1, 1, 3), (1, 6, 5)]);
        assert_eq!(places(&table.rows[0]), [(2, 2, 7), (2, 12, 2)]);
        // What a short row lacks would stand behind its last cell.
        assert_eq!(places(&table.rows[1]), [(3, 1, 1), (3, 2, 1)]);
        // Over two lines the width is that of one sign; the next cell stands on the second.
        assert_eq!(places(&table.rows[2]), [(4, 1, 1), (5, 8, 1)]);
        assert_eq!(table.rows[2][0].text, "two\nlines");
    }

    #[test]
    fn rows_too_long_columns_twice_and_open_quotes_are_told() {
        let why = |text: &str| {
            let why = parse_csv(&Source::from_text("t.csv", text)).unwrap_err();
            let place = why.place.unwrap();
            (why.code, why.message, place.mark.line, place.mark.column, place.width)
        };
        let ragged = "this row has 4 cells, the head has 2".to_owned();
        assert_eq!(why("a,b\n1,2,,xyz\n"), ("ragged-row", ragged, 2, 5, 1));
        assert_eq!(
            why("day,day\n"),
            ("duplicate-key", "the column `day` is there twice".to_owned(), 1, 5, 3)
        );
        assert_eq!(why("a;b\r\n1;\"x\r\n").0, "open-quote");
        assert_eq!((why("").0, why("\n,\n").0), ("empty-table", "empty-table"));
        // The separator is what the first line has most of.
        assert_eq!(texts("a;b,c;d\n1;2,5;3"), [["a", "b,c", "d"], ["1", "2,5", "3"]]);
        assert_eq!(texts("a\tb;c\td\n1\t2\t3"), [["a", "b;c", "d"], ["1", "2", "3"]]);
        assert_eq!(texts("\n\na,b\n\t1 , 2\n"), [["a", "b"], ["1", "2"]]);
        assert_eq!(texts("a,b\r\n1,\r\n"), [["a", "b"], ["1", ""]]);
        assert_eq!(texts("only\n'=1+1\n"), [["only"], ["=1+1"]]);
    }
}
