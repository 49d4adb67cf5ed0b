//! Studios drawn from the model of the window.
#![allow(dead_code)]

use glost_chemistry::quantity::Date;
use glost_core::evidence::notes::Looked;
use glost_core::evidence::window::{
    Believed, ClayKnowledge, Edge, Family, FamilyPlace, Look, Window, WindowSettings, Witness,
};

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

/// A glaze of this computed expansion, its pieces drawn: (age in days, pieces) for each batch.
/// `line` is where glazes craze at three years, `fall` by how much that falls.
pub fn drawn(
    draw: &mut Draw,
    (line, fall): (f64, f64),
    expansion: f64,
    looks: &[(f64, u32)],
    settings: &WindowSettings,
) -> Witness {
    let lot = settings.between_lots * draw.normal();
    let true_expansion = expansion + settings.computed_sd * draw.normal() + lot;
    let looks = looks.iter().enumerate().map(|(index, (age_days, pieces))| {
        let of_batch = true_expansion + settings.between_batches * draw.normal();
        let stands = line + fall * (1.0 - settings.ageing.fallen_by(*age_days));
        let chance = Looked::Unsaid.finds() * phi((of_batch - stands) / settings.between_pieces);
        let crazed = (0..*pieces).filter(|_| draw.unit() < chance).count();
        look(index + 1, *age_days, *pieces, crazed as u32)
    });
    let looks = looks.collect();
    Witness {
        looks,
        ..witness(expansion, look(0, 0.0, 1, 0), settings)
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
        lot: 0,
        looked: Looked::Unsaid,
        line,
        noted_on: Date::new(2026, 1, 1).unwrap_or_else(|| panic!("no day")),
    }
}

/// A glaze of this computed expansion with one look.
pub fn witness(expansion: f64, look: Look, settings: &WindowSettings) -> Witness {
    Witness {
        glaze: format!("{expansion}"),
        version: None,
        step: None,
        believed: Believed::computed(expansion, settings),
        place: FamilyPlace {
            family: 0,
            slope: None,
            coordinate: 0.0,
        },
        looks: vec![look],
    }
}

/// The window of glazes that are families of their own.
pub fn learnt(clay: ClayKnowledge, mut witnesses: Vec<Witness>) -> Window {
    let families = witnesses.iter().map(|witness| Family {
        believed: witness.believed,
        slopes: Vec::new(),
    });
    let families = families.collect();
    for (family, witness) in witnesses.iter_mut().enumerate() {
        witness.place.family = family;
    }
    Window::learn(&WindowSettings::default(), clay, families, witnesses)
}

/// A clay that soaks up so much, wt %.
pub fn clay(absorption_percent: f64) -> ClayKnowledge {
    ClayKnowledge {
        absorption_percent: Some(absorption_percent),
        ..ClayKnowledge::default()
    }
}

/// The chance of a glaze with pieces of its own.
pub fn own_chance(window: &Window, edge: Edge, own: usize) -> f64 {
    let place = window.witnesses[own].place;
    window
        .edge(edge)
        .chance_of(&glost_core::evidence::window::Pieces { place, lot: 0 })
}
