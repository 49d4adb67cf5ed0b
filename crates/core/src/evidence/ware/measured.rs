//! A number from one or several bars with its error.

/// Two-sided 90 % points of Student's t for 1, 2, ... degrees of freedom (any statistical
/// table); beyond, 1.645 + 1.524 / degrees, within 0.01 of the table.
const STUDENT_90: [f64; 10] = [6.314, 2.920, 2.353, 2.132, 2.015, 1.943, 1.895, 1.860, 1.833, 1.812];

/// The mean over bars of something worked out for each.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// The mean.
    pub value: f64,
    /// How many bars.
    pub bars: usize,
    /// The lowest bar.
    pub lowest: f64,
    /// The highest bar.
    pub highest: f64,
    /// How far off it is at most by the rounding of the scales alone.
    pub from_scales: f64,
    /// 90 % half-width of the mean by the spread of the bars; `None` for one bar.
    pub from_spread: Option<f64>,
}

impl Measured {
    /// From the bars' values and how far off the scales' rounding may put each. `None`
    /// without any.
    pub(super) fn of(bars: &[(f64, f64)]) -> Option<Measured> {
        if bars.is_empty() {
            return None;
        }
        let count = bars.len() as f64;
        let mean = bars.iter().map(|(value, _)| value).sum::<f64>() / count;
        let values = || bars.iter().map(|(value, _)| *value);
        let from_spread = (bars.len() > 1).then(|| {
            let degrees = count - 1.0;
            let squares: f64 = values().map(|value| (value - mean).powi(2)).sum();
            let factor = STUDENT_90
                .get(bars.len() - 2)
                .copied()
                .unwrap_or(1.645 + 1.524 / degrees);
            factor * (squares / degrees / count).sqrt()
        });
        Some(Measured {
            value: mean,
            bars: bars.len(),
            lowest: values().fold(f64::INFINITY, f64::min),
            highest: values().fold(f64::NEG_INFINITY, f64::max),
            from_scales: bars.iter().map(|(_, scales)| scales).sum::<f64>() / count,
            from_spread,
        })
    }

    /// The larger of the two errors: the spread holds the rounding too, unless the bars
    /// happen to agree.
    pub fn plus_minus(&self) -> f64 {
        self.from_spread
            .map_or(self.from_scales, |spread| spread.max(self.from_scales))
    }
}
