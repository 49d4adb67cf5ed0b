//! The stress in a glaze on a clay whose expansion was measured.
//!
//! A printed or unknown expansion gives none: quartz and cristobalite make a guess worthless.
//! And no stress is a verdict: pieces on the clay decide.

use glost_chemistry::glass::{
    Coat, CurvePoint, DilatometerCurve, Estimate, Expansion, ExpansionModel, FIRED_GLAZE_PLUS_MINUS_90, FitStress,
    FitStressInputs, GLASS_POISSON_RATIO, GlassProperty, Layer, Shrinkage, coat_stress_megapascals,
    set_temperature_celsius,
};
use glost_chemistry::glaze::Use;
use glost_chemistry::oxides::OxideMoles;

use super::clay::Clay;
use super::expansion::{ClayExpansion, QUARTZ_INVERSION_CELSIUS};
use super::said::StressSaid;

/// Room temperature, deg C.
const ROOM_CELSIUS: f64 = 20.0;
/// A dilatometer's mean, 90 %, 1e-6/K (common practice, no source).
const MEASURED_MEAN_PLUS_MINUS: f64 = 0.2;
/// The same as a change of length between room and set temperature, per cent.
const MEASURED_PERCENT_PLUS_MINUS: f64 = 0.012;
/// A table that ends below this, deg C, doesn't tell how the clay shrinks from where glaze sets.
const TABLE_REACHES_CELSIUS: f64 = 400.0;
/// A table may begin this warm, deg C, and still be of room temperature.
const TABLE_STARTS_CELSIUS: f64 = 50.0;
/// Poisson's ratio of fired clay (an assumption).
const CLAY_POISSON_RATIO: Estimate = Estimate::new(0.20, 0.03);
/// A coat of fired glaze, mm: tile makers' 0.1 to 0.3 (practice).
const COAT_MILLIMETRES: Estimate = Estimate::new(0.2, 0.1);
/// A wall, mm (an assumption).
const WALL_MILLIMETRES: Estimate = Estimate::new(5.0, 1.5);
/// A stated modulus of clay is taken to be right to this share.
const STATED_MODULUS_SHARE: f64 = 0.1;

/// Young's modulus of fired bodies in GPa by absorption up to so many wt %: porcelain and
/// porcelain tile 60-80, stoneware 40-65, earthenwares 10-55 (handbooks of whitewares, from
/// memory: ranges, not digits).
const MODULUS_BY_ABSORPTION: [(f64, Estimate); 3] = [
    (0.5, Estimate::new(70.0, 10.0)),
    (5.0, Estimate::new(52.5, 12.5)),
    (f64::INFINITY, Estimate::new(32.5, 22.5)),
];
/// Where not even the absorption is known.
const MODULUS_UNKNOWN: Estimate = Estimate::new(45.0, 35.0);

/// How a glaze is stressed on a clay at room temperature.
#[derive(Debug, Clone, PartialEq)]
pub struct GlazeStress {
    /// The coat that the clay's use suggests: one side for tile, else both.
    pub usual: Coat,
    /// Glazed on both sides, so that nothing bends.
    pub both_sides: FitStress,
    /// Glazed on one side and free to bend.
    pub one_side: FitStress,
    /// So thin that the clay gives nothing: the most it can be.
    pub thin: FitStress,
    /// 90 % half-widths, MPa, for the usual coat of a fired glaze, which differs from a glass
    /// of its recipe: from careful to very careful.
    pub fired_glaze_plus_minus: (f64, f64),
    /// The glaze's expansion.
    pub glaze_expansion: Expansion,
    /// The clay's expansion.
    pub clay_expansion: ClayExpansion,
    /// Where the glaze sets, deg C.
    pub set_celsius: Estimate,
    /// The glaze's Young's modulus, GPa.
    pub glaze_modulus_gigapascals: Estimate,
    /// The clay's Young's modulus, GPa.
    pub clay_modulus_gigapascals: Estimate,
    /// While it cools: deg C and MPa in the usual coat, from where it sets to room
    /// temperature; only from a dilatometer's table.
    pub cooling: Vec<(f64, f64)>,
    /// What it takes for granted.
    pub assumptions: Vec<StressSaid>,
}

