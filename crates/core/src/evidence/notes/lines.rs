//! Files of one JSON object a line: each line apart, keys in their order,
//! complaints with a place.

use serde::de::{Deserialize, Deserializer, Error, MapAccess, Visitor};
use serde_json::Value;

use glost_chemistry::diagnostic::{Diagnostic, Mark, Place, Source};

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
    fields: Vec<(String, Value)>,
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
        match serde_json::from_str::<Object>(self.text) {
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

impl Record<'_> {
    /// Takes a key out; `null` counts as absent.
    pub fn take(&mut self, key: &str) -> Option<Value> {
        let at = self.fields.iter().position(|(name, _)| name == key)?;
        let value = self.fields.remove(at).1;
        (!value.is_null()).then_some(value)
    }

    /// What was not taken.
    pub fn rest(self) -> Vec<(String, Value)> {
        self.fields
    }

    /// A text, blanks around it taken off; an empty one counts as absent. Where
    /// `or_number`, a number counts as its digits.
    pub fn text(&mut self, key: &str, or_number: bool) -> Result<Option<String>, Diagnostic> {
        match self.take(key) {
            None => Ok(None),
            Some(Value::String(text)) => {
                let text = text.trim();
                Ok((!text.is_empty()).then(|| text.to_owned()))
            }
            Some(Value::Number(number)) if or_number => Ok(Some(number.to_string())),
            Some(_) => Err(self.line.about(
                key,
                "wrong-type",
                format!("`{key}` should be a text in quotation marks"),
            )),
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
                    .about(key, "wrong-type", format!("`{key}` should be a whole number")))
            }
            // Whole and within bounds.
            other => Ok(other.map(|number| number as u32)),
        }
    }
}

struct Object(Vec<(String, Value)>);

impl<'de> Deserialize<'de> for Object {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Object, D::Error> {
        deserializer.deserialize_map(ObjectVisitor)
    }
}

struct ObjectVisitor;

impl<'de> Visitor<'de> for ObjectVisitor {
    type Value = Object;

    fn expecting(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str("an object in braces")
    }

    fn visit_map<M: MapAccess<'de>>(self, mut map: M) -> Result<Object, M::Error> {
        let mut fields: Vec<(String, Value)> = Vec::new();
        while let Some((key, value)) = map.next_entry::<String, Value>()? {
            if fields.iter().any(|(name, _)| *name == key) {
                return Err(M::Error::custom(format_args!("`{key}` is there twice")));
            }
            fields.push((key, value));
        }
        Ok(Object(fields))
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
