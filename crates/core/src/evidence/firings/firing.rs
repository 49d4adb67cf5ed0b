//! One firing, from its load to its opening.

use serde_json::{Map, Value};

use glost_chemistry::quantity::{Cone, Date};

use crate::line_id::id_of;
use crate::renames::{Renamed, Renames};

use super::entry::{Entry, Put};
use super::opening::{Opening, TakeBack};

/// What a firing is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FiringKind {
    /// Bare ware.
    Biscuit,
    /// Glazed ware.
    Glost,
    /// Raw ware glazed and fired at once.
    Once,
}

impl FiringKind {
    /// All of them.
    pub const ALL: [FiringKind; 3] = [FiringKind::Biscuit, FiringKind::Glost, FiringKind::Once];

    /// The book's word.
    pub fn word(self) -> &'static str {
        match self {
            FiringKind::Biscuit => "biscuit",
            FiringKind::Glost => "glost",
            FiringKind::Once => "once",
        }
    }

    /// From the book's word.
    pub fn from_word(word: &str) -> Option<FiringKind> {
        let word = word.trim();
        FiringKind::ALL
            .into_iter()
            .find(|kind| kind.word().eq_ignore_ascii_case(word))
    }
}

/// One firing.
#[derive(Debug, Clone, PartialEq)]
pub struct Firing {
    /// Its line in the book, from 1; 0 before it is written.
    pub line: usize,
    /// Its id.
    pub id: String,
    /// The day it was loaded.
    pub on: Date,
    /// Its name; several firings may have one.
    pub firing: Option<String>,
    /// What it is for.
    pub kind: FiringKind,
    /// The cone that was meant.
    pub cone_meant: Option<String>,
    /// Its atmosphere.
    pub atmosphere: Option<String>,
    /// What stands in it.
    pub load: Vec<Entry>,
    /// Anything else.
    pub text: Option<String>,
    /// How it came out, once it was opened.
    pub opened: Option<Opening>,
    /// Where it was taken back.
    pub void: Option<TakeBack>,
}

impl Firing {
    /// Whether it counts.
    pub fn stands(&self) -> bool {
        self.void.is_none()
    }

    /// Whether it stands and was opened.
    pub fn is_open(&self) -> bool {
        self.stands() && self.opened.is_some()
    }

    /// The cone that its pieces had: the one that bent, else the one that was meant.
    pub fn cone(&self) -> Option<&str> {
        let bent = self.opened.as_ref().and_then(|opened| opened.cone_bent.as_deref());
        bent.or(self.cone_meant.as_deref())
    }

    /// How many cones hotter than meant it went, below zero where cooler; `None` where one of
    /// the two isn't told.
    pub fn missed_cones(&self) -> Option<f64> {
        let bent = Cone::parse(self.opened.as_ref()?.cone_bent.as_deref()?).ok()?;
        let meant = Cone::parse(self.cone_meant.as_deref()?).ok()?;
        Some(bent.steps_above(meant))
    }

    /// As [`Firing::missed_cones`], where that is one or more: then it is a firing of its own.
    pub fn missed(&self) -> Option<f64> {
        self.missed_cones().filter(|cones| cones.abs() >= 1.0)
    }

    /// Whether she set it apart from other firings to its cone.
    pub fn is_apart(&self) -> bool {
        self.opened.as_ref().is_some_and(|opened| opened.apart)
    }

    /// How many pieces were loaded.
    pub fn pieces(&self) -> u64 {
        self.load.iter().map(|entry| u64::from(entry.pieces)).sum()
    }

    /// Glazes and clays that were renamed since are called by their new names; the id stays
    /// that of the line.
    pub(super) fn call_anew(&mut self, renames: &Renames) {
        let on = self.on;
        for entry in &mut self.load {
            if let Put::Glaze(name) = &mut entry.put
                && let Some(new) = renames.glaze(name, on)
            {
                *name = new;
            }
            if let Some(new) = entry.over.as_deref().and_then(|over| renames.glaze(over, on)) {
                entry.over = Some(new);
            }
            let clay = entry.clay.as_deref();
            if let Some(new) = clay.and_then(|clay| renames.name(Renamed::Clay, clay, on)) {
                entry.clay = Some(new);
            }
        }
    }

    /// Its keys in the order of the file, without those that say nothing.
    fn fields(&self) -> Map<String, Value> {
        let mut fields = Map::new();
        fields.insert("on".to_owned(), Value::from(self.on.to_string()));
        let mut text = |key: &str, text: Option<&str>| {
            if let Some(text) = text {
                fields.insert(key.to_owned(), Value::from(text));
            }
        };
        text("firing", self.firing.as_deref());
        text("kind", Some(self.kind.word()));
        text("cone_meant", self.cone_meant.as_deref());
        text("atmosphere", self.atmosphere.as_deref());
        let load = self.load.iter().map(|entry| Value::Object(entry.fields()));
        fields.insert("load".to_owned(), load.collect());
        if let Some(text) = &self.text {
            fields.insert("text".to_owned(), Value::from(text.as_str()));
        }
        fields
    }

    /// With the id that its keys give.
    #[must_use]
    pub fn named(self) -> Firing {
        let id = id_of(&self.fields().into_iter().collect::<Vec<_>>());
        Firing { id, ..self }
    }

    /// The load as a line of the file, without its line end.
    pub fn to_line(&self) -> String {
        let mut fields = self.fields();
        fields.insert("id".to_owned(), Value::from(self.id.as_str()));
        Value::Object(fields).to_string()
    }
}
