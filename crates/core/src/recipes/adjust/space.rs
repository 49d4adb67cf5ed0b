//! The recipes that may be chosen from, as columns of numbers.
//!
//! Unknown: parts x >= 0 of each base material, 100 in the old recipe, and, where
//! additions may move, parts z >= 0 of each of them, in per cent on the old base.
//! Additions that are held at a_k per cent of the base ride along: one part of base
//! material j then brings M_j + sum a_k M_k / 100 moles; weight, loss, cost likewise.

use std::sync::Arc;

use crate::recipes::swap::colours_or_opacifies;
use glost_chemistry::glaze::{FluxList, Glaze, Portion};
use glost_chemistry::material::Material;
use glost_chemistry::oxides::{Oxide, OxideMoles};

/// Where a column's amount goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Role {
    Base,
    Addition,
}

/// Whether additions move with the rest or are held at their per cents.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum AdditionsAre {
    Held,
    Moving,
}

/// One material with what a part of it brings, held additions included.
#[derive(Debug, Clone)]
pub(crate) struct Column {
    pub material: Arc<Material>,
    pub role: Role,
    /// Moles of each fired oxide per part.
    pub moles: OxideMoles,
    /// Moles of flux per part.
    pub flux: f64,
    /// Grams lost in firing per part.
    pub loss: f64,
    /// Dry grams per part.
    pub dry: f64,
    /// Grams as weighed per part.
    pub weight: f64,
    /// Currency per part; `None` where a price is missing.
    pub cost: Option<f64>,
    /// Parts in the old recipe.
    pub before: f64,
}

impl Column {
    /// 1 in the base, 0 among the additions.
    pub fn of_base(&self) -> f64 {
        match self.role {
            Role::Base => 1.0,
            Role::Addition => 0.0,
        }
    }

    /// What counts as one unit of change: a tenth of what there is, one part
    /// of the base at least, a tenth of a per cent on top.
    pub fn step(&self) -> f64 {
        match self.role {
            Role::Base => (0.1 * self.before).max(1.0),
            Role::Addition => (0.1 * self.before).max(0.1),
        }
    }
}

/// The columns of one question.
#[derive(Debug, Clone)]
pub(crate) struct Space {
    pub columns: Vec<Column>,
    /// Additions held at their per cents.
    pub held: Vec<Portion>,
    pub fluxes: FluxList,
    /// A material that has no price, where one is missing.
    pub without_price: Option<String>,
}

/// Currency per gram.
fn price(material: &Material) -> Option<f64> {
    material.price.as_ref().map(|price| price.per_kg / 1000.0)
}

/// Who takes part, in which role, at what share.
fn members(glaze: &Glaze, newcomers: &[Arc<Material>], additions: AdditionsAre) -> Vec<(Portion, Role)> {
    let mut members: Vec<(Portion, Role)> = glaze.base.iter().map(|portion| (portion.clone(), Role::Base)).collect();
    let moving = additions == AdditionsAre::Moving;
    if moving {
        // An addition of unknown analysis has no chemistry to move for: it is held.
        let known = glaze
            .additions
            .iter()
            .filter(|addition| addition.material.fired.is_some());
        members.extend(known.map(|portion| (portion.clone(), Role::Addition)));
    }
    let colours_in_base = glaze
        .base
        .iter()
        .any(|portion| portion.percent > 0.0 && colours_or_opacifies(&portion.material));
    for newcomer in newcomers {
        if members.iter().any(|member| member.0.material.name == newcomer.name) {
            continue;
        }
        let on_top = moving && !colours_in_base && colours_or_opacifies(newcomer);
        let portion = Portion {
            material: newcomer.clone(),
            percent: 0.0,
        };
        members.push((portion, if on_top { Role::Addition } else { Role::Base }));
    }
    members
}

