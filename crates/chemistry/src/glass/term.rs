//! The terms of the expansion and property models: value and slope of each.
//!
//! A term is a simple function of mole fractions. Several have a kink, where the structure
//! of the glass changes (boron taking up free alkali, alumina used up by alkali): on a kink
//! the slope of one side is given.

use super::fractions::{
    AL2O3, ALKALINE_EARTHS_ZINC_LEAD, ALKALIS, B2O3, K2O, MODEL_OXIDES, NA2O, PBO, R2O, RO, SHARE_COUNT, SIO2, TIO2,
};

/// Mole fractions of the 20 oxides, then the sums R2O and RO.
pub(super) type Shares = [f64; SHARE_COUNT];

/// How much each oxide of the model's order feeds psi, Appen's measure of what is there to
/// turn boron to fourfold coordination.
const PSI_WEIGHTS: [f64; 20] = [
    0.0, -1.0, 0.0, 0.3, 1.0, 1.0, 0.3, 0.7, 0.7, 1.0, 0.3, 0.7, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
];
/// Where psi stops counting.
const PSI_LIMIT: f64 = 4.0;
/// Keeps a ratio to the alkalis finite in a glass without any.
const LEAST_ALKALI: f64 = 1e-6;

/// One term; the comment gives its name in the tables.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Term {
    /// `SiO2`
    Share(usize),
    /// `SiO2*MgO`, `R2O*SiO2`
    Product(usize, usize),
    /// `SiO2*SiO2*SiO2`
    TripleProduct(usize, usize, usize),
    /// `Na2O*K2O/R2O`
    MixedAlkali(usize, usize),
    /// `SiO2*max(SiO2-0.67,0)`
    SilicaAbove67,
    /// `max(0.60-SiO2,0)`
    SilicaBelow60,
    /// `max(SiO2-0.67,0)`
    SilicaExcess67,
    /// `max(0.10-R2O-RO+Al2O3,0)`
    FluxesShortOf10,
    /// `B2O3*psi`
    BoronByPsi,
    /// `TiO2*clip(SiO2-0.50,0,0.30)`
    TitaniaBySilica,
    /// `PbO*clip(R2O-0.03,0,0.12)`
    LeadByAlkali,
    /// `max(R2O-Al2O3,0)`
    FreeAlkali,
    /// `min(B2O3,max(R2O-Al2O3,0))`
    BoronTakenUp,
    /// `max(Al2O3-R2O,0)`
    AluminaAboveAlkali,
    /// `max(Al2O3-R2O-RO,0)`
    AluminaAboveFluxes,
    /// `K2O*[Na2O<0.01]`; jumps, so its slope in Na2O counts as 0
    PotashWithoutSoda,
}

fn share_named(name: &str) -> Option<usize> {
    match name {
        "R2O" => Some(R2O),
        "RO" => Some(RO),
        _ => MODEL_OXIDES.iter().position(|oxide| oxide.formula() == name),
    }
}

impl Term {
    /// Reads a term as the tables write it.
    pub(super) fn parse(name: &str) -> Option<Term> {
        Some(match name {
            "SiO2*max(SiO2-0.67,0)" => Term::SilicaAbove67,
            "max(0.60-SiO2,0)" => Term::SilicaBelow60,
            "max(SiO2-0.67,0)" => Term::SilicaExcess67,
            "max(0.10-R2O-RO+Al2O3,0)" => Term::FluxesShortOf10,
            "B2O3*psi" => Term::BoronByPsi,
            "TiO2*clip(SiO2-0.50,0,0.30)" => Term::TitaniaBySilica,
            "PbO*clip(R2O-0.03,0,0.12)" => Term::LeadByAlkali,
            "max(R2O-Al2O3,0)" => Term::FreeAlkali,
            "min(B2O3,max(R2O-Al2O3,0))" => Term::BoronTakenUp,
            "max(Al2O3-R2O,0)" => Term::AluminaAboveAlkali,
            "max(Al2O3-R2O-RO,0)" => Term::AluminaAboveFluxes,
            "K2O*[Na2O<0.01]" => Term::PotashWithoutSoda,
            _ => match (name.strip_suffix("/R2O"), name.split_once('*')) {
                (Some(product), Some(_)) => {
                    let (one, other) = product.split_once('*')?;
                    Term::MixedAlkali(share_named(one)?, share_named(other)?)
                }
                (None, Some((one, rest))) => match rest.split_once('*') {
                    Some((other, third)) => {
                        Term::TripleProduct(share_named(one)?, share_named(other)?, share_named(third)?)
                    }
                    None => Term::Product(share_named(one)?, share_named(rest)?),
                },
                _ => Term::Share(share_named(name)?),
            },
        })
    }

