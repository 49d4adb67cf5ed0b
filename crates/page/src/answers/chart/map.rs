//! The map: silica along, its ratio to alumina up; surfaces lie in level bands.

use glost_desk::chart::{Answer, BRIGHT_FROM, DEVITRIFIES_FROM, MATT_BELOW, Marked, Spot, Tile, UNDERFIRED_SILICA};

use super::Words;
use crate::paper::COMMON_WIDTH_MM;
use crate::svg::{Anchor, Colour, Paint, Svg, Weight, largest_size, text_width, wrapped};

/// Millimetres: the frame of the map, type, marks.
const LEFT: f64 = 16.0;
const RIGHT: f64 = COMMON_WIDTH_MM - 4.0;
const TOP: f64 = 17.0;
const HEIGHT: f64 = 130.0;
const TYPE: f64 = 3.6;
const SMALL: f64 = 2.9;
const RING: f64 = 1.9;
const DOT: f64 = 1.0;
const DIAMOND: f64 = 2.4;
/// Between lines of the hatching.
const HATCH: f64 = 2.5;
/// More tiles than this are dots without a number.
const NUMBERED: usize = 60;
/// Alumina that has a line of its own, moles of the unity formula.
const ALUMINA: [f64; 5] = [0.3, 0.4, 0.5, 0.6, 0.8];
const THIN: Paint = Paint::outline(0.2);

/// What the axes reach over.
struct Scale {
    silica: (f64, f64),
    ratio: (f64, f64),
}

impl Scale {
    fn of(answer: &Answer) -> Scale {
        let marks = answer.glazes.iter().map(|glaze| glaze.place);
        let spots: Vec<Spot> = marks.chain(answer.tiles.iter().map(|tile| tile.place)).collect();
        let reach = |usual: (f64, f64), widest: (f64, f64), step: f64, of: &dyn Fn(&Spot) -> f64| {
            let range = spots.iter().map(of).fold(usual, |range, value| {
                (range.0.min(value - 0.3 * step), range.1.max(value + 0.3 * step))
            });
            (
                ((range.0 / step).floor() * step).max(widest.0),
                ((range.1 / step).ceil() * step).min(widest.1),
            )
        };
        Scale {
            silica: reach((1.5, 5.5), (0.0, 10.0), 0.5, &|spot| spot.silica),
            ratio: reach((2.0, 13.0), (0.0, 20.0), 1.0, &|spot| spot.ratio),
        }
    }

    fn x(&self, silica: f64) -> f64 {
        LEFT + (silica - self.silica.0) / (self.silica.1 - self.silica.0) * (RIGHT - LEFT)
    }

    fn y(&self, ratio: f64) -> f64 {
        TOP + HEIGHT - (ratio - self.ratio.0) / (self.ratio.1 - self.ratio.0) * HEIGHT
    }

    fn holds(&self, spot: &Spot) -> bool {
        (self.silica.0..=self.silica.1).contains(&spot.silica) && (self.ratio.0..=self.ratio.1).contains(&spot.ratio)
    }

    fn at(&self, spot: &Spot) -> (f64, f64) {
        (self.x(spot.silica), self.y(spot.ratio))
    }
}

