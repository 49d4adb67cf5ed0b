//! Limits: ranges as data.

use crate::sort::Sort;
use crate::values::tried;

use super::{Row, Verb};

pub(super) const ROW: Row = Row {
    word: "limits",
    parameters: &[("glaze", Sort::Glaze), ("option", Sort::Options)],
    about: "Ranges that a glaze is held against.",
    gives: "A table of ranges, `#{ SiO2: [2.5, 3.5], \"SiO2:Al2O3\": [7, ()] }`: least and most, `()` for none; a third, `[0.1, 0.3, \"if used\"]`, for an oxide that needn't be there; `#{}` where it has none for this glaze.",
    asked_by: "glost check GLAZE --script NAME",
    speaks: &[],
    template: include_str!("../../templates/limits.rhai"),
    verb: Verb {
        parameter: "glaze",
        returns: Sort::Table,
        about: "The ranges that this script's `limits` gives for a glaze.",
        run: tried::limits,
    },
};
