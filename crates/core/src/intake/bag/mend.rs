//! What a poor label most likely means.

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::material::{Kind, Library};
use glost_chemistry::oxides::Basis;
use glost_chemistry::quantity::DecimalComma;

use super::label::{Compound, Label};
use glost_chemistry::material::{ExpectedLoss, expected_loss};
use serde::Serialize;

/// Sums of oxides, or of oxides and loss, in wt %, that raise no question.
const WHOLE: (f64, f64) = (97.0, 102.0);
/// A rest below this is rounding, wt %.
const LEAST_UNTOLD: f64 = 0.05;
/// Oxides below this are only part of an analysis.
const LEAST_OXIDES: f64 = 40.0;

/// A label with what it was taken to mean.
#[derive(Debug, Clone, PartialEq)]
pub struct Mended {
    /// The material's name.
    pub name: String,
    /// Oxides in wt % on `basis`.
    pub oxides: Vec<(String, f64)>,
    /// What 100 % means.
    pub basis: Basis,
    /// Loss on ignition, wt % of the material as supplied.
    pub loss_percent: f64,
    /// Why it was read so.
    pub reasons: Vec<Reason>,
    /// The guess that every result has to carry, where there is one.
    pub assumed: Option<Guess>,
    /// The representative material that stands in, where the label has no figures.
    pub stand_in: Option<String>,
    /// The words after the name on the label.
    pub printed: String,
    /// What kind of material it is.
    pub kind: Kind,
}

/// Why a label was read so. Figures are wt %.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Reason {
    /// How a number was read.
    Number(DecimalComma),
    /// A compound counts by its formula.
    ByFormula(Compound),
    /// The label's own loss on ignition is used.
    OwnLoss(f64),
    /// Oxides and loss make a whole.
    AsSupplied {
        /// Sum of the oxides.
        oxides: f64,
        /// The loss on ignition.
        loss: f64,
    },
    /// Oxides alone make a whole, a loss beside them.
    OxidesOfFired {
        /// Sum of the oxides.
        oxides: f64,
        /// The loss on ignition.
        loss: f64,
    },
    /// A loss that a material of this name doesn't have.
    UnlikelyLoss(f64, ExpectedLoss),
    /// Oxides make a whole, and no raw material of this name has no loss.
    NoLossStated(f64, ExpectedLoss),
    /// So the oxides are of the fired material, with its usual loss.
    LooksFired(ExpectedLoss),
    /// The loss on ignition is what the oxides leave of 100.
    LossIsTheRest {
        /// Sum of the oxides.
        oxides: f64,
        /// The rest.
        loss: f64,
    },
    /// It may be of the fired material: ask.
    AskWhetherFired,
    /// Without figures a representative material stands in: it, and its provenance.
    StandIn(String, String),
}

/// What is guessed of a label. Figures are wt %.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Guess {
    /// Oxides and loss come from what is printed; so much of it is not told.
    WorkedOut {
        /// The label's words.
        printed: String,
        /// What they leave of 100, where that is something.
        untold: Option<f64>,
    },
    /// The oxides are of the fired material.
    BasisFired {
        /// Sum of the oxides.
        oxides: f64,
        /// The loss on ignition.
        loss: f64,
    },
    /// The oxides are of the fired material, and the loss is the usual one.
    BasisAndLoss {
        /// The usual loss on ignition.
        loss: f64,
        /// The label's words.
        printed: String,
        /// Sum of the oxides.
        oxides: f64,
    },
    /// The loss on ignition is what the oxides leave of 100.
    Loss(f64),
    /// A representative material stands in.
    StandIn(String),
}

/// Works out what a label means.
///
/// # Errors
/// Figures that make no analysis (too little, too much, a slip), or a name
/// alone that no shipped material can stand in for.
pub fn mend(label: &Label, library: &Library) -> Result<Mended, Diagnostic> {
    let expected = expected_loss(&label.name);
    if label.oxides.is_empty() && label.compounds.is_empty() {
        return stand_in(label, library);
    }
    let mut work = Work {
        oxides: Vec::new(),
        basis: Basis::AsSupplied,
        loss: label.loss_percent,
        reasons: label.notes.iter().cloned().map(Reason::Number).collect(),
        assumed: None,
    };
    for (name, percent) in &label.oxides {
        work.add(name, *percent);
    }
    if label.compounds.is_empty() {
        work.oxides_only(label, expected)?;
    } else {
        work.compounds(label)?;
    }
    let loss_percent = work.loss.unwrap_or(0.0);
    Ok(Mended {
        name: label.name.clone(),
        oxides: work.oxides,
        basis: work.basis,
        loss_percent,
        reasons: work.reasons,
        assumed: work.assumed,
        stand_in: None,
        printed: label.printed.clone(),
        kind: kind(&label.name),
    })
}

struct Work {
    oxides: Vec<(String, f64)>,
    basis: Basis,
    loss: Option<f64>,
    reasons: Vec<Reason>,
    assumed: Option<Guess>,
}

fn refuse(label: &Label, message: String, help: &str) -> Diagnostic {
    Diagnostic::error("bad-label", format!("{}: {message}", label.name)).help(help)
}

impl Work {
    fn add(&mut self, name: &str, percent: f64) {
        match self.oxides.iter_mut().find(|known| known.0 == name) {
            Some(same) => same.1 += percent,
            None => self.oxides.push((name.to_owned(), percent)),
        }
    }

    fn sum(&self) -> f64 {
        self.oxides.iter().map(|oxide| oxide.1).sum()
    }

