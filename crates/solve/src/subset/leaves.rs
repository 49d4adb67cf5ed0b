//! Enumerates a small node by Schur complements.
//!
//! With the chosen columns projected out, what remains of the Gram matrix (`gram`), of the
//! projections of `b` (`toward`) and of the squared distance describes the rest completely:
//! taking column `i` in lowers the unconstrained distance by `toward_i^2 / gram_ii` (one
//! step of Gaussian elimination; Furnival & Wilson 1974). The unconstrained distance bounds
//! the non-negative one from below; only subsets that get under the threshold are solved.
//!
//! Rounding: a pivot carries an absolute error of about 1e-15. Comparisons grant every
//! pivot [`PIVOT_ERROR`]; columns with pivots under [`DEPENDENT`] add nothing to the span;
//! branches on pivots between that and [`SAFE_PIVOT`] are solved subset by subset.

use super::super::dense::axpy;
use super::Search;

/// Granted to each squared pivot in a comparison.
const PIVOT_ERROR: f64 = 1e-14;
/// A column with a smaller squared pivot lies in the span of those before it, up to rounding:
/// by Carathéodory's theorem some smaller subset, tested as well, fits as well.
const DEPENDENT: f64 = 1e-15;
/// Elimination on a smaller squared pivot would lose too many digits.
const SAFE_PIVOT: f64 = 1e-9;

/// The columns still to choose from, with the earlier ones projected out.
#[derive(Debug, Clone, Default)]
pub(super) struct Layer {
    ids: Vec<usize>,
    /// Upper triangle, row-major, `ids.len()` wide.
    gram: Vec<f64>,
    toward: Vec<f64>,
}

/// Buffers of the enumeration.
#[derive(Debug, Clone, Default)]
pub(super) struct LeafScratch {
    coordinates: Vec<f64>,
    fixed: Vec<usize>,
    diagonal: Vec<f64>,
    tests: Vec<f64>,
}

impl Layer {
    /// Room for `width` columns.
    fn resize(&mut self, width: usize) {
        self.ids.clear();
        self.toward.clear();
        self.toward.resize(width, 0.0);
        if self.gram.len() < width * width {
            self.gram.resize(width * width, 0.0);
        }
    }

    /// Row `i` from the diagonal on.
    #[inline(always)]
    fn row(&self, i: usize) -> &[f64] {
        let width = self.ids.len();
        &self.gram[i * width + i..(i + 1) * width]
    }

    /// Fills `below` with the columns after `i`, column `i` eliminated.
    fn eliminate(&self, i: usize, below: &mut Layer) {
        let width = self.ids.len() - i - 1;
        below.resize(width);
        below.ids.extend_from_slice(&self.ids[i + 1..]);
        let pivot_row = self.row(i);
        let over = 1.0 / pivot_row[0];
        let pivot_row = &pivot_row[1..];
        for a in 0..width {
            let factor = pivot_row[a] * over;
            let out = &mut below.gram[a * width + a..(a + 1) * width];
            for ((out, own), pivot) in out.iter_mut().zip(self.row(i + 1 + a)).zip(&pivot_row[a..]) {
                *out = own - factor * pivot;
            }
            below.toward[a] = self.toward[i + 1 + a] - factor * self.toward[i];
        }
    }
}

impl Search {
    /// Every subset of up to `left` columns allowed at `depth`, on top of the chosen.
    pub(super) fn leaves(&mut self, depth: usize, left: usize) {
        let mut layers = std::mem::take(&mut self.layers);
        match self.project_fixed(depth, &mut layers[left]) {
            Some(distance) => self.enumerate(&mut layers, left, distance),
            None => self.solve_each(&layers[left].ids, left),
        }
        self.layers = layers;
    }

    /// Projects the free and chosen columns out of the layer. Returns the unconstrained
    /// squared distance they leave, or nothing if they are too close to dependent.
    fn project_fixed(&mut self, depth: usize, layer: &mut Layer) -> Option<f64> {
        let (problem, allowed) = (&self.problem, &self.nodes[depth].allowed);
        let width = allowed.len();
        layer.resize(width);
        layer.ids.extend_from_slice(allowed);
        let fixed = &mut self.scratch.fixed;
        fixed.clear();
        self.factor.reset(self.free + self.chosen.len());
        for p in (0..self.free).chain(self.chosen.iter().copied()) {
            if problem.norms[p] == 0.0 {
                continue;
            }
            let pivot = self.factor.project(|i| problem.inner(p, fixed[i]));
            if pivot > SAFE_PIVOT {
                self.factor.commit(pivot, problem.projection[p]);
                fixed.push(p);
            } else if pivot > DEPENDENT {
                return None;
            }
        }
        let size = fixed.len();
        let coordinates = &mut self.scratch.coordinates;
        coordinates.clear();
        let image = self.factor.image().iter().copied();
        let distance = problem.rhs_squared - image.map(|y| y * y).sum::<f64>();
        coordinates.resize(size * width, 0.0);
        for (a, &j) in allowed.iter().enumerate() {
            self.factor.project(|i| problem.inner(j, fixed[i]));
            let own = &self.factor.scratch()[..size];
            let along = own.iter().zip(self.factor.image()).map(|(v, y)| v * y);
            layer.toward[a] = problem.projection[j] - along.sum::<f64>();
            for (s, v) in own.iter().enumerate() {
                coordinates[s * width + a] = *v;
            }
        }
        for a in 0..width {
            let inner = problem.gram_row(allowed[a]);
            let row = &mut layer.gram[a * width + a..(a + 1) * width];
            for (out, &j) in row.iter_mut().zip(&allowed[a..]) {
                *out = inner[j];
            }
            for along in coordinates.chunks_exact(width) {
                axpy(-along[a], &along[a..], row);
            }
        }
        Some(distance)
    }

