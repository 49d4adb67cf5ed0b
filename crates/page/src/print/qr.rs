//! QR codes (ISO/IEC 18004), from the `qrcode` crate, as dark and light squares.

use qrcode::{Color, EcLevel, QrCode};

use crate::svg::Svg;

/// The smallest module that a telephone reads off a dusty label, in mm.
pub const LEAST_MODULE_MM: f64 = 0.4;
/// Modules that are tried, largest first; larger ones help little.
const MODULES_MM: [f64; 3] = [0.6, 0.5, LEAST_MODULE_MM];
/// Light modules around the code, as the standard asks.
const QUIET: usize = 4;

/// A code ready to be drawn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Code {
    modules: usize,
    dark: Vec<bool>,
}

impl Code {
    /// The code of a text, a smear of 15 % allowed for (level M); `None` where
    /// no code holds so much.
    pub fn of(text: &str) -> Option<Code> {
        let code = QrCode::with_error_correction_level(text.as_bytes(), EcLevel::M).ok()?;
        Some(Code {
            modules: code.width(),
            dark: code.to_colors().iter().map(|colour| *colour == Color::Dark).collect(),
        })
    }

    /// Modules in a row, the light ones around it counted.
    pub fn span(&self) -> usize {
        self.modules + 2 * QUIET
    }

    /// Its side in mm with the smallest module.
    pub fn least_side(&self) -> f64 {
        self.span() as f64 * LEAST_MODULE_MM
    }

    /// The sides it may have where `room` mm are free, largest first; none where
    /// that is too little.
    pub fn sides_in(&self, room: f64) -> Vec<f64> {
        MODULES_MM
            .iter()
            .map(|module| module * self.span() as f64)
            .filter(|side| *side <= room + 1e-9)
            .collect()
    }

    /// Whether a module is dark; light outside the code.
    pub fn is_dark(&self, row: usize, column: usize) -> bool {
        row < self.modules && column < self.modules && self.dark.get(row * self.modules + column) == Some(&true)
    }

    /// Draws it with its light margin, `side` mm wide, from its upper left corner.
    pub(crate) fn draw(&self, svg: &mut Svg, x: f64, y: f64, side: f64) {
        let module = side / self.span() as f64;
        let margin = QUIET as f64 * module;
        svg.squares(x + margin, y + margin, module, self.modules, |row, column| {
            self.is_dark(row, column)
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Read by an independent decoder, `rqrr`, from a raster of four dots a module.
    #[test]
    fn another_program_reads_the_text() {
        let text =
            "Lamplight clear v3, cone 6\nfeldspar A 38\nsilica 26\nwhiting 18\nkaolin 12\ndolomite 6\n+ émail 0.8 %";
        let code = Code::of(text).unwrap();
        let dots = 4 * code.span();
        let mut raster = rqrr::PreparedImage::prepare_from_greyscale(dots, dots, |x, y| {
            let inside = |dot: usize| (dot / 4).checked_sub(QUIET);
            match (inside(y), inside(x)) {
                (Some(row), Some(column)) if code.is_dark(row, column) => 0,
                _ => 255,
            }
        });
        let grids = raster.detect_grids();
        assert_eq!(grids.len(), 1);
        assert_eq!(grids[0].decode().unwrap().1, text);
    }

    #[test]
    fn it_stays_away_where_it_would_be_too_fine() {
        let code = Code::of("Lamplight clear, cone 6").unwrap();
        assert_eq!(code.sides_in(code.least_side() - 0.1), Vec::<f64>::new());
        assert_eq!(code.sides_in(code.least_side()), [code.least_side()]);
        let largest = code.sides_in(500.0)[0];
        assert!((largest - 0.6 * code.span() as f64).abs() < 1e-9);
        assert_eq!(Code::of(&"a long recipe ".repeat(500)), None);
    }
}
