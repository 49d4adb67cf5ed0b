//! A finding in JSON.

use std::borrow::Cow;
use std::sync::Arc;

use glost_core::rules::{Finding, Message, OptionValue, Signature, Whose};
use serde::{Serialize, Serializer};

use crate::Said;
use crate::said::words_of;
use crate::wire::Complaint;

/// What a check found, with its numbers and the line of the script that said so.
#[derive(Debug, Clone, Copy)]
pub struct FindingJson<'a>(pub &'a Finding);

#[derive(Serialize, schemars::JsonSchema)]
struct Keys<'a> {
    script: &'a str,
    level: &'static str,
    subject: &'a str,
    value: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
    #[schemars(with = "String")]
    message: Cow<'a, str>,
    source: &'a str,
    line: Option<usize>,
    #[schemars(with = "Option<String>")]
    whose: Option<&'a Whose>,
    hash: Option<&'a str>,
    set: Set<'a>,
    #[serde(skip_serializing_if = "Option::is_none")]
    accepted: Option<AcceptedKeys<'a>>,
    /// Why the script could not look, in the form of any error.
    #[serde(skip_serializing_if = "Option::is_none")]
    error: Option<Complaint<'a>>,
}

/// Why a finding weighs no more.
#[derive(Serialize, schemars::JsonSchema)]
struct AcceptedKeys<'a> {
    because: &'a str,
    until: Option<String>,
}

/// Options that are not at their default, by name.
#[derive(Debug, Clone, Copy)]
pub struct Set<'a>(pub &'a [(String, OptionValue)]);

impl Serialize for Set<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_map(self.0.iter().map(|(name, value)| (name, value)))
    }
}

/// What an answer of a script is signed with, in JSON.
#[derive(Debug, Clone)]
pub struct Signed(pub Arc<Signature>);

#[derive(Serialize, schemars::JsonSchema)]
struct SignedKeys<'a> {
    script: &'a str,
    #[schemars(with = "String")]
    whose: &'a Whose,
    hash: &'a str,
    set: Set<'a>,
}

impl Serialize for Signed {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        SignedKeys {
            script: &self.0.script,
            whose: &self.0.whose,
            hash: &self.0.hash,
            set: Set(&self.0.set),
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Signed: SignedKeys<'_>);

/// What a finding says, in the words of this process where the engine says it.
fn message_of(finding: &Finding) -> Cow<'_, str> {
    match &finding.message {
        Message::Text(text) => Cow::Borrowed(text),
        _ => Cow::Owned(words_of(&Said::Found(Box::new(finding.clone())))),
    }
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
            message: message_of(finding),
            source: &finding.source,
            line: finding.line,
            whose: finding.signed.as_deref().map(|signed| &signed.whose),
            hash: finding.signed.as_deref().map(|signed| signed.hash.as_str()),
            set: Set(finding.signed.as_deref().map_or(&[], |signed| &signed.set)),
            accepted: finding.accepted.as_ref().map(|accepted| AcceptedKeys {
                because: &accepted.because,
                until: accepted.until.map(|day| day.to_string()),
            }),
            error: finding.broke.as_deref().map(Complaint),
        }
        .serialize(to)
    }
}

crate::wire::written_as!(FindingJson<'_>: Keys<'_>);

impl schemars::JsonSchema for Set<'_> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Set".into()
    }

    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({ "type": "object" })
    }
}
