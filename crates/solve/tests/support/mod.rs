//! Random problems of our own: mineral-like columns, drawn by a fixed generator.
#![allow(dead_code)]

use glost_solve::qp::{Hessian, QuadraticProgram};

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

/// Least change of a recipe within limits; the first row is the total.
pub struct Repair {
    pub count: usize,
    pub hessian: Vec<f64>,
    pub linear: Vec<f64>,
    pub rows: Vec<f64>,
    pub lower: Vec<f64>,
    pub upper: Vec<f64>,
}

/// Asks something of a repair as a programme: nothing below zero.
pub fn with_program<T>(problem: &Repair, ask: impl FnOnce(&QuadraticProgram) -> T) -> T {
    ask(&QuadraticProgram {
        hessian: Hessian::Dense(&problem.hessian),
        linear: &problem.linear,
        rows: &problem.rows,
        row_lower: &problem.lower,
        row_upper: &problem.upper,
        lower: &vec![0.0; problem.count],
        upper: &vec![f64::INFINITY; problem.count],
    })
}

/// The sum of the products of two rows.
pub fn product(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// A recipe of 100 g on a shelf of minerals, and limits on its chemistry and shares. The
/// limits allow a hidden recipe; if `contradictory`, some then ask for what the rest rules
/// out. Half of them have rows twice or twin materials.
pub fn repair(draw: &mut Draw, count: usize, contradictory: bool) -> Repair {
    let mut shelf: Vec<Vec<f64>> = (0..count).map(|_| mineral(draw)).collect();
    let doubled = draw.chance(0.5);
    if doubled && count > 3 {
        shelf[count - 1] = shelf[0].clone();
    }
    let recipe = |draw: &mut Draw| {
        let parts: Vec<f64> = (0..count)
            .map(|_| if draw.chance(0.5) { draw.between(1.0, 50.0) } else { 0.0 })
            .collect();
        let sum: f64 = parts.iter().sum();
        let even = 100.0 / count as f64;
        parts
            .iter()
            .map(|p| if sum > 0.0 { p / sum * 100.0 } else { even })
            .collect::<Vec<f64>>()
    };
    let (start, hidden) = (recipe(draw), recipe(draw));
    let (mut rows, mut lower, mut upper) = (vec![1.0; count], vec![100.0], vec![100.0]);
    let add = |row: Vec<f64>, low: f64, high: f64, rows: &mut Vec<f64>, lower: &mut Vec<f64>, upper: &mut Vec<f64>| {
        rows.extend(row);
        lower.push(low);
        upper.push(high);
    };
    for _ in 0..draw.index(1, 20) {
        let oxide = draw.index(0, 6);
        let over = draw.index(0, 6);
        let ratio = draw.between(0.2, 4.0);
        let row: Vec<f64> = shelf.iter().map(|m| m[oxide] - ratio * m[over]).collect();
        let value: f64 = row.iter().zip(&hidden).map(|(a, x)| a * x).sum();
        let slack = if draw.chance(0.3) { 0.0 } else { draw.between(0.0, 5.0) };
        let (low, high) = match draw.index(0, 3) {
            0 => (value - slack, f64::INFINITY),
            1 => (f64::NEG_INFINITY, value + slack),
            _ => (value - slack, value + draw.between(0.0, 5.0)),
        };
        add(row.clone(), low, high, &mut rows, &mut lower, &mut upper);
        if doubled && draw.chance(0.3) {
            add(
                row.iter().map(|v| v * 2.0).collect(),
                low * 2.0,
                high * 2.0,
                &mut rows,
                &mut lower,
                &mut upper,
            );
        }
    }
    if contradictory {
        // no recipe of 100 g holds more of an oxide than its richest material
        let oxide = draw.index(0, 3);
        let row: Vec<f64> = shelf.iter().map(|m| m[oxide]).collect();
        let richest = 100.0 * row.iter().copied().fold(0.0, f64::max);
        let ask = if draw.chance(0.3) {
            richest + draw.between(0.1, 5.0)
        } else {
            let poor = draw.between(0.0, 0.4) * richest;
            add(row.clone(), f64::NEG_INFINITY, poor, &mut rows, &mut lower, &mut upper);
            poor + draw.between(0.1, 5.0)
        };
        add(row, ask, f64::INFINITY, &mut rows, &mut lower, &mut upper);
    }
    let chemistry = if draw.chance(0.5) { draw.between(0.1, 10.0) } else { 0.0 };
    let mut hessian = vec![0.0; count * count];
    for i in 0..count {
        for j in 0..count {
            let common: f64 = shelf[i].iter().zip(&shelf[j]).map(|(a, b)| a * b).sum();
            hessian[i * count + j] = chemistry * common;
        }
        let step = (0.1 * start[i]).max(1.0);
        hessian[i * count + i] += 1.0 / (step * step);
    }
    let linear = hessian
        .chunks(count)
        .map(|row| -row.iter().zip(&start).map(|(h, x)| h * x).sum::<f64>())
        .collect();
    Repair {
        count,
        hessian,
        linear,
        rows,
        lower,
        upper,
    }
}
