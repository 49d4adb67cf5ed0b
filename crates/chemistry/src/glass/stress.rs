//! The stress in a glaze on its clay at room temperature, in megapascals: tension positive.
//!
//! Glaze and clay shrink together from the temperature at which the glaze sets; the glaze
//! that would be shorter is stretched (it crazes), the one that would be longer squeezed.
//! Elastic layers, each of one modulus; thin coat after G. G. Stoney, Proc. R. Soc. A 82
//! (1909) 172; the bending plate after S. Timoshenko, J. Opt. Soc. Am. 11 (1925) 233.
//! There is no stress at which every glaze crazes: a clay's own pieces teach its threshold.

use super::estimate::Estimate;
use super::shrinkage::Shrinkage;

/// Poisson's ratio of silicate glass: 0.22 +- 0.02. No model from composition beat this mean
/// on 767 glaze-like SciGlass glasses.
pub const GLASS_POISSON_RATIO: Estimate = Estimate::new(0.22, 0.02);

/// The glaze sets between its transition temperature and 30 K below, at a kiln's cooling.
const SETS_BELOW_TRANSITION: Estimate = Estimate::new(15.0, 15.0);

/// Strain times modulus in gigapascals, in megapascals.
const MEGAPASCALS_PER_GIGAPASCAL: f64 = 1000.0;

/// Where a glaze sets, deg C, from its transition temperature.
pub fn set_temperature_celsius(transition_celsius: Estimate) -> Estimate {
    Estimate::new(
        transition_celsius.value - SETS_BELOW_TRANSITION.value,
        transition_celsius
            .plus_minus_90
            .hypot(SETS_BELOW_TRANSITION.plus_minus_90),
    )
}

/// One layer of the ware.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layer {
    /// Young's modulus, GPa.
    pub modulus_gigapascals: f64,
    /// Poisson's ratio.
    pub poisson_ratio: f64,
    /// Thickness, mm.
    pub thickness_millimetres: f64,
}

impl Layer {
    /// Modulus under equal stretch in both directions, E / (1 - nu), GPa.
    fn biaxial_gigapascals(&self) -> f64 {
        self.modulus_gigapascals / (1.0 - self.poisson_ratio)
    }

    fn is_sound(&self) -> bool {
        let positive = |value: f64| value.is_finite() && value > 0.0;
        positive(self.modulus_gigapascals)
            && positive(self.thickness_millimetres)
            && (0.0..0.5).contains(&self.poisson_ratio)
    }
}

/// How the glaze lies on the clay.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Coat {
    /// So thin that the clay gives nothing; an upper limit for the others.
    Thin,
    /// On one side of a flat piece that is free to bend.
    OneSide,
    /// Equally on both sides, so that nothing bends.
    BothSides,
}

/// Mean stress in the glaze, MPa, tension positive. `misfit_strain` is by how much shorter
/// the free glaze would be than the free clay, as a share of the length. The glaze's
/// thickness is that of one coat, the clay's that of the wall. `None` where a layer has no
/// positive modulus or thickness, or a Poisson's ratio outside 0 to 0.5.
pub fn coat_stress_megapascals(coat: Coat, glaze: &Layer, clay: &Layer, misfit_strain: f64) -> Option<f64> {
    if !glaze.is_sound() || !clay.is_sound() || !misfit_strain.is_finite() {
        return None;
    }
    let (glaze_modulus, clay_modulus) = (glaze.biaxial_gigapascals(), clay.biaxial_gigapascals());
    let (coat_thick, wall) = (glaze.thickness_millimetres, clay.thickness_millimetres);
    let gigapascals = match coat {
        Coat::Thin => glaze_modulus * misfit_strain,
        Coat::BothSides => {
            let stiffness_ratio = glaze_modulus * coat_thick / (clay_modulus * wall);
            glaze_modulus * misfit_strain / (1.0 + 2.0 * stiffness_ratio)
        }
        Coat::OneSide => {
            // Force and moment balance of the two-layer plate about the interface, glaze on
            // the positive side: strain e0 + k z, plus the misfit in the glaze.
            let stretch = clay_modulus * wall + glaze_modulus * coat_thick;
            let coupling = 0.5 * (glaze_modulus * coat_thick.powi(2) - clay_modulus * wall.powi(2));
            let bending = (glaze_modulus * coat_thick.powi(3) + clay_modulus * wall.powi(3)) / 3.0;
            let force = -glaze_modulus * misfit_strain * coat_thick;
            let moment = 0.5 * force * coat_thick;
            let determinant = stretch * bending - coupling * coupling;
            let strain = (force * bending - moment * coupling) / determinant;
            let curvature = (moment * stretch - force * coupling) / determinant;
            glaze_modulus * (strain + 0.5 * curvature * coat_thick + misfit_strain)
        }
    };
    Some(gigapascals * MEGAPASCALS_PER_GIGAPASCAL)
}

