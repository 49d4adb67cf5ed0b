//! What a batch costs.

use glost_chemistry::glaze::Glaze;
use glost_chemistry::material::Material;

/// A material whose cost can't be added.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unpriced {
    /// Its name.
    pub material: String,
    /// The currency of its price where it is another one; `None` without a price.
    pub other_currency: Option<String>,
}

impl std::fmt::Display for Unpriced {
    fn fmt(&self, to: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match &self.other_currency {
            Some(currency) => write!(to, "{} (priced in {currency})", self.material),
            None => to.write_str(&self.material),
        }
    }
}

/// What one material costs in a batch.
#[derive(Debug, Clone, PartialEq)]
pub struct CostLine {
    /// Its name.
    pub material: String,
    /// Grams in the batch.
    pub grams: f64,
    /// Its price per kilogram, in the currency of the whole; `None` where it isn't known.
    pub price_per_kg: Option<f64>,
    /// What those grams cost.
    pub amount: Option<f64>,
}

/// The cost of a batch. A price that isn't known is named, never zero.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Cost {
    /// The sum of what is known; `None` where nothing is.
    pub amount: Option<f64>,
    /// Its currency.
    pub currency: Option<String>,
    /// Materials without a price, or with one in another currency; each once.
    pub unknown: Vec<Unpriced>,
    /// The material that costs most, and its amount.
    pub dearest: Option<(String, f64)>,
    /// Each material once, in the order given.
    pub lines: Vec<CostLine>,
}

impl Cost {
    /// Whether every price is known: the amount is the whole cost, not the least.
    pub fn is_whole(&self) -> bool {
        self.unknown.is_empty() && self.amount.is_some()
    }

    /// Costs a glaze of 100 g of base with its additions.
    pub fn of_glaze(glaze: &Glaze, currency: Option<&str>) -> Cost {
        let there = glaze.portions().filter(|portion| portion.percent > 0.0);
        cost(there.map(|portion| (&*portion.material, portion.percent)), currency)
    }

    /// Grams of all lines.
    pub fn grams(&self) -> f64 {
        self.lines.iter().map(|line| line.grams).sum()
    }

    /// The known cost of a kilogram; `None` where no price is known.
    pub fn per_kg(&self) -> Option<f64> {
        self.amount.map(|amount| 1000.0 * amount / self.grams())
    }
}

/// Costs a batch of these materials and grams. `currency`: the studio's; else the
/// first one met. A material that comes twice is one line.
pub fn cost<'a>(lines: impl Iterator<Item = (&'a Material, f64)>, currency: Option<&str>) -> Cost {
    let mut cost = Cost {
        currency: currency.map(str::to_owned),
        ..Cost::default()
    };
    for (material, grams) in lines {
        let price = material.price.as_ref().filter(|price| {
            let counted = cost.currency.get_or_insert_with(|| price.currency.clone());
            price.is_in(counted)
        });
        match cost.lines.iter_mut().find(|line| line.material == material.name) {
            Some(line) => line.grams += grams,
            None => {
                cost.lines.push(CostLine {
                    material: material.name.clone(),
                    grams,
                    price_per_kg: price.map(|price| price.per_kg),
                    amount: None,
                });
                if price.is_none() {
                    cost.unknown.push(Unpriced {
                        material: material.name.clone(),
                        other_currency: material.price.as_ref().map(|price| price.currency.clone()),
                    });
                }
            }
        }
    }
    for line in &mut cost.lines {
        let Some(price) = line.price_per_kg else { continue };
        let amount = price * line.grams / 1000.0;
        line.amount = Some(amount);
        cost.amount = Some(cost.amount.unwrap_or(0.0) + amount);
        if cost.dearest.as_ref().is_none_or(|(_, most)| amount > *most) {
            cost.dearest = Some((line.material.clone(), amount));
        }
    }
    cost
}

#[cfg(test)]
mod tests;
