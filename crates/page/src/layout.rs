//! Tables and paragraphs for a terminal of 80 columns.

/// The width that text output keeps to.
pub const WIDTH: usize = 80;

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

    /// The table as lines, two spaces between columns.
    pub fn text(&self) -> String {
        let rows = self.pointed();
        let widths: Vec<usize> = (0..self.align.len())
            .map(|column| {
                rows.iter()
                    .filter_map(|row| row.get(column))
                    .map(|cell| cell.chars().count())
                    .max()
                    .unwrap_or(0)
            })
            .collect();
        let mut text = String::new();
        for row in &rows {
            let mut line = String::new();
            for ((cell, width), align) in row.iter().zip(&widths).zip(&self.align) {
                if !line.is_empty() {
                    line.push_str("  ");
                }
                let padding = " ".repeat(width.saturating_sub(cell.chars().count()));
                match align {
                    Align::Left => line.push_str(&format!("{cell}{padding}")),
                    Align::Right | Align::Point => line.push_str(&format!("{padding}{cell}")),
                }
            }
            text.push_str(line.trim_end());
            text.push('\n');
        }
        text
    }
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
    fn pointed(&self) -> Vec<Vec<String>> {
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
        rows
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
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in &words(text) {
        let room = if lines.is_empty() { WIDTH } else { WIDTH - indent };
        if !line.is_empty() && line.chars().count() + 1 + word.chars().count() > room {
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

/// `Assumed:` with one sentence a line; nothing where there is nothing.
pub fn assumed(sentences: &[String]) -> String {
    let mut text = String::new();
    for (index, sentence) in sentences.iter().enumerate() {
        let lead = if index == 0 { "Assumed: " } else { "         " };
        text.push_str(&indented(lead, sentence));
    }
    text
}

/// A lead and a sentence wrapped beside it.
pub fn indented(lead: &str, sentence: &str) -> String {
    let indent = lead.chars().count();
    let body = paragraph(sentence, 0);
    let mut text = String::new();
    let narrow = rewrap(&body, WIDTH - indent);
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
    for word in &words(text) {
        let line = lines.last_mut();
        if let Some(line) = line {
            if line.is_empty() {
                line.push_str(word);
                continue;
            }
            if line.chars().count() + 1 + word.chars().count() <= width {
                line.push(' ');
                line.push_str(word);
                continue;
            }
        }
        lines.push(word.clone());
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_is_not_parted_from_its_unit() {
        let text = format!("{} 9.0 % is lost", "x".repeat(75));
        assert_eq!(paragraph(&text, 0).lines().nth(1), Some("9.0 % is lost"));
    }
}
