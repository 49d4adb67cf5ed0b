//! How far a clay's craze line has come down by an age.

/// Days and the share of its whole fall that the line has behind it by then; linear in
/// ln(1 + days) between the points, 1 beyond the last.
///
/// An assumption of ours: a clay that takes up water swells, and stress relaxes, so the line
/// falls with age for all pieces alike; no table of shares is published.
#[derive(Debug, Clone, PartialEq)]
pub struct Ageing {
    points: Vec<(f64, f64)>,
}

impl Ageing {
    /// A table of days and shares. `None` unless it starts at day 0, days rise, shares lie
    /// between 0 and 1 and never fall, and the last is 1.
    pub fn new(points: Vec<(f64, f64)>) -> Option<Ageing> {
        let starts = points.first().is_some_and(|first| first.0 == 0.0);
        let ends = points.last().is_some_and(|last| last.1 == 1.0);
        let sound = |point: &(f64, f64)| point.0.is_finite() && point.1 >= 0.0 && point.1 <= 1.0;
        let rises = points
            .windows(2)
            .all(|pair| pair[0].0 < pair[1].0 && pair[0].1 <= pair[1].1);
        (starts && ends && rises && points.iter().all(sound)).then_some(Ageing { points })
    }

    /// The points of the table, days and shares.
    pub fn points(&self) -> &[(f64, f64)] {
        &self.points
    }

    /// The share, 0 to 1, of its fall that the line has behind it by this age.
    pub fn fallen_by(&self, days: f64) -> f64 {
        let at = self.points.partition_point(|point| point.0 <= days);
        let Some(after) = self.points.get(at) else {
            return 1.0;
        };
        let Some(before) = at.checked_sub(1).and_then(|index| self.points.get(index)) else {
            return after.1;
        };
        let along = (days.ln_1p() - before.0.ln_1p()) / (after.0.ln_1p() - before.0.ln_1p());
        before.1 + along * (after.1 - before.1)
    }
}

impl Default for Ageing {
    /// Most of the fall comes early by the logarithm of the age, all of it by three years.
    fn default() -> Ageing {
        Ageing {
            points: vec![
                (0.0, 0.0),
                (1.0, 0.08),
                (7.0, 0.20),
                (30.0, 0.38),
                (180.0, 0.65),
                (365.0, 0.80),
                (1095.0, 1.0),
            ],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_runs_through_its_points_and_along_the_logarithm_between() {
        let ageing = Ageing::default();
        for (days, share) in ageing.points() {
            assert!((ageing.fallen_by(*days) - share).abs() < 1e-12, "{days}");
        }
        // (ln 15 - ln 8) / (ln 31 - ln 8) of the way from 0.20 to 0.38.
        let along = (15f64.ln() - 8f64.ln()) / (31f64.ln() - 8f64.ln());
        assert!((ageing.fallen_by(14.0) - (0.20 + 0.18 * along)).abs() < 1e-12);
        assert_eq!(ageing.fallen_by(4000.0), 1.0);
        assert!(Ageing::new(vec![(0.0, 0.5), (30.0, 0.4)]).is_none());
        assert!(Ageing::new(vec![(1.0, 0.5), (30.0, 1.0)]).is_none());
        assert!(Ageing::new(vec![(0.0, 0.0), (30.0, 0.9)]).is_none(), "it never arrives");
    }
}
