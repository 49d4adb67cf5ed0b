//! Studios drawn from the model of the window.
#![allow(dead_code)]

use glost_core::evidence::window::{Ageing, Believed, Look, WindowSettings, Witness};

use super::glass_support::Draw;

impl Draw {
    /// Normal(0, 1) by Box and Muller.
    pub fn normal(&mut self) -> f64 {
        let radius = (-2.0 * (1.0 - self.unit()).ln()).sqrt();
        radius * (std::f64::consts::TAU * self.unit()).cos()
    }

    /// One of these.
    pub fn one_of<T: Copy>(&mut self, items: &[T]) -> T {
        items[(self.unit() * items.len() as f64) as usize]
    }
}

/// P(X <= x) of Normal(0, 1), from the error function's series: good enough to draw with.
fn phi(x: f64) -> f64 {
    let (mut term, mut sum) = (x, x);
    if x.abs() > 6.0 {
        return if x > 0.0 { 1.0 } else { 0.0 };
    }
    for odd in 1..200 {
        term *= x * x / f64::from(2 * odd + 1);
        sum += term;
    }
    0.5 + sum * (-0.5 * x * x).exp() / std::f64::consts::TAU.sqrt()
}

/// A glaze of this computed expansion, its pieces drawn: (age in days, pieces) for each look.
pub fn drawn(
    draw: &mut Draw,
    threshold: f64,
    expansion: f64,
    ageing: &Ageing,
    looks: &[(f64, u32)],
    settings: &WindowSettings,
) -> Witness {
    let believed = Believed::computed(expansion, settings);
    let true_expansion = expansion + settings.computed_sd * draw.normal();
    let sooner_or_later = phi((true_expansion - threshold) / settings.between_pieces);
    let looks = looks.iter().enumerate().map(|(line, (age_days, pieces))| {
        let chance = ageing.share_by(*age_days) * sooner_or_later;
        let crazed = (0..*pieces).filter(|_| draw.unit() < chance).count();
        look(line + 1, *age_days, *pieces, crazed as u32)
    });
    Witness {
        glaze: format!("{expansion:.3}"),
        version: None,
        believed,
        looks: looks.collect(),
    }
}

/// A look for crazing.
pub fn look(line: usize, age_days: f64, pieces: u32, crazed: u32) -> Look {
    Look {
        age_days,
        pieces,
        crazed: Some(crazed),
        shivered: None,
        batch: None,
        line,
        noted_on: String::new(),
    }
}

/// A glaze of this computed expansion with one look.
pub fn witness(expansion: f64, look: Look, settings: &WindowSettings) -> Witness {
    Witness {
        glaze: format!("{expansion}"),
        version: None,
        believed: Believed::computed(expansion, settings),
        looks: vec![look],
    }
}
