//! Findings that the glaze's maker accepts: marked among the others, and written into the
//! glaze's file where the call says so.

use glost_chemistry::diagnostic::{Diagnostic, did_you_mean, nearest, of_typed, suggestion};
use glost_chemistry::glaze::{Accepted, rule_and_subject};
use glost_chemistry::quantity::Date;
use glost_chemistry::read::folded;
use glost_core::rules::{Circumstances, Finding, Level, NotAccepted, WhyNot, accept, findings_of};
use glost_script::ScriptStore;
use glost_studio::FoundGlaze;
use serde::{Serialize, Serializer};

use crate::{Desk, Failure, Words};

/// A finding to be accepted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Accept {
    /// The rule.
    pub script: String,
    /// What it found something about.
    pub subject: String,
    /// Why it is accepted.
    pub because: String,
    /// The last day on which it is.
    pub until: Option<Date>,
}

impl Accept {
    pub(super) fn from_words(words: &Words) -> Result<Option<Accept>, Diagnostic> {
        let Some(typed) = words.text("accept") else {
            return Ok(None);
        };
        let wrong = |message: String, help: &str| Err(Diagnostic::error("bad-option", message).help(help));
        // One word alone is told apart once it is known what was found.
        let (script, subject) = rule_and_subject(typed).unwrap_or((typed.trim(), ""));
        let because = words.text("because").map_or("", str::trim);
        if because.is_empty() {
            return wrong(
                "--accept needs a reason".to_owned(),
                "say why: --because \"lab report 12\"",
            );
        }
        if because.chars().any(char::is_control) {
            return wrong(
                "--because: not one line of plain text".to_owned(),
                "write the reason on one line",
            );
        }
        let until =
            words.text("until").map(Date::parse).transpose().map_err(|why| {
                Diagnostic::error("bad-option", format!("--until: {}", why.message)).maybe_help(why.help)
            })?;
        Ok(Some(Accept {
            script: script.to_owned(),
            subject: subject.to_owned(),
            because: because.to_owned(),
            until,
        }))
    }

    fn finding(&self) -> String {
        format!("{} {}", self.script, self.subject)
    }

    /// The entry for a glaze's file.
    fn entry(&self, findings: &mut [Finding], of: &Circumstances, today: Date) -> Result<Accepted, Diagnostic> {
        if let Some(until) = self.until.filter(|until| *until < today) {
            let message = format!("--until: {until} is past");
            return Err(Diagnostic::error("bad-option", message).help("give a day to come, or none"));
        }
        if self.subject.is_empty() {
            return Err(half_named(&self.script, findings));
        }
        let all: Vec<String> = findings.iter().filter(|one| can_be(one)).map(name_of).collect();
        let own = findings_of(&self.script, &self.subject, findings);
        if let Some(heavy) = own.iter().find(|finding| finding.level.says_no()) {
            let what = heavy.level.words();
            let message = format!("`{}` is a finding *{what}*: that can't be accepted", self.finding());
            return Err(Diagnostic::error("not-acceptable", message).help(
                "change the recipe, the clay or the use until it is gone; a *fail* stays one whatever the reason",
            ));
        }
        let Some(first) = own.first() else {
            let error = Diagnostic::error("no-such-finding", format!("nothing here finds `{}`", self.finding()));
            let near = suggestion(&self.finding(), all.iter().map(String::as_str));
            return Err(match (near, all.as_slice()) {
                (Some(near), _) => error.help(near),
                (None, []) => error.help("there is nothing to accept"),
                (None, all) => error.help(format!("found here: {}", all.join("; "))),
            });
        };
        Ok(Accepted {
            script: first.script.to_string(),
            subject: first.subject.to_string(),
            because: self.because.clone(),
            until: self.until,
            of: Some(of.hash(first)),
        })
    }
}

