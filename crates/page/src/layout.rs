//! Tables and paragraphs for a terminal: of 80 columns, unless it says otherwise.

use std::borrow::Cow;
use std::sync::atomic::{AtomicUsize, Ordering};

use unicode_width::UnicodeWidthStr;

/// The width that text output keeps to where nobody says another.
pub const USUAL_WIDTH: usize = 80;
/// Narrower than this no sentence reads, wider no line is found again.
const WIDTHS: std::ops::RangeInclusive<usize> = 30..=200;
/// A column of words isn't made narrower than this.
const LEAST_WORDS: usize = 8;
/// A word longer than this may be parted where a table is too wide: some scripts part
/// anywhere.
const LONGEST_WORD: usize = 12;

static COLUMNS: AtomicUsize = AtomicUsize::new(USUAL_WIDTH);

/// Says how wide the terminal is that text is laid out for: once, at the door.
pub fn set_width(columns: usize) {
    COLUMNS.store(columns.clamp(*WIDTHS.start(), *WIDTHS.end()), Ordering::Relaxed);
}

/// The width that text output keeps to.
pub fn width() -> usize {
    COLUMNS.load(Ordering::Relaxed)
}

/// How many columns a text takes: letters of some scripts are two wide.
pub fn columns(text: &str) -> usize {
    // Most texts are plain letters, a column each: years of notes are measured cell by cell.
    if is_plain(text) {
        return text.len();
    }
    UnicodeWidthStr::width(text)
}

/// Whether words may be set off; colour never carries a verdict alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Style {
    /// Escape codes allowed: a terminal, and no NO_COLOR.
    pub colour: bool,
}

impl Style {
    /// A text in bold where allowed.
    pub fn bold(self, text: &str) -> String {
        if self.colour {
            format!("\u{1b}[1m{text}\u{1b}[0m")
        } else {
            text.to_owned()
        }
    }
}

/// How a column lines up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Align {
    /// Words.
    Left,
    /// Numbers.
    Right,
    /// Numbers under their points.
    Point,
}

/// A table of texts; the first row is its head where it has one.
#[derive(Debug, Clone)]
pub struct Table {
    align: Vec<Align>,
    rows: Vec<Vec<String>>,
}

impl Table {
    /// An empty table with these columns.
    pub fn new(align: &[Align]) -> Table {
        Table {
            align: align.to_vec(),
            rows: Vec::new(),
        }
    }

    /// Adds a row.
    pub fn row<T: Into<String>>(&mut self, cells: impl IntoIterator<Item = T>) {
        self.rows.push(cells.into_iter().map(Into::into).collect());
    }

    /// Whether it has no rows.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// The table as lines, two spaces between columns; where it is wider than the
    /// terminal, columns of words and heads are wrapped, and where that doesn't help, the
    /// last columns stand in a table below, their rows named again.
    pub fn text(&self) -> String {
        let rows = self.pointed();
        let widths = self.widths(&rows);
        let whole = widths.iter().sum::<usize>() + 2 * widths.len().saturating_sub(1);
        if let Some(first) = fitting(&widths, width()) {
            let (above, below) = self.parted(first);
            return format!("{}\n{}", above.text(), below.text());
        }
        // Where nothing can be wrapped any more, columns move together.
        let gap = if whole > width() { " " } else { "  " };
        let mut text = String::new();
        for row in rows.iter() {
            let fits = row.iter().zip(&widths).all(|(cell, width)| columns(cell) <= *width);
            if fits && !row.is_empty() {
                self.push_line(&mut text, row, &widths, gap);
                continue;
            }
            let cells: Vec<Vec<String>> = row
                .iter()
                .zip(&widths)
                .map(|(cell, width)| {
                    if columns(cell) > *width {
                        rewrap(cell, *width)
                    } else {
                        vec![cell.clone()]
                    }
                })
                .collect();
            let height = cells.iter().map(Vec::len).max().unwrap_or(0);
            for index in 0..height {
                let of_line = |lines: &Vec<String>| lines.get(index).cloned().unwrap_or_else(String::new);
                let line: Vec<String> = cells.iter().map(of_line).collect();
                self.push_line(&mut text, &line, &widths, gap);
            }
            if height == 0 {
                text.push('\n');
            }
        }
        text
    }

