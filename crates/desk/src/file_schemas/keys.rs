//! What each key of a studio's files holds, for editors: words, unit, example.

use serde_json::{Value, json};

/// What a key's value may be.
#[derive(Debug, Clone, Copy)]
pub(super) enum Holds {
    /// A text. Readers of YAML 1.1 make 4 of `04` and false of `off`: those are taken too.
    Text,
    /// A number, or the same in words (`6 %`, `0,5`).
    Number,
    /// Yes or no.
    Yes,
    /// One of these words.
    Word(&'static [&'static str]),
    /// A text or several.
    Texts,
    /// Names with an amount each.
    Amounts,
    /// A shape of its own.
    Own(fn() -> Value),
}

/// A key of a file.
#[derive(Debug, Clone, Copy)]
pub(super) struct Key {
    pub name: &'static str,
    pub holds: Holds,
    /// What it says, with its unit.
    pub about: &'static str,
    pub example: &'static str,
}

impl Key {
    pub(super) const fn new(name: &'static str, holds: Holds, about: &'static str, example: &'static str) -> Key {
        Key {
            name,
            holds,
            about,
            example,
        }
    }

    /// Its own schema.
    pub(super) fn schema(&self) -> Value {
        let mut schema = match self.holds {
            Holds::Text => text(),
            Holds::Number => number(),
            Holds::Yes => json!({ "enum": [true, false, "true", "false", "yes", "no"] }),
            Holds::Word(words) => json!({ "enum": words }),
            Holds::Texts => json!({ "anyOf": [text(), { "type": "array", "items": text() }] }),
            Holds::Amounts => json!({ "type": "object", "additionalProperties": number() }),
            Holds::Own(shape) => shape(),
        };
        schema["description"] = self.about.into();
        schema["examples"] = json!([self.example]);
        schema
    }
}

pub(super) fn text() -> Value {
    json!({ "type": ["string", "number", "boolean"] })
}

/// A number, or a text that begins like one or like a word for too little to measure.
pub(super) fn number() -> Value {
    json!({ "anyOf": [{ "type": "number" }, { "type": "string", "pattern": "^\\s*[-+~<≤]?\\s*[0-9.,½¼¾⅓⅔⅛]|^(trace|traces|tr|nd|n\\.d|bdl|b\\.d\\.l|-|–)" }] })
}

/// A map of these keys and no others, in draft-07.
pub(super) fn map(keys: &[Key], required: &[&str]) -> Value {
    let properties: serde_json::Map<String, Value> =
        keys.iter().map(|key| (key.name.to_owned(), key.schema())).collect();
    json!({
        "type": "object",
        "properties": properties,
        "required": required,
        "additionalProperties": false
    })
}
