//! The matrices of the dual method: `J = L'^-1 Q` and the triangle `R`, kept by
//! orthogonal steps (Goldfarb & Idnani 1983, section 4).

use super::super::dense::{axpy, dot, rotation};
use super::super::error::KernelError;
use super::dual::{DualActiveSet, Limit};
use super::{Hessian, QuadraticProgram};

/// A Cholesky pivot this far below its diagonal entry means no curvature is left.
const FLAT: f64 = 1e-14;

impl DualActiveSet {
    /// Factorises the Hessian and finds the unconstrained minimum.
    pub fn factorise(&mut self, program: &QuadraticProgram) -> Result<(), KernelError> {
        let n = program.variables();
        self.n = n;
        self.start_j.clear();
        self.start_j.resize(n * n, 0.0);
        self.minimum.clear();
        self.minimum.resize(n, 0.0);
        self.norms.clear();
        let norm = |row: &[f64]| dot(row, row).sqrt();
        self.norms.extend(program.rows.chunks_exact(n.max(1)).map(norm));
        self.norms
            .iter_mut()
            .filter(|norm| **norm == 0.0)
            .for_each(|norm| *norm = 1.0);
        self.norms.resize(program.row_lower.len(), 1.0);
        let matrix = match program.hessian {
            Hessian::Diagonal(diagonal) => {
                self.diagonal = true;
                return self.invert_diagonal(program.linear, |i| diagonal[i]);
            }
            Hessian::Dense(matrix) => matrix,
        };
        self.diagonal = (0..n).all(|i| matrix[i * n..i * n + i].iter().all(|v| *v == 0.0));
        if self.diagonal {
            return self.invert_diagonal(program.linear, |i| matrix[i * n + i]);
        }
        self.cholesky(matrix)?;
        self.invert_factor();
        for k in 0..n {
            let row = &self.start_j[k * n..k * n + k + 1];
            let along = dot(row, &program.linear[..k + 1]);
            axpy(-along, row, &mut self.minimum);
        }
        Ok(())
    }

    fn invert_diagonal(&mut self, linear: &[f64], diagonal: impl Fn(usize) -> f64) -> Result<(), KernelError> {
        for (i, linear) in linear.iter().enumerate() {
            let curvature = diagonal(i);
            if curvature <= 1e-280 {
                return Err(KernelError::NotPositiveDefinite { index: i });
            }
            self.start_j[i * self.n + i] = 1.0 / curvature.sqrt();
            self.minimum[i] = -linear / curvature;
        }
        Ok(())
    }

    /// `H = L L'`, into `r` by rows.
    fn cholesky(&mut self, matrix: &[f64]) -> Result<(), KernelError> {
        let n = self.n;
        self.r.clear();
        self.r.extend_from_slice(matrix);
        for k in 0..n {
            let (done, rest) = self.r.split_at_mut(k * n);
            let row = &mut rest[..n];
            for i in 0..k {
                let above = &done[i * n..i * n + i + 1];
                row[i] = (row[i] - dot(&above[..i], &row[..i])) / above[i];
            }
            let pivot = row[k] - dot(&row[..k], &row[..k]);
            if pivot <= FLAT * row[k].max(1e-280) {
                return Err(KernelError::NotPositiveDefinite { index: k });
            }
            row[k] = pivot.sqrt();
        }
        Ok(())
    }

    /// Rows of `L^-1`, which are the columns of `J = L'^-1`.
    fn invert_factor(&mut self) {
        let n = self.n;
        for k in 0..n {
            let (done, rest) = self.start_j.split_at_mut(k * n);
            let row = &mut rest[..k + 1];
            for t in 0..k {
                axpy(-self.r[k * n + t], &done[t * n..t * n + t + 1], &mut row[..t + 1]);
            }
            row[k] = 1.0;
            let pivot = self.r[k * n + k];
            row.iter_mut().for_each(|v| *v /= pivot);
        }
    }

    /// `d = J'n`, the primal direction `z = J2 d2` and the dual one `R^-1 d1`. Returns the
    /// squared norms of `d2` and `d1`.
    #[inline(always)]
    pub(super) fn directions(&mut self, program: &QuadraticProgram, limit: Limit) -> (f64, f64) {
        let (n, m, k) = (self.n, program.row_lower.len(), self.active.len());
        if limit.index < m {
            let row = &program.rows[limit.index * n..(limit.index + 1) * n];
            let scale = limit.sign / self.norms[limit.index];
            for (d, column) in self.d.iter_mut().zip(self.j.chunks_exact(n.max(1))) {
                *d = scale * dot(column, row);
            }
        } else {
            let variable = limit.index - m;
            for (d, column) in self.d.iter_mut().zip(self.j.chunks_exact(n.max(1))) {
                *d = limit.sign * column[variable];
            }
        }
        self.z.fill(0.0);
        for t in k..n {
            if self.d[t] != 0.0 {
                axpy(self.d[t], &self.j[t * n..(t + 1) * n], &mut self.z);
            }
        }
        self.dual[..k].copy_from_slice(&self.d[..k]);
        back_substitute(&self.r, n, &mut self.dual[..k]);
        (dot(&self.d[k..], &self.d[k..]), dot(&self.d[..k], &self.d[..k]))
    }

