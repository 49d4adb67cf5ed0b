//! `glost check --over`: a line for each finding, as CSV or JSON.
//!
//! Lines are added to bytes that the caller writes when they are due, so
//! nothing is kept of a glaze once it is written.

use crate::finding_lines::FindingLines;
use crate::words::finding::{told as told_by, told_in_one};
use glost_chemistry::diagnostic::Diagnostic;
use glost_core::rules::{self, Finding};
use glost_desk::check::over::{Taker, Tally, Whose};
use glost_desk::wire::{Complaint, Set};
use serde::Serialize;

/// How the lines are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LineFormat {
    /// Comma-separated values with a first line of headings.
    Csv,
    /// One JSON object a line.
    JsonLines,
}

const HEADINGS: &str =
    "file,row,glaze,script,level,subject,value,low,high,message,source,line,whose,hash,set,accepted\n";

#[derive(Serialize)]
struct FindingLine<'a> {
    file: &'a str,
    row: Option<usize>,
    glaze: &'a str,
    script: &'a str,
    level: &'a str,
    subject: &'a str,
    value: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
    message: &'a str,
    source: &'a str,
    line: Option<usize>,
    whose: Option<&'a rules::Whose>,
    hash: Option<&'a str>,
    set: Set<'a>,
    /// Why its glaze's file accepts it.
    #[serde(skip_serializing_if = "Option::is_none")]
    accepted: Option<&'a str>,
    /// Why the script could not look.
    #[serde(skip_serializing_if = "Option::is_none")]
    error: Option<Complaint<'a>>,
}

impl LineFormat {
    /// What stands above the lines.
    pub fn headings(self) -> &'static str {
        match self {
            LineFormat::Csv => HEADINGS,
            LineFormat::JsonLines => "",
        }
    }

    /// Adds an error as a line of JSON, `{"error": ...}`, whatever the format.
    pub fn error(self, lines: &mut FindingLines, error: &Diagnostic) {
        json_line(lines, &crate::diagnostic::json(error));
    }
}

impl Taker for LineFormat {
    type Lines = FindingLines;

    /// Adds the line of a finding.
    fn finding(&self, lines: &mut FindingLines, whose: Whose<'_>, finding: &Finding) {
        if *self == LineFormat::Csv {
            return lines.csv(whose, finding, &told_in_one(finding));
        }
        let message = &*told_by(finding);
        let line = FindingLine {
            file: whose.file,
            row: whose.row,
            glaze: whose.glaze,
            script: &finding.script,
            level: finding.level.words(),
            subject: &finding.subject,
            value: finding.value,
            low: finding.low,
            high: finding.high,
            message,
            source: &finding.source,
            line: finding.line,
            whose: finding.signed.as_deref().map(|signed| &signed.whose),
            hash: finding.signed.as_deref().map(|signed| signed.hash.as_str()),
            set: Set(finding.signed.as_deref().map_or(&[], |signed| &signed.set)),
            accepted: finding.accepted.as_ref().map(|accepted| accepted.because.as_str()),
            error: finding.broke.as_deref().map(Complaint),
        };
        json_line(lines, &line);
    }

    /// Adds the line of a glaze that can't be read: *not checked* in CSV, the
    /// usual `{"error": ...}` in JSON.
    fn unreadable(&self, lines: &mut FindingLines, whose: Whose<'_>, error: &Diagnostic) {
        match self {
            LineFormat::Csv => {
                let place = error.place.as_ref();
                let column = place.filter(|_| whose.row.is_some()).map_or(String::new(), |place| {
                    format!("row {}, column {}: ", place.mark.line, place.mark.column)
                });
                let help = error.help.as_ref().map_or(String::new(), |help| format!("; {help}"));
                lines.unreadable_csv(whose, error.code, &format!("{column}{}{help}", error.message));
            }
            LineFormat::JsonLines => self.error(lines, error),
        }
    }
}

