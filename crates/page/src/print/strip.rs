//! A ladder's tiles in a row, as they lie on a bench: what was added on each, what became of
//! it below.

use crate::svg::{Anchor, Paint, Svg, Weight, largest_size};

/// Its height, mm.
pub(crate) const STRIP_HEIGHT: f64 = 46.0;
const TITLE: f64 = 3.6;
const SIDE: f64 = 22.0;
const TOP: f64 = 6.0;
const THIN: Paint = Paint::outline(0.2);

/// One tile.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct StripTile {
    /// What was added: `+ 3 %`.
    pub(crate) added: String,
    /// Whether any of its pieces crazed; `None` where nobody looked.
    pub(crate) crazed: Option<bool>,
    /// The counts and the age, a line each.
    pub(crate) seen: Vec<String>,
}

/// Draws them below a title, from the left edge on.
pub(crate) fn draw(svg: &mut Svg, width: f64, title: &str, tiles: &[StripTile]) {
    svg.bold_text(
        0.0,
        TITLE,
        largest_size(title, width, TITLE, Weight::Bold),
        Anchor::Start,
        title,
    );
    let each = (width / tiles.len().max(1) as f64).min(SIDE + 8.0);
    let side = SIDE.min(each - 2.0);
    for (place, tile) in tiles.iter().enumerate() {
        let x = each * place as f64 + 0.3;
        svg.rect(x, TOP, side, side, Paint::outline(0.5));
        if tile.crazed == Some(true) {
            cracks(svg, x, side);
        }
        let middle = x + 0.5 * side;
        let mut foot = TOP + side + 4.2;
        let word = match tile.crazed {
            Some(true) => "crazed",
            Some(false) => "held",
            None => "not looked at",
        };
        let added = std::iter::once((tile.added.as_str(), Weight::Bold));
        let below = added.chain([(word, Weight::Regular)]);
        for (text, weight) in below.chain(tile.seen.iter().map(|seen| (seen.as_str(), Weight::Regular))) {
            let size = largest_size(text, each - 1.0, 3.2, weight);
            svg.write(middle, foot, size, Anchor::Middle, weight, text);
            foot += 3.9;
        }
    }
}

/// A net of cracks across a tile.
fn cracks(svg: &mut Svg, x: f64, side: f64) {
    let at = |along: f64, down: f64| (x + side * along, TOP + side * down);
    for line in [
        [at(0.0, 0.25), at(0.3, 0.35), at(0.62, 0.2), at(1.0, 0.4)],
        [at(0.0, 0.7), at(0.35, 0.62), at(0.7, 0.75), at(1.0, 0.68)],
        [at(0.25, 0.0), at(0.3, 0.35), at(0.35, 0.62), at(0.2, 1.0)],
        [at(0.7, 0.0), at(0.62, 0.2), at(0.7, 0.75), at(0.78, 1.0)],
    ] {
        svg.polyline(&line, THIN);
    }
}
