//! Whether a bucket is as thick as its owner wants it, and what brings it there.

use glost_chemistry::quantity::{GramsPerMillilitre, PowderDensity};
use serde::Serialize;

use super::survey::{JAR_READING, Survey};
use crate::workshop::wetting::densest;

/// How a bucket is against the density that it should have.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Thickness {
    /// Too much powder for its water.
    TooThick,
    /// Too little.
    TooThin,
    /// As it should be, as near as a jar tells.
    Right,
}

/// What brings a bucket to its own density: one of the three.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ToItsOwn {
    /// The density that it should have, g/ml.
    pub own_density: f64,
    /// How it is.
    pub state: Thickness,
    /// Water to add.
    pub water_to_add_millilitres: f64,
    /// Or clear water to take off.
    pub water_to_remove_millilitres: f64,
    /// Or powder of its own to add.
    pub powder_to_add_grams: f64,
}

/// What brings a bucket to a density; `None` where this powder can't be brought there.
///
/// Volumes add up, a millilitre of water weighs a gram (Brongniart): with slurry of S grams in
/// V ml, water to add is (S - aim V) / (aim - 1); with W grams of water, powder of grain
/// density D to have in all is W (aim - 1) / (1 - aim / D).
pub fn to_its_own(survey: &Survey, powder: PowderDensity, own: GramsPerMillilitre) -> Option<ToItsOwn> {
    let aim = own.grams_per_millilitre();
    if aim <= 1.0 || aim > densest(powder) {
        return None;
    }
    let water = (survey.slurry_grams - aim * survey.volume_millilitres) / (aim - 1.0);
    let dry = survey.water_grams() * (aim - 1.0) / (1.0 - aim / powder.value());
    let state = match survey.density - aim {
        off if off.abs() <= JAR_READING * aim => Thickness::Right,
        off if off > 0.0 => Thickness::TooThick,
        _ => Thickness::TooThin,
    };
    let only = |when: Thickness, amount: f64| if state == when { amount.max(0.0) } else { 0.0 };
    Some(ToItsOwn {
        own_density: aim,
        state,
        water_to_add_millilitres: only(Thickness::TooThick, water),
        water_to_remove_millilitres: only(Thickness::TooThin, -water),
        powder_to_add_grams: only(Thickness::TooThin, dry - survey.dry_grams),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workshop::slurry::{Amount, Bucket, Jar, survey};
    use glost_chemistry::quantity::{Grams, Millilitres};

    fn at(density: f64, litres: f64) -> Survey {
        let grams = Grams::new(1000.0 * density).unwrap_or_else(|| panic!("no weight"));
        let millilitres = |amount: f64| Millilitres::new(amount).unwrap_or_else(|| panic!("no volume"));
        let bucket = Bucket {
            jar: Jar {
                volume: millilitres(1000.0),
                weight: grams,
            },
            amount: Amount::Measured(millilitres(1000.0 * litres)),
        };
        survey(&[bucket], PowderDensity::UNKNOWN).unwrap_or_else(|why| panic!("{why:?}"))
    }

    fn own(density: f64) -> GramsPerMillilitre {
        GramsPerMillilitre::new(density).unwrap_or_else(|| panic!("no density"))
    }

    /// 3.74 l at 1.44 g/ml hold 5385.6 g: 1.10 l of water make 4.84 l at 1.34 (6485.6 / 4840).
    #[test]
    fn too_thick_takes_water() {
        let said = to_its_own(&at(1.44, 3.74), PowderDensity::UNKNOWN, own(1.34)).unwrap_or_else(|| panic!("none"));
        assert_eq!(said.state, Thickness::TooThick);
        assert!((said.water_to_add_millilitres - 1100.0).abs() < 0.1, "{said:?}");
        assert_eq!((said.water_to_remove_millilitres, said.powder_to_add_grams), (0.0, 0.0));
    }

    /// What is added or taken off brings it there, by the survey itself.
    #[test]
    fn too_thin_takes_powder_or_gives_water() {
        let (thin, powder) = (at(1.30, 5.0), PowderDensity::UNKNOWN);
        let said = to_its_own(&thin, powder, own(1.45)).unwrap_or_else(|| panic!("none"));
        assert_eq!(said.state, Thickness::TooThin);
        let grams = thin.slurry_grams + said.powder_to_add_grams;
        let millilitres = thin.volume_millilitres + said.powder_to_add_grams / powder.value();
        assert!((grams / millilitres - 1.45).abs() < 1e-9);
        let off = said.water_to_remove_millilitres;
        let left = (thin.slurry_grams - off) / (thin.volume_millilitres - off);
        assert!((left - 1.45).abs() < 1e-9);
        let right = to_its_own(&at(1.445, 5.0), powder, own(1.45)).map(|said| said.state);
        assert_eq!(right, Some(Thickness::Right));
        assert_eq!(to_its_own(&thin, powder, own(2.9)), None);
    }

    /// A jar is read to 1 %: 1.45 g/ml can't be told from 1.436 or 1.464.
    #[test]
    fn what_is_near_enough_stays_as_it_is() {
        let state = |density: f64| to_its_own(&at(density, 5.0), PowderDensity::UNKNOWN, own(1.45)).unwrap();
        assert_eq!(
            (state(1.465).state, state(1.435).state),
            (Thickness::TooThick, Thickness::TooThin)
        );
        assert_eq!(state(1.464).state, Thickness::Right);
        let right = state(1.436);
        let amounts = [
            right.water_to_add_millilitres,
            right.water_to_remove_millilitres,
            right.powder_to_add_grams,
        ];
        assert_eq!(
            (right.state, amounts, right.own_density),
            (Thickness::Right, [0.0; 3], 1.45)
        );
        assert_eq!(to_its_own(&at(1.45, 5.0), PowderDensity::UNKNOWN, own(1.0)), None);
    }
}
