//! The id that a note's keys give, as [`id_of`](crate::line_id) has it: written straight from
//! the note, since books of years ask for thousands.

use std::borrow::Cow;

use serde_json::{Map, Value};

use super::lines::number;
use super::looked::{Cause, Looked};
use super::note::Note;
use crate::line_id::{id_of_text, in_order};

/// What stands under a key.
enum Part<'a> {
    Text(Cow<'a, str>),
    Number(f64),
    Value(Cow<'a, Value>),
}

impl Note {
    /// The id that its keys give.
    pub fn content_id(&self) -> String {
        let mut parts = self.parts();
        parts.sort_by_key(|(key, _)| *key);
        let mut line = String::with_capacity(400);
        for (key, part) in parts {
            line.push(if line.is_empty() { '{' } else { ',' });
            push_text(&mut line, key);
            line.push(':');
            match part {
                Part::Text(text) => push_text(&mut line, &text),
                Part::Number(amount) => line.push_str(&number(amount).to_string()),
                Part::Value(value) => match &*value {
                    Value::Object(map) => line.push_str(&in_order(map).to_string()),
                    other => line.push_str(&other.to_string()),
                },
            }
        }
        line.push_str(if line.is_empty() { "{}" } else { "}" });
        id_of_text(&line)
    }

    /// The keys that say anything.
    fn parts(&self) -> Vec<(&str, Part<'_>)> {
        let mut parts: Vec<(&str, Part<'_>)> = Vec::with_capacity(20);
        parts.push(("on", Part::Text(self.on.to_string().into())));
        let texts = [
            ("glaze", &self.glaze),
            ("version", &self.version),
            ("clay", &self.clay),
            ("firing", &self.firing),
            ("cone", &self.cone),
            ("batch", &self.batch),
            ("tile", &self.tile),
            ("made", &self.made),
            ("kept", &self.kept),
            ("photo", &self.photo),
            ("lab", &self.lab),
            ("text", &self.text),
        ];
        let texts = texts
            .into_iter()
            .filter_map(|(key, text)| Some((key, text.as_deref()?)));
        parts.extend(texts.map(|(key, text)| (key, Part::Text(text.into()))));
        if self.looked != Looked::Unsaid {
            parts.push(("looked", Part::Text(self.looked.word().into())));
        }
        let cause = self.cause.as_ref().map(Cause::word);
        parts.extend(cause.map(|word| ("cause", Part::Text(word.into()))));
        let numbers = [
            ("age_days", self.age_days),
            ("thickness_mm", self.thickness_mm),
            ("pieces", self.pieces.map(f64::from)),
            ("crazed", self.crazed.map(f64::from)),
            ("shivered", self.shivered.map(f64::from)),
            ("dunted", self.dunted.map(f64::from)),
        ];
        let numbers = numbers.into_iter().filter_map(|(key, amount)| Some((key, amount?)));
        parts.extend(numbers.map(|(key, amount)| (key, Part::Number(amount))));
        let mut map = |key: &'static str, entries: Map<String, Value>| {
            if !entries.is_empty() {
                parts.push((key, Part::Value(Cow::Owned(Value::Object(entries)))));
            }
        };
        let lots = self
            .lots
            .iter()
            .map(|(name, lot)| (name.clone(), Value::from(lot.as_str())));
        map("lots", lots.collect());
        let grades = self
            .grades
            .iter()
            .map(|grade| (grade.property.clone(), number(grade.grade)));
        map("grades", grades.collect());
        let other = self.other.iter().filter(|(key, value)| key != "id" && !value.is_null());
        parts.extend(other.map(|(key, value)| (key.as_str(), Part::Value(Cow::Borrowed(value)))));
        parts
    }
}

/// A text as JSON has it.
fn push_text(line: &mut String, text: &str) {
    let plain = |byte: u8| matches!(byte, b' '..=b'~') && byte != b'"' && byte != b'\\';
    if text.bytes().all(plain) {
        line.push('"');
        line.push_str(text);
        line.push('"');
    } else {
        line.push_str(&Value::from(text).to_string());
    }
}

#[cfg(test)]
mod tests {
    use glost_chemistry::diagnostic::Source;

    use super::super::reading::Notes;
    use crate::line_id::id_of;

    #[test]
    fn it_is_the_id_of_the_keys() {
        let book = r#"{"on":"2026-10-25","glaze":"A \"b\" \u00e9\n","version":"v1","age_days":1.5,"looked":"ink","pieces":5,"crazed":0,"grades":{"z":4,"a":2.5},"lots":{"spar":"1","ash":"2"},"firing_id":"faaaaaaa","none":null,"many":{"b":[1,{"d":1,"c":2}],"a":1},"aged":true}
{"on":"2026-10-25","tile":"A1","cause":"thick","kept":"shed","thickness_mm":0.8,"dunted":1,"pieces":3,"text":"t"}
"#;
        let (notes, _) = Notes::read(&Source::from_text("n", book));
        assert_eq!(notes.all().len(), 2);
        for note in notes.all() {
            assert_eq!(note.content_id(), id_of(&note.fields()));
        }
    }
}
