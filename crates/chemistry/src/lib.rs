//! Glaze chemistry: what a glaze is once it is fired.
//!
//! Elements, formulas, oxides, analyses, materials, recipes, the unity formula and
//! its readings, models of the fired glass, quantities as the trade says them, and
//! complaints with a place. Nothing in here touches disk, terminal, clock or
//! environment: text comes in, numbers and diagnostics go out.

mod assumption;
pub mod diagnostic;
pub mod distance;
mod errors;
pub mod glass;
pub mod glaze;
pub mod material;
mod odd_sum;
pub mod oxides;
pub mod quantity;
pub mod read;
mod recipe;

pub use assumption::{Assumption, ModelAssumption, OutsideModel, RecipeAssumption, SheetAssumption};
pub use glass::Expansion;
pub use material::Library as Materials;
pub use odd_sum::{LikelyCause, OddSum};
pub use oxides::{Oxide, OxideGrams, OxideMoles};
pub use recipe::{Fired, Recipe, RecipeError};

/// The README's program, compiled and run with the other examples.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
pub struct Readme;
