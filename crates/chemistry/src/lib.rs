//! Glaze chemistry: what a glaze is once it is fired.
//!
//! Elements, formulas, oxides, analyses, materials, recipes, the unity formula and
//! its readings, models of the fired glass, quantities as the trade says them, and
//! complaints with a place. Nothing in here touches disk, terminal, clock or
//! environment: text comes in, numbers and diagnostics go out.

pub mod diagnostic;
pub mod distance;
pub mod glass;
pub mod glaze;
pub mod material;
pub mod oxides;
pub mod quantity;
pub mod read;
