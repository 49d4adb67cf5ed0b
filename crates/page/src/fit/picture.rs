//! The ruler as a drawing, and the page around it.

use crate::number;
use crate::sheet::{document, paragraph};
use crate::svg::{Anchor, Colour, FILE_HEAD, Paint, Svg, Weight, largest_size};

use super::FitPage;
use super::placed::{Did, Placed, Scale};

/// Millimetres: the drawing, the ruler in it, one row.
const WIDTH: f64 = 186.0;
const LEFT: f64 = 46.0;
const RIGHT: f64 = 146.0;
const ROW: f64 = 7.0;
const TOP: f64 = 24.0;
const TYPE: f64 = 3.6;
const MARK: f64 = 1.5;
/// Names and counts keep to their side of the ruler.
const NAME_WIDTH: f64 = LEFT - 5.0;
const REMARK_WIDTH: f64 = WIDTH - RIGHT - 4.0;

impl FitPage<'_> {
    /// A drawing that stands alone as a file; without any expansion it says so.
    pub fn svg(&self) -> String {
        format!("{FILE_HEAD}{}", self.drawing())
    }

    /// A page to print: the answer, the drawing, what it rests on, what to do.
    pub fn html(&self) -> String {
        let answer = self.answer;
        let title = format!("{} on {}", answer.glaze, answer.clay);
        let mut body = format!("<h1>{}</h1>\n", crate::sheet::escape(&title));
        body.push_str(&format!(
            "<div class=\"warning\">{}</div>\n",
            crate::sheet::escape(&self.headline())
        ));
        body.push_str(&self.drawing());
        for sentence in self.where_it_lies() {
            body.push_str(&paragraph(&sentence));
        }
        body.push_str("<h2>What to do</h2>\n");
        for sentence in self.what_to_do() {
            body.push_str(&paragraph(&sentence));
        }
        body.push_str("<h2>Taken for granted</h2>\n<div class=\"small\">\n");
        for sentence in &answer.assumptions {
            body.push_str(&paragraph(sentence));
        }
        body.push_str("</div>\n");
        document(&title, &body)
    }

    fn drawing(&self) -> String {
        let answer = self.answer;
        let title = format!("{} on {}", answer.glaze, answer.clay);
        let Some(scale) = self.scale() else {
            let mut svg = Svg::new(WIDTH, 20.0);
            heading(&mut svg, &title);
            svg.text(
                2.0,
                16.0,
                TYPE,
                Anchor::Start,
                "Nobody tells an expansion: there is nothing to place.",
            );
            return svg.finish();
        };
        let bands = 1 + usize::from(scale.this.is_some()) + usize::from(scale.shiver.is_some());
        let rows = (scale.placed.len() + bands) as f64;
        let bottom = TOP + ROW * rows;
        let mut svg = Svg::new(WIDTH, bottom + 18.0);
        heading(&mut svg, &title);
        axis(&mut svg, &scale, bottom);
        let mut y = TOP + 0.5 * ROW;
        for glaze in &scale.placed {
            past(&mut svg, &scale, glaze, y);
            y += ROW;
        }
        if let Some(this) = scale.this {
            name(&mut svg, "this glaze, 90 %", y, Weight::Bold);
            band(&mut svg, &scale, this, y, Paint::outline(0.8));
            dot(&mut svg, x(&scale, this.1), y, Paint::filled(Colour::BLACK));
            y += ROW;
        }
        for (label, span) in [
            ("crazing starts, 90 %", Some(scale.craze)),
            ("shivering below, 90 %", scale.shiver),
        ] {
            let Some(span) = span else { continue };
            name(&mut svg, label, y, Weight::Regular);
            band(&mut svg, &scale, span, y, Paint::outline(0.5).dashed());
            svg.line(
                x(&scale, span.1),
                y - 2.0,
                x(&scale, span.1),
                y + 2.0,
                Paint::outline(0.5),
            );
            y += ROW;
        }
        let legend =
            "ring: held so far   cross: crazed   triangle: shivered   band: 90 %, for comparing glazes on this clay";
        svg.text(2.0, bottom + 9.0, 3.0, Anchor::Start, legend);
        if !scale.nowhere.is_empty() {
            let nowhere = format!(
                "Not placed, for nobody tells their expansion: {}",
                scale.nowhere.join(", ")
            );
            let size = largest_size(&nowhere, WIDTH - 4.0, 3.0, Weight::Regular);
            svg.text(2.0, bottom + 14.0, size, Anchor::Start, &nowhere);
        }
        svg.finish()
    }
}

fn heading(svg: &mut Svg, title: &str) {
    let size = largest_size(title, WIDTH - 4.0, 5.0, Weight::Bold);
    svg.bold_text(2.0, 7.0, size, Anchor::Start, title);
}

fn x(scale: &Scale, expansion: f64) -> f64 {
    let along = (expansion - scale.low) / (scale.high - scale.low);
    LEFT + (RIGHT - LEFT) * along.clamp(0.0, 1.0)
}

/// The expansion above, a thin line down through all rows at each mark.
fn axis(svg: &mut Svg, scale: &Scale, bottom: f64) {
    svg.text(2.0, TOP - 6.0, TYPE, Anchor::Start, "expansion, 1e-6/K");
    svg.line(LEFT, TOP - 2.0, RIGHT, TOP - 2.0, Paint::outline(0.4));
    let step = if scale.high - scale.low > 4.0 { 1.0 } else { 0.5 };
    let count = ((scale.high - scale.low) / step + 1e-9).floor() as usize;
    for index in 0..=count {
        let value = scale.low + step * index as f64;
        let at = x(scale, value);
        svg.line(at, TOP - 3.5, at, bottom, Paint::outline(0.1));
        svg.text(at, TOP - 6.0, TYPE, Anchor::Middle, &number::plain(value));
    }
}

fn name(svg: &mut Svg, text: &str, y: f64, weight: Weight) {
    let size = largest_size(text, NAME_WIDTH, TYPE, weight);
    svg.write(2.0, y + 1.2, size, Anchor::Start, weight, text);
}

fn past(svg: &mut Svg, scale: &Scale, glaze: &Placed, y: f64) {
    name(svg, &glaze.name, y, Weight::Regular);
    let at = x(scale, glaze.expansion);
    match glaze.did {
        Did::Held => dot(svg, at, y, Paint::outline(0.5).fill(Colour::WHITE)),
        Did::Crazed => {
            svg.line(at - MARK, y - MARK, at + MARK, y + MARK, Paint::outline(0.6));
            svg.line(at - MARK, y + MARK, at + MARK, y - MARK, Paint::outline(0.6));
        }
        Did::Shivered => {
            let corners = [(at, y - MARK), (at + MARK, y + MARK), (at - MARK, y + MARK)];
            svg.polygon(&corners, Paint::filled(Colour::BLACK));
        }
    }
    let size = largest_size(&glaze.remark, REMARK_WIDTH, TYPE, Weight::Regular);
    svg.text(RIGHT + 3.0, y + 1.2, size, Anchor::Start, &glaze.remark);
}

fn dot(svg: &mut Svg, at: f64, y: f64, paint: Paint) {
    svg.circle(at, y, MARK, paint);
}

fn band(svg: &mut Svg, scale: &Scale, (low, _, high): (f64, f64, f64), y: f64, paint: Paint) {
    let (from, to) = (x(scale, low), x(scale, high));
    svg.line(from, y, to, y, paint);
    svg.line(from, y - 1.2, from, y + 1.2, Paint::outline(0.4));
    svg.line(to, y - 1.2, to, y + 1.2, Paint::outline(0.4));
}
