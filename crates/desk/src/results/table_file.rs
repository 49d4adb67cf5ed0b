//! Graded tiles from a table: a column of shares for each end, a column for the outcome.

use std::collections::BTreeMap;

use glost_chemistry::diagnostic::{Diagnostic, Source, did_you_mean, is_no, nearest, of_typed};
use glost_chemistry::quantity::{parse_number, plain};
use glost_chemistry::read::{Cell, CsvTable, folded, parse_csv_headed};
use glost_core::tiles::mixture::{Counted, FiredTogether, Graded, Outcomes, TileLook, TileReading, TileTable};

/// Ends at most; a special cubic of eight ends has 92 terms already.
pub const MOST_ENDS: usize = 8;
/// Tiles at most in one table.
pub const MOST_TILES: usize = 10_000;
/// How far shares may miss their sum, over the sum: plans print 0.33, 0.33, 0.33.
const MOST_MISS: f64 = 0.0101;
/// Numbers beyond this are slips: their squares would drown everything else.
const LARGEST: f64 = 1e9;
/// A miss smaller than this goes without saying.
const SAID_FROM: f64 = 1e-6;

/// One cell of the outcome's column.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Outcome {
    Grade(f64),
    Count { yes: f64, of: f64 },
}

/// Reads tiles. `shares` names the columns with the ends' shares, `value` the column with
/// the outcome: grades, yes and no, 0 and 1, or counts such as `2/5`; `fired_together` the
/// column whose like cells were fired together.
///
/// Shares are fractions that sum to 1, or per cent that sum to 100; sums that miss by up
/// to 1 % are taken as they are and said.
///
/// # Errors
/// Each with its place: a column that isn't there, a cell that is no number, a share below
/// nothing, shares that don't sum, no tiles at all.
pub fn read_tiles(
    source: &Source,
    shares: &[String],
    value: &str,
    fired_together: Option<&str>,
) -> Result<TileTable, Diagnostic> {
    ends_that_can_be(shares, value)?;
    let head = format!("its first line names the columns: `{},{value}`", shares.join(","));
    let table = parse_csv_headed(source, head)?;
    let columns: Vec<usize> = shares
        .iter()
        .map(|name| column(&table, name))
        .collect::<Result<_, _>>()?;
    let graded = column(&table, value)?;
    let together = fired_together.map(|name| column(&table, name)).transpose()?;
    let mut looks = Vec::new();
    let mut reading = Reading {
        source,
        whole: None,
        off_sum: Vec::new(),
        empty: Vec::new(),
        notes: Vec::new(),
    };
    let mut tiles: Vec<(Vec<f64>, Outcome, &Cell)> = Vec::new();
    let mut names = Vec::new();
    let codes = table
        .head
        .iter()
        .position(|cell| matches!(folded(&cell.text).as_str(), "code" | "tile"));
    for row in &table.rows {
        let cell = &row[graded];
        if cell.text.is_empty() {
            reading.empty.push(cell.mark.line);
            continue;
        }
        let cells: Vec<&Cell> = columns.iter().map(|column| &row[*column]).collect();
        let blend = reading.shares(&cells)?;
        tiles.push((blend, reading.outcome(cell)?, cell));
        looks.push(TileLook {
            firing: together
                .map(|together| row[together].text.clone())
                .filter(|firing| !firing.is_empty())
                .map(FiredTogether::Told),
            ..TileLook::default()
        });
        let code = codes
            .map(|codes| row[codes].text.clone())
            .filter(|code| !code.is_empty());
        names.push(code.unwrap_or_else(|| format!("line {}", cell.mark.line)));
        if tiles.len() > MOST_TILES {
            let message = format!("there are more than {MOST_TILES} tiles in the table");
            return Err(Diagnostic::error("too-many-tiles", message)
                .at(source, cell.mark, cell.width)
                .help("learn from one plan at a time"));
        }
    }
    let head = &table.head[graded];
    if tiles.is_empty() {
        let message = format!("no tile in the table has a value for `{}`", head.text);
        return Err(Diagnostic::error("no-tiles", message)
            .at(source, head.mark, head.width)
            .help("write a grade beside each tile that came out of the kiln"));
    }
    let outcomes = reading.outcomes(tiles, &head.text)?;
    Ok(TileTable {
        ends: columns.iter().map(|column| table.head[*column].text.clone()).collect(),
        value: head.text.clone(),
        outcomes,
        names,
        looks,
        waiting: Vec::new(),
        assumptions: reading.said(&head.text),
    })
}

