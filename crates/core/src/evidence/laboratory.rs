//! A laboratory's report: its results, kept in the note of the pieces that were tested, and
//! whether it still speaks of the glaze as it is made now.

use std::fmt;

use glost_chemistry::glaze::GlazeNotes;
use glost_chemistry::read::folded;
use serde::{Deserialize, Serialize, Serializer};

use super::notes::{Change, Note, RecipeStanding};

/// The key of a note that holds a laboratory's results.
pub const RESULTS_KEY: &str = "results";

/// One result as the laboratory wrote it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct LabResult {
    /// The metal's sign: `Pb`.
    pub metal: String,
    /// The figure, or `<0.01` where less was found than can be read.
    pub value: String,
    /// Its unit: `mg/l`.
    pub unit: String,
    /// The shape of the pieces, which the limits hang on.
    pub shape: String,
    /// The market whose limits count; none: all.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub market: Option<String>,
}

/// Why a report no longer speaks of the glaze.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum NoLonger {
    /// The recipe, a lot or an analysis has changed.
    Changed(Vec<Change>),
    /// Nobody recorded what its version was.
    Unrecorded(String),
    /// It goes on another clay.
    Clay {
        /// The one that was tested.
        tested: String,
        /// The one of now.
        now: String,
    },
    /// It is fired otherwise.
    Firing {
        /// As tested.
        tested: FiringTold,
        /// As now.
        now: FiringTold,
    },
}

/// To what pieces were fired: `cone 6`, or a firing by its name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FiringTold {
    /// A cone.
    Cone(String),
    /// A firing's name.
    Firing(String),
}

impl fmt::Display for FiringTold {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            FiringTold::Cone(cone) => write!(f, "cone {cone}"),
            FiringTold::Firing(name) => f.write_str(name),
        }
    }
}

impl Serialize for FiringTold {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl Note {
    /// A laboratory's results, where the note keeps any that can be read.
    pub fn lab_results(&self) -> Vec<LabResult> {
        let found = self.other.iter().find(|(key, _)| key == RESULTS_KEY);
        match found.map(|(_, value)| serde_json::from_value(value.clone())) {
            Some(Ok(results)) => results,
            // Somebody's own key of that name holds no results.
            Some(Err(_)) | None => Vec::new(),
        }
    }
}

/// Why a report of these pieces no longer speaks of the glaze as it is now; empty where it
/// still does.
pub fn no_longer(note: &Note, standing: &RecipeStanding, now: &GlazeNotes) -> Vec<NoLonger> {
    let mut why = Vec::new();
    match standing {
        RecipeStanding::Older(changes) => why.push(NoLonger::Changed(changes.clone())),
        RecipeStanding::Unrecorded => why.extend(note.version.clone().map(NoLonger::Unrecorded)),
        RecipeStanding::Today | RecipeStanding::Unsaid | RecipeStanding::NoRecipe => {}
    }
    if let Some((tested, now)) = differ(note.clay.as_deref(), now.clay.as_deref()) {
        why.push(NoLonger::Clay { tested, now });
    }
    // A cone says more than a firing's name, which may be given to every load.
    let (differing, made): (_, fn(String) -> FiringTold) = match (&note.cone, &now.cone) {
        (Some(tested), Some(now)) => (differ(Some(tested), Some(now)), FiringTold::Cone),
        _ => (
            differ(note.firing.as_deref(), now.firing.as_deref()),
            FiringTold::Firing,
        ),
    };
    why.extend(differing.map(|(tested, now)| NoLonger::Firing {
        tested: made(tested),
        now: made(now),
    }));
    why
}

/// Two that are both told and not alike.
fn differ(tested: Option<&str>, now: Option<&str>) -> Option<(String, String)> {
    let (tested, now) = (tested?, now?);
    let bare = |text: &str| folded(text).trim_start_matches("cone").trim().to_owned();
    (bare(tested) != bare(now)).then(|| (tested.to_owned(), now.to_owned()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use glost_chemistry::quantity::Date;
    use serde_json::json;

    fn note() -> Note {
        let day = Date::parse("2026-05-01").unwrap_or_else(|why| panic!("{why:?}"));
        Note {
            clay: Some("buff".to_owned()),
            cone: Some("6".to_owned()),
            firing: Some("spring glost".to_owned()),
            version: Some("v1".to_owned()),
            other: vec![(
                RESULTS_KEY.to_owned(),
                json!([{ "metal": "Pb", "value": "<0.01", "unit": "mg/l", "shape": "cup" }]),
            )],
            ..Note::on(day)
        }
    }

    #[test]
    fn results_are_read_and_other_keys_of_that_name_are_none() {
        assert_eq!(note().lab_results()[0].value, "<0.01");
        let other = Note {
            other: vec![(RESULTS_KEY.to_owned(), json!("fine"))],
            ..note()
        };
        assert_eq!(other.lab_results(), []);
    }

    #[test]
    fn clay_cone_and_recipe_outdate_it_and_a_loads_name_does_not() {
        let about = |clay: &str, cone: Option<&str>, firing: &str| GlazeNotes {
            clay: Some(clay.to_owned()),
            cone: cone.map(str::to_owned),
            firing: Some(firing.to_owned()),
            ..GlazeNotes::default()
        };
        let why = |about: &GlazeNotes| no_longer(&note(), &RecipeStanding::Today, about).len();
        assert_eq!(why(&about("Buff", Some("cone 6"), "autumn glost")), 0);
        assert_eq!(why(&about("red", Some("7"), "spring glost")), 2);
        assert_eq!(why(&about("buff", None, "autumn glost")), 1);
        let changed = RecipeStanding::Older(vec![Change::Analysis {
            material: "spar".to_owned(),
        }]);
        assert_eq!(no_longer(&note(), &changed, &about("buff", Some("6"), "x")).len(), 1);
        assert_eq!(
            no_longer(&note(), &RecipeStanding::Unrecorded, &GlazeNotes::default()).len(),
            1
        );
    }
}
