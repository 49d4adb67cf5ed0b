//! Amounts of oxides: a fixed-order vector in grams or in moles.
//!
//! An absent oxide is zero. NaN, infinities and negatives don't get in: `new`
//! refuses them, and what is worked out from amounts panics over them, in a release
//! build too. Such a panic is an inner fault of ours, never the user's.

use super::oxide::{OXIDE_COUNT, Oxide};

macro_rules! amounts {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq)]
        pub struct $name([f64; OXIDE_COUNT]);

        impl Default for $name {
            fn default() -> Self {
                Self::ZERO
            }
        }

        impl $name {
            /// Nothing of any oxide.
            pub const ZERO: Self = Self([0.0; OXIDE_COUNT]);

            /// From pairs; an oxide named twice adds up. `None` where an
            /// amount is negative, NaN or infinite.
            pub fn new(pairs: impl IntoIterator<Item = (Oxide, f64)>) -> Option<Self> {
                let mut amounts = Self::ZERO;
                for (oxide, amount) in pairs {
                    if !amount.is_finite() || amount < 0.0 {
                        return None;
                    }
                    amounts.0[oxide.index()] += amount;
                }
                amounts.total().is_finite().then_some(amounts)
            }

            /// From amounts that were worked out of others and so are finite and
            /// not negative.
            ///
            /// # Panics
            /// One is negative, NaN or infinite: an inner fault.
            #[track_caller]
            pub fn worked_out(pairs: impl IntoIterator<Item = (Oxide, f64)>) -> Self {
                match Self::new(pairs) {
                    Some(amounts) => amounts,
                    None => panic!("an amount of an oxide came out negative or as no number"),
                }
            }

            /// How much there is of an oxide; 0 where it is absent.
            pub fn get(&self, oxide: Oxide) -> f64 {
                self.0[oxide.index()]
            }

            /// The sum over all oxides.
            pub fn total(&self) -> f64 {
                self.0.iter().sum()
            }

            /// The oxides present, in the fixed order.
            pub fn iter(&self) -> impl Iterator<Item = (Oxide, f64)> + '_ {
                Oxide::ALL
                    .into_iter()
                    .map(|oxide| (oxide, self.get(oxide)))
                    .filter(|(_, amount)| *amount != 0.0)
            }

            /// All amounts in the fixed order, zeros included.
            pub fn as_slice(&self) -> &[f64; OXIDE_COUNT] {
                &self.0
            }

            /// Adds `factor` times `other` to this.
            ///
            /// # Panics
            /// `factor` is negative, NaN or infinite, or the sum is: an inner fault.
            #[track_caller]
            pub fn add_scaled(&mut self, factor: f64, other: &Self) {
                assert!(factor >= 0.0, "oxides were to be scaled by {factor}");
                for (mine, theirs) in self.0.iter_mut().zip(&other.0) {
                    *mine += factor * theirs;
                }
                self.stay_finite(factor);
            }

            /// All amounts times `factor`.
            ///
            /// # Panics
            /// As `add_scaled`.
            #[must_use]
            #[track_caller]
            pub fn scaled(&self, factor: f64) -> Self {
                assert!(factor >= 0.0, "oxides were to be scaled by {factor}");
                let scaled = Self(self.0.map(|amount| amount * factor));
                scaled.stay_finite(factor);
                scaled
            }

            /// An infinite or undefined amount shows in the sum.
            #[track_caller]
            fn stay_finite(&self, factor: f64) {
                assert!(self.total().is_finite(), "oxides scaled by {factor} came out as no number");
            }

            /// With this amount of one oxide, which is finite and not negative.
            #[must_use]
            pub fn with(mut self, oxide: Oxide, amount: f64) -> Self {
                debug_assert!(amount.is_finite() && amount >= 0.0);
                self.0[oxide.index()] = amount;
                self
            }

            /// Scaled so that the sum is 100; `None` where there is nothing.
            pub fn percent(&self) -> Option<Self> {
                let total = self.total();
                (total > 0.0).then(|| self.scaled(100.0 / total))
            }
        }
    };
}

amounts! {
    /// Grams of each fired oxide.
    OxideGrams
}
amounts! {
    /// Moles of each fired oxide.
    OxideMoles
}

impl OxideGrams {
    /// The same amounts in moles.
    pub fn to_moles(&self) -> OxideMoles {
        let mut moles = OxideMoles::ZERO;
        for oxide in Oxide::ALL {
            moles.0[oxide.index()] = self.get(oxide) / oxide.grams_per_mole();
        }
        moles
    }
}

impl OxideMoles {
    /// The same amounts in grams.
    pub fn to_grams(&self) -> OxideGrams {
        let mut grams = OxideGrams::ZERO;
        for oxide in Oxide::ALL {
            grams.0[oxide.index()] = self.get(oxide) * oxide.grams_per_mole();
        }
        grams
    }

    /// The same amounts without some oxides.
    #[must_use]
    pub fn without(&self, oxides: &[Oxide]) -> OxideMoles {
        let mut rest = self.clone();
        for oxide in oxides {
            rest.0[oxide.index()] = 0.0;
        }
        rest
    }

    /// Moles of these oxides together.
    pub fn sum_of(&self, oxides: &[Oxide]) -> f64 {
        oxides.iter().map(|&oxide| self.get(oxide)).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_negative_or_nan_gets_in() {
        assert!(OxideGrams::new([(Oxide::SiO2, -1.0)]).is_none());
        assert!(OxideGrams::new([(Oxide::SiO2, f64::NAN)]).is_none());
        assert!(OxideMoles::new([(Oxide::SiO2, f64::INFINITY)]).is_none());
        assert!(OxideMoles::new([(Oxide::SiO2, f64::MAX), (Oxide::SiO2, f64::MAX)]).is_none());
    }

    /// Run with `--release` too: these are no debug assertions.
    #[test]
    fn nothing_scaled_by_no_number_stays() {
        let silica = OxideGrams::worked_out([(Oxide::SiO2, 60.0)]);
        for factor in [f64::NAN, f64::INFINITY, -1.0, f64::MAX] {
            assert!(std::panic::catch_unwind(|| silica.scaled(factor)).is_err(), "{factor}");
            let added = std::panic::catch_unwind(|| {
                let mut sum = silica.clone();
                sum.add_scaled(factor, &silica);
                sum
            });
            assert!(added.is_err(), "{factor}");
        }
        assert!(std::panic::catch_unwind(|| OxideMoles::worked_out([(Oxide::CaO, f64::NAN)])).is_err());
        assert_eq!(silica.scaled(0.0), OxideGrams::ZERO);
    }

    #[test]
    fn sixty_grams_of_silica_are_a_mole_and_back() {
        let grams = OxideGrams::worked_out([(Oxide::SiO2, 60.083)]);
        let moles = grams.to_moles();
        assert!((moles.get(Oxide::SiO2) - 1.0).abs() < 1e-12);
        assert!((moles.to_grams().get(Oxide::SiO2) - 60.083).abs() < 1e-12);
        assert_eq!(moles.get(Oxide::CaO), 0.0);
    }
}
