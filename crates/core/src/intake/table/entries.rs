//! Materials, clays, settings and counts from tables, a row each.

use glost_chemistry::material::MATERIAL_KEYS;
use glost_chemistry::quantity::parse_number;
use glost_chemistry::read::folded;
use indexmap::map::Entry;

use super::amount::with_points;
use super::cells::{Row, Table};
use super::draft::{At, Count, EntryDraft, Gathered, Open};
use super::heading::TakenAs;
use super::keys::material_value;
use super::sort::Sorted;
use super::yaml::Yaml;

/// Oxides alone that make so nearly 100 are of the fired material, wt %.
const FIRED_SUM: f64 = 1.5;
/// A loss below this, wt %, tells nothing about the basis.
const LEAST_LOSS: f64 = 0.5;

/// Rows with a name each.
pub struct Entries<'a> {
    /// The table.
    pub table: &'a Table,
    /// What its columns are.
    pub sorted: &'a Sorted,
    /// The studio's currency.
    pub currency: Option<&'a str>,
    /// What is written as the source of figures that name none.
    pub source: &'a str,
    /// What is gathered.
    pub gathered: &'a mut Gathered,
}

impl Entries<'_> {
    /// A row a material with what it is made of.
    pub fn materials(mut self) {
        for index in 0..self.table.rows.len() {
            let row = &self.table.rows[index];
            let Some((name, at)) = self.named(row, &TakenAs::Material) else {
                continue;
            };
            let Some(entries) = self.material(&name, row) else {
                continue;
            };
            let draft = EntryDraft {
                file: self.file(row),
                name,
                at,
                entries,
            };
            take(&mut self.gathered.materials, &mut self.gathered.open, draft);
        }
        self.unknown();
    }

    /// A row a material with values that change.
    pub fn counts(mut self) {
        for index in 0..self.table.rows.len() {
            let row = &self.table.rows[index];
            let Some((material, at)) = self.named(row, &TakenAs::Material) else {
                continue;
            };
            for (column, cell) in filled(row, self.sorted) {
                let (heading, TakenAs::Key(key)) = &self.sorted.columns[column] else {
                    continue;
                };
                let key = one_or_several(key, cell);
                match material_value(key, cell, heading, self.currency) {
                    Ok(value) => self.gathered.counts.push(Count {
                        material: material.clone(),
                        at: at.clone(),
                        key: key.to_owned(),
                        value: value.cell(),
                    }),
                    Err(why) => self.gathered.open.push(Open::Cell {
                        at: at.clone(),
                        column: heading.text.clone(),
                        text: cell.to_owned(),
                        why: why.message,
                        help: why.help,
                    }),
                }
            }
        }
        self.unknown();
    }

    /// A row a clay, its keys as they are headed.
    pub fn clays(mut self) {
        for index in 0..self.table.rows.len() {
            let row = &self.table.rows[index];
            let Some((name, at)) = self.named(row, &TakenAs::Clay) else {
                continue;
            };
            let mut entries = vec![("clay".to_owned(), Yaml::text(name.clone()))];
            for (column, cell) in filled(row, self.sorted) {
                if let TakenAs::Key(key) = &self.sorted.columns[column].1 {
                    entries.push((key.clone(), Yaml::of_cell(cell)));
                }
            }
            let draft = EntryDraft {
                file: self.file(row),
                name,
                at,
                entries,
            };
            take(&mut self.gathered.clays, &mut self.gathered.open, draft);
        }
    }

    /// A row a key of `studio.yaml`.
    pub fn settings(self) {
        for row in &self.table.rows {
            if !row.cell(0).is_empty() && !row.cell(1).is_empty() {
                let value = Yaml::of_cell(row.cell(1));
                self.gathered.settings.push((row.cell(0).to_owned(), value));
            }
        }
    }

    fn named(&mut self, row: &Row, wanted: &TakenAs) -> Option<(String, At)> {
        let name = self.sorted.column(wanted).map_or("", |column| row.cell(column));
        let at = At {
            file: self.table.file.clone(),
            line: row.line,
        };
        if name.is_empty() {
            self.gathered.open.push(Open::NoName { at });
            return None;
        }
        Some((name.to_owned(), at))
    }

    fn file(&self, row: &Row) -> Option<String> {
        let cell = self.sorted.column(&TakenAs::File).map(|column| row.cell(column))?;
        (!cell.is_empty()).then(|| cell.to_owned())
    }

    /// The keys of a material in the order of its file; none where a cell can't be read.
    fn material(&mut self, name: &str, row: &Row) -> Option<Vec<(String, Yaml)>> {
        let (mut analysis, mut tolerance, mut told) = (Vec::new(), Vec::new(), Vec::new());
        let before = self.gathered.open.len();
        // A table that tells files was written from files, where a zero is meant.
        let zeros = self.sorted.column(&TakenAs::File).is_some();
        for (column, cell) in filled(row, self.sorted) {
            let (heading, taken) = &self.sorted.columns[column];
            match taken {
                TakenAs::Oxide(oxide) => {
                    let value = with_points(cell.trim_end_matches('%').trim_end());
                    add(&mut analysis, oxide, value, zeros);
                }
                TakenAs::Tolerance(oxide) => add(&mut tolerance, oxide, with_points(cell), zeros),
                TakenAs::Key(key) => match material_value(key, cell, heading, self.currency) {
                    Ok(value) => told.push((one_or_several(key, cell), value)),
                    Err(why) => self.gathered.open.push(Open::Cell {
                        at: At {
                            file: self.table.file.clone(),
                            line: row.line,
                        },
                        column: heading.text.clone(),
                        text: cell.to_owned(),
                        why: why.message,
                        help: why.help,
                    }),
                },
                _ => {}
            }
        }
        if !analysis.is_empty() {
            let basis = basis(&analysis, &told);
            told.push(("analysis", Yaml::Map(analysis)));
            if !told.iter().any(|(key, _)| *key == "basis") {
                told.push(("basis", Yaml::text(basis)));
            }
        }
        if !tolerance.is_empty() {
            told.push(("tolerance", Yaml::Map(tolerance)));
        }
        if !told.iter().any(|(key, _)| *key == "source") {
            told.push(("source", Yaml::text(self.source)));
        }
        let mut entries = vec![("name".to_owned(), Yaml::text(name))];
        for key in MATERIAL_KEYS {
            let value = told.iter().find(|(known, _)| *known == key);
            entries.extend(value.map(|(key, value)| ((*key).to_owned(), value.clone())));
        }
        (self.gathered.open.len() == before).then_some(entries)
    }

    fn unknown(&mut self) {
        for (column, (heading, taken)) in self.sorted.columns.iter().enumerate() {
            if !matches!(taken, TakenAs::Unknown | TakenAs::Blank) {
                continue;
            }
            let mut cells = self
                .table
                .rows
                .iter()
                .map(|row| row.cell(column))
                .filter(|cell| !cell.is_empty());
            let Some(example) = cells.next() else { continue };
            self.gathered.open.push(Open::Column {
                file: self.table.file.clone(),
                column: heading.text.clone(),
                cells: 1 + cells.count(),
                example: example.to_owned(),
                amounts: false,
                nearest: None,
            });
        }
    }
}

