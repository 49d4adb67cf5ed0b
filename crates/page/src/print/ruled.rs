//! Ruled tables on printed pages: cells that wrap, boxes to tick, room to write.

use crate::flow::{FOOT, Flow, LINE, SMALL, lines};
use crate::svg::{Anchor, Paint, Svg, Weight, largest_size};

const THIN: Paint = Paint::outline(0.25);
/// Room between a line and a cell's text.
const PAD: f64 = 1.3;
/// A box to tick.
const BOX: f64 = 5.0;

/// A column: its heading and its width in mm.
pub(crate) type Column<'a> = (&'a str, f64);

/// What stands in a cell.
pub(crate) enum Cell {
    /// A text.
    Text(String),
    /// A text set off.
    Bold(String),
    /// Texts, each behind a box to tick.
    Ticks(Vec<String>),
    /// Room to write.
    Blank,
}

impl Cell {
    fn lines(&self, width: f64) -> Vec<String> {
        match self {
            Cell::Text(text) => lines(text, width - 2.0 * PAD, SMALL, Weight::Regular),
            Cell::Bold(text) => lines(text, width - 2.0 * PAD, SMALL, Weight::Bold),
            Cell::Ticks(texts) => texts.clone(),
            Cell::Blank => Vec::new(),
        }
    }

    fn height(&self, width: f64) -> f64 {
        let line = match self {
            Cell::Ticks(_) => BOX + 1.2,
            _ => LINE * SMALL,
        };
        self.lines(width).len() as f64 * line + PAD
    }

    fn draw(&self, page: &mut Svg, x: f64, width: f64) {
        let lines = self.lines(width);
        for (index, line) in lines.iter().enumerate() {
            match self {
                Cell::Ticks(_) => {
                    let y = 0.8 + index as f64 * (BOX + 1.2);
                    page.rect(x + PAD, y, BOX, BOX, Paint::outline(0.4));
                    let from = x + PAD + BOX + 1.5;
                    let size = largest_size(line, width - BOX - 2.0 * PAD - 1.5, SMALL, Weight::Regular);
                    page.text(from, y + 0.5 * BOX + 0.35 * SMALL, size, Anchor::Start, line);
                }
                Cell::Bold(_) => page.bold_text(x + PAD, baseline(index), SMALL, Anchor::Start, line),
                _ => page.text(x + PAD, baseline(index), SMALL, Anchor::Start, line),
            }
        }
    }
}

fn baseline(index: usize) -> f64 {
    0.6 * PAD + FOOT * SMALL + index as f64 * LINE * SMALL
}

/// A table, its head again at the top of every page; no row is lower than `least`.
pub(crate) fn table(flow: &mut Flow, columns: &[Column<'_>], rows: &[Vec<Cell>], least: f64) {
    let head: Vec<Cell> = columns.iter().map(|column| Cell::Bold(column.0.to_owned())).collect();
    let height = |row: &[Cell]| {
        let cells = row.iter().zip(columns);
        cells.map(|(cell, column)| cell.height(column.1)).fold(least, f64::max)
    };
    let first = rows.first().map_or(0.0, |row| height(row));
    flow.need(height(&head) + first);
    draw_row(flow, columns, &head, height(&head));
    for row in rows {
        let own = height(row);
        if flow.need(own) {
            draw_row(flow, columns, &head, height(&head));
        }
        draw_row(flow, columns, row, own);
    }
    flow.gap(3.0);
}

fn draw_row(flow: &mut Flow, columns: &[Column<'_>], row: &[Cell], height: f64) {
    flow.strip(height, |page| {
        let mut x = 0.0;
        for (cell, (_, width)) in row.iter().zip(columns) {
            cell.draw(page, x, *width);
            page.line(x, 0.0, x, height, THIN);
            x += width;
        }
        page.line(x, 0.0, x, height, THIN);
        page.line(0.0, 0.0, x, 0.0, THIN);
        page.line(0.0, height, x, height, THIN);
    });
}
