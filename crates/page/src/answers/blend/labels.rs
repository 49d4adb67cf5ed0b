//! Labels with the tiles' codes.

use glost_core::tiles::blend::{BlendPlan, Tile};

use super::drawing::WIDTH_MM;
use crate::flow::Flow;
use crate::svg::{Anchor, Paint, Svg, Weight, largest_size};

const COLUMNS: usize = 5;
const HEIGHT_MM: f64 = 21.0;

/// Labels in rows: the code in big type, the plan and what the tile is below.
pub(super) fn draw(plan: &BlendPlan, name: &str, flow: &mut Flow, words: impl Fn(&Tile) -> String) {
    let width = WIDTH_MM / COLUMNS as f64;
    for tiles in plan.tiles.chunks(COLUMNS) {
        flow.need(HEIGHT_MM + 0.5);
        flow.strip(HEIGHT_MM, |page| {
            for (index, tile) in tiles.iter().enumerate() {
                let x = index as f64 * width + 0.3;
                page.rect(x, 0.0, width, HEIGHT_MM, Paint::outline(0.2).dashed());
                let mut line = |y: f64, text: &str, most: f64, weight| middle(page, x, y, width, text, most, weight);
                line(10.5, &tile.code, 10.0, Weight::Bold);
                line(14.8, name, 3.2, Weight::Regular);
                line(19.0, &words(tile), 3.2, Weight::Regular);
            }
        });
    }
}

fn middle(page: &mut Svg, x: f64, y: f64, width: f64, text: &str, most: f64, weight: Weight) {
    let size = largest_size(text, width - 3.0, most, weight);
    page.write(x + width / 2.0, y, size, Anchor::Middle, weight, text);
}

/// `80/20/0`: per cent of each end.
pub(crate) fn shares_words(shares: &[f64]) -> String {
    let each: Vec<String> = shares
        .iter()
        .map(|share| crate::number::plain((1000.0 * share).round() / 10.0))
        .collect();
    each.join("/")
}

/// `+ 2 % silica`: what a ladder's tile holds on top.
pub(crate) fn added_words(material: &str, percent: f64) -> String {
    format!(
        "+ {} % {material}",
        crate::number::plain((1000.0 * percent).round() / 1000.0)
    )
}

/// A material's name as a heading.
pub(crate) fn short_name(name: &str) -> String {
    const MOST: usize = 16;
    if name.chars().count() <= MOST {
        return name.to_owned();
    }
    name.chars().take(MOST - 1).chain(['…']).collect()
}