/// The whole drawing.
pub(super) fn drawing(answer: &Answer) -> String {
    let scale = Scale::of(answer);
    let foot = foot(answer, &scale);
    let lines: Vec<String> = foot
        .iter()
        .flat_map(|line| {
            wrapped(line, COMMON_WIDTH_MM - 2.0, TYPE, Weight::Regular).unwrap_or_else(|| vec![line.clone()])
        })
        .collect();
    let below = TOP + HEIGHT + 16.0;
    let mut svg = Svg::new(COMMON_WIDTH_MM, below + 1.35 * TYPE * lines.len() as f64 + 2.0);
    let title = answer.headline();
    let size = largest_size(&title, COMMON_WIDTH_MM - 2.0, 5.0, Weight::Bold);
    svg.bold_text(1.0, 7.0, size, Anchor::Start, &title);
    hatching(&mut svg, &scale);
    alumina(&mut svg, &scale);
    bands(&mut svg, &scale);
    axes(&mut svg, &scale);
    let plain = answer.tiles.len() > NUMBERED;
    for tile in answer.tiles.iter().filter(|tile| scale.holds(&tile.place)) {
        ring(&mut svg, &scale, tile, plain);
    }
    let spots = answer.tiles.iter().map(|tile| &tile.place);
    let spots = spots.chain(answer.glazes.iter().map(|glaze| &glaze.place));
    let marks: Vec<(f64, f64)> = spots.map(|spot| scale.at(spot)).collect();
    let single = answer.glazes.len() == 1;
    for (place, glaze) in answer.glazes.iter().enumerate() {
        if scale.holds(&glaze.place) {
            let label = if single {
                glaze.glaze.clone()
            } else {
                (place + 1).to_string()
            };
            diamond(
                &mut svg,
                &scale,
                glaze,
                &Label {
                    text: &label,
                    marks: &marks,
                },
            );
        }
    }
    for (place, line) in lines.iter().enumerate() {
        svg.text(1.0, below + 1.35 * TYPE * place as f64, TYPE, Anchor::Start, line);
    }
    svg.finish()
}

/// Lines across the corner where much of both may only be underfired.
fn hatching(svg: &mut Svg, scale: &Scale) {
    let (left, right) = (scale.x(UNDERFIRED_SILICA.max(scale.silica.0)), RIGHT);
    let (top, bottom) = (scale.y(MATT_BELOW), TOP + HEIGHT);
    if right - left < HATCH || bottom - top < HATCH {
        return;
    }
    // Rising lines x + y = c, cut at the corner's sides.
    let mut along = left + top + HATCH;
    while along < right + bottom {
        let (x1, y1) = if along - left <= bottom {
            (left, along - left)
        } else {
            (along - bottom, bottom)
        };
        let (x2, y2) = if along - top <= right {
            (along - top, top)
        } else {
            (right, along - right)
        };
        svg.line(x1, y1, x2, y2, THIN.ink(Colour::grey(110)));
        along += HATCH;
    }
    svg.rect(left, top, right - left, bottom - top, THIN);
    let text = "matt, or only underfired";
    let width = text_width(text, TYPE, Weight::Regular);
    let (x, y) = (right - 2.0 - width, bottom - 4.0);
    svg.rect(x - 1.0, y - TYPE, width + 2.0, 1.4 * TYPE, Paint::filled(Colour::WHITE));
    svg.text(x, y, TYPE, Anchor::Start, text);
}

/// Surfaces by level lines, each band with its name at the left.
fn bands(svg: &mut Svg, scale: &Scale) {
    for border in [MATT_BELOW, BRIGHT_FROM, DEVITRIFIES_FROM] {
        if border > scale.ratio.0 && border < scale.ratio.1 {
            svg.line(LEFT, scale.y(border), RIGHT, scale.y(border), Paint::outline(0.4));
        }
    }
    let bands = [
        ("matt", scale.ratio.0, MATT_BELOW),
        ("satin", MATT_BELOW, BRIGHT_FROM),
        ("bright", BRIGHT_FROM, DEVITRIFIES_FROM),
        (
            "short of alumina: may run or turn cloudy",
            DEVITRIFIES_FROM,
            scale.ratio.1,
        ),
    ];
    for (name, low, high) in bands {
        if high > low {
            let y = 0.5 * (scale.y(low) + scale.y(high));
            let width = text_width(name, TYPE, Weight::Regular);
            svg.rect(
                LEFT + 1.5,
                y - 0.62 * TYPE,
                width + 1.0,
                1.25 * TYPE,
                Paint::filled(Colour::WHITE),
            );
            svg.text(LEFT + 2.0, y + 0.36 * TYPE, TYPE, Anchor::Start, name);
        }
    }
}

