//! Swaps: recipes where a material is gone.

use crate::sort::Sort;
use crate::values::tried;

use super::{Row, Verb};

pub(super) const ROW: Row = Row {
    word: "swap",
    parameters: &[("glaze", Sort::Glaze), ("option", Sort::Options)],
    about: "Recipes where a material is gone.",
    gives: "A recipe or a list of them, the best first: what `materials.solve` found, glazes, or `#{ glaze: recipe, why: \"...\" }`. A text instead says why it proposes nothing.",
    asked_by: "glost swap GLAZE --out MATERIAL --script NAME",
    speaks: &[],
    template: include_str!("../../templates/swap.rhai"),
    verb: Verb {
        parameter: "glaze",
        returns: Sort::List(&Sort::Glaze),
        about: "The recipes that this script's `swap` gives, each with its `why`; say with `t.asked` what is gone.",
        run: tried::swap,
    },
};