    /// The term's value.
    pub(super) fn value(self, x: &Shares) -> f64 {
        match self {
            Term::Share(one) => x[one],
            Term::Product(one, other) => x[one] * x[other],
            Term::TripleProduct(one, other, third) => x[one] * x[other] * x[third],
            Term::MixedAlkali(one, other) => x[one] * x[other] / x[R2O].max(LEAST_ALKALI),
            Term::SilicaAbove67 => x[SIO2] * (x[SIO2] - 0.67).max(0.0),
            Term::SilicaBelow60 => (0.60 - x[SIO2]).max(0.0),
            Term::SilicaExcess67 => (x[SIO2] - 0.67).max(0.0),
            Term::FluxesShortOf10 => (0.10 - x[R2O] - x[RO] + x[AL2O3]).max(0.0),
            // B2O3 times psi limited to 0..4, without dividing by B2O3.
            Term::BoronByPsi => psi_times_boron(x).max(0.0).min(PSI_LIMIT * x[B2O3]),
            Term::TitaniaBySilica => x[TIO2] * (x[SIO2] - 0.50).clamp(0.0, 0.30),
            Term::LeadByAlkali => x[PBO] * (x[R2O] - 0.03).clamp(0.0, 0.12),
            Term::FreeAlkali => (x[R2O] - x[AL2O3]).max(0.0),
            Term::BoronTakenUp => (x[R2O] - x[AL2O3]).max(0.0).min(x[B2O3]),
            Term::AluminaAboveAlkali => (x[AL2O3] - x[R2O]).max(0.0),
            Term::AluminaAboveFluxes => (x[AL2O3] - x[R2O] - x[RO]).max(0.0),
            Term::PotashWithoutSoda => {
                if x[NA2O] < 0.01 {
                    x[K2O]
                } else {
                    0.0
                }
            }
        }
    }

    /// Adds `factor` times the slopes in each share to `slopes`; R2O and RO count as shares
    /// of their own, to be handed on to their oxides by [`spread_sums`]. At a kink itself they
    /// are those of its flat side.
    pub(super) fn add_slopes(self, x: &Shares, factor: f64, slopes: &mut Shares) {
        match self {
            Term::Share(one) => slopes[one] += factor,
            Term::Product(one, other) => {
                slopes[one] += factor * x[other];
                slopes[other] += factor * x[one];
            }
            Term::TripleProduct(one, other, third) => {
                slopes[one] += factor * x[other] * x[third];
                slopes[other] += factor * x[one] * x[third];
                slopes[third] += factor * x[one] * x[other];
            }
            Term::MixedAlkali(one, other) => {
                let alkali = x[R2O].max(LEAST_ALKALI);
                slopes[one] += factor * x[other] / alkali;
                slopes[other] += factor * x[one] / alkali;
                if x[R2O] > LEAST_ALKALI {
                    slopes[R2O] -= factor * x[one] * x[other] / (alkali * alkali);
                }
            }
            Term::SilicaAbove67 if x[SIO2] > 0.67 => slopes[SIO2] += factor * (2.0 * x[SIO2] - 0.67),
            Term::SilicaBelow60 if x[SIO2] < 0.60 => slopes[SIO2] -= factor,
            Term::SilicaExcess67 if x[SIO2] > 0.67 => slopes[SIO2] += factor,
            Term::FluxesShortOf10 if x[R2O] + x[RO] - x[AL2O3] < 0.10 => {
                slopes[R2O] -= factor;
                slopes[RO] -= factor;
                slopes[AL2O3] += factor;
            }
            Term::BoronByPsi => add_boron_by_psi_slopes(x, factor, slopes),
            Term::TitaniaBySilica => {
                slopes[TIO2] += factor * (x[SIO2] - 0.50).clamp(0.0, 0.30);
                if x[SIO2] > 0.50 && x[SIO2] < 0.80 {
                    slopes[SIO2] += factor * x[TIO2];
                }
            }
            Term::LeadByAlkali => {
                slopes[PBO] += factor * (x[R2O] - 0.03).clamp(0.0, 0.12);
                if x[R2O] > 0.03 && x[R2O] < 0.15 {
                    slopes[R2O] += factor * x[PBO];
                }
            }
            Term::BoronTakenUp if x[R2O] - x[AL2O3] >= x[B2O3] => slopes[B2O3] += factor,
            Term::FreeAlkali | Term::BoronTakenUp if x[R2O] > x[AL2O3] => {
                slopes[R2O] += factor;
                slopes[AL2O3] -= factor;
            }
            Term::AluminaAboveAlkali if x[AL2O3] > x[R2O] => {
                slopes[AL2O3] += factor;
                slopes[R2O] -= factor;
            }
            Term::AluminaAboveFluxes if x[AL2O3] > x[R2O] + x[RO] => {
                slopes[AL2O3] += factor;
                slopes[R2O] -= factor;
                slopes[RO] -= factor;
            }
            Term::PotashWithoutSoda if x[NA2O] < 0.01 => slopes[K2O] += factor,
            _ => {}
        }
    }
}

