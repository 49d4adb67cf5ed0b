//! Lines of the notebook as `glost` writes them, read straight into notes.
//!
//! Whatever isn't plain (another type, a slip of the pen, a key twice, counts that don't fit)
//! is left to the careful reader, which says what is wrong and where.

use std::borrow::Cow;
use std::collections::HashMap;

use serde::de::{Deserialize, Deserializer, Error, MapAccess, Visitor};
use serde_json::Value;

use glost_chemistry::quantity::Date;

use super::lines::{Line, Text, USUAL_KEYS};
use super::looked::{Cause, Looked};
use super::note::{GRADES, Grade, Note, OLDEST_DAYS, THICKEST_MM, slip_of};

/// The most that a count may be, as the careful reader has it.
const MOST_COUNTED: u32 = 1_000_000_000;

/// Unknown keys that were met already, and whether they are slips of the pen.
#[derive(Debug, Default)]
pub(super) struct Slips(HashMap<String, bool>);

impl Slips {
    fn is_one(&mut self, key: &str) -> bool {
        match self.0.get(key) {
            Some(known) => *known,
            None => {
                let is_slip = slip_of(key).is_some();
                self.0.insert(key.to_owned(), is_slip);
                is_slip
            }
        }
    }
}

/// A plain note with whatever id is written; `None` where the careful reader is needed.
pub(super) fn plain_note(line: Line<'_>, slips: &mut Slips) -> Option<Note> {
    let Plain { mut note, id } = serde_json::from_str(line.text).ok()?;
    note.line = line.number;
    let counts = [note.crazed, note.shivered, note.dunted].into_iter().flatten();
    let fits = |count: u32| note.pieces.is_some_and(|pieces| count <= pieces);
    let is_plain = (note.glaze.is_some() || note.tile.is_some())
        && counts.into_iter().all(fits)
        && !note.other.iter().any(|(key, _)| slips.is_one(key));
    if !is_plain {
        return None;
    }
    note.id = id.unwrap_or_else(|| note.content_id());
    note.content = note.likeness();
    Some(note)
}

/// What a line says.
struct Plain {
    note: Note,
    id: Option<String>,
}

impl<'de> Deserialize<'de> for Plain {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Plain, D::Error> {
        from.deserialize_map(PlainVisitor)
    }
}

struct PlainVisitor;

/// What the careful reader is left to complain about, or to read.
fn odd<E: Error>() -> E {
    E::custom("not plain")
}

/// Where the next value goes.
struct Values<M>(M);

impl<'de, M: MapAccess<'de>> Values<M> {
    /// A text, blanks around it taken off; an empty one and `null` count as absent.
    fn text(&mut self) -> Result<Option<String>, M::Error> {
        let text = self.0.next_value::<Option<Text<'de>>>()?;
        let text = text.as_ref().map(|text| text.0.trim()).filter(|text| !text.is_empty());
        Ok(text.map(str::to_owned))
    }

    fn count(&mut self, least: u32) -> Result<Option<u32>, M::Error> {
        let count = self.0.next_value::<Option<u32>>()?;
        match count {
            Some(count) if !(least..=MOST_COUNTED).contains(&count) => Err(odd()),
            count => Ok(count),
        }
    }

    fn measure(&mut self, most: f64) -> Result<Option<f64>, M::Error> {
        let measure = self.0.next_value::<Option<f64>>()?;
        match measure {
            Some(measure) if !(0.0..=most).contains(&measure) => Err(odd()),
            measure => Ok(measure),
        }
    }