/// What the stress of a glaze on a clay follows from.
#[derive(Debug, Clone, PartialEq)]
pub struct FitStressInputs {
    /// How the glaze shrinks.
    pub glaze: Shrinkage,
    /// How the clay shrinks; measured, for quartz and cristobalite make a guess worthless.
    pub clay: Shrinkage,
    /// Where the glaze sets, deg C.
    pub set_celsius: Estimate,
    /// Room temperature, deg C.
    pub room_celsius: f64,
    /// Young's modulus of the glaze, GPa.
    pub glaze_modulus_gigapascals: Estimate,
    /// Young's modulus of the clay, GPa.
    pub clay_modulus_gigapascals: Estimate,
    /// Poisson's ratio of the glaze.
    pub glaze_poisson_ratio: Estimate,
    /// Poisson's ratio of the clay.
    pub clay_poisson_ratio: Estimate,
    /// Thickness of a coat of glaze, mm.
    pub glaze_millimetres: Estimate,
    /// Thickness of the wall, mm.
    pub clay_millimetres: Estimate,
    /// How the glaze lies on it.
    pub coat: Coat,
}

/// Which way the clay pulls its glaze.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pull {
    /// Squeezed, the whole band.
    Squeezed,
    /// Stretched, the whole band.
    Stretched,
    /// The band holds both.
    Unsure,
}

/// The stress in a glaze.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FitStress {
    /// MPa, tension positive, with its 90 % half-width.
    pub megapascals: Estimate,
    /// The misfit strain, tension positive, with its 90 % half-width.
    pub misfit_strain: Estimate,
    /// In words.
    pub pull: Pull,
}

/// One of the inputs, to see what moving it does.
type Input = fn(&mut FitStressInputs) -> &mut Estimate;

impl FitStressInputs {
    fn misfit(&self) -> Option<Estimate> {
        let glaze = self.glaze.strain(self.set_celsius.value, self.room_celsius)?;
        let clay = self.clay.strain(self.set_celsius.value, self.room_celsius)?;
        let half_width = glaze.plus_minus_90.hypot(clay.plus_minus_90);
        Some(Estimate::new(glaze.value - clay.value, half_width))
    }

    fn layers(&self) -> (Layer, Layer) {
        let glaze = Layer {
            modulus_gigapascals: self.glaze_modulus_gigapascals.value,
            poisson_ratio: self.glaze_poisson_ratio.value,
            thickness_millimetres: self.glaze_millimetres.value,
        };
        let clay = Layer {
            modulus_gigapascals: self.clay_modulus_gigapascals.value,
            poisson_ratio: self.clay_poisson_ratio.value,
            thickness_millimetres: self.clay_millimetres.value,
        };
        (glaze, clay)
    }

    fn central(&self) -> Option<f64> {
        let (glaze, clay) = self.layers();
        coat_stress_megapascals(self.coat, &glaze, &clay, self.misfit()?.value)
    }

    /// The stress and its band: each input moved to its two ends alone, half the span of each
    /// combined in quadrature. An end that means nothing (a curve that ends, no thickness
    /// left) counts as far as the other one. `None` where a layer is unsound, a curve doesn't
    /// reach from room to set temperature, or neither end of an input means anything.
    pub fn stress(&self) -> Option<FitStress> {
        let central = self.central()?;
        let misfit = self.misfit()?;
        let (glaze, clay) = self.layers();
        let mut variance = {
            let per_strain = coat_stress_megapascals(self.coat, &glaze, &clay, 1.0)?;
            (per_strain * misfit.plus_minus_90).powi(2)
        };
        let uncertain: [Input; 7] = [
            |inputs| &mut inputs.set_celsius,
            |inputs| &mut inputs.glaze_modulus_gigapascals,
            |inputs| &mut inputs.clay_modulus_gigapascals,
            |inputs| &mut inputs.glaze_poisson_ratio,
            |inputs| &mut inputs.clay_poisson_ratio,
            |inputs| &mut inputs.glaze_millimetres,
            |inputs| &mut inputs.clay_millimetres,
        ];
        let mut moved = self.clone();
        for input in uncertain {
            let stated = *input(&mut moved);
            if stated.plus_minus_90 == 0.0 {
                continue;
            }
            let mut at = |value: f64| {
                input(&mut moved).value = value;
                Some(moved.central()? - central)
            };
            let ends = (at(stated.low()), at(stated.high()));
            input(&mut moved).value = stated.value;
            let span = match ends {
                (Some(down), Some(up)) => 0.5 * (up - down),
                (Some(one), None) | (None, Some(one)) => one,
                (None, None) => return None,
            };
            variance += span * span;
        }
        let megapascals = Estimate::new(central, variance.sqrt());
        let pull = if megapascals.high() < 0.0 {
            Pull::Squeezed
        } else if megapascals.low() > 0.0 {
            Pull::Stretched
        } else {
            Pull::Unsure
        };
        Some(FitStress {
            megapascals,
            misfit_strain: misfit,
            pull,
        })
    }
}
