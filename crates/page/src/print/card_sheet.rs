//! A recipe card on A6 or A5: the largest type at which all of it stands on one
//! card, else a readable type on as many as it takes.

use glost_desk::card::{Answer, CardPaper};

use crate::flow::{FOOT, LINE, lines};
use crate::paper::POINT_MM;
use crate::sheet::{Pages, Setting};
use crate::svg::{Anchor, Paint, Svg, Weight, largest_size};
use crate::words::card::{cautions, facts, heads, looks, rows, scales, wet};
use crate::words::laboratory::sentence;

/// Inside the card's edges, in mm.
const MARGIN: f64 = 6.0;
/// The smallest type to read a recipe by, and what more than one card is set in: 7 and 8 pt.
const SMALLEST: f64 = 7.0 * POINT_MM;
const USUAL: f64 = 8.0 * POINT_MM;
/// The largest: what is read at the scales.
const LARGEST: f64 = 14.0 * POINT_MM;
const STEP: f64 = 0.1;
/// What is read sitting down, in sizes of the recipe's type.
const SMALL: f64 = 0.85;

/// The cards to print.
pub(crate) fn pages(answer: &Answer) -> Pages {
    let steps = ((LARGEST - SMALLEST) / STEP).ceil() as usize;
    let sizes = (0..=steps).map(|step| (LARGEST - step as f64 * STEP).max(SMALLEST));
    let one = sizes
        .map(|size| drawn(answer, size))
        .find(|drawings| drawings.len() == 1);
    Pages {
        title: answer.glaze.clone(),
        setting: Setting::Card(answer.paper),
        drawings: one.unwrap_or_else(|| drawn(answer, USUAL)),
    }
}

fn drawn(answer: &Answer, size: f64) -> Vec<String> {
    let mut card = Card::new(answer.paper, size);
    card.title(&answer.glaze);
    for fact in facts(answer) {
        card.words(1.0, Weight::Regular, &fact);
    }
    card.gap(0.6);
    card.table(&heads(answer), &rows(answer));
    for said in scales(answer) {
        card.words(SMALL, Weight::Regular, &said);
    }
    card.gap(0.6);
    for line in wet(answer) {
        card.words(1.0, Weight::Bold, &line);
    }
    card.gap(0.6);
    for look in looks(answer) {
        card.words(SMALL, Weight::Regular, &look);
    }
    card.gap(0.6);
    if let Some(laboratory) = &answer.laboratory {
        card.words(SMALL, Weight::Regular, &format!("Laboratory: {}", sentence(laboratory)));
    }
    for caution in cautions(answer) {
        card.words(SMALL, Weight::Regular, &caution);
    }
    card.finish()
}

/// Cards being filled.
struct Card {
    paper: CardPaper,
    size: f64,
    full: Vec<Svg>,
    svg: Svg,
    y: f64,
}

impl Card {
    fn new(paper: CardPaper, size: f64) -> Card {
        Card {
            paper,
            size,
            full: Vec::new(),
            svg: blank(paper),
            y: MARGIN,
        }
    }

    fn width(&self) -> f64 {
        self.paper.size_mm().0 - 2.0 * MARGIN
    }

    fn finish(mut self) -> Vec<String> {
        self.full.push(self.svg);
        self.full.into_iter().map(Svg::finish).collect()
    }

    /// Begins a card where less than `height` is left; whether it did.
    fn need(&mut self, height: f64) -> bool {
        let turned = self.y > MARGIN && self.y + height > self.paper.size_mm().1 - MARGIN;
        if turned {
            self.full.push(std::mem::replace(&mut self.svg, blank(self.paper)));
            self.y = MARGIN;
        }
        turned
    }

    /// A gap in sizes of the type.
    fn gap(&mut self, sizes: f64) {
        self.y += sizes * self.size;
    }

    /// A name on one line where a readable type allows it.
    fn title(&mut self, text: &str) {
        let size = largest_size(text, self.width(), 1.7 * self.size, Weight::Bold).max(self.size);
        self.words(size / self.size, Weight::Bold, text);
    }

    /// Lines of text; `scale` in sizes of the type.
    fn words(&mut self, scale: f64, weight: Weight, text: &str) {
        let size = scale * self.size;
        for line in lines(text, self.width(), size, weight) {
            self.need(LINE * size);
            self.svg
                .write(MARGIN, self.y + FOOT * size, size, Anchor::Start, weight, &line);
            self.y += LINE * size;
        }
    }

    fn table(&mut self, heads: &[String], rows: &[Vec<String>]) {
        let (size, weight) = (self.size, Weight::Regular);
        let names = match heads.len() {
            0..=2 => 0.75,
            _ => 0.38,
        } * self.width();
        let each = (self.width() - names) / heads.len().saturating_sub(1).max(1) as f64;
        self.figures(heads, names, each, SMALL * size);
        for row in rows {
            let name = lines(row.first().map_or("", String::as_str), names, size, weight);
            let height = name.len().max(1) as f64 * LINE * size + 0.8;
            if self.need(height) {
                self.figures(heads, names, each, SMALL * size);
            }
            self.svg
                .line(MARGIN, self.y, MARGIN + self.width(), self.y, Paint::outline(0.15));
            self.y += 0.4;
            let top = self.y;
            for (index, line) in name.iter().enumerate() {
                let foot = top + index as f64 * LINE * size + FOOT * size;
                self.svg.write(MARGIN, foot, size, Anchor::Start, weight, line);
            }
            self.figures(row, names, each, size);
            self.y = top + height - 0.4;
        }
        self.gap(0.4);
    }

    /// What stands beside a name, each in its column, in type that it fits it at.
    fn figures(&mut self, row: &[String], names: f64, each: f64, size: f64) {
        for (index, figure) in row.iter().enumerate().skip(1) {
            let size = largest_size(figure, each - 1.0, size, Weight::Regular);
            let x = MARGIN + names + index as f64 * each;
            self.svg.text(x, self.y + FOOT * size, size, Anchor::End, figure);
        }
        self.y += LINE * size;
    }
}

fn blank(paper: CardPaper) -> Svg {
    let (width, height) = paper.size_mm();
    Svg::new(width, height)
}
