//! A chemical formula weighed and fired.

use glost_chemistry::diagnostic::{Diagnostic, Mark, Source};
use glost_chemistry::oxides::{FiredFormula, Formula, OxideGrams, fire};
use serde::{Serialize, Serializer};

use crate::wire::Amounts;
use crate::{Desk, Failure, Words, trouble};

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// As typed.
    pub text: String,
    /// What it says.
    pub formula: Formula,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        let text = words.required("formula")?.trim();
        Ok(Question {
            formula: Formula::parse(text).map_err(|bad| trouble::formula(text, bad))?,
            text: text.to_owned(),
        })
    }

    fn ask(&self, _: &Desk) -> Result<Answer, Failure> {
        answer(self)
    }

    /// No studio has a say in it.
    fn at_once(&self) -> Option<Result<Answer, Failure>> {
        Some(answer(self))
    }
}

fn answer(question: &Question) -> Result<Answer, Failure> {
    let text = &question.text;
    let fired = fire(&question.formula).map_err(|symbol| {
        Diagnostic::error("unknown-oxide", format!("Glost knows no fired oxide of {symbol}")).at(
            &Source::from_text("formula", text),
            Mark { line: 1, column: 1 },
            text.chars().count(),
        )
    })?;
    Ok(Answer {
        formula: text.clone(),
        // Nothing is left of what flies off whole: nothing in per cent then.
        fired_percent: fired.grams_per_100.percent().unwrap_or(OxideGrams::ZERO),
        fired,
    })
}

/// A formula weighed and fired.
#[derive(Debug, Clone)]
pub struct Answer {
    /// As typed.
    pub formula: String,
    /// What it is.
    pub fired: FiredFormula,
    /// What is left of it, wt %.
    pub fired_percent: OxideGrams,
}

impl crate::Answer for Answer {}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    formula: &'a str,
    formula_mass: f64,
    oxides: Amounts,
    fired: Amounts,
    loss_on_ignition: f64,
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let written = self.fired.written.iter();
        AnswerJson {
            formula: &self.formula,
            formula_mass: self.fired.grams_per_mole,
            oxides: Amounts(written.map(|line| (line.name.clone(), line.weight_percent)).collect()),
            fired: Amounts::grams(&self.fired_percent),
            loss_on_ignition: self.fired.loss_on_ignition_percent,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);
