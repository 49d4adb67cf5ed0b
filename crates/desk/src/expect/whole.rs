//! What all graded things of the studio teach together, and which tile would teach most.

use glost_chemistry::diagnostic::Diagnostic;
use glost_core::tiles::expect::{Candidate, Graded, LeftOut, Made, Teaching, WholeStudio};
use glost_studio::FoundGlaze;
use serde::{Serialize, Serializer};

use super::book::{Learnt, halves, learnt, to_make};
use crate::{Desk, Failure, Words};

/// Tiles that are advised.
const ADVISED: usize = 3;
/// Glazes of which halves are thought of: those that are known least.
const HALVED: usize = 14;

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The property that was graded.
    pub grade: String,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        Ok(Question {
            grade: words.required("grade")?.trim().to_lowercase(),
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let learnt = learnt(desk, &self.grade)?;
        let known: Vec<(&FoundGlaze, Made)> = learnt
            .glazes
            .iter()
            .filter_map(|found| Some((found, to_make(found, None, None)?)))
            .collect();
        let mut glazes: Vec<Guessed> = known
            .iter()
            .map(|(_, made)| {
                let expected = learnt.studio.expect(made);
                Guessed {
                    glaze: made.name.clone(),
                    value: expected.value,
                    tile: expected.tile,
                    level: expected.level,
                    like: expected.like,
                }
            })
            .collect();
        let teaches = teaching(&learnt, &known, &glazes);
        glazes.sort_by(|a, b| b.value.total_cmp(&a.value));
        Ok(Answer {
            told: Told::of(&learnt, &self.grade),
            glazes,
            teaches,
        })
    }
}

fn teaching(learnt: &Learnt, known: &[(&FoundGlaze, Made)], glazes: &[Guessed]) -> Vec<Teaching> {
    let targets: Vec<Made> = known.iter().map(|(_, made)| made.clone()).collect();
    let mut candidates: Vec<Candidate> = known
        .iter()
        .map(|(_, made)| Candidate {
            made: made.clone(),
            of: vec![made.name.clone()],
        })
        .collect();
    let mut least_known: Vec<usize> = (0..known.len()).collect();
    let doubt = |index: usize| glazes[index].level.1 - glazes[index].level.0;
    least_known.sort_by(|&a, &b| doubt(b).total_cmp(&doubt(a)));
    least_known.truncate(HALVED);
    for (place, &one) in least_known.iter().enumerate() {
        for &other in &least_known[place + 1..] {
            let ((one, made), (other, of_other)) = (&known[one], &known[other]);
            // Halves of glazes for two heats are nobody's tile.
            if made.cone == of_other.cone
                && let Some(half) = halves(one, other)
            {
                candidates.push(Candidate {
                    made: half,
                    of: vec![one.glaze.name.clone(), other.glaze.name.clone()],
                });
            }
        }
    }
    learnt.studio.teaching(&targets, &candidates, ADVISED)
}

/// What the studio's grades are worth.
#[derive(Debug, Clone)]
pub struct Told {
    /// The property.
    pub grade: String,
    /// Things that were graded.
    pub things: usize,
    /// Places that the model holds apart; fewer where there were too many things.
    pub places: usize,
    /// The grade, where all are the same.
    pub all_alike: Option<f64>,
    /// How well grades tell each other.
    pub whole: WholeStudio,
    /// Lines of graded notes whose chemistry nobody tells.
    pub unplaced: Vec<usize>,
}

impl Told {
    pub(super) fn of(learnt: &Learnt, grade: &str) -> Told {
        Told {
            grade: grade.to_owned(),
            things: learnt.studio.things().len(),
            places: learnt.studio.places(),
            all_alike: learnt.studio.all_alike(),
            whole: learnt.studio.whole(),
            unplaced: learnt.unplaced.clone(),
        }
    }
}

/// A glaze of the studio with the grade that is expected of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Guessed {
    /// The glaze.
    pub glaze: String,
    /// The grade.
    pub value: f64,
    /// Where a tile's grade lies, 90 %.
    pub tile: (f64, f64),
    /// Where the mean of many lies.
    pub level: (f64, f64),
    /// Whether anything like it was made.
    pub like: bool,
}

