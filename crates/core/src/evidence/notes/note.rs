//! One note: what was seen on which pieces.

use std::hash::{DefaultHasher, Hash, Hasher};

use serde_json::{Map, Value};

use glost_chemistry::diagnostic::{Diagnostic, did_you_mean, is_no, of_typed};
use glost_chemistry::quantity::Date;
use glost_chemistry::read::each_in_parts;

use super::lines::{Line, Record, number};
use super::looked::{Cause, Looked};
use super::pieces::{APART_KEY, KILN_KEY, MARK_KEY, MISSED_KEY, OVER_KEY};
use crate::line_id::{id_of, in_order, looks_like_id};

/// What a grade runs from and to.
pub const GRADES: std::ops::RangeInclusive<f64> = 0.0..=5.0;
/// The oldest pieces that are believed, in days.
pub const OLDEST_DAYS: f64 = 36_500.0;
/// The thickest glaze that is believed, in mm.
pub const THICKEST_MM: f64 = 50.0;

/// So many notes at least are worth a core of their own.
const NOTES_FOR_A_CORE: usize = 500;

/// Keys under which a note may say what was done to its pieces before they were looked at:
/// `"test": "boil and ice"`. Kept as they are; whoever pools notes reads them.
pub(super) const TEST_KEYS: [&str; 3] = ["test", "tested", "treatment"];

/// The keys of a note that are known, in the order they are written.
pub(super) const KEYS: [&str; 23] = [
    "on",
    "glaze",
    "version",
    "clay",
    "firing",
    "cone",
    "batch",
    "lots",
    "tile",
    "made",
    "age_days",
    "looked",
    "pieces",
    "crazed",
    "shivered",
    "dunted",
    "cause",
    "kept",
    "grades",
    "thickness_mm",
    "photo",
    "lab",
    "text",
];

/// A grade of one property.
#[derive(Debug, Clone, PartialEq)]
pub struct Grade {
    /// What is graded: `gloss`.
    pub property: String,
    /// 0 to 5.
    pub grade: f64,
}

/// What was seen on which pieces.
#[derive(Debug, Clone, PartialEq)]
pub struct Note {
    /// Its line in the notebook, from 1; 0 before it is written.
    pub line: usize,
    /// Its id: as written, else worked out of its keys; empty before it is written.
    pub id: String,
    /// A number that its keys give, its id apart: the same for notes alike.
    pub content: u64,
    /// The line of an earlier note alike, where there is one: they count once.
    pub twin: Option<usize>,
    /// The day the pieces were looked at.
    pub on: Date,
    /// The glaze's name.
    pub glaze: Option<String>,
    /// Which version of its recipe; absent: the recipe of today.
    pub version: Option<String>,
    /// The clay's name.
    pub clay: Option<String>,
    /// The firing's name.
    pub firing: Option<String>,
    /// The cone, as text: `04` is not 4.
    pub cone: Option<String>,
    /// Which pieces: later looks at the same ones share it.
    pub batch: Option<String>,
    /// Which lot of each material the pieces were made of, as far as said.
    pub lots: Vec<(String, String)>,
    /// A tile's code.
    pub tile: Option<String>,
    /// When the pieces were made, as said: `2025-03`.
    pub made: Option<String>,
    /// Days since the glaze firing.
    pub age_days: Option<f64>,
    /// How they were looked at.
    pub looked: Looked,
    /// How many pieces were looked at.
    pub pieces: Option<u32>,
    /// How many of them were crazed; absent: not looked for.
    pub crazed: Option<u32>,
    /// How many of them had shivered; absent: not looked for.
    pub shivered: Option<u32>,
    /// How many of them had cracked through.
    pub dunted: Option<u32>,
    /// What made them fail, where that is known and was not the fit.
    pub cause: Option<Cause>,
    /// How the pieces are kept: in use, on a shelf, in the kiln shed.
    pub kept: Option<String>,
    /// Grades.
    pub grades: Vec<Grade>,
    /// Thickness of the fired glaze in mm.
    pub thickness_mm: Option<f64>,
    /// Where a picture lies.
    pub photo: Option<String>,
    /// The laboratory's report this note stands for: its name, file or date.
    pub lab: Option<String>,
    /// Free text.
    pub text: Option<String>,
    /// Keys that Glost doesn't know, kept.
    pub other: Vec<(String, Value)>,
    /// The line that takes this note back, where one does.
    pub void: Option<usize>,
}

