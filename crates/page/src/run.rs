//! `glost run`: sentences and tables that a script puts out.

use serde_json::{Map, Value, json};

use crate::layout::{Style, WIDTH, paragraph};
use crate::number;

/// A value in a table.
#[derive(Debug, Clone, PartialEq)]
pub enum CellView {
    /// Nothing there.
    Nothing,
    /// A number.
    Number(f64),
    /// A text.
    Text(String),
    /// Yes or no.
    YesNo(bool),
}

/// A column.
#[derive(Debug, Clone)]
pub struct ColumnView {
    /// Its name.
    pub name: String,
    /// The unit of its numbers.
    pub unit: Option<String>,
    /// Decimals to show.
    pub decimals: Option<usize>,
}

/// A table.
#[derive(Debug, Clone)]
pub struct TableView {
    /// Its title.
    pub title: String,
    /// Its columns.
    pub columns: Vec<ColumnView>,
    /// Its rows.
    pub rows: Vec<Vec<CellView>>,
}

/// What a run put out.
#[derive(Debug, Clone)]
pub struct RunPage {
    /// The script's name.
    pub script: String,
    /// The script's title.
    pub title: String,
    /// Where its rule comes from.
    pub source: String,
    /// Its sentences.
    pub said: Vec<String>,
    /// Its tables.
    pub tables: Vec<TableView>,
}

/// Narrower than this no column of words is made.
const NARROWEST: usize = 12;

impl CellView {
    fn json(&self) -> Value {
        match self {
            CellView::Nothing => Value::Null,
            CellView::Number(number) => json!(number),
            CellView::Text(text) => json!(text),
            CellView::YesNo(truth) => json!(truth),
        }
    }

    fn text(&self, decimals: usize) -> String {
        match self {
            CellView::Nothing => "-".to_owned(),
            CellView::Number(number) => format!("{number:.decimals$}"),
            CellView::Text(text) => text.clone(),
            CellView::YesNo(truth) => if *truth { "yes" } else { "no" }.to_owned(),
        }
    }

    fn csv(&self) -> String {
        match self {
            CellView::Nothing => String::new(),
            CellView::Number(number) => number.to_string(),
            CellView::Text(text) => quoted(text),
            CellView::YesNo(truth) => if *truth { "yes" } else { "no" }.to_owned(),
        }
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

impl TableView {
    fn numbers(&self, column: usize) -> impl Iterator<Item = f64> + '_ {
        self.rows.iter().filter_map(move |row| match row.get(column) {
            Some(CellView::Number(number)) => Some(*number),
            _ => None,
        })
    }

    /// Decimals as asked; else none for whole numbers, two, or three where all are small.
    fn decimals(&self, column: usize) -> usize {
        if let Some(decimals) = self.columns[column].decimals {
            return decimals;
        }
        let largest = self.numbers(column).map(f64::abs).fold(0.0, f64::max);
        if self.numbers(column).all(|number| number.fract() == 0.0) {
            0
        } else if largest < 0.0995 {
            number::SMALL_DECIMALS
        } else {
            2
        }
    }

    fn head(&self) -> Vec<String> {
        self.columns
            .iter()
            .map(|column| match &column.unit {
                Some(unit) => format!("{}, {unit}", column.name),
                None => column.name.clone(),
            })
            .collect()
    }

    fn text(&self) -> String {
        if self.rows.is_empty() {
            return "Nothing in it.\n".to_owned();
        }
        let decimals: Vec<usize> = (0..self.columns.len()).map(|column| self.decimals(column)).collect();
        let right: Vec<bool> = (0..self.columns.len())
            .map(|column| self.numbers(column).next().is_some())
            .collect();
        let mut rows = vec![self.head()];
        for row in &self.rows {
            rows.push(
                row.iter()
                    .zip(&decimals)
                    .map(|(cell, decimals)| cell.text(*decimals))
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
                let mut shown = String::new();
                for ((lines, width), right) in wrapped.iter().zip(&widths).zip(&right) {
                    let cell = lines.get(line).map_or("", String::as_str);
                    let padding = " ".repeat(width.saturating_sub(cell.chars().count()));
                    let (before, after) = if *right {
                        (padding, String::new())
                    } else {
                        (String::new(), padding)
                    };
                    shown.push_str(&format!("{before}{cell}{after}  "));
                }
                text.push_str(shown.trim_end());
                text.push('\n');
            }
        }
        text
    }

    fn json(&self) -> Value {
        let rows = self.rows.iter().map(|row| {
            let cells = self.columns.iter().zip(row);
            Value::Object(
                cells
                    .map(|(column, cell)| (column.name.clone(), cell.json()))
                    .collect::<Map<_, _>>(),
            )
        });
        json!({
            "title": self.title,
            "columns": self.columns.iter().map(|column| json!({"name": column.name, "unit": column.unit})).collect::<Vec<_>>(),
            "rows": rows.collect::<Vec<_>>(),
        })
    }

    fn csv(&self) -> String {
        let mut text = self
            .head()
            .iter()
            .map(|name| quoted(name))
            .collect::<Vec<_>>()
            .join(",");
        text.push('\n');
        for row in &self.rows {
            text.push_str(&row.iter().map(CellView::csv).collect::<Vec<_>>().join(","));
            text.push('\n');
        }
        text
    }
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

impl RunPage {
    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
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
            if !table.title.is_empty() {
                text.push_str(&style.bold(paragraph(&table.title, 0).trim_end()));
                text.push('\n');
            }
            text.push_str(&table.text());
        }
        text.push('\n');
        text.push_str(&paragraph(&format!("({}; {})", self.script, self.source), 0));
        text
    }

    /// For programs.
    pub fn json(&self) -> Value {
        json!({
            "script": self.script,
            "title": self.title,
            "source": self.source,
            "said": self.said,
            "tables": self.tables.iter().map(TableView::json).collect::<Vec<_>>(),
        })
    }

    /// The tables for a spreadsheet; several stand apart by an empty line.
    pub fn csv(&self) -> String {
        self.tables.iter().map(TableView::csv).collect::<Vec<_>>().join("\n")
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