impl GlazeStress {
    /// The stress in the usual coat.
    pub fn stress(&self) -> &FitStress {
        match self.usual {
            Coat::OneSide => &self.one_side,
            Coat::BothSides => &self.both_sides,
            Coat::Thin => &self.thin,
        }
    }
}

/// The stress of a glaze, by its fired chemistry, on a clay. `None` where the clay's expansion
/// wasn't measured, its table doesn't reach from room temperature to 400 C, or the models know
/// none of the glaze's oxides.
pub fn stress_on(glaze: &OxideMoles, clay: &Clay) -> Option<GlazeStress> {
    let clay_expansion = clay.expansion_20_400().filter(|expansion| expansion.measured)?;
    let glaze_expansion = ExpansionModel::default().predict(glaze)?;
    let set = set_temperature_celsius(GlassProperty::TransitionTemperature.predict(glaze)?.estimate);
    let modulus = GlassProperty::YoungsModulus.predict(glaze)?.estimate;
    let model = glaze_expansion.assumptions.iter().cloned();
    let mut assumptions: Vec<StressSaid> = model.map(StressSaid::Model).collect();
    let clay_modulus = clay_modulus(clay, &mut assumptions);
    let (shrinkage, room) = clay_shrinkage(clay, &clay_expansion, set, &mut assumptions)?;
    let own_band = glaze_expansion.plus_minus_90;
    let inputs = |coat, band| FitStressInputs {
        glaze: Shrinkage::Mean(Estimate::new(glaze_expansion.value_per_million_per_kelvin, band)),
        clay: shrinkage.clone(),
        set_celsius: set,
        room_celsius: room,
        glaze_modulus_gigapascals: modulus,
        clay_modulus_gigapascals: clay_modulus,
        glaze_poisson_ratio: GLASS_POISSON_RATIO,
        clay_poisson_ratio: CLAY_POISSON_RATIO,
        glaze_millimetres: COAT_MILLIMETRES,
        clay_millimetres: WALL_MILLIMETRES,
        coat,
    };
    let tile = matches!(clay.usage, Some(Use::WallTile | Use::Floor));
    let usual = if tile { Coat::OneSide } else { Coat::BothSides };
    assumptions.push(StressSaid::Coat {
        glaze_mm: COAT_MILLIMETRES.value,
        wall_mm: WALL_MILLIMETRES.value,
        set_celsius: set.value,
    });
    let fired = |band: f64| Some(inputs(usual, band.max(own_band)).stress()?.megapascals.plus_minus_90);
    let (careful, very_careful) = FIRED_GLAZE_PLUS_MINUS_90;
    Some(GlazeStress {
        usual,
        both_sides: inputs(Coat::BothSides, own_band).stress()?,
        one_side: inputs(Coat::OneSide, own_band).stress()?,
        thin: inputs(Coat::Thin, own_band).stress()?,
        fired_glaze_plus_minus: (fired(careful)?, fired(very_careful)?),
        cooling: cooling(&inputs(usual, own_band)),
        glaze_expansion,
        clay_expansion,
        set_celsius: set,
        glaze_modulus_gigapascals: modulus,
        clay_modulus_gigapascals: clay_modulus,
        assumptions,
    })
}

fn clay_modulus(clay: &Clay, assumptions: &mut Vec<StressSaid>) -> Estimate {
    if let Some(stated) = clay.modulus {
        let value = stated.gigapascals();
        return Estimate::new(value, STATED_MODULUS_SHARE * value);
    }
    let assumed = clay.absorption().map_or(MODULUS_UNKNOWN, |percent| {
        let fitting = MODULUS_BY_ABSORPTION.into_iter().find(|(most, _)| percent <= *most);
        fitting.map_or(MODULUS_UNKNOWN, |(_, modulus)| modulus)
    });
    assumptions.push(StressSaid::Stiffness(assumed.low(), assumed.high()));
    assumed
}

