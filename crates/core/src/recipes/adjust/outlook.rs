//! Whether a new recipe can be expected to melt where it is fired.
//!
//! The melt curve is of a glass of exactly that composition: it says nothing of a batch that
//! never becomes that glass, and its shifts between recipes of unlike fluxes were never measured.

use glost_chemistry::glass::{MeltCurve, MeltPoint};
use glost_chemistry::glaze::{FluxList, GlazeNotes};
use glost_chemistry::oxides::{Oxide, OxideMoles};
use glost_chemistry::quantity::Celsius;
use serde::Serialize;

use super::melted::{SOFT, bends_at, fired_at};
use crate::recipes::aims::MeltAsked;

/// Where 10^3 Pa s comes this much later, deg C, a glaze is too stiff at its cone: some three
/// cones (common practice, no source).
const TOO_STIFF_CELSIUS: f64 = 60.0;
/// Lime, alumina and silica melt together from 1170 C (the lowest eutectic of the three: Osborn
/// and Muan 1960, from memory); magnesia and a little alkali take some of it off (ours).
const RAW_BATCH_FROM_CELSIUS: f64 = 1150.0;
/// Below these, moles of the unity formula, neither boron nor alkali melts a batch in a low fire
/// (common practice, no source).
const LEAST_BORON: f64 = 0.1;
const LEAST_ALKALI: f64 = 0.4;
const LEAST_LEAD: f64 = 0.1;
/// Fluxes that moved by this share of all are another glaze's (ours).
const FAR_FLUXES: f64 = 0.3;

/// What stands against a new recipe's melting as the old one did.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Outlook {
    /// The melt curve puts 10^3 Pa s so much higher that it can't melt out at its cone.
    TooStiff {
        /// Deg C later than it should be.
        celsius: f64,
        /// Whether it is that at least, since the curve ends there.
        at_least: bool,
    },
    /// It is fired where a batch without boron, lead or much alkali doesn't begin to melt.
    NothingMelts {
        /// Where it is fired, deg C.
        fired_celsius: f64,
    },
    /// The melt curve has no number for it.
    Untold,
    /// Its fluxes are far from the old glaze's.
    FarFluxes {
        /// The share of the fluxes that is another, 0 to 1.
        share: f64,
    },
}

/// What stands against a recipe that fires to `new`, beside the old glaze's `old` and its notes
/// (moles of any scale); `asked` is an aim on the melt. Empty where nothing does.
pub fn outlook(
    about: &GlazeNotes,
    asked: Option<MeltAsked>,
    (old, new): (&OxideMoles, &OxideMoles),
    fluxes: &FluxList,
) -> Vec<Outlook> {
    let own_fire = fired_at(about).ok();
    let fire = match asked {
        Some(MeltAsked::Cone(cone, family) | MeltAsked::ConeInStep(cone, family)) => bends_at(cone, family).ok(),
        Some(MeltAsked::At(_)) => None,
        Some(MeltAsked::Same) | None => own_fire,
    };
    // A melt that is asked for at a temperature is where it should be.
    let should_move = match (asked, own_fire, fire) {
        (Some(MeltAsked::At(_)), ..) => None,
        (_, Some(own), Some(fire)) => Some(fire.celsius() - own.celsius()),
        _ => Some(0.0),
    };
    let mut said = Vec::new();
    let stiff = should_move.and_then(|should| stiffer(old, new, should));
    said.extend(stiff.filter(|stiff| !matches!(stiff, Outlook::Untold)));
    let nothing_melts = |fire: &Celsius, moles: &OxideMoles| {
        fire.celsius() < RAW_BATCH_FROM_CELSIUS && fluxes.unity(moles).is_some_and(|unity| is_without_melter(&unity))
    };
    let so_before = own_fire.is_some_and(|fire| nothing_melts(&fire, old));
    if let Some(fire) = fire.filter(|fire| !so_before && nothing_melts(fire, new)) {
        said.push(Outlook::NothingMelts {
            fired_celsius: fire.celsius(),
        });
    }
    if said.is_empty() {
        said.extend(stiff);
    }
    let share = flux_move(old, new, fluxes);
    said.extend((share >= FAR_FLUXES).then_some(Outlook::FarFluxes { share }));
    said
}

/// How far the melt lies above where it should be, where that is too far, or untold.
fn stiffer(old: &OxideMoles, new: &OxideMoles, should_move: f64) -> Option<Outlook> {
    let mut left_out = MeltCurve::leavable(old);
    for oxide in MeltCurve::leavable(new) {
        if !left_out.contains(&oxide) {
            left_out.push(oxide);
        }
    }
    let point = |moles: &OxideMoles| MeltCurve::of(&moles.without(&left_out)).map(|curve| curve.celsius_at(SOFT));
    // Of a glaze that the curve doesn't know, an untold change is no news.
    let Some(MeltPoint::Celsius(before)) = point(old) else {
        return None;
    };
    let (after, at_least) = match point(new) {
        Some(MeltPoint::Celsius(after)) => (after.value, false),
        Some(MeltPoint::Above) => (MeltCurve::TOLD_CELSIUS.1, true),
        Some(MeltPoint::Below) => return None,
        Some(MeltPoint::Refused) | None => return Some(Outlook::Untold),
    };
    let celsius = after - before.value - should_move;
    if celsius >= TOO_STIFF_CELSIUS {
        return Some(Outlook::TooStiff { celsius, at_least });
    }
    at_least.then_some(Outlook::Untold)
}

