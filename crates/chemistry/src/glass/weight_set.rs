//! Factors per weight per cent: the sets from before 1930.

use crate::oxides::{OXIDE_COUNT, Oxide, OxideMoles};

use super::table::data_lines;

/// A set of factors; the expansion is their mean weighted by grams.
#[derive(Debug)]
pub(super) struct WeightSet {
    /// 1e-6/K linear for 100 wt % of the oxide; `None`: the set doesn't know it.
    pub factors: [Option<f64>; OXIDE_COUNT],
}

/// What a set makes of a composition.
#[derive(Debug, Clone, Copy)]
pub(super) struct WeightedMean {
    /// Mean linear expansion, 1e-6/K.
    pub value: f64,
    /// What the set doesn't know, as a fraction of all moles.
    pub left_out: f64,
}

impl WeightSet {
    /// Reads `oxide,factor,standing` lines; `per_factor` is the linear expansion in 1e-6/K of
    /// 100 wt % with a factor of 1.
    pub(super) fn parse(table: &'static str, per_factor: f64) -> WeightSet {
        let mut factors = [None; OXIDE_COUNT];
        for line in data_lines(table, "oxide,factor,standing") {
            let mut cells = line.split(',');
            let oxide = cells.next().and_then(Oxide::from_formula);
            let factor = cells.next().and_then(|cell| cell.parse::<f64>().ok());
            if let (Some(oxide), Some(factor)) = (oxide, factor) {
                factors[oxide.index()] = Some(factor * per_factor);
            }
        }
        WeightSet { factors }
    }

    /// `None` where the set knows none of the oxides present.
    pub(super) fn mean(&self, amounts: &OxideMoles) -> Option<WeightedMean> {
        // Divided by the largest first, so that no sum overflows.
        let largest = amounts
            .as_slice()
            .iter()
            .fold(0.0_f64, |most, &amount| most.max(amount));
        let (mut grams, mut weighted, mut moles, mut others) = (0.0, 0.0, 0.0, 0.0);
        for (oxide, amount) in amounts.iter() {
            let amount = amount / largest;
            match self.factors[oxide.index()] {
                Some(factor) => {
                    let own = amount * oxide.grams_per_mole();
                    grams += own;
                    weighted += own * factor;
                    moles += amount;
                }
                None => others += amount,
            }
        }
        (grams > 0.0).then(|| WeightedMean {
            value: weighted / grams,
            left_out: others / (moles + others),
        })
    }

    /// Grams of the oxides that the set knows.
    pub(super) fn known_grams(&self, amounts: &OxideMoles) -> f64 {
        let known = amounts
            .iter()
            .filter(|(oxide, _)| self.factors[oxide.index()].is_some());
        known.map(|(oxide, moles)| moles * oxide.grams_per_mole()).sum()
    }
}
