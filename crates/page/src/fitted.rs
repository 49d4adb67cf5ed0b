//! A table of words and numbers that fits the terminal: cells wrap, nothing is cut.

use crate::layout::{self, is_one_line};

/// Narrower than this no column of words is made.
const NARROWEST: usize = 7;

/// The rows, headings first, in columns; `right`: which columns hold numbers.
pub(crate) fn fitted(rows: &[Vec<String>], right: &[bool]) -> String {
    let widest = cell_widths(rows, right.len());
    // Words are no wider than their cells: mostly there is nothing to part.
    let at_most: usize = widest.iter().map(|width| *width.max(&NARROWEST)).sum();
    let parted = (at_most + right.len().saturating_sub(1) > layout::width())
        .then(|| layout::fitting(&whole_words(rows, right.len(), Some(':')), layout::width()));
    if let Some(first) = parted.flatten() {
        let of = |columns: &[usize]| -> String {
            let rows: Vec<Vec<String>> = rows
                .iter()
                .map(|row| columns.iter().map(|at| row[*at].clone()).collect())
                .collect();
            let right: Vec<bool> = columns.iter().map(|at| right[*at]).collect();
            fitted(&rows, &right)
        };
        let above: Vec<usize> = (0..first).collect();
        let below: Vec<usize> = std::iter::once(0).chain(first..right.len()).collect();
        return format!("{}\n{}", of(&above), of(&below));
    }
    let widths = widths(rows, right, widest);
    let mut text = String::new();
    for row in rows {
        let is_line = |(cell, width): (&String, &usize)| cell.len() <= *width && is_one_line(cell);
        if row.iter().zip(&widths).all(is_line) {
            push_line(&mut text, row, &widths, right);
            continue;
        }
        let wrapped: Vec<Vec<String>> = row
            .iter()
            .zip(&widths)
            .map(|(cell, width)| wrap(cell, *width))
            .collect();
        let height = wrapped.iter().map(Vec::len).max().unwrap_or(1);
        for line in 0..height {
            let mut line_shown = String::new();
            for ((lines, width), right) in wrapped.iter().zip(&widths).zip(right) {
                let cell = lines.get(line).map_or("", String::as_str);
                let padding = " ".repeat(width.saturating_sub(layout::columns(cell)));
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

/// A row of plain cells none of which has to be wrapped.
fn push_line(text: &mut String, row: &[String], widths: &[usize], right: &[bool]) {
    let start = text.len();
    for ((cell, width), right) in row.iter().zip(widths).zip(right) {
        let padding = std::iter::repeat_n(' ', width.saturating_sub(cell.len()));
        if *right {
            text.extend(padding);
            text.push_str(cell);
        } else {
            text.push_str(cell);
            text.extend(padding);
        }
        text.push_str("  ");
    }
    text.truncate(start + text[start..].trim_end().len());
    text.push('\n');
}

/// The width of each column's widest cell.
fn cell_widths(rows: &[Vec<String>], columns: usize) -> Vec<usize> {
    let widest = |column: usize| rows.iter().map(|row| layout::columns(&row[column])).max().unwrap_or(0);
    (0..columns).map(widest).collect()
}

/// Widths of the columns; the widest columns of words give way until the table
/// fits the terminal.
fn widths(rows: &[Vec<String>], right: &[bool], mut widths: Vec<usize>) -> Vec<usize> {
    let between = 2 * widths.len().saturating_sub(1);
    if widths.iter().sum::<usize>() + between <= layout::width() {
        return widths;
    }
    let whole = whole_words(rows, right.len(), None);
    let ratios = whole_words(rows, right.len(), Some(':'));
    while widths.iter().sum::<usize>() + between > layout::width() {
        let widest = |least: &dyn Fn(usize) -> usize| {
            (0..widths.len())
                .filter(|column| widths[*column] > least(*column))
                .max_by_key(|column| (!right[*column], widths[*column]))
        };
        // Words break only where there is no other way.
        let Some(widest) = widest(&|column| whole[column])
            .or_else(|| widest(&|column| ratios[column]))
            .or_else(|| widest(&|_| NARROWEST))
        else {
            break;
        };
        widths[widest] -= 1;
    }
    widths
}

/// The width of each column's longest word; it may be parted behind this sign, too.
fn whole_words(rows: &[Vec<String>], columns: usize, behind: Option<char>) -> Vec<usize> {
    let words = |cell: &str| {
        let parts = cell
            .split_whitespace()
            .flat_map(|word| word.split_inclusive(|sign| Some(sign) == behind));
        parts.map(layout::columns).max().unwrap_or(0)
    };
    let longest = |column: usize| rows.iter().map(|row| words(&row[column])).max().unwrap_or(0);
    (0..columns).map(|column| longest(column).max(NARROWEST)).collect()
}

fn wrap(text: &str, width: usize) -> Vec<String> {
    if text.len() <= width && is_one_line(text) {
        return vec![text.to_owned()];
    }
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
            // A ratio is parted behind its colon, where it has one there.
            let colon = word[..width].iter().rposition(|sign| *sign == ':');
            lines.push(word.drain(..colon.map_or(width, |at| at + 1)).collect());
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_wrap_and_long_ones_break() {
        assert_eq!(wrap("a bb ccc", 4), ["a bb", "ccc"]);
        assert_eq!(wrap("abcdefgh x", 3), ["abc", "def", "gh", "x"]);
        assert_eq!(wrap("SiO2:Al2O3", 9), ["SiO2:", "Al2O3"]);
        assert_eq!(wrap("", 3), [""]);
        assert_eq!(wrap(" a  b ", 9), ["a b"]);
        assert_eq!(wrap("a b", 3), ["a b"]);
    }
}
