//! `glost run`: sentences and tables that a script puts out.

use glost_chemistry::read::push_cell;
use glost_core::rules::Signature;
use glost_desk::run::{Answer, Item, ReportTable};

use crate::fitted::fitted;
use crate::layout::{Style, paragraph};
use crate::number;
use crate::words::signed::signed;
use crate::{Csv, Shown};

fn shown(item: &Item, decimals: usize) -> String {
    match item {
        Item::Nothing => "-".to_owned(),
        Item::Number(number) => format!("{number:.decimals$}"),
        Item::Text(text) => text.clone(),
        Item::YesNo(truth) => if *truth { "yes" } else { "no" }.to_owned(),
    }
}

fn cell(item: &Item) -> String {
    match item {
        Item::Nothing => String::new(),
        Item::Number(number) => number.to_string(),
        Item::Text(text) => quoted(text),
        Item::YesNo(truth) => if *truth { "yes" } else { "no" }.to_owned(),
    }
}

/// A CSV cell that no spreadsheet runs, in quotes where it needs them.
fn quoted(text: &str) -> String {
    let mut cell = String::new();
    push_cell(&mut cell, text);
    cell
}

fn numbers(table: &ReportTable, column: usize) -> impl Iterator<Item = f64> + '_ {
    table.rows.iter().filter_map(move |row| match row.get(column) {
        Some(Item::Number(number)) => Some(*number),
        _ => None,
    })
}

/// Decimals as asked; else none for whole numbers, two, or three where all are small.
fn decimals(table: &ReportTable, column: usize) -> usize {
    if let Some(decimals) = table.columns[column].decimals {
        return decimals;
    }
    let largest = numbers(table, column).map(f64::abs).fold(0.0, f64::max);
    if numbers(table, column).all(|number| number.fract() == 0.0) {
        0
    } else if largest < 0.0995 {
        number::SMALL_DECIMALS
    } else {
        2
    }
}

fn head(table: &ReportTable) -> Vec<String> {
    table
        .columns
        .iter()
        .map(|column| match &column.unit {
            Some(unit) => format!("{}, {unit}", column.name),
            None => column.name.clone(),
        })
        .collect()
}

pub(super) fn table_text(table: &ReportTable) -> String {
    if table.rows.is_empty() {
        return "Nothing in it.\n".to_owned();
    }
    let places: Vec<usize> = (0..table.columns.len()).map(|column| decimals(table, column)).collect();
    let right: Vec<bool> = (0..table.columns.len())
        .map(|column| numbers(table, column).next().is_some())
        .collect();
    let mut rows = vec![head(table)];
    for row in &table.rows {
        rows.push(
            row.iter()
                .zip(&places)
                .map(|(cell, decimals)| shown(cell, *decimals))
                .collect(),
        );
    }
    fitted(&rows, &right)
}

/// The rows, each signed: a row may be copied anywhere.
fn rows(table: &ReportTable, signature: &Signature) -> String {
    let heading: Vec<String> = head(table).iter().map(|name| quoted(name)).collect();
    let mut text = heading.join(",");
    for own in ["script", "whose", "hash", "set"] {
        let taken = table.columns.iter().any(|column| column.name == own);
        text.push_str(if taken { ",signed_" } else { "," });
        text.push_str(own);
    }
    text.push('\n');
    let set = signature.set_words();
    let signed = [&signature.script, &signature.whose.to_string(), &signature.hash, &set].map(|cell| quoted(cell));
    for row in &table.rows {
        let cells: Vec<String> = row.iter().map(cell).chain(signed.iter().cloned()).collect();
        text.push_str(&cells.join(","));
        text.push('\n');
    }
    text
}

impl Shown for Answer {
    fn text(&self, style: Style) -> String {
        let mut text = String::new();
        if self.said.is_empty() {
            text.push_str(style.bold(paragraph(&self.title, 0).trim_end()).as_str());
            text.push('\n');
        }
        for (index, sentence) in self.said.iter().enumerate() {
            for line in sentence.lines() {
                let shown = paragraph(line, 0);
                if index == 0 {
                    text.push_str(&style.bold(shown.trim_end()));
                    text.push('\n');
                } else {
                    text.push_str(&shown);
                }
            }
        }
        for table in &self.tables {
            text.push('\n');
            if !table.0.title.is_empty() {
                text.push_str(&style.bold(paragraph(&table.0.title, 0).trim_end()));
                text.push('\n');
            }
            text.push_str(&table_text(&table.0));
        }
        text.push('\n');
        text.push_str(&paragraph(&format!("({}; {})", signed(&self.signed), self.source), 0));
        text
    }

    /// The tables for a spreadsheet; several stand apart by an empty line.
    fn csv(&self) -> Option<Csv> {
        let rows: Vec<String> = self.tables.iter().map(|table| rows(&table.0, &self.signed)).collect();
        Some(Csv {
            rows: rows.join("\n"),
            beside: self.said.clone(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cell_is_quoted_and_is_no_formula() {
        assert_eq!(quoted("a, \"b\""), "\"a, \"\"b\"\"\"");
        assert_eq!(quoted("=1+2"), "'=1+2");
        assert_eq!(quoted("-3"), "-3");
    }
}