/// Writing into memory can't fail, and the numbers are finite or null.
fn json_line(lines: &mut FindingLines, line: &impl Serialize) {
    let _ = serde_json::to_writer(&mut *lines.bytes(), line);
    lines.bytes().push(b'\n');
}

/// One line for the end.
pub fn tally(tally: &Tally) -> String {
    let told: Vec<String> = [
        (tally.failed, "fail"),
        (tally.not_checked, "not checked"),
        (tally.cautioned, "with cautions"),
        (tally.noted, "with notes"),
        (tally.quiet, "with nothing found"),
        (tally.unreadable, "unreadable"),
    ]
    .into_iter()
    .filter(|(number, _)| *number > 0)
    .map(|(number, what)| format!("{} {what}", grouped(number)))
    .collect();
    let glazes = tally.glazes();
    let noun = if glazes == 1 { "glaze" } else { "glazes" };
    let but = if told.is_empty() {
        String::new()
    } else {
        format!(": {}", told.join(", "))
    };
    format!("{} {noun} checked{but}\n", grouped(glazes))
}

/// How far it has come, for long work.
pub fn progress(tally: &Tally, a_second: f64) -> String {
    let done = tally.glazes() + tally.unreadable;
    format!("{} glazes, {} a second", grouped(done), grouped(a_second as u64))
}

/// `1,234,567`.
fn grouped(number: u64) -> String {
    let digits = number.to_string();
    let mut text = String::new();
    for (index, digit) in digits.chars().enumerate() {
        if index > 0 && (digits.len() - index).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use glost_core::rules::Level;

    #[test]
    fn a_finding_is_one_line_whatever_is_in_it() {
        let finding = Finding {
            script: "check/own".into(),
            level: Level::Caution,
            subject: "SiO2".into(),
            value: Some(0.1 + 0.2),
            low: Some(3.0),
            high: None,
            message: "low, \"very\"\nlow".into(),
            source: "own".into(),
            line: Some(7),
            signed: Some(std::sync::Arc::new(glost_core::rules::Signature {
                script: "check/own".to_owned(),
                whose: glost_core::rules::Whose::Yours,
                hash: "0123456789ab".to_owned(),
                set: vec![("least".to_owned(), glost_core::rules::OptionValue::Number(3.5))],
            })),
            accepted: None,
            broke: None,
        };
        let whose = Whose {
            file: "g.csv",
            row: Some(12),
            glaze: "A, b",
        };
        let mut lines = FindingLines::default();
        Taker::finding(&LineFormat::Csv, &mut lines, whose, &finding);
        Taker::finding(&LineFormat::JsonLines, &mut lines, whose, &finding);
        assert_eq!(
            String::from_utf8_lossy(lines.as_bytes()),
            "g.csv,12,\"A, b\",check/own,caution,SiO2,0.30000000000000004,3,,\"low, \"\"very\"\" low\",own,7,yours,0123456789ab,least=3.5,\n\
             {\"file\":\"g.csv\",\"row\":12,\"glaze\":\"A, b\",\"script\":\"check/own\",\"level\":\"caution\",\
             \"subject\":\"SiO2\",\"value\":0.30000000000000004,\"low\":3.0,\"high\":null,\
             \"message\":\"low, \\\"very\\\"\\nlow\",\"source\":\"own\",\"line\":7,\
             \"whose\":\"yours\",\"hash\":\"0123456789ab\",\"set\":{\"least\":3.5}}\n"
        );
    }

    #[test]
    fn the_worst_decides_the_exit_code() {
        let mut tally = Tally::default();
        assert_eq!(
            (tally.exit_code(), super::tally(&tally).as_str()),
            (0, "0 glazes checked\n")
        );
        tally.count(Level::Caution);
        assert_eq!(tally.exit_code(), 0);
        tally.count(Level::NotChecked);
        assert_eq!(tally.exit_code(), 1);
        tally.unreadable = 1_234_567;
        assert_eq!(tally.exit_code(), 2);
        assert_eq!(
            super::tally(&tally),
            "2 glazes checked: 1 not checked, 1 with cautions, 1,234,567 unreadable\n"
        );
    }
}
