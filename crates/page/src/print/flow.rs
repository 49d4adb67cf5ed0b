//! Pages filled from top to bottom: texts that wrap, boxes to tick, lines to
//! write on. A page is the part that A4 and Letter have in common.

use crate::paper::{COMMON_HEIGHT_MM, COMMON_WIDTH_MM, POINT_MM};
use crate::svg::{Anchor, Paint, Svg, Weight, text_width, wrapped};

/// What is read at the scales: 14 pt.
pub(crate) const READ_AT_SCALES: f64 = 14.0 * POINT_MM;
/// Titles.
pub(crate) const TITLE: f64 = 22.0 * POINT_MM;
/// Weights.
pub(crate) const FIGURE: f64 = 18.0 * POINT_MM;
/// What is read sitting down.
pub(crate) const SMALL: f64 = 11.0 * POINT_MM;

/// From one line of type to the next, in sizes of the type.
pub(crate) const LINE: f64 = 1.28;
/// From the top of a line to its letters' foot, in sizes of the type.
pub(crate) const FOOT: f64 = 0.98;
const WIDTH: f64 = COMMON_WIDTH_MM;
const BOX: f64 = 6.0;
/// Room beside a box to tick.
const TICK: f64 = BOX + 3.0;
const THIN: Paint = Paint::outline(0.3);
const THICK: Paint = Paint::outline(0.6);

/// A row of a weighing table.
pub(crate) struct Row<'a> {
    /// The material.
    pub(crate) name: &'a str,
    /// Its lot and such.
    pub(crate) rest: &'a str,
    /// What to weigh.
    pub(crate) figure: &'a str,
    /// What the bowl shows then.
    pub(crate) running: &'a str,
}

/// Pages being filled.
pub(crate) struct Flow {
    pages: Vec<Svg>,
    page: Svg,
    y: f64,
}

impl Flow {
    pub(crate) fn new() -> Flow {
        Flow {
            pages: Vec::new(),
            page: Flow::blank(),
            y: 0.0,
        }
    }

    fn blank() -> Svg {
        Svg::new(WIDTH, COMMON_HEIGHT_MM)
    }

    /// The pages, each a drawing of its own.
    pub(crate) fn finish(mut self) -> Vec<String> {
        if self.y > 0.0 || self.pages.is_empty() {
            self.pages.push(self.page);
        }
        self.pages.into_iter().map(Svg::finish).collect()
    }

    /// Begins a page, unless this one is empty.
    pub(crate) fn next_page(&mut self) {
        if self.y > 0.0 {
            self.pages.push(std::mem::replace(&mut self.page, Flow::blank()));
            self.y = 0.0;
        }
    }

    /// Begins a page where less than `height` is left; whether it did.
    pub(crate) fn need(&mut self, height: f64) -> bool {
        let turned = self.y > 0.0 && self.y + height > COMMON_HEIGHT_MM;
        if turned {
            self.next_page();
        }
        turned
    }

    pub(crate) fn gap(&mut self, height: f64) {
        self.y += height;
    }

    /// Lines of text from `x` on, in a width, kept together where a page holds them.
    fn lines(&mut self, x: f64, width: f64, size: f64, weight: Weight, text: &str) {
        let lines = lines(text, width, size, weight);
        self.need((lines.len() as f64 * LINE * size).min(COMMON_HEIGHT_MM));
        for line in lines {
            self.need(LINE * size);
            self.page
                .write(x, self.y + FOOT * size, size, Anchor::Start, weight, &line);
            self.y += LINE * size;
        }
    }

    /// A strip of this height where the page stands, with nothing after it.
    pub(crate) fn strip(&mut self, height: f64, draw: impl FnOnce(&mut Svg)) {
        self.page.moved(0.0, self.y, draw);
        self.y += height;
    }

    /// A picture of this height, kept whole; it is drawn with its upper left corner at 0, 0.
    pub(crate) fn picture(&mut self, height: f64, draw: impl FnOnce(&mut Svg)) {
        self.need(height);
        self.page.moved(0.0, self.y, draw);
        self.gap(height + 3.0);
    }

    pub(crate) fn title(&mut self, text: &str) {
        self.lines(0.0, WIDTH, TITLE, Weight::Bold, text);
        self.gap(2.0);
    }

    /// The name of what follows on the page.
    pub(crate) fn heading(&mut self, text: &str) {
        self.lines(0.0, WIDTH, READ_AT_SCALES, Weight::Bold, text);
        self.gap(1.0);
    }

    pub(crate) fn paragraph(&mut self, text: &str) {
        self.lines(0.0, WIDTH, READ_AT_SCALES, Weight::Regular, text);
        self.gap(2.0);
    }

    /// A text with a box to tick before it.
    pub(crate) fn tick(&mut self, text: &str) {
        self.need(lines(text, WIDTH - TICK, READ_AT_SCALES, Weight::Regular).len() as f64 * LINE * READ_AT_SCALES);
        self.page.rect(0.3, self.y + 0.3, BOX, BOX, Paint::outline(0.5));
        self.lines(TICK, WIDTH - TICK, READ_AT_SCALES, Weight::Regular, text);
        self.gap(2.0);
    }

    /// Words beside each other, each with a line to write on.
    pub(crate) fn blanks(&mut self, words: &[&str]) {
        const HEIGHT: f64 = 11.0;
        self.need(HEIGHT);
        let each = WIDTH / words.len().max(1) as f64;
        let foot = self.y + HEIGHT - 2.5;
        for (index, word) in words.iter().enumerate() {
            let x = index as f64 * each;
            self.page.text(x, foot, READ_AT_SCALES, Anchor::Start, word);
            let from = x + text_width(word, READ_AT_SCALES, Weight::Regular) + 2.0;
            self.page.line(from, foot, (x + each - 4.0).max(from), foot, THIN);
        }
        self.gap(HEIGHT);
    }

