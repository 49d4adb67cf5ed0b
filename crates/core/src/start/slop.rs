//! Powder and water into a bucket: how much, how dense.

use crate::glaze::Glaze;
use crate::quantity::{Grams, Millilitres, WaterPerKilo};

/// Density of dry glaze powder in g/ml with its band, where nobody tells it: common practice.
const POWDER_DENSITY: (f64, f64) = (2.6, 0.1);

/// A value between two others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Banded {
    /// The value.
    pub value: f64,
    /// The lower end.
    pub low: f64,
    /// The upper end.
    pub high: f64,
}

/// A batch with its water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slop {
    /// Dry powder in grams.
    pub dry_grams: f64,
    /// Water in millilitres.
    pub water_millilitres: f64,
    /// Glaze in the bucket, millilitres.
    pub volume_millilitres: Banded,
    /// Its density in g/ml.
    pub density: Banded,
    /// The powder's density in g/ml and its band.
    pub powder_density: (f64, f64),
}

impl Slop {
    /// Powder of one grain density stirred into water: volumes add up, a
    /// millilitre of water weighs a gram (Brongniart's relation).
    pub fn of(dry: Grams, water: WaterPerKilo, powder_density: (f64, f64)) -> Slop {
        let dry_grams = dry.grams();
        let water_millilitres = dry_grams / 1000.0 * water.millilitres_per_kg;
        let volume = |grain: f64| water_millilitres + dry_grams / grain;
        let density = |grain: f64| (dry_grams + water_millilitres) / volume(grain);
        let (grain, band) = powder_density;
        Slop {
            dry_grams,
            water_millilitres,
            volume_millilitres: Banded {
                value: volume(grain),
                low: volume(grain + band),
                high: volume(grain - band),
            },
            density: Banded {
                value: density(grain),
                low: density(grain - band),
                high: density(grain + band),
            },
            powder_density,
        }
    }

    /// A bought powder: 2.6 +/- 0.1 g/ml.
    pub fn of_powder(dry: Grams, water: WaterPerKilo) -> Slop {
        Slop::of(dry, water, POWDER_DENSITY)
    }

    /// A kilo of a glaze: its materials' densities where all are told, else 2.6 +/- 0.1 g/ml.
    pub fn of_a_kilo(water: WaterPerKilo, glaze: &Glaze) -> Slop {
        let weight: f64 = glaze.portions().map(|portion| portion.percent).sum();
        let volume: Option<f64> = glaze
            .portions()
            .map(|portion| Some(portion.percent / portion.material.density_grams_per_millilitre?))
            .sum();
        let grain = volume.map_or(POWDER_DENSITY.0, |volume| weight / volume);
        let kilo = Grams::new(1000.0).unwrap_or(Grams::TENTH);
        Slop::of(kilo, water, (grain, POWDER_DENSITY.1))
    }
}

/// A volume in cups to the quarter, `5 3/4 cups`, where it is that to 1 %.
pub fn in_cups(volume: f64, cup: Millilitres) -> Option<String> {
    let cups = volume / cup.millilitres();
    let quarters = (cups * 4.0).round();
    if !(1.0..=200.0).contains(&quarters) || (quarters / 4.0 - cups).abs() > 0.01 * cups {
        return None;
    }
    let whole = (quarters / 4.0).floor();
    let part = match (quarters - 4.0 * whole) as i64 {
        1 => "1/4",
        2 => "1/2",
        3 => "3/4",
        _ => "",
    };
    let count = match (whole as i64, part) {
        (0, part) => part.to_owned(),
        (whole, "") => whole.to_string(),
        (whole, part) => format!("{whole} {part}"),
    };
    let word = if quarters <= 4.0 { "cup" } else { "cups" };
    Some(format!("{count} {word}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_kilo_with_five_and_three_quarter_cups() {
        // 1000 / 2.6 + 1437.5 = 1822.1 ml; 2437.5 / 1822.1 = 1.3377 g/ml.
        let water = WaterPerKilo::parse("5 3/4 cups/kg", Millilitres::METRIC_CUP);
        let (Ok(water), Some(dry)) = (water, Grams::new(1000.0)) else {
            panic!("not read")
        };
        let slop = Slop::of_powder(dry, water);
        assert!((slop.volume_millilitres.value - 1822.115).abs() < 0.001);
        assert!((slop.density.value - 1.33773).abs() < 0.00001);
        assert!(slop.density.low < slop.density.value && slop.density.value < slop.density.high);
        assert!((slop.density.low - 2437.5 / 1837.5).abs() < 1e-9);
    }

    #[test]
    fn cups_are_told_in_quarters() {
        let cup = Millilitres::METRIC_CUP;
        assert_eq!(in_cups(1437.5, cup).as_deref(), Some("5 3/4 cups"));
        assert_eq!(in_cups(250.0, cup).as_deref(), Some("1 cup"));
        assert_eq!(in_cups(125.0, cup).as_deref(), Some("1/2 cup"));
        assert_eq!(in_cups(660.0, cup), None);
    }
}
