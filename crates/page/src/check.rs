//! `glost check`.

use glost_core::rules::{Finding, Level};
use serde_json::{Value, json};

use crate::layout::{Style, indented, paragraph};
use crate::number;

/// What checks found on a glaze.
#[derive(Debug, Clone)]
pub struct CheckPage<'a> {
    /// The glaze's name.
    pub glaze: &'a str,
    /// What the checks say, in their order.
    pub findings: &'a [Finding],
    /// The use that was asked, where one was.
    pub usage: Option<&'a str>,
    /// Whether a check among them looked at the pieces on the glaze's clay.
    pub looked_at_pieces: bool,
    /// Names of the scripts that ran.
    pub ran: Vec<String>,
    /// The limits for the glaze's firing; `None` where scripts were named.
    pub limits: Option<Vec<String>>,
    /// Scripts for other firings, each with what it is for.
    pub not_for_this: Vec<(String, String)>,
    /// The other way of counting iron, where the firing leaves it open.
    pub iron: Option<IronReading>,
}

/// A unity formula with all iron counted as FeO, moles.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct IronReading {
    /// SiO2.
    pub silica: f64,
    /// Al2O3.
    pub alumina: f64,
    /// FeO.
    pub feo: f64,
}

impl CheckPage<'_> {
    /// The heaviest level.
    pub fn worst(&self) -> Level {
        self.findings
            .iter()
            .map(|finding| finding.level)
            .max()
            .unwrap_or(Level::NothingFound)
    }

    /// The contract's JSON.
    pub fn json(&self) -> Value {
        json!({
            "glaze": self.glaze,
            "findings": self.findings.iter().map(finding_json).collect::<Vec<_>>(),
            "worst": self.worst().words(),
            "limits": self.limits,
            "not_for_this": self
                .not_for_this
                .iter()
                .map(|(script, cones)| json!({"script": script, "cones": cones}))
                .collect::<Vec<_>>(),
            "iron": self.iron_words(),
        })
    }

    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
        let mut text = style.bold(paragraph(&self.headline(), 0).trim_end());
        text.push('\n');
        for level in [Level::Fail, Level::NotChecked, Level::Caution] {
            for alike in self.told_alike(level) {
                text.push('\n');
                text.push_str(&finding_text(&alike));
            }
        }
        let quiet: Vec<&str> = self
            .findings
            .iter()
            .filter(|finding| finding.level == Level::NothingFound)
            .map(|finding| finding.script.as_str())
            .collect();
        text.push('\n');
        for reading in self.findings.iter().filter(|finding| is_reading(finding)) {
            text.push_str(&indented(
                &format!("{}: ", reading.subject),
                &format!("{}.", reading.message),
            ));
        }
        if !quiet.is_empty() {
            text.push_str(&indented("Nothing found by: ", &format!("{}.", quiet.join(", "))));
        }
        if let Some(words) = self.limits_words() {
            text.push_str(&indented("Limits: ", &words));
        }
        if let Some(words) = self.iron_words() {
            text.push_str(&indented("Iron: ", &words));
        }
        let fit = if self.looked_at_pieces {
            ""
        } else {
            "fit on your clay, "
        };
        text.push_str(&indented(
            "Not covered: ",
            &format!(
                "{fit}the firing itself, leaching. Numbers from a recipe can't clear a piece for food: only a laboratory's leach test on the fired piece can answer that."
            ),
        ));
        text
    }

    fn limits_words(&self) -> Option<String> {
        let limits = self.limits.as_ref()?;
        Some(if limits.is_empty() {
            "none for this cone; `glost check GLAZE --script NAME` holds it against one you name.".to_owned()
        } else {
            format!("held against {}.", limits.join(", "))
        })
    }

    fn iron_words(&self) -> Option<String> {
        let iron = self.iron?;
        Some(format!(
            "what is said of the unity formula hangs on how iron is counted: here as Fe2O3, no flux. In reduction 30 to 90 % of it is FeO (from memory); with all of it so SiO2 would be {}, Al2O3 {}, FeO {}. Limits keep their author's count.",
            number::unity(iron.silica),
            number::unity(iron.alumina),
            number::unity(iron.feo)
        ))
    }

    /// The findings of a level, those in the same words together, in order of the first.
    fn told_alike(&self, level: Level) -> Vec<Vec<&Finding>> {
        let mut alike: Vec<Vec<&Finding>> = Vec::new();
        for finding in self.findings.iter().filter(|finding| finding.level == level) {
            let same = |known: &&mut Vec<&Finding>| {
                known
                    .first()
                    .is_some_and(|first| first.subject == finding.subject && first.message == finding.message)
            };
            match alike.iter_mut().find(same) {
                Some(known) => known.push(finding),
                None => alike.push(vec![finding]),
            }
        }
        alike
    }

    fn headline(&self) -> String {
        let count = |level: Level| self.findings.iter().filter(|finding| finding.level == level).count();
        let told = |number: usize, one: &str, many: &str| match number {
            0 => None,
            1 => Some(format!("1 {one}")),
            more => Some(format!("{more} {many}")),
        };
        let parts: Vec<String> = [
            told(count(Level::Fail), "check says no", "checks say no"),
            told(count(Level::NotChecked), "could not be checked", "could not be checked"),
            told(count(Level::Caution), "caution", "cautions"),
        ]
        .into_iter()
        .flatten()
        .collect();
        let as_what = self.usage.map(|usage| format!(" as {usage}")).unwrap_or_default();
        if parts.is_empty() {
            let checks = match self.ran.len() {
                1 => "1 check".to_owned(),
                more => format!("{more} checks"),
            };
            return format!("{}{as_what}: nothing found by {checks}.", self.glaze);
        }
        format!("{}{as_what}: {}.", self.glaze, parts.join(", "))
    }
}

/// A finding as JSON.
pub fn finding_json(finding: &Finding) -> Value {
    json!({
        "script": finding.script,
        "level": finding.level.words(),
        "subject": finding.subject,
        "value": finding.value,
        "low": finding.low,
        "high": finding.high,
        "message": finding.message,
        "source": finding.source,
        "line": finding.line,
    })
}

/// Nothing found, but a number that tells something: a reading.
fn is_reading(finding: &Finding) -> bool {
    finding.level == Level::NothingFound && finding.value.is_some()
}

/// Findings in the same words are told once, with every script that says so.
fn finding_text(alike: &[&Finding]) -> String {
    let Some(finding) = alike.first() else {
        return String::new();
    };
    let lead = format!("{}: ", finding.level.words());
    let told = if finding.message.starts_with(&finding.subject) {
        finding.message.clone()
    } else {
        format!("{}: {}", finding.subject, finding.message)
    };
    let mut text = indented(&lead, &told);
    let indent = " ".repeat(4);
    let said_by = match alike {
        [one] => format!("({}; {})", one.script, one.source),
        several => format!(
            "({})",
            several
                .iter()
                .map(|one| one.script.as_str())
                .collect::<Vec<_>>()
                .join(", ")
        ),
    };
    text.push_str(&indented(&indent, &said_by));
    text
}
