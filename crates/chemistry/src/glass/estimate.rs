//! A number with its 90 % half-width.

/// A value and how far off it may be; the unit is that of its name.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// The value.
    pub value: f64,
    /// 90 % half-width, 0 where it is taken as exact.
    pub plus_minus_90: f64,
}

impl Estimate {
    /// A value with its 90 % half-width.
    pub const fn new(value: f64, plus_minus_90: f64) -> Estimate {
        Estimate { value, plus_minus_90 }
    }

    /// A value taken as exact.
    pub const fn exact(value: f64) -> Estimate {
        Estimate::new(value, 0.0)
    }

    /// The lower end of the band.
    pub fn low(self) -> f64 {
        self.value - self.plus_minus_90
    }

    /// The upper end of the band.
    pub fn high(self) -> f64 {
        self.value + self.plus_minus_90
    }
}