fn is_without_melter(unity: &OxideMoles) -> bool {
    let sum = |oxides: &[Oxide]| oxides.iter().map(|oxide| unity.get(*oxide)).sum::<f64>();
    unity.get(Oxide::B2O3) < LEAST_BORON
        && sum(&[Oxide::Li2O, Oxide::Na2O, Oxide::K2O]) < LEAST_ALKALI
        && sum(&[Oxide::PbO, Oxide::Bi2O3]) < LEAST_LEAD
}

/// The share of the fluxes that is another, 0 to 1.
fn flux_move(old: &OxideMoles, new: &OxideMoles, fluxes: &FluxList) -> f64 {
    let (Some(old), Some(new)) = (fluxes.unity(old), fluxes.unity(new)) else {
        return 0.0;
    };
    let moves = fluxes
        .oxides()
        .iter()
        .map(|flux| (new.get(*flux) - old.get(*flux)).abs());
    0.5 * moves.sum::<f64>()
}

#[cfg(test)]
mod tests {
    use super::*;
    use glost_chemistry::quantity::{Cone, FiringPeak};

    /// Feldspar 34, silica 24, whiting 18, kaolin 16, talc 8 by formula.
    const SATIN: [(Oxide, f64); 5] = [
        (Oxide::K2O, 0.201),
        (Oxide::MgO, 0.208),
        (Oxide::CaO, 0.591),
        (Oxide::Al2O3, 0.405),
        (Oxide::SiO2, 3.203),
    ];

    fn moles<const COUNT: usize>(of: [(Oxide, f64); COUNT]) -> OxideMoles {
        OxideMoles::worked_out(of)
    }

    fn about(cone: &str) -> GlazeNotes {
        GlazeNotes {
            cone: Some(cone.to_owned()),
            ..GlazeNotes::default()
        }
    }

    fn told<const COUNT: usize>(asked: Option<MeltAsked>, new: [(Oxide, f64); COUNT]) -> Vec<Outlook> {
        outlook(&about("6"), asked, (&moles(SATIN), &moles(new)), &FluxList::default())
    }

    fn cone(text: &str) -> Cone {
        match FiringPeak::parse(text) {
            Ok(FiringPeak::Cone(cone, _)) => cone,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn a_recipe_like_the_old_one_melts_as_it_did() {
        assert_eq!(told(None, SATIN), []);
        let more_silica = SATIN.map(|(oxide, moles)| (oxide, if oxide == Oxide::SiO2 { 3.5 } else { moles }));
        assert_eq!(told(None, more_silica), []);
    }

    /// Feldspar 78, talc 22: the lime is gone, and the curve comes 99 C later.
    #[test]
    fn what_comes_much_later_is_too_stiff() {
        let said = told(
            None,
            [
                (Oxide::K2O, 0.452),
                (Oxide::MgO, 0.548),
                (Oxide::Al2O3, 0.452),
                (Oxide::SiO2, 3.445),
            ],
        );
        let [
            Outlook::TooStiff {
                celsius,
                at_least: false,
            },
            Outlook::FarFluxes { share },
        ] = said.as_slice()
        else {
            panic!("{said:?}");
        };
        assert!((celsius - 99.4).abs() < 1.0 && (share - 0.591).abs() < 1e-9, "{said:?}");
    }

    /// No feldspar, silica 49, kaolin 33: alumina all but balances the fluxes.
    #[test]
    fn what_the_curve_does_not_know_is_untold() {
        let said = told(
            None,
            [
                (Oxide::MgO, 0.409),
                (Oxide::CaO, 0.591),
                (Oxide::Al2O3, 0.801),
                (Oxide::SiO2, 7.241),
            ],
        );
        assert_eq!(said, [Outlook::Untold]);
    }

    /// Silica 1.2 to a flux without boron: the curve of its glass is where it was asked to be, and
    /// no such batch melts at 1060 C.
    #[test]
    fn a_raw_batch_without_boron_does_not_melt_in_a_low_fire() {
        let low = Some(MeltAsked::Cone(cone("04"), None));
        let raw = [
            (Oxide::K2O, 0.062),
            (Oxide::MgO, 0.228),
            (Oxide::CaO, 0.71),
            (Oxide::Al2O3, 0.274),
            (Oxide::SiO2, 1.222),
        ];
        assert!(
            matches!(told(low, raw).as_slice(), [Outlook::NothingMelts { fired_celsius }] if *fired_celsius < 1100.0)
        );
        // Fired there already, it is the potter who knows.
        let (raw, fluxes) = (moles(raw), FluxList::default());
        assert_eq!(outlook(&about("04"), None, (&raw, &raw), &fluxes), []);
    }
}
