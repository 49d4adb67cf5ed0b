//! Amounts of oxides: a fixed-order vector in grams or in moles.
//!
//! An absent oxide is zero. NaN, infinities and negatives cannot be put in by
//! a caller: [`OxideGrams::new`] and [`OxideMoles::new`] refuse them.

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
                Some(amounts)
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

            /// Adds `factor` times `other` to this; `factor` is finite and not negative.
            pub fn add_scaled(&mut self, factor: f64, other: &Self) {
                debug_assert!(factor.is_finite() && factor >= 0.0);
                for (mine, theirs) in self.0.iter_mut().zip(&other.0) {
                    *mine += factor * theirs;
                }
            }

            /// All amounts times `factor`, which is finite and not negative.
            #[must_use]
            pub fn scaled(&self, factor: f64) -> Self {
                debug_assert!(factor.is_finite() && factor >= 0.0);
                Self(self.0.map(|amount| amount * factor))
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
    }

    #[test]
    fn sixty_grams_of_silica_are_a_mole_and_back() {
        let grams = OxideGrams::new([(Oxide::SiO2, 60.083)]).unwrap_or_default();
        let moles = grams.to_moles();
        assert!((moles.get(Oxide::SiO2) - 1.0).abs() < 1e-12);
        assert!((moles.to_grams().get(Oxide::SiO2) - 60.083).abs() < 1e-12);
        assert_eq!(moles.get(Oxide::CaO), 0.0);
    }
}