/// Lines of equal alumina, with their number where they leave the map.
fn alumina(svg: &mut Svg, scale: &Scale) {
    for alumina in ALUMINA {
        let low = scale.silica.0.max(scale.ratio.0 * alumina);
        let high = scale.silica.1.min(scale.ratio.1 * alumina);
        if high - low < 0.5 {
            continue;
        }
        let paint = THIN.ink(Colour::grey(120)).dashed();
        let (x1, y1) = (scale.x(low), scale.y(low / alumina));
        let (x2, y2) = (scale.x(high), scale.y(high / alumina));
        svg.line(x1, y1, x2, y2, paint);
        let text = format!("Al2O3 {alumina}");
        let width = text_width(&text, SMALL, Weight::Regular);
        // Inside the map, below the upper end of its line.
        let share = 0.93;
        let (x, y) = (x1 + share * (x2 - x1), y1 + share * (y2 - y1));
        let x = x.min(RIGHT - 0.5 * width - 1.5);
        svg.rect(
            x - 0.5 * width - 0.5,
            y - 0.6 * SMALL,
            width + 1.0,
            1.25 * SMALL,
            Paint::filled(Colour::WHITE),
        );
        svg.text(x, y + 0.36 * SMALL, SMALL, Anchor::Middle, &text);
    }
}

fn axes(svg: &mut Svg, scale: &Scale) {
    svg.rect(LEFT, TOP, RIGHT - LEFT, HEIGHT, Paint::outline(0.4));
    let bottom = TOP + HEIGHT;
    let steps = |range: (f64, f64), step: f64| {
        let first = (range.0 / step).ceil() as i64;
        let last = (range.1 / step + 1e-9).floor() as i64;
        (first..=last).map(move |number| number as f64 * step)
    };
    for silica in steps(scale.silica, 0.5) {
        let (x, value) = (scale.x(silica), format!("{silica}"));
        svg.named(
            &[("data-axis", "silica"), ("data-value", &value)],
            &format!("SiO2 {value}"),
            |svg| {
                svg.line(x, bottom, x, bottom + 1.6, Paint::outline(0.3));
                svg.text(x, bottom + 5.0, TYPE, Anchor::Middle, &value);
            },
        );
    }
    for ratio in steps(scale.ratio, 1.0) {
        let (y, value) = (scale.y(ratio), format!("{ratio}"));
        svg.named(
            &[("data-axis", "ratio"), ("data-value", &value)],
            &format!("SiO2:Al2O3 {value}"),
            |svg| {
                svg.line(LEFT - 1.6, y, LEFT, y, Paint::outline(0.3));
                svg.text(LEFT - 2.5, y + 0.36 * TYPE, TYPE, Anchor::End, &value);
            },
        );
    }
    svg.text(
        0.5 * (LEFT + RIGHT),
        bottom + 10.0,
        TYPE,
        Anchor::Middle,
        "SiO2, moles where all fluxes are 1",
    );
    svg.text(1.0, TOP - 2.2, TYPE, Anchor::Start, "SiO2:Al2O3, by moles");
}

fn place_of(spot: &Spot) -> [(&'static str, String); 2] {
    [
        ("data-silica", format!("{:.4}", spot.silica)),
        ("data-ratio", format!("{:.4}", spot.ratio)),
    ]
}

/// A graded tile: a ring with its grade; where they are many, a small one, open for a low
/// grade, dotted for a middle one, filled for a high one.
fn ring(svg: &mut Svg, scale: &Scale, tile: &Tile, plain: bool) {
    let (x, y) = scale.at(&tile.place);
    let [silica, ratio] = place_of(&tile.place);
    let attributes = [
        ("data-mark", "tile"),
        (silica.0, silica.1.as_str()),
        (ratio.0, ratio.1.as_str()),
    ];
    let title = format!("{}: {:.1}", tile.made, tile.grade);
    svg.named(&attributes, &title, |svg| {
        let line = Paint::outline(0.3);
        if !plain {
            svg.circle(x, y, RING, line.fill(Colour::WHITE));
            svg.text(
                x,
                y + 0.36 * SMALL,
                SMALL,
                Anchor::Middle,
                &format!("{:.0}", tile.grade),
            );
            return;
        }
        let fill = if tile.grade > 10.0 / 3.0 {
            Colour::BLACK
        } else {
            Colour::WHITE
        };
        svg.circle(x, y, DOT, line.fill(fill));
        if (5.0 / 3.0..=10.0 / 3.0).contains(&tile.grade) {
            svg.circle(x, y, 0.4 * DOT, Paint::filled(Colour::BLACK));
        }
    });
}

/// A name or a number beside a mark.
struct Label<'a> {
    text: &'a str,
    /// All marks, which it should not cover.
    marks: &'a [(f64, f64)],
}

