//! A note as it is typed, in a call or in a row of a sheet, made into one.

use glost_chemistry::diagnostic::is_no;
use serde_json::Value;

use glost_chemistry::diagnostic::suggestion;
use glost_chemistry::quantity::{Cone, Date, NumberTrouble};

use super::typed::{parse_age, parse_grade, parse_made, parse_share, parse_thickness};
use glost_core::evidence::notes::{Cause, Looked, MARK_KEY, Note, OVER_KEY};

/// Where pieces are kept.
const KEPT: [&str; 3] = ["shelf", "in use", "outdoors"];
/// The longest name and the longest free text that are taken, in characters.
const LONGEST_NAME: usize = 120;
const LONGEST_TEXT: usize = 4000;

/// What can be typed, by the note's own keys; `age`, `thickness` and `grade`
/// take units and words, `age_days`, `thickness_mm` and `grades` stand for them in a sheet.
pub const DRAFT_KEYS: [&str; 28] = [
    "on",
    "glaze",
    "version",
    "clay",
    "firing",
    "cone",
    "batch",
    "tile",
    "made",
    "age",
    "age_days",
    "looked",
    "pieces",
    "crazed",
    "shivered",
    "dunted",
    "cause",
    "kept",
    "grade",
    "grades",
    "thickness",
    "thickness_mm",
    "photo",
    "lab",
    "test",
    "mark",
    "over",
    "text",
];

/// Keys that say only which pieces they are; all others say something of them, or record a
/// version.
const WHICH: [&str; 8] = ["on", "glaze", "clay", "firing", "cone", "batch", "tile", "over"];

/// What was typed, key by key; several grades may be.
#[derive(Debug, Clone, Default)]
pub struct Draft {
    said: Vec<(&'static str, String)>,
}

/// Where a note keeps a count.
type CountOf = fn(&mut Note) -> &mut Option<u32>;

/// What is counted of pieces, by key.
const COUNTED: [(&str, CountOf); 3] = [
    ("crazed", |note| &mut note.crazed),
    ("shivered", |note| &mut note.shivered),
    ("dunted", |note| &mut note.dunted),
];

/// What is wrong with what was typed, and under which key.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Slip {
    /// One of [`DRAFT_KEYS`].
    pub key: &'static str,
    /// What is wrong.
    pub trouble: NumberTrouble,
}

/// A note made of a draft, with sentences about how it was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Settled {
    /// The note; glaze, clay and version as typed.
    pub note: Note,
    /// What was assumed.
    pub assumptions: Vec<String>,
}

impl Draft {
    /// Takes what was typed under a key; blanks alone count as nothing, a key
    /// that no note has is passed by.
    pub fn say(&mut self, key: &str, text: &str) {
        let known = DRAFT_KEYS.iter().find(|known| **known == key);
        if let (Some(key), false) = (known, text.trim().is_empty()) {
            self.said.push((key, text.trim().to_owned()));
        }
    }

    /// What was typed under a key.
    pub fn said(&self, key: &str) -> Option<&str> {
        let found = self.said.iter().find(|(known, _)| *known == key);
        found.map(|(_, text)| text.as_str())
    }

    /// Takes something else under a key, or nothing.
    pub fn replace(&mut self, key: &str, text: Option<&str>) {
        self.said.retain(|(known, _)| *known != key);
        if let Some(text) = text {
            self.say(key, text);
        }
    }

    /// Whether anything says how old the pieces are.
    pub fn says_age(&self) -> bool {
        ["age", "age_days", "made"].iter().any(|key| self.said(key).is_some())
    }

    /// Whether a count says of how many pieces.
    pub fn says_pieces(&self) -> bool {
        let counted = |key: &&str| self.said(key).is_some_and(|text| text.contains(['/', 'o']));
        self.said("pieces").is_some() || ["crazed", "shivered", "dunted"].iter().any(counted)
    }

    /// Whether it says anything of the pieces themselves, beyond which they are, or names a
    /// version to be recorded.
    pub fn says_anything_seen(&self) -> bool {
        DRAFT_KEYS
            .iter()
            .any(|key| !WHICH.contains(key) && self.said(key).is_some())
    }

    /// Whether nothing was typed.
    pub fn is_empty(&self) -> bool {
        self.said.is_empty()
    }

