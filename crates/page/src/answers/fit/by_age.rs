//! The craze line falling with age, with the pieces that were looked at on it; and the tiles of
//! the glaze's ladders in a row.

use crate::words::age::age_words;
use glost_core::evidence::window::{Edge, LineByAge, LookByAge, Witness};

use crate::number;
use crate::strip::StripTile;
use crate::svg::{Anchor, Colour, Paint, Svg, Weight, largest_size};

use super::FitPage;
use super::placed::named;

/// Millimetres: the drawing, and the plot in it.
const WIDTH: f64 = 186.0;
const LEFT: f64 = 16.0;
const RIGHT: f64 = 150.0;
const TOP: f64 = 8.0;
const PLOT: f64 = 70.0;
pub(super) const HEIGHT: f64 = TOP + PLOT + 22.0;
const TYPE: f64 = 3.2;
const MARK: f64 = 1.4;
/// The line's band.
const PALE: Colour = Colour::grey(225);
/// Ages that are written along the foot, days.
const AGES: [(f64, &str); 6] = [
    (0.0, "new"),
    (7.0, "7 d"),
    (30.0, "30 d"),
    (180.0, "6 months"),
    (365.0, "1 y"),
    (1095.0, "3 y"),
];

/// What the plot spans.
struct Spans {
    low: f64,
    high: f64,
    days: f64,
}

impl Spans {
    fn of(by_age: &LineByAge) -> Spans {
        let bands = by_age.line.iter().flat_map(|(_, band)| [band.low, band.high]);
        let seen = || bands.clone().chain(by_age.looks.iter().map(|look| look.expansion));
        let days = by_age.looks.iter().map(|look| look.age_days);
        Spans {
            low: (2.0 * seen().fold(f64::INFINITY, f64::min)).floor() / 2.0,
            high: (2.0 * seen().fold(f64::NEG_INFINITY, f64::max)).ceil() / 2.0,
            days: days.fold(1095.0, f64::max),
        }
    }

    fn x(&self, days: f64) -> f64 {
        LEFT + (RIGHT - LEFT) * days.ln_1p() / self.days.ln_1p()
    }

    fn y(&self, expansion: f64) -> f64 {
        TOP + PLOT * (self.high - expansion) / (self.high - self.low)
    }
}