fn ends_that_can_be(shares: &[String], value: &str) -> Result<(), Diagnostic> {
    let bad = |message: String| Diagnostic::error("bad-option", message);
    if shares.len() < 2 {
        return Err(bad("--shares: a blend has two ends or more".to_owned())
            .help("name the columns with the ends' shares, between commas: --shares clear,iron,rutile"));
    }
    if shares.len() > MOST_ENDS {
        return Err(bad(format!(
            "--shares: {} ends are more than the {MOST_ENDS} that can be learned from",
            shares.len()
        ))
        .help("leave out ends that no tile holds"));
    }
    for (place, name) in shares.iter().enumerate() {
        if name.is_empty() {
            return Err(bad("--shares: a name is empty".to_owned()).help("write the names between commas: a,b,c"));
        }
        if shares[..place].iter().any(|other| folded(other) == folded(name)) {
            return Err(bad(format!("--shares: `{name}` is named twice")));
        }
        if folded(name) == folded(value) {
            return Err(bad(format!("--value: `{value}` is one of the shares"))
                .help("name the column with what came out of the kiln"));
        }
    }
    Ok(())
}

fn column(table: &CsvTable, name: &str) -> Result<usize, Diagnostic> {
    let exact = table.head.iter().position(|cell| cell.text == name);
    let alike = || {
        let mut alike = (0..table.head.len()).filter(|place| folded(&table.head[*place].text) == folded(name));
        alike.next().filter(|_| alike.next().is_none())
    };
    exact.or_else(alike).ok_or_else(|| {
        let names: Vec<&str> = table.head.iter().map(|cell| cell.text.as_str()).collect();
        let help = match nearest(name, names.iter().copied()) {
            Some(near) => did_you_mean(near),
            None => format!("the table has: {}", names.join(", ")),
        };
        let first = &table.head[0];
        Diagnostic::error("no-such-column", format!("the table has no column `{name}`"))
            .at(&table.source, first.mark, first.width)
            .help(help)
    })
}

/// What is gathered while the rows are read.
struct Reading<'a> {
    source: &'a Source,
    /// What the shares of every row sum to: 1 or 100.
    whole: Option<f64>,
    /// Lines whose shares miss their sum a little, with the sum.
    off_sum: Vec<(usize, f64)>,
    /// Lines without an outcome.
    empty: Vec<usize>,
    /// What the numbers' reading had to say.
    notes: Vec<TileReading>,
}

