//! How much glaze or clay shrinks from the temperature at which the glaze sets.

use super::estimate::Estimate;

/// A point of a dilatometer's table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurvePoint {
    /// Temperature, deg C.
    pub celsius: f64,
    /// Change of length from the first point's reference, per cent.
    pub percent: f64,
}

/// A dilatometer's table, straight between its points.
#[derive(Debug, Clone, PartialEq)]
pub struct DilatometerCurve {
    points: Vec<CurvePoint>,
}

/// Why a table is no curve; points count from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CurveTrouble {
    /// Fewer than two points.
    TooFew,
    /// This point isn't hotter than the one before.
    NotRising(usize),
    /// This point holds no usable number.
    NotFinite(usize),
}

impl DilatometerCurve {
    /// From points by rising temperature.
    ///
    /// # Errors
    /// Fewer than two points, temperatures that don't rise, NaN or infinities.
    pub fn new(points: Vec<CurvePoint>) -> Result<DilatometerCurve, CurveTrouble> {
        if points.len() < 2 {
            return Err(CurveTrouble::TooFew);
        }
        for (index, point) in points.iter().enumerate() {
            if !point.celsius.is_finite() || !point.percent.is_finite() {
                return Err(CurveTrouble::NotFinite(index));
            }
            if index > 0 && point.celsius <= points[index - 1].celsius {
                return Err(CurveTrouble::NotRising(index));
            }
        }
        Ok(DilatometerCurve { points })
    }

    /// The points.
    pub fn points(&self) -> &[CurvePoint] {
        &self.points
    }

    /// Change of length at a temperature, per cent; `None` outside of the table.
    pub fn percent_at(&self, celsius: f64) -> Option<f64> {
        self.points.windows(2).find_map(|pair| {
            let (from, to) = (pair[0], pair[1]);
            let inside = (from.celsius..=to.celsius).contains(&celsius);
            inside.then(|| {
                let along = (celsius - from.celsius) / (to.celsius - from.celsius);
                from.percent + along * (to.percent - from.percent)
            })
        })
    }
}

/// What is known of the shrinkage on cooling.
#[derive(Debug, Clone, PartialEq)]
pub enum Shrinkage {
    /// A mean linear expansion in 1e-6/K, taken to hold up to the set temperature.
    Mean(Estimate),
    /// Shrinkage from a stated temperature to room temperature; where the glaze sets at
    /// another one, in proportion.
    Percent {
        /// Per cent of the length.
        percent: Estimate,
        /// The temperature it is stated for, deg C.
        from_celsius: f64,
    },
    /// A dilatometer's table; 90 % half-width of the difference of two readings, per cent.
    Curve {
        /// The table.
        curve: DilatometerCurve,
        /// 90 % half-width, per cent of the length.
        plus_minus_90: f64,
    },
}

impl Shrinkage {
    /// Shrinkage on cooling between two temperatures as a strain, with its 90 % half-width at
    /// exactly these temperatures. `None` where a curve doesn't reach them, or a percentage is
    /// stated for a temperature not above room.
    pub fn strain(&self, set_celsius: f64, room_celsius: f64) -> Option<Estimate> {
        let per_kelvin = 1e-6 * (set_celsius - room_celsius);
        Some(match self {
            Shrinkage::Mean(mean) => Estimate::new(mean.value * per_kelvin, mean.plus_minus_90 * per_kelvin.abs()),
            Shrinkage::Percent { percent, from_celsius } if *from_celsius > room_celsius => {
                let share = (set_celsius - room_celsius) / (from_celsius - room_celsius) / 100.0;
                Estimate::new(percent.value * share, percent.plus_minus_90 * share.abs())
            }
            Shrinkage::Percent { .. } => return None,
            Shrinkage::Curve { curve, plus_minus_90 } => {
                let percent = curve.percent_at(set_celsius)? - curve.percent_at(room_celsius)?;
                Estimate::new(percent / 100.0, plus_minus_90 / 100.0)
            }
        })
    }
}
