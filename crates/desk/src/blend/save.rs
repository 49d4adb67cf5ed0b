//! A plan's file.

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::Glaze;
use glost_chemistry::quantity::Date;
use serde::Serialize;

use super::Answer;

#[derive(Serialize, schemars::JsonSchema)]
struct SavedJson<'a> {
    plan: &'a str,
    on: String,
    call: &'a str,
    clay: Option<String>,
    cone: Option<String>,
    firing: Option<String>,
    dry: f64,
    volume: Option<f64>,
    #[serde(flatten)]
    answer: &'a Answer,
}

/// The text of the plan's file: the answer as JSON, with its name, the day and how it was
/// made before it.
pub(super) fn file(answer: &Answer, name: &str, on: Date, call: &str) -> Result<String, Diagnostic> {
    let saved = SavedJson {
        plan: name,
        on: on.to_string(),
        call,
        clay: same(&answer.ends, |end| end.about.clay.clone()),
        cone: same(&answer.ends, |end| end.about.cone.clone()),
        firing: same(&answer.ends, |end| end.about.firing.clone()),
        dry: answer.dry_grams,
        volume: answer.volume_millilitres,
        answer,
    };
    let text = serde_json::to_value(&saved)
        .and_then(|value| serde_json::to_string_pretty(&value))
        .map_err(|error| Diagnostic::error("cannot-write", format!("the plan can't be written: {error}")))?;
    Ok(format!("{text}\n"))
}

/// What all ends that say it say alike.
fn same(ends: &[Glaze], of: impl Fn(&Glaze) -> Option<String>) -> Option<String> {
    let mut said = ends.iter().filter_map(of);
    let first = said.next()?;
    said.all(|other| other == first).then_some(first)
}
