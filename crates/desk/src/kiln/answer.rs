//! What the kiln's book answers.

use glost_chemistry::quantity::Date;
use glost_core::evidence::firings::Firing;
use serde::ser::SerializeMap;
use serde::{Serialize, Serializer};
use serde_json::{Map, Value};

use crate::{Said, due};

/// A load that was written down.
#[derive(Debug, Clone, PartialEq)]
pub struct Loaded {
    /// The firing.
    pub firing: Firing,
    /// Whether it was written down before: nothing was written then.
    pub already: bool,
    /// What it brings, and what may be wrong.
    pub cautions: Vec<Said>,
    /// What may be wrong with it beside other firings.
    pub said: Vec<Said>,
    /// What was taken for granted.
    pub assumptions: Vec<Said>,
}

impl Loaded {
    pub(super) fn of(firing: Firing) -> Loaded {
        Loaded {
            firing,
            already: false,
            cautions: Vec::new(),
            said: Vec::new(),
            assumptions: Vec::new(),
        }
    }
}

/// A kiln that was opened.
#[derive(Debug, Clone)]
pub struct Opened {
    /// The firing.
    pub firing: Firing,
    /// What may be wrong.
    pub cautions: Vec<Said>,
    /// The first looks at its pieces.
    pub due: Vec<due::Due>,
}

impl Opened {
    pub(super) fn of(firing: Firing) -> Opened {
        Opened {
            firing,
            cautions: Vec::new(),
            due: Vec::new(),
        }
    }
}

impl crate::Answer for Loaded {}
impl crate::Answer for Opened {}

/// A firing with all its keys, `null` where it says nothing.
#[derive(Debug, Clone, Copy)]
pub struct FiringJson<'a>(pub &'a Firing);

impl FiringJson<'_> {
    /// Its keys with their values, the load apart.
    fn fields(self) -> Vec<(&'static str, Value)> {
        let firing = self.0;
        let text = |text: Option<&str>| text.map_or(Value::Null, Value::from);
        let opened = firing.opened.as_ref();
        let about: Map<String, Value> = opened.map_or_else(Map::new, |opened| opened.about());
        let of_opening = |key: &str| about.get(key).cloned().unwrap_or(Value::Null);
        vec![
            ("id", Value::from(firing.id.as_str())),
            ("on", Value::from(firing.on.to_string())),
            ("firing", text(firing.firing.as_deref())),
            ("kind", Value::from(firing.kind.word())),
            ("cone_meant", text(firing.cone_meant.as_deref())),
            ("cone_bent", of_opening("cone_bent")),
            ("peak_c", of_opening("peak_c")),
            ("soak_minutes", of_opening("soak_minutes")),
            ("cooled", of_opening("cooled")),
            ("apart", Value::from(firing.is_apart())),
            ("atmosphere", text(firing.atmosphere.as_deref())),
            ("text", text(firing.text.as_deref())),
            ("opened_on", text(opened.map(|opened| opened.on.to_string()).as_deref())),
            ("opening_id", text(opened.map(|opened| opened.id.as_str()))),
            ("opening_text", of_opening("text")),
            ("missed_cones", firing.missed_cones().map_or(Value::Null, Value::from)),
            ("pieces", Value::from(firing.pieces())),
            ("void", text(firing.void.as_ref().map(|void| void.id.as_str()))),
        ]
    }
}

impl Serialize for FiringJson<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let mut map = to.serialize_map(None)?;
        for (key, value) in self.fields() {
            map.serialize_entry(key, &value)?;
        }
        map.end()
    }
}

/// What stands in a firing.
pub(crate) fn load_json(firing: &Firing) -> Vec<Value> {
    firing.load.iter().map(|entry| Value::Object(entry.fields())).collect()
}

#[derive(Serialize, schemars::JsonSchema)]
struct LoadedJson<'a> {
    #[schemars(with = "serde_json::Value")]
    firing: FiringJson<'a>,
    load: Vec<Value>,
    already: bool,
    cautions: Vec<&'a Said>,
    assumptions: &'a [Said],
}

impl Serialize for Loaded {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        LoadedJson {
            firing: FiringJson(&self.firing),
            load: load_json(&self.firing),
            already: self.already,
            cautions: self.said.iter().chain(&self.cautions).collect(),
            assumptions: &self.assumptions,
        }
        .serialize(to)
    }
}

#[derive(Serialize, schemars::JsonSchema)]
struct OpenedJson<'a> {
    #[schemars(with = "serde_json::Value")]
    firing: FiringJson<'a>,
    load: Vec<Value>,
    cautions: &'a [Said],
    due: &'a [due::Due],
}

impl Serialize for Opened {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        OpenedJson {
            firing: FiringJson(&self.firing),
            load: load_json(&self.firing),
            cautions: &self.cautions,
            due: &self.due,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Loaded: LoadedJson<'_>);
crate::wire::written_as!(Opened: OpenedJson<'_>);

/// The day that counts for a firing: when it was opened, else loaded.
pub fn day_of(firing: &Firing) -> Date {
    firing.opened.as_ref().map_or(firing.on, |opened| opened.on)
}
