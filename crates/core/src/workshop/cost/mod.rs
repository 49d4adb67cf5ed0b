//! What a glaze costs: a batch, a kilogram, a litre, a square metre, a piece.
//!
//! A price that isn't known is named and never counted as nothing; amounts in
//! two currencies are never added.

mod batch;
mod glaze_cost;
mod on_ware;

pub use batch::{Cost, CostLine, Unpriced, cost};
pub use glaze_cost::{CostOrder, GlazeCost, Total, glaze_cost};
pub use on_ware::{Extent, Layer, OnWare, USUAL_COVERAGE, USUAL_LOSS_PERCENT, USUAL_PIECE_GRAMS, Usual};
