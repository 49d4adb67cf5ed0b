//! CSV files that a `run` script declares, with their values typed.

use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, Source, none_called, of_typed, suggestion};
use glost_chemistry::glaze::Glaze;
use glost_chemistry::material::Material;
use glost_chemistry::quantity::parse_number;
use glost_chemistry::read::{Cell, CsvTable};

use crate::literal::{Literal, Shape};
use crate::options::texts;
use crate::scene::Scene;
use crate::trouble::place;

/// What the values of a column are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ColumnKind {
    /// Numbers where the first value is one, else texts.
    Told,
    /// Texts.
    Text,
    /// Numbers.
    Number,
    /// Yes or no.
    YesNo,
    /// Names of materials.
    Material,
    /// Names of the studio's glazes.
    Glaze,
}

/// A column that a script asks for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ColumnSpec {
    /// Its name.
    pub name: String,
    /// What is in it.
    pub kind: ColumnKind,
    /// Whether a file may leave it out: written `"pieces: number?"`.
    pub may_be_missing: bool,
}

/// A CSV file that a script wants handed over.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TableSpec {
    /// The name it is asked by.
    pub name: String,
    /// Its columns.
    pub columns: Vec<ColumnSpec>,
}

/// A typed value.
#[derive(Debug, Clone)]
pub(crate) enum Typed {
    Empty,
    Text(String),
    Number(f64),
    YesNo(bool),
    Material(Arc<Material>),
    Glaze(Arc<Glaze>),
}

/// One row.
#[derive(Debug, Clone)]
pub(crate) struct Row {
    /// Line in the file, from 1.
    pub(crate) line: usize,
    /// In the order of the declared columns.
    pub(crate) values: Vec<Typed>,
}

/// A table handed over to a script.
#[derive(Debug, Clone)]
pub struct GivenTable {
    pub(crate) name: String,
    pub(crate) file: String,
    pub(crate) columns: Vec<String>,
    pub(crate) rows: Vec<Row>,
}

const KINDS: [(&str, ColumnKind); 5] = [
    ("text", ColumnKind::Text),
    ("number", ColumnKind::Number),
    ("yes/no", ColumnKind::YesNo),
    ("material", ColumnKind::Material),
    ("glaze", ColumnKind::Glaze),
];

impl ColumnKind {
    /// In a word; none where the file tells.
    pub fn word(self) -> Option<&'static str> {
        KINDS.iter().find(|known| known.1 == self).map(|known| known.0)
    }
}

impl TableSpec {
    /// Reads one declaration: a list of `"name"`, `"name: kind"` or, for a column
    /// that a file may leave out, `"name: kind?"`.
    pub(crate) fn read(name: &str, literal: &Literal, source: &Source) -> Result<TableSpec, Diagnostic> {
        let items = texts(literal, source)?;
        let mut columns: Vec<ColumnSpec> = Vec::new();
        for (index, text) in items.iter().enumerate() {
            let at = match &literal.shape {
                Shape::List(list) => list.get(index).map_or(literal.position, |item| item.position),
                _ => literal.position,
            };
            let may_be_missing = text.ends_with('?');
            let text = text.trim_end_matches('?');
            let (column, kind) = match text.rsplit_once(": ") {
                None => (text, ColumnKind::Told),
                Some((column, word)) => match KINDS.iter().find(|known| known.0 == word.trim()) {
                    Some((_, kind)) => (column.trim(), *kind),
                    None => {
                        let words = KINDS.map(|known| known.0);
                        let fault = Diagnostic::error("bad-about", format!("a column can't hold `{}`", word.trim()))
                            .help(format!("one of {}", words.join(", ")))
                            .maybe_help(suggestion(word.trim(), words));
                        return Err(place(fault, source, at));
                    }
                },
            };
            if columns.iter().any(|known| known.name == column) {
                let fault = Diagnostic::error("duplicate-key", format!("the column `{column}` is named twice"));
                return Err(place(fault, source, at));
            }
            columns.push(ColumnSpec {
                name: column.to_owned(),
                kind,
                may_be_missing,
            });
        }
        Ok(TableSpec {
            name: name.to_owned(),
            columns,
        })
    }

