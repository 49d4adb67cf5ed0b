//! Where the melt curve may be told, and why not elsewhere.

use std::sync::LazyLock;

use crate::oxides::{Oxide, OxideMoles};

use super::fractions::{AL2O3, Fractions, MODEL_OXIDES, R2O, RO, left_out_oxides};
use super::table::data_lines;

/// Temperatures that the curve was checked for, deg C.
pub(super) const CELSIUS: (f64, f64) = (850.0, 1450.0);
/// Powers of ten, Pa s, that are told as a number.
pub(super) const POWERS: (f64, f64) = (1.0, 5.0);
/// Fluxes less alumina, mole fraction: below, fluxes only balance alumina and the curve was
/// off by up to three powers of ten.
const EXCESS: (f64, f64) = (0.02, 0.40);
const MOST_LEVERAGE: f64 = 200.0;
/// More than this, mol %, of oxides that the curve doesn't know: no number.
const MOST_LEFT_OUT_PERCENT: f64 = 1.0;
/// Rounding of a sum: of mol % and of mole fractions.
const ROUNDING_PERCENT: f64 = 1e-7;
const ROUNDING: f64 = 1e-9;

/// Colourants and opacifier whose boxes are narrow for want of papers: a caller may leave them
/// out, and say so.
pub(super) const LEAVABLE: [Oxide; 3] = [Oxide::CuO, Oxide::CoO, Oxide::SnO2];

/// Why the melt curve gives no number.
#[derive(Debug, Clone, PartialEq)]
pub enum MeltRefusal {
    /// An oxide lies outside the range that the glasses of the fit had, mol %.
    Oxide {
        /// Which.
        oxide: Oxide,
        /// How much there is.
        mole_percent: f64,
        /// The least that is known.
        low: f64,
        /// The most that is known.
        high: f64,
    },
    /// Fluxes hardly more than alumina: they balance it and set nothing free to thin the melt.
    FluxesHardlyAboveAlumina {
        /// Fluxes less Al2O3, mole fraction.
        excess: f64,
        /// The least that is known.
        least: f64,
    },
    /// More flux over alumina than any glaze has.
    FluxesFarAboveAlumina {
        /// Fluxes less Al2O3, mole fraction.
        excess: f64,
        /// The most that is known.
        most: f64,
    },
    /// A mix of oxides unlike the glasses of the fit.
    Unlike {
        /// Leverage: 20 is usual.
        leverage: f64,
        /// The most that is told.
        most: f64,
    },
    /// Oxides that the curve doesn't know.
    UnknownOxides {
        /// Which.
        oxides: Vec<Oxide>,
        /// How much, mol % of all.
        mole_percent: f64,
        /// The most that is left out.
        most: f64,
    },
    /// A temperature that the curve wasn't checked for, deg C.
    Temperature {
        /// The temperature.
        celsius: f64,
        /// The coolest told.
        low: f64,
        /// The hottest told.
        high: f64,
    },
}

#[derive(Debug, Clone, Copy)]
struct Range {
    low: f64,
    high: f64,
}

/// mol %, in the order of [`MODEL_OXIDES`].
static BOX: LazyLock<Vec<Range>> = LazyLock::new(|| {
    let lines = || data_lines(include_str!("../../data/melt_curve/box.csv"), "oxide,low,high");
    let range = |oxide: Oxide| {
        lines().find_map(|line| {
            let (low, high) = line.strip_prefix(oxide.formula())?.strip_prefix(',')?.split_once(',')?;
            // A line that is no number is left out, and the count of the test fails.
            Some(Range {
                low: low.parse().ok()?,
                high: high.parse().ok()?,
            })
        })
    };
    MODEL_OXIDES.into_iter().filter_map(range).collect()
});

/// Fluxes less Al2O3, mole fraction.
pub(super) fn excess(fractions: &Fractions) -> f64 {
    let shares = &fractions.shares;
    shares[R2O] + shares[RO] - shares[AL2O3]
}

/// Why a composition gets no number at any temperature; empty where it does.
pub(super) fn refusals(amounts: &OxideMoles, fractions: &Fractions, leverage: f64) -> Vec<MeltRefusal> {
    let mut refusals = Vec::new();
    for ((share, range), oxide) in fractions.shares[..R2O].iter().zip(BOX.iter()).zip(MODEL_OXIDES) {
        let (mole_percent, Range { low, high }) = (100.0 * share, *range);
        if mole_percent < low - ROUNDING_PERCENT || mole_percent > high + ROUNDING_PERCENT {
            refusals.push(MeltRefusal::Oxide {
                oxide,
                mole_percent,
                low,
                high,
            });
        }
    }
    let (excess, (least, most)) = (excess(fractions), EXCESS);
    if excess < least - ROUNDING {
        refusals.push(MeltRefusal::FluxesHardlyAboveAlumina { excess, least });
    }
    if excess > most + ROUNDING {
        refusals.push(MeltRefusal::FluxesFarAboveAlumina { excess, most });
    }
    if leverage > MOST_LEVERAGE {
        let most = MOST_LEVERAGE;
        refusals.push(MeltRefusal::Unlike { leverage, most });
    }
    let (mole_percent, most) = (100.0 * fractions.left_out, MOST_LEFT_OUT_PERCENT);
    if mole_percent > most + ROUNDING_PERCENT {
        let oxides = left_out_oxides(amounts).collect();
        refusals.push(MeltRefusal::UnknownOxides {
            oxides,
            mole_percent,
            most,
        });
    }
    refusals
}