/// Which line is meant.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Target {
    /// By its number, as older files have it.
    Line(usize),
    /// By its id.
    Id(String),
}

/// A line that takes another back.
#[derive(Debug, Clone, PartialEq)]
pub struct Void {
    /// Its own line, from 1.
    pub line: usize,
    /// The day.
    pub on: Option<Date>,
    /// Its id.
    pub id: String,
    /// What is taken back, as written.
    pub target: Target,
    /// The first line that is taken back; 0 where none is here.
    pub of: usize,
    /// The numbered void that this one stands for, by its id.
    pub stands_for: Option<String>,
    /// Why.
    pub text: Option<String>,
    /// Whether it counts: a later line may take it back in turn.
    pub counts: bool,
}

pub(super) enum Entry {
    Note(Box<Note>),
    Void(Void),
}

impl Note {
    /// A note of which nothing is known but its day.
    pub fn on(day: Date) -> Note {
        Note {
            line: 0,
            id: String::new(),
            content: 0,
            twin: None,
            on: day,
            glaze: None,
            version: None,
            clay: None,
            firing: None,
            cone: None,
            batch: None,
            lots: Vec::new(),
            tile: None,
            made: None,
            age_days: None,
            looked: Looked::Unsaid,
            pieces: None,
            crazed: None,
            shivered: None,
            dunted: None,
            cause: None,
            kept: None,
            grades: Vec::new(),
            thickness_mm: None,
            photo: None,
            lab: None,
            text: None,
            other: Vec::new(),
            void: None,
        }
    }

    /// The note, moved out of where it stands: its day and its line stay there, without what was
    /// seen.
    #[must_use]
    pub fn taken(&mut self) -> Note {
        let stays = Note {
            line: self.line,
            ..Note::on(self.on)
        };
        std::mem::replace(self, stays)
    }

    /// The day the pieces came from the kiln, by their age.
    pub fn fired_on(&self) -> Option<Date> {
        // Bounded by OLDEST_DAYS when it was read.
        self.age_days.map(|days| self.on.plus_days(-(days.round() as i64)))
    }

    /// What was done to the pieces before they were looked at, where the note says so.
    pub fn test(&self) -> Option<&str> {
        let named = self.other.iter().find(|(key, _)| TEST_KEYS.contains(&key.as_str()));
        named
            .and_then(|(_, value)| value.as_str())
            .map(str::trim)
            .filter(|test| !test.is_empty())
    }

    /// The grade of a property, without case.
    pub fn grade(&self, property: &str) -> Option<f64> {
        let wanted = property.trim().to_lowercase();
        let found = self.grades.iter().find(|grade| grade.property.to_lowercase() == wanted);
        found.map(|grade| grade.grade)
    }

    /// Every key with its value, `null` where there is none, in the order of the file.
    pub fn fields(&self) -> Vec<(String, Value)> {
        let text = |text: &Option<String>| text.clone().map_or(Value::Null, Value::from);
        let count = |count: Option<u32>| count.map_or(Value::Null, Value::from);
        let measure = |measure: Option<f64>| measure.map_or(Value::Null, number);
        let grades: Map<String, Value> = self
            .grades
            .iter()
            .map(|grade| (grade.property.clone(), number(grade.grade)))
            .collect();
        let values = [
            Value::from(self.on.to_string()),
            text(&self.glaze),
            text(&self.version),
            text(&self.clay),
            text(&self.firing),
            text(&self.cone),
            text(&self.batch),
            if self.lots.is_empty() {
                Value::Null
            } else {
                let lots = self
                    .lots
                    .iter()
                    .map(|(name, lot)| (name.clone(), Value::from(lot.as_str())));
                Value::Object(lots.collect())
            },
            text(&self.tile),
            text(&self.made),
            measure(self.age_days),
            if self.looked == Looked::Unsaid {
                Value::Null
            } else {
                Value::from(self.looked.word())
            },
            count(self.pieces),
            count(self.crazed),
            count(self.shivered),
            count(self.dunted),
            self.cause
                .as_ref()
                .map_or(Value::Null, |cause| Value::from(cause.word())),
            text(&self.kept),
            if grades.is_empty() {
                Value::Null
            } else {
                Value::Object(grades)
            },
            measure(self.thickness_mm),
            text(&self.photo),
            text(&self.lab),
            text(&self.text),
        ];
        KEYS.iter()
            .map(|key| (*key).to_owned())
            .zip(values)
            .chain(self.other.iter().cloned())
            .collect()
    }

