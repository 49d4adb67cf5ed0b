//! What a kernel refuses to work on.

use std::fmt;

/// Why a kernel gave no answer. Infeasibility is an answer, not one of these.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum KernelError {
    /// A slice has the wrong length.
    Shape {
        /// Which argument.
        what: &'static str,
        /// The length it must have.
        expected: usize,
        /// The length it has.
        found: usize,
    },
    /// A number is NaN, infinite or beyond what can be squared safely; or the answer's
    /// numbers (`x`) grew beyond that.
    NotFinite {
        /// Which argument.
        what: &'static str,
        /// Position in that argument.
        index: usize,
    },
    /// The Hessian has a direction without curvature.
    NotPositiveDefinite {
        /// The variable whose pivot failed.
        index: usize,
    },
    /// Rounding kept the method from finishing; the count of steps it made.
    StepLimit(usize),
}

impl fmt::Display for KernelError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Shape { what, expected, found } => {
                write!(f, "{what} has {found} entries, {expected} were expected")
            }
            Self::NotFinite { what, index } => {
                write!(f, "entry {index} of {what} is not a usable number")
            }
            Self::NotPositiveDefinite { index } => {
                write!(f, "the Hessian is not positive definite at variable {index}")
            }
            Self::StepLimit(steps) => write!(f, "no answer after {steps} steps"),
        }
    }
}

impl std::error::Error for KernelError {}

/// Largest magnitude a kernel accepts: its square, times any length met here, is finite.
pub(crate) const LARGEST: f64 = 1e140;

/// `values` must have length `expected` and hold only numbers up to [`LARGEST`].
pub(crate) fn check(what: &'static str, values: &[f64], expected: usize) -> Result<(), KernelError> {
    if values.len() != expected {
        return Err(KernelError::Shape {
            what,
            expected,
            found: values.len(),
        });
    }
    match values.iter().position(|v| v.is_nan() || v.abs() > LARGEST) {
        Some(index) => Err(KernelError::NotFinite { what, index }),
        None => Ok(()),
    }
}

/// Limits must be numbers up to [`LARGEST`]; a lower one may be minus infinity, an upper
/// one infinity.
pub(crate) fn check_limits(
    what: &'static str,
    lower: &[f64],
    upper: &[f64],
    expected: usize,
) -> Result<(), KernelError> {
    for (values, none) in [(lower, f64::NEG_INFINITY), (upper, f64::INFINITY)] {
        if values.len() != expected {
            return Err(KernelError::Shape {
                what,
                expected,
                found: values.len(),
            });
        }
        let bad = values
            .iter()
            .position(|v| *v != none && (v.is_nan() || v.abs() > LARGEST));
        if let Some(index) = bad {
            return Err(KernelError::NotFinite { what, index });
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_refusal_says_what_is_wrong() {
        let said = |values: &[f64], expected| check("cost", values, expected).map_err(|error| error.to_string());
        assert_eq!(said(&[1.0, -1e140], 2), Ok(()));
        assert_eq!(said(&[1.0], 2), Err("cost has 1 entries, 2 were expected".to_owned()));
        for bad in [f64::NAN, f64::NEG_INFINITY, 1.1e140] {
            assert_eq!(
                said(&[1.0, bad], 2),
                Err("entry 1 of cost is not a usable number".to_owned())
            );
        }
        assert_eq!(KernelError::StepLimit(7).to_string(), "no answer after 7 steps");
        assert_eq!(
            KernelError::NotPositiveDefinite { index: 3 }.to_string(),
            "the Hessian is not positive definite at variable 3"
        );
    }
}
