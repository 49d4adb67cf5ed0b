//! The dual active-set method of Goldfarb & Idnani, *Mathematical Programming* 27, 1-33
//! (1983), in their own notation: `J = L'^-1 Q`, `R` the triangle of the active normals.
//!
//! Named steps: `factorise` (Cholesky factor, unconstrained minimum), `start_on_bounds`, then for each violated limit `make_satisfied`: `directions`, the
//! longest step that keeps the multipliers non-negative, and `take_in` or `drop`; at the
//! end `settle` puts the point back on the active limits.
//!
//! Invariants: `x` is the minimum over the active limits taken as equalities; multipliers
//! of inequalities are non-negative; `J'N = [R; 0]` for the active unit normals `N`.
//! Where `H` is diagonal the minimum over the variables' own limits is known at once, and
//! the method starts from it. Ties go to the lower index; rows come before variables.

use super::super::dense::{axpy, dot};
use super::super::error::KernelError;
use super::QuadraticProgram;

/// A limit counts as missed beyond this times the size of the numbers in it.
const MISSED: f64 = 1e-12;
/// A miss below this (relative) on a normal in the span of the active ones is rounding.
const ROUNDING: f64 = 1e-11;
/// A normal is in the span of the active ones if the sine of its angle to that span is below
/// this, or below [`SINE_NOISE`] times the weights that make it up: what the rounding of
/// the active normals can come to.
const SINE: f64 = 1e-10;
const SINE_NOISE: f64 = 1e-14;
/// Times a settled point may turn out to miss a limit or to have one too many.
const ROUNDS: usize = 20;

/// How a run ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Status {
    Optimal,
    Infeasible,
}

/// A limit: `index` counts rows, then variables.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Limit {
    pub(super) index: usize,
    /// Plus one for a lower limit, minus one for an upper.
    pub(super) sign: f64,
    pub(super) equality: bool,
}

/// The method's state, reusable.
#[derive(Debug, Clone, Default)]
pub(crate) struct DualActiveSet {
    /// The current point.
    pub x: Vec<f64>,
    /// Index and weight of the limits that contradict each other (after `Infeasible`).
    pub certificate: Vec<(usize, f64)>,
    /// Steps of the last run.
    pub steps: usize,
    pub(super) n: usize,
    pub(super) diagonal: bool,
    /// Columns of `J` at the unconstrained minimum, one after the other.
    pub(super) start_j: Vec<f64>,
    pub(super) minimum: Vec<f64>,
    pub(super) j: Vec<f64>,
    /// Columns of `R`, `n` apart.
    pub(super) r: Vec<f64>,
    pub(super) active: Vec<Limit>,
    pub(super) multipliers: Vec<f64>,
    pub(super) is_active: Vec<bool>,
    /// Missed by rounding only, with the present active set.
    shelved: Vec<bool>,
    pub(super) norms: Vec<f64>,
    /// `J'` times the normal at hand.
    pub(super) d: Vec<f64>,
    /// Primal direction.
    pub(super) z: Vec<f64>,
    /// Dual direction.
    pub(super) dual: Vec<f64>,
}

impl DualActiveSet {
    /// Solves from the unconstrained minimum; rows not `enabled` are left out.
    pub fn run(&mut self, program: &QuadraticProgram, enabled: Option<&[bool]>) -> Result<Status, KernelError> {
        self.restart(program);
        if let Some(index) = crossed(program, enabled) {
            self.certificate.extend([(index, 1.0), (index, -1.0)]);
            return Ok(Status::Infeasible);
        }
        if self.diagonal {
            self.start_on_bounds(program);
        }
        let m = program.row_lower.len();
        for index in 0..m + self.n {
            let (lower, upper) = limits(program, index);
            if lower == upper && !self.is_active[index] && enabled.is_none_or(|e| index >= m || e[index]) {
                let sign = if self.value(program, index) > lower { -1.0 } else { 1.0 };
                let limit = Limit {
                    index,
                    sign,
                    equality: true,
                };
                if !self.make_satisfied(program, limit)? {
                    return Ok(Status::Infeasible);
                }
            }
        }
        for _round in 0..ROUNDS {
            while let Some(limit) = self.most_missed(program, enabled) {
                if !self.make_satisfied(program, limit)? {
                    return Ok(Status::Infeasible);
                }
            }
            self.settle(program);
            while self.drop_negative() {
                self.settle(program);
            }
            if self.most_missed(program, enabled).is_none() {
                break;
            }
        }
        match self.x.iter().position(|x| !x.is_finite()) {
            Some(index) => Err(KernelError::NotFinite { what: "x", index }),
            None => Ok(Status::Optimal),
        }
    }

