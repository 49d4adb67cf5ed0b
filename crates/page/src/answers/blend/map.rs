//! The map of a plan as text: its codes in the plan's own shape.

use glost_core::tiles::blend::{BlendPlan, Shape};

use crate::layout;

/// The codes of a plan as they lie; empty for one that has no shape, or is too
/// wide for a screen. `mark` is what is shown for a tile, by its place.
pub(crate) fn of_plan(plan: &BlendPlan, mark: impl Fn(usize) -> String) -> String {
    map(plan.shape, &plan.rows, &shares(plan), mark)
}

fn shares(plan: &BlendPlan) -> Vec<&[f64]> {
    plan.tiles.iter().map(|tile| tile.shares.as_slice()).collect()
}

/// The same from what a saved plan holds.
pub(crate) fn map(shape: Shape, rows: &[usize], shares: &[&[f64]], mark: impl Fn(usize) -> String) -> String {
    let count = rows.iter().sum();
    let marks: Vec<String> = (0..count).map(mark).collect();
    let width = marks.iter().map(|mark| mark.chars().count()).max().unwrap_or(0) + 2;
    let longest = rows.iter().copied().max().unwrap_or(0);
    if longest == 0 || longest * width > layout::width() - 2 {
        return String::new();
    }
    let mut text = String::new();
    let mut next = 0;
    let mut layer = None;
    for &length in rows {
        let row = &marks[next..(next + length).min(marks.len())];
        if shape == Shape::Layers {
            let fourth = shares
                .get(next)
                .and_then(|shares| shares.get(3))
                .copied()
                .unwrap_or(0.0);
            if layer != Some(fourth) {
                layer = Some(fourth);
                text.push_str(&format!("\n  with {:.0} % of the fourth:\n", 100.0 * fourth));
            }
        }
        let before = match shape {
            Shape::Triangle | Shape::Layers if rows.len() > 1 => (longest - length) * width / 2,
            _ => 0,
        };
        let mut line = " ".repeat(before + 2);
        for mark in row {
            line.push_str(&format!("{mark:^width$}"));
        }
        text.push_str(line.trim_end());
        text.push('\n');
        next += length;
    }
    text
}
