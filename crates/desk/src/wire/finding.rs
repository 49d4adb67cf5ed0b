//! A finding in JSON.

use glost_core::rules::Finding;
use serde::{Serialize, Serializer};

/// What a check found, with its numbers and the line of the script that said so.
#[derive(Debug, Clone, Copy)]
pub struct FindingJson<'a>(pub &'a Finding);

#[derive(Serialize)]
struct Keys<'a> {
    script: &'a str,
    level: &'static str,
    subject: &'a str,
    value: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
    message: &'a str,
    source: &'a str,
    line: Option<usize>,
}

impl Serialize for FindingJson<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let finding = self.0;
        Keys {
            script: &finding.script,
            level: finding.level.words(),
            subject: &finding.subject,
            value: finding.value,
            low: finding.low,
            high: finding.high,
            message: &finding.message,
            source: &finding.source,
            line: finding.line,
        }
        .serialize(to)
    }
}