/// The refusal of a temperature, deg C.
pub(super) fn temperature_refusal(celsius: f64) -> Option<MeltRefusal> {
    let (low, high) = CELSIUS;
    let outside = !(low..=high).contains(&celsius);
    outside.then_some(MeltRefusal::Temperature { celsius, low, high })
}

#[cfg(test)]
mod tests {
    use super::super::fractions::SHARE_COUNT;
    use super::*;

    #[test]
    fn every_oxide_has_its_range() {
        assert_eq!(BOX.len(), MODEL_OXIDES.len());
        assert_eq!((BOX[0].low, BOX[0].high), (45.0, 80.0));
        assert!(BOX.iter().all(|range| range.low < range.high));
    }

    /// A glass in the middle of every range.
    fn middling() -> Fractions {
        let mut shares = [0.0; SHARE_COUNT];
        for (share, range) in shares.iter_mut().zip(BOX.iter()) {
            *share = f64::midpoint(range.low, range.high) / 100.0;
        }
        shares[RO] = 0.2 + shares[AL2O3];
        Fractions {
            shares,
            moles: 1.0,
            left_out: 0.0,
        }
    }

    fn refused(glass: &Fractions, leverage: f64) -> Vec<MeltRefusal> {
        refusals(&OxideMoles::ZERO, glass, leverage)
    }

    #[test]
    fn an_oxide_is_told_up_to_both_borders_of_its_range() {
        assert_eq!(refused(&middling(), 20.0), []);
        for (slot, (range, own)) in BOX.iter().zip(MODEL_OXIDES).enumerate() {
            for (percent, inside) in [
                (range.low, true),
                (range.high, true),
                (range.low - 1e-5, false),
                (range.high + 1e-5, false),
            ] {
                let mut glass = middling();
                glass.shares[slot] = percent / 100.0;
                glass.shares[RO] = 0.2 + glass.shares[AL2O3];
                let told = refused(&glass, 20.0);
                match told.as_slice() {
                    [] => assert!(inside, "{own} {percent}"),
                    [
                        MeltRefusal::Oxide {
                            oxide,
                            mole_percent,
                            low,
                            high,
                        },
                    ] => {
                        assert!(!inside && *oxide == own, "{own} {percent}");
                        assert!((mole_percent - percent).abs() < 1e-9);
                        assert_eq!((*low, *high), (range.low, range.high));
                    }
                    _ => panic!("{own} {percent}: {told:?}"),
                }
            }
        }
    }

    /// Fluxes less alumina from 0.02 to 0.40, leverage up to 200, 1 mol % of what it doesn't know.
    #[test]
    fn the_other_borders_are_inside_too() {
        let mut glass = middling();
        for (beyond, hardly, far) in [
            (0.02, false, false),
            (0.40, false, false),
            (0.019_99, true, false),
            (0.400_01, false, true),
        ] {
            glass.shares[R2O] = 0.01;
            glass.shares[RO] = beyond + glass.shares[AL2O3] - 0.01;
            assert!((excess(&glass) - beyond).abs() < 1e-12);
            let told = refused(&glass, 200.0);
            let is_hardly =
                matches!(told.as_slice(), [MeltRefusal::FluxesHardlyAboveAlumina { least, .. }] if *least == 0.02);
            let is_far = matches!(told.as_slice(), [MeltRefusal::FluxesFarAboveAlumina { most, .. }] if *most == 0.40);
            assert_eq!(
                (is_hardly, is_far, told.len()),
                (hardly, far, usize::from(hardly || far)),
                "{beyond}"
            );
        }
        let told = refused(&middling(), 200.5);
        assert!(
            matches!(told.as_slice(), [MeltRefusal::Unlike { leverage, most }] if (*leverage, *most) == (200.5, 200.0))
        );
        for (percent, known) in [(1.0, true), (1.001, false)] {
            let glass = Fractions {
                left_out: percent / 100.0,
                ..middling()
            };
            let told = refused(&glass, 20.0);
            assert_eq!(told.is_empty(), known, "{percent}");
            assert!(told.iter().all(
                |why| matches!(why, MeltRefusal::UnknownOxides { mole_percent, most, .. }
                if (mole_percent - percent).abs() < 1e-9 && *most == 1.0)
            ));
        }
        for (celsius, inside) in [(850.0, true), (1450.0, true), (849.9, false), (1450.1, false)] {
            assert_eq!(temperature_refusal(celsius).is_none(), inside, "{celsius}");
        }
    }
}
