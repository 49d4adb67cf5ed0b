//! What lies within the models' knowledge, and in plain sentences what doesn't.

use std::sync::LazyLock;

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

/// Adds a sentence for each way in which the composition lies outside.
pub(super) fn add_reasons(fractions: &Fractions, reasons: &mut Vec<String>) {
    for ((share, bound), oxide) in fractions.shares[..R2O].iter().zip(BOUNDS.iter()).zip(MODEL_OXIDES) {
        let percent = 100.0 * share;
        if percent < bound.low - ROUNDING_PERCENT || percent > bound.high + ROUNDING_PERCENT {
            let Bound { low, high } = bound;
            reasons.push(format!(
                "{oxide} is {percent:.1} mol %, and the model was checked for {low} to {high}."
            ));
        }
    }
    let fluxes = fractions.flux_percent();
    if fluxes < LEAST_FLUX_PERCENT - ROUNDING_PERCENT {
        reasons.push(format!(
            "The fluxes are {fluxes:.1} mol % together: the model needs at least {LEAST_FLUX_PERCENT}."
        ));
    }
}

/// Adds a sentence where the fluxes only balance the alumina: potash feldspar set at some
/// 950 C (10^11.8 Pa s measured at 961 C), where the sums over oxides said 684.
pub(super) fn add_balance_reason(fractions: &Fractions, reasons: &mut Vec<String>) {
    let excess = 100.0 * (fractions.shares[R2O] + fractions.shares[RO] - fractions.shares[AL2O3]);
    if excess < LEAST_EXCESS_PERCENT - ROUNDING_PERCENT {
        reasons.push(format!(
            "The fluxes only balance the alumina ({excess:.1} mol % over it): the model needs {LEAST_EXCESS_PERCENT} more."
        ));
    }
}

/// Adds a sentence where the mix of oxides is unlike those of the fit.
pub(super) fn add_leverage_reason(leverage: f64, reasons: &mut Vec<String>) {
    if leverage > WARN_ABOVE {
        reasons.push(format!(
            "This mix of oxides is unlike the glasses behind the model (leverage {leverage:.0}, it warns above {WARN_ABOVE:.0})."
        ));
    }
}

/// Says what was left out: a reason where it is much, else an assumption.
pub(super) fn add_left_out(
    fraction: f64,
    oxides: impl Iterator<Item = Oxide>,
    reasons: &mut Vec<String>,
    assumptions: &mut Vec<String>,
) {
    let percent = 100.0 * fraction;
    if percent < WORTH_SAYING_PERCENT {
        return;
    }
    let names = oxides.map(Oxide::formula).collect::<Vec<_>>().join(", ");
    if percent > MOST_LEFT_OUT_PERCENT + ROUNDING_PERCENT {
        reasons.push(format!(
            "{percent:.1} mol % is left out ({names}: no figure in this model), the rest counted as the whole; \
             up to {MOST_LEFT_OUT_PERCENT} would do."
        ));
    } else {
        assumptions.push(format!(
            "{percent:.2} mol % left out ({names}: no figure in this model), the rest counted as the whole."
        ));
    }
}

/// Says that opacifiers count as dissolved.
pub(super) fn add_opacifiers(fractions: &Fractions, assumptions: &mut Vec<String>) {
    let percent = 100.0 * fractions.shares[OPACIFIERS].iter().sum::<f64>();
    if percent >= OPACIFIED_PERCENT {
        assumptions.push(
            "ZrO2, SnO2 and TiO2 count as dissolved in the glass; what stays as crystals is not modelled.".to_owned(),
        );
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
        assert_eq!(reasons(&middling()), [""; 0]);
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
                    .filter(|said| said.starts_with(&format!("{oxide} is {percent:.1} mol %")))
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
        assert_eq!(balance(2.0), [""; 0]);
        assert_eq!(
            balance(1.9),
            ["The fluxes only balance the alumina (1.9 mol % over it): the model needs 2 more."]
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
            assert!(
                assumptions[0].starts_with(&format!("{percent:.2} mol % left out (Cr2O3: ")),
                "{assumptions:?}"
            );
        }
        let (reasons, assumptions) = left_out(1.2);
        assert!(assumptions.is_empty() && reasons[0].starts_with("1.2 mol % is left out (Cr2O3: "));
        let opacified = |titania: f64| {
            let (mut glass, mut assumptions) = (middling(), Vec::new());
            glass.shares[OPACIFIERS].copy_from_slice(&[titania / 100.0, 0.002, 0.003]);
            add_opacifiers(&glass, &mut assumptions);
            assumptions.len()
        };
        assert_eq!((opacified(0.49), opacified(0.51)), (0, 1));
    }
}
