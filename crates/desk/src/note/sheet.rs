//! A table of notes, all of it or none.

use std::collections::HashMap;

use super::{DRAFT_KEYS, Draft, Settled, Slip};
use glost_chemistry::diagnostic::{Diagnostic, MOST_COMPLAINTS, of_typed, suggestion};
use glost_chemistry::quantity::Date;
use glost_chemistry::read::{Cell, CsvTable, parse_csv};
use glost_core::evidence::notes::{Note, Version};
use serde::{Serialize, Serializer};

use super::Noticed;
use super::books::{Books, Known};
use super::named::{Named, NoNote};
use super::record::record;
use crate::wire::NoteJson;
use crate::{Desk, Failure, Said};

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

/// A table that was typed in.
#[derive(Debug, Clone)]
pub struct TypedIn {
    /// The table's file.
    pub file: String,
    /// Its notes, each with its line; at least one.
    pub notes: Vec<Note>,
    /// Versions that were recorded for it.
    pub new_versions: Vec<Version>,
    /// What was assumed.
    pub assumptions: Vec<Said>,
    /// What to take care of.
    pub cautions: Vec<Said>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct VersionJson<'a> {
    glaze: &'a str,
    version: &'a str,
}

#[derive(Serialize, schemars::JsonSchema)]
struct TypedInJson<'a> {
    notes: Vec<NoteJson<'a>>,
    recorded_versions: Vec<VersionJson<'a>>,
    assumptions: &'a [Said],
    cautions: &'a [Said],
}

impl Serialize for TypedIn {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let versions = self.new_versions.iter().map(|version| VersionJson {
            glaze: &version.glaze,
            version: &version.version,
        });
        TypedInJson {
            notes: self.notes.iter().map(NoteJson).collect(),
            recorded_versions: versions.collect(),
            assumptions: &self.assumptions,
            cautions: &self.cautions,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(TypedIn: TypedInJson<'_>);

/// What is asked of a table.
pub(super) struct Asked<'a> {
    pub(super) file: &'a str,
    pub(super) usual: &'a Draft,
    pub(super) unlisted: bool,
    pub(super) twice: bool,
}

impl Asked<'_> {
    pub(super) fn type_in(&self, desk: &Desk, today: Date) -> Result<TypedIn, Failure> {
        let table = parse_csv(&desk.workplace().text(self.file)?)?;
        let sheet = Sheet {
            columns: columns(&table)?,
            table: &table,
        };
        let (untouched, written): (Vec<_>, Vec<_>) = table.rows.iter().partition(|row| sheet.is_untouched(row));
        let mut rows = self.read(&sheet, &written, desk, today)?;
        if rows.is_empty() {
            return Err(nothing_in(self.file, !untouched.is_empty()).into());
        }
        if !self.twice {
            not_noted_already(self.file, &rows, desk)?;
        }
        let new_versions = record(desk, &mut rows, today)?;
        let notes = desk.workplace().add_notes(|notes| -> Result<_, Failure> {
            let noted = notes.with_each(rows.iter().map(|row| &row.note));
            Ok((noted.iter().map(Note::to_line).collect(), noted))
        })?;
        let (mut assumptions, mut cautions): (Vec<Said>, Vec<Said>) = (Vec::new(), Vec::new());
        for row in rows {
            each_once(&mut assumptions, row.assumptions);
            each_once(&mut cautions, row.cautions);
        }
        if !untouched.is_empty() {
            assumptions.push(Said::Note(Noticed::RowsLeftOut { rows: untouched.len() }));
        }
        Ok(TypedIn {
            file: self.file.to_owned(),
            notes,
            new_versions,
            assumptions,
            cautions,
        })
    }

    /// The rows as notes, or what is wrong with the first of them that aren't.
    fn read(&self, sheet: &Sheet<'_>, rows: &[&Vec<Cell>], desk: &Desk, today: Date) -> Result<Vec<Named>, Failure> {
        let mut notes = Vec::new();
        let mut complaints = Vec::new();
        let books = Books::open(desk)?;
        for row in rows {
            let settled = sheet.settle(row, self.usual, &books, today);
            match settled.and_then(|(settled, known)| sheet.named(settled, known, row, desk, self.unlisted)) {
                Ok(named) => notes.push(named),
                Err(error) => complaints.push(error),
            }
            if complaints.len() >= MOST_COMPLAINTS {
                break;
            }
        }
        if complaints.is_empty() {
            Ok(notes)
        } else {
            Err(complaints.into())
        }
    }
}

/// Adds what isn't said yet.
fn each_once(all: &mut Vec<Said>, more: Vec<Said>) {
    for said in more {
        if !all.contains(&said) {
            all.push(said);
        }
    }
}

fn nothing_in(file: &str, has_rows: bool) -> Diagnostic {
    if has_rows {
        let error = Diagnostic::error("empty-table", format!("no row of `{file}` says what was seen"));
        return error.help("nothing was noted; write a day, a grade or a count into the rows looked at");
    }
    let error = Diagnostic::error("empty-table", of_typed(file, "has headings but no rows"));
    error.help("nothing was noted; write a row for each look")
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

/// A table with what its columns hold.
struct Sheet<'a> {
    table: &'a CsvTable,
    columns: Vec<Column>,
}

impl Sheet<'_> {
    /// A row of a blank sheet that nobody has written in yet.
    fn is_untouched(&self, row: &[Cell]) -> bool {
        row.iter().zip(&self.columns).all(|(cell, column)| {
            let names_pieces = matches!(column, Column::Key(key) if WHICH.contains(key));
            names_pieces || cell.text.trim().is_empty()
        })
    }

