//! The loss on ignition that a raw material of some name has.

use std::sync::LazyLock;

use serde::Serialize;

use crate::read::folded;

/// What to expect, in wt % of the material as supplied.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ExpectedLoss {
    /// The word in the name.
    pub word: String,
    /// The usual loss.
    pub usual: f64,
    /// The least.
    pub least: f64,
    /// The most.
    pub most: f64,
    /// Where that comes from.
    pub why: String,
}

static TABLE: LazyLock<Vec<ExpectedLoss>> = LazyLock::new(|| {
    include_str!("../../data/expected_loss.csv")
        .lines()
        .filter(|line| !line.starts_with('#'))
        .filter_map(|line| {
            let columns: Vec<&str> = line.splitn(5, ';').collect();
            let [word, usual, least, most, why] = columns.as_slice() else {
                return None;
            };
            Some(ExpectedLoss {
                word: (*word).to_owned(),
                usual: usual.parse().ok()?,
                least: least.parse().ok()?,
                most: most.parse().ok()?,
                why: (*why).to_owned(),
            })
        })
        .collect()
});

/// What a raw material of this name loses; `None` for names that say nothing
/// of it, or that it has been fired already.
pub fn expected_loss(name: &str) -> Option<&'static ExpectedLoss> {
    const FIRED: [&str; 5] = ["calcined", "burnt", "fired", "fused", "metakaolin"];
    let name = folded(name);
    if FIRED.iter().any(|word| name.contains(word)) {
        return None;
    }
    TABLE.iter().find(|known| name.contains(&known.word))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::oxides::{Formula, fire};

    #[test]
    fn the_table_is_whole_and_formulas_lie_inside_it() {
        assert_eq!(TABLE.len(), 15);
        for (name, formula) in [
            ("kaolin", "Al2Si2O5(OH)4"),
            ("chalk", "CaCO3"),
            ("dolomite", "CaMg(CO3)2"),
            ("talc", "Mg3Si4O10(OH)2"),
            ("magnesium carbonate", "MgCO3"),
            ("alumina hydrate", "Al(OH)3"),
        ] {
            let fired = Formula::parse(formula).ok().and_then(|formula| fire(&formula).ok());
            let loss = fired.map_or(f64::NAN, |fired| fired.loss_on_ignition_percent);
            let known = expected_loss(name);
            assert!(
                known.is_some_and(|known| (known.least..=known.most).contains(&loss)),
                "{name} {loss}"
            );
        }
        assert_eq!(expected_loss("calcined kaolin"), None);
        assert_eq!(expected_loss("potash feldspar"), None);
    }
}
