//! Inner loops on slices. The order of summation is fixed, so results do not depend on
//! the caller or on the machine's vector width.

/// Lanes summed side by side; columns are padded to a multiple of it.
pub(crate) const LANES: usize = 8;

/// `length` rounded up to a multiple of [`LANES`].
pub(crate) fn padded(length: usize) -> usize {
    length.div_ceil(LANES) * LANES
}

/// Inner product over the shorter of the two lengths.
#[inline(always)]
pub(crate) fn dot(a: &[f64], b: &[f64]) -> f64 {
    let length = a.len().min(b.len());
    let (a, b) = (&a[..length], &b[..length]);
    let mut lanes = [0.0f64; LANES];
    let (chunks_a, chunks_b) = (a.chunks_exact(LANES), b.chunks_exact(LANES));
    let (rest_a, rest_b) = (chunks_a.remainder(), chunks_b.remainder());
    for (x, y) in chunks_a.zip(chunks_b) {
        for lane in 0..LANES {
            lanes[lane] += x[lane] * y[lane];
        }
    }
    let mut sum = (lanes[0] + lanes[4]) + (lanes[1] + lanes[5]) + (lanes[2] + lanes[6]) + (lanes[3] + lanes[7]);
    for (x, y) in rest_a.iter().zip(rest_b) {
        sum += x * y;
    }
    sum
}

/// `y += alpha x`
#[inline(always)]
pub(crate) fn axpy(alpha: f64, x: &[f64], y: &mut [f64]) {
    for (y, x) in y.iter_mut().zip(x) {
        *y += alpha * x;
    }
}

/// The rotation that takes `(a, b)` to `(h, 0)` as `(h, cosine, sine)`; `h >= 0`.
#[inline(always)]
pub(crate) fn rotation(a: f64, b: f64) -> (f64, f64, f64) {
    let h = (a * a + b * b).sqrt();
    if h > 0.0 { (h, a / h, b / h) } else { (0.0, 1.0, 0.0) }
}
