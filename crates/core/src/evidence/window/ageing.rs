//! By what age a piece that will craze has done so.

/// Days and the share of the pieces that craze at all which have done so by then; linear in
/// ln(1 + days) between the points, 1 beyond the last.
///
/// An assumption of ours: that porous clays craze late is common practice (moisture swells
/// them for years), but no table of shares is published.
#[derive(Debug, Clone, PartialEq)]
pub struct Ageing {
    points: Vec<(f64, f64)>,
}

impl Ageing {
    /// A table of days and shares. `None` unless it starts at day 0, days rise, shares lie
    /// above 0 and at most at 1 and never fall.
    pub fn new(points: Vec<(f64, f64)>) -> Option<Ageing> {
        let starts = points.first().is_some_and(|first| first.0 == 0.0);
        let sound = |point: &(f64, f64)| point.0.is_finite() && point.1 > 0.0 && point.1 <= 1.0;
        let rises = points
            .windows(2)
            .all(|pair| pair[0].0 < pair[1].0 && pair[0].1 <= pair[1].1);
        (starts && rises && points.iter().all(sound)).then_some(Ageing { points })
    }

    /// On a dense clay.
    pub fn dense() -> Ageing {
        Ageing {
            points: vec![
                (0.0, 0.45),
                (1.0, 0.60),
                (7.0, 0.75),
                (30.0, 0.87),
                (180.0, 0.95),
                (365.0, 0.98),
                (1095.0, 1.0),
            ],
        }
    }

    /// On a porous clay, or one of which nobody knows.
    pub fn porous() -> Ageing {
        Ageing {
            points: vec![
                (0.0, 0.30),
                (1.0, 0.40),
                (7.0, 0.52),
                (30.0, 0.65),
                (180.0, 0.82),
                (365.0, 0.90),
                (1095.0, 1.0),
            ],
        }
    }

    /// The points of the table, days and shares.
    pub fn points(&self) -> &[(f64, f64)] {
        &self.points
    }

    /// The share, 0 to 1, that has crazed by this age, of what crazes at all.
    pub fn share_by(&self, days: f64) -> f64 {
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_runs_through_its_points_and_along_the_logarithm_between() {
        let dense = Ageing::dense();
        for (days, share) in dense.points() {
            assert!((dense.share_by(*days) - share).abs() < 1e-12, "{days}");
        }
        // (ln 15 - ln 8) / (ln 31 - ln 8) of the way from 0.75 to 0.87.
        let along = (15f64.ln() - 8f64.ln()) / (31f64.ln() - 8f64.ln());
        assert!((dense.share_by(14.0) - (0.75 + 0.12 * along)).abs() < 1e-12);
        assert_eq!(dense.share_by(4000.0), 1.0);
        assert!(Ageing::new(vec![(0.0, 0.5), (30.0, 0.4)]).is_none());
        assert!(Ageing::new(vec![(1.0, 0.5)]).is_none());
    }
}
