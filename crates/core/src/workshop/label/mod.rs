//! What stands on a bucket, a jar or a bag: name, firing, density, water,
//! hazards from what is in it, and that nothing here clears it for food.

mod contents;
mod kind;
mod stamp;

pub use contents::{Contents, Hazard, contents};
pub use kind::LabelKind;
pub use stamp::{Container, Stamp, parse_mark};

use std::fmt;

use crate::workshop::wetting::powder_density;
use glost_chemistry::glaze::{Atmosphere, Glaze, GlazeNotes};
use glost_chemistry::quantity::{Celsius, WaterPerKilo};
use serde::Serialize;

/// How wet the glaze should be.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Wetness {
    /// The recipe's own density in g/ml.
    Density(f64),
    /// What its water gives, in g/ml, with the band of the powder's own density.
    Water {
        /// The density.
        density: f64,
        /// For the lightest powder.
        low: f64,
        /// For the heaviest.
        high: f64,
    },
}

/// To what a glaze is fired: `cone 6`, `1060 C`, `cone 6, 1222 C`.
#[derive(Debug, Clone, PartialEq)]
pub enum FiredTo {
    /// A cone, with the peak where it is told too.
    Cone(String, Option<Celsius>),
    /// A peak alone.
    Peak(Celsius),
}

impl FiredTo {
    fn of(about: &GlazeNotes) -> Option<FiredTo> {
        match &about.cone {
            Some(cone) => Some(FiredTo::Cone(cone.clone(), about.peak)),
            None => about.peak.map(FiredTo::Peak),
        }
    }
}

impl fmt::Display for FiredTo {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            FiredTo::Cone(cone, None) => write!(f, "cone {cone}"),
            FiredTo::Cone(cone, Some(peak)) => write!(f, "cone {cone}, {:.0} C", peak.celsius()),
            FiredTo::Peak(peak) => write!(f, "{:.0} C", peak.celsius()),
        }
    }
}

/// A label.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// The studio's name; empty where it has none.
    pub studio: String,
    /// The glaze's name.
    pub glaze: String,
    /// `None` where the recipe says neither cone nor peak.
    pub firing: Option<FiredTo>,
    /// Atmosphere.
    pub atmosphere: Option<Atmosphere>,
    /// The clay it goes on.
    pub clay: Option<String>,
    /// Water for a kilo.
    pub water: Option<WaterPerKilo>,
    /// How wet it should be, where the recipe says.
    pub wetness: Option<Wetness>,
    /// What is in it that one has to know.
    pub contents: Contents,
}

impl Label {
    /// The label of a glaze in a studio of this name; empty where it has none.
    pub fn of(glaze: &Glaze, studio: &str) -> Label {
        let about = &glaze.about;
        let density = about.density_grams_per_millilitre.map(Wetness::Density);
        let by_water = || about.water.map(|water| of_water(water, glaze));
        Label {
            studio: studio.to_owned(),
            glaze: glaze.name.clone(),
            firing: FiredTo::of(about),
            atmosphere: about.atmosphere,
            clay: about.clay.clone(),
            water: about.water,
            wetness: density.or_else(by_water),
            contents: contents(glaze),
        }
    }
}

impl Label {
    /// The label of pieces with another glaze over this one: what harms is of both, and no
    /// bucket holds the two.
    #[must_use]
    pub fn under(self, over: &Label) -> Label {
        Label {
            glaze: format!("{} over {}", over.glaze, self.glaze),
            water: None,
            wetness: None,
            contents: self.contents.and(&over.contents),
            ..self
        }
    }
}

/// A kilo of powder in its water: volumes add up, a millilitre of water weighs
/// a gram (Brongniart's relation).
fn of_water(water: WaterPerKilo, glaze: &Glaze) -> Wetness {
    let (powder, _) = powder_density(glaze);
    let water = water.millilitres_per_kg;
    let density = |grain: f64| (1000.0 + water) / (1000.0 / grain + water);
    Wetness::Water {
        density: density(powder.value()),
        low: density(powder.value() - powder.plus_minus()),
        high: density(powder.value() + powder.plus_minus()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workshop::bench::{glaze, near};

    /// A kilo of silica (2.65 g/ml) in 900 ml: 1900 g in 1000 / 2.65 + 900 ml.
    #[test]
    fn a_label_says_how_wet_by_density_or_by_water() {
        let by_water = Label::of(
            &glaze("parts: { silica: 1 }\nwater: 0.9 l/kg\ncone: 6\npeak: 1222 C\nclay: buff"),
            "Kiln Lane",
        );
        let Some(Wetness::Water { density, low, high }) = by_water.wetness else {
            panic!("{by_water:?}");
        };
        let at = |grain: f64| 1900.0 / (1000.0 / grain + 900.0);
        near(density, at(2.65), "density");
        near(low, at(2.55), "lightest");
        near(high, at(2.75), "heaviest");
        assert_eq!(
            (
                by_water.firing.as_ref().map(ToString::to_string).as_deref(),
                by_water.clay.as_deref()
            ),
            (Some("cone 6, 1222 C"), Some("buff"))
        );
        assert_eq!((by_water.studio.as_str(), by_water.glaze.as_str()), ("Kiln Lane", "A"));
        let own = Label::of(&glaze("parts: { silica: 1 }\nwater: 0.9 l/kg\ndensity: 1.45"), "");
        assert_eq!((own.wetness, own.firing.as_ref()), (Some(Wetness::Density(1.45)), None));
        let under = own.clone().under(&by_water);
        assert_eq!(
            (under.glaze.as_str(), under.wetness, under.water),
            ("A over A", None, None)
        );
        assert!(under.contents.is_silica_dust());
    }
}