    /// Tests all subsets of up to `left` columns of `layers[left]`, one at least; `distance` is
    /// the squared distance without them.
    fn enumerate(&mut self, layers: &mut [super::Layer], left: usize, distance: f64) {
        match left {
            ..=1 => self.test_singles(&layers[1], distance),
            2 => self.test_pairs(&layers[2], distance),
            _ => {
                for i in 0..layers[left].ids.len() {
                    if self.work >= self.work_limit {
                        return;
                    }
                    let (lower, upper) = layers.split_at_mut(left);
                    let (layer, below) = (&upper[0], &mut lower[left - 1]);
                    let pivot = layer.row(i)[0];
                    if pivot <= DEPENDENT {
                        continue;
                    }
                    self.chosen.push(layer.ids[i]);
                    if pivot < SAFE_PIVOT {
                        self.solve_chosen();
                        self.solve_each(&layer.ids[i + 1..], left - 1);
                    } else {
                        let toward = layer.toward[i];
                        let reached = distance - toward * toward / pivot;
                        if reached < self.pool.threshold() && (self.free > 0 || toward > 0.0) {
                            self.solve_chosen();
                        }
                        layer.eliminate(i, below);
                        self.enumerate(layers, left - 1, reached);
                    }
                    self.chosen.pop();
                }
            }
        }
    }

    /// Tests each column of the layer as the last to be taken in.
    fn test_singles(&mut self, layer: &Layer, distance: f64) {
        self.work += layer.ids.len() as u64;
        for i in 0..layer.ids.len() {
            self.test_one(layer, i, distance);
        }
    }

    fn test_one(&mut self, layer: &Layer, i: usize, distance: f64) {
        let (pivot, toward) = (layer.row(i)[0], layer.toward[i]);
        let need = distance - self.pool.threshold();
        let one_sided = self.free == 0 && toward <= 0.0;
        if pivot > DEPENDENT && !one_sided && toward * toward > need * (pivot - PIVOT_ERROR) {
            self.chosen.push(layer.ids[i]);
            self.solve_chosen();
            self.chosen.pop();
        }
    }

    /// Tests each column and each pair of the layer. With no free columns a pair whose
    /// second amount would be negative is no better than its first column alone.
    fn test_pairs(&mut self, layer: &Layer, distance: f64) {
        let width = layer.ids.len();
        let mut scratch = std::mem::take(&mut self.scratch);
        scratch.diagonal.clear();
        scratch.diagonal.extend((0..width).map(|i| layer.row(i)[0]));
        scratch.tests.clear();
        scratch.tests.resize(width, 0.0);
        self.work += (width * (width + 1) / 2) as u64;
        for i in 0..width {
            let pivot = scratch.diagonal[i];
            if pivot <= DEPENDENT {
                continue;
            }
            self.test_one(layer, i, distance);
            self.chosen.push(layer.ids[i]);
            if pivot < SAFE_PIVOT {
                self.solve_each(&layer.ids[i + 1..], 1);
            } else {
                let rest = PairTest {
                    gram: &layer.row(i)[1..],
                    toward: &layer.toward[i + 1..],
                    diagonal: &scratch.diagonal[i + 1..],
                    step: layer.toward[i] / pivot,
                    over: 1.0 / pivot,
                    need: distance - layer.toward[i] * layer.toward[i] / pivot - self.pool.threshold(),
                };
                let tests = &mut scratch.tests[..width - i - 1];
                let some = if self.free == 0 {
                    rest.run::<true>(tests)
                } else {
                    rest.run::<false>(tests)
                };
                if some {
                    for (test, &id) in tests.iter().zip(&layer.ids[i + 1..]) {
                        if *test > 0.0 {
                            self.chosen.push(id);
                            self.solve_chosen();
                            self.chosen.pop();
                        }
                    }
                }
            }
            self.chosen.pop();
        }
        self.scratch = scratch;
    }

    /// Solves every subset of up to `left` of `ids` on top of the chosen, one by one.
    fn solve_each(&mut self, ids: &[usize], left: usize) {
        for (i, &id) in ids.iter().enumerate() {
            if self.work >= self.work_limit {
                return;
            }
            self.chosen.push(id);
            self.solve_chosen();
            if left > 1 {
                self.solve_each(&ids[i + 1..], left - 1);
            }
            self.chosen.pop();
        }
    }
}

/// The columns after a pivot column, each as its partner.
struct PairTest<'a> {
    /// The pivot's inner products with them.
    gram: &'a [f64],
    toward: &'a [f64],
    diagonal: &'a [f64],
    /// Amount of the pivot column alone.
    step: f64,
    /// One over the pivot.
    over: f64,
    /// Drop in squared distance that a partner must exceed.
    need: f64,
}

impl PairTest<'_> {
    /// Writes a positive test for each partner that gets under the threshold; true if any.
    #[inline(always)]
    fn run<const POSITIVE: bool>(&self, tests: &mut [f64]) -> bool {
        let count = tests.len();
        let (gram, toward) = (&self.gram[..count], &self.toward[..count]);
        let diagonal = &self.diagonal[..count];
        let mut some = false;
        for j in 0..count {
            let toward = toward[j] - gram[j] * self.step;
            let toward = if POSITIVE { toward.max(0.0) } else { toward };
            let pivot = diagonal[j] - gram[j] * gram[j] * self.over;
            let test = toward * toward - self.need * (pivot - PIVOT_ERROR);
            let test = if pivot > DEPENDENT { test } else { -1.0 };
            tests[j] = test;
            some |= test > 0.0;
        }
        some
    }
}