    /// The first columns, and the others behind the one that names the rows.
    fn parted(&self, first: usize) -> (Table, Table) {
        let of = |columns: &[usize]| Table {
            align: columns.iter().map(|at| self.align[*at]).collect(),
            rows: self
                .rows
                .iter()
                .map(|row| columns.iter().filter_map(|at| row.get(*at).cloned()).collect())
                .collect(),
        };
        let above: Vec<usize> = (0..first).collect();
        let below: Vec<usize> = std::iter::once(0).chain(first..self.align.len()).collect();
        (of(&above), of(&below))
    }

    fn push_line(&self, text: &mut String, cells: &[String], widths: &[usize], gap: &str) {
        let start = text.len();
        for (index, ((cell, width), align)) in cells.iter().zip(widths).zip(&self.align).enumerate() {
            if index > 0 && text.len() > start {
                text.push_str(gap);
            }
            let padding = std::iter::repeat_n(' ', width.saturating_sub(columns(cell)));
            match align {
                Align::Left => {
                    text.push_str(cell);
                    text.extend(padding);
                }
                Align::Right | Align::Point => {
                    text.extend(padding);
                    text.push_str(cell);
                }
            }
        }
        let end = start + text[start..].trim_end().len();
        text.truncate(end);
        text.push('\n');
    }

    /// The widths of the columns: as wide as their cells, narrower where that is too much.
    fn widths(&self, rows: &[Vec<String>]) -> Vec<usize> {
        let of = |column: usize, measure: fn(&str) -> usize| {
            let cells = rows.iter().filter_map(move |row| row.get(column));
            cells.map(|cell| measure(cell)).max().unwrap_or(0)
        };
        let all = 0..self.align.len();
        let mut widths: Vec<usize> = all.clone().map(|column| of(column, columns)).collect();
        if widths.iter().sum::<usize>() + 2 * widths.len().saturating_sub(1) <= width() {
            return widths;
        }
        // No column can be narrower than its longest word.
        let least: Vec<usize> = all
            .map(|column| of(column, longest_word).clamp(LEAST_WORDS, LONGEST_WORD))
            .collect();
        let between = 2 * widths.len().saturating_sub(1);
        while widths.iter().sum::<usize>() + between > width() {
            let widest = (0..widths.len())
                .filter(|column| widths[*column] > least[*column])
                .max_by_key(|column| widths[*column]);
            let Some(widest) = widest else { break };
            widths[widest] -= 1;
        }
        widths
    }
}

/// How many of these columns fit a width; `None` where all do, one blank between them, or where
/// parting them helps nobody.
pub(crate) fn fitting(widths: &[usize], width: usize) -> Option<usize> {
    if widths.iter().sum::<usize>() + widths.len().saturating_sub(1) <= width {
        return None;
    }
    let mut taken = 0;
    let fit = widths.iter().take_while(|own| {
        taken += **own + if taken == 0 { 0 } else { 2 };
        taken <= width
    });
    Some(fit.count()).filter(|first| *first > 1 && *first < widths.len())
}

/// The columns of the longest word in a text.
fn longest_word(text: &str) -> usize {
    words(text).iter().map(|word| columns(word)).max().unwrap_or(0)
}

/// Signs of a cell from its point on; `None` for what is no number.
fn after_the_point(cell: &str) -> Option<usize> {
    let number = cell
        .trim_start_matches(['-', '+'])
        .starts_with(|sign: char| sign.is_ascii_digit());
    (number || cell == "-").then(|| cell.find('.').map_or(0, |at| cell.chars().count() - at))
}

