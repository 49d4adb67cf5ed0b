//! Random problems of our own: mineral-like columns, drawn by a fixed generator.
#![allow(dead_code)]

/// SplitMix64 (Steele, Lea & Flood, OOPSLA 2014): small, fast, the same everywhere.
pub struct Draw(pub u64);

impl Draw {
    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// Uniform in `[0, 1)`.
    pub fn unit(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / (1u64 << 53) as f64
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// Uniform in `low..high`.
    pub fn index(&mut self, low: usize, high: usize) -> usize {
        low + (self.bits() % (high - low) as u64) as usize
    }

    pub fn chance(&mut self, share: f64) -> bool {
        self.unit() < share
    }
}

/// Rows of a substitution: as many as there are oxides in the trade's tables.
pub const ROWS: usize = 22;

/// `A x ~ b`, column-major, each row already over its tolerance.
pub struct Fit {
    pub columns: Vec<f64>,
    pub rhs: Vec<f64>,
    pub count: usize,
}

/// One mineral: one to four main oxides, traces of others, in moles per 100 g.
pub fn mineral(draw: &mut Draw) -> Vec<f64> {
    let mut column = vec![0.0; ROWS];
    for _ in 0..draw.index(1, 5) {
        let main = if draw.chance(0.6) {
            draw.index(0, 3)
        } else {
            draw.index(0, ROWS)
        };
        column[main] += draw.between(0.05, 1.6);
    }
    for value in &mut column {
        if draw.chance(0.2) {
            *value += draw.between(0.0, 0.01);
        }
    }
    column
}

/// A missing mineral's chemistry and the shelf it is to be made from: minerals, their
/// twins, lots a little off, blends of two others, empty columns.
pub fn substitution(draw: &mut Draw, count: usize) -> Fit {
    let mut shelf: Vec<Vec<f64>> = Vec::new();
    for j in 0..count {
        let kind = draw.unit();
        let column = if j > 1 && kind < 0.05 {
            shelf[draw.index(0, j)].clone()
        } else if j > 1 && kind < 0.12 {
            let off = 10f64.powf(draw.between(-9.0, -2.0));
            shelf[draw.index(0, j)]
                .iter()
                .map(|v| v * (1.0 + off * draw.between(-1.0, 1.0)))
                .collect()
        } else if j > 1 && kind < 0.18 {
            let (p, q, t) = (draw.index(0, j), draw.index(0, j), draw.unit());
            shelf[p]
                .iter()
                .zip(&shelf[q])
                .map(|(a, b)| t * a + (1.0 - t) * b)
                .collect()
        } else if kind < 0.2 {
            vec![0.0; ROWS]
        } else {
            mineral(draw)
        };
        shelf.push(column);
    }
    let mut target = [0.0; ROWS];
    for _ in 0..draw.index(1, 6) {
        let amount = draw.between(0.05, 2.0);
        let part = if draw.chance(0.5) {
            mineral(draw)
        } else {
            shelf[draw.index(0, count)].clone()
        };
        target.iter_mut().zip(&part).for_each(|(t, v)| *t += amount * v);
    }
    let tolerance: Vec<f64> = target
        .iter()
        .enumerate()
        .map(|(i, t)| if i < 12 { 0.02 * t + 0.002 } else { 0.05 * t + 0.0005 })
        .collect();
    Fit {
        columns: shelf
            .iter()
            .flat_map(|c| c.iter().zip(&tolerance).map(|(v, t)| v / t))
            .collect(),
        rhs: target.iter().zip(&tolerance).map(|(v, t)| v / t).collect(),
        count,
    }
}
