//! The best distinct fits found so far.

use super::super::active_set::ActiveSet;
use super::super::unit_columns::UnitColumns;
use super::SAME_FIT;

/// A fit and the amounts (unit columns) that give it.
#[derive(Debug, Clone, Default)]
pub(super) struct Fit {
    pub squared_distance: f64,
    pub amounts: Vec<(usize, f64)>,
    newcomers: usize,
    residual: Vec<f64>,
}

/// Up to `wanted` fits, best first.
///
/// Invariants: ascending distances; two fits differ by more than [`SAME_FIT`] in some row;
/// of equal fits the one with fewer newcomers stays, then the one found first.
#[derive(Debug, Clone, Default)]
pub(super) struct Pool {
    wanted: usize,
    ceiling: f64,
    used: usize,
    slots: Vec<Fit>,
}

impl Pool {
    /// Empties the pool; no fit is worse than the empty one, at `rhs_squared`.
    pub fn reset(&mut self, wanted: usize, rhs_squared: f64) {
        self.wanted = wanted;
        self.used = 0;
        self.ceiling = 1.5 * rhs_squared + 1e-300;
    }

    /// The fits, best first.
    pub fn fits(&self) -> impl Iterator<Item = &Fit> {
        self.slots[..self.used].iter()
    }

    /// Squared distance of the best fit.
    pub fn best(&self) -> f64 {
        self.fits().next().map_or(self.ceiling, |fit| fit.squared_distance)
    }

    /// Whether more than one fit is wanted.
    pub fn several(&self) -> bool {
        self.wanted > 1
    }

    /// A subset whose distance is not below this cannot enter: the worst of a full pool,
    /// less an allowance for rounding.
    pub fn threshold(&self) -> f64 {
        if self.used < self.wanted {
            return self.ceiling;
        }
        let worst = self.slots[self.used - 1].squared_distance;
        worst - 1e-9 * (1.0 + worst)
    }

    /// The bound on distances that [`super::bound`] may assume of a subset worth finding.
    pub fn worst(&self) -> f64 {
        if self.used < self.wanted {
            self.ceiling
        } else {
            self.slots[self.used - 1].squared_distance
        }
    }

    /// Takes the fit the active set has just reached, if it is good enough and new.
    pub fn offer(&mut self, squared_distance: f64, problem: &UnitColumns, active: &ActiveSet, free: usize) {
        if squared_distance >= self.worst() {
            return;
        }
        let newcomers = active
            .passive
            .iter()
            .zip(&active.amounts)
            .filter(|(j, x)| **j >= free && **x > 0.0)
            .count();
        let same = self.fits().position(|fit| {
            fit.residual
                .iter()
                .zip(&active.residual)
                .all(|(a, b)| (a - b).abs() <= SAME_FIT)
        });
        if let Some(position) = same {
            let known = &self.slots[position];
            let noise = 1e-12 * (1.0 + known.squared_distance);
            let closer = squared_distance < known.squared_distance - noise;
            let simpler = squared_distance < known.squared_distance + noise && newcomers < known.newcomers;
            if closer || simpler {
                self.slots[position..self.used].rotate_left(1);
                self.used -= 1;
            } else {
                return;
            }
        }
        self.insert(squared_distance, newcomers, problem, active);
    }

    /// Puts the fit in its place; the worst of a full pool falls out.
    fn insert(&mut self, squared_distance: f64, newcomers: usize, problem: &UnitColumns, active: &ActiveSet) {
        if self.used == self.wanted {
            self.used -= 1;
        }
        if self.slots.len() == self.used {
            self.slots.push(Fit::default());
        }
        let fit = &mut self.slots[self.used];
        fit.squared_distance = squared_distance;
        fit.newcomers = newcomers;
        fit.residual.clear();
        fit.residual.extend_from_slice(&active.residual[..problem.rows]);
        fit.amounts.clear();
        let amounts = active.passive.iter().copied().zip(active.amounts.iter().copied());
        fit.amounts.extend(amounts.filter(|(_, x)| *x > 0.0));
        let place = self
            .fits()
            .take_while(|f| f.squared_distance <= squared_distance)
            .count();
        self.used += 1;
        self.slots[place..self.used].rotate_right(1);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A fit of one row at this distance, by these amounts.
    fn offer(pool: &mut Pool, squared_distance: f64, amounts: &[(usize, f64)]) {
        let mut problem = UnitColumns::default();
        assert_eq!(problem.load(&[1.0; 3], &[10.0], None), Ok(()));
        let mut active = ActiveSet::default();
        active.passive.extend(amounts.iter().map(|amount| amount.0));
        active.amounts.extend(amounts.iter().map(|amount| amount.1));
        active.residual.push(squared_distance.sqrt());
        pool.offer(squared_distance, &problem, &active, 0);
    }

    #[test]
    fn of_equal_fits_the_simpler_stays_and_then_the_first() {
        let mut pool = Pool::default();
        pool.reset(2, 100.0);
        let (both, last, middle) = ([(0, 4.0), (1, 4.0)], [(2, 8.0)], [(1, 8.0)]);
        let kept = |pool: &Pool| -> Vec<Vec<(usize, f64)>> { pool.fits().map(|fit| fit.amounts.clone()).collect() };
        offer(&mut pool, 4.0, &both);
        offer(&mut pool, 4.0, &last);
        assert_eq!(kept(&pool), [last.to_vec()]);
        offer(&mut pool, 4.0, &both);
        offer(&mut pool, 4.0, &middle);
        assert_eq!(kept(&pool), [last.to_vec()]);
        // Nearer by what no row shows, yet by more than rounding.
        offer(&mut pool, 4.0 - 1e-9, &both);
        assert_eq!(kept(&pool), [both.to_vec()]);
        offer(&mut pool, 9.0, &middle);
        assert_eq!(kept(&pool), [both.to_vec(), middle.to_vec()]);
        assert_eq!((pool.best(), pool.worst()), (4.0 - 1e-9, 9.0));
    }
}