/// What all graded things teach.
#[derive(Debug, Clone)]
pub struct Answer {
    /// What they are worth.
    pub told: Told,
    /// Every glaze of the studio, the highest first.
    pub glazes: Vec<Guessed>,
    /// Tiles that would teach most.
    pub teaches: Vec<Teaching>,
}

impl crate::Answer for Answer {}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    grade: &'a str,
    things: usize,
    places: usize,
    grades: usize,
    all_alike: Option<f64>,
    scatter: f64,
    left_out: LeftOutJson<'a>,
    glazes: Vec<GuessedJson<'a>>,
    next: Vec<TeachingJson<'a>>,
    contradictions: Vec<ContradictionJson<'a>>,
    unplaced_lines: &'a [usize],
}

/// Errors of grades that were left out.
#[derive(Serialize, schemars::JsonSchema)]
pub(super) struct LeftOutJson<'a> {
    by_thing: ErrorJson<'a>,
    by_glaze: Option<ErrorJson<'a>>,
    glazes: Vec<ErrorJson<'a>>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct ErrorJson<'a> {
    left_out: &'a str,
    grades: usize,
    error: f64,
    plain_mean_error: f64,
    in_band: f64,
}

impl<'a> LeftOutJson<'a> {
    pub(super) fn of(told: &'a Told) -> LeftOutJson<'a> {
        let error = |left: &'a LeftOut| ErrorJson {
            left_out: &left.name,
            grades: left.grades,
            error: left.error,
            plain_mean_error: left.plain,
            in_band: left.in_band,
        };
        LeftOutJson {
            by_thing: error(&told.whole.by_thing),
            by_glaze: told.whole.by_glaze.as_ref().map(error),
            glazes: told.whole.glazes.iter().map(error).collect(),
        }
    }
}

#[derive(Serialize, schemars::JsonSchema)]
struct GuessedJson<'a> {
    glaze: &'a str,
    value: f64,
    low: f64,
    high: f64,
    nothing_like_it: bool,
}

#[derive(Serialize, schemars::JsonSchema)]
struct TeachingJson<'a> {
    tile: &'a str,
    of: &'a [String],
    cone: Option<&'a str>,
    clay: Option<&'a str>,
    doubt: f64,
    doubt_after: f64,
}

#[derive(Serialize, schemars::JsonSchema)]
struct ContradictionJson<'a> {
    made: &'a str,
    grades: Vec<f64>,
    lines: Vec<usize>,
}

fn contradiction(thing: &Graded) -> ContradictionJson<'_> {
    ContradictionJson {
        made: &thing.made.name,
        grades: thing.grades.iter().map(|grade| grade.0).collect(),
        lines: thing.grades.iter().map(|grade| grade.1).collect(),
    }
}

fn teaches(teaching: &Teaching) -> TeachingJson<'_> {
    let made = &teaching.candidate.made;
    TeachingJson {
        tile: &made.name,
        of: &teaching.candidate.of,
        cone: made.cone.as_deref(),
        clay: made.clay.as_deref(),
        doubt: teaching.doubt,
        doubt_after: teaching.doubt_after,
    }
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let told = &self.told;
        let glazes = self.glazes.iter().map(|glaze| GuessedJson {
            glaze: &glaze.glaze,
            value: glaze.value,
            low: glaze.tile.0,
            high: glaze.tile.1,
            nothing_like_it: !glaze.like,
        });
        AnswerJson {
            grade: &told.grade,
            things: told.things,
            places: told.places,
            grades: told.whole.by_thing.grades,
            all_alike: told.all_alike,
            scatter: told.whole.scatter,
            left_out: LeftOutJson::of(told),
            glazes: glazes.collect(),
            next: self.teaches.iter().map(teaches).collect(),
            contradictions: told.whole.contradictions.iter().map(contradiction).collect(),
            unplaced_lines: &told.unplaced,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);