    /// The note as a line of the file, without its line end, with its id.
    pub fn to_line(&self) -> String {
        let fields = self.fields();
        let id = id_of(&fields);
        let mut known: Map<String, Value> = fields.into_iter().filter(|(_, value)| !value.is_null()).collect();
        known.insert("id".to_owned(), Value::from(id));
        Value::Object(known).to_string()
    }

    /// With the id that its keys give.
    pub fn named(self) -> Note {
        Note {
            content: self.likeness(),
            id: self.content_id(),
            ..self
        }
    }

    /// Gives each of many the id that its keys give.
    pub fn name_each(notes: &mut [Note]) {
        let name = |note: &Note| (note.likeness(), note.content_id());
        let names = each_in_parts(notes, NOTES_FOR_A_CORE, name);
        for (note, (content, id)) in notes.iter_mut().zip(names) {
            note.content = content;
            note.id = id;
        }
    }

    /// The same for notes alike in all but the id: quicker than the id that their keys give.
    pub(super) fn likeness(&self) -> u64 {
        let mut sum = DefaultHasher::new();
        let measure = |measure: Option<f64>| measure.map(|measure| (measure + 0.0).to_bits());
        let mut lots: Vec<&(String, String)> = self.lots.iter().collect();
        lots.sort_unstable();
        let mut grades: Vec<(&str, Option<u64>)> = self
            .grades
            .iter()
            .map(|grade| (grade.property.as_str(), measure(Some(grade.grade))))
            .collect();
        grades.sort_unstable();
        (
            self.on,
            &self.glaze,
            &self.version,
            &self.clay,
            &self.firing,
            &self.cone,
        )
            .hash(&mut sum);
        (&self.batch, lots, &self.tile, &self.made, measure(self.age_days)).hash(&mut sum);
        (self.looked.word(), self.pieces, self.crazed, self.shivered, self.dunted).hash(&mut sum);
        (
            self.cause.as_ref().map(Cause::word),
            &self.kept,
            grades,
            measure(self.thickness_mm),
        )
            .hash(&mut sum);
        (&self.photo, &self.lab, &self.text).hash(&mut sum);
        let mut other: Vec<&(String, Value)> = self.other.iter().filter(|(_, value)| !value.is_null()).collect();
        other.sort_unstable_by(|one, two| one.0.cmp(&two.0));
        for (key, value) in other {
            key.hash(&mut sum);
            match value {
                Value::String(text) => text.hash(&mut sum),
                Value::Object(map) => in_order(map).to_string().hash(&mut sum),
                value => value.to_string().hash(&mut sum),
            }
        }
        sum.finish()
    }

    /// Of other pieces that look the same: so many alike by now.
    pub fn copy(&self, number: u64) -> Note {
        let mut copy = self.clone();
        copy.other.retain(|(key, _)| key != "copy");
        copy.other.push(("copy".to_owned(), Value::from(number)));
        copy.named()
    }

    /// Which pieces it is of: its batch, else its own id, which later looks name.
    pub fn pieces_of(&self) -> &str {
        self.batch.as_deref().unwrap_or(&self.id)
    }
}

impl Void {
    /// Takes the line of an id back.
    pub fn by_id(id: &str, on: Option<Date>, text: Option<String>) -> Void {
        Void {
            line: 0,
            id: String::new(),
            on,
            target: Target::Id(id.to_owned()),
            of: 0,
            stands_for: None,
            text,
            counts: true,
        }
    }

    fn fields(&self) -> Map<String, Value> {
        let mut fields = Map::new();
        if let Some(on) = self.on {
            fields.insert("on".to_owned(), Value::from(on.to_string()));
        }
        let target = match &self.target {
            Target::Line(line) => Value::from(*line),
            Target::Id(id) => Value::from(id.as_str()),
        };
        fields.insert("void".to_owned(), target);
        if let Some(id) = &self.stands_for {
            fields.insert("for".to_owned(), Value::from(id.as_str()));
        }
        if let Some(text) = &self.text {
            fields.insert("text".to_owned(), Value::from(text.as_str()));
        }
        fields
    }

    /// The id that its keys give.
    pub fn own_id(&self) -> String {
        id_of(&self.fields().into_iter().collect::<Vec<_>>())
    }

