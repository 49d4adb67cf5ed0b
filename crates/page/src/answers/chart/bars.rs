//! A glaze within the limits for its cone: ranges as lines, its value as a black tick.

use glost_core::rules::Range;
use glost_desk::chart::Within;

use crate::number;
use crate::paper::COMMON_WIDTH_MM;
use crate::svg::{Anchor, Paint, Svg, Weight, largest_size, wrapped};

/// Millimetres.
const LEFT: f64 = 34.0;
const RIGHT: f64 = COMMON_WIDTH_MM - 22.0;
const TOP: f64 = 14.0;
const LINE: f64 = 3.4;
const GAP: f64 = 5.6;
const TYPE: f64 = 3.6;
const SMALL: f64 = 2.7;

/// One thing that ranges are about, in every list that has one for it.
struct Row<'a> {
    name: &'static str,
    value: Option<f64>,
    /// The list's place among the lists, its range, whether it is the studio's own.
    ranges: Vec<(usize, &'a Range, bool)>,
}

fn rows(lists: &[Within]) -> Vec<Row<'_>> {
    let mut rows: Vec<Row<'_>> = Vec::new();
    for (place, list) in lists.iter().enumerate() {
        for (range, value) in list.values() {
            let name = range.subject.name();
            let own = (place, range, list.is_own());
            match rows.iter_mut().find(|row| row.name == name) {
                Some(row) => row.ranges.push(own),
                None => rows.push(Row {
                    name,
                    value,
                    ranges: vec![own],
                }),
            }
        }
    }
    rows
}

/// The page: a row a subject, each on a line of its own from nothing up.
pub(super) fn drawing(title: &str, lists: &[Within]) -> String {
    let rows = rows(lists);
    let below: f64 = TOP + rows.iter().map(|row| LINE * row.ranges.len() as f64 + GAP).sum::<f64>();
    let named = lists.iter().enumerate().map(|(place, list)| {
        let whose = if list.is_own() { ", your own (thick)" } else { "" };
        format!("{} {}{whose}: {}.", place + 1, list.set.name, list.set.source)
    });
    let mut foot: Vec<String> = named.collect();
    foot.push("A line is a list's range, the black tick this glaze, as the list's author counted. Limits are where others' glazes lie, no promise for yours.".to_owned());
    let foot: Vec<String> = foot
        .iter()
        .flat_map(|line| {
            wrapped(line, COMMON_WIDTH_MM - 2.0, TYPE, Weight::Regular).unwrap_or_else(|| vec![line.clone()])
        })
        .collect();
    let mut svg = Svg::new(COMMON_WIDTH_MM, below + 6.0 + 1.35 * TYPE * foot.len() as f64);
    let size = largest_size(title, COMMON_WIDTH_MM - 2.0, 5.0, Weight::Bold);
    svg.bold_text(1.0, 7.0, size, Anchor::Start, title);
    let mut y = TOP;
    for row in &rows {
        draw(&mut svg, row, y);
        y += LINE * row.ranges.len() as f64 + GAP;
    }
    for (place, line) in foot.iter().enumerate() {
        svg.text(1.0, below + 4.0 + 1.35 * TYPE * place as f64, TYPE, Anchor::Start, line);
    }
    svg.finish()
}

fn draw(svg: &mut Svg, row: &Row<'_>, top: f64) {
    let highs = row.ranges.iter().filter_map(|(_, range, _)| range.high.or(range.low));
    let most = 1.15 * highs.chain(row.value).fold(1e-3, f64::max);
    let x = |value: f64| LEFT + (value / most).clamp(0.0, 1.0) * (RIGHT - LEFT);
    let height = LINE * row.ranges.len() as f64;
    svg.bold_text(1.0, top + 0.5 * height + 0.36 * TYPE, TYPE, Anchor::Start, row.name);
    for (line, (list, range, own)) in row.ranges.iter().enumerate() {
        let y = top + LINE * (line as f64 + 0.5);
        let paint = Paint::outline(if *own { 0.9 } else { 0.35 });
        let (from, to) = (x(range.low.unwrap_or(0.0)), range.high.map_or(RIGHT, x));
        svg.text(
            LEFT - 2.0,
            y + 0.36 * SMALL,
            SMALL,
            Anchor::End,
            &(list + 1).to_string(),
        );
        svg.line(from, y, to, y, paint);
        for bound in [range.low, range.high].into_iter().flatten() {
            svg.line(x(bound), y - 1.1, x(bound), y + 1.1, Paint::outline(0.35));
        }
        let words = match (range.low, range.high) {
            (Some(low), Some(high)) => format!("{} to {}", number::parts(low), number::parts(high)),
            (Some(low), None) => format!("from {}", number::parts(low)),
            (None, Some(high)) => format!("to {}", number::parts(high)),
            (None, None) => String::new(),
        };
        svg.text(RIGHT + 1.5, y + 0.36 * SMALL, SMALL, Anchor::Start, &words);
    }
    if let Some(value) = row.value {
        svg.line(x(value), top - 0.6, x(value), top + height + 0.6, Paint::outline(1.0));
        svg.text(
            x(value),
            top + height + 3.2,
            SMALL,
            Anchor::Middle,
            &number::unity(value),
        );
    }
}
