//! Drawings in millimetres: SVG that stands alone as a file or inside a page.
//!
//! Text doesn't wrap in SVG, so [`text_width`] and [`wrapped`] tell what fits,
//! and a text of known letters is held to the width it was measured with
//! (`textLength`), whatever face the reader's machine has.

mod measure;
mod widths;

use glost_chemistry::quantity::trimmed;
use measure::is_charted;
pub(crate) use measure::words;
pub use measure::{Weight, largest_size, text_width, wrapped};

use crate::sheet::escape;

/// Faces with the widths that [`text_width`] counts on come first.
const FACES: &str = "'Liberation Sans', Arial, Helvetica, sans-serif";

/// Which point of a text stands at its x.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Anchor {
    /// Its left end.
    #[default]
    Start,
    /// Its middle.
    Middle,
    /// Its right end.
    End,
}

/// A colour by red, green and blue. Print is black on white: a colour may help,
/// it never carries a meaning alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Colour(pub u8, pub u8, pub u8);

impl Colour {
    /// Ink.
    pub const BLACK: Colour = Colour(0, 0, 0);
    /// Paper.
    pub const WHITE: Colour = Colour(255, 255, 255);

    /// From black (0) to white (255).
    pub const fn grey(level: u8) -> Colour {
        Colour(level, level, level)
    }

    fn hex(self) -> String {
        format!("#{:02x}{:02x}{:02x}", self.0, self.1, self.2)
    }
}

/// How a shape is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Paint {
    fill: Option<Colour>,
    stroke: Colour,
    stroke_mm: f64,
    dashed: bool,
}

impl Paint {
    /// A black line of this width in mm, nothing inside.
    pub const fn outline(stroke_mm: f64) -> Paint {
        Paint {
            fill: None,
            stroke: Colour::BLACK,
            stroke_mm,
            dashed: false,
        }
    }

    /// Filled, without a line.
    pub const fn filled(fill: Colour) -> Paint {
        Paint {
            fill: Some(fill),
            stroke: Colour::BLACK,
            stroke_mm: 0.0,
            dashed: false,
        }
    }

    /// The same with this inside.
    pub const fn fill(self, fill: Colour) -> Paint {
        Paint {
            fill: Some(fill),
            ..self
        }
    }

    /// The same with its line in this colour.
    pub const fn ink(self, stroke: Colour) -> Paint {
        Paint { stroke, ..self }
    }

    /// The same with a dashed line.
    pub const fn dashed(self) -> Paint {
        Paint { dashed: true, ..self }
    }

    fn attributes(self) -> String {
        let fill = self.fill.map_or_else(|| "none".to_owned(), Colour::hex);
        if self.stroke_mm <= 0.0 {
            return format!("fill=\"{fill}\"");
        }
        let dashes = if self.dashed {
            format!(
                " stroke-dasharray=\"{} {}\"",
                mm(5.0 * self.stroke_mm),
                mm(4.0 * self.stroke_mm)
            )
        } else {
            String::new()
        };
        format!(
            "fill=\"{fill}\" stroke=\"{}\" stroke-width=\"{}\"{dashes}",
            self.stroke.hex(),
            mm(self.stroke_mm)
        )
    }
}

/// A drawing; x runs right, y runs down, everything is in mm.
///
/// ```
/// use glost_page::svg::{Anchor, Paint, Svg};
/// let mut drawing = Svg::new(40.0, 20.0);
/// drawing.rect(1.0, 1.0, 38.0, 18.0, Paint::outline(0.3));
/// drawing.text(20.0, 12.0, 5.0, Anchor::Middle, "A1");
/// assert!(drawing.finish().starts_with("<svg "));
/// ```
#[derive(Debug, Clone)]
pub struct Svg {
    width_mm: f64,
    height_mm: f64,
    body: String,
}

impl Svg {
    /// An empty drawing of this size.
    pub fn new(width_mm: f64, height_mm: f64) -> Svg {
        Svg {
            width_mm,
            height_mm,
            body: String::new(),
        }
    }

    /// Its height.
    pub fn height_mm(&self) -> f64 {
        self.height_mm
    }

    /// A text on its baseline at `y`; `size_mm` is the size of the type (14 pt
    /// are 4.94 mm). Empty texts draw nothing.
    pub fn text(&mut self, x: f64, y: f64, size_mm: f64, anchor: Anchor, text: &str) {
        self.write(x, y, size_mm, anchor, Weight::Regular, text);
    }

