//! A table of words and numbers that fits the terminal: cells wrap, nothing is cut.

use crate::layout::{self, is_one_line, is_plain};

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
            push_line(&mut text, row.iter().map(String::as_str), &widths, right);
            continue;
        }
        let wrapped: Vec<Vec<String>> = row
            .iter()
            .zip(&widths)
            .map(|(cell, width)| wrap(cell, *width))
            .collect();
        let height = wrapped.iter().map(Vec::len).max().unwrap_or(1);
        for line in 0..height {
            let cells = wrapped.iter().map(|lines| lines.get(line).map_or("", String::as_str));
            push_line(&mut text, cells, &widths, right);
        }
    }
    text
}

/// One line of cells each of which fits its column.
fn push_line<'a>(text: &mut String, cells: impl Iterator<Item = &'a str>, widths: &[usize], right: &[bool]) {
    let start = text.len();
    for ((cell, width), right) in cells.zip(widths).zip(right) {
        let padding = std::iter::repeat_n(' ', width.saturating_sub(layout::columns(cell)));
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
    let longest = |column: usize| rows.iter().map(|row| longest_word(&row[column], behind)).max();
    let widths = (0..columns).map(|column| longest(column).unwrap_or(0));
    widths.map(|width| width.max(NARROWEST)).collect()
}

fn longest_word(cell: &str, behind: Option<char>) -> usize {
    if !is_plain(cell) {
        let words = cell.split_whitespace();
        let parts = words.flat_map(|word| word.split_inclusive(|sign| Some(sign) == behind));
        return parts.map(layout::columns).max().unwrap_or(0);
    }
    // Plain letters take a column each.
    let (mut longest, mut word) = (0, 0);
    for sign in cell.bytes().map(char::from) {
        word = if sign == ' ' { 0 } else { word + 1 };
        longest = longest.max(word);
        if Some(sign) == behind {
            word = 0;
        }
    }
    longest
}

fn wrap(text: &str, width: usize) -> Vec<String> {
    if text.len() <= width && is_one_line(text) {
        return vec![text.to_owned()];
    }
    let mut lines = Vec::new();
    let (mut line, mut filled) = (String::new(), 0);
    for mut word in text.split_whitespace() {
        let mut letters = word.chars().count();
        loop {
            let room = width.saturating_sub(if filled == 0 { 0 } else { filled + 1 });
            if letters <= room || width == 0 {
                break;
            }
            if filled > 0 {
                lines.push(std::mem::take(&mut line));
                filled = 0;
                continue;
            }
            let (first, rest) = broken(word, width);
            lines.push(first.to_owned());
            (word, letters) = (rest, rest.chars().count());
        }
        if filled > 0 {
            line.push(' ');
            filled += 1;
        }
        line.push_str(word);
        filled += letters;
    }
    lines.push(line);
    lines
}

/// A word too long for a line: what stands on it, and the rest. A ratio is parted behind its
/// colon, where it has one there.
fn broken(word: &str, width: usize) -> (&str, &str) {
    let end = word.char_indices().nth(width).map_or(word.len(), |(at, _)| at);
    let colon = word[..end].rfind(':').map(|at| at + 1);
    word.split_at(colon.unwrap_or(end))
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
        assert_eq!(wrap("für eine Tür", 4), ["für", "eine", "Tür"]);
        assert_eq!(wrap("größere", 3), ["grö", "ßer", "e"]);
    }
}
