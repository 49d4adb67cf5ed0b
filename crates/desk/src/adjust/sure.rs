//! How sure an adjusted recipe is, beside the one that doesn't mind the sheets.

use glost_chemistry::glaze::Glaze;
use glost_core::recipes::adjust::Surety;
use serde::Serialize;

use crate::Failure;
use crate::wire::Amounts;

use super::{Recipe, Worth};

/// How sure, and what that costs.
#[derive(Debug, Clone)]
pub struct Sure {
    /// Chances and the sheet that costs most.
    pub surety: Surety,
    /// The recipe that doesn't mind the sheets.
    pub without: Recipe,
}

impl Sure {
    pub(super) fn beside(surety: Surety, worth: &Worth<'_>) -> Result<Box<Sure>, Failure> {
        let without = *worth.recipe(&surety.without)?;
        Ok(Box::new(Sure { surety, without }))
    }

    /// Cost per kg as weighed without and with being sure; `None` where a price is missing.
    pub fn cost_per_kg(&self, recipe: &Recipe) -> Option<(f64, f64)> {
        let of = |recipe: &Recipe| cost_per_kg(&recipe.offer.proposal.glaze);
        Some((of(&self.without)?, of(recipe)?))
    }

    pub(super) fn json(&self, recipe: &Recipe, objective: f64, currency: Option<&str>) -> SureJson<'_> {
        let proposal = &self.without.offer.proposal;
        SureJson {
            asked: self.surety.asked,
            aims: self
                .surety
                .chances
                .iter()
                .map(|chance| ChanceJson {
                    aim: &chance.aim,
                    quantity: &chance.quantity,
                    before: chance.before,
                    after: chance.after,
                })
                .collect(),
            price: PriceJson {
                objective: objective - self.surety.without_objective,
                distance: recipe.offer.proposal.distance - proposal.distance,
                cost: self.cost_per_kg(recipe).map(|(without, with)| with - without),
                currency: currency.map(str::to_owned),
            },
            without: WithoutJson {
                parts: Amounts::portions(&proposal.glaze.base),
                additions: Amounts::portions(&proposal.glaze.additions),
            },
            costliest: self
                .surety
                .costliest
                .as_ref()
                .map(|(sheet, saves)| CostliestJson { sheet, saves: *saves }),
            unstated: &self.surety.unstated,
        }
    }
}

fn cost_per_kg(glaze: &Glaze) -> Option<f64> {
    let mut sums = (0.0, 0.0);
    for portion in glaze.portions().filter(|portion| portion.percent > 1e-9) {
        sums.0 += portion.percent * portion.material.price.as_ref()?.per_kg;
        sums.1 += portion.percent;
    }
    Some(sums.0 / sums.1)
}

#[derive(Serialize, schemars::JsonSchema)]
pub(super) struct SureJson<'a> {
    asked: f64,
    aims: Vec<ChanceJson<'a>>,
    price: PriceJson,
    without: WithoutJson,
    costliest: Option<CostliestJson<'a>>,
    unstated: &'a [String],
}

#[derive(Serialize, schemars::JsonSchema)]
struct ChanceJson<'a> {
    aim: &'a str,
    quantity: &'a str,
    before: f64,
    after: f64,
}

#[derive(Serialize, schemars::JsonSchema)]
struct PriceJson {
    objective: f64,
    distance: f64,
    cost: Option<f64>,
    currency: Option<String>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct WithoutJson {
    parts: Amounts,
    additions: Amounts,
}

#[derive(Serialize, schemars::JsonSchema)]
struct CostliestJson<'a> {
    sheet: &'a str,
    saves: f64,
}
