//! The Cholesky factor of a passive set's Gram matrix, grown and shrunk a column at a time.
//!
//! Björck, *Numerical Methods for Least Squares Problems* (SIAM 1996), sections 3.2-3.3
//! and 5.2: a column is appended by one forward substitution, deleted by Givens rotations.

use super::dense::{dot, rotation};

/// `L L' = G_PP` and `image = L^-1 h_P`, where `P` is the passive set in order of entry.
///
/// Invariant: rows `0..size` of `lower` are the factor, diagonal positive; row `size` is
/// scratch that [`PassiveFactor::project`] fills.
#[derive(Debug, Clone, Default)]
pub(crate) struct PassiveFactor {
    size: usize,
    capacity: usize,
    stride: usize,
    lower: Vec<f64>,
    image: Vec<f64>,
}

impl PassiveFactor {
    /// Empties the factor and makes room for `capacity` columns and the scratch row.
    pub fn reset(&mut self, capacity: usize) {
        let stride = capacity + 1;
        if self.stride < stride {
            self.stride = stride;
            self.lower.clear();
            self.lower.resize(stride * stride, 0.0);
            self.image.clear();
            self.image.resize(stride, 0.0);
        }
        self.capacity = capacity;
        self.size = 0;
    }

    /// Empties the factor, keeping its capacity.
    pub fn clear(&mut self) {
        self.size = 0;
    }

    /// Whether the scratch row could still be committed.
    pub fn has_room(&self) -> bool {
        self.size < self.capacity
    }

    /// Fills the scratch row for a unit column with inner products `inner(position)` and
    /// returns its squared distance from the span of the set: the pivot squared.
    #[inline(always)]
    pub fn project(&mut self, inner: impl Fn(usize) -> f64) -> f64 {
        let (done, rest) = self.lower.split_at_mut(self.size * self.stride);
        let row = &mut rest[..self.stride];
        let mut pivot_squared = 1.0;
        for i in 0..self.size {
            let above = &done[i * self.stride..i * self.stride + i + 1];
            let value = (inner(i) - dot(&above[..i], &row[..i])) / above[i];
            row[i] = value;
            pivot_squared -= value * value;
        }
        pivot_squared
    }

    /// Makes the scratch row part of the factor; `projection` is the column's `h`.
    #[inline(always)]
    pub fn commit(&mut self, pivot_squared: f64, projection: f64) {
        let (size, start) = (self.size, self.size * self.stride);
        let pivot = pivot_squared.sqrt();
        let row = &mut self.lower[start..start + size + 1];
        row[size] = pivot;
        self.image[size] = (projection - dot(&row[..size], &self.image[..size])) / pivot;
        self.size += 1;
    }

    /// Deletes the column at `position` and rotates the rest back to triangular form.
    pub fn remove(&mut self, position: usize) {
        let (size, stride) = (self.size, self.stride);
        for i in position + 1..size {
            let from = i * stride;
            self.lower.copy_within(from..from + i + 1, from - stride);
        }
        for c in position..size - 1 {
            let at = c * stride + c;
            let (h, cosine, sine) = rotation(self.lower[at], self.lower[at + 1]);
            self.lower[at] = h;
            self.lower[at + 1] = 0.0;
            for i in c + 1..size - 1 {
                let at = i * stride + c;
                let (u, v) = (self.lower[at], self.lower[at + 1]);
                self.lower[at] = cosine * u + sine * v;
                self.lower[at + 1] = cosine * v - sine * u;
            }
            let (u, v) = (self.image[c], self.image[c + 1]);
            self.image[c] = cosine * u + sine * v;
            self.image[c + 1] = cosine * v - sine * u;
        }
        self.size -= 1;
    }

    /// The column last projected, in the factor's orthonormal coordinates.
    pub fn scratch(&self) -> &[f64] {
        &self.lower[self.size * self.stride..self.size * (self.stride + 1)]
    }

    /// `h_P` in the factor's orthonormal coordinates: its square is what the set explains.
    pub fn image(&self) -> &[f64] {
        &self.image[..self.size]
    }

    /// The least-squares amounts on the set: `out = L'^-1 image`.
    #[inline(always)]
    pub fn amounts(&self, out: &mut [f64]) {
        out[..self.size].copy_from_slice(&self.image[..self.size]);
        self.back_substitute(out);
    }

    /// How the set makes up the last projected column: `out = L'^-1 scratch row`.
    pub fn combination(&self, out: &mut [f64]) {
        let start = self.size * self.stride;
        out[..self.size].copy_from_slice(&self.lower[start..start + self.size]);
        self.back_substitute(out);
    }

    /// `values = (L L')^-1 values`
    pub fn solve(&self, values: &mut [f64]) {
        for i in 0..self.size {
            let row = &self.lower[i * self.stride..i * self.stride + i + 1];
            values[i] = (values[i] - dot(&row[..i], &values[..i])) / row[i];
        }
        self.back_substitute(values);
    }

    /// `values = L'^-1 values`, by rows of `L` so that memory is read in order.
    #[inline(always)]
    fn back_substitute(&self, values: &mut [f64]) {
        for i in (0..self.size).rev() {
            let row = &self.lower[i * self.stride..i * self.stride + i + 1];
            let (before, from) = values.split_at_mut(i);
            let value = from[0] / row[i];
            from[0] = value;
            for (v, l) in before.iter_mut().zip(row) {
                *v -= value * l;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Columns (1, 0) and (0.6, 0.8): the second lies 0.8 off the first.
    #[test]
    fn it_takes_as_many_columns_as_there_is_room_for() {
        let mut factor = PassiveFactor::default();
        factor.reset(2);
        for (inner, pivot) in [(0.0, 1.0), (0.6, 0.64)] {
            assert!(factor.has_room());
            let found = factor.project(|_| inner);
            assert!((found - pivot).abs() < 1e-15, "{found}, not {pivot}");
            factor.commit(found, 1.0);
        }
        assert!(!factor.has_room());
        factor.remove(0);
        assert!(factor.has_room());
    }
}
