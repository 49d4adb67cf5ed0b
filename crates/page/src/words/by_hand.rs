//! What each line of a sum works out, in a few words.

use glost_desk::by_hand::Step;

/// The words before a sum, with the unit it ends in.
pub(crate) fn step(step: &Step) -> String {
    let plain = |words: &str| words.to_owned();
    match step {
        Step::PowderPerBase => plain("powder to 1 g of base, g"),
        Step::WaterPerGramByDensity | Step::WaterPerGram => plain("water to 1 g of powder, ml"),
        Step::BaseOfBucket => plain("base that fills it, g"),
        Step::Material { material } => format!("{material}, g"),
        Step::AllPowder => plain("all powder, g"),
        Step::Water => plain("water, ml"),
        Step::FirstWater => plain("of it first, ml"),
        Step::Volume => plain("it fills, ml"),
        Step::Density => plain("density, g/ml"),
        Step::Dose { material } => format!("{material}, g"),
        Step::DosePercent { material } => format!("{material}, % of the dry powder"),
        Step::WaterIn => plain("water in it, g or ml"),
        Step::WeightThen => plain("all of it then, g"),
        Step::VolumeThen => plain("it then fills, ml"),
        Step::DensityThen => plain("density then, g/ml"),
        Step::WaterToDensity => plain("water to add, ml (below 0: take off)"),
        Step::PowderForItsWater => plain("powder that its water is right for, g"),
        Step::PowderToAdd => plain("powder to add instead, g"),
        Step::OtherPowder => plain("everything else in it, g"),
        Step::BaseInIt => plain("of that counted as base, g"),
        Step::ShareNow { material } => format!("{material} now, %"),
        Step::BaseForIt { material } => format!("base that so much {material} is right for, g"),
        Step::OthersToAdd => plain("everything else to add, g"),
        Step::MoreOfIt { material } => format!("{material} to add, g"),
        bucket => of_bucket(bucket).unwrap_or_else(|| of_plan(bucket)),
    }
}

/// The lines of one of several buckets.
fn of_bucket(step: &Step) -> Option<String> {
    let of = |words: &str, bucket: usize| match bucket {
        1 => Some(words.to_owned()),
        more => Some(format!("{words} (bucket {more})")),
    };
    match step {
        Step::JarDensity { bucket } => of("jar, g/ml", *bucket),
        Step::SlurryWeight { bucket } => of("slurry, g", *bucket),
        Step::SlurryVolume { bucket } => of("slurry, ml", *bucket),
        Step::PowderIn { bucket } => of("dry powder, g", *bucket),
        Step::SlurryInAll => Some("slurry in all, g".to_owned()),
        Step::VolumeInAll => Some("slurry in all, ml".to_owned()),
        Step::PowderInAll => Some("dry powder in all, g".to_owned()),
        _ => None,
    }
}

/// The lines of a plan of tiles.
fn of_plan(step: &Step) -> String {
    match step {
        Step::PercentInTile { tile, material } => format!("{tile} {material}, %"),
        Step::GramsOfTile { tile, material } => format!("{tile} {material}, g"),
        Step::SlurryOfTile { tile, end } => format!("{tile} of end {end}, ml"),
        Step::BasePerMillilitre => "base in 1 ml of slurry, g".to_owned(),
        Step::TilesOfEnd { end } => format!("end {end}, tiles' worth"),
        Step::SlurryOfEnd { end } => format!("end {end}, slurry, ml"),
        Step::BaseOfEnd { end } => format!("end {end}, base, g"),
        Step::PowderOfEnd { end } => format!("end {end}, all powder, g"),
        Step::WaterOfEnd { end } => format!("end {end}, water, ml"),
        Step::DensityOfEnd { end } => format!("end {end}, density, g/ml"),
        Step::SlurryToSplit => "slurry of the shared base, g".to_owned(),
        Step::SplitOfEnd { end } => format!("of it into end {end}, g"),
        _ => String::new(),
    }
}
