//! What lies within the models' knowledge, and what doesn't.

use std::sync::LazyLock;

use crate::assumption::{ModelAssumption, OutsideModel};
use crate::oxides::Oxide;

use super::fractions::{AL2O3, Fractions, MODEL_OXIDES, OPACIFIERS, R2O, RO};
use super::leverage::WARN_ABOVE;
use super::table::data_lines;

/// Fluxes below this, mol %, are no glaze that the models know.
const LEAST_FLUX_PERCENT: f64 = 3.0;
/// Fluxes less alumina, mol %: below, a glass is far stiffer than its oxides suggest.
const LEAST_EXCESS_PERCENT: f64 = 2.0;
/// More than this, mol %, of unknown oxides puts a composition outside.
const MOST_LEFT_OUT_PERCENT: f64 = 1.0;
/// Less than this, mol %, isn't worth a word.
const WORTH_SAYING_PERCENT: f64 = 0.05;
/// Zirconia, tin oxide and titania together from this, mol %, usually leave crystals.
const OPACIFIED_PERCENT: f64 = 1.0;
/// Rounding of a sum, mol %.
const ROUNDING_PERCENT: f64 = 1e-9;

#[derive(Clone, Copy)]
struct Bound {
    low: f64,
    high: f64,
}

/// mol %, in the order of [`MODEL_OXIDES`].
static BOUNDS: LazyLock<Vec<Bound>> = LazyLock::new(|| {
    let lines = || data_lines(include_str!("../../data/expansion/bounds.csv"), "oxide,low,high");
    let bound = |oxide: Oxide| {
        lines().find_map(|line| {
            let (low, high) = line.strip_prefix(oxide.formula())?.strip_prefix(',')?.split_once(',')?;
            Some(Bound {
                low: low.parse().ok()?,
                high: high.parse().ok()?,
            })
        })
    };
    MODEL_OXIDES.into_iter().filter_map(bound).collect()
});

/// Adds each way in which the composition lies outside.
pub(super) fn add_reasons(fractions: &Fractions, reasons: &mut Vec<OutsideModel>) {
    for ((share, bound), oxide) in fractions.shares[..R2O].iter().zip(BOUNDS.iter()).zip(MODEL_OXIDES) {
        let (mole_percent, Bound { low, high }) = (100.0 * share, *bound);
        if mole_percent < low - ROUNDING_PERCENT || mole_percent > high + ROUNDING_PERCENT {
            reasons.push(OutsideModel::Oxide {
                oxide,
                mole_percent,
                low,
                high,
            });
        }
    }
    let fluxes = fractions.flux_percent();
    if fluxes < LEAST_FLUX_PERCENT - ROUNDING_PERCENT {
        reasons.push(OutsideModel::FewFluxes {
            mole_percent: fluxes,
            least: LEAST_FLUX_PERCENT,
        });
    }
}

/// Adds it where the fluxes only balance the alumina: potash feldspar set at some
/// 950 C (10^11.8 Pa s measured at 961 C), where the sums over oxides said 684.
pub(super) fn add_balance_reason(fractions: &Fractions, reasons: &mut Vec<OutsideModel>) {
    let excess = 100.0 * (fractions.shares[R2O] + fractions.shares[RO] - fractions.shares[AL2O3]);
    if excess < LEAST_EXCESS_PERCENT - ROUNDING_PERCENT {
        reasons.push(OutsideModel::FluxesBalanceAlumina {
            excess,
            least: LEAST_EXCESS_PERCENT,
        });
    }
}

/// Adds it where the mix of oxides is unlike those of the fit.
pub(super) fn add_leverage_reason(leverage: f64, reasons: &mut Vec<OutsideModel>) {
    if leverage > WARN_ABOVE {
        let most = WARN_ABOVE;
        reasons.push(OutsideModel::Unlike { leverage, most });
    }
}

/// Says what was left out: a reason where it is much, else an assumption.
pub(super) fn add_left_out(
    fraction: f64,
    oxides: impl Iterator<Item = Oxide>,
    reasons: &mut Vec<OutsideModel>,
    assumptions: &mut Vec<ModelAssumption>,
) {
    let mole_percent = 100.0 * fraction;
    if mole_percent < WORTH_SAYING_PERCENT {
        return;
    }
    let oxides = oxides.collect();
    if mole_percent > MOST_LEFT_OUT_PERCENT + ROUNDING_PERCENT {
        reasons.push(OutsideModel::LeftOut {
            mole_percent,
            oxides,
            most: MOST_LEFT_OUT_PERCENT,
        });
    } else {
        assumptions.push(ModelAssumption::LeftOut { mole_percent, oxides });
    }
}

