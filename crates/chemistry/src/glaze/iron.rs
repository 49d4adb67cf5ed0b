//! How iron is counted in a unity formula.
//!
//! Fired in air, iron is Fe2O3 and no flux. In reduction 30 to 90 % of it is FeO, which fluxes,
//! and above some 1230 C iron gives up oxygen in any kiln (M. Cardew, Pioneer Pottery, 1969,
//! from memory). Whoever knows better than the usual count says so.

use crate::diagnostic::{of_typed, under};
use crate::quantity::{NumberTrouble, parse_number};

/// The share of a glaze's iron that counts as FeO, a flux; two FeO for each Fe2O3.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct IronCount {
    feo_share: f64,
}

impl IronCount {
    /// All iron as Fe2O3, no flux: the usual count.
    pub const FE2O3: IronCount = IronCount { feo_share: 0.0 };
    /// All iron as FeO.
    pub const FEO: IronCount = IronCount { feo_share: 1.0 };

    /// A share of 0 to 1 as FeO.
    pub fn feo(share: f64) -> Option<IronCount> {
        (0.0..=1.0).contains(&share).then_some(IronCount { feo_share: share })
    }

    /// The share that counts as FeO, 0 to 1.
    pub fn feo_share(self) -> f64 {
        self.feo_share
    }

    /// As files write it: what [`IronCount::parse`] reads.
    pub fn words(self) -> String {
        if self == IronCount::FEO {
            "FeO".to_owned()
        } else if self == IronCount::FE2O3 {
            "Fe2O3".to_owned()
        } else {
            format!("{} % FeO", 100.0 * self.feo_share)
        }
    }

    /// Reads `FeO`, `Fe2O3`, `80 % FeO`.
    ///
    /// # Errors
    /// Anything else.
    pub fn parse(text: &str) -> Result<IronCount, NumberTrouble> {
        let trouble = |message: String| NumberTrouble {
            message,
            help: Some("write FeO, Fe2O3, or a share such as 80 % FeO".to_owned()),
        };
        let words = text.trim();
        let Some((share, oxide)) = words.split_once('%') else {
            return match words {
                "FeO" => Ok(IronCount::FEO),
                "Fe2O3" => Ok(IronCount::FE2O3),
                _ => Err(trouble(of_typed(words, "doesn't say how iron is counted"))),
            };
        };
        let share = parse_number(share).map_err(|_| trouble(of_typed(words, "has no share of iron")))?;
        let share =
            IronCount::feo(share.value / 100.0).ok_or_else(|| trouble(under(words, "a share is 0 to 100 %")))?;
        match oxide.trim() {
            "FeO" => Ok(share),
            "Fe2O3" => Ok(IronCount {
                feo_share: 1.0 - share.feo_share,
            }),
            _ => Err(trouble(of_typed(words, "doesn't say how iron is counted"))),
        }
    }
}

impl Default for IronCount {
    fn default() -> Self {
        IronCount::FE2O3
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn iron_is_counted_as_said() {
        let share = |text: &str| IronCount::parse(text).map(IronCount::feo_share);
        assert_eq!(share("FeO"), Ok(1.0));
        assert_eq!(share("Fe2O3"), Ok(0.0));
        assert_eq!(share("80 % FeO"), Ok(0.8));
        assert_eq!(share("25% Fe2O3"), Ok(0.75));
        for words in ["FeO", "Fe2O3", "80 % FeO"] {
            assert_eq!(IronCount::parse(words).map(IronCount::words), Ok(words.to_owned()));
        }
        for odd in ["", "iron", "120 % FeO", "-5 % FeO", "% FeO", "80 % CuO", "nan % FeO"] {
            assert!(share(odd).is_err(), "{odd}");
        }
    }
}
