//! Faults: what may have caused something that is seen on a piece.

use rhai::{Dynamic, EvalAltResult, Map, NativeCallContext};

use crate::sort::Sort;
use crate::trouble::trouble;
use crate::values::{SeenValue, TesterValue, causes, tried};

use super::{Row, Verb};

pub(super) const ROW: Row = Row {
    word: "fault",
    parameters: &[("glaze", Sort::Glaze), ("seen", Sort::Seen), ("option", Sort::Options)],
    about: "Causes of what is seen on a piece, each with the one change that tells it apart.",
    gives: "A list of causes, `#{ stage: \"recipe\", cause: \"...\", weight: 0.4, number: 12.5, of: \"loss on ignition, %\", test: \"...\" }`; number and of may be left out. stage is place, coat, firing or recipe; weight 0 to 1.",
    asked_by: "glost fault \"PINHOLES\" GLAZE --script NAME",
    speaks: &[],
    template: include_str!("../../templates/fault.rhai"),
    verb: Verb {
        parameter: "seen",
        returns: Sort::List(&Sort::Table),
        about: "The causes that this script's `fault` gives for `#{ glaze: ..., fault: \"pinholes\", where: \"rims\" }`; `where` may be left out.",
        run,
    },
};

fn run(context: &NativeCallContext, tester: &TesterValue, given: &Dynamic) -> Result<Dynamic, Box<EvalAltResult>> {
    let wrong = || trouble("wrong-kind", "`t.fault` takes a table with `glaze` and `fault`");
    let table = given.read_lock::<Map>().ok_or_else(wrong)?;
    let glaze = tried::glaze(table.get("glaze").ok_or_else(wrong)?)?;
    let seen = SeenValue::from_table(&table)?;
    let option = tester.own_options()?;
    let answer = context.call_fn::<Dynamic>(ROW.word, (glaze, seen, option))?;
    causes(&answer)?;
    Ok(answer)
}
