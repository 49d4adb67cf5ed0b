//! The fitted surface as a drawing: lines of equal height over a triangle, a curve with its
//! band between two ends, with the tiles and the best blend on it.

use glost_core::tiles::mixture::{CurvePoint, Fault, Learned, OfThree, Outcomes, contours, curve, round_levels};

use crate::number;
use crate::paper::COMMON_WIDTH_MM;
use crate::sheet::{Pages, Setting};
use crate::strip::{self, STRIP_HEIGHT, StripTile};
use crate::svg::{Anchor, Colour, Paint, Svg, Weight, largest_size, wrapped};

use crate::words::results::ResultsPage;

/// Type of running text, mm: 11 pt.
const TYPE_MM: f64 = 3.9;
/// Type of a tile's code and result, mm: 9 pt.
const SMALL_MM: f64 = 3.2;
/// Side of the triangle.
const SIDE_MM: f64 = 150.0;
/// Room above the drawing for the answer.
const HEAD_MM: f64 = 24.0;
/// Room below it for what the signs mean.
const FOOT_MM: f64 = 34.0;
/// Where blends that may be as good lie.
const PALE: Colour = Colour::grey(225);

impl ResultsPage<'_> {
    /// The page with the map; `None` for more ends than can be drawn.
    pub fn pages(&self) -> Option<Pages> {
        let drawing = match self.ends.len() {
            2 => self.curve_drawing(),
            3 => self.triangle_drawing(),
            _ => return None,
        };
        Some(Pages {
            title: self.headline(),
            setting: Setting::AnyPaper,
            drawings: vec![drawing],
        })
    }

    fn head(&self, drawing: &mut Svg) {
        let size = 1.4 * TYPE_MM;
        let lines = wrapped(&self.headline(), COMMON_WIDTH_MM - 2.0, size, Weight::Bold).unwrap_or_default();
        let mut y = 1.5 * size;
        for line in lines.iter().take(3) {
            drawing.bold_text(1.0, y, size, Anchor::Start, line);
            y += 1.3 * size;
        }
    }

    /// What the signs mean, under the drawing.
    fn foot(&self, drawing: &mut Svg, top: f64, lines: &[String]) {
        let mut y = top;
        for line in lines {
            for part in wrapped(line, COMMON_WIDTH_MM - 2.0, TYPE_MM, Weight::Regular).unwrap_or_default() {
                drawing.text(1.0, y, TYPE_MM, Anchor::Start, &part);
                y += 1.35 * TYPE_MM;
            }
        }
    }

    fn drawn(&self) -> Vec<(&[f64], f64, String)> {
        let name = |place: usize| self.name(place).to_owned();
        match &self.outcomes {
            Outcomes::Grades(tiles) => tiles
                .iter()
                .enumerate()
                .map(|(place, tile)| (&tile.shares[..], tile.value, name(place)))
                .collect(),
            Outcomes::Counts(tiles) => tiles
                .iter()
                .enumerate()
                .map(|(place, tile)| (&tile.shares[..], tile.yes / tile.of, name(place)))
                .collect(),
        }
    }

    fn triangle_drawing(&self) -> String {
        let height = SIDE_MM * 0.75_f64.sqrt();
        let left = 0.5 * (COMMON_WIDTH_MM - SIDE_MM);
        let top = HEAD_MM + 8.0;
        let at = |blend: &OfThree| {
            let x = left + SIDE_MM * (0.5 * blend[0] + blend[2]);
            (x, top + height * (1.0 - blend[0]))
        };
        let mut drawing = Svg::new(COMMON_WIDTH_MM, top + height + 12.0 + FOOT_MM);
        self.head(&mut drawing);
        let map = contours(&self.lesson, self.goal);
        for piece in &map.as_good {
            // A hair of a line closes the seams between neighbours.
            let around: Vec<(f64, f64)> = piece.iter().map(&at).collect();
            drawing.polygon(&around, Paint::outline(0.15).ink(PALE).fill(PALE));
        }
        for (_, from, to) in &map.lines {
            let ((x1, y1), (x2, y2)) = (at(from), at(to));
            drawing.line(x1, y1, x2, y2, Paint::outline(0.25).ink(Colour::grey(90)));
        }
        let corners = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]].map(|corner| at(&corner));
        drawing.polygon(&corners, Paint::outline(0.5));
        self.corner_names(&mut drawing, &corners);
        let mut taken: Vec<(f64, f64)> = Vec::new();
        for (shares, value, name) in self.drawn() {
            if let [a, b, c] = *shares {
                let (x, y) = at(&[a, b, c]);
                self.tile(&mut drawing, (x, y), value, &name, &mut taken);
            }
        }
        if let [a, b, c] = *self.lesson.best.shares {
            let (x, y) = at(&[a, b, c]);
            best_sign(&mut drawing, x, y);
            taken.push((x, y));
        }
        for (shares, label) in self.next_spots() {
            if let [a, b, c] = *shares {
                next_sign(&mut drawing, at(&[a, b, c]), &label);
            }
        }
        for (place, level) in map.levels.iter().enumerate() {
            let middles = map.lines.iter().filter(|line| line.0 == place).map(|(_, from, to)| {
                let ((x1, y1), (x2, y2)) = (at(from), at(to));
                (0.5 * (x1 + x2), 0.5 * (y1 + y2))
            });
            let spot = freest(middles, &taken);
            if let Some((x, y)) = spot.filter(|spot| taken.iter().all(|other| !near(*spot, *other, 5.0))) {
                taken.push((x, y));
                let text = self.number(*level);
                drawing.rect(
                    x - 0.3 * SMALL_MM * text.len() as f64,
                    y - 0.55 * SMALL_MM,
                    0.6 * SMALL_MM * text.len() as f64,
                    1.1 * SMALL_MM,
                    Paint::filled(Colour::WHITE),
                );
                drawing.text(x, y + 0.36 * SMALL_MM, SMALL_MM, Anchor::Middle, &text);
            }
        }
        let mut lines = vec![format!("Lines: {} as {}.", self.value, self.source_words())];
        lines.extend(self.signs());
        if !map.as_good.is_empty() {
            lines.push("Grey: blends that these tiles can't tell from the best.".to_owned());
        }
        self.foot(&mut drawing, top + height + 16.0, &lines);
        drawing.finish()
    }

    fn corner_names(&self, drawing: &mut Svg, corners: &[(f64, f64); 3]) {
        let [(x, y), low_left, low_right] = *corners;
        let size = |end: &str, room: f64| largest_size(end, room, 1.2 * TYPE_MM, Weight::Bold);
        for (end, (x, y), anchor, room) in [
            (&self.ends[0], (x, y - 3.0), Anchor::Middle, 120.0),
            (
                &self.ends[1],
                (low_left.0 - 16.0, low_left.1 + 9.0),
                Anchor::Start,
                85.0,
            ),
            (
                &self.ends[2],
                (low_right.0 + 16.0, low_right.1 + 9.0),
                Anchor::End,
                85.0,
            ),
        ] {
            drawing.bold_text(x, y, size(end, room), anchor, end);
        }
    }

    /// A tile made: a dot, its code and result beside it; repeats stack up. On the lower
    /// edge they stand above the line, at the right margin to the left.
    fn tile(&self, drawing: &mut Svg, (x, y): (f64, f64), value: f64, name: &str, taken: &mut Vec<(f64, f64)>) {
        let before = taken.iter().filter(|spot| near(**spot, (x, y), 0.5)).count();
        taken.push((x, y));
        drawing.circle(x, y, 1.2, Paint::filled(Colour::BLACK));
        let code = if name.starts_with("line ") { "" } else { name };
        let text = format!("{code} {}", self.number(value));
        let up = if drawing.height_mm() - y < FOOT_MM + 18.0 {
            1.1 * SMALL_MM
        } else {
            0.0
        };
        let row = before as f64 * 1.1 * SMALL_MM;
        let line = if up > 0.0 {
            y - 0.35 * up - row
        } else {
            y + 0.35 * SMALL_MM + row
        };
        let (spot, anchor) = if COMMON_WIDTH_MM - x < 14.0 {
            (x - 2.2, Anchor::End)
        } else {
            (x + 2.2, Anchor::Start)
        };
        drawing.bold_text(spot, line, SMALL_MM, anchor, text.trim());
    }

    /// Each blend to make next with its places in the order.
    fn next_spots(&self) -> Vec<(&[f64], String)> {
        let mut spots: Vec<(&[f64], String)> = Vec::new();
        for (place, tile) in self.lesson.next.iter().enumerate() {
            match spots.iter_mut().find(|(shares, _)| *shares == tile.shares.as_slice()) {
                Some((_, label)) => label.push_str(&format!(", {}", place + 1)),
                None => spots.push((&tile.shares, format!("next {}", place + 1))),
            }
        }
        spots
    }

    /// Where the surface drawn comes from.
    fn source_words(&self) -> String {
        match (&self.lesson.learned, self.model_name()) {
            (Learned::OneModel, Some(model)) => format!("the {model} model has it"),
            (Learned::Ladder(_), _) => "the ladder's tiles have it, over many firings".to_owned(),
            (Learned::Surfaces(_) | Learned::OneModel, _) => "several models weighed have it".to_owned(),
        }
    }

    fn signs(&self) -> Vec<String> {
        let mut signs = vec!["Dots: tiles made, with their results. Ring with a cross: the best blend.".to_owned()];
        if !self.lesson.next.is_empty() {
            signs.push("Dashed: tiles to make next, the first says most.".to_owned());
        }
        signs
    }

    fn curve_drawing(&self) -> String {
        let (left, top, width, height) = (18.0, HEAD_MM, COMMON_WIDTH_MM - 26.0, 110.0);
        let points = curve(&self.lesson);
        let made = self.drawn();
        // A wide band is cut off rather than flattening the rest.
        let seen = || {
            points
                .iter()
                .map(|point| point.value)
                .chain(made.iter().map(|(_, value, _)| *value))
        };
        let (low, high) = (
            seen().fold(f64::INFINITY, f64::min),
            seen().fold(f64::NEG_INFINITY, f64::max),
        );
        let room = 0.25 * (high - low).max(1e-9);
        let (low, high) = (low - room, high + room);
        let x = |share: f64| left + width * share;
        let y = |value: f64| top + height * (1.0 - ((value - low) / (high - low)).clamp(0.0, 1.0));
        let strip = self.strip();
        let below = strip.as_ref().map_or(0.0, |_| STRIP_HEIGHT);
        let mut drawing = Svg::new(COMMON_WIDTH_MM, top + height + 18.0 + FOOT_MM + below);
        self.head(&mut drawing);
        if let Some(tiles) = &strip {
            let title = format!("From {} to {}", self.ends[0], self.ends[1]);
            drawing.moved(1.0, top + height + 18.0 + FOOT_MM, |svg| {
                strip::draw(svg, COMMON_WIDTH_MM - 2.0, &title, tiles);
            });
        }
        let banded: Vec<(&CurvePoint, (f64, f64))> =
            points.iter().filter_map(|point| Some((point, point.band?))).collect();
        let mut around: Vec<(f64, f64)> = banded.iter().map(|(point, band)| (x(point.share), y(band.1))).collect();
        around.extend(banded.iter().rev().map(|(point, band)| (x(point.share), y(band.0))));
        if !around.is_empty() {
            drawing.polygon(&around, Paint::filled(PALE));
        }
        let line: Vec<(f64, f64)> = points.iter().map(|point| (x(point.share), y(point.value))).collect();
        drawing.polyline(&line, Paint::outline(0.5));
        drawing.rect(left, top, width, height, Paint::outline(0.3));
        for level in round_levels(low, high) {
            drawing.line(left - 1.5, y(level), left, y(level), Paint::outline(0.3));
            drawing.text(left - 2.5, y(level) + 1.2, SMALL_MM, Anchor::End, &self.number(level));
        }
        for (end, spot, anchor) in [
            (&self.ends[0], left, Anchor::Start),
            (&self.ends[1], left + width, Anchor::End),
        ] {
            let size = largest_size(end, 80.0, 1.2 * TYPE_MM, Weight::Bold);
            drawing.bold_text(spot, top + height + 7.0, size, anchor, end);
        }
        let mut taken = Vec::new();
        for (shares, value, name) in made {
            if let [_, share] = *shares {
                self.tile(&mut drawing, (x(share), y(value)), value, &name, &mut taken);
            }
        }
        if let [_, share] = *self.lesson.best.shares {
            best_sign(&mut drawing, x(share), y(self.lesson.best.value));
        }
        for (shares, label) in self.next_spots() {
            if let [_, share] = *shares {
                drawing.line(
                    x(share),
                    top + height,
                    x(share),
                    top + height - 8.0,
                    Paint::outline(0.5).dashed(),
                );
                let (spot, anchor) = if share > 0.5 {
                    (x(share) - 1.5, Anchor::End)
                } else {
                    (x(share) + 1.5, Anchor::Start)
                };
                drawing.text(spot, top + height - 4.0, SMALL_MM, anchor, &label);
            }
        }
        let mut lines = vec![format!(
            "Line: {} as {}; grey: its 90 % band.",
            self.value,
            self.source_words()
        )];
        lines.extend(self.signs());
        self.foot(&mut drawing, top + height + 16.0, &lines);
        drawing.finish()
    }
}