    /// Drops the limit whose settled multiplier has the wrong sign by more than rounding;
    /// false if there is none. Smaller ones become zero.
    fn drop_negative(&mut self) -> bool {
        let largest = self.multipliers.iter().fold(0.0f64, |a, v| a.max(v.abs()));
        let (mut lowest, mut position) = (-1e-9 * largest, usize::MAX);
        for (i, limit) in self.active.iter().enumerate() {
            if limit.equality {
                continue;
            }
            if self.multipliers[i] < lowest {
                (lowest, position) = (self.multipliers[i], i);
            } else {
                self.multipliers[i] = self.multipliers[i].max(0.0);
            }
        }
        if position != usize::MAX {
            self.drop(position);
        }
        position != usize::MAX
    }

    /// Back to the unconstrained minimum, no limit active.
    fn restart(&mut self, program: &QuadraticProgram) {
        let (n, limits) = (self.n, program.row_lower.len() + self.n);
        self.x.clone_from(&self.minimum);
        self.j.clone_from(&self.start_j);
        self.r.resize(n * n, 0.0);
        for buffer in [&mut self.d, &mut self.z, &mut self.dual] {
            buffer.clear();
            buffer.resize(n, 0.0);
        }
        self.active.clear();
        self.multipliers.clear();
        for flags in [&mut self.is_active, &mut self.shelved] {
            flags.clear();
            flags.resize(limits, false);
        }
        self.certificate.clear();
        self.steps = 0;
    }

    /// Diagonal Hessian: the minimum over the variables' own limits is each one clamped.
    /// Columns of `J` that belong to clamped variables come first.
    fn start_on_bounds(&mut self, program: &QuadraticProgram) {
        let (n, m) = (self.n, program.row_lower.len());
        for i in 0..n {
            let (lower, upper) = (program.lower[i], program.upper[i]);
            let sign = match self.x[i] {
                x if x < lower => 1.0,
                x if x > upper => -1.0,
                _ => continue,
            };
            let bound = if sign > 0.0 { lower } else { upper };
            let k = self.active.len();
            let scale = self.start_j[i * n + i];
            self.multipliers.push((bound - self.x[i]).abs() / (scale * scale));
            self.x[i] = bound;
            self.r[k * n + k] = sign * scale;
            self.active.push(Limit {
                index: m + i,
                sign,
                equality: lower == upper,
            });
            self.is_active[m + i] = true;
        }
        if self.active.is_empty() {
            return;
        }
        self.j.fill(0.0);
        let (mut front, mut back) = (0, self.active.len());
        for i in 0..n {
            let place = if self.is_active[m + i] { &mut front } else { &mut back };
            self.j[*place * n + i] = self.start_j[i * n + i];
            *place += 1;
        }
        // r[0..k] was written on the diagonal only; clear what an earlier run left above it
        for k in 0..self.active.len() {
            self.r[k * n..k * n + k].fill(0.0);
        }
    }

    /// Value of a row (scaled to norm 1) or variable at the point.
    #[inline(always)]
    pub(super) fn value(&self, program: &QuadraticProgram, index: usize) -> f64 {
        let m = program.row_lower.len();
        if index < m {
            dot(&program.rows[index * self.n..(index + 1) * self.n], &self.x) / self.norms[index]
        } else {
            self.x[index - m]
        }
    }

    /// The bound of a limit, scaled as its normal.
    #[inline(always)]
    pub(super) fn bound(&self, program: &QuadraticProgram, limit: Limit) -> f64 {
        let (lower, upper) = limits(program, limit.index);
        let bound = if limit.sign > 0.0 { lower } else { upper };
        if limit.index < self.norms.len() {
            bound / self.norms[limit.index]
        } else {
            bound
        }
    }

    /// The inequality missed by most, its normal at norm 1.
    #[inline(always)]
    fn most_missed(&self, program: &QuadraticProgram, enabled: Option<&[bool]>) -> Option<Limit> {
        let m = program.row_lower.len();
        let size = dot(&self.x, &self.x).sqrt();
        let (mut worst, mut found) = (0.0, None);
        for index in 0..m + self.n {
            if self.is_active[index] || self.shelved[index] {
                continue;
            }
            if index < m && enabled.is_some_and(|e| !e[index]) {
                continue;
            }
            let value = self.value(program, index);
            let (mut lower, mut upper) = limits(program, index);
            if index < m {
                lower /= self.norms[index];
                upper /= self.norms[index];
            }
            let (below, above) = (lower - value, value - upper);
            let (miss, bound, sign) = if below > above {
                (below, lower, 1.0)
            } else {
                (above, upper, -1.0)
            };
            if miss > worst && miss > MISSED * (size + bound.abs()) {
                worst = miss;
                found = Some(Limit {
                    index,
                    sign,
                    equality: false,
                });
            }
        }
        found
    }

