//! A question that the arithmetic of an analysis raises.

use std::fmt;

use serde::Serialize;

use crate::oxides::Basis;

/// What is odd about the sum of an analysis, wt %. It prints as a complaint about a sheet does.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum OddSum {
    /// Far from 100.
    Sum {
        /// The sum.
        percent: f64,
        /// What most likely made it so.
        cause: LikelyCause,
    },
    /// Fired, and without a loss.
    FiredWithoutLoss,
    /// A raw material whose oxides leave no room for what it must lose.
    LooksFired {
        /// The sum of its oxides.
        oxides_percent: f64,
        /// What it is by its name.
        word: String,
        /// Why that loses something.
        why: String,
        /// The usual loss.
        usual_loss: f64,
    },
}

/// What most likely made a sum odd.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum LikelyCause {
    /// The loss on ignition is missing.
    LossMissing,
    /// The oxides alone may make 100.
    PerhapsFired,
    /// The loss may have been taken off twice.
    PerhapsAsSupplied,
    /// One figure.
    Slip,
}

impl LikelyCause {
    /// By the sum, wt %, the basis and the loss that is stated, wt %.
    pub(crate) fn of(sum_percent: f64, basis: Basis, stated_loss_percent: Option<f64>) -> LikelyCause {
        let lossy = stated_loss_percent.is_some_and(|loss| loss > 3.0);
        match basis {
            _ if sum_percent < 98.0 && stated_loss_percent.is_none() && basis != Basis::Fired => {
                LikelyCause::LossMissing
            }
            Basis::AsSupplied | Basis::Dried if sum_percent > 101.5 && lossy => LikelyCause::PerhapsFired,
            Basis::Fired if sum_percent < 98.0 => LikelyCause::PerhapsAsSupplied,
            _ => LikelyCause::Slip,
        }
    }
}

impl fmt::Display for LikelyCause {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            LikelyCause::LossMissing => "is the loss on ignition missing? Add `loss_on_ignition`",
            LikelyCause::PerhapsFired => "the oxides alone may already make 100: is the basis `fired`?",
            LikelyCause::PerhapsAsSupplied => "is the basis `as supplied`, with a loss on ignition?",
            LikelyCause::Slip => "look for a slip in one figure",
        })
    }
}

impl fmt::Display for OddSum {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            OddSum::Sum { percent, cause } => write!(f, "its analysis sums to {percent:.1} %: {cause}"),
            OddSum::FiredWithoutLoss => {
                f.write_str("a fired analysis without a loss on ignition: each supplied gram may count too much")
            }
            OddSum::LooksFired {
                oxides_percent,
                word,
                why,
                usual_loss,
            } => write!(
                f,
                "its oxides make {oxides_percent:.1} % without a loss, which a raw {word} can't ({why}): it looks fired; \
                 say `basis: fired` and `loss_on_ignition: {usual_loss}`, or see `glost materials --label`"
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Short sheets lack a loss, or state one that was taken off already; long ones count the
    /// oxides as fired beside it; the rest is a slip (common practice, no source).
    #[test]
    fn an_odd_sum_is_most_likely_of_this_cause() {
        use LikelyCause::{LossMissing, PerhapsAsSupplied, PerhapsFired, Slip};
        for (sum, basis, loss, cause) in [
            (88.0, Basis::AsSupplied, None, LossMissing),
            (97.9, Basis::Dried, None, LossMissing),
            (98.0, Basis::Dried, None, Slip),
            (88.0, Basis::AsSupplied, Some(4.0), Slip),
            (88.0, Basis::Fired, None, PerhapsAsSupplied),
            (97.9, Basis::Fired, Some(12.0), PerhapsAsSupplied),
            (98.0, Basis::Fired, Some(12.0), Slip),
            (103.0, Basis::Fired, Some(12.0), Slip),
            (112.0, Basis::AsSupplied, Some(12.0), PerhapsFired),
            (101.6, Basis::Dried, Some(3.1), PerhapsFired),
            (101.5, Basis::Dried, Some(12.0), Slip),
            (112.0, Basis::Dried, Some(3.0), Slip),
            (112.0, Basis::AsSupplied, None, Slip),
        ] {
            assert_eq!(LikelyCause::of(sum, basis, loss), cause, "{sum} {basis:?} {loss:?}");
        }
    }
}