    /// The same in bold.
    pub fn bold_text(&mut self, x: f64, y: f64, size_mm: f64, anchor: Anchor, text: &str) {
        self.write(x, y, size_mm, anchor, Weight::Bold, text);
    }

    /// A text in either weight.
    pub fn write(&mut self, x: f64, y: f64, size_mm: f64, anchor: Anchor, weight: Weight, text: &str) {
        let text = one_line(text);
        if text.is_empty() {
            return;
        }
        let anchor = match anchor {
            Anchor::Start => "",
            Anchor::Middle => " text-anchor=\"middle\"",
            Anchor::End => " text-anchor=\"end\"",
        };
        let bold = match weight {
            Weight::Regular => "",
            Weight::Bold => " font-weight=\"bold\"",
        };
        // A guessed width is too wide: holding the text to it would draw it apart.
        let held = if is_charted(&text) {
            let width = mm(text_width(&text, size_mm, weight));
            format!(" textLength=\"{width}\" lengthAdjust=\"spacingAndGlyphs\"")
        } else {
            String::new()
        };
        self.body.push_str(&format!(
            "<text x=\"{}\" y=\"{}\" font-size=\"{}\"{anchor}{bold}{held}>{}</text>\n",
            mm(x),
            mm(y),
            mm(size_mm),
            escape(&text)
        ));
    }

    /// A line between two points.
    pub fn line(&mut self, x1: f64, y1: f64, x2: f64, y2: f64, paint: Paint) {
        self.body.push_str(&format!(
            "<line x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\" {}/>\n",
            mm(x1),
            mm(y1),
            mm(x2),
            mm(y2),
            paint.attributes()
        ));
    }

    /// A box by its upper left corner.
    pub fn rect(&mut self, x: f64, y: f64, width: f64, height: f64, paint: Paint) {
        self.body.push_str(&format!(
            "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" {}/>\n",
            mm(x),
            mm(y),
            mm(width.max(0.0)),
            mm(height.max(0.0)),
            paint.attributes()
        ));
    }

    /// A picture in a file, as large as fits the box; its path is absolute.
    pub fn image(&mut self, x: f64, y: f64, width: f64, height: f64, path: &str) {
        // A path is no address: what an address gives a meaning is written by its number.
        let address: String = path
            .bytes()
            .map(|byte| match byte {
                b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'/' | b'-' | b'_' | b'.' | b':' => {
                    char::from(byte).to_string()
                }
                b'\\' => "/".to_owned(),
                byte => format!("%{byte:02X}"),
            })
            .collect();
        let root = if address.starts_with('/') { "" } else { "/" };
        self.body.push_str(&format!(
            "<image x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" href=\"file://{root}{address}\"/>\n",
            mm(x),
            mm(y),
            mm(width),
            mm(height)
        ));
    }

    /// A circle by its middle.
    pub fn circle(&mut self, x: f64, y: f64, radius: f64, paint: Paint) {
        self.body.push_str(&format!(
            "<circle cx=\"{}\" cy=\"{}\" r=\"{}\" {}/>\n",
            mm(x),
            mm(y),
            mm(radius.max(0.0)),
            paint.attributes()
        ));
    }

    /// A closed shape through these points.
    pub fn polygon(&mut self, points: &[(f64, f64)], paint: Paint) {
        self.points("polygon", points, paint);
    }

    /// An open line through these points.
    pub fn polyline(&mut self, points: &[(f64, f64)], paint: Paint) {
        self.points("polyline", points, paint);
    }

    fn points(&mut self, shape: &str, points: &[(f64, f64)], paint: Paint) {
        let points: Vec<String> = points.iter().map(|(x, y)| format!("{},{}", mm(*x), mm(*y))).collect();
        self.body.push_str(&format!(
            "<{shape} points=\"{}\" {}/>\n",
            points.join(" "),
            paint.attributes()
        ));
    }

