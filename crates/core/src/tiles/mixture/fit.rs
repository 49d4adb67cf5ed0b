//! A mixture model fitted to graded tiles by least squares.

use super::distribution::{f_upper, t_quantile};
use super::least_squares::{Factor, dot};
use super::model::{MixtureModel, Term, row};

/// Shares closer than this in every end are one blend made again: plans print 0.333.
const SAME_BLEND: f64 = 2e-3;
/// A tile whose own grade decides more than this of its fitted value can't be left out.
const DECIDES_ALL: f64 = 1.0 - 1e-9;
/// The share of outcomes that a band is meant to hold.
pub const COVERAGE: f64 = 0.90;

/// One graded tile.
#[derive(Debug, Clone, PartialEq)]
pub struct Graded {
    /// Shares of the ends, about 1 in all.
    pub shares: Vec<f64>,
    /// Its grade.
    pub value: f64,
}

/// A fitted model.
#[derive(Debug, Clone)]
pub struct MixtureFit {
    /// Which model.
    pub model: MixtureModel,
    /// Its terms.
    pub terms: Vec<Term>,
    /// A coefficient for each term, in the grade's unit.
    pub coefficients: Vec<f64>,
    /// Their standard errors; `None` where no tile is to spare.
    pub standard_errors: Option<Vec<f64>>,
    /// Sum of squares of what the model leaves.
    pub residual_squares: f64,
    /// Tiles to spare: tiles less terms.
    pub spare: usize,
    /// `1 - residual squares / squares about the mean`: Scheffe's models hold a constant.
    pub r_squared: f64,
    /// Root mean square of the left-out errors; `None` where a tile can't be left out.
    pub leave_one_out: Option<f64>,
    /// How what is left compares with the scatter of blends made again.
    pub lack_of_fit: Option<LackOfFit>,
    /// The largest leverage of the tiles.
    pub largest_leverage: f64,
    factor: Factor,
}

/// Whether the model misses more than tiles of one blend differ among themselves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LackOfFit {
    /// Standard deviation of tiles of one blend.
    pub repeat_deviation: f64,
    /// Degrees of freedom of the repeats.
    pub repeats: usize,
    /// Degrees of freedom of the misses.
    pub misses: usize,
    /// Their ratio of variances; `None` where nothing is missed or repeats agree exactly.
    pub f: Option<f64>,
    /// The chance of such an F if the model is right.
    pub p: Option<f64>,
}

/// Why there is no fit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoFit {
    /// Fewer different blends than terms.
    TooFew {
        /// How many different blends there are.
        blends: usize,
        /// How many terms the model has.
        terms: usize,
    },
    /// Terms that these tiles can't tell apart.
    CannotTell(Vec<Tangle>),
}

/// A term that the others make up on these tiles.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tangle {
    /// The term.
    pub term: Term,
    /// Those that make it up; none where no tile holds the term's ends together.
    pub with: Vec<Term>,
}

impl MixtureFit {
    /// Fits a model to tiles over this many ends.
    ///
    /// # Errors
    /// Too few different blends, or blends that can't tell terms apart.
    pub fn of(model: MixtureModel, ends: usize, tiles: &[Graded]) -> Result<MixtureFit, NoFit> {
        let terms = model.terms(ends);
        let blends = groups(&tiles.iter().map(|tile| tile.shares.as_slice()).collect::<Vec<_>>());
        if blends.len() < terms.len() {
            return Err(NoFit::TooFew {
                blends: blends.len(),
                terms: terms.len(),
            });
        }
        let columns: Vec<Vec<f64>> = terms
            .iter()
            .map(|term| tiles.iter().map(|tile| term.value(&tile.shares)).collect())
            .collect();
        let factor = Factor::of(&columns).map_err(|repeats| {
            let tangle = |repeat: super::least_squares::Repeat| Tangle {
                term: terms[repeat.column].clone(),
                with: repeat.of.iter().map(|place| terms[*place].clone()).collect(),
            };
            NoFit::CannotTell(repeats.into_iter().map(tangle).collect())
        })?;
        let values: Vec<f64> = tiles.iter().map(|tile| tile.value).collect();
        let (coefficients, left) = factor.solve(&values);
        let spare = tiles.len() - terms.len();
        let residual_squares = if spare == 0 { 0.0 } else { dot(&left, &left) };
        let leverages = factor.leverages();
        let mut fit = MixtureFit {
            model,
            standard_errors: None,
            residual_squares,
            spare,
            r_squared: 1.0 - residual_squares / squares_about_mean(&values),
            leave_one_out: leave_one_out(&left, &leverages),
            lack_of_fit: lack_of_fit(&values, &blends, residual_squares, spare),
            largest_leverage: leverages.iter().copied().fold(0.0, f64::max),
            terms,
            coefficients,
            factor,
        };
        fit.standard_errors = fit.residual_deviation().map(|deviation| {
            let unit = |place: usize| -> Vec<f64> {
                (0..fit.terms.len())
                    .map(|other| if other == place { 1.0 } else { 0.0 })
                    .collect()
            };
            (0..fit.terms.len())
                .map(|place| deviation * fit.factor.variance(&unit(place)).sqrt())
                .collect()
        });
        Ok(fit)
    }

