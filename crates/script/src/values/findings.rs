//! What a check found, and what a test claims about it.

use std::sync::Arc;

use glost_chemistry::diagnostic::suggestion;
use glost_core::rules::{Finding, Level};
use rhai::{Array, Dynamic, EvalAltResult, ImmutableString, NativeCallContext};

use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;
use crate::trouble::Trouble;

use super::claims::claim;
use super::{TesterValue, no_such_name};

type Raised = Box<EvalAltResult>;

/// What a check found, in a test.
#[derive(Debug, Clone)]
pub(crate) struct FindingsValue(pub(super) Arc<[Finding]>);

/// The levels that a test may name.
const LEVELS: [Level; 5] = [
    Level::NothingFound,
    Level::Note,
    Level::Caution,
    Level::NotChecked,
    Level::Fail,
];

fn found_words(findings: &[Finding]) -> String {
    let said: Vec<String> = findings
        .iter()
        .map(|finding| {
            let told = finding
                .message
                .text()
                .map_or_else(String::new, |text| format!(" ({text})"));
            format!("{}: {}{told}", finding.level.words(), finding.subject)
        })
        .collect();
    if said.is_empty() {
        "it found nothing".to_owned()
    } else {
        format!("it found {}", said.join("; "))
    }
}

pub(super) fn register(shelf: &mut Shelf) {
    shelf.module.set_custom_type::<FindingsValue>(Sort::Findings.words());
    claims_about_findings(shelf);
    what_they_are(shelf);
}

fn claims_about_findings(shelf: &mut Shelf) {
    const OWNER: Sort = Sort::Tester;
    shelf.add(
        Entry::method(
            OWNER,
            "expect",
            "findings, subject",
            Sort::Nothing,
            "There must be a caution, a fail or a not-checked about the subject.",
        )
        .example("t.expect(t.check(#{ Na2O: 0.6, CaO: 0.4, Al2O3: 0.4, SiO2: 3 }), \"R2O\")"),
        |context: NativeCallContext, _: &mut TesterValue, findings: FindingsValue, subject: &str| {
            let holds = findings
                .0
                .iter()
                .any(|finding| *finding.subject == *subject && finding.level != Level::NothingFound);
            claim(&context, holds, || {
                format!("expected a finding about {subject}; {}", found_words(&findings.0))
            })
        },
    );
    shelf.add(
        Entry::method(
            OWNER,
            "expect_level",
            "findings, level",
            Sort::Nothing,
            "The worst finding must be of this level: \"nothing found\", \"caution\", \"not checked\" or \"fail\".",
        ),
        |context: NativeCallContext, _: &mut TesterValue, findings: FindingsValue, level: &str| -> Result<(), Raised> {
            if let Some(why) = no_such_level(level) {
                return Err(why.raise());
            }
            let worst = findings.worst();
            claim(&context, worst == level, || {
                format!("expected {level}; {}", found_words(&findings.0))
            })
        },
    );
    shelf.add(
        Entry::method(
            OWNER,
            "expect_nothing",
            "findings",
            Sort::Nothing,
            "There must be nothing but what is of the level *nothing found*.",
        ),
        |context: NativeCallContext, _: &mut TesterValue, findings: FindingsValue| {
            let holds = findings.0.iter().all(|finding| finding.level == Level::NothingFound);
            claim(&context, holds, || {
                format!("expected nothing; {}", found_words(&findings.0))
            })
        },
    );
}

/// What is wrong with a level that a test names.
fn no_such_level(level: &str) -> Option<Trouble> {
    let words = LEVELS.map(Level::words);
    (!words.contains(&level)).then(|| {
        Trouble::new("wrong-value", format!("no finding has the level `{level}`")).maybe_help(suggestion(level, words))
    })
}

impl FindingsValue {
    fn worst(&self) -> &'static str {
        let worst = self.0.iter().map(|finding| finding.level).max();
        worst.unwrap_or(Level::NothingFound).words()
    }
}

fn what_they_are(shelf: &mut Shelf) {
    const OWNER: Sort = Sort::Findings;
    shelf.add(
        Entry::property(OWNER, "len", Sort::Number, "How many there are."),
        |findings: &mut FindingsValue| findings.0.len() as i64,
    );
    shelf.add(
        Entry::property(OWNER, "worst", Sort::Text, "The worst level among them, in words."),
        |findings: &mut FindingsValue| ImmutableString::from(findings.worst()),
    );
    shelf.add(
        Entry::property(
            OWNER,
            "subjects",
            Sort::List(&Sort::Text),
            "What they are about, in order.",
        ),
        |findings: &mut FindingsValue| -> Array {
            findings
                .0
                .iter()
                .map(|finding| Dynamic::from(ImmutableString::from(&*finding.subject)))
                .collect()
        },
    );
    shelf.add(
        Entry::property(OWNER, "messages", Sort::List(&Sort::Text), "What they say, in order."),
        |findings: &mut FindingsValue| -> Array {
            findings
                .0
                .iter()
                .filter_map(|finding| finding.message.text())
                .map(|message| Dynamic::from(ImmutableString::from(message)))
                .collect()
        },
    );
    shelf.silent(
        "index$get$",
        |_: &mut FindingsValue, _: i64| -> Result<Dynamic, Raised> {
            Err(Trouble::new("wrong-kind", "findings aren't counted through")
                .help("what they say is `findings.messages[0]`, what they are about `findings.subjects[0]`")
                .raise())
        },
    );
    shelf.silent(
        "index$get$",
        |_: &mut FindingsValue, name: &str| -> Result<Dynamic, Raised> {
            Err(no_such_name(
                Sort::Findings,
                name,
                crate::reference::names_of(Sort::Findings),
            ))
        },
    );
}