    /// Black squares of `side` mm in `count` rows and columns from x, y on, where
    /// `is_dark(row, column)`, as one shape.
    pub fn squares(&mut self, x: f64, y: f64, side: f64, count: usize, is_dark: impl Fn(usize, usize) -> bool) {
        let mut path = String::new();
        for row in 0..count {
            let mut column = 0;
            while column < count {
                let run = (column..count).take_while(|at| is_dark(row, *at)).count();
                if run > 0 {
                    // A hair over the next row, or a light seam shows between them.
                    path.push_str(&format!("M{column} {row}h{run}v1.02h-{run}z"));
                }
                column += run.max(1);
            }
        }
        let scale = format!("{side:.5}");
        self.body.push_str(&format!(
            "<path transform=\"translate({} {}) scale({scale})\" d=\"{path}\"/>\n",
            mm(x),
            mm(y)
        ));
    }

    /// What `draw` draws, its origin moved to x, y.
    pub fn moved(&mut self, x: f64, y: f64, draw: impl FnOnce(&mut Svg)) {
        self.body
            .push_str(&format!("<g transform=\"translate({} {})\">\n", mm(x), mm(y)));
        draw(self);
        self.body.push_str("</g>\n");
    }

    /// What `draw` draws, turned clockwise by `degrees` about x, y.
    pub fn rotated(&mut self, degrees: f64, x: f64, y: f64, draw: impl FnOnce(&mut Svg)) {
        self.body.push_str(&format!(
            "<g transform=\"rotate({} {} {})\">\n",
            mm(degrees),
            mm(x),
            mm(y)
        ));
        draw(self);
        self.body.push_str("</g>\n");
    }

    /// What `draw` draws, as a group that programs find by its attributes and a reader by
    /// its title.
    pub fn named(&mut self, attributes: &[(&str, &str)], title: &str, draw: impl FnOnce(&mut Svg)) {
        let attributes: String = attributes
            .iter()
            .map(|(name, value)| format!(" {name}=\"{}\"", escape(&one_line(value))))
            .collect();
        self.body.push_str(&format!(
            "<g{attributes}>\n<title>{}</title>\n",
            escape(&one_line(title))
        ));
        draw(self);
        self.body.push_str("</g>\n");
    }

    /// The whole element, to stand in a page or, after [`FILE_HEAD`], as a file.
    pub fn finish(self) -> String {
        let (width, height) = (mm(self.width_mm), mm(self.height_mm));
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" viewBox=\"0 0 {width} {height}\" font-family=\"{FACES}\">\n{}</svg>\n",
            self.body
        )
    }
}

/// What an SVG file begins with.
pub const FILE_HEAD: &str = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n";

/// Line ends and signs that XML refuses become spaces; spaces at the ends go.
fn one_line(text: &str) -> String {
    let shown = |sign: char| {
        if sign.is_control() || matches!(sign, '\u{fffe}' | '\u{ffff}') {
            ' '
        } else {
            sign
        }
    };
    text.chars().map(shown).collect::<String>().trim().to_owned()
}

/// A length to a thousandth; what is no number counts as nothing.
fn mm(length: f64) -> String {
    if !length.is_finite() {
        return "0".to_owned();
    }
    trimmed(length, 3)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_drawing_is_in_millimetres() {
        let mut drawing = Svg::new(210.0, 99.1);
        drawing.rect(1.0, 2.5, 10.0, f64::NAN, Paint::outline(0.3).dashed());
        drawing.rotated(90.0, 5.0, 5.0, |inside| {
            inside.circle(5.0, 5.0, 1.0 / 3.0, Paint::filled(Colour::grey(128)))
        });
        let text = drawing.finish();
        assert!(text.contains("width=\"210mm\" height=\"99.1mm\" viewBox=\"0 0 210 99.1\""));
        assert!(text.contains("y=\"2.5\"") && text.contains("r=\"0.333\"") && text.contains("#808080"));
        assert!(!text.contains("NaN") && text.matches("<g ").count() == text.matches("</g>").count());
    }

    #[test]
    fn a_name_cannot_break_out_of_the_drawing() {
        let mut drawing = Svg::new(10.0, 10.0);
        drawing.text(
            0.0,
            5.0,
            4.0,
            Anchor::Start,
            "</text><script>\u{1b}\u{ffff}\n5 > 4 & \"x\"",
        );
        drawing.text(0.0, 5.0, 4.0, Anchor::Start, " \n ");
        let text = drawing.finish();
        assert!(!text.contains("<script") && !text.contains('\u{1b}') && !text.contains('\u{ffff}'));
        assert_eq!(text.matches("<text").count(), 1);
    }
}