    fn pairs<T: Deserialize<'de>>(&mut self) -> Result<Vec<(Cow<'de, str>, T)>, M::Error> {
        Ok(self
            .0
            .next_value::<Option<Pairs<'de, T>>>()?
            .map_or_else(Vec::new, |pairs| pairs.0))
    }

    fn lots(&mut self) -> Result<Vec<(String, String)>, M::Error> {
        let lots = self.pairs::<Text<'de>>()?.into_iter();
        Ok(lots
            .map(|(material, lot)| (material.into_owned(), lot.0.trim().to_owned()))
            .collect())
    }

    fn grades(&mut self) -> Result<Vec<Grade>, M::Error> {
        let grades = self.pairs::<f64>()?;
        if grades.iter().any(|(_, grade)| !GRADES.contains(grade)) {
            return Err(odd());
        }
        let grades = grades.into_iter().map(|(property, grade)| Grade {
            property: property.into_owned(),
            grade,
        });
        Ok(grades.collect())
    }

    /// What stands under a known key; whether it is one.
    fn known(&mut self, key: &str, note: &mut Note) -> Result<bool, M::Error> {
        match key {
            "glaze" => note.glaze = self.text()?,
            "version" => note.version = self.text()?,
            "clay" => note.clay = self.text()?,
            "firing" => note.firing = self.text()?,
            "cone" => note.cone = self.text()?,
            "batch" => note.batch = self.text()?,
            "lots" => note.lots = self.lots()?,
            "tile" => note.tile = self.text()?,
            "made" => note.made = self.text()?,
            "age_days" => note.age_days = self.measure(OLDEST_DAYS)?,
            "looked" => {
                let word = self.text()?;
                let looked = word.map_or(Some(Looked::Unsaid), |word| Looked::from_word(&word));
                note.looked = looked.ok_or_else(odd)?;
            }
            "pieces" => note.pieces = self.count(1)?,
            "crazed" => note.crazed = self.count(0)?,
            "shivered" => note.shivered = self.count(0)?,
            "dunted" => note.dunted = self.count(0)?,
            "cause" => note.cause = self.text()?.map(|text| Cause::from_text(&text)),
            "kept" => note.kept = self.text()?,
            "grades" => note.grades = self.grades()?,
            "thickness_mm" => note.thickness_mm = self.measure(THICKEST_MM)?,
            "photo" => note.photo = self.text()?,
            "lab" => note.lab = self.text()?,
            "text" => note.text = self.text()?,
            _ => return Ok(false),
        }
        Ok(true)
    }
}

impl<'de> Visitor<'de> for PlainVisitor {
    type Value = Plain;

    fn expecting(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str("an object in braces")
    }

    fn visit_map<M: MapAccess<'de>>(self, map: M) -> Result<Plain, M::Error> {
        let mut values = Values(map);
        let (mut on, mut id) = (None, None);
        let mut note = Note::on(Date::new(1970, 1, 1).ok_or_else(odd)?);
        let mut met: Vec<Cow<'de, str>> = Vec::with_capacity(USUAL_KEYS);
        while let Some(Text(key)) = values.0.next_key::<Text<'de>>()? {
            if met.contains(&key) {
                return Err(odd());
            }
            match &*key {
                "on" => on = values.text()?.and_then(|day| Date::parse(&day).ok()),
                "id" => id = values.text()?,
                "void" => return Err(odd()),
                key if values.known(key, &mut note)? => {}
                key => {
                    note.other.reserve_exact(1);
                    note.other.push((key.to_owned(), values.0.next_value::<Value>()?));
                }
            }
            met.push(key);
        }
        note.on = on.ok_or_else(odd)?;
        Ok(Plain { note, id })
    }
}

/// A map's keys with their values, in order; none twice.
struct Pairs<'a, T>(Vec<(Cow<'a, str>, T)>);

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Pairs<'de, T> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Pairs<'de, T>, D::Error> {
        from.deserialize_map(PairsVisitor(std::marker::PhantomData))
    }
}

struct PairsVisitor<T>(std::marker::PhantomData<fn() -> T>);

impl<'de, T: Deserialize<'de>> Visitor<'de> for PairsVisitor<T> {
    type Value = Pairs<'de, T>;

    fn expecting(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str("an object in braces")
    }

    fn visit_map<M: MapAccess<'de>>(self, mut map: M) -> Result<Pairs<'de, T>, M::Error> {
        let mut pairs: Vec<(Cow<'de, str>, T)> = Vec::new();
        while let Some(Text(key)) = map.next_key::<Text<'de>>()? {
            if pairs.iter().any(|(known, _)| *known == key) {
                return Err(odd());
            }
            pairs.reserve_exact(1);
            pairs.push((key, map.next_value::<T>()?));
        }
        Ok(Pairs(pairs))
    }
}

