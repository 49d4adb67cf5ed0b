//! Water to powder, as a glaze or a call says it.

use crate::workshop::hazards::locked_metal;
use glost_chemistry::glaze::Glaze;
use glost_chemistry::material::Material;
use glost_chemistry::quantity::{GramsPerMillilitre, PowderDensity, WaterPerKilo};

use super::assumption::Assumption;

/// Water to powder where neither glaze nor call says: equal weights (common
/// practice for a first try, no source).
const STARTING_WATER_GRAMS_PER_GRAM: f64 = 1.0;
/// Grains can't be packed closer than this by pouring (random close packing of
/// spheres, 0.64; from memory): anything denser is no slurry.
const CLOSEST_PACKING: f64 = 0.64;

/// How wet to make it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WaterAim {
    /// Water per dry weight, additions included.
    PerKilo(WaterPerKilo),
    /// Density of the slurry.
    Density(GramsPerMillilitre),
    /// Nobody says.
    Unsaid,
}

impl WaterAim {
    /// What is assumed where nobody says.
    pub fn assumption(self) -> Option<Assumption> {
        (self == WaterAim::Unsaid).then_some(Assumption::WaterUnsaid)
    }
}

/// Why there is no ticket.
#[derive(Debug, Clone, PartialEq)]
pub enum NoTicket {
    /// The batch is less than one step of the scales: grams of base.
    LessThanAStep(f64),
    /// More powder than a studio mixes: grams.
    TooMuch(f64),
    /// A material takes too many weighings.
    TooManyWeighings(String),
    /// The density can't be reached with this powder: the least and the most.
    Density(f64, f64),
    /// A metal whose recipes are for arithmetic only, and the material that brings it.
    Locked(&'static str, String),
    /// Nothing is in it.
    Nothing,
}

/// Millilitres of water to a gram of powder. Of density d and powder D:
/// (1 - d/D) / (d - 1).
pub fn water_per_gram(aim: WaterAim, powder: PowderDensity) -> Result<f64, NoTicket> {
    match aim {
        WaterAim::PerKilo(water) => Ok(water.millilitres_per_kg / 1000.0),
        WaterAim::Unsaid => Ok(STARTING_WATER_GRAMS_PER_GRAM),
        WaterAim::Density(aim) => {
            let aim = aim.grams_per_millilitre();
            let most = densest(powder);
            if aim <= 1.0 || aim > most {
                return Err(NoTicket::Density(1.0, most));
            }
            Ok((1.0 - aim / powder.value()) / (aim - 1.0))
        }
    }
}

/// The densest slurry that a powder can make, g/ml.
pub fn densest(powder: PowderDensity) -> f64 {
    1.0 + CLOSEST_PACKING * (powder.value() - 1.0)
}

/// What is weighed into a glaze with its shares, base = 100 and additions on top.
///
/// # Errors
/// [`NoTicket::Nothing`], or [`NoTicket::Locked`]: nothing is made of those metals.
pub fn mixable(glaze: &Glaze) -> Result<Vec<(&Material, f64)>, NoTicket> {
    let lines: Vec<(&Material, f64)> = glaze
        .portions()
        .filter(|portion| portion.percent > 0.0)
        .map(|portion| (&*portion.material, portion.percent))
        .collect();
    if lines.is_empty() {
        return Err(NoTicket::Nothing);
    }
    match locked_metal(&lines) {
        Some((metal, material)) => Err(NoTicket::Locked(metal, material.to_owned())),
        None => Ok(lines),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workshop::bench::{glaze, near};
    use glost_chemistry::quantity::Millilitres;

    /// Of density 1.45 and powder 2.6: (1 - 1.45 / 2.6) / 0.45 = 0.982906 ml to a gram. Back:
    /// (1 + 0.982906) / (1 / 2.6 + 0.982906) = 1.45.
    #[test]
    fn water_to_a_gram_makes_the_density_that_was_asked_for() {
        let powder = PowderDensity::UNKNOWN;
        let aim = |density: f64| water_per_gram(WaterAim::Density(GramsPerMillilitre::new(density).unwrap()), powder);
        let water = aim(1.45).unwrap();
        near((1.0 + water) / (1.0 / 2.6 + water), 1.45, "density");
        assert!((water - 0.982_906).abs() < 1e-6, "{water}");
        // Poured grains fill 0.64 of the room: 0.64 x 2.6 + 0.36 = 2.024 g/ml.
        near(densest(powder), 2.024, "densest");
        assert!(aim(2.02).is_ok());
        assert_eq!(
            (aim(2.03), aim(1.0)),
            (
                Err(NoTicket::Density(1.0, densest(powder))),
                Err(NoTicket::Density(1.0, densest(powder)))
            )
        );
        assert!(aim(1.001).is_ok());
        let per_kilo = WaterPerKilo::parse("0.9 l/kg", Millilitres::METRIC_CUP).unwrap();
        assert_eq!(water_per_gram(WaterAim::PerKilo(per_kilo), powder), Ok(0.9));
        assert_eq!(water_per_gram(WaterAim::Unsaid, powder), Ok(1.0));
        assert_eq!(WaterAim::Unsaid.assumption(), Some(Assumption::WaterUnsaid));
        assert_eq!(WaterAim::PerKilo(per_kilo).assumption(), None);
    }

    #[test]
    fn nothing_and_lead_are_not_mixed() {
        let names =
            |lines: &str| mixable(&glaze(lines)).map(|lines| lines.iter().map(|line| line.1).collect::<Vec<_>>());
        assert_eq!(
            names("parts: { silica: 3, whiting: 1, kaolin: 0 }\nadditions: { gum: 0, tin oxide: 2 }"),
            Ok(vec![75.0, 25.0, 2.0])
        );
        assert!(matches!(
            names("parts: { silica: 60, red lead: 40 }"),
            Err(NoTicket::Locked("lead", _))
        ));
    }
}