    /// The note. A note without a day is of `today`.
    ///
    /// # Errors
    /// The first thing typed that can't be used.
    pub fn settle(&self, today: Date) -> Result<Settled, Slip> {
        let on = self.day(today)?;
        let mut assumptions = Vec::new();
        let mut note = Note {
            glaze: self.name("glaze")?,
            version: self.name("version")?,
            clay: self.name("clay")?,
            firing: self.name("firing")?,
            cone: self.cone()?,
            batch: self.name("batch")?,
            tile: self.name("tile")?,
            photo: self.name("photo")?,
            lab: self.name("lab")?,
            looked: self.looked()?,
            cause: self.cause()?,
            kept: self.kept()?,
            text: self.text()?,
            ..Note::on(on)
        };
        if note.glaze.is_none() && note.tile.is_none() {
            return Err(slip(
                "glaze",
                "nothing says what was looked at",
                "name a glaze, or a tile by its code",
            ));
        }
        for key in ["test", MARK_KEY, OVER_KEY] {
            if let Some(text) = self.name(key)? {
                note.other.push((key.to_owned(), Value::from(text)));
            }
        }
        self.age(on, &mut note, &mut assumptions)?;
        self.counts(&mut note)?;
        for (_, text) in self.said.iter().filter(|said| said.0 == "grade") {
            self.grade("grade", text, &mut note)?;
        }
        for text in self.said("grades").unwrap_or("").split([';', ',']) {
            if !text.trim().is_empty() {
                self.grade("grades", text, &mut note)?;
            }
        }
        for (key, bare) in [("thickness", false), ("thickness_mm", true)] {
            if let Some(text) = self.said(key) {
                note.thickness_mm = Some(parse_thickness(text, bare).map_err(|trouble| Slip { key, trouble })?);
            }
        }
        Ok(Settled { note, assumptions })
    }

    fn day(&self, today: Date) -> Result<Date, Slip> {
        let Some(text) = self.said("on") else {
            return Ok(today);
        };
        let on = Date::parse(text).map_err(|trouble| Slip { key: "on", trouble })?;
        if on > today {
            return Err(slip(
                "on",
                &format!("{on} is still to come (today is {today})"),
                "a note says what was seen: write the day the pieces were looked at",
            ));
        }
        Ok(on)
    }

    fn name(&self, key: &'static str) -> Result<Option<String>, Slip> {
        let Some(text) = self.said(key) else { return Ok(None) };
        let name = text.split_whitespace().collect::<Vec<_>>().join(" ");
        if name.chars().count() > LONGEST_NAME || name.chars().any(char::is_control) {
            let message = format!("a name is 1 to {LONGEST_NAME} characters");
            return Err(slip(key, &message, "put the rest into the note's text"));
        }
        Ok(Some(name))
    }

    fn looked(&self) -> Result<Looked, Slip> {
        let Some(word) = self.said("looked") else {
            return Ok(Looked::Unsaid);
        };
        let bad = || slip("looked", &is_no(word, "way of looking"), "say ink, loupe or eye");
        Looked::from_word(word).ok_or_else(bad)
    }

    fn cause(&self) -> Result<Option<Cause>, Slip> {
        match self.name("cause")?.map(|text| Cause::from_text(&text)) {
            Some(Cause::Other(text)) => Err(slip(
                "cause",
                &is_no(text, "cause that is known"),
                "say thick, pulled hot, cold shock or chip; anything else goes into the text",
            )),
            known => Ok(known),
        }
    }

    /// Where the pieces are: one of three.
    fn kept(&self) -> Result<Option<String>, Slip> {
        let Some(text) = self.name("kept")? else {
            return Ok(None);
        };
        let said = text.to_lowercase();
        let said = said
            .strip_prefix("on the ")
            .or(said.strip_prefix("on a "))
            .unwrap_or(&said);
        match KEPT.into_iter().find(|known| *known == said) {
            Some(known) => Ok(Some(known.to_owned())),
            None => Err(slip(
                "kept",
                &is_no(&text, "place where pieces are kept"),
                &suggestion(said, KEPT).map_or_else(
                    || "say shelf, in use or outdoors; anything else goes into the text".to_owned(),
                    |near| format!("{} (shelf, in use or outdoors; anything else goes into the text)", near),
                ),
            )),
        }
    }

    fn text(&self) -> Result<Option<String>, Slip> {
        let Some(text) = self.said("text") else { return Ok(None) };
        if text.chars().count() > LONGEST_TEXT {
            let message = format!("this text is longer than {LONGEST_TEXT} characters");
            return Err(slip("text", &message, "make two notes of it"));
        }
        Ok(Some(text.to_owned()))
    }

    /// `6`, `04`, `5.5`, `cone 6`.
    fn cone(&self) -> Result<Option<String>, Slip> {
        let Some(text) = self.said("cone") else { return Ok(None) };
        let cone = Cone::parse(text).map_err(|trouble| Slip { key: "cone", trouble })?;
        Ok(Some(cone.name().to_owned()))
    }

    fn age(&self, on: Date, note: &mut Note, assumptions: &mut Vec<String>) -> Result<(), Slip> {
        let age = [("age", false), ("age_days", true)]
            .into_iter()
            .find_map(|(key, bare)| self.said(key).map(|text| (key, bare, text)));
        if let Some((key, bare, text)) = age {
            if self.said("made").is_some() {
                return Err(slip(
                    key,
                    "the age is said twice",
                    "say the age, or when they were made",
                ));
            }
            note.age_days = Some(parse_age(text, bare).map_err(|trouble| Slip { key, trouble })?);
            return Ok(());
        }
        let Some(text) = self.said("made") else { return Ok(()) };
        let made = parse_made(text).map_err(|trouble| Slip { key: "made", trouble })?;
        // Pieces of this month, looked at before its 15th, are a few days old.
        let days = on.days_since(made.day);
        if days + made.plus_minus_days < 0 {
            let message = format!("made {text} is after they were looked at, {on}");
            return Err(slip("made", &message, "check both days"));
        }
        if made.plus_minus_days > 0 {
            assumptions.push(format!(
                "made {text} is counted from {}: the age may be off by {} days",
                made.day.words(),
                made.plus_minus_days
            ));
        }
        note.made = Some(text.to_owned());
        note.age_days = Some(days.max(0) as f64);
        Ok(())
    }