    /// Standard deviation of a tile about the model; `None` where no tile is to spare.
    pub fn residual_deviation(&self) -> Option<f64> {
        (self.spare > 0).then(|| (self.residual_squares / self.spare as f64).sqrt())
    }

    /// The fitted grade of a blend.
    pub fn value(&self, shares: &[f64]) -> f64 {
        dot(&row(&self.terms, shares), &self.coefficients)
    }

    /// The variance of the fitted grade over that of one tile.
    pub fn leverage(&self, shares: &[f64]) -> f64 {
        self.factor.variance(&row(&self.terms, shares))
    }

    /// Half the width of the 90 % band of the mean grade of a blend, by Student's t;
    /// `None` where no tile is to spare.
    pub fn half_width(&self, shares: &[f64]) -> Option<f64> {
        let deviation = self.residual_deviation()?;
        Some(t_quantile(COVERAGE, self.spare as f64) * deviation * self.leverage(shares).sqrt())
    }
}

/// Sum of squares about the mean.
pub(super) fn squares_about_mean(values: &[f64]) -> f64 {
    let mean = values.iter().sum::<f64>() / values.len().max(1) as f64;
    values.iter().map(|value| (value - mean) * (value - mean)).sum()
}

/// Each left-out error is the residual over one less the leverage: the same as
/// fitting again without the tile.
fn leave_one_out(left: &[f64], leverages: &[f64]) -> Option<f64> {
    if leverages.iter().any(|leverage| *leverage > DECIDES_ALL) {
        return None;
    }
    let squares: f64 = left
        .iter()
        .zip(leverages)
        .map(|(rest, leverage)| (rest / (1.0 - leverage)).powi(2))
        .sum();
    Some((squares / left.len() as f64).sqrt())
}

/// The places of the tiles of each different blend.
pub(super) fn groups(tiles: &[&[f64]]) -> Vec<Vec<usize>> {
    let mut order: Vec<usize> = (0..tiles.len()).collect();
    let cell =
        |shares: &&[f64]| -> Vec<i64> { shares.iter().map(|share| (share / SAME_BLEND).round() as i64).collect() };
    let cells: Vec<Vec<i64>> = tiles.iter().map(cell).collect();
    order.sort_by(|one, other| cells[*one].cmp(&cells[*other]));
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for place in order {
        // Neighbouring cells may hold one blend; the ordering keeps them close.
        let same = groups.iter_mut().rev().take(8).find(|group| {
            group.first().is_some_and(|first| {
                let (one, other) = (tiles[*first], tiles[place]);
                one.iter().zip(other).all(|(a, b)| (a - b).abs() <= SAME_BLEND)
            })
        });
        match same {
            Some(group) => group.push(place),
            None => groups.push(vec![place]),
        }
    }
    groups
}

fn lack_of_fit(values: &[f64], blends: &[Vec<usize>], residual_squares: f64, spare: usize) -> Option<LackOfFit> {
    let repeats = values.len() - blends.len();
    let misses = spare.checked_sub(repeats)?;
    if repeats == 0 {
        return None;
    }
    let within: f64 = blends
        .iter()
        .map(|blend| squares_about_mean(&blend.iter().map(|place| values[*place]).collect::<Vec<_>>()))
        .sum();
    let repeat_variance = within / repeats as f64;
    let f = (misses > 0 && within > 1e-12 * residual_squares)
        .then(|| (residual_squares - within).max(0.0) / misses as f64 / repeat_variance);
    Some(LackOfFit {
        repeat_deviation: repeat_variance.sqrt(),
        repeats,
        misses,
        f,
        p: f.map(|f| f_upper(f, misses as f64, repeats as f64)),
    })
}