impl Table {
    /// The rows, cells of columns that line up on the point filled up behind it.
    fn pointed(&self) -> Cow<'_, [Vec<String>]> {
        if !self.align.contains(&Align::Point) {
            return Cow::Borrowed(&self.rows);
        }
        let mut rows = self.rows.clone();
        for (column, _) in self
            .align
            .iter()
            .enumerate()
            .filter(|(_, align)| **align == Align::Point)
        {
            let cells = rows.iter().filter_map(|row| row.get(column));
            let most = cells.filter_map(|cell| after_the_point(cell)).max().unwrap_or(0);
            for cell in rows.iter_mut().filter_map(|row| row.get_mut(column)) {
                if let Some(after) = after_the_point(cell) {
                    cell.push_str(&" ".repeat(most - after));
                }
            }
        }
        Cow::Owned(rows)
    }
}

/// The words of a text; a number keeps its unit beside it.
fn words(text: &str) -> Vec<String> {
    const UNITS: [&str; 6] = ["%", "g", "kg", "ml", "C", "mol"];
    words_with(text, &UNITS)
}

/// The words of a text; a number keeps its unit, one of these, beside it.
pub(crate) fn words_with(text: &str, units: &[&str]) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split(breaks).filter(|word| !word.is_empty()) {
        let unit = word.trim_end_matches([',', '.', ';', ':', ')']);
        match words.last_mut() {
            Some(number) if units.contains(&unit) && number.ends_with(|sign: char| sign.is_ascii_digit()) => {
                number.push(' ');
                number.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

/// Where a line may end; a no-break space is no such place.
fn breaks(sign: char) -> bool {
    sign.is_whitespace() && sign != '\u{a0}'
}

/// A paragraph wrapped to the width; further lines are indented by `indent`.
pub fn paragraph(text: &str, indent: usize) -> String {
    if text.len() <= width() && is_one_line(text) {
        return format!("{text}\n");
    }
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in &words(text) {
        let room = if lines.is_empty() {
            width()
        } else {
            width().saturating_sub(indent)
        };
        if !line.is_empty() && columns(&line) + 1 + columns(word) > room {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    lines.push(line);
    let mut out = String::new();
    for (index, line) in lines.iter().enumerate() {
        if index > 0 {
            out.push_str(&" ".repeat(indent));
        }
        out.push_str(line);
        out.push('\n');
    }
    out
}

/// A text whose sentences fit the terminal: a line that is wider and no table's is wrapped
/// under its own beginning.
pub fn fitted(text: &str) -> Cow<'_, str> {
    let is_too_wide = |line: &str| columns(line) > width();
    let is_sentence = |line: &str| !line.trim().contains("  ");
    if !text.lines().any(|line| is_too_wide(line) && is_sentence(line)) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len());
    for line in text.split_inclusive('\n') {
        if is_too_wide(line.trim_end()) && is_sentence(line) {
            let indent = line.len() - line.trim_start_matches(' ').len();
            for wrapped in rewrap(line, width().saturating_sub(indent)) {
                out.push_str(&" ".repeat(indent));
                out.push_str(&wrapped);
                out.push('\n');
            }
        } else {
            out.push_str(line);
        }
    }
    Cow::Owned(out)
}

/// `Assumed:` with one sentence a line; nothing where there is nothing.
pub fn assumed(sentences: &[String]) -> String {
    let mut text = String::new();
    for (index, sentence) in sentences.iter().enumerate() {
        let lead = if index == 0 { "Assumed: " } else { "         " };
        text.push_str(&indented(lead, sentence));
    }
    text
}

/// Whether a text is nothing but letters and signs of one column each, and blanks.
pub(crate) fn is_plain(text: &str) -> bool {
    // Without a way out in the middle whole stretches are looked at at once.
    text.as_bytes().chunks(64).all(|some| {
        some.iter()
            .fold(true, |plain, byte| plain & matches!(byte, b' '..=b'~'))
    })
}

/// Whether a text is plain words with one blank between them.
pub(crate) fn is_one_line(text: &str) -> bool {
    is_plain(text) && !text.starts_with(' ') && !text.ends_with(' ') && !text.contains("  ")
}

/// A lead and a sentence wrapped beside it.
pub fn indented(lead: &str, sentence: &str) -> String {
    if lead.len() + sentence.len() <= width() && lead.is_ascii() && is_one_line(sentence) {
        return format!("{lead}{sentence}\n");
    }
    let indent = columns(lead);
    let body = paragraph(sentence, 0);
    let mut text = String::new();
    let narrow = rewrap(&body, width().saturating_sub(indent));
    for (index, line) in narrow.iter().enumerate() {
        if index == 0 {
            text.push_str(lead);
        } else {
            text.push_str(&" ".repeat(indent));
        }
        text.push_str(line);
        text.push('\n');
    }
    text
}

fn rewrap(text: &str, width: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in words(text).iter().flat_map(|word| parted(word, width)) {
        let line = lines.last_mut();
        if let Some(line) = line {
            if line.is_empty() {
                line.push_str(&word);
                continue;
            }
            if columns(line) + 1 + columns(&word) <= width {
                line.push(' ');
                line.push_str(&word);
                continue;
            }
        }
        lines.push(word);
    }
    lines
}

/// A word in pieces of this width where it has no blank and wide letters; a path or a
/// command stays whole, so that it can be copied.
fn parted(word: &str, width: usize) -> Vec<String> {
    if columns(word) <= width || word.is_ascii() {
        return vec![word.to_owned()];
    }
    let mut pieces = vec![String::new()];
    for sign in word.chars() {
        let full = pieces
            .last()
            .is_some_and(|piece| columns(piece) + columns(&sign.to_string()) > width);
        if full {
            pieces.push(String::new());
        }
        if let Some(piece) = pieces.last_mut() {
            piece.push(sign);
        }
    }
    pieces
}

/// With its first letter large.
pub(crate) fn capital(words: &str) -> String {
    let mut signs = words.chars();
    signs
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(signs).collect())
}

/// Names one after the other: a comma in one of them parts them by semicolons.
pub(crate) fn in_a_row(names: &[String]) -> String {
    let between = if names.iter().any(|name| name.contains(',')) {
        "; "
    } else {
        ", "
    };
    names.join(between)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wide_letters_take_two_columns() {
        let mut table = Table::new(&[Align::Left, Align::Right]);
        table.row(["釉薬", "1"]);
        table.row(["silica", "10"]);
        assert_eq!(table.text(), "釉薬     1\nsilica  10\n");
    }

    #[test]
    fn a_table_too_wide_wraps_its_words() {
        let mut table = Table::new(&[Align::Left, Align::Right, Align::Left]);
        let words = "no bag says what is in it and nobody here has asked the one who sold it to us so far";
        table.row(["name", "g", "what is known"]);
        table.row(["bought clear", "100.0", words]);
        let text = table.text();
        assert!(text.lines().all(|line| columns(line) <= USUAL_WIDTH), "{text}");
        assert_eq!(
            text.split_whitespace().filter(|word| *word == "asked").count(),
            1,
            "{text}"
        );
    }

    #[test]
    fn a_table_of_too_many_numbers_goes_on_below() {
        assert_eq!(fitting(&[10, 10, 10], 32), None);
        assert_eq!(fitting(&[10, 10, 10, 10], 36), Some(3));
        assert_eq!(fitting(&[10, 60], 36), None, "there is nothing to part");
        let align = [&[Align::Left][..], &[Align::Right; 12]].concat();
        let mut table = Table::new(&align);
        let row = |name: &str, cell: &str| -> Vec<String> {
            std::iter::once(name.to_owned())
                .chain((0..12).map(|_| cell.to_owned()))
                .collect()
        };
        table.row(row("", "1240 C"));
        table.row(row("silica", "+0.1234"));
        let text = table.text();
        assert!(text.lines().all(|line| columns(line) <= USUAL_WIDTH), "{text}");
        assert_eq!(text.matches("silica").count(), 2, "{text}");
        assert_eq!(text.matches("+0.1234").count(), 12, "{text}");
    }

    #[test]
    fn a_number_is_not_parted_from_its_unit() {
        let text = format!("{} 9.0 % is lost", "x".repeat(75));
        assert_eq!(paragraph(&text, 0).lines().nth(1), Some("9.0 % is lost"));
    }
}
