//! A firing beside what its glazes' own files say: cones and atmosphere.

use glost_chemistry::glaze::Atmosphere;
use glost_chemistry::quantity::Cone;

use super::KilnSaid;
use super::put::Found;

/// A glaze so many cones above its own may run off (common practice, no source).
const RUNS_FROM_CONES: f64 = 1.0;

/// Each glaze once, with what its file says of something.
fn said_by<'a, T: Ord>(found: &'a [Found], of: impl Fn(&'a Found) -> Option<T>) -> Vec<(String, T)> {
    let mut said: Vec<(String, T)> = found
        .iter()
        .filter_map(|one| Some((one.name.clone(), of(one)?)))
        .collect();
    said.sort();
    said.dedup();
    said
}

/// The atmosphere that all glazes' files say which say any.
pub(super) fn atmosphere_of(found: &[Found]) -> Option<Atmosphere> {
    let mut said = found.iter().filter_map(|one| one.atmosphere);
    let first = said.next()?;
    said.all(|other| other == first).then_some(first)
}

/// Whether it counts as a firing in reduction: as the call says, else where any file says so.
pub(super) fn is_reduced(found: &[Found], atmosphere: Option<Atmosphere>) -> bool {
    let reduced = |one: &Found| atmosphere.or(one.atmosphere) == Some(Atmosphere::Reduction);
    found.iter().any(reduced)
}

/// What may go wrong with the glazes of a load in this firing.
pub(super) fn beside_glazes(found: &[Found], cone: Option<&str>, atmosphere: Option<Atmosphere>) -> Vec<KilnSaid> {
    let own = |one: &Found| one.cone.as_deref().and_then(|cone| Cone::parse(cone).ok());
    let cones = said_by(found, |one| own(one).map(|cone| cone.name().to_owned()));
    let meant = cone.and_then(|cone| Cone::parse(cone).ok());
    let mut said = Vec::new();
    if let Some(meant) = meant {
        let hotter = |(_, cone): &(String, String), by: &dyn Fn(f64) -> bool| {
            Cone::parse(cone).is_ok_and(|own| by(meant.steps_above(own)))
        };
        let all_of = |by: &dyn Fn(f64) -> bool| -> Vec<(String, String)> {
            cones.iter().filter(|one| hotter(one, by)).cloned().collect()
        };
        let runs = all_of(&|steps| steps >= RUNS_FROM_CONES);
        let stays = all_of(&|steps| steps <= -RUNS_FROM_CONES);
        let cone = meant.name().to_owned();
        if !runs.is_empty() {
            said.push(KilnSaid::RunsOff {
                cone: cone.clone(),
                glazes: runs,
            });
        }
        if !stays.is_empty() {
            said.push(KilnSaid::StaysDry { cone, glazes: stays });
        }
    }
    let mut all: Vec<Cone> = cones.iter().filter_map(|(_, cone)| Cone::parse(cone).ok()).collect();
    all.sort();
    if let (None, Some(coolest), Some(hottest)) = (meant, all.first(), all.last())
        && hottest.steps_above(*coolest) >= RUNS_FROM_CONES
    {
        said.push(KilnSaid::ConesApart { glazes: cones });
    }
    let atmospheres = said_by(found, |one| one.atmosphere);
    let others: Vec<(String, Atmosphere)> = match atmosphere {
        Some(said) => atmospheres.into_iter().filter(|(_, other)| *other != said).collect(),
        None => atmospheres,
    };
    let disagree = others.windows(2).any(|pair| pair[0].1 != pair[1].1);
    if (atmosphere.is_some() && !others.is_empty()) || disagree {
        said.push(KilnSaid::OtherAtmosphere {
            fired: atmosphere,
            glazes: others,
        });
    }
    said
}
