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

#[cfg(test)]
mod tests {
    use super::*;

    fn near(found: Option<f64>, wanted: f64) {
        assert!(
            found.is_some_and(|found| (found - wanted).abs() < 1e-12),
            "{found:?}, not {wanted}"
        );
    }

    fn curve(points: &[(f64, f64)]) -> Result<DilatometerCurve, CurveTrouble> {
        let points = points.iter().map(|&(celsius, percent)| CurvePoint { celsius, percent });
        DilatometerCurve::new(points.collect())
    }

    #[test]
    fn a_table_is_straight_between_its_points_and_ends_with_them() {
        let table = curve(&[(20.0, 0.0), (220.0, 0.1), (620.0, 0.42)]).unwrap();
        for (celsius, percent) in [(20.0, 0.0), (120.0, 0.05), (220.0, 0.1), (320.0, 0.18), (620.0, 0.42)] {
            near(table.percent_at(celsius), percent);
        }
        assert_eq!((table.percent_at(19.9), table.percent_at(620.1)), (None, None));
        assert_eq!(table.points().len(), 3);
        assert_eq!(curve(&[(20.0, 0.0)]), Err(CurveTrouble::TooFew));
        assert_eq!(curve(&[(20.0, 0.0), (20.0, 0.1)]), Err(CurveTrouble::NotRising(1)));
        assert_eq!(
            curve(&[(20.0, 0.0), (30.0, 0.1), (25.0, 0.2)]),
            Err(CurveTrouble::NotRising(2))
        );
        assert_eq!(curve(&[(f64::NAN, 0.0), (30.0, 0.1)]), Err(CurveTrouble::NotFinite(0)));
        assert_eq!(
            curve(&[(20.0, 0.0), (30.0, f64::INFINITY)]),
            Err(CurveTrouble::NotFinite(1))
        );
    }

    /// 7 x 1e-6/K over 500 K are 0.35 %; 0.42 % from 620 C are 0.35 % from 520 C.
    #[test]
    fn shrinkage_is_told_three_ways() {
        let mean = Shrinkage::Mean(Estimate::new(7.0, 0.4)).strain(520.0, 20.0);
        near(mean.map(|strain| strain.value), 0.0035);
        near(mean.map(|strain| strain.plus_minus_90), 0.0002);
        let percent = |from_celsius| Shrinkage::Percent {
            percent: Estimate::new(0.42, 0.06),
            from_celsius,
        };
        let stated = percent(620.0).strain(520.0, 20.0);
        near(stated.map(|strain| strain.value), 0.0035);
        near(stated.map(|strain| strain.plus_minus_90), 0.0005);
        assert_eq!(
            (percent(20.0).strain(520.0, 20.0), percent(10.0).strain(520.0, 20.0)),
            (None, None)
        );
        assert!(percent(20.1).strain(520.0, 20.0).is_some());
        let table = Shrinkage::Curve {
            curve: curve(&[(0.0, 0.1), (1000.0, 0.8)]).unwrap(),
            plus_minus_90: 0.02,
        };
        let strain = table.strain(520.0, 20.0);
        near(strain.map(|strain| strain.value), 0.0035);
        near(strain.map(|strain| strain.plus_minus_90), 0.0002);
        assert_eq!((table.strain(1001.0, 20.0), table.strain(520.0, -1.0)), (None, None));
    }
}
