//! A file of sheets read as far as it goes: what can be used, and what can't with the
//! names that it seems to give, so that a slip in one sheet stops only whoever needs it.

use crate::diagnostic::{Diagnostic, Source};
use crate::read::{Node, Value, parse};

use super::entry::{EntryReader, MaterialEntry, list_of};

/// Sheets of materials as they stand in a file.
#[derive(Debug, Clone, Default)]
pub struct Sheets {
    /// Those that can be used.
    pub entries: Vec<MaterialEntry>,
    /// Those that can't.
    pub broken: Vec<BrokenSheet>,
}

/// A sheet, or a whole file, that can't be used.
#[derive(Debug, Clone, PartialEq)]
pub struct BrokenSheet {
    /// The names it may be meant by.
    pub names: Vec<String>,
    /// What is wrong with it.
    pub why: Diagnostic,
}

/// The sheets of a materials file.
pub fn read_sheets(source: &Source) -> Sheets {
    match parse(source) {
        Ok(root) => sheets_in(source, &root),
        Err(why) => whole_file(source, why),
    }
}

/// The sheets of a materials file's tree.
pub(super) fn sheets_in(source: &Source, root: &Node) -> Sheets {
    let items = match list_of(source, root) {
        Ok(items) => items,
        Err(why) => return whole_file(source, why),
    };
    let mut sheets = Sheets::default();
    for item in items {
        match EntryReader::new(source, item).and_then(|reader| reader.read()) {
            Ok(entry) => sheets.entries.push(entry),
            Err(why) => sheets.broken.push(BrokenSheet {
                names: names_of(item),
                why,
            }),
        }
    }
    sheets
}

/// Nothing of a file can be used; it may hold a sheet of every name that it seems to give.
fn whole_file(source: &Source, why: Diagnostic) -> Sheets {
    let names = source.text.lines().flat_map(names_in).collect();
    Sheets {
        entries: Vec::new(),
        broken: vec![BrokenSheet { names, why }],
    }
}

/// What a line gives as names: `name: silica`, `{ name: silica, ...`, `other_names: [flint]`.
fn names_in(line: &str) -> Vec<String> {
    let line = line.split(" #").next().unwrap_or(line);
    let plain = |name: &str| name.trim().trim_matches(['"', '\'']).to_owned();
    let mut names: Vec<String> = Vec::new();
    for (at, key) in line.match_indices("name") {
        let own = line[..at].chars().next_back();
        let (other, rest) = (own == Some('_'), &line[at + key.len()..]);
        let value = rest.strip_prefix('s').unwrap_or(rest).strip_prefix(':').map(str::trim);
        match value {
            Some(list) if other => {
                let list = list.trim_start_matches('[');
                let list = list.split_once(']').map_or(list, |(list, _)| list);
                names.extend(list.split(',').map(plain));
            }
            Some(value) if own.is_none_or(|before| " \t-{,".contains(before)) => {
                names.push(plain(value.split([',', '}']).next().unwrap_or(value)));
                // A name of its own may hold a comma.
                names.push(plain(value));
            }
            _ => {}
        }
    }
    names.retain(|name| !name.is_empty());
    names
}

/// The names that a sheet gives, however little else of it can be read.
fn names_of(item: &Node) -> Vec<String> {
    let Value::Map(entries) = &item.value else {
        return Vec::new();
    };
    let mut names = Vec::new();
    for (_, value) in entries
        .iter()
        .filter(|(key, _)| key.text == "name" || key.text == "other_names")
    {
        match &value.value {
            Value::Text(name) => names.push(name.clone()),
            Value::List(others) => names.extend(others.iter().filter_map(|other| match &other.value {
                Value::Text(name) => Some(name.clone()),
                _ => None,
            })),
            Value::Nothing | Value::Map(_) => {}
        }
    }
    names
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Sheets {
        read_sheets(&Source::from_text("materials/own.yaml", text))
    }

    #[test]
    fn a_slip_breaks_its_own_sheet_alone() {
        let sheets = read(
            "materials:\n  - { name: silica, formula: SiO2, source: own }\n  - name: whiting\n    other_names: [chalk, lime spar]\n    formula: CaCO3\n    prise: 1 EUR/kg\n    source: own\n  - { name: alumina, formula: Al2O3, source: own }\n",
        );
        let names: Vec<&str> = sheets.entries.iter().map(|entry| entry.name.text.as_str()).collect();
        assert_eq!(names, ["silica", "alumina"]);
        assert_eq!(sheets.broken.len(), 1);
        assert_eq!(sheets.broken[0].names, ["whiting", "chalk", "lime spar"]);
        assert_eq!(sheets.broken[0].why.code, "unknown-key");
    }

    #[test]
    fn of_a_file_that_is_no_yaml_every_name_it_seems_to_give_counts() {
        let sheets = read(
            "materials:\n  - name: silica   # flour\n    formula: [SiO2\n  - { name: \"whiting, fine\", formula: CaCO3 }\n    other_names: [chalk, 'lime spar']\n",
        );
        assert_eq!(sheets.broken.len(), 1);
        for name in ["silica", "whiting, fine", "chalk", "lime spar"] {
            assert!(
                sheets.broken[0].names.iter().any(|known| known.contains(name)),
                "{name}: {sheets:?}"
            );
        }
    }
}
