//! A fitted surface as lines of equal height over the triangle of three ends, and as a
//! curve with its band between two.

use super::best::Goal;
use super::lesson::Lesson;

/// Small triangles along a side.
const SIDE: usize = 40;
/// Points of a curve, less one.
const CURVE: usize = 60;
/// Lines at about this count.
const ABOUT_LINES: f64 = 8.0;

/// A blend of three ends.
pub type OfThree = [f64; 3];

/// Lines of equal height over a triangle.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ContourMap {
    /// The heights of the lines, rising.
    pub levels: Vec<f64>,
    /// Pieces of lines: the height's place, from and to.
    pub lines: Vec<(usize, OfThree, OfThree)>,
    /// Pieces of where the tiles can't tell blends from the best: their fitted height lies
    /// inside the best one's band.
    pub as_good: Vec<Vec<OfThree>>,
}

/// A point of a curve between two ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurvePoint {
    /// Share of the second end.
    pub share: f64,
    /// Fitted height.
    pub value: f64,
    /// Its 90 % band, where there is one.
    pub band: Option<(f64, f64)>,
}

/// The lines of a lesson over three ends.
pub fn contours(lesson: &Lesson, goal: Goal) -> ContourMap {
    let at = |row: usize, place: usize| -> OfThree {
        // Row 0 is the first end's corner; places run from the second end to the third.
        let part = |count: usize| count as f64 / SIDE as f64;
        [part(SIDE - row), part(row - place), part(place)]
    };
    let heights: Vec<Vec<f64>> = (0..=SIDE)
        .map(|row| (0..=row).map(|place| lesson.height_at(&at(row, place))).collect())
        .collect();
    let all = || heights.iter().flatten().copied();
    let (lowest, highest) = (
        all().fold(f64::INFINITY, f64::min),
        all().fold(f64::NEG_INFINITY, f64::max),
    );
    let mut map = ContourMap {
        levels: round_levels(lowest, highest),
        ..ContourMap::default()
    };
    for row in 0..SIDE {
        for place in 0..=row {
            let down = [(row, place), (row + 1, place), (row + 1, place + 1)];
            map.cross(
                down.map(|(row, place)| (at(row, place), heights[row][place])),
                lesson,
                goal,
            );
            if place < row {
                let up = [(row, place), (row, place + 1), (row + 1, place + 1)];
                map.cross(
                    up.map(|(row, place)| (at(row, place), heights[row][place])),
                    lesson,
                    goal,
                );
            }
        }
    }
    map
}

impl ContourMap {
    /// Where the lines cross one small triangle.
    fn cross(&mut self, corners: [(OfThree, f64); 3], lesson: &Lesson, goal: Goal) {
        for (place, level) in self.levels.iter().enumerate() {
            let mut ends = Vec::new();
            for (from, to) in [(0, 1), (1, 2), (2, 0)] {
                let ((start, low), (end, high)) = (corners[from], corners[to]);
                if (low < *level) != (high < *level) {
                    let along = (level - low) / (high - low);
                    ends.push([0, 1, 2].map(|axis| start[axis] + along * (end[axis] - start[axis])));
                }
            }
            if let [from, to] = ends.as_slice() {
                self.lines.push((place, *from, *to));
            }
        }
        let (low, high) = match (lesson.best.band, goal) {
            (None, _) => return,
            (Some((low, _)), Goal::Most) => (low, f64::INFINITY),
            (Some((_, high)), Goal::Least) => (f64::NEG_INFINITY, high),
            (Some(band), Goal::Value(_)) => band,
        };
        let above = clipped(corners.to_vec(), |height| height - low);
        let inside = clipped(above, |height| high - height);
        if inside.len() > 2 {
            self.as_good
                .push(inside.into_iter().map(|(corner, _)| corner).collect());
        }
    }
}

/// The part of a shape where `over` isn't negative; heights run straight along its sides.
fn clipped(shape: Vec<(OfThree, f64)>, over: impl Fn(f64) -> f64) -> Vec<(OfThree, f64)> {
    let mut kept = Vec::new();
    for (place, (corner, height)) in shape.iter().enumerate() {
        let (next, next_height) = shape[(place + 1) % shape.len()];
        let (here, there) = (over(*height), over(next_height));
        if here >= 0.0 {
            kept.push((*corner, *height));
        }
        if (here < 0.0) != (there < 0.0) && (here - there).is_finite() {
            let along = here / (here - there);
            let spot = [0, 1, 2].map(|axis| corner[axis] + along * (next[axis] - corner[axis]));
            kept.push((spot, height + along * (next_height - height)));
        }
    }
    kept
}

/// Round heights between two: steps of 1, 2 or 5.
pub fn round_levels(lowest: f64, highest: f64) -> Vec<f64> {
    let rough = (highest - lowest) / ABOUT_LINES;
    if rough <= 0.0 || !rough.is_finite() {
        return Vec::new();
    }
    let power = 10f64.powi(rough.log10().floor() as i32);
    let step = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|digit| digit * power)
        .find(|step| *step >= rough)
        .unwrap_or(rough);
    let first = (lowest / step).ceil() as i64;
    let last = (highest / step).floor() as i64;
    (first..=last).map(|count| count as f64 * step).collect()
}

/// The curve of a lesson over two ends, from the first to the second.
pub fn curve(lesson: &Lesson) -> Vec<CurvePoint> {
    (0..=CURVE)
        .map(|step| {
            let share = step as f64 / CURVE as f64;
            let (value, band) = lesson.value_at(&[1.0 - share, share]);
            CurvePoint { share, value, band }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tiles::mixture::{Graded, Outcomes, Question, learn};

    #[test]
    fn lines_lie_at_their_heights() {
        let tile = |shares: [f64; 3], value: f64| Graded {
            shares: shares.to_vec(),
            value,
        };
        let tiles = vec![
            tile([1.0, 0.0, 0.0], 0.0),
            tile([0.0, 1.0, 0.0], 10.0),
            tile([0.0, 0.0, 1.0], 0.0),
            tile([0.0, 0.0, 1.0], 0.2),
            tile([0.5, 0.5, 0.0], 5.1),
        ];
        let question = Question {
            ends: 3,
            model: Some(crate::tiles::mixture::MixtureModel::Linear),
            goal: Goal::Most,
            next: 0,
            ladder: None,
        };
        let Ok(lesson) = learn(&Outcomes::Grades(tiles), &question) else {
            panic!("a lesson")
        };
        let map = contours(&lesson, Goal::Most);
        assert_eq!(map.levels, [2.0, 4.0, 6.0, 8.0, 10.0]);
        for (place, from, to) in &map.lines {
            for blend in [from, to] {
                assert!((lesson.height_at(blend) - map.levels[*place]).abs() < 1e-9);
                assert!((blend.iter().sum::<f64>() - 1.0).abs() < 1e-12);
            }
        }
        assert!(map.as_good.iter().flatten().all(|blend| blend[1] > 0.5));
        assert_eq!(
            round_levels(0.07, 0.93),
            [0.2, 0.4, 0.6, 0.8].map(|level: f64| (level / 0.2).round() * 0.2)
        );
        assert!(round_levels(3.0, 3.0).is_empty());
    }
}
