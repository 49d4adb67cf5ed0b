//! What the last year took of each glaze, and what would have to be ordered.

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::Glaze;
use glost_chemistry::material::Material;
use glost_chemistry::read::folded;
use glost_core::recipes::fewest::Fewest;
use serde::Serialize;

use crate::{Desk, Failure};

/// Days that are a year.
const DAYS: i64 = 365;

/// Dry kilograms of each glaze that batches of the last year took, in the question's order.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct YearTaken {
    pub kilograms: Vec<f64>,
}

impl YearTaken {
    /// Whether any batch was booked.
    pub fn any(&self) -> bool {
        self.kilograms.iter().any(|kilograms| *kilograms > 0.0)
    }
}

/// What the batches of the last year took.
pub(super) fn last_year(desk: &Desk, glazes: &[&Glaze]) -> Result<YearTaken, Failure> {
    let mut kilograms = vec![0.0; glazes.len()];
    let Some(book) = desk.workplace().batch_book() else {
        return Ok(YearTaken { kilograms });
    };
    let today = desk.today()?;
    let read = book.read()?;
    for batch in read.journal.batches.iter().filter(|batch| batch.stands()) {
        let age = today.days_since(batch.booking.on);
        if !(0..DAYS).contains(&age) {
            continue;
        }
        let of = glazes
            .iter()
            .position(|glaze| folded(&glaze.name) == folded(&batch.booking.glaze));
        if let Some(index) = of {
            kilograms[index] += batch.booking.dry_grams / 1000.0;
        }
    }
    Ok(YearTaken { kilograms })
}

/// A kilogram of a material in the studio's currency; `None` where nobody tells.
pub(super) fn price(material: &Material, currency: Option<&str>) -> Option<f64> {
    let price = material.price.as_ref()?;
    currency
        .is_none_or(|currency| price.is_in(currency))
        .then_some(price.per_kg)
}

/// What counts of each glaze when cost is to be least: the year's batches, or where none
/// was booked a kilogram of each.
pub(super) fn kilograms_that_count(
    year: &YearTaken,
    glazes: &[&Glaze],
    price: &dyn Fn(&Material) -> Option<f64>,
) -> Result<Vec<f64>, Diagnostic> {
    let mut held = glazes.iter().flat_map(|glaze| &glaze.base);
    if !held.any(|portion| price(&portion.material).is_some()) {
        let error = Diagnostic::error("no-prices", "no material of these glazes has a price");
        return Err(error.help("say it: `glost set \"MATERIAL\" price \"1.60 EUR/kg\"`; without --least cost the number of materials is least"));
    }
    Ok(if year.any() {
        year.kilograms.clone()
    } else {
        vec![1.0; glazes.len()]
    })
}

/// A material to be ordered.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct ToOrder {
    /// Its name.
    pub material: String,
    /// What is there, g; null where the shelf doesn't say.
    pub stock_grams: Option<f64>,
    /// What a year like the last takes of it with the new recipes, g; null where nothing
    /// was booked.
    pub year_grams: Option<f64>,
}

/// What is kept and isn't there, or not for a year like the last.
pub(super) fn to_order(least: &Fewest, made: &[&Glaze], year: &YearTaken) -> Vec<ToOrder> {
    let wanted = |material: &Material| -> f64 {
        let shares = made.iter().zip(&year.kilograms).map(|(glaze, kilograms)| {
            let total: f64 = glaze.portions().map(|portion| portion.percent).sum();
            let own = glaze
                .portions()
                .filter(|portion| portion.material.name == material.name);
            own.map(|portion| portion.percent).sum::<f64>() / total * kilograms * 1000.0
        });
        shares.sum()
    };
    let mut list = Vec::new();
    for material in &least.keep {
        let stock_grams = material.stock.map(|stock| stock.grams());
        let year_grams = year.any().then(|| wanted(material));
        let there = stock_grams.unwrap_or(0.0);
        if there <= 0.0 || year_grams.is_some_and(|wanted| wanted > there) {
            list.push(ToOrder {
                material: material.name.clone(),
                stock_grams,
                year_grams,
            });
        }
    }
    list
}
