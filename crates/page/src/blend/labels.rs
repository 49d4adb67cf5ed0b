//! Labels with the tiles' codes.

use glost_core::blend::BlendPlan;

use super::drawing::WIDTH_MM;
use crate::svg::{Anchor, Paint, Svg, Weight, largest_size};

const COLUMNS: usize = 5;
const ROWS: usize = 11;
const HEIGHT_MM: f64 = 21.0;

/// Sheets of labels, one drawing a page: the code in big type, the plan and the
/// shares below.
pub(super) fn sheets(plan: &BlendPlan, name: &str) -> Vec<String> {
    let width = WIDTH_MM / COLUMNS as f64;
    plan.tiles
        .chunks(COLUMNS * ROWS)
        .map(|tiles| {
            let rows = tiles.len().div_ceil(COLUMNS);
            let mut drawing = Svg::new(WIDTH_MM, rows as f64 * HEIGHT_MM + 0.5);
            for (index, tile) in tiles.iter().enumerate() {
                let (x, y) = ((index % COLUMNS) as f64 * width, (index / COLUMNS) as f64 * HEIGHT_MM);
                let middle = x + width / 2.0;
                drawing.rect(x, y + 0.25, width, HEIGHT_MM, Paint::outline(0.2).dashed());
                let size = largest_size(&tile.code, width - 4.0, 10.0, Weight::Bold);
                drawing.bold_text(middle, y + 10.5, size, Anchor::Middle, &tile.code);
                let size = largest_size(name, width - 3.0, 3.2, Weight::Regular);
                drawing.text(middle, y + 14.6, size, Anchor::Middle, name);
                let shares = shares_words(&tile.shares);
                let size = largest_size(&shares, width - 3.0, 3.2, Weight::Regular);
                drawing.text(middle, y + 18.8, size, Anchor::Middle, &shares);
            }
            drawing.finish()
        })
        .collect()
}

/// `80/20/0`: per cent of each end.
pub(crate) fn shares_words(shares: &[f64]) -> String {
    let each: Vec<String> = shares
        .iter()
        .map(|share| crate::number::plain((1000.0 * share).round() / 10.0))
        .collect();
    each.join("/")
}