/// Why one word doesn't name a finding: it is a rule alone, a subject alone, or neither.
fn half_named(typed: &str, findings: &[Finding]) -> Diagnostic {
    let named = |is: &dyn Fn(&Finding) -> bool| -> Vec<String> {
        let those = findings.iter().filter(|one| can_be(one) && is(one));
        let mut names: Vec<String> = those.map(name_of).collect();
        names.dedup();
        names
    };
    let typed_folded = folded(typed);
    let by_subject = named(&|one| folded(&one.subject) == typed_folded);
    let by_rule = named(&|one| one.is_of(typed));
    let (what, found) = match (by_subject.is_empty(), by_rule.is_empty(), typed.contains('/')) {
        (false, ..) => ("names what was found, but not the rule that finds it", by_subject),
        (true, false, _) | (true, true, true) => ("names a rule, but not what it found", by_rule),
        (true, true, false) => ("is no rule with what it found", named(&|_| true)),
    };
    let help = match found.as_slice() {
        [] => "write both: --accept \"check/metals-of-concern CuO\"".to_owned(),
        [one] => did_you_mean(one),
        several => format!("found here: {}", several.join("; ")),
    };
    Diagnostic::error("bad-option", format!("--accept: {}", of_typed(typed, what))).help(help)
}

fn can_be(finding: &Finding) -> bool {
    finding.level > Level::NothingFound && !finding.level.says_no()
}

fn name_of(finding: &Finding) -> String {
    format!("{} {}", finding.script, finding.subject)
}

/// Where a finding was written as accepted.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct AcceptedHere {
    /// The finding.
    pub finding: String,
    /// The file, below the studio's folder.
    pub file: String,
    /// Its line, from 1.
    pub line: usize,
    /// Whether the file was written: not where all stood there already.
    pub written: bool,
}

/// What came of accepting.
pub(super) struct Judged {
    pub not_accepted: Vec<NotAccepted>,
    pub accepted_here: Option<AcceptedHere>,
}

/// Writes what the call accepts, then marks among the findings what the file accepts.
pub(super) fn judge(
    desk: &Desk,
    found: &FoundGlaze,
    asked: Option<&Accept>,
    findings: &mut [Finding],
    (of, ran): (&Circumstances, &dyn Fn(&str) -> bool),
    store: &ScriptStore,
) -> Result<Judged, Failure> {
    let mut entries = found.glaze.about.accepted.clone();
    if entries.is_empty() && asked.is_none() {
        return Ok(Judged {
            not_accepted: Vec::new(),
            accepted_here: None,
        });
    }
    let today = desk.today()?;
    let mut accepted_here = None;
    if let Some(asked) = asked {
        let entry = asked.entry(findings, of, today)?;
        let written = desk.workplace().accept_finding(found, &entry)?;
        entries = written.entries;
        accepted_here = Some(AcceptedHere {
            finding: entry.finding(),
            file: written.file,
            line: written.line,
            written: written.written,
        });
    }
    let mut not_accepted = accept(findings, &entries, of, today, ran);
    for one in not_accepted.iter_mut().filter(|one| one.why == WhyNot::Gone) {
        match store.whole_name(&one.entry.script) {
            Ok(whole) if store.is_off(whole) => one.why = WhyNot::Off,
            Ok(_) => {}
            Err(_) => {
                let near = nearest(&one.entry.script, store.names()).map(str::to_owned);
                one.why = WhyNot::NoSuchRule(near);
            }
        }
    }
    Ok(Judged {
        not_accepted,
        accepted_here,
    })
}

/// An entry that isn't accepted, in JSON.
#[derive(Debug, Clone, Copy)]
pub(super) struct NotAcceptedJson<'a>(pub &'a NotAccepted);

#[derive(Serialize, schemars::JsonSchema)]
struct NotAcceptedKeys<'a> {
    finding: String,
    because: &'a str,
    until: Option<String>,
    why: &'static str,
    /// What changed since, where that is known: recipe, lot, firing, use, clay, rule.
    changed: Vec<&'static str>,
}

impl Serialize for NotAcceptedJson<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let NotAccepted { entry, why } = self.0;
        NotAcceptedKeys {
            finding: entry.finding(),
            because: &entry.because,
            until: entry.until.map(|day| day.to_string()),
            why: match why {
                WhyNot::NotYet => "not yet",
                WhyNot::Changed(_) => "changed",
                WhyNot::Past(_) => "past",
                WhyNot::Fail => "fail",
                WhyNot::NotChecked => "not checked",
                WhyNot::Gone => "no longer found",
                WhyNot::Off => "turned off",
                WhyNot::NoSuchRule(_) => "no such rule",
            },
            changed: match why {
                WhyNot::Changed(aspects) => aspects.iter().map(|one| one.word()).collect(),
                _ => Vec::new(),
            },
        }
        .serialize(to)
    }
}

crate::wire::written_as!(NotAcceptedJson<'_>: NotAcceptedKeys<'_>);
