//! A studio's files as tables, in the form that [`super::read_tables`] takes back.

use std::collections::HashMap;

use glost_chemistry::diagnostic::{Diagnostic, Source};
use glost_chemistry::oxides::AnalysisKey;
use glost_chemistry::read::{Node, Value, parse, push_row};

use super::yaml::Yaml;

/// One entry of a file: its keys in order.
pub type Entry = Vec<(String, Yaml)>;

/// Reads a file that is one entry.
///
/// # Errors
/// It is no YAML, or no map.
pub fn entry(source: &Source) -> Result<Entry, Diagnostic> {
    map(source, &parse(source)?)
}

/// Reads the entries of a materials file.
///
/// # Errors
/// It is no YAML, or no list of maps.
pub fn list_entries(source: &Source) -> Result<Vec<Entry>, Diagnostic> {
    let root = parse(source)?;
    let Value::Map(fields) = &root.value else {
        return Err(no_map(source, &root));
    };
    let list = fields
        .iter()
        .find(|(key, _)| key.text == "materials")
        .map(|(_, node)| &node.value);
    match list {
        Some(Value::List(items)) => items.iter().map(|item| map(source, item)).collect(),
        _ => Err(no_map(source, &root)),
    }
}

fn map(source: &Source, node: &Node) -> Result<Entry, Diagnostic> {
    match Yaml::of(node) {
        Some(Yaml::Map(entries)) => Ok(entries),
        _ => Err(no_map(source, node)),
    }
}

fn no_map(source: &Source, node: &Node) -> Diagnostic {
    Diagnostic::error("wrong-type", "no names with values stand here").at(source, node.mark, 1)
}

/// A glaze file without its recipe: a row of `glazes.csv`.
pub fn glaze_row(file: &str, entry: &Entry) -> Row {
    let own = |key: &str| !matches!(key, "glaze" | "parts" | "additions");
    let name = entry.iter().filter(|(key, _)| key == "glaze");
    let mut row: Row = name.map(|(key, value)| (key.clone(), name_cell(value))).collect();
    row.push(("file".to_owned(), file.to_owned()));
    row.extend(
        entry
            .iter()
            .filter(|(key, _)| own(key))
            .map(|(key, value)| (heading(key), value.cell())),
    );
    row
}

/// The lines of a glaze file's recipe: rows of `recipes.csv`.
pub fn recipe_rows(entry: &Entry) -> Vec<Row> {
    let name = entry
        .iter()
        .find(|(key, _)| key == "glaze")
        .map_or_else(String::new, |(_, name)| name_cell(name));
    let mut rows = Vec::new();
    for (key, role) in [("parts", "base"), ("additions", "addition")] {
        let Some((_, Yaml::Map(lines))) = entry.iter().find(|(known, _)| known == key) else {
            continue;
        };
        rows.extend(lines.iter().map(|(material, amount)| {
            [
                ("glaze", name.clone()),
                ("role", role.to_owned()),
                ("material", material.clone()),
                ("amount", amount.cell()),
            ]
            .map(|(heading, cell)| (heading.to_owned(), cell))
            .to_vec()
        }));
    }
    rows
}

/// A material: a row of `materials.csv`, a column for each line of its analysis.
pub fn material_row(file: &str, entry: &Entry) -> Row {
    let mut row: Row = Vec::new();
    for (key, value) in entry {
        match (key.as_str(), value) {
            ("name", name) => {
                row.push(("material".to_owned(), name_cell(name)));
                row.push(("file".to_owned(), file.to_owned()));
            }
            ("analysis", Yaml::Map(lines)) if lines.iter().all(is_oxide) => {
                row.extend(lines.iter().map(|(oxide, amount)| (oxide.clone(), amount.cell())));
            }
            ("tolerance", Yaml::Map(lines)) if lines.iter().all(is_oxide) => {
                row.extend(
                    lines
                        .iter()
                        .map(|(oxide, amount)| (format!("tolerance {oxide}"), amount.cell())),
                );
            }
            (key, value) => row.push((heading(key), value.cell())),
        }
    }
    row
}

/// A name as it is: the columns of names hold nothing else.
fn name_cell(name: &Yaml) -> String {
    match name {
        Yaml::Text(name) => name.clone(),
        other => other.cell(),
    }
}

fn is_oxide((name, _): &(String, Yaml)) -> bool {
    AnalysisKey::parse(name).is_some()
}

/// A clay: a row of `clays.csv`.
pub fn clay_row(file: &str, entry: &Entry) -> Row {
    let is_name = |key: &str| matches!(key, "clay" | "body");
    let name = entry.iter().filter(|(key, _)| is_name(key));
    let mut row: Row = name.map(|(_, value)| ("clay".to_owned(), name_cell(value))).collect();
    row.push(("file".to_owned(), file.to_owned()));
    row.extend(
        entry
            .iter()
            .filter(|(key, _)| !is_name(key))
            .map(|(key, value)| (key.clone(), value.cell())),
    );
    row
}

/// `studio.yaml`: a row a key.
pub fn settings_rows(entry: &Entry) -> Vec<Row> {
    let row = |(key, value): &(String, Yaml)| vec![("key".to_owned(), key.clone()), ("value".to_owned(), value.cell())];
    entry.iter().map(row).collect()
}

/// A key as a heading: words apart.
fn heading(key: &str) -> String {
    key.replace('_', " ")
}

/// A row: headings with their cells.
pub type Row = Vec<(String, String)>;

/// A table as text while its rows come: every heading in the order in which it comes first.
#[derive(Debug, Default)]
pub struct TableText {
    headings: Vec<String>,
    places: HashMap<String, usize>,
    rows: String,
    /// Where each row ends, and how many headings were known by then.
    ends: Vec<(usize, usize)>,
}

impl TableText {
    /// Adds a row.
    pub fn add(&mut self, row: &Row) {
        for (heading, _) in row {
            if !self.places.contains_key(heading) {
                self.places.insert(heading.clone(), self.headings.len());
                self.headings.push(heading.clone());
            }
        }
        let mut cells = vec![""; self.headings.len()];
        for (heading, cell) in row {
            cells[self.places[heading]] = cell;
        }
        push_row(&mut self.rows, &cells);
        self.ends.push((self.rows.len(), cells.len()));
    }

    /// How many rows it has.
    pub fn len(&self) -> usize {
        self.ends.len()
    }

    /// Whether it has none.
    pub fn is_empty(&self) -> bool {
        self.ends.is_empty()
    }

    /// The whole table, headings first.
    pub fn whole(&self) -> String {
        let mut text = String::with_capacity(self.rows.len());
        push_row(&mut text, &self.headings);
        let mut start = 0;
        for (end, columns) in &self.ends {
            text.push_str(&self.rows[start..end - 1]);
            // Of headings that came later a row has nothing.
            let missing = self.headings.len().max(1) - (*columns).max(1);
            text.extend(std::iter::repeat_n(',', missing));
            text.push('\n');
            start = *end;
        }
        text
    }
}
