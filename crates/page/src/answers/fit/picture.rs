//! The ruler as a drawing, and the page around it.

use glost_chemistry::diagnostic::Diagnostic;
use glost_desk::PageFormat;

use crate::flow::Flow;
use crate::layout::capital;
use crate::number;
use crate::sheet::{Pages, Setting};
use crate::strip::{self, STRIP_HEIGHT};
use crate::svg::{Anchor, Colour, Paint, Svg, Weight, largest_size};
use crate::words::fit_said::fit_said;

use super::placed::{Did, Placed, Scale};
use super::{FitPage, by_age};

/// Millimetres: the drawing, the ruler in it, one row.
const WIDTH: f64 = 186.0;
const LEFT: f64 = 46.0;
const RIGHT: f64 = 146.0;
const ROW: f64 = 7.0;
const TOP: f64 = 12.0;
const HEADING: f64 = 10.0;
const TYPE: f64 = 3.6;
const MARK: f64 = 1.5;
/// Names and counts keep to their side of the ruler.
const NAME_WIDTH: f64 = LEFT - 5.0;
const REMARK_WIDTH: f64 = WIDTH - RIGHT - 4.0;

impl FitPage<'_> {
    /// The file's text: an .svg holds the picture alone, a page to print what it says too.
    ///
    /// # Errors
    /// None: both formats can be written.
    pub(super) fn file(&self, format: PageFormat) -> Result<String, Diagnostic> {
        let drawings = match format {
            PageFormat::Svg => vec![self.picture()],
            PageFormat::Html => self.pages(),
        };
        let answer = self.answer;
        let pages = Pages {
            title: format!("{} on {}", answer.glaze, answer.clay),
            setting: Setting::AnyPaper,
            drawings,
        };
        pages.file(format)
    }

    fn pages(&self) -> Vec<String> {
        let answer = self.answer;
        let mut flow = Flow::new();
        flow.title(&format!("{} on {}", answer.glaze, answer.clay));
        flow.paragraph(&self.headline());
        if let Some(scale) = self.scale() {
            flow.picture(height(&scale), |svg| draw(svg, &scale));
        }
        for (title, tiles) in self.ladders() {
            flow.picture(STRIP_HEIGHT, |svg| strip::draw(svg, WIDTH, &title, &tiles));
        }
        if let Some(by_age) = self.by_age {
            flow.picture(by_age::HEIGHT, |svg| self.line_by_age(svg, by_age));
        }
        let disagree = answer.evidence.contradictions.iter();
        let disagree: Vec<String> = disagree
            .map(|said| format!("These disagree: {}.", fit_said(said)))
            .collect();
        for sentence in self.where_it_lies().iter().chain(&disagree).chain(&self.what_to_do()) {
            flow.paragraph(sentence);
        }
        flow.warning(&answer.assumptions.iter().map(fit_said).collect::<Vec<_>>());
        flow.finish()
    }

    fn picture(&self) -> String {
        let answer = self.answer;
        let title = format!("{} on {}", answer.glaze, answer.clay);
        let scale = self.scale();
        let below = scale.as_ref().map_or(10.0, height);
        let ladders = self.ladders();
        let strips = STRIP_HEIGHT * ladders.len() as f64;
        let with_age = self.by_age.map_or(0.0, |_| by_age::HEIGHT);
        let mut svg = Svg::new(WIDTH, HEADING + below + strips + with_age);
        let size = largest_size(&title, WIDTH - 4.0, 5.0, Weight::Bold);
        svg.bold_text(2.0, 7.0, size, Anchor::Start, &title);
        svg.moved(0.0, HEADING, |svg| match &scale {
            Some(scale) => draw(svg, scale),
            None => svg.text(
                2.0,
                5.0,
                TYPE,
                Anchor::Start,
                "Nobody tells an expansion: there is nothing to place.",
            ),
        });
        let mut top = HEADING + below;
        for (title, tiles) in &ladders {
            svg.moved(2.0, top, |svg| strip::draw(svg, WIDTH - 2.0, title, tiles));
            top += STRIP_HEIGHT;
        }
        if let Some(by_age) = self.by_age {
            svg.moved(2.0, top, |svg| self.line_by_age(svg, by_age));
        }
        svg.finish()
    }
}

fn rows(scale: &Scale) -> usize {
    scale.placed.len() + 1 + usize::from(scale.this.is_some()) + usize::from(scale.shiver.is_some())
}

fn height(scale: &Scale) -> f64 {
    TOP + ROW * rows(scale) as f64 + 17.0
}

fn draw(svg: &mut Svg, scale: &Scale) {
    let bottom = TOP + ROW * rows(scale) as f64;
    axis(svg, scale, bottom);
    let mut y = TOP + 0.5 * ROW;
    for glaze in &scale.placed {
        past(svg, scale, glaze, y);
        y += ROW;
    }
    if let Some(this) = scale.this {
        name(svg, "this glaze, 90 %", y, Weight::Bold);
        band(svg, scale, this, y, Paint::outline(0.8));
        dot(svg, x(scale, this.1), y, Paint::filled(Colour::BLACK));
        y += ROW;
    }
    let edges = [
        ("crazing starts, 90 %", Some(scale.craze)),
        ("shivering below, 90 %", scale.shiver),
    ];
    for (label, span) in edges {
        let Some(span) = span else { continue };
        name(svg, label, y, Weight::Regular);
        band(svg, scale, span, y, Paint::outline(0.5).dashed());
        svg.line(
            x(scale, span.1),
            y - 2.0,
            x(scale, span.1),
            y + 2.0,
            Paint::outline(0.5),
        );
        y += ROW;
    }
    let legend =
        "ring: held so far; cross: crazed; triangle: shivered; this glaze's band is for comparing it with others";
    let size = largest_size(legend, WIDTH - 4.0, 3.0, Weight::Regular);
    svg.text(2.0, bottom + 7.0, size, Anchor::Start, legend);
    let left_out = capital(&scale.left_out().join("; "));
    if !left_out.is_empty() {
        let size = largest_size(&left_out, WIDTH - 4.0, 3.0, Weight::Regular);
        svg.text(2.0, bottom + 12.0, size, Anchor::Start, &left_out);
    }
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