/// Says that opacifiers count as dissolved.
pub(super) fn add_opacifiers(fractions: &Fractions, assumptions: &mut Vec<ModelAssumption>) {
    let percent = 100.0 * fractions.shares[OPACIFIERS].iter().sum::<f64>();
    if percent >= OPACIFIED_PERCENT {
        assumptions.push(ModelAssumption::OpacifiersDissolved);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_oxide_has_a_bound() {
        assert_eq!(BOUNDS.len(), MODEL_OXIDES.len());
        assert_eq!((BOUNDS[0].low, BOUNDS[0].high), (35.0, 79.95));
        assert!(BOUNDS.iter().all(|bound| bound.low < bound.high));
    }

    use super::super::fractions::SHARE_COUNT;

    /// A glass in the middle of every bound, with fluxes of 20 mol %.
    fn middling() -> Fractions {
        let mut shares = [0.0; SHARE_COUNT];
        for (share, bound) in shares.iter_mut().zip(BOUNDS.iter()) {
            *share = f64::midpoint(bound.low, bound.high) / 100.0;
        }
        (shares[R2O], shares[RO]) = (0.1, 0.1);
        Fractions {
            shares,
            moles: 1.0,
            left_out: 0.0,
        }
    }

    #[test]
    fn an_oxide_is_within_up_to_both_its_bounds() {
        let reasons = |glass: &Fractions| {
            let mut reasons = Vec::new();
            add_reasons(glass, &mut reasons);
            reasons
        };
        assert_eq!(reasons(&middling()), []);
        for (slot, (bound, oxide)) in BOUNDS.iter().zip(MODEL_OXIDES).enumerate() {
            for (percent, outside) in [
                (bound.low, false),
                (bound.high, false),
                (bound.low - 0.001, true),
                (bound.high + 0.001, true),
            ] {
                let mut glass = middling();
                glass.shares[slot] = percent / 100.0;
                let told = reasons(&glass);
                let own = told
                    .iter()
                    .filter(|said| {
                        matches!(said, OutsideModel::Oxide { oxide: of, mole_percent, .. }
                        if *of == oxide && (mole_percent - percent).abs() < 1e-9)
                    })
                    .count();
                assert_eq!(
                    (told.len(), own),
                    (usize::from(outside), usize::from(outside)),
                    "{oxide} {percent}: {told:?}"
                );
            }
        }
        for (percent, few) in [(3.0, false), (2.999, true)] {
            let mut glass = middling();
            (glass.shares[R2O], glass.shares[RO]) = (0.01, percent / 100.0 - 0.01);
            assert_eq!(reasons(&glass).len(), usize::from(few), "{percent}");
        }
    }

    #[test]
    fn what_only_balances_is_unlike_or_left_out_is_said_from_its_border_on() {
        let balance = |percent: f64| {
            let (mut glass, mut reasons) = (middling(), Vec::new());
            (glass.shares[R2O], glass.shares[AL2O3]) = (0.05, 0.12);
            glass.shares[RO] = 0.07 + percent / 100.0;
            add_balance_reason(&glass, &mut reasons);
            reasons
        };
        assert_eq!(balance(2.0), []);
        let told = balance(1.9);
        assert!(
            matches!(told.as_slice(), [OutsideModel::FluxesBalanceAlumina { excess, least }]
            if (excess - 1.9).abs() < 1e-9 && *least == 2.0)
        );
        let unlike = |leverage: f64| {
            let mut reasons = Vec::new();
            add_leverage_reason(leverage, &mut reasons);
            reasons.len()
        };
        assert_eq!((unlike(WARN_ABOVE), unlike(WARN_ABOVE + 1.0)), (0, 1));
        let left_out = |percent: f64| {
            let (mut reasons, mut assumptions) = (Vec::new(), Vec::new());
            add_left_out(
                percent / 100.0,
                [Oxide::Cr2O3].into_iter(),
                &mut reasons,
                &mut assumptions,
            );
            (reasons, assumptions)
        };
        assert_eq!(left_out(0.04), (Vec::new(), Vec::new()));
        for percent in [0.06, 1.0] {
            let (reasons, assumptions) = left_out(percent);
            assert!(reasons.is_empty());
            let [ModelAssumption::LeftOut { mole_percent, oxides }] = assumptions.as_slice() else {
                panic!("{assumptions:?}");
            };
            assert!((mole_percent - percent).abs() < 1e-9 && *oxides == [Oxide::Cr2O3]);
        }
        let (reasons, assumptions) = left_out(1.2);
        let [
            OutsideModel::LeftOut {
                mole_percent,
                oxides,
                most,
            },
        ] = reasons.as_slice()
        else {
            panic!("{reasons:?}");
        };
        assert!(assumptions.is_empty() && (mole_percent - 1.2).abs() < 1e-9);
        assert_eq!((oxides.as_slice(), *most), ([Oxide::Cr2O3].as_slice(), 1.0));
        let opacified = |titania: f64| {
            let (mut glass, mut assumptions) = (middling(), Vec::new());
            glass.shares[OPACIFIERS].copy_from_slice(&[titania / 100.0, 0.002, 0.003]);
            add_opacifiers(&glass, &mut assumptions);
            assumptions.len()
        };
        assert_eq!((opacified(0.49), opacified(0.51)), (0, 1));
    }
}
