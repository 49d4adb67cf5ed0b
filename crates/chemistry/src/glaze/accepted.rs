//! Findings that the maker of a glaze knows of and has accepted, as its file says so.

use crate::diagnostic::{Diagnostic, Source, of_typed};
use crate::quantity::Date;
use crate::read::{Fields, Node, Text, Value, kind_of};

use super::file::quantity;

/// The keys of an accepted finding, in their usual order.
pub const ACCEPTED_KEYS: [&str; 4] = ["finding", "because", "until", "of"];

/// A finding that was accepted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Accepted {
    /// The rule: `check/metals-of-concern`.
    pub script: String,
    /// What the finding is about: `CuO`.
    pub subject: String,
    /// Why it was accepted.
    pub because: String,
    /// The last day on which it is.
    pub until: Option<Date>,
    /// What it was accepted of: twelve hex digits that stand for the recipe, its lots,
    /// the clay, the firing and the rule as they were, then three for each of them.
    pub of: Option<String>,
}

impl Accepted {
    /// The finding as it is typed: the rule, then what it is about.
    pub fn finding(&self) -> String {
        format!("{} {}", self.script, self.subject)
    }
}

/// A finding as it is typed, in its rule and what it is about; `None` where one lacks.
pub fn rule_and_subject(typed: &str) -> Option<(&str, &str)> {
    let (script, subject) = typed.trim().split_once(char::is_whitespace)?;
    Some((script, subject.trim()))
}

/// The accepted findings of a glaze's file.
///
/// # Errors
/// Not a list of maps, a finding without its rule or its subject, no reason, no such day.
pub(super) fn accepted(source: &Source, fields: &Fields<'_>) -> Result<Vec<Accepted>, Diagnostic> {
    const EXAMPLE: &str = "write it so: `accepted: [{ finding: check/metals-of-concern CuO, because: \"lab report 12\", \
                           until: 2027-06-01 }]`";
    match fields.get("accepted").map(|node| (node, &node.value)) {
        None | Some((_, Value::Nothing)) => Ok(Vec::new()),
        Some((_, Value::List(items))) => items.iter().map(|item| one(source, item)).collect(),
        Some((node, _)) => Err(Diagnostic::error(
            "wrong-type",
            format!("`accepted` should be a list, this is {}", kind_of(node)),
        )
        .at(source, node.mark, node.width())
        .help(EXAMPLE)),
    }
}

fn one(source: &Source, item: &Node) -> Result<Accepted, Diagnostic> {
    let what = "an accepted finding";
    let fields = Fields::new(source, item, what, &ACCEPTED_KEYS)?;
    let text = |key: &str, help: &str| -> Result<Text, Diagnostic> {
        crate::read::text_of(source, fields.required(key, what, help)?, key)
    };
    let typed = text(
        "finding",
        "name the rule and what it is about: `finding: check/metals-of-concern CuO`",
    )?;
    let (script, subject) = rule_and_subject(&typed.text).ok_or_else(|| {
        // Rules have a `/` in their names.
        let (what, help) = if typed.text.contains('/') {
            let help = "put what the finding is about behind the rule: `check/metals-of-concern CuO`";
            ("names a rule, but not what it found", help)
        } else {
            let help = "write both: `check/metals-of-concern CuO`";
            ("is no rule with what it found", help)
        };
        Diagnostic::error("bad-finding", of_typed(&typed.text, what))
            .at(source, typed.mark, typed.text.chars().count())
            .help(help)
    })?;
    let because = text("because", "say why: `because: \"lab report 12\"`")?;
    Ok(Accepted {
        script: script.to_owned(),
        subject: subject.to_owned(),
        because: because.text,
        until: quantity(source, &fields, "until", Date::parse)?,
        of: fields.text("of")?.map(|text| text.text),
    })
}

#[cfg(test)]
mod tests {
    use super::super::read_glaze;
    use super::*;
    use crate::quantity::Millilitres;

    fn read(accepted: &str) -> Result<Vec<Accepted>, Diagnostic> {
        let text = format!("glaze: A\nparts: {{ silica: 100 }}\naccepted: {accepted}\n");
        let cup = Millilitres::METRIC_CUP;
        read_glaze(&Source::from_text("a.yaml", &text), cup).map(|file| file.about.accepted)
    }

    #[test]
    fn an_accepted_finding_has_its_rule_its_subject_its_reason_and_its_day() {
        let read = read(
            "[{ finding: limits/own  silica to alumina, because: \"report 12\", until: 2027-06-01, of: 0123456789ab }]",
        );
        let one = read.unwrap_or_else(|why| panic!("{why:?}")).remove(0);
        assert_eq!(one.finding(), "limits/own silica to alumina");
        assert_eq!((one.because.as_str(), one.until), ("report 12", Date::new(2027, 6, 1)));
        assert_eq!(one.of.as_deref(), Some("0123456789ab"));
    }

    #[test]
    fn one_that_cannot_be_read_says_what_it_lacks() {
        for (text, says) in [
            ("lab report 12", "`accepted` should be a list"),
            ("[{ finding: check/own CuO }]", "has no `because`"),
            ("[{ because: report }]", "has no `finding`"),
            ("[{ finding: check/own, because: report }]", "but not what it found"),
            ("[{ finding: CuO, because: report }]", "is no rule with what it found"),
            ("[{ finding: check/own CuO, because: \" \" }]", "this is empty"),
            (
                "[{ finding: check/own CuO, because: report, until: 2027-02-30 }]",
                "`until`",
            ),
            ("[{ finding: check/own CuO, becuase: report }]", "no `becuase`"),
        ] {
            let why = read(text).expect_err(text);
            assert!(why.message.contains(says), "{text}: {}", why.message);
            assert!(why.place.is_some() && why.help.is_some(), "{text}: {why:?}");
        }
    }
}
