//! A plan that notes name and that isn't kept any more.

use glost_chemistry::diagnostic::Diagnostic;
use glost_core::evidence::notes::Notes;
use glost_core::tiles::blend::lines_of_plan;

/// The complaint about it; `None` where no note names such a plan.
pub(crate) fn lost_plan(name: &str, notes: &Notes) -> Option<Diagnostic> {
    let lines = lines_of_plan(notes, name);
    let (first, last) = (lines.first()?, lines.last()?);
    let noted = match lines.len() {
        1 => format!("one note is about its tiles (line {first})"),
        many => format!("{many} notes are about its tiles (lines {first} to {last})"),
    };
    let error = Diagnostic::error(
        "plan-gone",
        format!("the plan `{name}` isn't kept here any more, though {noted}"),
    );
    Some(error.help(format!(
        "bring plans/{name}.json back from a copy: the notes stand, and count again once it is there"
    )))
}
