//! Mole fractions over the 20 oxides that the term models know.
//!
//! Whatever else a glaze holds is left out and the rest scaled to 1, as was done with the
//! glasses of the fit; how much was left out is kept, for the answer to say.

use crate::oxides::{OXIDE_COUNT, Oxide, OxideMoles};

/// The oxides of the term models, in the order of their tables.
pub(super) const MODEL_OXIDES: [Oxide; 20] = [
    Oxide::SiO2,
    Oxide::Al2O3,
    Oxide::B2O3,
    Oxide::Li2O,
    Oxide::Na2O,
    Oxide::K2O,
    Oxide::MgO,
    Oxide::CaO,
    Oxide::SrO,
    Oxide::BaO,
    Oxide::ZnO,
    Oxide::PbO,
    Oxide::TiO2,
    Oxide::ZrO2,
    Oxide::SnO2,
    Oxide::P2O5,
    Oxide::Fe2O3,
    Oxide::MnO,
    Oxide::CuO,
    Oxide::CoO,
];

/// Where the sum Li2O + Na2O + K2O stands among the shares.
pub(super) const R2O: usize = 20;
/// Where the sum MgO + CaO + SrO + BaO + ZnO + PbO stands.
pub(super) const RO: usize = 21;
/// The oxides and the two sums.
pub(super) const SHARE_COUNT: usize = 22;

pub(super) const SIO2: usize = 0;
pub(super) const AL2O3: usize = 1;
pub(super) const B2O3: usize = 2;
pub(super) const NA2O: usize = 4;
pub(super) const K2O: usize = 5;
pub(super) const PBO: usize = 11;
pub(super) const TIO2: usize = 12;
/// TiO2, ZrO2, SnO2.
pub(super) const OPACIFIERS: std::ops::Range<usize> = 12..15;
/// Li2O, Na2O, K2O.
pub(super) const ALKALIS: std::ops::Range<usize> = 3..6;
/// MgO, CaO, SrO, BaO, ZnO, PbO.
pub(super) const ALKALINE_EARTHS_ZINC_LEAD: std::ops::Range<usize> = 6..12;

/// The place of each oxide among [`MODEL_OXIDES`], for all oxides in their fixed order.
const SLOTS: [Option<usize>; OXIDE_COUNT] = {
    let mut slots = [None; OXIDE_COUNT];
    let mut slot = 0;
    while slot < MODEL_OXIDES.len() {
        slots[MODEL_OXIDES[slot].index()] = Some(slot);
        slot += 1;
    }
    slots
};

/// A composition as the term models read it.
#[derive(Debug, Clone)]
pub(super) struct Fractions {
    /// Mole fractions of [`MODEL_OXIDES`], summing to 1, then R2O and RO.
    pub shares: [f64; SHARE_COUNT],
    /// Moles of the oxides that are counted, in the scale of the input.
    pub moles: f64,
    /// What is left out, as a fraction of all moles.
    pub left_out: f64,
}

impl Fractions {
    /// `None` where none of the oxides is there.
    pub(super) fn of(amounts: &OxideMoles) -> Option<Fractions> {
        // Divided by the largest first, so that no sum overflows.
        let largest = amounts
            .as_slice()
            .iter()
            .fold(0.0_f64, |most, &amount| most.max(amount));
        if largest <= 0.0 || !largest.is_finite() {
            return None;
        }
        let mut shares = [0.0; SHARE_COUNT];
        let (mut counted, mut others) = (0.0, 0.0);
        for (amount, slot) in amounts.as_slice().iter().zip(SLOTS) {
            let amount = amount / largest;
            match slot {
                Some(slot) => {
                    shares[slot] = amount;
                    counted += amount;
                }
                None => others += amount,
            }
        }
        if counted <= 0.0 {
            return None;
        }
        for share in &mut shares {
            *share /= counted;
        }
        shares[R2O] = shares[ALKALIS].iter().sum();
        shares[RO] = shares[ALKALINE_EARTHS_ZINC_LEAD].iter().sum();
        Some(Fractions {
            shares,
            moles: counted * largest,
            left_out: others / (counted + others),
        })
    }

    /// Fluxes in mol %.
    pub(super) fn flux_percent(&self) -> f64 {
        100.0 * (self.shares[R2O] + self.shares[RO])
    }

    /// Half the sum of absolute differences in mol %: how much has changed places.
    pub(super) fn moved_percent(&self, other: &Fractions) -> f64 {
        let differences = self.shares[..R2O].iter().zip(&other.shares[..R2O]);
        50.0 * differences.map(|(mine, theirs)| (mine - theirs).abs()).sum::<f64>()
    }
}

/// The oxides present that the term models leave out.
pub(super) fn left_out_oxides(amounts: &OxideMoles) -> impl Iterator<Item = Oxide> + '_ {
    amounts
        .iter()
        .map(|(oxide, _)| oxide)
        .filter(|oxide| SLOTS[oxide.index()].is_none())
}
