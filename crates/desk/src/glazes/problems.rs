//! The checks over all of the listed glazes: only what they found.

use glost_core::rules::{Finding, Level};
use serde::{Serialize, Serializer};

use super::line::Line;
use crate::check;
use crate::wire::FindingJson;
use crate::{Desk, Failure, Question as _, Words};

/// One finding of one glaze.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// The glaze.
    pub glaze: String,
    /// What a check says of it.
    pub finding: Finding,
}

#[derive(Serialize, schemars::JsonSchema)]
struct ProblemJson<'a> {
    glaze: &'a str,
    #[serde(flatten)]
    finding: FindingJson<'a>,
}

impl Serialize for Problem {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        ProblemJson {
            glaze: &self.glaze,
            finding: FindingJson(&self.finding),
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Problem: ProblemJson<'_>);

/// Runs every check that says it applies; the heaviest findings first, accepted ones last.
pub(super) fn of(desk: &Desk, lines: &[Line]) -> Result<Vec<Problem>, Failure> {
    let mut problems = Vec::new();
    let many = check::ForMany::read(desk)?;
    for (done, line) in lines.iter().enumerate() {
        desk.so_far(done, lines.len());
        let question = check::Question::from_words(&Words::default().with("glaze", &line.glaze))?;
        let findings = question.findings(desk, &many)?;
        let told = findings
            .into_iter()
            .filter(|finding| finding.level > Level::NothingFound);
        problems.extend(told.map(|finding| Problem {
            glaze: line.glaze.clone(),
            finding,
        }));
    }
    // What is accepted weighs no more, and comes last.
    let weight = |finding: &Finding| (finding.accepted.is_none(), finding.level);
    problems.sort_by_key(|problem| std::cmp::Reverse(weight(&problem.finding)));
    Ok(problems)
}