    fn settle(
        &self,
        row: &[Cell],
        usual: &Draft,
        books: &Books<'_>,
        today: Date,
    ) -> Result<(Settled, Known), Diagnostic> {
        let mut draft = Draft::default();
        for (cell, column) in row.iter().zip(&self.columns) {
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
            let error = Diagnostic::error("bad-cell", "on: nothing says which day this was seen");
            return Err(self
                .at(error, row, "on")
                .help("write it in a column `on` (2026-11-24), or say --on for the whole sheet"));
        }
        let filled = books.fill(&mut draft, today);
        let settled = filled.and_then(|known| Ok((draft.settle(today)?, known)));
        settled.map_err(|slip| self.slipped(slip, row))
    }

    fn slipped(&self, slip: Slip, row: &[Cell]) -> Diagnostic {
        let error = Diagnostic::error("bad-cell", format!("{}: {}", slip.key, slip.trouble.message));
        self.at(error, row, slip.key).maybe_help(slip.trouble.help)
    }

    /// The row's note with its names looked up; a complaint without a place is
    /// about the cell that holds the name.
    fn named(
        &self,
        settled: Settled,
        known: Known,
        row: &[Cell],
        desk: &Desk,
        unlisted: bool,
    ) -> Result<Named, Diagnostic> {
        Named::find(desk, settled, known, unlisted).map_err(|why| {
            let unnamed = match why {
                NoNote::Slip(slip) => return self.slipped(slip, row),
                NoNote::Unnamed(unnamed) => unnamed,
            };
            let mut complaints = unnamed.complaints.into_iter();
            let error = complaints
                .next()
                .unwrap_or_else(|| Diagnostic::error("bad-cell", "this row can't be noted"));
            match error.place {
                Some(_) => error,
                None => self.at(error, row, unnamed.part.key()),
            }
        })
    }

    fn at(&self, error: Diagnostic, row: &[Cell], key: &str) -> Diagnostic {
        let cell = self.cell_of(row, key);
        error.at(&self.table.source, cell.mark, cell.width)
    }

    /// The cell under a key; the row's first where the call said it.
    fn cell_of<'r>(&self, row: &'r [Cell], key: &str) -> &'r Cell {
        let of = |column: &Column| match column {
            Column::Key(known) => *known == key,
            Column::Grade(_) => key == "grade",
        };
        let found = row
            .iter()
            .zip(&self.columns)
            .find(|(cell, column)| of(column) && !cell.text.is_empty());
        found.map_or(&row[0], |(cell, _)| cell)
    }
}

/// A sheet is easily typed in twice, and its pieces would count twice.
fn not_noted_already(file: &str, rows: &[Named], desk: &Desk) -> Result<(), Failure> {
    let notes = desk.workplace().notes()?.0;
    let bare = |note: &Note| {
        let note = Note {
            version: None,
            ..note.clone()
        };
        note.content_id()
    };
    let mut in_sheet: HashMap<String, usize> = HashMap::new();
    for (index, row) in rows.iter().enumerate() {
        if let Some(first) = in_sheet.insert(bare(&row.note), index) {
            let message = format!("rows {} and {} of `{file}` say the same", first + 1, index + 1);
            return Err(Diagnostic::error("row-twice", message)
                .help("rows are counted without the heading and the empty ones; take one out, or add --twice where they are other pieces that look the same")
                .into());
        }
    }
    let known: HashMap<String, usize> = notes.standing().map(|note| (bare(note), note.line)).collect();
    let lines: Vec<Option<usize>> = rows.iter().map(|row| known.get(&bare(&row.note)).copied()).collect();
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
