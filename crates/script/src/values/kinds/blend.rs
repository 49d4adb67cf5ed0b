//! Blends: tiles as shares of their ends.

use crate::sort::Sort;
use crate::values::tried;

use super::{Row, Verb};

pub(super) const ROW: Row = Row {
    word: "blend",
    parameters: &[("ends", Sort::List(&Sort::Glaze)), ("option", Sort::Options)],
    about: "Test tiles between glazes, as shares of them.",
    gives: "A list of tiles, each the shares of its ends: `[[1, 0], [0.5, 0.5], [0, 1]]`, or `#{ code: \"A1\", shares: [1, 0] }` with the code for its back. Shares are 0 to 1 and sum to 1.",
    asked_by: "glost blend KIND END... --script NAME",
    speaks: &[],
    template: include_str!("../../templates/blend.rhai"),
    verb: Verb {
        parameter: "ends",
        returns: Sort::List(&Sort::Any),
        about: "The shares of each tile that this script's `blend` plans.",
        run: tried::blend,
    },
};
