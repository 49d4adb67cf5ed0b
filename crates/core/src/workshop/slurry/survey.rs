//! How much dry powder is in a wet bucket (Brongniart), and how sure that is.

use crate::workshop::wetting::densest;
use glost_chemistry::quantity::{Grams, GramsPerMillilitre, Millilitres, PowderDensity};

/// The jar is read to 1 %.
pub(super) const JAR_READING: f64 = 0.01;

/// A weighed jar of slurry, its own weight taken off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Jar {
    /// What it was filled to.
    pub volume: Millilitres,
    /// What the slurry in it weighs.
    pub weight: Grams,
}

impl Jar {
    /// The slurry's density in g/ml; `None` for an empty jar.
    pub fn density(&self) -> Option<GramsPerMillilitre> {
        GramsPerMillilitre::new(self.weight.grams() / self.volume.millilitres())
    }
}

/// How much slurry there is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Amount {
    /// By weight, the bucket's own taken off.
    Weighed(Grams),
    /// By volume.
    Measured(Millilitres),
}

/// One bucket as measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bucket {
    /// A jar of it.
    pub jar: Jar,
    /// How much of it there is.
    pub amount: Amount,
}

/// What is in the bucket, or in several poured together.
#[derive(Debug, Clone, PartialEq)]
pub struct Survey {
    /// Density of the slurry, g/ml.
    pub density: f64,
    /// Slurry in grams.
    pub slurry_grams: f64,
    /// Slurry in millilitres.
    pub volume_millilitres: f64,
    /// Dry powder in grams.
    pub dry_grams: f64,
    /// Least of it: powder density and jars at their bounds, the misses in quadrature.
    pub dry_grams_low: f64,
    /// Most of it.
    pub dry_grams_high: f64,
}

impl Survey {
    /// Water in grams, so also in millilitres.
    pub fn water_grams(&self) -> f64 {
        self.slurry_grams - self.dry_grams
    }
}

/// Why a bucket can't be surveyed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SurveyTrouble {
    /// The jar is empty.
    NothingInJar,
    /// The slurry is no heavier than water: density in g/ml.
    LighterThanWater(f64),
    /// More powder than can be stirred into water: density in g/ml, and the most
    /// that this powder can reach.
    TooDense(f64, f64),
    /// No slurry at all.
    NothingInBucket,
}

/// Dry powder in grams: W = (slurry - volume of it as water) D / (D - 1), with D
/// in g/ml (A. Brongniart; M. Cardew, Pioneer Pottery, 1969, p. 269).
pub fn dry_grams(slurry_grams: f64, volume_millilitres: f64, powder_density: f64) -> f64 {
    (slurry_grams - volume_millilitres) * powder_density / (powder_density - 1.0)
}

/// Surveys a bucket; of several, all poured together.
///
/// The powder's density and each jar's volume (read to 1 %) are put to their
/// bounds one at a time and the misses combined in quadrature.
///
/// # Errors
/// A jar of nothing, of water, or of more powder than water can carry.
pub fn survey(buckets: &[Bucket], powder: PowderDensity) -> Result<Survey, SurveyTrouble> {
    let mut total = [0.0; 3];
    for bucket in buckets {
        check(bucket, powder)?;
        let here = contents(bucket, 0.0, powder.value());
        total = [total[0] + here[0], total[1] + here[1], total[2] + here[2]];
    }
    let [slurry_grams, volume_millilitres, dry] = total;
    if slurry_grams <= 0.0 {
        return Err(SurveyTrouble::NothingInBucket);
    }
    let (mut low, mut high) = (0.0_f64, 0.0_f64);
    let mut miss = |other: f64| {
        let off = other - dry;
        if off < 0.0 { low += off * off } else { high += off * off }
    };
    for density in [
        powder.value() - powder.plus_minus(),
        powder.value() + powder.plus_minus(),
    ] {
        miss(buckets.iter().map(|bucket| contents(bucket, 0.0, density)[2]).sum());
    }
    for bucket in buckets {
        for off in [-JAR_READING, JAR_READING] {
            let read = contents(bucket, 0.0, powder.value())[2];
            miss(dry - read + contents(bucket, off, powder.value())[2]);
        }
    }
    Ok(Survey {
        density: slurry_grams / volume_millilitres,
        slurry_grams,
        volume_millilitres,
        dry_grams: dry,
        dry_grams_low: (dry - low.sqrt()).max(0.0),
        dry_grams_high: (dry + high.sqrt()).min(slurry_grams),
    })
}

/// Slurry in grams, in millilitres, and dry powder, with the jar misread by a
/// share `off` of its volume.
fn contents(bucket: &Bucket, off: f64, powder_density: f64) -> [f64; 3] {
    let density = bucket.jar.weight.grams() / (bucket.jar.volume.millilitres() * (1.0 + off));
    let (grams, millilitres) = match bucket.amount {
        Amount::Weighed(weight) => (weight.grams(), weight.grams() / density),
        Amount::Measured(volume) => (volume.millilitres() * density, volume.millilitres()),
    };
    [grams, millilitres, dry_grams(grams, millilitres, powder_density)]
}

fn check(bucket: &Bucket, powder: PowderDensity) -> Result<(), SurveyTrouble> {
    let density = bucket
        .jar
        .density()
        .ok_or(SurveyTrouble::NothingInJar)?
        .grams_per_millilitre();
    if density <= 1.0 {
        return Err(SurveyTrouble::LighterThanWater(density));
    }
    let most = densest(powder);
    if density > most {
        return Err(SurveyTrouble::TooDense(density, most));
    }
    Ok(())
}

#[cfg(test)]
mod tests;