    /// As a line of the file, without its line end, with its id.
    pub fn to_line(&self) -> String {
        let mut fields = self.fields();
        fields.insert("id".to_owned(), Value::from(self.own_id()));
        Value::Object(fields).to_string()
    }
}

/// Reads a line; doubts about a line that can be used go into `doubts`.
pub(super) fn read_entry(line: Line<'_>, doubts: &mut Vec<Diagnostic>) -> Result<Entry, Diagnostic> {
    let mut record = line.record()?;
    let on = day(&mut record)?;
    let written = record.text("id", false)?;
    if let Some(target) = target(&mut record)? {
        let void = Void {
            line: line.number,
            id: String::new(),
            on,
            target,
            of: 0,
            stands_for: record.text("for", false)?,
            text: record.text("text", false)?,
            counts: true,
        };
        let id = written.unwrap_or_else(|| void.own_id());
        return Ok(Entry::Void(Void { id, ..void }));
    }
    let Some(on) = on else {
        return Err(line
            .complaint("missing-key", "this note has no day", 1, 1)
            .help("a note says when: \"on\": \"2026-11-24\""));
    };
    let note = Note {
        line: line.number,
        glaze: record.text("glaze", false)?,
        version: record.text("version", true)?,
        clay: record.text("clay", false)?,
        firing: record.text("firing", true)?,
        cone: record.text("cone", true)?,
        batch: record.text("batch", true)?,
        lots: lots(&mut record)?,
        tile: record.text("tile", true)?,
        made: record.text("made", true)?,
        age_days: record.number("age_days", 0.0, OLDEST_DAYS)?,
        looked: looked(&mut record)?,
        pieces: record.count("pieces", 1)?,
        crazed: record.count("crazed", 0)?,
        shivered: record.count("shivered", 0)?,
        dunted: record.count("dunted", 0)?,
        cause: record.text("cause", false)?.map(|text| Cause::from_text(&text)),
        kept: record.text("kept", false)?,
        grades: grades(&mut record)?,
        thickness_mm: record.number("thickness_mm", 0.0, THICKEST_MM)?,
        photo: record.text("photo", false)?,
        lab: lab(&mut record)?,
        text: record.text("text", false)?,
        other: record.rest(),
        ..Note::on(on)
    };
    if note.glaze.is_none() && note.tile.is_none() {
        return Err(line
            .complaint("missing-key", "this note names neither a glaze nor a tile", 1, 1)
            .help("say \"glaze\": \"...\" or \"tile\": \"...\""));
    }
    counts_fit(line, &note, doubts)?;
    for (key, _) in &note.other {
        if let Some(known) = slip_of(key) {
            let message = of_typed(key, "is kept but not read");
            let mut doubt = line.about(key, "unknown-key", message).help(did_you_mean(known));
            doubt.severity = glost_chemistry::diagnostic::Severity::Caution;
            doubts.push(doubt);
        }
    }
    let id = written.unwrap_or_else(|| note.content_id());
    let content = note.likeness();
    Ok(Entry::Note(Box::new(Note { id, content, ..note })))
}

/// What a void takes back: an id, or the number of an earlier line.
fn target(record: &mut Record<'_>) -> Result<Option<Target>, Diagnostic> {
    let line = record.line;
    let wrong = |code: &'static str, message: String| {
        line.about("void", code, message)
            .help("`void` names the id of a line, or an earlier line, counted from 1")
    };
    let number = match record.take("void") {
        None => return Ok(None),
        Some(Value::String(id)) if looks_like_id(id.trim()) => return Ok(Some(Target::Id(id.trim().to_lowercase()))),
        Some(Value::String(text)) => text.trim().parse().ok(),
        Some(value) => value.as_u64().and_then(|number| usize::try_from(number).ok()),
    };
    match number {
        Some(0) | None => Err(wrong("out-of-range", "`void` names no line and no id".to_owned())),
        Some(of) if of >= line.number => Err(wrong(
            "void-of-nothing",
            format!("line {of} comes no earlier than this line: nothing is taken back"),
        )),
        Some(of) => Ok(Some(Target::Line(of))),
    }
}

fn day(record: &mut Record<'_>) -> Result<Option<Date>, Diagnostic> {
    let Some(text) = record.text("on", false)? else {
        return Ok(None);
    };
    match Date::parse(&text) {
        Ok(date) => Ok(Some(date)),
        Err(trouble) => Err(record
            .line
            .about("on", "bad-date", trouble.message)
            .maybe_help(trouble.help)),
    }
}