/// How the clay shrinks, and the room temperature to count to.
fn clay_shrinkage(
    clay: &Clay,
    expansion: &ClayExpansion,
    set: Estimate,
    assumptions: &mut Vec<StressSaid>,
) -> Option<(Shrinkage, f64)> {
    let Some(curve) = &clay.dilatometer else {
        if expansion.misses_quartz() && set.high() > QUARTZ_INVERSION_CELSIUS {
            assumptions.push(StressSaid::BeyondQuartz {
                range: expansion.given_over_celsius,
                set_celsius: set.value,
                quartz_celsius: QUARTZ_INVERSION_CELSIUS,
            });
        }
        let mean = Estimate::new(expansion.per_million_per_kelvin, MEASURED_MEAN_PLUS_MINUS);
        return Some((Shrinkage::Mean(mean), ROOM_CELSIUS));
    };
    let (first, last) = (curve.points().first()?.celsius, curve.points().last()?.celsius);
    if first > TABLE_STARTS_CELSIUS || last < TABLE_REACHES_CELSIUS {
        return None;
    }
    let room = first.max(ROOM_CELSIUS);
    if last >= set.value {
        return Some((
            Shrinkage::Curve {
                curve: curve.clone(),
                plus_minus_90: MEASURED_PERCENT_PLUS_MINUS,
            },
            room,
        ));
    }
    assumptions.push(StressSaid::TableEnds {
        last_celsius: last,
        set_celsius: set.value,
    });
    let percent = curve.percent_at(last)? - curve.percent_at(room)?;
    Some((
        Shrinkage::Percent {
            percent: Estimate::new(percent, MEASURED_PERCENT_PLUS_MINUS),
            from_celsius: last,
        },
        room,
    ))
}

/// The stress while it cools, at the points of the clay's table below where the glaze sets.
fn cooling(inputs: &FitStressInputs) -> Vec<(f64, f64)> {
    let (Shrinkage::Mean(glaze), Shrinkage::Curve { curve, .. }) = (&inputs.glaze, &inputs.clay) else {
        return Vec::new();
    };
    let set = inputs.set_celsius.value;
    let layers = (
        Layer {
            modulus_gigapascals: inputs.glaze_modulus_gigapascals.value,
            poisson_ratio: inputs.glaze_poisson_ratio.value,
            thickness_millimetres: inputs.glaze_millimetres.value,
        },
        Layer {
            modulus_gigapascals: inputs.clay_modulus_gigapascals.value,
            poisson_ratio: inputs.clay_poisson_ratio.value,
            thickness_millimetres: inputs.clay_millimetres.value,
        },
    );
    let at = |celsius: f64| {
        let clay = (curve.percent_at(set)? - curve.percent_at(celsius)?) / 100.0;
        let misfit = 1e-6 * glaze.value * (set - celsius) - clay;
        Some((
            celsius,
            coat_stress_megapascals(inputs.coat, &layers.0, &layers.1, misfit)?,
        ))
    };
    let below = points_between(curve, inputs.room_celsius, set);
    std::iter::once(set)
        .chain(below)
        .chain(std::iter::once(inputs.room_celsius))
        .filter_map(at)
        .collect()
}

/// The temperatures of a table strictly between two, hottest first.
fn points_between(curve: &DilatometerCurve, low: f64, high: f64) -> Vec<f64> {
    let inside = |point: &&CurvePoint| point.celsius > low && point.celsius < high;
    curve
        .points()
        .iter()
        .rev()
        .filter(inside)
        .map(|point| point.celsius)
        .collect()
}
