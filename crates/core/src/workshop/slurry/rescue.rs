//! A bucket with too much or too little of one material: what brings it back.

use super::survey::Survey;

/// What is known of the material that went wrong.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Held {
    /// Grams of it in the bucket as surveyed, part of its dry powder.
    pub grams: f64,
    /// What there should be, per cent of the base it is counted on.
    pub wanted_percent: f64,
    /// Share of the other powder that is base, 0 to 1 (less than 1 where other
    /// additions are in).
    pub base_share: f64,
}

/// What is in the bucket and what brings it back.
#[derive(Debug, Clone, PartialEq)]
pub struct Rescue {
    /// Per cent of the base that it is now.
    pub percent: f64,
    /// All powder but this material, in grams.
    pub other_grams: f64,
    /// Grams of it to add, where there is too little.
    pub add_grams: f64,
    /// Grams of everything else to add, where there is too much.
    pub others_to_add_grams: f64,
    /// Water to add with that, at the bucket's own water to powder, in millilitres.
    pub water_to_add_millilitres: f64,
    /// Volume then, in millilitres.
    pub volume_millilitres: f64,
}

/// Brings one material back to its share. `None` where the material is more than
/// all the powder there is, or a figure is no share.
///
/// `powder_density` in g/ml, of what is added.
pub fn rescue(survey: &Survey, held: Held, powder_density: f64) -> Option<Rescue> {
    let other_grams = survey.dry_grams - held.grams;
    let usable = held.grams >= 0.0 && other_grams > 0.0 && held.wanted_percent > 0.0 && held.base_share > 0.0;
    if !usable {
        return None;
    }
    let base = other_grams * held.base_share;
    let percent = 100.0 * held.grams / base;
    let wanted_base = held.grams / (held.wanted_percent / 100.0);
    let others_to_add_grams = ((wanted_base - base) / held.base_share).max(0.0);
    let add_grams = (held.wanted_percent / 100.0 * base - held.grams).max(0.0);
    let water_to_add_millilitres = others_to_add_grams * survey.water_grams() / survey.dry_grams;
    Some(Rescue {
        percent,
        other_grams,
        add_grams,
        others_to_add_grams,
        water_to_add_millilitres,
        volume_millilitres: survey.volume_millilitres
            + water_to_add_millilitres
            + (others_to_add_grams + add_grams) / powder_density,
    })
}