    /// Makes the limit active: one Householder reflection takes `d2` to its first place.
    pub(super) fn take_in(&mut self, limit: Limit, multiplier: f64, outside: f64) {
        let (n, k) = (self.n, self.active.len());
        let norm = outside.sqrt();
        let signed = if self.d[k] >= 0.0 { norm } else { -norm };
        let first = self.d[k] + signed;
        // v = d2 + signed e1, J2 v = z + signed J_k, and v'v = 2 norm |first|
        axpy(signed, &self.j[k * n..(k + 1) * n], &mut self.z);
        let beta = 1.0 / (norm * first.abs());
        for t in k..n {
            let factor = if t == k { first } else { self.d[t] };
            if factor != 0.0 {
                axpy(-beta * factor, &self.z, &mut self.j[t * n..(t + 1) * n]);
            }
        }
        self.r[k * n..k * n + k].copy_from_slice(&self.d[..k]);
        self.r[k * n + k] = -signed;
        self.active.push(limit);
        self.multipliers.push(multiplier);
        self.is_active[limit.index] = true;
    }

    /// Takes a limit out; rotations restore the triangle.
    pub(super) fn drop(&mut self, position: usize) {
        let (n, k) = (self.n, self.active.len());
        let limit = self.active.remove(position);
        self.multipliers.remove(position);
        self.is_active[limit.index] = false;
        for c in position + 1..k {
            self.r.copy_within(c * n..c * n + c + 1, (c - 1) * n);
        }
        for c in position..k - 1 {
            let at = c * n + c;
            let (h, cosine, sine) = rotation(self.r[at], self.r[at + 1]);
            self.r[at] = h;
            self.r[at + 1] = 0.0;
            for column in c + 1..k - 1 {
                let at = column * n + c;
                let (u, v) = (self.r[at], self.r[at + 1]);
                self.r[at] = cosine * u + sine * v;
                self.r[at + 1] = cosine * v - sine * u;
            }
            let (left, right) = self.j.split_at_mut((c + 1) * n);
            for (u, v) in left[c * n..].iter_mut().zip(&mut right[..n]) {
                (*u, *v) = (cosine * *u + sine * *v, cosine * *v - sine * *u);
            }
        }
    }

    /// Removes what rounding has left in point and multipliers of the active set.
    pub(super) fn settle(&mut self, program: &QuadraticProgram) {
        self.return_to_limits(program);
        self.price_limits(program);
        let limits = program.lower.iter().zip(program.upper);
        for (x, (lower, upper)) in self.x.iter_mut().zip(limits) {
            *x = x.max(*lower).min(*upper);
        }
        let m = program.row_lower.len();
        for position in 0..self.active.len() {
            let limit = self.active[position];
            if limit.index >= m {
                self.x[limit.index - m] = self.bound(program, limit);
            }
        }
    }

    /// Puts the point back on the active limits: `x += J1 R'^-1 (bound - value)`.
    pub(super) fn return_to_limits(&mut self, program: &QuadraticProgram) {
        let n = self.n;
        for k in 0..self.active.len() {
            let limit = self.active[k];
            let miss = limit.sign * (self.bound(program, limit) - self.value(program, limit.index));
            let column = &self.r[k * n..k * n + k + 1];
            self.d[k] = (miss - dot(&column[..k], &self.d[..k])) / column[k];
        }
        for k in 0..self.active.len() {
            axpy(self.d[k], &self.j[k * n..(k + 1) * n], &mut self.x);
        }
    }

    /// Writes the gradient `Hx + q` as active normals times multipliers.
    fn price_limits(&mut self, program: &QuadraticProgram) {
        let (n, k) = (self.n, self.active.len());
        for i in 0..n {
            self.z[i] = program.linear[i]
                + match program.hessian {
                    Hessian::Diagonal(diagonal) => diagonal[i] * self.x[i],
                    Hessian::Dense(matrix) => dot(&matrix[i * n..(i + 1) * n], &self.x),
                };
        }
        for (d, column) in self.d[..k].iter_mut().zip(self.j.chunks_exact(n.max(1))) {
            *d = dot(column, &self.z);
        }
        back_substitute(&self.r, n, &mut self.d[..k]);
        self.multipliers.copy_from_slice(&self.d[..k]);
        let pivots = (0..k).map(|i| self.r[i * n + i].abs());
        let (least, most) = pivots.fold((f64::INFINITY, 0.0f64), |(l, m), p| (l.min(p), m.max(p)));
        if least < 1e-4 * most {
            self.refine_multipliers(program);
        }
    }

    /// One more pass for the multipliers where the active normals are nearly dependent.
    #[cold]
    fn refine_multipliers(&mut self, program: &QuadraticProgram) {
        let (n, k, m) = (self.n, self.active.len(), program.row_lower.len());
        for (limit, multiplier) in self.active.iter().zip(&self.multipliers) {
            let weight = -multiplier * limit.sign;
            if limit.index < m {
                let row = &program.rows[limit.index * n..(limit.index + 1) * n];
                axpy(weight / self.norms[limit.index], row, &mut self.z);
            } else {
                self.z[limit.index - m] += weight;
            }
        }
        for (d, column) in self.d[..k].iter_mut().zip(self.j.chunks_exact(n.max(1))) {
            *d = dot(column, &self.z);
        }
        back_substitute(&self.r, n, &mut self.d[..k]);
        axpy(1.0, &self.d[..k], &mut self.multipliers);
    }
}

/// `values = R^-1 values`, `R` by columns `n` apart.
#[inline(always)]
pub(super) fn back_substitute(r: &[f64], n: usize, values: &mut [f64]) {
    for i in (0..values.len()).rev() {
        let column = &r[i * n..i * n + i + 1];
        let (before, from) = values.split_at_mut(i);
        let value = from[0] / column[i];
        from[0] = value;
        axpy(-value, &column[..i], before);
    }
}