fn psi_times_boron(x: &Shares) -> f64 {
    PSI_WEIGHTS.iter().zip(x).map(|(weight, share)| weight * share).sum()
}

fn add_boron_by_psi_slopes(x: &Shares, factor: f64, slopes: &mut Shares) {
    let supply = psi_times_boron(x);
    if supply >= PSI_LIMIT * x[B2O3] {
        slopes[B2O3] += factor * PSI_LIMIT;
    } else if supply > 0.0 {
        for (slope, weight) in slopes.iter_mut().zip(PSI_WEIGHTS) {
            *slope += factor * weight;
        }
    }
}

/// Hands the slopes in R2O and RO on to their oxides.
pub(super) fn spread_sums(slopes: &mut Shares) {
    let (alkali, earths) = (slopes[R2O], slopes[RO]);
    slopes[ALKALIS].iter_mut().for_each(|slope| *slope += alkali);
    slopes[ALKALINE_EARTHS_ZINC_LEAD]
        .iter_mut()
        .for_each(|slope| *slope += earths);
    slopes[R2O] = 0.0;
    slopes[RO] = 0.0;
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Some shares as a composition may have them, the sums with them.
    fn shares(of: &[(usize, f64)]) -> Shares {
        let mut x = [0.0; SHARE_COUNT];
        of.iter().for_each(|(index, share)| x[*index] = *share);
        x[R2O] = x[ALKALIS].iter().sum();
        x[RO] = x[ALKALINE_EARTHS_ZINC_LEAD].iter().sum();
        x
    }

    /// Central differences, each share and each sum by itself, on either side of every kink.
    #[test]
    fn slopes_are_those_of_the_values() {
        let terms = [
            Term::Product(SIO2, B2O3),
            Term::TripleProduct(SIO2, B2O3, K2O),
            Term::SilicaAbove67,
            Term::SilicaBelow60,
            Term::SilicaExcess67,
            Term::FluxesShortOf10,
            Term::BoronByPsi,
            Term::TitaniaBySilica,
            Term::LeadByAlkali,
            Term::FreeAlkali,
            Term::BoronTakenUp,
            Term::AluminaAboveAlkali,
            Term::AluminaAboveFluxes,
        ];
        let glasses = [
            shares(&[(SIO2, 0.72), (AL2O3, 0.05), (B2O3, 0.02), (K2O, 0.2), (TIO2, 0.01)]),
            shares(&[(SIO2, 0.55), (AL2O3, 0.3), (B2O3, 0.06), (K2O, 0.05), (PBO, 0.04)]),
            shares(&[(SIO2, 0.43), (AL2O3, 0.07), (B2O3, 0.3), (NA2O, 0.08), (PBO, 0.12)]),
            shares(&[(SIO2, 0.85), (AL2O3, 0.06), (B2O3, 0.01), (K2O, 0.04), (TIO2, 0.04)]),
        ];
        for (term, x) in terms.iter().flat_map(|term| glasses.iter().map(move |x| (term, x))) {
            let mut slopes = [0.0; SHARE_COUNT];
            term.add_slopes(x, 1.0, &mut slopes);
            for index in 0..SHARE_COUNT {
                let at = |step: f64| {
                    let mut moved = *x;
                    moved[index] += step;
                    term.value(&moved)
                };
                let found = (at(1e-6) - at(-1e-6)) / 2e-6;
                assert!(
                    (found - slopes[index]).abs() < 1e-6,
                    "{term:?} in {index}: {} said, {found} found",
                    slopes[index]
                );
            }
        }
    }

    #[test]
    fn at_a_kink_itself_the_slope_is_that_of_its_flat_side() {
        let slope_in = |index: usize, term: Term, x: &Shares| {
            let mut slopes = [0.0; SHARE_COUNT];
            term.add_slopes(x, 1.0, &mut slopes);
            slopes[index]
        };
        let silica = |share: f64| shares(&[(SIO2, share), (TIO2, 0.1)]);
        for (term, kink) in [
            (Term::SilicaAbove67, 0.67),
            (Term::SilicaBelow60, 0.60),
            (Term::SilicaExcess67, 0.67),
            (Term::TitaniaBySilica, 0.50),
            (Term::TitaniaBySilica, 0.80),
        ] {
            assert_eq!(slope_in(SIO2, term, &silica(kink)), 0.0, "{term:?} at {kink}");
        }
        let alkali = |share: f64| shares(&[(K2O, share), (PBO, 0.1), (AL2O3, 0.0625)]);
        for (term, kink) in [
            (Term::LeadByAlkali, 0.03),
            (Term::LeadByAlkali, 0.15),
            (Term::FreeAlkali, 0.0625),
            (Term::BoronTakenUp, 0.0625),
            (Term::AluminaAboveAlkali, 0.0625),
        ] {
            assert_eq!(slope_in(R2O, term, &alkali(kink)), 0.0, "{term:?} at {kink}");
        }
    }
}
