//! What to do where the scales can't weigh a little.

use serde::Serialize;

/// Half a step of the scales above this share of a weight makes it one that
/// can't be weighed (5 %).
pub const MOST_WEIGHING_ERROR: f64 = 0.05;
/// Above this share it is weighed only roughly (2 %).
pub const FINE_WEIGHING_ERROR: f64 = 0.02;
/// Strengths of pre-mixes in per cent, the best first (common practice, no source):
/// each is taken where its own share of a test is weighed well enough.
const STRENGTHS: [(f64, f64); 3] = [
    (10.0, FINE_WEIGHING_ERROR),
    (3.0, MOST_WEIGHING_ERROR),
    (1.0, MOST_WEIGHING_ERROR),
];
/// Steps of the scales that the little one weighs in a pre-mix (1.7 % off).
const PREMIX_STEPS: f64 = 30.0;
/// Steps of the scales that the little one weighs in a strong batch (2.5 % off).
const STRONG_STEPS: f64 = 20.0;
/// A batch stronger than this, in per cent, blends no more like its glaze.
const STRONGEST_PERCENT: f64 = 25.0;
/// How many times as strong the batch for blending by volume is.
const STRONG_TIMES: f64 = 5.0;

/// A dry pre-mix ground with base.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Premix {
    /// How strong: per cent of the little one in it.
    pub percent: f64,
    /// Grams of the little one for one batch of it.
    #[serde(rename = "material_grams")]
    pub little_grams: f64,
    /// Grams of base with it.
    pub base_grams: f64,
    /// Grams of the pre-mix to use, unrounded.
    pub use_grams: f64,
    /// Grams of base that come with those, to be left out of the rest.
    pub base_in_use_grams: f64,
    /// What the scales may be off by, per cent, both weighings in quadrature.
    pub error_percent: f64,
}

/// A strong batch, to be blended with plain slurry by volume.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct StrongBatch {
    /// Per cent of the little one on its base.
    pub percent: f64,
    /// Grams of base in it.
    pub base_grams: f64,
    /// Grams of the little one in it.
    #[serde(rename = "material_grams")]
    pub little_grams: f64,
    /// What the scales may be off by, per cent.
    pub error_percent: f64,
    /// Parts of plain slurry to one part of it, by volume.
    pub plain_parts: f64,
}

/// Three ways out.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct WayOut {
    /// Grams of base for which the weight is good to 5 %.
    pub smallest_base_grams: f64,
    /// A pre-mix, where one helps.
    #[serde(rename = "pre_mix")]
    pub premix: Option<Premix>,
    /// A strong batch, where it isn't too strong to be a glaze.
    #[serde(rename = "by_volume")]
    pub strong: Option<StrongBatch>,
}

/// Ways to bring `percent` of something into `base_grams` of base on scales of
/// this step (grams).
pub fn way_out(percent: f64, base_grams: f64, step: f64) -> WayOut {
    let grams = percent / 100.0 * base_grams;
    let premix = STRENGTHS.iter().find_map(|(strength, most_error)| {
        let use_grams = grams / (strength / 100.0);
        let fits = 0.5 * step / use_grams <= *most_error && use_grams <= base_grams;
        fits.then(|| premix(*strength, use_grams, step))
    });
    let strong_percent = STRONG_TIMES * percent;
    WayOut {
        smallest_base_grams: 0.5 * step / MOST_WEIGHING_ERROR / (percent / 100.0),
        premix,
        strong: (strong_percent <= STRONGEST_PERCENT).then_some(StrongBatch {
            percent: strong_percent,
            base_grams: STRONG_STEPS * step / (strong_percent / 100.0),
            little_grams: STRONG_STEPS * step,
            error_percent: 100.0 * 0.5 / STRONG_STEPS,
            plain_parts: STRONG_TIMES - 1.0,
        }),
    }
}

fn premix(strength: f64, use_grams: f64, step: f64) -> Premix {
    let share = strength / 100.0;
    // Enough for the batch in hand, in whole measures.
    let measures = (use_grams * share / (PREMIX_STEPS * step)).ceil().max(1.0);
    let little_grams = measures * PREMIX_STEPS * step;
    let (own, used) = (0.5 * step / little_grams, 0.5 * step / use_grams);
    Premix {
        percent: strength,
        little_grams,
        base_grams: little_grams / share - little_grams,
        use_grams,
        base_in_use_grams: use_grams * (1.0 - share),
        error_percent: 100.0 * own.hypot(used),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_fifths_of_a_per_cent_on_gram_scales() {
        // 0.42 g in 104 g: 1 kg with 20 g, 4 parts plain; or 14 g of a 3 % pre-mix.
        let way = way_out(0.4, 104.0, 1.0);
        let strong = way
            .strong
            .map(|strong| (strong.percent, strong.base_grams.round(), strong.little_grams));
        assert_eq!(strong, Some((2.0, 1000.0, 20.0)));
        assert_eq!(way.strong.map(|strong| strong.plain_parts), Some(4.0));
        let premix = way
            .premix
            .map(|premix| (premix.percent, premix.little_grams, premix.use_grams.round()));
        assert_eq!(premix, Some((3.0, 30.0, 14.0)));
        assert!(
            way.premix
                .is_some_and(|premix| (premix.base_grams - 970.0).abs() < 1e-9)
        );
    }

    use crate::workshop::bench::near;

    /// 0.5 % in 200 g on 0.1 g scales: 1 g, 5 % off; of a 10 % pre-mix 10 g, 0.5 % off. It is made
    /// of 3 g (1.67 % off) in 27; 10 g of it bring 9 g of base.
    #[test]
    fn a_pre_mix_is_as_strong_as_its_own_weighing_allows() {
        let way = way_out(0.5, 200.0, 0.1);
        let premix = way.premix.unwrap();
        near(premix.percent, 10.0, "strength");
        near(premix.use_grams, 10.0, "to use");
        near(premix.little_grams, 3.0, "of it");
        near(premix.base_grams, 27.0, "base");
        near(premix.base_in_use_grams, 9.0, "base in use");
        near(
            premix.error_percent,
            100.0 * (0.05_f64 / 3.0).hypot(0.05 / 10.0),
            "error",
        );
        // 5 % of 1 g are half a tenth: 1 g in 0.5 % wants 200 g.
        near(way.smallest_base_grams, 200.0, "smallest");
        let strong = way.strong.unwrap();
        near(strong.percent, 2.5, "strong");
        near(strong.little_grams, 2.0, "of it");
        near(strong.base_grams, 80.0, "base");
        near(strong.error_percent, 2.5, "error");
        // Two measures of 3 g for 40 g of it.
        near(
            way_out(2.0, 200.0, 0.1).premix.unwrap().little_grams,
            6.0,
            "two measures",
        );
    }

    #[test]
    fn where_nothing_helps_nothing_is_offered() {
        assert!(way_out(5.0, 100.0, 0.1).strong.is_some() && way_out(5.1, 100.0, 0.1).strong.is_none());
        // 0.25 g of 10 %: 2.5 g, 2 % off, still the strongest; a little less takes the 3 % one.
        let strength = |grams: f64| way_out(grams, 100.0, 0.1).premix.map(|premix| premix.percent);
        assert_eq!(
            (strength(0.25), strength(0.24), strength(0.029)),
            (Some(10.0), Some(3.0), Some(1.0))
        );
        assert_eq!(strength(0.009), None);
        // More pre-mix than the whole batch is no way.
        assert_eq!(way_out(11.0, 1.0, 0.001).premix.map(|premix| premix.percent), None);
    }
}
