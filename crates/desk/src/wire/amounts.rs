//! Oxides, recipes and weights as maps in their own order.

use glost_chemistry::glaze::Portion;
use glost_chemistry::oxides::{Oxide, OxideGrams, OxideMoles};
use glost_core::workshop::scales::WeighedLine;
use serde::{Serialize, Serializer};

/// Amounts by name, in order: `{"SiO2": 3.04, ...}`; the unit is that of the key
/// that it stands under.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Amounts(pub Vec<(String, f64)>);

impl Serialize for Amounts {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_map(self.0.iter().map(|(name, amount)| (name, amount)))
    }
}

impl Amounts {
    /// Moles of oxides that are there.
    pub fn moles(amounts: &OxideMoles) -> Amounts {
        Amounts(
            amounts
                .iter()
                .map(|(oxide, amount)| (oxide.to_string(), amount))
                .collect(),
        )
    }

    /// Grams, or wt %, of oxides that are there.
    pub fn grams(amounts: &OxideGrams) -> Amounts {
        Amounts(
            amounts
                .iter()
                .map(|(oxide, amount)| (oxide.to_string(), amount))
                .collect(),
        )
    }

    /// Oxides with any number each.
    pub fn oxides(amounts: &[(Oxide, f64)]) -> Amounts {
        Amounts(
            amounts
                .iter()
                .map(|(oxide, amount)| (oxide.to_string(), *amount))
                .collect(),
        )
    }

    /// Materials that are there, with their shares.
    pub fn portions(portions: &[Portion]) -> Amounts {
        let there = portions.iter().filter(|portion| portion.percent > 0.0);
        Amounts(
            there
                .map(|portion| (portion.material.name.clone(), portion.percent))
                .collect(),
        )
    }

    /// Materials that were weighed, in grams.
    pub fn weights(lines: &[WeighedLine]) -> Amounts {
        let there = lines.iter().filter(|line| line.grams > 0.0);
        Amounts(there.map(|line| (line.material.clone(), line.grams)).collect())
    }
}

impl schemars::JsonSchema for Amounts {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Amounts".into()
    }

    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({ "type": "object", "additionalProperties": { "type": "number" } })
    }
}
