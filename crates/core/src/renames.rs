//! New names of glazes, materials and clays, as journals tell them: nothing that was
//! written is rewritten, a line says what a name is from its day on.
//!
//! Such a line holds for what was noted up to its day. Its turn puts several of one day
//! in order, whatever order a merge leaves the lines in.

use std::fmt::Write;

use glost_chemistry::quantity::Date;
use glost_chemistry::read::folded;
use serde_json::{Map, Value};

use crate::line_id::id_of;

/// Between a glaze's name and what is added to it.
const BEFORE_ADDITION: &str = " + ";

/// What has a name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Renamed {
    /// A glaze.
    Glaze,
    /// A material.
    Material,
    /// A clay.
    Clay,
}

impl Renamed {
    const ALL: [Renamed; 3] = [Renamed::Glaze, Renamed::Material, Renamed::Clay];

    /// As journals write it.
    pub const fn word(self) -> &'static str {
        match self {
            Renamed::Glaze => "glaze",
            Renamed::Material => "material",
            Renamed::Clay => "clay",
        }
    }
}

/// A new name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rename {
    /// The day.
    pub on: Date,
    /// Which of several.
    pub turn: u64,
    /// What has it.
    pub of: Renamed,
    /// The old name.
    pub from: String,
    /// The new one.
    pub to: String,
}

impl Rename {
    /// As a journal's line, with its id.
    pub fn to_line(&self) -> String {
        let mut fields = vec![
            ("on".to_owned(), Value::from(self.on.to_string())),
            ("renamed".to_owned(), Value::from(self.of.word())),
            ("from".to_owned(), Value::from(self.from.as_str())),
            ("to".to_owned(), Value::from(self.to.as_str())),
            ("turn".to_owned(), Value::from(self.turn)),
        ];
        fields.push(("id".to_owned(), Value::from(id_of(&fields))));
        Value::Object(fields.into_iter().collect::<Map<_, _>>()).to_string()
    }

    /// Reads a line; `None` where it is no such line.
    pub fn of_line(text: &str) -> Option<Rename> {
        if !text.contains("\"renamed\"") {
            return None;
        }
        // What isn't JSON is complained about by whoever reads the line.
        let value: Value = serde_json::from_str(text).ok()?;
        let text = |key: &str| value.get(key).and_then(Value::as_str);
        let word = text("renamed")?;
        Some(Rename {
            on: Date::parse(text("on")?).ok()?,
            turn: value.get("turn").and_then(Value::as_u64).unwrap_or(0),
            of: Renamed::ALL.into_iter().find(|of| of.word() == word)?,
            from: text("from")?.to_owned(),
            to: text("to")?.to_owned(),
        })
    }

    /// A name of this sort with the new one in place of the old.
    fn applied(&self, name: &str) -> Option<String> {
        (folded(name) == folded(&self.from)).then(|| self.to.clone())
    }
}

/// All new names of a journal, in their order.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Renames {
    list: Vec<Rename>,
}

impl Renames {
    /// Whether a journal's text may hold any.
    pub fn may_stand_in(text: &str) -> bool {
        text.contains("\"renamed\"")
    }

    /// Those of a journal's text.
    pub fn of_text(text: &str) -> Renames {
        let mut renames = Renames::default();
        if Renames::may_stand_in(text) {
            text.lines()
                .filter_map(Rename::of_line)
                .for_each(|rename| renames.push(rename));
        }
        renames
    }

