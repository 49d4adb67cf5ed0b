//! What a batch costs.

use crate::material::Material;

/// The cost of a batch. A price that isn't known is named, never zero.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Cost {
    /// The sum of what is known; `None` where nothing is.
    pub amount: Option<f64>,
    /// Its currency.
    pub currency: Option<String>,
    /// Materials without a price, or with one in another currency.
    pub unknown: Vec<String>,
    /// The material that costs most, and its amount.
    pub dearest: Option<(String, f64)>,
}

/// Costs a batch of these materials and grams. `currency`: the studio's; else the
/// first one met.
pub fn cost<'a>(lines: impl Iterator<Item = (&'a Material, f64)>, currency: Option<&str>) -> Cost {
    let mut cost = Cost {
        currency: currency.map(str::to_owned),
        ..Cost::default()
    };
    for (material, grams) in lines {
        let Some(price) = &material.price else {
            cost.unknown.push(material.name.clone());
            continue;
        };
        let counted = cost.currency.get_or_insert_with(|| price.currency.clone());
        if *counted != price.currency {
            cost.unknown
                .push(format!("{} (priced in {})", material.name, price.currency));
            continue;
        }
        let amount = price.per_kg * grams / 1000.0;
        cost.amount = Some(cost.amount.unwrap_or(0.0) + amount);
        if cost.dearest.as_ref().is_none_or(|(_, most)| amount > *most) {
            cost.dearest = Some((material.name.clone(), amount));
        }
    }
    cost
}
