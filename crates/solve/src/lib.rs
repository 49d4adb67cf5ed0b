//! Numerical kernels behind every question about a recipe: dense, exact, deterministic.
//!
//! They know nothing of glazes. They see slices of `f64` in whatever units the caller
//! scales to, and what they return is in the same units.
//!
//! | module | question | method |
//! |---|---|---|
//! | [`nnls`] | nearest fit with non-negative amounts | active set on the Gram matrix |
//! | [`qp`] | least change within limits; which limits clash | dual active set |
//! | [`lp`] | least cost within limits | proximal steps of the same |
//! | [`cone`] | least change within cones | Clarabel's interior point |
//! | [`subset`] | nearest fit with few columns, and the next best | branch and bound |
//! | [`normal`] | the normal distribution, both tails | series and continued fraction |
//! | [`lattice`] | mixtures of a function of a difference | one table, inner products |
//! | [`plain`] | the same, slow and obvious | textbook versions, the oracle of the tests |
//!
//! Promises common to all of them:
//! * inputs that are not finite are refused ([`KernelError`]), so no answer holds a NaN;
//! * no threads, clock or randomness: the same input gives the same bits, and ties go to
//!   the lower index;
//! * a workspace is reused: once it has grown to the problem's size, solving again
//!   allocates nothing.

mod active_set;
pub mod cone;
pub(crate) mod dense;
mod error;
mod factor;
pub mod lattice;
pub mod lp;
pub mod nnls;
pub mod normal;
pub mod plain;
pub mod qp;
pub mod subset;
pub(crate) mod unit_columns;

pub use error::KernelError;

/// The README's program, compiled and run with the other examples.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
pub struct Readme;
