//! `glost run`: sentences and tables that a script puts out.

use glost_core::rules::Signature;
use glost_desk::run::{Answer, Item, ReportTable};

use crate::layout::{Style, WIDTH, paragraph};
use crate::number;
use crate::words::signed::signed;
use crate::{Csv, Shown};

/// Narrower than this no column of words is made.
const NARROWEST: usize = 12;

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

/// A CSV cell, in quotes where it needs them. What a spreadsheet would take for
/// a formula gets a blank before it.
fn quoted(text: &str) -> String {
    let text = if text.starts_with(['=', '+', '-', '@']) && text.parse::<f64>().is_err() {
        format!(" {text}")
    } else {
        text.to_owned()
    };
    if text.contains([',', '"', '\n', '\r', ';']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text
    }
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

fn table_text(table: &ReportTable) -> String {
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
    let widths = widths(&rows, &right);
    let mut text = String::new();
    for row in &rows {
        let wrapped: Vec<Vec<String>> = row
            .iter()
            .zip(&widths)
            .map(|(cell, width)| wrap(cell, *width))
            .collect();
        let height = wrapped.iter().map(Vec::len).max().unwrap_or(1);
        for line in 0..height {
            let mut line_shown = String::new();
            for ((lines, width), right) in wrapped.iter().zip(&widths).zip(&right) {
                let cell = lines.get(line).map_or("", String::as_str);
                let padding = " ".repeat(width.saturating_sub(cell.chars().count()));
                let (before, after) = if *right {
                    (padding, String::new())
                } else {
                    (String::new(), padding)
                };
                line_shown.push_str(&format!("{before}{cell}{after}  "));
            }
            text.push_str(line_shown.trim_end());
            text.push('\n');
        }
    }
    text
}

/// The rows, each signed: a row may be copied anywhere.
fn rows(table: &ReportTable, signature: &Signature) -> String {
    let heading: Vec<String> = head(table).iter().map(|name| quoted(name)).collect();
    let mut text = heading.join(",") + ",script,whose,hash,set\n";
    let set = signature.set_words();
    let signed = [&signature.script, &signature.whose.to_string(), &signature.hash, &set].map(|cell| quoted(cell));
    for row in &table.rows {
        let cells: Vec<String> = row.iter().map(cell).chain(signed.iter().cloned()).collect();
        text.push_str(&cells.join(","));
        text.push('\n');
    }
    text
}

/// Widths of the columns; the widest columns of words give way until the table
/// fits the terminal.
fn widths(rows: &[Vec<String>], right: &[bool]) -> Vec<usize> {
    let mut widths: Vec<usize> = (0..right.len())
        .map(|column| rows.iter().map(|row| row[column].chars().count()).max().unwrap_or(0))
        .collect();
    let between = 2 * widths.len().saturating_sub(1);
    while widths.iter().sum::<usize>() + between > WIDTH {
        let widest = (0..widths.len())
            .filter(|column| widths[*column] > NARROWEST)
            .max_by_key(|column| (!right[*column], widths[*column]));
        let Some(widest) = widest else { break };
        widths[widest] -= 1;
    }
    widths
}

fn wrap(text: &str, width: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        let mut word: Vec<char> = word.chars().collect();
        loop {
            let line = lines.last_mut().map_or(0, |line| line.chars().count());
            let room = width.saturating_sub(if line == 0 { 0 } else { line + 1 });
            if word.len() <= room || width == 0 {
                break;
            }
            if line > 0 {
                lines.push(String::new());
                continue;
            }
            lines.push(word.drain(..width).collect());
            lines.swap_remove(lines.len() - 2);
            lines.push(String::new());
        }
        if let Some(line) = lines.last_mut() {
            if !line.is_empty() {
                line.push(' ');
            }
            line.extend(word);
        }
    }
    lines
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
    fn words_wrap_and_long_ones_break() {
        assert_eq!(wrap("a bb ccc", 4), ["a bb", "ccc"]);
        assert_eq!(wrap("abcdefgh x", 3), ["abc", "def", "gh", "x"]);
        assert_eq!(wrap("", 3), [""]);
    }

    #[test]
    fn a_cell_is_quoted_and_is_no_formula() {
        assert_eq!(quoted("a, \"b\""), "\"a, \"\"b\"\"\"");
        assert_eq!(quoted("=1+2"), " =1+2");
        assert_eq!(quoted("-3"), "-3");
    }
}
