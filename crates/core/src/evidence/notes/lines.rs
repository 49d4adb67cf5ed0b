//! Files of one JSON object a line: each line apart, keys in their order,
//! complaints with a place.

use std::borrow::Cow;

use serde::de::value::{MapAccessDeserializer, SeqAccessDeserializer};
use serde::de::{Deserialize, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use serde_json::Value;

use glost_chemistry::diagnostic::{Diagnostic, Mark, Place, Source, of_typed};

/// One line of the file, its line end taken off.
#[derive(Debug, Clone, Copy)]
pub(in crate::evidence) struct Line<'a> {
    pub source: &'a Source,
    /// From 1.
    pub number: usize,
    pub text: &'a str,
}

/// The lines that hold anything. Only a line feed ends one: JSON keeps line
/// ends inside texts as `\n`.
pub(in crate::evidence) fn lines(source: &Source) -> impl Iterator<Item = Line<'_>> {
    source
        .text
        .split('\n')
        .enumerate()
        .map(move |(index, text)| Line {
            source,
            number: index + 1,
            text: text.strip_suffix('\r').unwrap_or(text),
        })
        .filter(|line| !line.text.trim().is_empty())
}

/// How many lines there are, the empty ones and a torn last one too.
pub(in crate::evidence) fn line_count(text: &str) -> usize {
    text.matches('\n').count() + usize::from(!text.is_empty() && !text.ends_with('\n'))
}

/// The keys of a line with their values, in order; no key twice.
#[derive(Debug)]
pub(in crate::evidence) struct Record<'a> {
    pub line: Line<'a>,
    fields: Vec<(Cow<'a, str>, Field<'a>)>,
}

/// A value; a text is borrowed from the line where nothing in it is escaped.
#[derive(Debug)]
enum Field<'a> {
    Text(Cow<'a, str>),
    Other(Value),
}

impl Field<'_> {
    fn into_value(self) -> Value {
        match self {
            Field::Text(text) => Value::String(text.into_owned()),
            Field::Other(value) => value,
        }
    }
}

impl<'a> Line<'a> {
    /// Whether git left a mark of a conflict here.
    pub fn is_conflict_mark(self) -> bool {
        ["<<<<<<< ", ">>>>>>> ", "||||||| "]
            .iter()
            .any(|mark| self.text.starts_with(mark))
            || self.text == "======="
    }

    /// Reads the line.
    pub fn record(self) -> Result<Record<'a>, Diagnostic> {
        if self.is_conflict_mark() {
            let error = self.complaint("conflict-mark", "git left this mark of a conflict", 1, self.width());
            return Err(error.help(
                "keep the lines of both sides, take the lines of <, = and > out, and save; their order doesn't matter",
            ));
        }
        match serde_json::from_str::<Object<'a>>(self.text) {
            Ok(object) => Ok(Record {
                line: self,
                fields: object.0,
            }),
            Err(error) if error.is_eof() => Err(self
                .complaint("cut-off", "this line is cut off in the middle", self.width() + 1, 1)
                .help(format!(
                    "the rest is read and nothing is lost but this line; write it again, then set it aside with `glost note --void {}`",
                    self.number
                ))),
            Err(error) => {
                let column = self.column_of_byte(error.column().saturating_sub(1));
                let said = error.to_string();
                let said = said.split(" at line").next().unwrap_or(&said);
                Err(self
                    .complaint("not-json", format!("this line can't be read as JSON ({said})"), column, 1)
                    .help(format!(
                        "write it again with `glost note`, then set this line aside with `glost note --void {}`",
                        self.number
                    )))
            }
        }
    }

    /// A complaint at a column of this line, in characters from 1.
    pub fn complaint(self, code: &'static str, message: impl Into<String>, column: usize, width: usize) -> Diagnostic {
        let mut complaint = Diagnostic::error(code, message);
        complaint.place = Some(Box::new(Place {
            file: self.source.name.clone(),
            mark: Mark {
                line: self.number,
                column,
            },
            width: width.max(1),
            source_line: self.text.to_owned(),
        }));
        complaint
    }

    /// A complaint about the value of a key.
    pub fn about(self, key: &str, code: &'static str, message: impl Into<String>) -> Diagnostic {
        let quoted = format!("\"{key}\"");
        match self.text.find(&quoted) {
            Some(byte) => self.complaint(code, message, self.column_of_byte(byte), quoted.chars().count()),
            None => self.complaint(code, message, 1, 1),
        }
    }

    fn width(self) -> usize {
        self.text.chars().count()
    }

    fn column_of_byte(self, byte: usize) -> usize {
        self.text.char_indices().take_while(|(at, _)| *at < byte).count() + 1
    }
}

impl<'a> Record<'a> {
    /// Takes a key out; `null` counts as absent.
    pub fn take(&mut self, key: &str) -> Option<Value> {
        self.field(key).map(Field::into_value)
    }

