//! Two glazes, or three, beside each other: a line a difference, the biggest first.

mod lines;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::distance::Nearness;
use glost_studio::FoundGlaze;
use serde::{Serialize, Serializer};

pub use lines::{Held, Line, Quantity, Value};

use crate::check;
use crate::{Desk, Failure, Words};

/// What is asked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// The glazes; the others are held against the first.
    pub glazes: Vec<String>,
    /// Whether what is alike is told too.
    pub all: bool,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        let glazes = words.list("glazes").to_vec();
        if !(2..=3).contains(&glazes.len()) {
            let error = Diagnostic::error("bad-call", "two glazes, or three, are held beside each other");
            return Err(error.help("glost compare \"Lamplight clear\" \"Highfell clear\""));
        }
        Ok(Question {
            glazes,
            all: words.flag("all"),
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let found: Vec<FoundGlaze> = self
            .glazes
            .iter()
            .map(|name| desk.glaze(name))
            .collect::<Result<_, _>>()?;
        let many = check::ForMany::read(desk)?;
        let mut held = Vec::new();
        for (name, found) in self.glazes.iter().zip(found) {
            let question = check::Question::from_words(&Words::default().with("glaze", name))?;
            let findings = question.findings(desk, &many)?;
            held.push(Held::of(found, findings));
        }
        many.put_away(desk);
        let distances: Vec<Option<f64>> = held[1..].iter().map(|other| held[0].distance(other)).collect();
        let mut lines = lines::of(&held);
        if !self.all {
            lines.retain(|line| line.differs);
        }
        Ok(Answer {
            glazes: held.iter().map(|one| one.found.glaze.name.clone()).collect(),
            distances,
            lines,
            all: self.all,
        })
    }
}

/// The glazes beside each other.
#[derive(Debug, Clone)]
pub struct Answer {
    /// Their names.
    pub glazes: Vec<String>,
    /// How far the chemistry of the others is from the first's; none where an analysis isn't
    /// known.
    pub distances: Vec<Option<f64>>,
    /// The differences, and what is alike where that was asked.
    pub lines: Vec<Line>,
    /// Whether what is alike is told too.
    pub all: bool,
}

impl Answer {
    /// How near each of the others is, in a word.
    pub fn nearness(&self) -> Vec<Option<Nearness>> {
        self.distances
            .iter()
            .map(|distance| distance.map(Nearness::of))
            .collect()
    }
}

impl crate::Answer for Answer {}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    glazes: &'a [String],
    distances: &'a [Option<f64>],
    lines: &'a [Line],
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        AnswerJson {
            glazes: &self.glazes,
            distances: &self.distances,
            lines: &self.lines,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);