impl Reading<'_> {
    fn number(&mut self, cell: &Cell) -> Result<f64, Diagnostic> {
        let text = cell.text.trim_end_matches('%').trim_end();
        let number = parse_number(text).map_err(|bad| {
            Diagnostic::error("bad-number", bad.message)
                .at(self.source, cell.mark, cell.width)
                .maybe_help(bad.help)
        })?;
        if let Some(note) = number.note
            && self.notes.is_empty()
        {
            self.notes.push(TileReading::Number(note));
        }
        if number.value.abs() > LARGEST {
            return Err(Diagnostic::error("bad-number", is_no(text, "result of a tile"))
                .at(self.source, cell.mark, cell.width)
                .help("is the decimal point in its place?"));
        }
        Ok(number.value)
    }

    fn shares(&mut self, cells: &[&Cell]) -> Result<Vec<f64>, Diagnostic> {
        let mut shares = Vec::with_capacity(cells.len());
        for cell in cells {
            let share = if cell.text.is_empty() { 0.0 } else { self.number(cell)? };
            if share < 0.0 {
                let message = format!("a share of {} is less than nothing", cell.text);
                return Err(Diagnostic::error("bad-share", message).at(self.source, cell.mark, cell.width));
            }
            shares.push(share);
        }
        let sum: f64 = shares.iter().sum();
        let near = |whole: f64| (sum / whole - 1.0).abs() <= MOST_MISS;
        let whole = match self.whole {
            Some(whole) if near(whole) => whole,
            None if near(1.0) => 1.0,
            None if near(100.0) => 100.0,
            before => return Err(self.no_sum(cells, sum, before)),
        };
        self.whole = Some(whole);
        if let Some(cell) = cells.first()
            && (sum / whole - 1.0).abs() > SAID_FROM
        {
            self.off_sum.push((cell.mark.line, sum));
        }
        Ok(shares.into_iter().map(|share| share / whole).collect())
    }

    fn no_sum(&self, cells: &[&Cell], sum: f64, before: Option<f64>) -> Diagnostic {
        let wanted = before.map_or_else(
            || "1 (or to 100 per cent)".to_owned(),
            |whole| format!("{whole} like the rows before"),
        );
        let message = format!("the shares of this tile sum to {}, not to {wanted}", plain(sum));
        let error = Diagnostic::error("shares-do-not-sum", message);
        let error = match cells.first() {
            Some(cell) => error.at(self.source, cell.mark, cell.width),
            None => error,
        };
        error.help("nothing is scaled in silence: correct the row, or name every end in --shares")
    }

    fn outcome(&mut self, cell: &Cell) -> Result<Outcome, Diagnostic> {
        match folded(&cell.text).as_str() {
            "yes" => return Ok(Outcome::Count { yes: 1.0, of: 1.0 }),
            "no" => return Ok(Outcome::Count { yes: 0.0, of: 1.0 }),
            _ => {}
        }
        let counted = cell.text.split_once('/').or_else(|| cell.text.split_once(" of "));
        let Some((yes, of)) = counted else {
            return Ok(Outcome::Grade(self.number(cell)?));
        };
        let count = |text: &str| text.trim().parse::<u32>().ok();
        match (count(yes), count(of)) {
            (Some(yes), Some(of)) if of > 0 && yes <= of => Ok(Outcome::Count {
                yes: f64::from(yes),
                of: f64::from(of),
            }),
            _ => Err(Diagnostic::error("bad-count", is_no(&cell.text, "count of pieces"))
                .at(self.source, cell.mark, cell.width)
                .help("write how many of how many, such as 2/5")),
        }
    }

    /// All grades or all counts; a column of 0 and 1 alone is yes and no.
    fn outcomes(&mut self, tiles: Vec<(Vec<f64>, Outcome, &Cell)>, name: &str) -> Result<Outcomes, Diagnostic> {
        let counted = |outcome: &Outcome| matches!(outcome, Outcome::Count { .. });
        let any_count = tiles.iter().any(|(_, outcome, _)| counted(outcome));
        let bits = tiles
            .iter()
            .all(|(_, outcome, _)| counted(outcome) || matches!(outcome, Outcome::Grade(0.0 | 1.0)));
        if any_count && !bits {
            let stray = tiles.iter().find(|(_, outcome, _)| !counted(outcome));
            let error = Diagnostic::error("mixed-results", of_typed(name, "holds counts and grades"));
            let error = match stray {
                Some((_, _, cell)) => error.at(self.source, cell.mark, cell.width),
                None => error,
            };
            return Err(error.help("keep yes, no and 2/5 in one column and grades in another"));
        }
        if bits {
            if !any_count {
                self.notes.push(TileReading::NoAndYes(name.to_owned()));
            }
            let tile = |(shares, outcome, _)| match outcome {
                Outcome::Count { yes, of } => Counted { shares, yes, of },
                Outcome::Grade(yes) => Counted { shares, yes, of: 1.0 },
            };
            return Ok(Outcomes::Counts(tiles.into_iter().map(tile).collect()));
        }
        let tile = |(shares, outcome, _)| match outcome {
            Outcome::Grade(value) | Outcome::Count { yes: value, .. } => Graded { shares, value },
        };
        Ok(Outcomes::Grades(tiles.into_iter().map(tile).collect()))
    }

    fn said(self, value: &str) -> Vec<TileReading> {
        let mut said = Vec::new();
        if self.whole == Some(100.0) {
            said.push(TileReading::PerCent);
        }
        // Rows of one sum are told together, by the sum as it is written.
        let mut by_sum: BTreeMap<String, (f64, Vec<usize>)> = BTreeMap::new();
        for (line, sum) in &self.off_sum {
            by_sum.entry(plain(*sum)).or_insert((*sum, Vec::new())).1.push(*line);
        }
        let as_written = |(sum, lines)| TileReading::AsWritten { sum, lines };
        said.extend(by_sum.into_values().map(as_written));
        if !self.empty.is_empty() {
            said.push(TileReading::WithoutValue {
                value: value.to_owned(),
                lines: self.empty,
            });
        }
        said.extend(self.notes);
        said
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<TileTable, Diagnostic> {
        let ends = ["a", "b"].map(str::to_owned);
        read_tiles(&Source::from_text("tiles.csv", text), &ends, "gloss", None)
    }

    fn graded(text: &str) -> Vec<Graded> {
        match read(text).unwrap_or_else(|why| panic!("{why:?}")).outcomes {
            Outcomes::Grades(tiles) => tiles,
            Outcomes::Counts(tiles) => panic!("{tiles:?}"),
        }
    }

    #[test]
    fn fractions_and_per_cent_are_the_same_tiles() {
        let fractions = graded("code,a,b,gloss\nA1,0.25,0.75,3\nA2,1,,4.5\n");
        assert_eq!(fractions, graded("a;b;gloss\n25 %;75 %;3\n100;0;4,5\n"));
        assert_eq!(fractions[0].shares, [0.25, 0.75]);
    }

    #[test]
    fn rounded_shares_are_kept_and_said() {
        let table = read("a,b,gloss\n0.33,0.665,3\n1,0,2\n0,1,\n").unwrap_or_else(|why| panic!("{why:?}"));
        assert_eq!(
            table.assumptions,
            [
                TileReading::AsWritten {
                    sum: 0.33 + 0.665,
                    lines: vec![2]
                },
                TileReading::WithoutValue {
                    value: "gloss".to_owned(),
                    lines: vec![4]
                },
            ]
        );
        assert!(matches!(table.outcomes, Outcomes::Grades(tiles) if tiles[0].shares == [0.33, 0.665]));
    }

    #[test]
    fn yes_and_no_in_every_spelling() {
        for column in ["1\n0\n1", "yes\nno\nYes", "1/1\n0/1\n1 of 1"] {
            let rows: Vec<&str> = column.lines().collect();
            let text = format!("a,b,gloss\n1,0,{}\n0,1,{}\n1,0,{}\n", rows[0], rows[1], rows[2]);
            let table = read(&text).unwrap_or_else(|why| panic!("{why:?}"));
            let Outcomes::Counts(tiles) = table.outcomes else {
                panic!("counts")
            };
            assert_eq!(tiles.iter().map(|tile| tile.yes).collect::<Vec<_>>(), [1.0, 0.0, 1.0]);
        }
    }

    #[test]
    fn what_is_wrong_has_its_line() {
        for (text, code, line) in [
            ("a,b,gloss\n0.5,0.5,3\n0.5,0.6,3\n", "shares-do-not-sum", 3),
            ("a,b,gloss\n0.5,0.5,3\n50,50,3\n", "shares-do-not-sum", 3),
            ("a,b,gloss\n-0.5,1.5,3\n", "bad-share", 2),
            ("a,b,gloss\n0.5,0.5,shiny\n", "bad-number", 2),
            ("a,b,gloss\n0.5,half,3\n", "bad-number", 2),
            ("a,b,gloss\n0.5,0.5,7/5\n", "bad-count", 2),
            ("a,b,gloss\n0.5,0.5,2/5\n1,0,3.5\n", "mixed-results", 3),
            ("a,b,gloss\n", "no-tiles", 1),
            ("a,b,glos\n1,0,3\n", "no-such-column", 1),
        ] {
            let why = read(text).err().unwrap_or_else(|| panic!("{text} was read"));
            assert_eq!(why.code, code, "{text}");
            assert_eq!(why.place.map(|place| place.mark.line), Some(line), "{text}");
        }
    }
}
