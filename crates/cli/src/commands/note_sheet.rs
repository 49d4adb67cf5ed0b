//! `glost note --sheet`: a table of notes, all of it or none; and blank ones.

use std::path::Path;

use glost_chemistry::diagnostic::{Diagnostic, MOST_COMPLAINTS, suggestion};
use glost_chemistry::quantity::Date;
use glost_chemistry::read::{Cell, CsvTable, parse_csv};
use glost_core::evidence::notes::{DRAFT_KEYS, Draft, Note};
use glost_page::layout::Style;
use glost_page::note_sheet::{SheetPage, blank_csv, blank_page};
use glost_page::sheet::PageFormat;
use glost_studio::{Workplace, create_new};

use super::note::{Named, draft, record};
use crate::args::NoteOptions;
use crate::outcome::{Answer, Failure, Outcome};

/// What a column holds.
enum Column {
    Key(&'static str),
    Grade(String),
}

/// Keys of which one stands for the other.
const STAND_INS: [(&str, &[&str]); 3] = [
    ("age", &["age_days", "made"]),
    ("made", &["age_days", "age"]),
    ("thickness", &["thickness_mm"]),
];

/// Keys that say which pieces, not what was seen on them.
const WHICH: [&str; 7] = ["tile", "glaze", "version", "clay", "firing", "cone", "batch"];

/// A row of a blank sheet that nobody has written in yet.
fn is_untouched(row: &[Cell], columns: &[Column]) -> bool {
    row.iter().zip(columns).all(|(cell, column)| {
        let names_pieces = matches!(column, Column::Key(key) if WHICH.contains(key));
        names_pieces || cell.text.trim().is_empty()
    })
}

pub(super) fn run(file: &str, options: &NoteOptions, workplace: &Workplace, today: Date, style: Style) -> Outcome {
    let table = parse_csv(&workplace.text(file)?)?;
    let columns = columns(&table)?;
    let usual = draft(options);
    let mut rows = Vec::new();
    let mut complaints = Vec::new();
    let (untouched, written): (Vec<_>, Vec<_>) = table.rows.iter().partition(|row| is_untouched(row, &columns));
    for row in written {
        match note_of(row, &columns, &usual, &table, today)
            .and_then(|settled| named(settled, row, &columns, &table, workplace, options.unlisted))
        {
            Ok(named) => rows.push(named),
            Err(error) => complaints.push(error),
        }
        if complaints.len() >= MOST_COMPLAINTS {
            break;
        }
    }
    if !complaints.is_empty() {
        return Err(complaints.into());
    }
    if rows.is_empty() && !untouched.is_empty() {
        let error = Diagnostic::error("empty-table", format!("no row of `{file}` says what was seen"));
        return Err(error
            .help("nothing was noted; write a day, a grade or a count into the rows looked at")
            .into());
    }
    if rows.is_empty() {
        let error = Diagnostic::error("empty-table", format!("`{file}` has headings but no rows"));
        return Err(error.help("nothing was noted; write a row for each look").into());
    }
    if !options.twice {
        not_noted_already(file, &rows, workplace)?;
    }
    let new_versions = record(workplace, &mut rows, today)?;
    let (notes, first) = workplace.add_notes(|notes| -> Result<_, Failure> {
        let mut notes = notes.clone();
        let first = notes.line_count() + 1;
        let mut lines = Vec::new();
        for row in &rows {
            lines.push(row.note.to_line());
            notes.push(row.note.clone());
        }
        Ok((lines, (notes, first)))
    })?;
    let mut assumptions: Vec<String> = Vec::new();
    for sentence in rows.into_iter().flat_map(|row| row.assumptions) {
        if !assumptions.contains(&sentence) {
            assumptions.push(sentence);
        }
    }
    if !untouched.is_empty() {
        assumptions.push(format!("{} rows without anything seen are left out", untouched.len()));
    }
    let page = SheetPage {
        file,
        notes: &notes,
        first,
        new_versions: &new_versions,
        assumptions: &assumptions,
    };
    Ok(Answer::yes(page.text(style), page.json()))
}

fn columns(table: &CsvTable) -> Result<Vec<Column>, Diagnostic> {
    table
        .head
        .iter()
        .map(|cell| {
            let heading = cell.text.trim().to_lowercase().replace(' ', "_");
            let heading = if heading == "body" { "clay" } else { &heading };
            if let Some(key) = DRAFT_KEYS.into_iter().find(|key| *key == heading) {
                return Ok(Column::Key(key));
            }
            if let Some(property) = cell.text.trim().to_lowercase().strip_prefix("grade ") {
                return Ok(Column::Grade(property.trim().to_owned()));
            }
            let message = format!("no note has a `{}`", cell.text);
            Err(Diagnostic::error("unknown-column", message)
                .at(&table.source, cell.mark, cell.width)
                .help(match suggestion(heading, DRAFT_KEYS) {
                    Some(near) => format!("{near} (a grade's heading is such as `grade gloss`)"),
                    None => format!(
                        "the headings are: {}; and grades such as `grade gloss`",
                        DRAFT_KEYS.join(", ")
                    ),
                }))
        })
        .collect()
}

fn note_of(
    row: &[Cell],
    columns: &[Column],
    usual: &Draft,
    table: &CsvTable,
    today: Date,
) -> Result<glost_core::evidence::notes::Settled, Diagnostic> {
    let mut draft = Draft::default();
    for (cell, column) in row.iter().zip(columns) {
        match column {
            Column::Key(key) => draft.say(key, &cell.text),
            Column::Grade(property) if !cell.text.is_empty() => {
                draft.say("grade", &format!("{property}={}", cell.text));
            }
            Column::Grade(_) => {}
        }
    }
    // What the call says holds for every row that doesn't say it itself.
    for key in DRAFT_KEYS {
        let stand_ins = STAND_INS
            .iter()
            .find(|known| known.0 == key)
            .map_or(&[][..], |known| known.1);
        let said = draft.said(key).is_some() || stand_ins.iter().any(|key| draft.said(key).is_some());
        if let (false, Some(text)) = (said, usual.said(key)) {
            draft.say(key, text);
        }
    }
    if draft.said("on").is_none() {
        let cell = cell_of(row, columns, "on");
        return Err(
            Diagnostic::error("bad-cell", "on: nothing says which day this was seen")
                .at(&table.source, cell.mark, cell.width)
                .help("write it in a column `on` (2026-11-24), or say --on for the whole sheet"),
        );
    }
    draft.settle(today).map_err(|slip| {
        let cell = cell_of(row, columns, slip.key);
        Diagnostic::error("bad-cell", format!("{}: {}", slip.key, slip.trouble.message))
            .at(&table.source, cell.mark, cell.width)
            .maybe_help(slip.trouble.help)
    })
}

fn named(
    settled: glost_core::evidence::notes::Settled,
    row: &[Cell],
    columns: &[Column],
    table: &CsvTable,
    workplace: &Workplace,
    unlisted: bool,
) -> Result<Named, Diagnostic> {
    let assumptions = settled.assumptions;
    match Named::find(settled.note, workplace, unlisted) {
        Ok(mut named) => {
            named.assumptions.extend(assumptions);
            Ok(named)
        }
        Err(failure) => {
            let mut error = failure
                .diagnostics()
                .first()
                .cloned()
                .unwrap_or_else(|| Diagnostic::error("bad-cell", "this row can't be noted"));
            if error.place.is_none() {
                let key = match error.code {
                    "unknown-clay" => "clay",
                    "unknown-tile" => "tile",
                    _ => "glaze",
                };
                let cell = cell_of(row, columns, key);
                error = error.at(&table.source, cell.mark, cell.width);
            }
            Err(error)
        }
    }
}

/// The cell under a key; the row's first where the call said it.
fn cell_of<'a>(row: &'a [Cell], columns: &[Column], key: &str) -> &'a Cell {
    let of = |column: &Column| match column {
        Column::Key(known) => *known == key,
        Column::Grade(_) => key == "grade",
    };
    let found = row
        .iter()
        .zip(columns)
        .find(|(cell, column)| of(column) && !cell.text.is_empty());
    found.map_or(&row[0], |(cell, _)| cell)
}