    fn counts(&self, note: &mut Note) -> Result<(), Slip> {
        if let Some(text) = self.said("pieces") {
            let pieces = text.trim().parse::<u32>().ok().filter(|pieces| *pieces > 0);
            note.pieces = Some(pieces.ok_or_else(|| {
                slip(
                    "pieces",
                    &is_no(text, "count of pieces"),
                    "write a whole number, such as 5",
                )
            })?);
        }
        for (key, place) in COUNTED {
            let Some(text) = self.said(key) else { continue };
            let (some, of) = parse_share(text).map_err(|trouble| Slip { key, trouble })?;
            match (of, note.pieces) {
                (Some(of), Some(pieces)) if of != pieces => {
                    let message = format!("{of} pieces here, {pieces} before it");
                    return Err(slip(
                        key,
                        &message,
                        "one note is of one number of pieces: make two notes, or mend the count",
                    ));
                }
                (Some(of), _) => note.pieces = Some(of),
                (None, None) => {
                    return Err(slip(
                        key,
                        &format!("{some} of how many?"),
                        &format!("write {some}/5, or say how many pieces were looked at"),
                    ));
                }
                (None, Some(pieces)) if some > pieces => {
                    return Err(slip(
                        key,
                        &format!("{some} of {pieces}: more than there are"),
                        "mend one of the two",
                    ));
                }
                (None, Some(_)) => {}
            }
            *place(note) = Some(some);
        }
        Ok(())
    }

    fn grade(&self, key: &'static str, text: &str, note: &mut Note) -> Result<(), Slip> {
        let grade = parse_grade(text).map_err(|trouble| Slip { key, trouble })?;
        if note.grade(&grade.property).is_some() {
            let message = format!("{} is graded twice", grade.property);
            return Err(slip(key, &message, "leave one of the two"));
        }
        note.grades.push(grade);
        Ok(())
    }
}

fn slip(key: &'static str, message: &str, help: &str) -> Slip {
    Slip {
        key,
        trouble: NumberTrouble {
            message: message.to_owned(),
            help: Some(help.to_owned()),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn settle(said: &[(&str, &str)]) -> Result<Settled, Slip> {
        let mut draft = Draft::default();
        for (key, text) in said {
            draft.say(key, text);
        }
        draft.settle(Date::new(2026, 11, 25).unwrap_or_else(|| panic!("no day")))
    }

    #[test]
    fn pieces_from_the_cupboard() {
        let settled = settle(&[("glaze", "bought clear"), ("made", "2025-03"), ("crazed", "5/20")]);
        let settled = settled.unwrap_or_else(|slip| panic!("{slip:?}"));
        let note = settled.note;
        assert_eq!(
            (note.age_days, note.pieces, note.crazed, note.shivered),
            (Some(620.0), Some(20), Some(5), None)
        );
        assert_eq!(
            note.to_line(),
            r#"{"on":"2026-11-25","glaze":"bought clear","made":"2025-03","age_days":620,"pieces":20,"crazed":5,"id":"imszt3yj"}"#
        );
        assert_eq!(
            settled.assumptions,
            ["made 2025-03 is counted from 15 March 2025: the age may be off by 15 days"]
        );
        let fresh = settle(&[("tile", "A1"), ("on", "2026-11-02"), ("made", "2026-11")]);
        assert_eq!(fresh.map(|settled| settled.note.age_days), Ok(Some(0.0)));
    }

    #[test]
    fn what_cannot_be_meant_is_refused_under_its_key() {
        for (said, key) in [
            (vec![("crazed", "2/5")], "glaze"),
            (vec![("tile", "A1"), ("on", "2026-11-26")], "on"),
            (vec![("tile", "A1"), ("crazed", "6/5")], "crazed"),
            (vec![("tile", "A1"), ("crazed", "2")], "crazed"),
            (vec![("tile", "A1"), ("pieces", "5"), ("crazed", "6")], "crazed"),
            (vec![("tile", "A1"), ("crazed", "2/5"), ("shivered", "0/4")], "shivered"),
            (vec![("tile", "A1"), ("grade", "gloss=7")], "grade"),
            (
                vec![("tile", "A1"), ("grade", "gloss=4"), ("grade", "Gloss=3")],
                "grade",
            ),
            (vec![("tile", "A1"), ("age", "30d"), ("made", "2025")], "age"),
            (vec![("tile", "A1"), ("made", "2027")], "made"),
            (vec![("tile", "A1"), ("cone", "six")], "cone"),
            (vec![("tile", "A1"), ("pieces", "0")], "pieces"),
            (vec![("tile", "A1"), ("thickness", "thick")], "thickness"),
        ] {
            assert_eq!(settle(&said).map_err(|slip| slip.key), Err(key), "{said:?}");
        }
    }
}
