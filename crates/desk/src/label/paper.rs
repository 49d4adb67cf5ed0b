//! Sheets of paper.

/// The paper of a printer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// 210 x 297 mm (ISO 216).
    A4,
    /// 8 1/2 x 11 in (ANSI/ASME Y14.1, size A).
    Letter,
}

impl Paper {
    /// Its name, as style sheets call it too.
    pub const fn name(self) -> &'static str {
        match self {
            Paper::A4 => "A4",
            Paper::Letter => "Letter",
        }
    }

    /// Width in mm, upright.
    pub const fn width_mm(self) -> f64 {
        match self {
            Paper::A4 => 210.0,
            Paper::Letter => 215.9,
        }
    }

    /// Height in mm, upright.
    pub const fn height_mm(self) -> f64 {
        match self {
            Paper::A4 => 297.0,
            Paper::Letter => 279.4,
        }
    }
}

/// The margin of a page that any printer can keep, in mm.
pub const MARGIN_MM: f64 = 12.0;
/// The width inside the margins of A4 and of Letter alike, in mm.
pub const COMMON_WIDTH_MM: f64 = Paper::A4.width_mm() - 2.0 * MARGIN_MM;
/// The height inside the margins of A4 and of Letter alike, in mm.
pub const COMMON_HEIGHT_MM: f64 = 255.0;
/// A point of type, a seventy-second of an inch, in mm.
pub const POINT_MM: f64 = 25.4 / 72.0;