impl Label<'_> {
    /// The left end of its line of type: right of a mark, left, above or below, where it
    /// covers the fewest others and stays on the map.
    fn place(&self, x: f64, y: f64, width: f64) -> (f64, f64) {
        let beside = DIAMOND + 1.2;
        let spots = [
            (x + beside, y),
            (x - beside - width, y),
            (x - 0.5 * width, y - beside - 0.5 * TYPE),
            (x - 0.5 * width, y + beside + 0.5 * TYPE),
        ];
        let covered = |&(left, middle): &(f64, f64)| {
            let level = (TOP + TYPE..=TOP + HEIGHT - TYPE).contains(&middle);
            let off = left < LEFT || left + width > RIGHT || !level;
            let near = self.marks.iter().filter(|(of_x, of_y)| {
                *of_x > left - RING && *of_x < left + width + RING && (of_y - middle).abs() < RING + 0.6 * TYPE
            });
            near.count() + if off { 1000 } else { 0 }
        };
        spots.into_iter().min_by_key(covered).unwrap_or(spots[0])
    }
}

/// A glaze that is marked: a black diamond with its name or number.
fn diamond(svg: &mut Svg, scale: &Scale, glaze: &Marked, label: &Label<'_>) {
    let (x, y) = scale.at(&glaze.place);
    let [silica, ratio] = place_of(&glaze.place);
    let attributes = [
        ("data-mark", "glaze"),
        (silica.0, silica.1.as_str()),
        (ratio.0, ratio.1.as_str()),
    ];
    svg.named(&attributes, &glaze.glaze, |svg| {
        let around = [(x, y - DIAMOND), (x + DIAMOND, y), (x, y + DIAMOND), (x - DIAMOND, y)];
        svg.polygon(&around, Paint::outline(0.5).ink(Colour::WHITE).fill(Colour::BLACK));
        let (left, middle) = label.place(x, y, text_width(label.text, TYPE, Weight::Bold));
        svg.bold_text(left, middle + 0.36 * TYPE, TYPE, Anchor::Start, label.text);
    });
}

/// What the signs mean, and where the bands come from.
fn foot(answer: &Answer, scale: &Scale) -> Vec<String> {
    let mut lines = Vec::new();
    if answer.glazes.len() > 1 {
        let named: Vec<String> = answer
            .glazes
            .iter()
            .enumerate()
            .map(|(place, glaze)| format!("{} {}", place + 1, glaze.glaze))
            .collect();
        lines.push(format!("{}.", named.join(", ")));
    }
    let outside: Vec<&str> = answer
        .glazes
        .iter()
        .filter(|glaze| !scale.holds(&glaze.place))
        .map(|glaze| glaze.glaze.as_str())
        .collect();
    if !outside.is_empty() {
        lines.push(format!("Off the map: {}.", outside.join(", ")));
    }
    if let (Some(grade), false) = (&answer.grade, answer.tiles.is_empty()) {
        let sign = if answer.tiles.len() > NUMBERED {
            "a ring is a thing made here, open up to 1.7, dotted to 3.3, filled above"
        } else {
            "a ring is a thing made here, the number in it its mean grade"
        };
        lines.push(format!("Graded for {grade}, 0 to 5: {sign}."));
    }
    if let [only] = answer.glazes.as_slice()
        && only.reads.is_none()
    {
        lines.push(format!(
            "For {} the ratio doesn't tell the surface: other oxides or its heat do, or no cone is given.",
            only.glaze
        ));
    }
    lines.push(format!("Bands: {}.", answer.bands()));
    lines
}