    /// Compounds such as calcium carbonate: oxides and loss by formula.
    fn compounds(&mut self, label: &Label) -> Result<(), Diagnostic> {
        let mut loss = 0.0;
        for compound in &label.compounds {
            self.reasons.push(Reason::ByFormula(compound.clone()));
            for (name, percent) in &compound.oxides {
                self.add(name, *percent);
            }
            loss += compound.loss_percent;
        }
        let whole = self.sum() + loss;
        if whole > WHOLE.1 {
            return Err(refuse(
                label,
                format!("the figures make {whole:.1} %"),
                "is a compound told twice, once as such and once as oxide?",
            ));
        }
        if let Some(stated) = self.loss {
            self.reasons.push(Reason::OwnLoss(stated));
        } else {
            self.loss = Some(loss);
        }
        let rest = 100.0 - whole;
        self.assumed = Some(Guess::WorkedOut {
            printed: label.printed.clone(),
            untold: (rest > LEAST_UNTOLD).then_some(rest),
        });
        Ok(())
    }

    /// Oxides: which basis, which loss.
    fn oxides_only(&mut self, label: &Label, expected: Option<&ExpectedLoss>) -> Result<(), Diagnostic> {
        let sum = self.sum();
        if !(LEAST_OXIDES..=WHOLE.1 + 3.0).contains(&sum) {
            return Err(refuse(
                label,
                format!("its oxides make {sum:.1} %"),
                "is a line missing, or a decimal point out of its place?",
            ));
        }
        if let Some(loss) = self.loss {
            self.unlike(expected, loss);
        }
        match (self.loss, expected) {
            (Some(loss), _) if (WHOLE.0..=WHOLE.1).contains(&(sum + loss)) => {
                self.reasons.push(Reason::AsSupplied { oxides: sum, loss });
            }
            (Some(loss), _) if (WHOLE.0..=WHOLE.1).contains(&sum) => {
                self.basis = Basis::Fired;
                self.assumed = Some(Guess::BasisFired { oxides: sum, loss });
                self.reasons.push(Reason::OxidesOfFired { oxides: sum, loss });
            }
            (Some(loss), _) => {
                return Err(refuse(
                    label,
                    format!("oxides {sum:.1} and loss {loss} make {:.1} %", sum + loss),
                    "look for a slip in one figure",
                ));
            }
            (None, Some(expected)) if sum > 100.0 - expected.least / 2.0 => self.looks_fired(label, expected, sum),
            (None, _) => self.by_difference(expected, sum),
        }
        Ok(())
    }

    /// A loss that a material of this name doesn't have.
    fn unlike(&mut self, expected: Option<&ExpectedLoss>, loss: f64) {
        if let Some(expected) = expected
            && !(expected.least..=expected.most).contains(&loss)
        {
            self.reasons.push(Reason::UnlikelyLoss(loss, expected.clone()));
        }
    }

    fn looks_fired(&mut self, label: &Label, expected: &ExpectedLoss, sum: f64) {
        self.basis = Basis::Fired;
        self.loss = Some(expected.usual);
        self.reasons.push(Reason::NoLossStated(sum, expected.clone()));
        self.reasons.push(Reason::LooksFired(expected.clone()));
        self.assumed = Some(Guess::BasisAndLoss {
            loss: expected.usual,
            printed: label.printed.clone(),
            oxides: sum,
        });
    }

    fn by_difference(&mut self, expected: Option<&ExpectedLoss>, sum: f64) {
        let loss = (100.0 - sum).max(0.0);
        let loss = (loss * 100.0).round() / 100.0;
        self.loss = Some(loss);
        self.reasons.push(Reason::LossIsTheRest { oxides: sum, loss });
        self.unlike(expected, loss);
        if expected.is_none() && loss < 3.0 {
            self.reasons.push(Reason::AskWhetherFired);
        }
        self.assumed = Some(Guess::Loss(loss));
    }
}

/// A name alone: the representative material of that name stands in.
fn stand_in(label: &Label, library: &Library) -> Result<Mended, Diagnostic> {
    let wanted = label.name.to_lowercase();
    let typical = format!("typical {wanted}");
    let mut known = library
        .iter()
        .filter_map(|material| Some((material, material.name.strip_prefix("typical ")?)));
    let found = library.find(&typical).or_else(|| {
        let own = library.find(&label.name)?;
        let names = || std::iter::once(&own.name).chain(&own.other_names);
        known
            .find(|(_, of)| names().any(|name| *of == name.to_lowercase()))
            .map(|(material, _)| material)
    });
    let Some(found) = found else {
        return Err(refuse(
            label,
            "the label has no figures, and no representative material of that name ships with Glost".to_owned(),
            "write what the bag says after a colon: \"kaolin: SiO2 54.0, Al2O3 45.0\"; or describe it with `analysis: unknown`",
        ));
    };
    let fired = found.fired.as_ref();
    Ok(Mended {
        name: label.name.clone(),
        oxides: fired
            .iter()
            .flat_map(|fired| fired.oxides.iter())
            .map(|(oxide, grams)| (oxide.to_string(), grams))
            .collect(),
        basis: Basis::AsSupplied,
        loss_percent: fired.map_or(0.0, |fired| fired.loss_grams),
        reasons: vec![Reason::StandIn(found.name.clone(), found.provenance.clone())],
        assumed: Some(Guess::StandIn(found.name.clone())),
        stand_in: Some(found.name.clone()),
        printed: label.printed.clone(),
        kind: found.kind,
    })
}

fn kind(name: &str) -> Kind {
    let name = name.to_lowercase();
    let clays = ["kaolin", "clay", "bentonite"];
    if clays.iter().any(|word| name.contains(word)) && !name.contains("calcined") {
        Kind::Clay
    } else if name.contains("frit") {
        Kind::Frit
    } else {
        Kind::Mineral
    }
}
