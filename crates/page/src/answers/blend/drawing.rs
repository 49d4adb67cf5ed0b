//! The map of a plan as a drawing: its tiles in the plan's own shape.

use glost_core::tiles::blend::Shape;

use crate::svg::{Anchor, Colour, Paint, Svg, Weight, largest_size, text_width, wrapped};

/// The width of a drawing: what A4 and Letter hold between margins.
pub(crate) const WIDTH_MM: f64 = 184.0;
/// The tallest that a map grows.
const MOST_HEIGHT_MM: f64 = 205.0;
/// The largest half-width of a tile on the map.
const MOST_HALF_MM: f64 = 14.0;
/// Type below this isn't read on paper.
const LEAST_TYPE_MM: f64 = 1.9;
/// Type of the ends' names.
const NAME_MM: f64 = 4.2;
/// Room for the ends' names above and below.
const NAMES_MM: f64 = 16.0;
/// The most tiles of a line side by side.
const MOST_IN_A_LINE: usize = 8;

/// What a map shows.
pub(crate) struct MapOf<'a> {
    pub(crate) shape: Shape,
    pub(crate) rows: &'a [usize],
    pub(crate) shares: Vec<&'a [f64]>,
    pub(crate) ends: &'a [String],
    /// What stands in a tile: its code and a line below.
    pub(crate) marks: Vec<(String, String)>,
}

/// Middle of each tile, what a tile may measure, and the size of the whole.
struct Places {
    middles: Vec<(f64, f64)>,
    half_width: f64,
    half_height: f64,
    height: f64,
}

impl MapOf<'_> {
    /// The drawing by itself.
    pub(crate) fn svg(&self) -> String {
        let mut drawing = Svg::new(WIDTH_MM, self.height());
        self.draw(&mut drawing);
        drawing.finish()
    }

    /// How tall it is, mm.
    pub(crate) fn height(&self) -> f64 {
        self.places().height
    }

    /// Draws it with its upper left corner at 0, 0.
    pub(crate) fn draw(&self, drawing: &mut Svg) {
        let places = self.places();
        self.names(drawing, &places);
        for ((code, line), (x, y)) in self.marks.iter().zip(&places.middles) {
            self.tile(drawing, code, line, (*x, *y), &places);
        }
    }

    fn places(&self) -> Places {
        match self.shape {
            Shape::Triangle if self.ends.len() == 3 => self.triangle(),
            _ => self.in_rows(),
        }
    }

    /// By its shares: the first end at the top, the second bottom left, the third
    /// bottom right.
    fn triangle(&self) -> Places {
        let at = |shares: &&[f64]| -> (f64, f64) {
            let share = |end: usize| shares.get(end).copied().unwrap_or(0.0);
            (share(2) + 0.5 * share(0), 1.0 - share(0))
        };
        let points: Vec<(f64, f64)> = self.shares.iter().map(at).collect();
        let rise = 3f64.sqrt() / 2.0;
        let nearest = nearest(&points, rise);
        // The side that leaves room for half a tile, and its line, at either end.
        let room = WIDTH_MM - 1.0;
        let side = (room / (1.0 + 2.0 * 0.47 * nearest)).max(room - 2.0 * MOST_HALF_MM);
        let half = (0.47 * nearest * side).min(MOST_HALF_MM);
        let (left, top) = ((WIDTH_MM - side) / 2.0, NAMES_MM + half);
        Places {
            middles: points
                .iter()
                .map(|(x, y)| (left + x * side, top + y * side * rise))
                .collect(),
            half_width: half,
            half_height: half,
            height: top + side * rise + half + NAMES_MM,
        }
    }

    /// Row by row: a grid keeps its columns, a line goes on below, layers are
    /// centred triangles one under the other.
    fn in_rows(&self) -> Places {
        let wraps = matches!(self.shape, Shape::Line | Shape::List);
        let rows: Vec<usize> = if wraps {
            wrapped_rows(self.marks.len())
        } else {
            self.rows.to_vec()
        };
        let longest = rows.iter().copied().max().unwrap_or(1).max(1);
        let half_width = (WIDTH_MM / longest as f64 / 2.0 * 0.94).min(MOST_HALF_MM + 3.0);
        // Half a row between two layers.
        let steps = rows.len().max(1) as f64 + 0.5 * (self.layers() - 1.0);
        let room = (MOST_HEIGHT_MM - 2.0 * NAMES_MM) / steps;
        let half_height = (0.75 * half_width).min(0.47 * room);
        let (across, down) = (half_width / 0.47, half_height / 0.47);
        let centred = self.shape == Shape::Layers;
        let left = (WIDTH_MM - across * longest as f64) / 2.0;
        let mut middles = Vec::new();
        let mut layer = None;
        let mut y = NAMES_MM + down / 2.0;
        for length in rows {
            let fourth = self.shares.get(middles.len()).and_then(|shares| shares.get(3));
            if centred && layer.is_some() && layer != fourth {
                y += down / 2.0;
            }
            layer = fourth;
            let inset = if centred {
                (longest - length) as f64 * across / 2.0
            } else {
                0.0
            };
            middles.extend((0..length).map(|place| (left + inset + (place as f64 + 0.5) * across, y)));
            y += down;
        }
        Places {
            middles,
            half_width,
            half_height,
            height: y - down / 2.0 + NAMES_MM,
        }
    }

    /// How many triangles lie below each other.
    fn layers(&self) -> f64 {
        let mut fourths: Vec<f64> = self.shares.iter().filter_map(|shares| shares.get(3).copied()).collect();
        fourths.dedup();
        if self.shape == Shape::Layers {
            fourths.len().max(1) as f64
        } else {
            1.0
        }
    }

    /// The ends' names beside their corners, or listed where there are none.
    fn names(&self, drawing: &mut Svg, places: &Places) {
        let bottom = places.height - NAMES_MM;
        let half = WIDTH_MM / 2.0 - 4.0;
        match (self.shape, self.ends) {
            (Shape::Triangle, [first, second, third]) => {
                words(drawing, first, (WIDTH_MM / 2.0, 1.0), Anchor::Middle, WIDTH_MM);
                words(drawing, second, (0.0, bottom), Anchor::Start, half);
                words(drawing, third, (WIDTH_MM, bottom), Anchor::End, half);
            }
            (Shape::Grid, [first, second, third, fourth]) => {
                words(drawing, first, (0.0, 1.0), Anchor::Start, half);
                words(drawing, second, (WIDTH_MM, 1.0), Anchor::End, half);
                words(drawing, third, (0.0, bottom), Anchor::Start, half);
                words(drawing, fourth, (WIDTH_MM, bottom), Anchor::End, half);
            }
            (Shape::Line, [first, second]) => {
                words(drawing, first, (0.0, 1.0), Anchor::Start, half);
                words(drawing, second, (WIDTH_MM, bottom), Anchor::End, half);
            }
            (_, ends) => {
                let all: Vec<String> = ends
                    .iter()
                    .enumerate()
                    .map(|(index, end)| format!("{} {end}", index + 1))
                    .collect();
                words(drawing, &all.join("; "), (0.0, 1.0), Anchor::Start, WIDTH_MM);
            }
        }
    }

    fn tile(&self, drawing: &mut Svg, code: &str, line: &str, (x, y): (f64, f64), places: &Places) {
        let (half_width, half_height) = (places.half_width, places.half_height);
        let paint = Paint::outline(0.4).fill(Colour::WHITE);
        let inside = if self.shape == Shape::Triangle {
            drawing.circle(x, y, half_width, paint);
            1.6 * half_width
        } else {
            drawing.rect(
                x - half_width,
                y - half_height,
                2.0 * half_width,
                2.0 * half_height,
                paint,
            );
            1.85 * half_width
        };
        let small = largest_size(line, inside, 3.4, Weight::Regular);
        let two = !line.is_empty() && small >= LEAST_TYPE_MM && half_height > 1.9 * small;
        let size = largest_size(code, inside, (0.8 * half_height).min(7.0), Weight::Bold);
        let lift = if two { 0.1 * half_height } else { -0.35 * size };
        drawing.bold_text(x, y - lift, size, Anchor::Middle, code);
        if two {
            drawing.text(x, y - lift + 1.35 * small, small, Anchor::Middle, line);
        }
    }
}