    fn field(&mut self, key: &str) -> Option<Field<'a>> {
        let at = self.fields.iter().position(|(name, _)| name == key)?;
        let field = self.fields.remove(at).1;
        (!matches!(field, Field::Other(Value::Null))).then_some(field)
    }

    /// What was not taken.
    pub fn rest(self) -> Vec<(String, Value)> {
        // A list of its own: collected in place it would keep the room of all the keys.
        let mut rest = Vec::with_capacity(self.fields.len());
        for (key, field) in self.fields {
            rest.push((key.into_owned(), field.into_value()));
        }
        rest
    }

    /// A text, blanks around it taken off; an empty one counts as absent. Where
    /// `or_number`, a number counts as its digits.
    pub fn text(&mut self, key: &str, or_number: bool) -> Result<Option<String>, Diagnostic> {
        match self.field(key) {
            None => Ok(None),
            Some(Field::Text(text)) => {
                let text = text.trim();
                Ok((!text.is_empty()).then(|| text.to_owned()))
            }
            Some(Field::Other(Value::Number(number))) if or_number => Ok(Some(number.to_string())),
            Some(_) => Err(self
                .line
                .about(key, "wrong-type", of_typed(key, "should be a text in quotation marks"))),
        }
    }

    /// A number within bounds.
    pub fn number(&mut self, key: &str, least: f64, most: f64) -> Result<Option<f64>, Diagnostic> {
        let Some(value) = self.take(key) else { return Ok(None) };
        match value.as_f64().filter(|number| (least..=most).contains(number)) {
            Some(number) => Ok(Some(number)),
            None => Err(self.line.about(
                key,
                "out-of-range",
                format!("`{key}` should be a number from {least} to {most}"),
            )),
        }
    }

    /// A count, at least `least`.
    pub fn count(&mut self, key: &str, least: u32) -> Result<Option<u32>, Diagnostic> {
        let number = self.number(key, f64::from(least), 1e9)?;
        match number {
            Some(number) if number.fract() != 0.0 => {
                Err(self
                    .line
                    .about(key, "wrong-type", of_typed(key, "should be a whole number")))
            }
            // Whole and within bounds.
            other => Ok(other.map(|number| number as u32)),
        }
    }
}

struct Object<'a>(Vec<(Cow<'a, str>, Field<'a>)>);

impl<'de> Deserialize<'de> for Object<'de> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Object<'de>, D::Error> {
        deserializer.deserialize_map(ObjectVisitor)
    }
}

struct ObjectVisitor;

impl<'de> Visitor<'de> for ObjectVisitor {
    type Value = Object<'de>;

    fn expecting(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str("an object in braces")
    }

    fn visit_map<M: MapAccess<'de>>(self, mut map: M) -> Result<Object<'de>, M::Error> {
        let mut fields: Vec<(Cow<'de, str>, Field<'de>)> = Vec::with_capacity(USUAL_KEYS);
        while let Some(Text(key)) = map.next_key::<Text<'de>>()? {
            let field = map.next_value::<Field<'de>>()?;
            if fields.iter().any(|(name, _)| *name == key) {
                return Err(M::Error::custom(format_args!("`{key}` is there twice")));
            }
            fields.push((key, field));
        }
        Ok(Object(fields))
    }
}

/// Keys that a note has about as many of.
pub(super) const USUAL_KEYS: usize = 20;

/// A text, borrowed where nothing in it is escaped.
pub(super) struct Text<'a>(pub(super) Cow<'a, str>);

impl<'de> Deserialize<'de> for Text<'de> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Text<'de>, D::Error> {
        deserializer.deserialize_str(TextVisitor)
    }
}

struct TextVisitor;

impl<'de> Visitor<'de> for TextVisitor {
    type Value = Text<'de>;

    fn expecting(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str("a text")
    }

    fn visit_borrowed_str<E: Error>(self, text: &'de str) -> Result<Text<'de>, E> {
        Ok(Text(Cow::Borrowed(text)))
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<Text<'de>, E> {
        Ok(Text(Cow::Owned(text.to_owned())))
    }
}

impl<'de> Deserialize<'de> for Field<'de> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Field<'de>, D::Error> {
        deserializer.deserialize_any(FieldVisitor)
    }
}

struct FieldVisitor;

impl<'de> Visitor<'de> for FieldVisitor {
    type Value = Field<'de>;

    fn expecting(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str("any value")
    }

    fn visit_borrowed_str<E: Error>(self, text: &'de str) -> Result<Field<'de>, E> {
        Ok(Field::Text(Cow::Borrowed(text)))
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<Field<'de>, E> {
        Ok(Field::Text(Cow::Owned(text.to_owned())))
    }

    fn visit_bool<E: Error>(self, truth: bool) -> Result<Field<'de>, E> {
        Ok(Field::Other(Value::Bool(truth)))
    }

    fn visit_i64<E: Error>(self, number: i64) -> Result<Field<'de>, E> {
        Ok(Field::Other(Value::from(number)))
    }

    fn visit_u64<E: Error>(self, number: u64) -> Result<Field<'de>, E> {
        Ok(Field::Other(Value::from(number)))
    }

    fn visit_f64<E: Error>(self, number: f64) -> Result<Field<'de>, E> {
        Ok(Field::Other(Value::from(number)))
    }

    fn visit_unit<E: Error>(self) -> Result<Field<'de>, E> {
        Ok(Field::Other(Value::Null))
    }

    fn visit_seq<S: SeqAccess<'de>>(self, list: S) -> Result<Field<'de>, S::Error> {
        Value::deserialize(SeqAccessDeserializer::new(list)).map(Field::Other)
    }

    fn visit_map<M: MapAccess<'de>>(self, map: M) -> Result<Field<'de>, M::Error> {
        Value::deserialize(MapAccessDeserializer::new(map)).map(Field::Other)
    }
}

/// A number as JSON, whole ones without a decimal point.
pub(in crate::evidence) fn number(value: f64) -> Value {
    if value.fract() == 0.0 && value.abs() < 1e15 {
        Value::from(value as i64)
    } else {
        Value::from(value)
    }
}
