//! What grade a glaze is to be expected to get, from everything that was graded here.

pub(crate) mod book;
pub mod whole;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::quantity::parse_number;
use glost_core::evidence::notes::THICKEST_MM;
use glost_core::tiles::expect::{Expectation, Neighbour, Unlike};
use serde::{Serialize, Serializer};

use crate::{Desk, Failure, Words, trouble};

use book::{learnt, to_make};
use whole::{LeftOutJson, Told};

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The glaze's name or file.
    pub glaze: String,
    /// The property that was graded.
    pub grade: String,
    /// Another clay than its own.
    pub clay: Option<String>,
    /// How thick its coat is, mm.
    pub coat_mm: Option<f64>,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        Ok(Question {
            glaze: words.required("glaze")?.to_owned(),
            grade: words.required("grade")?.trim().to_lowercase(),
            clay: words.owned("clay"),
            coat_mm: words.text("coat").map(coat).transpose()?,
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let found = desk.glaze(&self.glaze)?;
        let learnt = learnt(desk, &self.grade)?;
        let Some(made) = to_make(&found, self.clay.as_deref(), self.coat_mm) else {
            let why = glost_chemistry::glaze::Analysis::of(
                &found.glaze,
                &found.settings.fluxes,
                glost_chemistry::glaze::Additions::In,
            );
            return Err(match why {
                Err(why) => trouble::no_analysis(&found, &why),
                Ok(_) => trouble::no_flux(&found),
            }
            .into());
        };
        let expected = learnt.studio.expect(&made);
        Ok(Answer {
            glaze: found.glaze.name.clone(),
            clay: made.clay.clone(),
            cone: made.cone.clone(),
            expected,
            told: Told::of(&learnt, &self.grade),
        })
    }
}

fn coat(text: &str) -> Result<f64, Diagnostic> {
    let bare = text.trim().trim_end_matches("mm").trim();
    // What is no number is told with the rest.
    let value = parse_number(bare).ok().map(|number| number.value);
    let fits = value.filter(|value| *value > 0.0 && *value <= THICKEST_MM);
    fits.ok_or_else(|| {
        Diagnostic::error("bad-option", format!("--coat: `{text}` is no thickness of a coat"))
            .help("write it in millimetres: 0.6 mm")
    })
}

/// A grade with its band.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The glaze.
    pub glaze: String,
    /// The clay it is expected on.
    pub clay: Option<String>,
    /// The cone it is expected at.
    pub cone: Option<String>,
    /// The grade.
    pub expected: Expectation,
    /// What the studio's grades are worth.
    pub told: Told,
}

impl crate::Answer for Answer {}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    glaze: &'a str,
    grade: &'a str,
    value: f64,
    low: f64,
    high: f64,
    level: LevelJson,
    clay: Option<&'a str>,
    cone: Option<&'a str>,
    nothing_like_it: bool,
    unlike: Vec<UnlikeJson>,
    nearest: Vec<NearestJson<'a>>,
    things: usize,
    grades: usize,
    all_alike: Option<f64>,
    scatter: f64,
    left_out: LeftOutJson<'a>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct LevelJson {
    low: f64,
    high: f64,
}

#[derive(Serialize, schemars::JsonSchema)]
struct UnlikeJson {
    oxides: Vec<&'static str>,
    moles: f64,
    least_made: f64,
    most_made: f64,
}

#[derive(Serialize, schemars::JsonSchema)]
struct NearestJson<'a> {
    made: &'a str,
    clay: Option<&'a str>,
    cone: Option<&'a str>,
    distance: f64,
    grade: f64,
    count: usize,
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let expected = &self.expected;
        let unlike = |unlike: &Unlike| UnlikeJson {
            oxides: unlike.oxides.iter().map(|oxide| oxide.formula()).collect(),
            moles: unlike.moles,
            least_made: unlike.made.0,
            most_made: unlike.made.1,
        };
        let nearest = expected.nearest.iter().map(nearest);
        AnswerJson {
            glaze: &self.glaze,
            grade: &self.told.grade,
            value: expected.value,
            low: expected.tile.0,
            high: expected.tile.1,
            level: LevelJson {
                low: expected.level.0,
                high: expected.level.1,
            },
            clay: self.clay.as_deref(),
            cone: self.cone.as_deref(),
            nothing_like_it: !expected.like,
            unlike: expected.unlike.iter().map(unlike).collect(),
            nearest: nearest.collect(),
            things: self.told.things,
            grades: self.told.whole.by_thing.grades,
            all_alike: self.told.all_alike,
            scatter: self.told.whole.scatter,
            left_out: LeftOutJson::of(&self.told),
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);

fn nearest(neighbour: &Neighbour) -> NearestJson<'_> {
    NearestJson {
        made: &neighbour.made.name,
        clay: neighbour.made.clay.as_deref(),
        cone: neighbour.made.cone.as_deref(),
        distance: neighbour.distance,
        grade: neighbour.grade,
        count: neighbour.count,
    }
}