    /// Steps until the limit holds and is active. False if nothing can satisfy it along
    /// with the limits already met.
    fn make_satisfied(&mut self, program: &QuadraticProgram, limit: Limit) -> Result<bool, KernelError> {
        let mut multiplier = 0.0;
        let most_steps = 50 * (self.is_active.len() + 10);
        loop {
            self.steps += 1;
            if self.steps > most_steps {
                return Err(KernelError::StepLimit(self.steps));
            }
            let (outside, inside) = self.directions(program, limit);
            let sine = SINE.max(SINE_NOISE * self.weights());
            let dependent = outside <= sine * sine * (outside + inside);
            let bound = self.bound(program, limit);
            let miss = limit.sign * (bound - self.value(program, limit.index));
            let (shortest, leaving) = self.shortest_dual_step();
            let full = if dependent {
                f64::INFINITY
            } else {
                miss.max(0.0) / outside
            };
            if shortest.is_infinite() && dependent {
                if self.is_rounding(program, limit) {
                    self.shelved[limit.index] = true;
                    return Ok(true);
                }
                self.certify(limit);
                return Ok(false);
            }
            let step = shortest.min(full);
            for (multiplier, fall) in self.multipliers.iter_mut().zip(&self.dual) {
                *multiplier -= step * fall;
            }
            multiplier += step;
            if !dependent {
                axpy(step, &self.z, &mut self.x);
            }
            self.shelved.fill(false);
            if full <= shortest {
                self.take_in(limit, multiplier, outside);
                return Ok(true);
            }
            self.drop(leaving);
        }
    }

    /// Whether a limit on a combination of the active normals is missed by no more than
    /// their own rounding, which the weights of the combination multiply.
    fn is_rounding(&mut self, program: &QuadraticProgram, limit: Limit) -> bool {
        self.return_to_limits(program);
        let bound = self.bound(program, limit);
        let miss = limit.sign * (bound - self.value(program, limit.index));
        let size = dot(&self.x, &self.x).sqrt() + bound.abs();
        miss <= size * (ROUNDING + 2.0 * f64::EPSILON * self.weights())
    }

    /// Sum of the weights with which the active normals make up the one at hand.
    fn weights(&self) -> f64 {
        self.dual[..self.active.len()].iter().map(|w| w.abs()).sum()
    }

    /// The longest step that keeps all multipliers non-negative, and whose reaches zero.
    fn shortest_dual_step(&self) -> (f64, usize) {
        let (mut shortest, mut leaving) = (f64::INFINITY, usize::MAX);
        for (i, limit) in self.active.iter().enumerate() {
            if !limit.equality && self.dual[i] > 1e-12 {
                let length = self.multipliers[i].max(0.0) / self.dual[i];
                if length < shortest {
                    (shortest, leaving) = (length, i);
                }
            }
        }
        (shortest, leaving)
    }

    /// Notes the weights with which the limit and the active ones contradict each other.
    fn certify(&mut self, limit: Limit) {
        let scale = |index: usize| self.norms.get(index).copied().unwrap_or(1.0);
        self.certificate.push((limit.index, limit.sign / scale(limit.index)));
        for (active, weight) in self.active.iter().zip(&self.dual) {
            if weight.abs() > 1e-11 {
                let weight = -weight * active.sign / scale(active.index);
                self.certificate.push((active.index, weight));
            }
        }
    }
}

/// Lower and upper limit of a row or variable.
#[inline(always)]
fn limits(program: &QuadraticProgram, index: usize) -> (f64, f64) {
    let m = program.row_lower.len();
    if index < m {
        (program.row_lower[index], program.row_upper[index])
    } else {
        (program.lower[index - m], program.upper[index - m])
    }
}

/// The first row or variable whose lower limit lies above its upper one.
fn crossed(program: &QuadraticProgram, enabled: Option<&[bool]>) -> Option<usize> {
    let m = program.row_lower.len();
    (0..m + program.variables()).find(|&index| {
        let (lower, upper) = limits(program, index);
        lower > upper && enabled.is_none_or(|e| index >= m || e[index])
    })
}
