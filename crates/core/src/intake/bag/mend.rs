//! What a poor label most likely means.

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::material::{Kind, Library};
use glost_chemistry::oxides::Basis;

use super::entry::{self, EntryText};
use super::label::Label;
use glost_chemistry::material::{ExpectedLoss, expected_loss};

/// Sums of oxides, or of oxides and loss, in wt %, that raise no question.
const WHOLE: (f64, f64) = (97.0, 102.0);
/// Oxides below this are only part of an analysis.
const LEAST_OXIDES: f64 = 40.0;

/// A label with what it was taken to mean.
#[derive(Debug, Clone)]
pub struct Mended {
    /// The material's name.
    pub name: String,
    /// Oxides in wt % on `basis`.
    pub oxides: Vec<(String, f64)>,
    /// What 100 % means.
    pub basis: Basis,
    /// Loss on ignition, wt % of the material as supplied.
    pub loss_percent: f64,
    /// Why it was read so, one sentence each.
    pub reasons: Vec<String>,
    /// The guess that every result has to carry, where there is one.
    pub assumed: Option<String>,
    /// The representative material that stands in, where the label has no figures.
    pub stand_in: Option<String>,
    /// The entry for a materials file.
    pub entry: String,
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
        reasons: label.notes.clone(),
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
    let entry = entry::text(&EntryText {
        label,
        kind: kind(&label.name),
        oxides: &work.oxides,
        loss_percent,
        basis: work.basis,
        assumed: work.assumed.as_deref(),
        reasons: &work.reasons,
        stand_in: None,
    });
    Ok(Mended {
        name: label.name.clone(),
        oxides: work.oxides,
        basis: work.basis,
        loss_percent,
        reasons: work.reasons,
        assumed: work.assumed,
        stand_in: None,
        entry,
    })
}

struct Work {
    oxides: Vec<(String, f64)>,
    basis: Basis,
    loss: Option<f64>,
    reasons: Vec<String>,
    assumed: Option<String>,
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
            let leaves: Vec<String> = compound
                .oxides
                .iter()
                .map(|(name, percent)| format!("{percent:.1} % {name}"))
                .collect();
            self.reasons.push(format!(
                "{} {} % is by its formula {}: {}, and {:.1} % lost in firing",
                compound.printed,
                compound.percent,
                compound.formula,
                leaves.join(", "),
                compound.loss_percent
            ));
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
            self.reasons
                .push(format!("the label's own loss on ignition, {stated} %, is used"));
        } else {
            self.loss = Some(loss);
        }
        let rest = 100.0 - whole;
        let untold = if rest > 0.05 {
            format!("; the other {rest:.1} % is not told")
        } else {
            String::new()
        };
        self.assumed = Some(format!(
            "oxides and loss on ignition are worked out from the label's `{}`{untold}",
            label.printed
        ));
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
                self.reasons.push(format!(
                    "oxides {sum:.1} and loss {loss} make {:.1} %: as supplied",
                    sum + loss
                ));
            }
            (Some(loss), _) if (WHOLE.0..=WHOLE.1).contains(&sum) => {
                self.basis = Basis::Fired;
                let reason = format!(
                    "its oxides alone make {sum:.1} % with a loss of {loss} % beside: the oxides are of the fired material, each counts x {:.2}",
                    1.0 - loss / 100.0
                );
                self.assumed = Some(format!("the basis is a guess: {reason}"));
                self.reasons.push(reason);
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
            self.reasons.push(format!(
                "{loss} % is not what a {} loses ({}): ask for the sheet",
                expected.word, expected.why
            ));
        }
    }

    fn looks_fired(&mut self, label: &Label, expected: &ExpectedLoss, sum: f64) {
        self.basis = Basis::Fired;
        self.loss = Some(expected.usual);
        self.reasons.push(format!(
            "its oxides make {sum:.1} % with no loss on ignition; a raw {} can't: {}",
            expected.word, expected.why
        ));
        self.reasons.push(format!(
            "so it looks like an analysis of the fired material: with a loss of {} % each oxide counts x {:.2}",
            expected.usual,
            1.0 - expected.usual / 100.0
        ));
        self.assumed = Some(format!(
            "basis fired and loss on ignition {} % are guesses; the label says only `{}`, {sum:.1} % without a loss",
            expected.usual, label.printed
        ));
    }

    fn by_difference(&mut self, expected: Option<&ExpectedLoss>, sum: f64) {
        let loss = (100.0 - sum).max(0.0);
        let loss = (loss * 100.0).round() / 100.0;
        self.loss = Some(loss);
        self.reasons.push(format!(
            "its oxides make {sum:.1} %: as supplied, the loss on ignition is the rest, {loss:.1} %"
        ));
        self.unlike(expected, loss);
        if expected.is_none() && loss < 3.0 {
            self.reasons
                .push("if it loses more than that in the fire, the figures are of the fired material: ask".to_owned());
        }
        self.assumed = Some(format!(
            "loss on ignition {loss:.1} % is a guess, 100 less the oxides on its label"
        ));
    }
}

/// A name alone: the representative material of that name stands in.
fn stand_in(label: &Label, library: &Library) -> Result<Mended, Diagnostic> {
    let wanted = label.name.to_lowercase();
    let typical = format!("typical {wanted}");
    let mut known = library.iter().filter(|material| material.name.starts_with("typical "));
    let found = library.find(&typical).or_else(|| {
        let own = library.find(&label.name)?;
        let names = || std::iter::once(&own.name).chain(&own.other_names);
        known.find(|material| names().any(|name| material.name == format!("typical {}", name.to_lowercase())))
    });
    let Some(found) = found else {
        return Err(refuse(
            label,
            "the label has no figures, and no representative material of that name ships with Glost".to_owned(),
            "write what the bag says after a colon: \"kaolin: SiO2 54.0, Al2O3 45.0\"; or describe it with `analysis: unknown`",
        ));
    };
    let reasons = vec![format!(
        "the label has no figures: {} stands in, {}",
        found.name, found.provenance
    )];
    let assumed = format!("nobody tells its analysis; {} stands in for it", found.name);
    let fired = found.fired.as_ref();
    let entry = entry::text(&EntryText {
        label,
        kind: found.kind,
        oxides: &[],
        loss_percent: 0.0,
        basis: Basis::AsSupplied,
        assumed: Some(&assumed),
        reasons: &reasons,
        stand_in: Some(&found.name),
    });
    Ok(Mended {
        name: label.name.clone(),
        oxides: fired
            .map(|fired| {
                fired
                    .oxides
                    .iter()
                    .map(|(oxide, grams)| (oxide.to_string(), grams))
                    .collect()
            })
            .unwrap_or_default(),
        basis: Basis::AsSupplied,
        loss_percent: fired.map_or(0.0, |fired| fired.loss_grams),
        reasons,
        assumed: Some(assumed),
        stand_in: Some(found.name.clone()),
        entry,
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