/// The key of a cell under a heading of lots: open lots with what is left of each stand in
/// it as files list them, anything else is the name of one.
fn one_or_several<'a>(key: &'a str, cell: &str) -> &'a str {
    if key == "lots" && !cell.starts_with('[') {
        "lot"
    } else {
        key
    }
}

fn filled<'a>(row: &'a Row, sorted: &Sorted) -> impl Iterator<Item = (usize, &'a str)> {
    let columns = row.width().min(sorted.columns.len());
    (0..columns)
        .map(|at| (at, row.cell(at)))
        .filter(|(_, cell)| !cell.is_empty())
}

/// Adds a line of an analysis; a zero, which sheets write for nothing, where `zeros` count.
fn add(lines: &mut Vec<(String, Yaml)>, oxide: &str, value: String, zeros: bool) {
    let zero = parse_number(&value).is_ok_and(|number| number.value == 0.0);
    if (zeros || !zero) && !lines.iter().any(|(known, _)| known == oxide) {
        lines.push((oxide.to_owned(), Yaml::text(value)));
    }
}

/// What an analysis' 100 % means where nothing says so: oxides that make 100 beside a
/// loss are of the fired material.
fn basis(analysis: &[(String, Yaml)], told: &[(&str, Yaml)]) -> &'static str {
    let number = |value: &Yaml| match value {
        Yaml::Text(text) => parse_number(text).map_or(0.0, |number| number.value),
        _ => 0.0,
    };
    let sum: f64 = analysis.iter().map(|(_, value)| number(value)).sum();
    let loss = told
        .iter()
        .find(|(key, _)| *key == "loss_on_ignition")
        .map_or(0.0, |(_, value)| number(value));
    if loss > LEAST_LOSS && (sum - 100.0).abs() <= FIRED_SUM {
        "fired"
    } else {
        "as supplied"
    }
}

fn take(drafts: &mut indexmap::IndexMap<String, EntryDraft>, open: &mut Vec<Open>, draft: EntryDraft) {
    match drafts.entry(folded(&draft.name)) {
        Entry::Occupied(_) => open.push(Open::TwoRows {
            at: draft.at,
            name: draft.name,
        }),
        Entry::Vacant(free) => {
            free.insert(draft);
        }
    }
}