/// A sheet is easily typed in twice, and its pieces would count twice.
fn not_noted_already(file: &str, rows: &[Named], workplace: &Workplace) -> Result<(), Failure> {
    let notes = workplace.notes()?.0;
    let bare = |note: &Note| Note {
        line: 0,
        version: None,
        ..note.clone()
    };
    let lines: Vec<Option<usize>> = rows
        .iter()
        .map(|row| {
            let found = notes.standing().find(|note| bare(note) == bare(&row.note));
            found.map(|note| note.line)
        })
        .collect();
    let Some(Some(first)) = lines.first() else {
        return Ok(());
    };
    if lines.iter().any(Option::is_none) {
        return Ok(());
    }
    let message = format!("every row of `{file}` is noted already, the first on line {first}");
    Err(Diagnostic::error("noted-already", message)
        .help("nothing was noted again; are they other pieces that look the same, add --twice")
        .into())
}

/// Writes a blank sheet.
pub(super) fn blank(file: &Path, options: &NoteOptions, today: Date) -> Outcome {
    let usual = draft(options);
    let text = match file.extension().and_then(|ending| ending.to_str()) {
        Some("csv") => blank_csv(&usual, today),
        Some("html" | "htm" | "svg") => blank_page(&usual).file(PageFormat::of(file)?)?,
        _ => {
            let message = format!("`{}` is neither a .csv nor an .html file", file.display());
            return Err(Diagnostic::error("bad-option", message)
                .help("name it such as sheet.csv to type into, or sheet.html to print")
                .into());
        }
    };
    create_new(file, &text)?;
    let shown = file.display().to_string();
    Ok(Answer::yes(
        glost_page::note_sheet::blank_written(&shown),
        serde_json::json!({"written": shown}),
    ))
}
