//! Notes and lines of the notebook in JSON.

use glost_chemistry::diagnostic::Diagnostic;
use glost_core::evidence::notes::{Note, RecipeStanding};
use serde::ser::SerializeMap;
use serde::{Serialize, Serializer};

/// A note with its line and all its keys, `null` where it says nothing.
#[derive(Debug, Clone, Copy)]
pub struct NoteJson<'a>(pub &'a Note);

impl Serialize for NoteJson<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let mut map = to.serialize_map(None)?;
        self.entries(&mut map, None)?;
        map.end()
    }
}

impl NoteJson<'_> {
    /// Its entries, one apart that whoever asks writes itself.
    pub fn entries<M: SerializeMap>(self, map: &mut M, without: Option<&str>) -> Result<(), M::Error> {
        map.serialize_entry("line", &self.0.line)?;
        map.serialize_entry("id", &self.0.id)?;
        // A key of somebody else's called so must not hide it.
        let is_own = |key: &str| key != "line" && key != "id" && Some(key) != without;
        for (key, value) in self.0.fields().iter().filter(|(key, _)| is_own(key)) {
            map.serialize_entry(key, value)?;
        }
        Ok(())
    }
}

/// A line of a file that was complained about.
#[derive(Debug, Clone, Serialize)]
pub struct Unread<'a> {
    line: Option<usize>,
    code: &'static str,
    message: &'a str,
    text: Option<&'a str>,
    help: Option<&'a str>,
}

impl<'a> Unread<'a> {
    /// Of a complaint.
    pub fn of(complaint: &'a Diagnostic) -> Unread<'a> {
        let place = complaint.place.as_deref();
        Unread {
            line: place.map(|place| place.mark.line),
            code: complaint.code,
            message: &complaint.message,
            text: place.map(|place| place.source_line.as_str()),
            help: complaint.help.as_deref(),
        }
    }
}

/// Complaints about lines of a file.
pub fn unread<S: Serializer>(complaints: &[Diagnostic], to: S) -> Result<S::Ok, S::Error> {
    to.collect_seq(complaints.iter().map(Unread::of))
}

/// What a note's recipe is to today's; `None` where there is no recipe.
pub fn standing_word(standing: &RecipeStanding) -> Option<&'static str> {
    match standing {
        RecipeStanding::Today => Some("today"),
        RecipeStanding::Older(_) => Some("older"),
        RecipeStanding::Unsaid => Some("unsaid"),
        RecipeStanding::Unrecorded => Some("unrecorded"),
        RecipeStanding::NoRecipe => None,
    }
}

impl schemars::JsonSchema for NoteJson<'_> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> std::borrow::Cow<'static, str> {
        "NoteJson".into()
    }

    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({
            "type": "object",
            "properties": { "line": { "type": "integer" }, "id": { "type": "string" } },
            "required": ["line"]
        })
    }
}
