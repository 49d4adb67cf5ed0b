//! A laboratory's table as it comes.

use glost_chemistry::diagnostic::{Diagnostic, Mark, Source, suggestion};
use glost_chemistry::read::{Cell, CsvTable, folded, parse_csv};
use glost_core::evidence::laboratory::LabResult;

use super::compared::compare;
use crate::{Desk, Failure};

/// Its columns; the last may be left out.
const COLUMNS: [&str; 5] = ["metal", "value", "unit", "shape", "market"];
/// The most results that one report has.
const MOST: usize = 500;

/// A table's results, each with its place.
pub(super) struct Sheet {
    source: Source,
    pub(super) results: Vec<LabResult>,
    marks: Vec<Mark>,
}

impl Sheet {
    /// Whether each of its results can be put beside limits: told before anything is written.
    ///
    /// # Errors
    /// The first that can't, at its place.
    pub(super) fn can_be_compared(&self, desk: &Desk) -> Result<(), Failure> {
        let Err(Failure::Wrong(why)) = compare(desk, &self.results, None, None) else {
            return Ok(());
        };
        for (result, mark) in self.results.iter().zip(&self.marks) {
            let one = std::slice::from_ref(result);
            if let Err(Failure::Wrong(why)) = compare(desk, one, None, None)
                && let Some(first) = why.first()
            {
                // The script counts the lines of the one row that it was handed.
                let message = first.message.strip_prefix("line 2: ").unwrap_or(&first.message);
                return Err(Diagnostic::error("bad-result", message)
                    .at(&self.source, *mark, result.metal.chars().count().max(1))
                    .help("correct it in the table; nothing was written")
                    .into());
            }
        }
        Err(why.into())
    }
}

/// Reads the results of a table.
///
/// # Errors
/// No such file, no table, a column that is missing, an empty cell, with the place.
pub(super) fn read(desk: &Desk, file: &str, market: Option<&str>) -> Result<Sheet, Failure> {
    let source = desk.workplace().text(file)?;
    let table = parse_csv(&source)?;
    let mut places = Vec::new();
    let mut complaints = Vec::new();
    for column in COLUMNS {
        let found = table.head.iter().position(|cell| folded(&cell.text) == column);
        if found.is_none() && column != COLUMNS[4] {
            complaints.push(no_column(&table, column));
        }
        places.push(found);
    }
    if !complaints.is_empty() {
        return Err(complaints.into());
    }
    if table.rows.is_empty() || table.rows.len() > MOST {
        let message = format!("{} results: from 1 to {MOST} are kept as one report", table.rows.len());
        return Err(Diagnostic::error("bad-table", message)
            .help("a row a result: metal,value,unit,shape; nothing was written")
            .into());
    }
    let cell = |row: &[Cell], column: usize| -> Result<String, Diagnostic> {
        let at = places[column].and_then(|at| row.get(at));
        let text = at.map_or_else(String::new, |cell| cell.text.trim().to_owned());
        match (at, text.is_empty() && column != 4) {
            (Some(at), true) => Err(Diagnostic::error("empty-cell", format!("no {} here", COLUMNS[column]))
                .at(&table.source, at.mark, 1)
                .help("every result has metal, value, unit and shape; nothing was written")),
            _ => Ok(text),
        }
    };
    let results = table.rows.iter().map(|row| {
        let own = cell(row, 4)?;
        Ok(LabResult {
            metal: cell(row, 0)?,
            value: cell(row, 1)?,
            unit: cell(row, 2)?,
            shape: cell(row, 3)?,
            market: Some(own).filter(|own| !own.is_empty()).or(market.map(str::to_owned)),
        })
    });
    let results = results.collect::<Result<_, Diagnostic>>()?;
    let first = |row: &Vec<Cell>| places[0].and_then(|at| row.get(at)).map(|cell| cell.mark);
    let marks = table
        .rows
        .iter()
        .map(|row| first(row).unwrap_or(Mark { line: 1, column: 1 }));
    Ok(Sheet {
        results,
        marks: marks.collect(),
        source: table.source,
    })
}

fn no_column(table: &CsvTable, column: &str) -> Diagnostic {
    let heads = table.head.iter().map(|cell| cell.text.as_str());
    let near = suggestion(column, heads);
    let error = Diagnostic::error("no-column", format!("this table has no column `{column}`"));
    let help = "its first line names the columns: metal,value,unit,shape (market may follow)";
    let error = match table.head.first() {
        Some(first) => error.at(&table.source, first.mark, first.text.chars().count().max(1)),
        None => error,
    };
    error.help(near.map_or_else(|| help.to_owned(), |near| format!("{near}; {help}")))
}
