//! What a glaze costs per kilogram, litre, square metre and piece.

use crate::workshop::wetting::powder_density;
use crate::workshop::wetting::{Assumption, NoTicket, WaterAim, mixable, water_per_gram};
use glost_chemistry::glaze::Glaze;

use super::batch::{Cost, cost};
use super::on_ware::{Extent, Layer, OnWare};

/// What a cost is asked for.
#[derive(Debug, Clone, Copy)]
pub struct CostOrder<'a> {
    /// The glaze.
    pub glaze: &'a Glaze,
    /// How wet it is mixed.
    pub water: WaterAim,
    /// How it goes on the ware.
    pub layer: Layer,
    /// How much ware, where that is asked.
    pub extent: Option<Extent>,
    /// The studio's currency.
    pub currency: Option<&'a str>,
}

/// The whole of an area or of so many pieces.
#[derive(Debug, Clone, PartialEq)]
pub struct Total {
    /// The area or the pieces.
    pub extent: Extent,
    /// Dry glaze to mix, losses counted in.
    pub dry_grams: f64,
    /// Slurry.
    pub volume_millilitres: f64,
    /// Cost, or the least of it; `None` where no price is known.
    pub amount: Option<f64>,
}

/// What a glaze costs; each amount is the least where a price is unknown, and
/// `None` where no price is known.
#[derive(Debug, Clone, PartialEq)]
pub struct GlazeCost {
    /// The recipe for 100 g of base, line by line, dearest first.
    pub recipe: Cost,
    /// A kilogram of the base alone, and whether all its prices are known.
    pub base: Cost,
    /// A kilogram of dry glaze with its additions.
    pub per_kg: Option<f64>,
    /// A litre of slurry.
    pub per_litre: Option<f64>,
    /// A square metre, losses counted in; `None` too where pieces are asked.
    pub per_square_metre: Option<f64>,
    /// A piece, losses counted in; `None` too where an area is asked.
    pub per_piece: Option<f64>,
    /// The dearest material and its share of the known cost, 0 to 1.
    pub dearest: Option<(String, f64)>,
    /// Dry glaze in a litre of slurry.
    pub dry_grams_per_litre: f64,
    /// The slurry's density, g/ml.
    pub density: f64,
    /// How it goes on.
    pub on_ware: OnWare,
    /// All of it, where an area or a number of pieces is asked.
    pub total: Option<Total>,
    /// What is taken for granted of powder and water.
    pub assumptions: Vec<Assumption>,
}

/// Costs a glaze.
///
/// # Errors
/// [`NoTicket::Nothing`], [`NoTicket::Locked`] or [`NoTicket::Density`].
pub fn glaze_cost(order: &CostOrder<'_>) -> Result<GlazeCost, NoTicket> {
    let glaze = order.glaze;
    mixable(glaze)?;
    let mut recipe = Cost::of_glaze(glaze, order.currency);
    recipe
        .lines
        .sort_by(|a, b| b.amount.unwrap_or(-1.0).total_cmp(&a.amount.unwrap_or(-1.0)));
    let in_base = glaze.base.iter().filter(|portion| portion.percent > 0.0);
    // The same currency for both, also where the studio names none.
    let base = cost(
        in_base.map(|portion| (&*portion.material, portion.percent)),
        recipe.currency.as_deref(),
    );
    let (powder, guessed) = powder_density(glaze);
    let water = water_per_gram(order.water, powder)?;
    let millilitres_per_gram = water + 1.0 / powder.value();
    let on_ware = OnWare::new(&order.layer, order.extent);
    let per_gram = recipe.per_kg().map(|amount| amount / 1000.0);
    let costs = |grams: f64| per_gram.map(|each| each * grams);
    let total = order.extent.and_then(|extent| {
        let dry_grams = on_ware.grams(extent)?;
        Some(Total {
            extent,
            dry_grams,
            volume_millilitres: dry_grams * millilitres_per_gram,
            amount: costs(dry_grams),
        })
    });
    let dearest = recipe.dearest.clone().zip(recipe.amount);
    Ok(GlazeCost {
        per_kg: costs(1000.0),
        per_litre: costs(1000.0 / millilitres_per_gram),
        per_square_metre: on_ware.grams_per_square_metre().and_then(costs),
        per_piece: on_ware.grams_per_piece().and_then(costs),
        dearest: dearest
            .filter(|(_, whole)| *whole > 0.0)
            .map(|((name, amount), whole)| (name, amount / whole)),
        dry_grams_per_litre: 1000.0 / millilitres_per_gram,
        density: (1.0 + water) / millilitres_per_gram,
        recipe,
        base,
        on_ware,
        total,
        assumptions: guessed.into_iter().chain(order.water.assumption()).collect(),
    })
}

#[cfg(test)]
mod tests;