    /// Small texts in a box that is kept whole where a page holds it.
    pub(crate) fn warning(&mut self, texts: &[String]) {
        const INSET: f64 = 3.0;
        let width = WIDTH - 2.0 * INSET;
        let set: Vec<Vec<String>> = texts
            .iter()
            .map(|text| lines(text, width, SMALL, Weight::Regular))
            .collect();
        let between = 1.2;
        let height = set
            .iter()
            .map(|lines| lines.len() as f64 * LINE * SMALL + between)
            .sum::<f64>()
            + 2.0 * INSET
            - between;
        if set.is_empty() {
            return;
        }
        self.gap(1.0);
        self.need(height);
        if height < COMMON_HEIGHT_MM {
            self.page.rect(0.3, self.y, WIDTH - 0.6, height, THICK);
        }
        self.gap(INSET);
        for lines in set {
            for line in lines {
                self.need(LINE * SMALL);
                self.page
                    .text(INSET, self.y + FOOT * SMALL, SMALL, Anchor::Start, &line);
                self.y += LINE * SMALL;
            }
            self.gap(between);
        }
        self.gap(INSET - between);
    }

    /// The head of the weighing table.
    pub(crate) fn table_head(&mut self) {
        let foot = self.y + FOOT * SMALL;
        self.page.text(FIGURES, foot, SMALL, Anchor::End, "weigh, g");
        self.page.text(WIDTH, foot, SMALL, Anchor::End, "running, g");
        self.y += LINE * SMALL + 1.0;
        self.page.line(0.0, self.y, WIDTH, self.y, THIN);
    }

    /// A row: box, material, weight, running total, a line below.
    pub(crate) fn table_row(&mut self, row: &Row<'_>) {
        const PAD: f64 = 1.9;
        let figure_width = text_width(row.figure, FIGURE, Weight::Bold);
        let width = FIGURES - figure_width - 4.0 - TICK;
        let name = lines(row.name, width, READ_AT_SCALES, Weight::Regular);
        let rest = lines(row.rest, width, SMALL, Weight::Regular);
        // What is short stands beside the name.
        let beside = match (name.as_slice(), rest.as_slice()) {
            ([name], [rest]) => {
                let end = text_width(name, READ_AT_SCALES, Weight::Regular) + 2.5;
                (end + text_width(rest, SMALL, Weight::Regular) <= width).then_some(TICK + end)
            }
            _ => None,
        };
        let below = if beside.is_some() { 0 } else { rest.len() };
        let height =
            (name.len() as f64 * LINE * READ_AT_SCALES + below as f64 * LINE * SMALL).max(LINE * FIGURE) + 2.0 * PAD;
        if self.need(height) {
            self.table_head();
        }
        let foot = self.y + PAD + FOOT * FIGURE;
        self.page.rect(0.3, foot - BOX + 1.0, BOX, BOX, Paint::outline(0.5));
        self.page.bold_text(FIGURES, foot, FIGURE, Anchor::End, row.figure);
        self.page.text(WIDTH, foot, READ_AT_SCALES, Anchor::End, row.running);
        for (index, line) in name.iter().enumerate() {
            let foot = foot + index as f64 * LINE * READ_AT_SCALES;
            self.page.text(TICK, foot, READ_AT_SCALES, Anchor::Start, line);
        }
        for (index, line) in rest.iter().enumerate() {
            let (x, foot) = match beside {
                Some(x) => (x, foot),
                None => {
                    let above = (name.len().max(1) - 1) as f64 * LINE * READ_AT_SCALES;
                    (TICK, foot + above + (index + 1) as f64 * LINE * SMALL)
                }
            };
            self.page.text(x, foot, SMALL, Anchor::Start, line);
        }
        self.y += height;
        self.page.line(0.0, self.y, WIDTH, self.y, THIN);
    }
}

/// Where weights end.
const FIGURES: f64 = WIDTH - 40.0;

/// Lines in a width; a word that is wider is parted, with nothing lost.
pub(crate) fn lines(text: &str, width: f64, size: f64, weight: Weight) -> Vec<String> {
    if let Some(lines) = wrapped(text, width, size, weight) {
        return lines;
    }
    let mut parted = String::new();
    for word in text.split_whitespace() {
        parted.push(' ');
        let mut piece = String::new();
        for letter in word.chars() {
            piece.push(letter);
            if text_width(&piece, size, weight) > width {
                piece.pop();
                parted.push_str(&piece);
                parted.push(' ');
                piece = letter.to_string();
            }
        }
        parted.push_str(&piece);
    }
    wrapped(&parted, width, size, weight).unwrap_or_else(|| vec![text.to_owned()])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_endless_word_is_parted_and_nothing_of_it_lost() {
        let word = "w".repeat(300);
        let lines = lines(&word, WIDTH, READ_AT_SCALES, Weight::Regular);
        assert!(lines.len() > 1);
        assert_eq!(lines.concat(), word);
        assert!(
            lines
                .iter()
                .all(|line| text_width(line, READ_AT_SCALES, Weight::Regular) <= WIDTH)
        );
    }

    #[test]
    fn a_long_table_goes_on_with_its_head_on_the_next_page() {
        let mut flow = Flow::new();
        flow.title("Long");
        flow.table_head();
        for _ in 0..40 {
            flow.table_row(&Row {
                name: "silica",
                rest: "lot 3",
                figure: "12.5",
                running: "100.0",
            });
        }
        let pages = flow.finish();
        assert!(pages.len() > 1);
        assert!(pages.iter().all(|page| page.contains("weigh, g")));
        assert_eq!(
            pages.iter().map(|page| page.matches("silica").count()).sum::<usize>(),
            40
        );
    }
}
