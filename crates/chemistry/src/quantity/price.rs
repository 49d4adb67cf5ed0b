//! Prices per weight.

use super::mass::{Grams, unit_grams};
use super::number::{NumberTrouble, parse_fraction, split_units};
use crate::diagnostic::{is_no, of_typed};

/// A price per weight.
#[derive(Debug, Clone, PartialEq)]
pub struct Price {
    /// Amount of the currency per kilogram.
    pub per_kg: f64,
    /// The currency as written, `EUR`.
    pub currency: String,
    /// The bag it is sold in, grams, where the price is for one: `8 EUR per 5 kg`.
    pub bag_grams: Option<f64>,
}

impl Price {
    /// Reads `1.60 EUR/kg` or `8 EUR per 5 kg`.
    ///
    /// # Errors
    /// Not a price per weight.
    pub fn parse(text: &str) -> Result<Price, NumberTrouble> {
        let trouble = |message: String| NumberTrouble {
            message,
            help: Some("write it such as 1.60 EUR/kg or 8 EUR per 5 kg".to_owned()),
        };
        let whole = || trouble(is_no(text, "price per weight"));
        let (money, weight) = text
            .split_once(" per ")
            .or_else(|| text.split_once('/'))
            .ok_or_else(whole)?;
        let weight = weight.trim();
        let (grams, is_bag) = match unit_grams(weight) {
            Some(grams) => (grams, false),
            None => (Grams::parse(weight).map_err(|_| whole())?.grams(), true),
        };
        let pairs = split_units(money);
        let [(amount, currency)] = pairs.as_slice() else {
            return Err(whole());
        };
        let amount = parse_fraction(amount).map_err(|_| whole())?.value;
        if currency.is_empty() {
            return Err(trouble(of_typed(text, "names no currency")));
        }
        if amount < 0.0 || grams <= 0.0 {
            return Err(whole());
        }
        Ok(Price {
            per_kg: amount / grams * 1000.0,
            currency: currency.clone(),
            bag_grams: is_bag.then_some(grams),
        })
    }

    /// Whether a currency is this price's, as people write them: `eur` is EUR.
    pub fn is_in(&self, currency: &str) -> bool {
        self.currency.eq_ignore_ascii_case(currency)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bag_price_is_a_price_per_kilo() {
        assert_eq!(
            Price::parse("8 EUR per 5 kg").map(|price| (price.per_kg, price.bag_grams)),
            Ok((1.6, Some(5000.0)))
        );
        assert_eq!(Price::parse("8 EUR per kg").map(|price| price.bag_grams), Ok(None));
        assert_eq!(
            Price::parse("1.60 EUR/kg").map(|price| (price.per_kg, price.currency)),
            Ok((1.6, "EUR".to_owned()))
        );
        for text in ["8 EUR", "8/kg", "EUR/kg", "-1 EUR/kg", "1 EUR per 0 kg"] {
            assert!(Price::parse(text).is_err(), "{text}");
        }
    }
}