    /// With one more.
    pub fn push(&mut self, rename: Rename) {
        if !self.list.contains(&rename) {
            self.list.push(rename);
            self.list.sort_by_key(|rename| (rename.on, rename.turn));
        }
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// The turn of the next.
    pub fn next_turn(&self) -> u64 {
        self.list.iter().map(|rename| rename.turn).max().unwrap_or(0) + 1
    }

    /// What was called so on a day is called today.
    pub fn name(&self, of: Renamed, name: &str, on: Date) -> Option<String> {
        let mut now: Option<String> = None;
        for rename in self.list.iter().filter(|rename| rename.of == of && rename.on >= on) {
            if let Some(new) = rename.applied(now.as_deref().unwrap_or(name)) {
                now = Some(new);
            }
        }
        now
    }

    /// A glaze's name, with what is added behind it: `NAME + 3 % rutile`.
    pub fn glaze(&self, name: &str, on: Date) -> Option<String> {
        if let Some(whole) = self.name(Renamed::Glaze, name, on) {
            return Some(whole);
        }
        let of = |of: Renamed, name: &str| self.name(of, name, on);
        with_new_names(name, &of)
    }
}

/// A name with additions, `NAME + 3 % rutile`, its glaze and materials called anew; `None`
/// where nothing in it has a new name.
pub fn with_new_names(text: &str, new: &dyn Fn(Renamed, &str) -> Option<String>) -> Option<String> {
    let mut pieces = text.split(BEFORE_ADDITION);
    let first = pieces.next().unwrap_or("");
    let mut changed = false;
    let mut named = |of: Renamed, name: &str| match new(of, name.trim()) {
        Some(new) => {
            changed = true;
            new
        }
        None => name.to_owned(),
    };
    let mut said = named(Renamed::Glaze, first);
    for piece in pieces {
        said.push_str(BEFORE_ADDITION);
        match piece.split_once('%') {
            Some((percent, material)) => {
                let _ = write!(said, "{percent}% {}", named(Renamed::Material, material.trim()));
            }
            None => said.push_str(piece),
        }
    }
    changed.then_some(said)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> Date {
        Date::parse(text).unwrap_or_else(|why| panic!("{why:?}"))
    }

    fn rename(on: &str, turn: u64, of: Renamed, from: &str, to: &str) -> Rename {
        Rename {
            on: day(on),
            turn,
            of,
            from: from.to_owned(),
            to: to.to_owned(),
        }
    }

    #[test]
    fn a_line_comes_back_and_other_lines_are_none() {
        let one = rename("2026-11-25", 1, Renamed::Clay, "buff", "\"tern\" buff");
        assert_eq!(Rename::of_line(&one.to_line()), Some(one));
        for other in [
            "",
            "{",
            "{\"renamed\": 3}",
            "{\"on\":\"2026-11-25\",\"glaze\":\"a\",\"text\":\"renamed\"}",
        ] {
            assert_eq!(Rename::of_line(other), None, "{other}");
        }
    }

    #[test]
    fn names_follow_one_another_up_to_their_day_in_any_order_of_lines() {
        let lines = [
            rename("2026-11-20", 1, Renamed::Glaze, "A", "B").to_line(),
            rename("2026-11-25", 2, Renamed::Glaze, "B", "C").to_line(),
            rename("2026-11-25", 3, Renamed::Glaze, "C", "A").to_line(),
            rename("2026-11-25", 4, Renamed::Material, "rutile", "light rutile").to_line(),
        ];
        let mut turned = lines.clone();
        turned.reverse();
        for text in [lines.join("\n"), turned.join("\n")] {
            let renames = Renames::of_text(&text);
            assert_eq!(
                renames.name(Renamed::Glaze, "a", day("2026-11-01")).as_deref(),
                Some("A")
            );
            assert_eq!(renames.name(Renamed::Glaze, "a", day("2026-11-21")), None, "a new A");
            assert_eq!(
                renames.name(Renamed::Glaze, "b", day("2026-11-21")).as_deref(),
                Some("A")
            );
            assert_eq!(renames.name(Renamed::Clay, "b", day("2026-11-21")), None);
            assert_eq!(
                renames
                    .glaze("B + 3 % rutile + 1 % silica", day("2026-11-21"))
                    .as_deref(),
                Some("A + 3 % light rutile + 1 % silica")
            );
            assert_eq!(renames.next_turn(), 5);
        }
    }
}
