//! A kiln opened, and lines that take others back.

use serde_json::{Map, Value};

use glost_chemistry::quantity::{Celsius, Date};

use crate::line_id::id_of;

/// How a kiln cooled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cooling {
    /// Held back.
    Slow,
    /// Left to itself.
    Free,
    /// Helped along.
    Fast,
}

impl Cooling {
    /// All of them.
    pub const ALL: [Cooling; 3] = [Cooling::Slow, Cooling::Free, Cooling::Fast];

    /// The book's word.
    pub fn word(self) -> &'static str {
        match self {
            Cooling::Slow => "slow",
            Cooling::Free => "free",
            Cooling::Fast => "fast",
        }
    }

    /// From the book's word.
    pub fn from_word(word: &str) -> Option<Cooling> {
        let word = word.trim();
        Cooling::ALL
            .into_iter()
            .find(|cooling| cooling.word().eq_ignore_ascii_case(word))
    }
}

/// How a firing came out.
#[derive(Debug, Clone, PartialEq)]
pub struct Opening {
    /// Its line in the book, from 1; 0 before it is written.
    pub line: usize,
    /// Its id.
    pub id: String,
    /// The id of the firing.
    pub of: String,
    /// The day it was opened: its pieces are of age 0 then.
    pub on: Date,
    /// The cone that bent.
    pub cone_bent: Option<String>,
    /// The hottest it was.
    pub peak: Option<Celsius>,
    /// How long it was held there, minutes.
    pub soak_minutes: Option<f64>,
    /// How it cooled.
    pub cooled: Option<Cooling>,
    /// Whether its pieces don't count with those of other firings to its cone.
    pub apart: bool,
    /// Anything else.
    pub text: Option<String>,
}

impl Opening {
    /// What it adds to the firing's keys.
    pub fn about(&self) -> Map<String, Value> {
        let mut fields = Map::new();
        let mut add = |key: &str, value: Option<Value>| {
            if let Some(value) = value {
                fields.insert(key.to_owned(), value);
            }
        };
        add("cone_bent", self.cone_bent.as_deref().map(Value::from));
        add("peak_c", self.peak.map(|peak| Value::from(peak.celsius())));
        add("soak_minutes", self.soak_minutes.map(Value::from));
        add("cooled", self.cooled.map(|cooled| Value::from(cooled.word())));
        add("apart", self.apart.then_some(Value::Bool(true)));
        add("text", self.text.as_deref().map(Value::from));
        fields
    }

    fn fields(&self) -> Map<String, Value> {
        let mut fields = Map::new();
        fields.insert("on".to_owned(), Value::from(self.on.to_string()));
        fields.insert("opened".to_owned(), Value::from(self.of.as_str()));
        fields.extend(self.about());
        fields
    }

    /// With the id that its keys give.
    #[must_use]
    pub fn named(self) -> Opening {
        let id = id_of(&self.fields().into_iter().collect::<Vec<_>>());
        Opening { id, ..self }
    }

    /// As a line of the file, without its line end.
    pub fn to_line(&self) -> String {
        let mut fields = self.fields();
        fields.insert("id".to_owned(), Value::from(self.id.as_str()));
        Value::Object(fields).to_string()
    }
}

/// A line that takes a load, an opening or another such line back.
#[derive(Debug, Clone, PartialEq)]
pub struct TakeBack {
    /// Its line in the book, from 1; 0 before it is written.
    pub line: usize,
    /// Its id.
    pub id: String,
    /// The id of what is taken back.
    pub of: String,
    /// The day.
    pub on: Date,
    /// Why.
    pub text: Option<String>,
}

impl TakeBack {
    fn fields(&self) -> Map<String, Value> {
        let mut fields = Map::new();
        fields.insert("on".to_owned(), Value::from(self.on.to_string()));
        fields.insert("void".to_owned(), Value::from(self.of.as_str()));
        if let Some(text) = &self.text {
            fields.insert("text".to_owned(), Value::from(text.as_str()));
        }
        fields
    }

    /// With the id that its keys give.
    #[must_use]
    pub fn named(self) -> TakeBack {
        let id = id_of(&self.fields().into_iter().collect::<Vec<_>>());
        TakeBack { id, ..self }
    }

    /// As a line of the file, without its line end.
    pub fn to_line(&self) -> String {
        let mut fields = self.fields();
        fields.insert("id".to_owned(), Value::from(self.id.as_str()));
        Value::Object(fields).to_string()
    }
}