    /// Types the values of a file.
    ///
    /// # Errors
    /// A column that isn't there, or a value that can't be what its column
    /// holds: each with the file, the row and the column.
    pub fn hand_over(&self, csv: &CsvTable, scene: &Scene) -> Result<GivenTable, Vec<Diagnostic>> {
        let mut complaints = Vec::new();
        let mut places = Vec::new();
        for column in &self.columns {
            let found = csv.head.iter().position(|cell| cell.text == column.name).or_else(|| {
                csv.head
                    .iter()
                    .position(|cell| cell.text.eq_ignore_ascii_case(&column.name))
            });
            match found {
                Some(index) => places.push(Some(index)),
                None if column.may_be_missing => places.push(None),
                None => complaints.push(self.no_column(column, csv)),
            }
        }
        if !complaints.is_empty() {
            return Err(complaints);
        }
        let kinds: Vec<ColumnKind> = self
            .columns
            .iter()
            .zip(&places)
            .map(|(column, place)| place.map_or(column.kind, |index| told(column.kind, csv, index)))
            .collect();
        let mut rows = Vec::with_capacity(csv.rows.len());
        for row in &csv.rows {
            let mut values = Vec::with_capacity(self.columns.len());
            for ((column, kind), place) in self.columns.iter().zip(&kinds).zip(&places) {
                let Some(index) = place else {
                    values.push(Typed::Empty);
                    continue;
                };
                match typed(*kind, &row[*index], scene) {
                    Ok(value) => values.push(value),
                    Err(why) => {
                        let cell = &row[*index];
                        let message = format!("row {}, column `{}`: {}", rows.len() + 1, column.name, why.message);
                        let help = why.help.or_else(|| {
                            (column.kind == ColumnKind::Told).then(|| {
                                format!(
                                    "its first value is a number; where texts are meant the script says `\"{}: text\"`",
                                    column.name
                                )
                            })
                        });
                        let fault = Diagnostic::error("bad-cell", message).maybe_help(help);
                        complaints.push(fault.at(&csv.source, cell.mark, cell.width));
                        values.push(Typed::Empty);
                    }
                }
            }
            rows.push(Row {
                line: row.first().map_or(0, |cell| cell.mark.line),
                values,
            });
        }
        if !complaints.is_empty() {
            return Err(complaints);
        }
        Ok(GivenTable {
            name: self.name.clone(),
            file: csv.source.name.to_string(),
            columns: self.columns.iter().map(|column| column.name.clone()).collect(),
            rows,
        })
    }

    fn no_column(&self, column: &ColumnSpec, csv: &CsvTable) -> Diagnostic {
        let message = format!(
            "the table `{}` needs a column `{}`, this file has none",
            self.name, column.name
        );
        let wanted: Vec<&str> = self.columns.iter().map(|column| column.name.as_str()).collect();
        let names = csv.head.iter().map(|cell| cell.text.as_str());
        let near = glost_chemistry::diagnostic::nearest(&column.name, names).map(|near| format!("is `{near}` meant?"));
        let width = csv.source.line(csv.head[0].mark.line).chars().count();
        Diagnostic::error("missing-column", message)
            .at(&csv.source, csv.head[0].mark, width)
            .help(near.unwrap_or_else(|| format!("its head should name {}", wanted.join(", "))))
    }
}

/// Numbers where the first value that is there is one.
fn told(kind: ColumnKind, csv: &CsvTable, index: usize) -> ColumnKind {
    if kind != ColumnKind::Told {
        return kind;
    }
    let first = csv
        .rows
        .iter()
        .map(|row| &row[index].text)
        .find(|text| !text.is_empty());
    match first {
        Some(text) if parse_number(text).is_ok() => ColumnKind::Number,
        _ => ColumnKind::Text,
    }
}

fn typed(kind: ColumnKind, cell: &Cell, scene: &Scene) -> Result<Typed, Diagnostic> {
    let text = cell.text.as_str();
    if text.is_empty() {
        return Ok(Typed::Empty);
    }
    match kind {
        ColumnKind::Text | ColumnKind::Told => Ok(Typed::Text(text.to_owned())),
        ColumnKind::Number => match parse_number(text) {
            Ok(read) => Ok(Typed::Number(read.value)),
            Err(why) => {
                Err(Diagnostic::error("bad-cell", why.message).maybe_help(why.help.filter(|_| !text.is_empty())))
            }
        },
        ColumnKind::YesNo => match text.to_lowercase().as_str() {
            "yes" | "true" | "y" | "x" | "1" => Ok(Typed::YesNo(true)),
            "no" | "false" | "n" | "-" | "0" => Ok(Typed::YesNo(false)),
            _ => Err(Diagnostic::error("bad-cell", of_typed(text, "is neither yes nor no")).help("write yes or no")),
        },
        ColumnKind::Material => match scene.library.find(text) {
            Some(material) => Ok(Typed::Material(material.clone())),
            None => Err(Diagnostic::error("bad-cell", none_called("material", text))
                .help("see `glost materials`")
                .maybe_help(scene.library.suggestion(text))),
        },
        ColumnKind::Glaze => {
            let found = scene.glazes.iter().find(|glaze| glaze.name.eq_ignore_ascii_case(text));
            match found {
                Some(glaze) => Ok(Typed::Glaze(glaze.clone())),
                None => Err(Diagnostic::error("bad-cell", none_called("glaze here", text))
                    .maybe_help(suggestion(text, scene.glazes.iter().map(|glaze| glaze.name.as_str())))),
            }
        }
    }
}
