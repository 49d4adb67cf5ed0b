//! A wet bucket by hand: the jar, the powder by Brongniart, what goes in, the water.

use glost_core::workshop::slurry::{
    Amount, Bucket, DoseAmount, DoseSum, Held, Rescue, Sums, Survey, Thickness, ToItsOwn,
};

use super::{Line, Step, Sum};

/// A material that went wrong and what brings it back.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Mended<'a> {
    pub(crate) material: &'a str,
    pub(crate) held: &'a Held,
    pub(crate) rescued: &'a Rescue,
}

/// A bucket as it was surveyed.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Surveyed<'a> {
    pub(crate) buckets: &'a [Bucket],
    /// The powder's own density, g/ml.
    pub(crate) powder: f64,
    pub(crate) sums: &'a Sums,
    /// The density to reach, g/ml.
    pub(crate) aim: Option<f64>,
    pub(crate) own: Option<ToItsOwn>,
    /// A material that went wrong and what brings it back.
    pub(crate) mending: Option<Mended<'a>>,
}

/// The sum of a bucket.
pub(crate) fn of_bucket(surveyed: Surveyed<'_>) -> Vec<Line> {
    let (sums, survey) = (surveyed.sums, &surveyed.sums.survey);
    let mut lines = contents(surveyed);
    lines.push(Line::new(
        Step::WaterIn,
        Sum::Number(survey.slurry_grams).less(survey.dry_grams),
        survey.water_grams(),
    ));
    lines.extend(sums.doses.iter().map(|dose| of_dose(dose, survey.dry_grams)));
    lines.extend(then(surveyed));
    lines.extend(
        surveyed
            .own
            .map_or_else(Vec::new, |own| to_its_own(survey, surveyed.powder, own)),
    );
    let mending = surveyed.mending.map(|mending| brought_back(survey, mending));
    lines.extend(mending.into_iter().flatten());
    lines
}

/// Jar, slurry and powder of each bucket, and of all together.
fn contents(surveyed: Surveyed<'_>) -> Vec<Line> {
    let powder = surveyed.powder;
    let mut lines = Vec::new();
    let mut all: [Vec<f64>; 3] = Default::default();
    for (index, bucket) in surveyed.buckets.iter().enumerate() {
        let number = index + 1;
        let jar = Line::between(
            Step::JarDensity { bucket: number },
            Sum::Number(bucket.jar.weight.grams()).over(bucket.jar.volume.millilitres()),
        );
        let density = jar.value;
        lines.push(jar);
        let (grams, millilitres) = match bucket.amount {
            Amount::Weighed(weight) => {
                let step = Step::SlurryVolume { bucket: number };
                let volume = Line::between(step, Sum::Number(weight.grams()).over(density));
                let fills = volume.value;
                lines.push(volume);
                (weight.grams(), fills)
            }
            Amount::Measured(volume) => {
                let step = Step::SlurryWeight { bucket: number };
                let weight = Line::between(step, Sum::times([volume.millilitres(), density]));
                let weighs = weight.value;
                lines.push(weight);
                (weighs, volume.millilitres())
            }
        };
        let dry = Line::between(
            Step::PowderIn { bucket: number },
            Sum::Number(grams)
                .less(millilitres)
                .by(powder)
                .over(Sum::Number(powder).less(1.0)),
        );
        for (sum, own) in all.iter_mut().zip([grams, millilitres, dry.value]) {
            sum.push(own);
        }
        lines.push(dry);
    }
    let survey = &surveyed.sums.survey;
    if surveyed.buckets.len() > 1 {
        let [grams, millilitres, dry] = all;
        lines.extend([
            Line::new(Step::SlurryInAll, Sum::plus(grams), survey.slurry_grams),
            Line::new(Step::VolumeInAll, Sum::plus(millilitres), survey.volume_millilitres),
            Line::new(Step::PowderInAll, Sum::plus(dry), survey.dry_grams),
        ]);
    } else if let Some(last) = lines.last_mut() {
        last.value = survey.dry_grams;
    }
    lines
}

/// Grams of a dose, or the per cent that its grams are.
fn of_dose(dose: &DoseSum, dry_grams: f64) -> Line {
    let material = dose.material.clone();
    if matches!(dose.asked, DoseAmount::Percent(_)) {
        let sum = Sum::Number(dose.percent).over(100.0).by(dry_grams);
        Line::new(Step::Dose { material }, sum, dose.grams)
    } else {
        let sum = Sum::times([100.0, dose.grams]).over(dry_grams);
        Line::new(Step::DosePercent { material }, sum, dose.percent)
    }
}

