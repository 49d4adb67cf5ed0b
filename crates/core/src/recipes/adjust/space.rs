//! The recipes that may be chosen from, as columns of numbers.
//!
//! Unknown: grams x >= 0 of each base material, 100 in all. Additions are held
//! at a_k per cent of the base, so one gram of base material j brings
//! M_j + sum a_k M_k / 100 moles, and weight, loss and cost likewise.

use std::sync::Arc;

use glost_chemistry::glaze::{FluxList, Glaze, Portion};
use glost_chemistry::material::Material;
use glost_chemistry::oxides::{Oxide, OxideMoles};

/// One base material with what a gram of it brings, held additions included.
#[derive(Debug, Clone)]
pub(crate) struct Column {
    pub material: Arc<Material>,
    /// Moles of each fired oxide per gram of base.
    pub moles: OxideMoles,
    /// Moles of flux per gram of base.
    pub flux: f64,
    /// Grams lost in firing per gram of base.
    pub loss: f64,
    /// Dry grams per gram of base.
    pub dry: f64,
    /// Grams as weighed per gram of base.
    pub weight: f64,
    /// Currency per gram of base; `None` where a price is missing.
    pub cost: Option<f64>,
    /// Share of 100 in the old recipe.
    pub before: f64,
}

/// The columns of one question.
#[derive(Debug, Clone)]
pub(crate) struct Space {
    pub columns: Vec<Column>,
    pub additions: Vec<Portion>,
    /// A material that has no price, where one is missing.
    pub without_price: Option<String>,
}

/// Currency per gram.
fn price(material: &Material) -> Option<f64> {
    material.price.as_ref().map(|price| price.per_kg / 1000.0)
}

impl Space {
    /// The old recipe's base and these newcomers. `None` where an analysis is unknown.
    pub fn new(glaze: &Glaze, newcomers: &[Arc<Material>], fluxes: &FluxList) -> Option<Space> {
        let mut base: Vec<Portion> = glaze.base.clone();
        for newcomer in newcomers {
            if !base.iter().any(|portion| portion.material.name == newcomer.name) {
                base.push(Portion {
                    material: newcomer.clone(),
                    percent: 0.0,
                });
            }
        }
        let mut columns = Vec::new();
        let mut without_price = None;
        for portion in &base {
            let carried = std::iter::once((&portion.material, 1.0)).chain(
                glaze
                    .additions
                    .iter()
                    .map(|addition| (&addition.material, addition.percent / 100.0)),
            );
            let mut column = Column {
                material: portion.material.clone(),
                moles: OxideMoles::ZERO,
                flux: 0.0,
                loss: 0.0,
                dry: 0.0,
                weight: 0.0,
                cost: Some(0.0),
                before: portion.percent,
            };
            for (material, grams) in carried {
                let fired = material.fired.as_ref()?;
                column.moles.add_scaled(grams / 100.0, &fired.oxides.to_moles());
                column.loss += grams * fired.loss_grams / 100.0;
                column.dry += grams * (1.0 - fired.moisture_grams / 100.0);
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
            additions: glaze.additions.clone(),
            without_price,
        })
    }

    /// Moles of the oxides of a point, per 100 g of base.
    pub fn moles(&self, x: &[f64]) -> OxideMoles {
        let mut moles = OxideMoles::ZERO;
        for (column, grams) in self.columns.iter().zip(x) {
            moles.add_scaled(grams.max(0.0), &column.moles);
        }
        moles
    }

    /// The old recipe as a point.
    pub fn before(&self) -> Vec<f64> {
        self.columns.iter().map(|column| column.before).collect()
    }

    /// A point as a recipe; shares are brought back to a sum of exactly 100.
    pub fn recipe(&self, x: &[f64], glaze: &Glaze) -> Glaze {
        let total: f64 = x.iter().map(|grams| grams.max(0.0)).sum();
        let base = self
            .columns
            .iter()
            .zip(x)
            .map(|(column, grams)| Portion {
                material: column.material.clone(),
                percent: 100.0 * grams.max(0.0) / total,
            })
            .collect();
        Glaze {
            base,
            additions: self.additions.clone(),
            ..glaze.clone()
        }
    }

    /// A sum of oxides in moles per gram of each base material.
    pub fn oxides(&self, oxides: &[Oxide]) -> Vec<f64> {
        self.columns.iter().map(|column| column.moles.sum_of(oxides)).collect()
    }
}