#[cfg(test)]
mod tests {
    use glost_chemistry::diagnostic::Source;

    use super::super::lines::lines;
    use super::super::note::{Entry, read_entry};
    use super::*;

    /// Whatever is read straight is what the careful reader reads, without a doubt.
    #[test]
    fn plain_lines_read_as_the_careful_reader_reads_them() {
        let plain = [
            r#"{"on":"2026-10-25","glaze":"Lamplight clear","version":"v1","clay":"buff","firing":"f","cone":"6","batch":"3","age_days":1,"looked":"ink","pieces":5,"crazed":0,"grades":{"gloss":4,"depth":2.5},"text":"look \"1\"","firing_id":"faaaaaaa","id":"naaaaaaa"}"#,
            r#"{"on": " 2026-10-25 ", "tile": "A1", "glaze": null, "lots": {"spar": " 14 "}, "kiln_shelf": "top", "humidity": {"b": [1, {"a": null}]}, "weather": null}"#,
            r#"{"on":"2026-10-25","glaze":"  ","tile":"A","age_days":0.5,"thickness_mm":0.8,"cause":"Pulled hot","kept":"shed","lab":"r 7","made":"2025","photo":"a.jpg","pieces":7,"shivered":7,"dunted":1,"looked":""}"#,
        ];
        for text in plain {
            let source = Source::from_text("n", text);
            let line = lines(&source).next().unwrap_or_else(|| panic!("no line"));
            let quick = plain_note(line, &mut Slips::default()).unwrap_or_else(|| panic!("{text} isn't plain"));
            let mut doubts = Vec::new();
            let careful = match read_entry(line, &mut doubts) {
                Ok(Entry::Note(note)) => *note,
                _ => panic!("{text} is no note"),
            };
            assert_eq!((quick, doubts), (careful, Vec::new()));
        }
    }

    #[test]
    fn what_is_not_plain_is_left_to_the_careful_reader() {
        for text in [
            r#"{"on":"2026-10-25","glaze":"A","batch":3}"#,
            r#"{"on":"2026-10-25","glaze":"A","glaze":"A"}"#,
            r#"{"on":"2026-10-25","glaze":"A","own":1,"own":1}"#,
            r#"{"on":"2026-10-25","glaze":"A","crazed":1}"#,
            r#"{"on":"2026-10-25","glaze":"A","pieces":1,"crazed":2}"#,
            r#"{"on":"2026-10-25","glaze":"A","pieces":0}"#,
            r#"{"on":"2026-10-25","glaze":"A","pieces":2.0}"#,
            r#"{"on":"2026-10-25","glaze":"A","grades":{"gloss":6}}"#,
            r#"{"on":"2026-10-25","glaze":"A","grades":{"gloss":null}}"#,
            r#"{"on":"2026-10-25","glaze":"A","lots":{"spar":14}}"#,
            r#"{"on":"2026-10-25","glaze":"A","lab":true}"#,
            r#"{"on":"2026-10-25","glaze":"A","looked":"nose"}"#,
            r#"{"on":"2026-10-25","glaze":"A","clai":"buff"}"#,
            r#"{"on":"2026-10-25","glaze":"A","age_days":-1}"#,
            r#"{"on":"2026-02-30","glaze":"A"}"#,
            r#"{"on":"2026-10-25"}"#,
            r#"{"glaze":"A"}"#,
            r#"{"on":"2026-10-25","void":3}"#,
            r#"{"on":"2026-10-25","glaze":"A"} x"#,
            r#"{"on":"2026-10-25","glaze":"A""#,
        ] {
            let source = Source::from_text("n", text);
            let line = lines(&source).next().unwrap_or_else(|| panic!("no line"));
            assert_eq!(plain_note(line, &mut Slips::default()), None, "{text}");
        }
    }
}