impl FitPage<'_> {
    /// The line by age as a drawing, where pieces on this clay were looked at.
    pub(super) fn line_by_age(&self, svg: &mut Svg, by_age: &LineByAge) {
        let spans = Spans::of(by_age);
        let point = |days: f64, value: f64| (spans.x(days), spans.y(value));
        let title = "Where crazing starts, by the age of the pieces";
        svg.bold_text(0.0, 3.6, 3.6, Anchor::Start, title);
        let mut around: Vec<(f64, f64)> = by_age.line.iter().map(|(days, band)| point(*days, band.high)).collect();
        around.extend(by_age.line.iter().rev().map(|(days, band)| point(*days, band.low)));
        svg.polygon(&around, Paint::filled(PALE));
        let median: Vec<(f64, f64)> = by_age
            .line
            .iter()
            .map(|(days, band)| point(*days, band.median))
            .collect();
        svg.polyline(&median, Paint::outline(0.6));
        frame(svg, &spans);
        for look in &by_age.looks {
            self.look(svg, &spans, look);
        }
        self.names(svg, &spans, by_age);
        let mut told = vec![
            "line: the median, grey: 90 %; it falls as the clay takes up water. ring: none of those pieces crazed; cross: some had"
                .to_owned(),
        ];
        if by_age.looks.iter().any(|look| look.by_chance) {
            told.push(
                "in brackets: nobody tells its expansion; it stands where a known glaze would have the same chance of crazing"
                    .to_owned(),
            );
        }
        for (place, text) in told.iter().enumerate() {
            let size = largest_size(text, WIDTH - 2.0, 3.0, Weight::Regular);
            svg.text(0.0, TOP + PLOT + 12.0 + 4.5 * place as f64, size, Anchor::Start, text);
        }
    }

    fn look(&self, svg: &mut Svg, spans: &Spans, look: &LookByAge) {
        let (x, y) = (spans.x(look.age_days), spans.y(look.expansion));
        let own = self.answer.evidence.own == Some(look.witness);
        let stroke = Paint::outline(if own { 0.9 } else { 0.4 });
        if look.crazed > 0 {
            svg.line(x - MARK, y - MARK, x + MARK, y + MARK, stroke);
            svg.line(x - MARK, y + MARK, x + MARK, y - MARK, stroke);
        } else {
            svg.circle(x, y, MARK, stroke.fill(Colour::WHITE));
        }
    }

    /// Each glaze's name at the right, at its height; those too near to another's are moved down.
    fn names(&self, svg: &mut Svg, spans: &Spans, by_age: &LineByAge) {
        let mut named_at: Vec<(f64, String)> = Vec::new();
        let mut done: Vec<usize> = Vec::new();
        for look in &by_age.looks {
            let Some(witness) = self.answer.evidence.witnesses.get(look.witness) else {
                continue;
            };
            if !done.contains(&look.witness) {
                done.push(look.witness);
                let name = named(witness);
                let name = if look.by_chance { format!("({name})") } else { name };
                named_at.push((spans.y(look.expansion), name));
            }
        }
        named_at.sort_by(|one, other| one.0.total_cmp(&other.0));
        let mut last = f64::NEG_INFINITY;
        for (y, name) in named_at {
            let foot = (y + 1.0).max(last + TYPE + 0.4);
            last = foot;
            let size = largest_size(&name, WIDTH - RIGHT - 3.0, TYPE, Weight::Regular);
            svg.text(RIGHT + 3.0, foot, size, Anchor::Start, &name);
        }
    }

    /// The glaze's ladders on this clay, one for each material added: a title and the tiles.
    pub(super) fn ladders(&self) -> Vec<(String, Vec<StripTile>)> {
        let evidence = &self.answer.evidence;
        let of_family = || {
            let witnesses = evidence.witnesses.iter();
            witnesses.filter(|witness| witness.place.family == evidence.place.family && witness.version.is_none())
        };
        let mut materials: Vec<&str> = Vec::new();
        for step in of_family().filter_map(|witness| witness.step.as_ref()) {
            if !materials.contains(&step.material.as_str()) {
                materials.push(&step.material);
            }
        }
        let ladder = |material: &str| {
            let percent = |witness: &&Witness| witness.step.as_ref().map_or(0.0, |step| step.percent);
            let on_it = |witness: &&Witness| witness.step.as_ref().is_none_or(|step| step.material == material);
            let mut tiles: Vec<&Witness> = of_family().filter(on_it).collect();
            tiles.sort_by(|one, other| percent(one).total_cmp(&percent(other)));
            let base = tiles.first().map_or("", |tile| tile.glaze.as_str());
            (
                format!("{base} with {material}"),
                tiles.iter().map(|tile| strip_tile(tile, percent(tile))).collect(),
            )
        };
        materials.into_iter().map(ladder).collect()
    }
}

fn strip_tile(witness: &Witness, percent: f64) -> StripTile {
    let (pieces, _) = witness.counted(Edge::Craze);
    let crazed = witness.ever_failed(Edge::Craze);
    let ages = witness.latest(Edge::Craze).into_iter().map(|look| look.age_days);
    let mut seen = Vec::new();
    if pieces > 0 {
        seen.push(format!("{crazed} of {pieces}"));
        seen.extend(ages.max_by(f64::total_cmp).map(age_words));
    }
    StripTile {
        added: format!("+ {} %", number::plain(percent)),
        crazed: (pieces > 0).then_some(crazed > 0),
        seen,
    }
}

fn frame(svg: &mut Svg, spans: &Spans) {
    svg.rect(LEFT, TOP, RIGHT - LEFT, PLOT, Paint::outline(0.3));
    let steps = (2.0 * (spans.high - spans.low)).round() as usize;
    // At most a dozen heights are written.
    let every = steps.div_ceil(12).max(1);
    for step in (0..=steps).step_by(every) {
        let value = spans.low + 0.5 * step as f64;
        svg.line(LEFT - 1.5, spans.y(value), LEFT, spans.y(value), Paint::outline(0.3));
        svg.text(
            LEFT - 2.5,
            spans.y(value) + 1.1,
            TYPE,
            Anchor::End,
            &number::plain(value),
        );
    }
    for (days, word) in AGES {
        let at = spans.x(days);
        svg.line(at, TOP + PLOT, at, TOP + PLOT + 1.5, Paint::outline(0.3));
        svg.text(at, TOP + PLOT + 5.0, TYPE, Anchor::Middle, word);
    }
}
