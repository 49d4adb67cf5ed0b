//! How much water a fired clay takes up, and how full its pores get in cold water.
//!
//! Absorption is 100 (wet - dry) / dry, as in ASTM C373 and ISO 10545-3 (formulas from
//! memory). The saturation ratio C/B is the cold uptake over the boiled one.

use super::bar::Weighings;
use super::measured::Measured;

/// What weighed bars say.
#[derive(Debug, Clone, PartialEq)]
pub struct Absorption {
    /// The bars.
    pub bars: Vec<Weighings>,
    /// The step of the scales, g.
    pub step_grams: f64,
    /// Soaked in cold water, wt % of the dry bar.
    pub cold: Option<Measured>,
    /// Boiled, wt % of the dry bar.
    pub boiled: Option<Measured>,
    /// The saturation ratio C/B, cold uptake over boiled, 0 to 1.
    pub saturation: Option<Measured>,
}

impl Absorption {
    /// From bars weighed on scales that read to `step_grams`. Each reading is off by at most
    /// half a step. A difference of two is then off by at most one step, and C/B by at most
    /// one step over the boiled uptake, whatever C is: 0.1 g on 2.4 g taken up cold is 4 %.
    /// `None` without a bar that was wetted.
    pub fn of(bars: &[Weighings], step_grams: f64) -> Option<Absorption> {
        let percent = |bar: &Weighings, uptake: f64| {
            let dry = bar.dry.grams();
            let half_step_each = 0.5 * step_grams * (1.0 + (dry + uptake) / dry);
            (100.0 * uptake / dry, 100.0 * half_step_each / dry)
        };
        let each = |uptake: fn(&Weighings) -> Option<f64>| {
            let values: Vec<(f64, f64)> = bars.iter().filter_map(|bar| Some(percent(bar, uptake(bar)?))).collect();
            Measured::of(&values)
        };
        let ratios: Vec<(f64, f64)> = bars
            .iter()
            .filter_map(|bar| {
                let (cold, boiled) = (bar.cold_uptake_grams()?, bar.boiled_uptake_grams()?);
                (boiled > 0.0).then(|| (cold / boiled, step_grams / boiled))
            })
            .collect();
        let found = Absorption {
            bars: bars.to_vec(),
            step_grams,
            cold: each(Weighings::cold_uptake_grams),
            boiled: each(Weighings::boiled_uptake_grams),
            saturation: Measured::of(&ratios),
        };
        (found.cold.is_some() || found.boiled.is_some()).then_some(found)
    }

    /// The bar with the least cold uptake among those that tell C/B, where the scales' step
    /// weighs most: its cold uptake, g.
    pub fn least_cold_uptake_grams(&self) -> Option<f64> {
        let told = self
            .bars
            .iter()
            .filter(|bar| bar.boiled_uptake_grams().is_some_and(|boiled| boiled > 0.0));
        told.filter_map(Weighings::cold_uptake_grams).reduce(f64::min)
    }
}

/// A group of the ceramic tile standard (ISO 13006, EN 14411) by absorption. Its numbers are
/// for extruded and dry-pressed tile; hand-made tile lies outside it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum AbsorptionGroup {
    /// At most 0.5 %.
    Ia,
    /// Above 0.5 to 3 %.
    Ib,
    /// Above 3 to 6 %.
    IIa,
    /// Above 6 to 10 %.
    IIb,
    /// Above 10 %.
    III,
}

/// Weights are decimal, a share of them isn't: within this, %, of an edge counts as on it.
const EDGE_ROUNDING_PERCENT: f64 = 1e-9;

impl AbsorptionGroup {
    /// All of them with the highest absorption, wt %, of each; the edge belongs to the lower.
    pub const ALL: [(AbsorptionGroup, f64); 5] = [
        (AbsorptionGroup::Ia, 0.5),
        (AbsorptionGroup::Ib, 3.0),
        (AbsorptionGroup::IIa, 6.0),
        (AbsorptionGroup::IIb, 10.0),
        (AbsorptionGroup::III, f64::INFINITY),
    ];

    /// The group of an absorption in wt %; `None` for what is no absorption.
    pub fn of(percent: f64) -> Option<AbsorptionGroup> {
        let fits = |(group, most): (AbsorptionGroup, f64)| (percent <= most + EDGE_ROUNDING_PERCENT).then_some(group);
        (percent >= 0.0).then(|| Self::ALL.into_iter().find_map(fits)).flatten()
    }

    /// Its name in the standard, without the letter for the way of shaping.
    pub const fn name(self) -> &'static str {
        match self {
            AbsorptionGroup::Ia => "I a",
            AbsorptionGroup::Ib => "I b",
            AbsorptionGroup::IIa => "II a",
            AbsorptionGroup::IIb => "II b",
            AbsorptionGroup::III => "III",
        }
    }

    /// Its range in words.
    pub const fn range(self) -> &'static str {
        match self {
            AbsorptionGroup::Ia => "at most 0.5 %",
            AbsorptionGroup::Ib => "above 0.5 to 3 %",
            AbsorptionGroup::IIa => "above 3 to 6 %",
            AbsorptionGroup::IIb => "above 6 to 10 %",
            AbsorptionGroup::III => "above 10 %",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ISO 13006 / EN 14411, as retold by tile testers (asianqualityservices.com,
    /// ceramicresearch.blogspot.com 2015/04, epoxytileflooring.com); the edges themselves.
    #[test]
    fn the_tile_standard_s_edges_belong_to_the_tighter_group() {
        let name = |percent| AbsorptionGroup::of(percent).map(AbsorptionGroup::name);
        for (percent, group) in [
            (0.0, "I a"),
            (0.5, "I a"),
            (0.51, "I b"),
            (3.0, "I b"),
            (3.01, "II a"),
            (6.0, "II a"),
            (6.01, "II b"),
            (10.0, "II b"),
            (10.01, "III"),
            (60.0, "III"),
        ] {
            assert_eq!(name(percent), Some(group), "{percent} %");
        }
        assert_eq!(name(f64::NAN), None);
        assert_eq!(name(-0.1), None);
    }

    /// 100 (436.72 - 412) / 412 is 6 and a crumb in binary; so are its like.
    #[test]
    fn an_edge_reached_by_weighing_is_the_edge() {
        for (dry, percent, group) in [
            (412.0, 6.0, AbsorptionGroup::IIa),
            (150.0, 0.5, AbsorptionGroup::Ia),
            (333.0, 3.0, AbsorptionGroup::Ib),
            (127.0, 10.0, AbsorptionGroup::IIb),
        ] {
            let wet: f64 = format!("{:.4}", dry * (1.0 + percent / 100.0))
                .parse()
                .unwrap_or(f64::NAN);
            assert_eq!(AbsorptionGroup::of(100.0 * (wet - dry) / dry), Some(group), "{dry} g");
        }
    }
}