/// With what is added, and the water to the density that is asked for.
fn then(surveyed: Surveyed<'_>) -> Vec<Line> {
    let (sums, survey) = (surveyed.sums, &surveyed.sums.survey);
    if sums.doses.is_empty() && surveyed.aim.is_none() {
        return Vec::new();
    }
    let mut lines = Vec::new();
    let (mut grams, mut millilitres) = (survey.slurry_grams, survey.volume_millilitres);
    if !sums.doses.is_empty() {
        let of = |dose: &DoseSum| Sum::Number(dose.grams).over(dose.grams_per_millilitre(surveyed.powder));
        let weights = sums.doses.iter().map(|dose| dose.grams);
        let weight = Line::between(Step::WeightThen, Sum::plus(std::iter::once(grams).chain(weights)));
        let volumes = sums.doses.iter().map(of);
        let fills = std::iter::once(Sum::Number(millilitres)).chain(volumes);
        let volume = Line::between(Step::VolumeThen, Sum::plus(fills));
        (grams, millilitres) = (weight.value, volume.value);
        lines.extend([weight, volume]);
    }
    let water = match surveyed.aim {
        Some(aim) => {
            let added = sums.water_to_add_millilitres.unwrap_or(0.0) - sums.water_to_remove_millilitres.unwrap_or(0.0);
            lines.push(water_to(grams, millilitres, aim, added));
            added
        }
        None => sums.new_pre_wet_millilitres,
    };
    let sum = Sum::plus([grams, water]).over(Sum::plus([millilitres, water]));
    lines.push(Line::new(Step::DensityThen, sum, sums.new_density));
    lines
}

fn water_to(grams: f64, millilitres: f64, aim: f64, value: f64) -> Line {
    let sum = Sum::Number(grams)
        .less(Sum::times([aim, millilitres]))
        .over(Sum::Number(aim).less(1.0));
    Line::new(Step::WaterToDensity, sum, value)
}

/// Water or powder that brings the bucket to its own density.
fn to_its_own(survey: &Survey, powder: f64, own: ToItsOwn) -> Vec<Line> {
    let aim = own.own_density;
    let water = own.water_to_add_millilitres - own.water_to_remove_millilitres;
    match own.state {
        Thickness::Right => Vec::new(),
        Thickness::TooThick => vec![water_to(survey.slurry_grams, survey.volume_millilitres, aim, water)],
        Thickness::TooThin => {
            let sum = Sum::Number(survey.water_grams())
                .by(Sum::Number(aim).less(1.0))
                .over(Sum::Number(1.0).less(Sum::Number(aim).over(powder)));
            let all = Line::between(Step::PowderForItsWater, sum);
            let more = Sum::Number(all.value).less(survey.dry_grams);
            vec![
                all,
                Line::new(Step::PowderToAdd, more, own.powder_to_add_grams),
                water_to(survey.slurry_grams, survey.volume_millilitres, aim, water),
            ]
        }
    }
}

/// What brings a mis-dosed bucket back.
fn brought_back(survey: &Survey, mending: Mended<'_>) -> Vec<Line> {
    let (held, rescued) = (mending.held, mending.rescued);
    let material = || mending.material.to_owned();
    let others = Line::new(
        Step::OtherPowder,
        Sum::Number(survey.dry_grams).less(held.grams),
        rescued.other_grams,
    );
    let base = Line::between(Step::BaseInIt, Sum::times([rescued.other_grams, held.base_share]));
    let (in_it, share) = (base.value, held.base_share);
    let now = Line::new(
        Step::ShareNow { material: material() },
        Sum::times([100.0, held.grams]).over(in_it),
        rescued.percent,
    );
    let mut lines = vec![others, base, now];
    let wanted = Sum::Number(held.wanted_percent).over(100.0);
    if rescued.others_to_add_grams > 0.0 {
        let right = Line::between(
            Step::BaseForIt { material: material() },
            Sum::times([100.0, held.grams]).over(held.wanted_percent),
        );
        let more = Sum::Number(right.value).less(in_it).over(share);
        lines.extend([right, Line::new(Step::OthersToAdd, more, rescued.others_to_add_grams)]);
    } else if rescued.add_grams > 0.0 {
        let more = wanted.by(in_it).less(held.grams);
        lines.push(Line::new(
            Step::MoreOfIt { material: material() },
            more,
            rescued.add_grams,
        ));
    }
    lines
}