impl ResultsPage<'_> {
    /// A ladder's tiles in a row, lowest addition first.
    fn strip(&self) -> Option<Vec<StripTile>> {
        let lesson = self.ladder()?;
        let (Outcomes::Counts(counted), Some(Fault::Crazed)) = (&self.outcomes, Fault::of(&self.value)) else {
            return None;
        };
        let mut tiles: Vec<(f64, StripTile)> = Vec::new();
        for (place, (rung, counts)) in lesson.rungs.iter().zip(counted).enumerate() {
            let added = number::plain((1e6 * rung.percent).round() / 1e6);
            let tile = StripTile {
                added: format!("{}: + {added} %", self.name(place)),
                crazed: Some(counts.yes > 0.0),
                seen: vec![format!("{} of {}", counts.yes, counts.of)],
            };
            tiles.push((rung.percent, tile));
        }
        tiles.sort_by(|one, other| one.0.total_cmp(&other.0));
        Some(tiles.into_iter().map(|(_, tile)| tile).collect())
    }
}

fn best_sign(drawing: &mut Svg, x: f64, y: f64) {
    drawing.circle(x, y, 3.0, Paint::outline(0.6));
    drawing.line(x - 4.5, y, x + 4.5, y, Paint::outline(0.4));
    drawing.line(x, y - 4.5, x, y + 4.5, Paint::outline(0.4));
}

/// A dashed ring with its places in the order.
fn next_sign(drawing: &mut Svg, (x, y): (f64, f64), label: &str) {
    drawing.circle(x, y, 4.2, Paint::outline(0.35).dashed());
    drawing.text(x - 4.8, y - 1.2, SMALL_MM, Anchor::End, label);
}

fn near(one: (f64, f64), other: (f64, f64), most: f64) -> bool {
    (one.0 - other.0).abs() <= most && (one.1 - other.1).abs() <= most
}

/// The spot furthest from what is taken already.
fn freest(spots: impl Iterator<Item = (f64, f64)>, taken: &[(f64, f64)]) -> Option<(f64, f64)> {
    let room = |spot: &(f64, f64)| {
        let distances = taken.iter().map(|other| {
            // A tile's result is written to its right.
            let across = spot.0 - other.0 - 4.0;
            (0.5 * across).hypot(spot.1 - other.1)
        });
        distances.fold(f64::INFINITY, f64::min)
    };
    spots.max_by(|one, other| room(one).total_cmp(&room(other)))
}
