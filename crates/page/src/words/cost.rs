//! What counts as common practice where nobody says how much glaze goes on.

use glost_core::workshop::cost::{USUAL_COVERAGE, USUAL_LOSS_PERCENT, USUAL_PIECE_GRAMS, Usual};

pub(crate) fn usual(usual: Usual) -> String {
    match usual {
        Usual::Coverage => format!(
            "{USUAL_COVERAGE} kg of dry glaze on a square metre: 0.5 for a thin clear, 1 for an opaque or matt \
             (common practice, no source); weigh a tile before and after"
        ),
        Usual::Piece => format!(
            "{USUAL_PIECE_GRAMS} g of dry glaze on a piece: a mug takes 20 to 70 (common practice, no source); \
             weigh a piece before and after"
        ),
        Usual::Loss => format!(
            "{USUAL_LOSS_PERCENT} % of what is mixed is lost in dipping and cleaning: 10 to 25 is usual \
             (common practice, no source)"
        ),
    }
}
