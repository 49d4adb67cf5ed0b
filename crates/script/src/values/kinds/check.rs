//! Checks: findings on a glaze.

use crate::sort::Sort;
use crate::values::tried;

use super::{Row, Verb};

pub(super) const ROW: Row = Row {
    word: "check",
    parameters: &[("glaze", Sort::Glaze), ("option", Sort::Options)],
    about: "Findings on a glaze.",
    gives: "Nothing: it speaks by `glaze.caution`, `glaze.fail`, `glaze.nothing` or `glaze.not_checked`.",
    asked_by: "glost check GLAZE --script NAME",
    speaks: &["glaze.caution", "glaze.fail", "glaze.not_checked", "glaze.nothing"],
    template: include_str!("../../templates/check.rhai"),
    verb: Verb {
        parameter: "glaze",
        returns: Sort::Findings,
        about: "What this script's `check` finds on a glaze, given as for `t.glaze`.",
        run: tried::check,
    },
};
