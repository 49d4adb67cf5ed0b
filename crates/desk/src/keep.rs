//! A tile that won, or a glaze with something in it, kept as a glaze of its own.

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::{Atmosphere, Glaze, Use, write_glaze};
use glost_core::tiles::blend::SavedPlan;
use glost_studio::{FoundGlaze, new_name};
use serde::{Serialize, Serializer};

use crate::wire::Amounts;
use crate::{Desk, Failure, Words};

/// Decimals of a written recipe: a hundredth of a gram on ten kilos.
const DECIMALS: i32 = 4;

/// What is asked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// What to keep: `PLAN/A3`, `NAME + 3 % rutile`.
    pub from: String,
    /// The new glaze's name.
    pub name: String,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        Ok(Question {
            from: words.required("from")?.to_owned(),
            name: new_name("glaze", words.required("name")?)?,
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let workplace = desk.workplace();
        let path = workplace.place_for_glaze(&self.name)?;
        let found = desk.glaze(&self.from)?;
        let plan = plan_of(&found, desk);
        if let Some(plan) = &plan {
            workplace.ends_stand(plan)?;
        }
        let mut glaze = Glaze {
            name: self.name.clone(),
            ..found.glaze.clone()
        };
        glaze.about.notes = Some(where_from(&found, plan.as_ref()));
        // What the base's maker recommends says nothing of the new glaze.
        glaze.about.recommended_for.clear();
        glaze.about.accepted.clear();
        let text = write_glaze(&glaze, DECIMALS)
            .map_err(|why| Diagnostic::error("cannot-write", format!("the glaze can't be written: {why}")))?;
        workplace.create_in_studio(&path, &text)?;
        Ok(Answer {
            file: workplace.below_studio(&path),
            from: found.glaze.name,
            glaze,
        })
    }
}

/// The plan of which it is a tile.
fn plan_of(found: &FoundGlaze, desk: &Desk) -> Option<SavedPlan> {
    let (name, _) = found.tile.as_deref()?.rsplit_once('/')?;
    let (plans, _) = desk.workplace().plans();
    plans.into_iter().find(|plan| plan.name == name)
}

/// For whoever reads the file in a year.
fn where_from(found: &FoundGlaze, plan: Option<&SavedPlan>) -> String {
    let Some(plan) = plan else {
        return format!("Kept from {}.", found.glaze.name);
    };
    let on = plan.on.map_or_else(String::new, |on| format!(" of {on}"));
    let ends = plan.ends.join(", ");
    format!("Kept from tile {}{on}, between {ends}.", found.glaze.name)
}

/// A glaze that was kept.
#[derive(Debug, Clone)]
pub struct Answer {
    /// Its file, below the studio's folder.
    pub file: String,
    /// What it was: `PLAN/A3`.
    pub from: String,
    /// The glaze.
    pub glaze: Glaze,
}

impl crate::Answer for Answer {}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    glaze: &'a str,
    file: &'a str,
    from: &'a str,
    parts: Amounts,
    additions: Amounts,
    cone: Option<&'a str>,
    peak_celsius: Option<f64>,
    firing: Option<&'a str>,
    atmosphere: Option<&'static str>,
    clay: Option<&'a str>,
    #[serde(rename = "use")]
    usage: Option<&'static str>,
    water_millilitres_per_kg: Option<f64>,
    density: Option<f64>,
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let about = &self.glaze.about;
        AnswerJson {
            glaze: &self.glaze.name,
            file: &self.file,
            from: &self.from,
            parts: Amounts::portions(&self.glaze.base),
            additions: Amounts::portions(&self.glaze.additions),
            cone: about.cone.as_deref(),
            peak_celsius: about.peak.map(|peak| peak.celsius()),
            firing: about.firing.as_deref(),
            atmosphere: about.atmosphere.map(Atmosphere::word),
            clay: about.clay.as_deref(),
            usage: about.usage.map(Use::word),
            water_millilitres_per_kg: about.water.map(|water| water.millilitres_per_kg),
            density: about.density_grams_per_millilitre,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);