fn grades(record: &mut Record<'_>) -> Result<Vec<Grade>, Diagnostic> {
    let line = record.line;
    let Some(value) = record.take("grades") else {
        return Ok(Vec::new());
    };
    let Value::Object(map) = value else {
        return Err(line.about("grades", "wrong-type", "`grades` should be like {\"gloss\": 4}"));
    };
    map.into_iter()
        .filter(|(_, value)| !value.is_null())
        .map(
            |(property, value)| match value.as_f64().filter(|grade| GRADES.contains(grade)) {
                Some(grade) => Ok(Grade { property, grade }),
                None => Err(line
                    .about(&property, "bad-grade", format!("the grade of {property} is {value}"))
                    .help("grades run from 0 (none of it) to 5 (as much as can be)")),
            },
        )
        .collect()
}

fn lots(record: &mut Record<'_>) -> Result<Vec<(String, String)>, Diagnostic> {
    let line = record.line;
    let wrong = |key: &str| line.about(key, "wrong-type", "`lots` should be like {\"bought clear\": \"K7\"}");
    let Some(value) = record.take("lots") else {
        return Ok(Vec::new());
    };
    let Value::Object(map) = value else {
        return Err(wrong("lots"));
    };
    let mut lots = Vec::new();
    for (material, lot) in map {
        match lot {
            Value::Null => {}
            Value::String(lot) => lots.push((material, lot.trim().to_owned())),
            Value::Number(lot) => lots.push((material, lot.to_string())),
            _ => return Err(wrong(&material)),
        }
    }
    Ok(lots)
}

fn looked(record: &mut Record<'_>) -> Result<Looked, Diagnostic> {
    let line = record.line;
    let Some(word) = record.text("looked", false)? else {
        return Ok(Looked::Unsaid);
    };
    Looked::from_word(&word).ok_or_else(|| {
        line.about("looked", "unknown-word", is_no(word, "way of looking"))
            .help("say ink, loupe or eye")
    })
}

fn lab(record: &mut Record<'_>) -> Result<Option<String>, Diagnostic> {
    match record.take("lab") {
        None | Some(Value::Bool(false)) => Ok(None),
        Some(Value::Bool(true)) => Ok(Some("report".to_owned())),
        Some(Value::String(text)) => Ok(Some(text.trim().to_owned()).filter(|text| !text.is_empty())),
        Some(_) => Err(record
            .line
            .about("lab", "wrong-type", "`lab` should name the report, or be true")),
    }
}

/// No more crazed than looked at.
fn counts_fit(line: Line<'_>, note: &Note, doubts: &mut Vec<Diagnostic>) -> Result<(), Diagnostic> {
    // What lacks its pieces is told once for a line that tells of crazing and shivering.
    for (key, count, told) in [
        ("crazed", note.crazed, true),
        ("shivered", note.shivered, note.crazed.is_none()),
        ("dunted", note.dunted, false),
    ] {
        match (count, note.pieces) {
            (Some(count), Some(pieces)) if count > pieces => {
                return Err(line
                    .about(key, "more-than-pieces", format!("{count} {key} of {pieces} pieces"))
                    .help(format!("`pieces` is how many were looked at, `{key}` how many of them")));
            }
            (Some(_), None) if told => {
                let mut doubt = line
                    .about(key, "no-pieces", of_typed(key, "without `pieces`: it can't be counted"))
                    .help("say of how many: \"pieces\": 5");
                doubt.severity = glost_chemistry::diagnostic::Severity::Caution;
                doubts.push(doubt);
            }
            _ => {}
        }
    }
    Ok(())
}

/// The known key that an unknown one is a slip of the pen of.
pub(super) fn slip_of(key: &str) -> Option<&'static str> {
    let own = ["copy", APART_KEY, KILN_KEY, MISSED_KEY, MARK_KEY, OVER_KEY];
    if TEST_KEYS.contains(&key) || own.contains(&key) {
        return None;
    }
    let slips = |known: &str| if known.len() < 7 { 1 } else { 2 };
    KEYS.into_iter()
        .chain(["void", "id", "copy"])
        .find(|known| key.len() <= 20 && strsim::damerau_levenshtein(&key.to_lowercase(), known) <= slips(known))
}
