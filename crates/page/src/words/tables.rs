//! Words for what a table leaves open.

use glost_core::intake::table::{At, Open, What};

/// A question with what to do about it.
pub fn open(open: &Open) -> String {
    match open {
        Open::Column {
            column,
            cells,
            example,
            amounts,
            nearest,
            ..
        } => column_words(column, *cells, example, *amounts, nearest.as_deref()),
        Open::Material {
            at,
            material,
            glazes,
            nearest,
        } => {
            let meant = meant(nearest.as_deref(), material);
            format!(
                "{}: no material is called `{material}` ({}, not written): {meant}",
                place(at),
                counted(*glazes, "glaze", "glazes")
            )
        }
        Open::Cell {
            at,
            column,
            text,
            why,
            help,
        } => {
            let help = help.as_ref().map_or_else(String::new, |help| format!(": {help}"));
            format!("{}, column `{column}`: `{text}` isn't taken, {why}{help}", place(at))
        }
        Open::NoName { at } => format!("{}: the row has no name; write it into the table", place(at)),
        Open::TwoRows { at, name } => format!(
            "{}: a second row is called `{name}`; the first is taken: give one of them another name",
            place(at)
        ),
        Open::TwoColumns {
            columns,
            material,
            glazes,
            ..
        } => {
            let alike = columns.windows(2).all(|pair| pair[0] == pair[1]);
            let which = if alike {
                format!("{} columns are headed {material}", columns.len())
            } else {
                format!("the columns {} are both {material}", quoted(columns))
            };
            format!(
                "{which}: added up in {}. Is that what they mean?",
                counted(*glazes, "glaze", "glazes")
            )
        }
        Open::Unusable {
            at,
            what,
            name,
            complaint,
        } => unusable(at, *what, name, &complaint.message, complaint.help.as_deref()),
        Open::AlreadyThere {
            at,
            what,
            name,
            differs,
        } => format!(
            "{}: the studio has {} `{name}` already, and {} there otherwise; the studio's stays: `glost set` changes a value, or give it another name in the table",
            place(at),
            what_words(*what),
            stand(differs)
        ),
        Open::NoEntry { at, material, nearest } => {
            let near = nearest.as_ref().map_or_else(
                || "describe it in a file in materials/ first".to_owned(),
                |near| format!("did you mean `{near}`?"),
            );
            format!(
                "{}: `{material}` has no entry in the studio's own files whose stock or price could change: {near}",
                place(at)
            )
        }
    }
}

fn column_words(column: &str, cells: usize, example: &str, amounts: bool, nearest: Option<&str>) -> String {
    if column.is_empty() {
        return format!(
            "a column without a heading holds {}, such as `{example}`: head it, or clear it",
            cells_words(cells)
        );
    }
    let held = format!("holds {}, such as `{example}`", cells_words(cells));
    if amounts {
        let meant = meant(nearest, column);
        return format!("what is the column `{column}`? It {held}; glazes with some of it aren't written: {meant}");
    }
    format!("what is the column `{column}`? It {held}, and isn't taken: --as \"{column}=notes\", or \"{column}=skip\"")
}

/// What an unknown name may stand for.
fn meant(nearest: Option<&str>, name: &str) -> String {
    match nearest {
        Some(near) => format!("is it `{near}`? Then --as \"{name}={near}\""),
        None => format!(
            "--as \"{name}=MATERIAL\" says which it is, \"{name}=skip\" leaves it out; or take the material in first"
        ),
    }
}

fn unusable(at: &At, what: What, name: &str, message: &str, help: Option<&str>) -> String {
    let help = help.map_or_else(String::new, |help| format!(": {help}"));
    let name = match what {
        What::Journal | What::Settings => String::new(),
        _ if name.is_empty() => String::new(),
        _ => format!(" {} `{name}`", what_words(what)),
    };
    format!("{}:{name} isn't taken, {message}{help}", place(at)).replace(":: ", ": ")
}

fn place(at: &At) -> String {
    format!("{}:{}", at.file, at.line)
}

fn what_words(what: What) -> &'static str {
    match what {
        What::Glaze => "a glaze",
        What::Material => "a material",
        What::Clay => "a clay",
        What::Settings => "settings in",
        What::Journal => "a journal",
    }
}

fn stand(differs: &[String]) -> String {
    const SHOWN: usize = 4;
    let mut keys: Vec<String> = differs.iter().take(SHOWN).map(|key| format!("`{key}`")).collect();
    if differs.len() > SHOWN {
        keys.push(format!("{} more", differs.len() - SHOWN));
    }
    let verb = if differs.len() == 1 { "stands" } else { "stand" };
    format!("{} {verb}", keys.join(", "))
}

fn cells_words(cells: usize) -> String {
    counted(cells, "cell", "cells")
}

/// `1 glaze`, `3 glazes`.
pub fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

fn quoted(names: &[String]) -> String {
    names
        .iter()
        .map(|name| format!("`{name}`"))
        .collect::<Vec<_>>()
        .join(" and ")
}
