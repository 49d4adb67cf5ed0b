//! How much glaze a square metre or a piece takes.

use glost_chemistry::quantity::{Coverage, Grams, SquareMetres};
use serde::Serialize;

/// Dry glaze on a square metre where nobody says, kg: between a thin clear (0.5)
/// and an opaque or matt (1.0). Common practice, no source.
pub const USUAL_COVERAGE: f64 = 0.8;
/// What dipping and cleaning lose where nobody says, per cent of what is mixed;
/// 10 to 25 is usual (common practice, no source).
pub const USUAL_LOSS_PERCENT: f64 = 20.0;
/// Dry glaze on a mug where nobody says, grams; 20 to 70 is usual (common
/// practice, no source).
pub const USUAL_PIECE_GRAMS: f64 = 40.0;

/// How thick a glaze goes on and what is lost on the way.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Layer {
    /// Dry glaze on the ware.
    pub coverage: Option<Coverage>,
    /// Dry glaze on one piece.
    pub piece: Option<Grams>,
    /// Of what is mixed, so much is lost: per cent, below 100.
    pub loss_percent: Option<f64>,
}

/// How much ware there is to glaze.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Extent {
    /// An area.
    Area(SquareMetres),
    /// So many pieces.
    Pieces(f64),
}

/// What counts as common practice where nobody says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Usual {
    /// [`USUAL_COVERAGE`].
    Coverage,
    /// [`USUAL_PIECE_GRAMS`].
    Piece,
    /// [`USUAL_LOSS_PERCENT`].
    Loss,
}

/// Dry glaze to mix, the losses counted in.
#[derive(Debug, Clone, PartialEq)]
pub struct OnWare {
    /// On the ware, kg to a square metre; `None` where pieces are asked and it isn't said.
    pub coverage_kg: Option<f64>,
    /// On one piece, grams; `None` where an area is asked and it isn't said.
    pub piece_grams: Option<f64>,
    /// Lost, per cent of what is mixed.
    pub loss_percent: f64,
    /// What was taken as common practice.
    pub assumptions: Vec<Usual>,
}

impl OnWare {
    /// Takes what is said, and common practice for what isn't. What `extent` doesn't
    /// ask about is not guessed.
    pub fn new(layer: &Layer, extent: Option<Extent>) -> OnWare {
        let mut assumptions = Vec::new();
        let mut coverage_kg = layer.coverage.map(Coverage::kg_per_square_metre);
        if coverage_kg.is_none() && !matches!(extent, Some(Extent::Pieces(_))) {
            assumptions.push(Usual::Coverage);
            coverage_kg = Some(USUAL_COVERAGE);
        }
        let mut piece_grams = layer.piece.map(Grams::grams);
        if piece_grams.is_none() && !matches!(extent, Some(Extent::Area(_))) {
            assumptions.push(Usual::Piece);
            piece_grams = Some(USUAL_PIECE_GRAMS);
        }
        let loss_percent = layer.loss_percent.unwrap_or_else(|| {
            assumptions.push(Usual::Loss);
            USUAL_LOSS_PERCENT
        });
        OnWare {
            coverage_kg,
            piece_grams,
            loss_percent,
            assumptions,
        }
    }

    /// Grams of dry glaze to mix for a square metre.
    pub fn grams_per_square_metre(&self) -> Option<f64> {
        self.coverage_kg.map(|coverage| 1000.0 * coverage / self.kept())
    }

    /// Grams of dry glaze to mix for a piece.
    pub fn grams_per_piece(&self) -> Option<f64> {
        self.piece_grams.map(|piece| piece / self.kept())
    }

    /// Grams of dry glaze to mix for all of it.
    pub fn grams(&self, extent: Extent) -> Option<f64> {
        match extent {
            Extent::Area(area) => self.grams_per_square_metre().map(|grams| grams * area.square_metres()),
            Extent::Pieces(pieces) => self.grams_per_piece().map(|grams| grams * pieces),
        }
    }

    fn kept(&self) -> f64 {
        1.0 - self.loss_percent / 100.0
    }
}