impl Space {
    /// The old recipe and these newcomers. `None` where the analysis of a
    /// material of the base, or of a newcomer, is unknown.
    pub fn new(
        glaze: &Glaze,
        newcomers: &[Arc<Material>],
        fluxes: &FluxList,
        additions: AdditionsAre,
    ) -> Option<Space> {
        let held: Vec<Portion> = glaze
            .additions
            .iter()
            .filter(|addition| additions == AdditionsAre::Held || addition.material.fired.is_none())
            .cloned()
            .collect();
        let mut columns = Vec::new();
        let mut without_price = None;
        for (portion, role) in members(glaze, newcomers, additions) {
            let carried: Vec<(&Arc<Material>, f64)> = match role {
                Role::Base => held.iter().map(|held| (&held.material, held.percent / 100.0)).collect(),
                Role::Addition => Vec::new(),
            };
            let mut column = Column {
                material: portion.material.clone(),
                role,
                moles: OxideMoles::ZERO,
                flux: 0.0,
                loss: 0.0,
                dry: 0.0,
                weight: 0.0,
                cost: Some(0.0),
                before: portion.percent,
            };
            portion.material.fired.as_ref()?;
            for (material, grams) in std::iter::once((&portion.material, 1.0)).chain(carried) {
                if let Some(fired) = &material.fired {
                    column.moles.add_scaled(grams / 100.0, &fired.oxides.to_moles());
                    column.loss += grams * fired.loss_grams / 100.0;
                    column.dry += grams * (1.0 - fired.moisture_grams / 100.0);
                } else {
                    column.dry += grams;
                }
                column.weight += grams;
                column.cost = column.cost.zip(price(material)).map(|(sum, price)| sum + grams * price);
                if price(material).is_none() && grams > 0.0 && without_price.is_none() {
                    without_price = Some(material.name.clone());
                }
            }
            column.flux = fluxes.moles(&column.moles);
            columns.push(column);
        }
        Some(Space {
            columns,
            held,
            fluxes: fluxes.clone(),
            without_price,
        })
    }

    /// Moles of the oxides of a point.
    pub fn moles(&self, x: &[f64]) -> OxideMoles {
        let mut moles = OxideMoles::ZERO;
        for (column, parts) in self.columns.iter().zip(x) {
            moles.add_scaled(parts.max(0.0), &column.moles);
        }
        moles
    }

    /// The old recipe as a point.
    pub fn before(&self) -> Vec<f64> {
        self.columns.iter().map(|column| column.before).collect()
    }

    /// Parts of base of a point.
    pub fn base_total(&self, x: &[f64]) -> f64 {
        let parts = self.columns.iter().zip(x);
        parts.map(|(column, parts)| column.of_base() * parts.max(0.0)).sum()
    }

    /// A point as a recipe; the base sums to exactly 100, newcomers that stay
    /// out are left out.
    pub fn recipe(&self, x: &[f64], glaze: &Glaze) -> Glaze {
        let total = self.base_total(x);
        let of = |role: Role| -> Vec<Portion> {
            self.columns
                .iter()
                .zip(x)
                .filter(|(column, _)| column.role == role)
                .map(|(column, parts)| Portion {
                    material: column.material.clone(),
                    percent: 100.0 * parts.max(0.0) / total,
                })
                .collect()
        };
        let mut additions: Vec<Portion> = Vec::new();
        // In the order of the old recipe, newcomers last.
        let mut moved = of(Role::Addition);
        for old in &glaze.additions {
            let held = self.held.iter().find(|held| held.material.name == old.material.name);
            let place = moved
                .iter()
                .position(|portion| portion.material.name == old.material.name);
            additions.extend(held.cloned().or_else(|| place.map(|place| moved.remove(place))));
        }
        additions.extend(moved.into_iter().filter(|portion| portion.percent > 1e-9));
        Glaze {
            base: of(Role::Base),
            additions,
            ..glaze.clone()
        }
    }

    /// A sum of oxides in moles per part of each column.
    pub fn oxides(&self, oxides: &[Oxide]) -> Vec<f64> {
        self.columns.iter().map(|column| column.moles.sum_of(oxides)).collect()
    }

    /// Whether a material takes part.
    pub fn holds(&self, material: &Material) -> bool {
        let known = |other: &Arc<Material>| other.name == material.name;
        self.columns.iter().any(|column| known(&column.material)) || self.held.iter().any(|held| known(&held.material))
    }
}
