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

/// Rows as a table: every heading in the order in which it comes first.
pub fn table(rows: &[Row]) -> String {
    let mut places: HashMap<&str, usize> = HashMap::new();
    let mut headings: Vec<&str> = Vec::new();
    for (heading, _) in rows.iter().flatten() {
        places.entry(heading).or_insert_with(|| {
            headings.push(heading);
            headings.len() - 1
        });
    }
    let mut text = String::new();
    push_row(&mut text, &headings);
    for row in rows {
        let mut cells = vec![""; headings.len()];
        for (heading, cell) in row {
            cells[places[heading.as_str()]] = cell;
        }
        push_row(&mut text, &cells);
    }
    text
}