/// The least distance between two different points of a triangle with side 1.
fn nearest(points: &[(f64, f64)], rise: f64) -> f64 {
    let mut least: f64 = 1.0;
    for (index, one) in points.iter().enumerate() {
        for other in &points[..index] {
            let distance = (one.0 - other.0).hypot((one.1 - other.1) * rise);
            if distance > 1e-6 {
                least = least.min(distance);
            }
        }
    }
    least
}

/// A line in rows of equal length as nearly as can be.
fn wrapped_rows(count: usize) -> Vec<usize> {
    let rows = count.div_ceil(MOST_IN_A_LINE).max(1);
    let each = count.div_ceil(rows).max(1);
    (0..rows)
        .map(|row| each.min(count.saturating_sub(row * each)))
        .collect()
}

/// Words in lines of a width, from the top down; smaller where they are long.
fn words(drawing: &mut Svg, text: &str, (x, y): (f64, f64), anchor: Anchor, width: f64) {
    let mut size = NAME_MM;
    let lines = loop {
        match wrapped(text, width, size, Weight::Bold) {
            Some(lines) if lines.len() <= 3 => break lines,
            _ if size > LEAST_TYPE_MM => size *= 0.9,
            Some(lines) => break lines.into_iter().take(3).collect(),
            None => break vec![shortened(text, width, size)],
        }
    };
    for (index, line) in lines.iter().enumerate() {
        drawing.bold_text(x, y + size * (1.0 + 1.2 * index as f64), size, anchor, line);
    }
}

fn shortened(text: &str, width: f64, size: f64) -> String {
    let mut short: String = text.to_owned();
    while !short.is_empty() && text_width(&short, size, Weight::Bold) > width {
        short.pop();
    }
    short
}
