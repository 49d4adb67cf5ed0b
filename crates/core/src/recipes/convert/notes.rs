//! What the sum of a conversion doesn't tell.

use glost_chemistry::Assumption;
use glost_chemistry::material::Material;
use glost_chemistry::oxides::Oxide;
use serde::Serialize;

use super::conversion::Side;

/// Points of loss on ignition from which more gas is worth a word.
const MUCH_MORE_LOSS: f64 = 10.0;

/// What the sum doesn't tell: grain, strength, gas and handling.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum NotSummed {
    /// As much of the oxide is left once fired; strength in the glaze may differ.
    LikeForLike(Oxide),
    /// Strontium stands in for barium, mole for mole.
    StrontiumForBarium,
    /// Barium stands in for strontium, mole for mole.
    BariumForStrontium,
    /// The carbonate that comes in is finer.
    CarbonateIsFiner,
    /// The oxide that comes in is coarser.
    OxideIsCoarser,
    /// Much more gas leaves.
    MoreGas,
    /// The newcomer dissolves in the bucket.
    Dissolves(String),
    /// The newcomer is poisonous to handle.
    Poisonous(String),
    /// The newcomer fumes in the fire: what its hazard says.
    Fumes {
        /// The newcomer.
        material: String,
        /// As its sheet says it.
        hazard: String,
    },
}

/// What the analyses are taken to be.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Taken {
    /// Pure and dry, by formula.
    Pure(Vec<Pure>),
    /// By its analysis: the material, where the analysis comes from.
    ByAnalysis(String, String),
    /// What its sheet takes for granted.
    OfSheet(Assumption),
}

/// A material that counts as its formula.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Pure {
    /// The material.
    pub material: String,
    /// Its formula.
    pub formula: String,
    /// Which carbonate it is, where it is one.
    pub carbonate: Option<CarbonateForm>,
}

/// Forms of a carbonate.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum CarbonateForm {
    /// With hydroxide in it.
    Basic,
    /// Without.
    Plain,
}

impl CarbonateForm {
    fn of(formula: &str) -> Option<CarbonateForm> {
        match (formula.contains("CO3"), formula.contains("OH")) {
            (true, true) => Some(CarbonateForm::Basic),
            (true, false) => Some(CarbonateForm::Plain),
            _ => None,
        }
    }
}

/// Grain, strength, gas and handling.
pub(super) fn notes(from: &Side, to: &Side) -> Vec<NotSummed> {
    let mut said = vec![match from.oxide {
        same if same == to.oxide => NotSummed::LikeForLike(same),
        Oxide::BaO => NotSummed::StrontiumForBarium,
        _ => NotSummed::BariumForStrontium,
    }];
    let is = |side: &Side, word: &str| side.material.name.to_lowercase().contains(word);
    if is(from, "oxide") && is(to, "carbonate") {
        said.push(NotSummed::CarbonateIsFiner);
    } else if is(from, "carbonate") && is(to, "oxide") {
        said.push(NotSummed::OxideIsCoarser);
    }
    let more = to.amount * to.fired.loss_grams - from.amount * from.fired.loss_grams;
    if more > MUCH_MORE_LOSS * from.amount {
        said.push(NotSummed::MoreGas);
    }
    if to.material.soluble && !from.material.soluble {
        said.push(NotSummed::Dissolves(to.material.name.clone()));
    }
    said.extend(handling(&to.material));
    said
}

fn handling(material: &Material) -> Vec<NotSummed> {
    let poisonous = material.toxic.then(|| NotSummed::Poisonous(material.name.clone()));
    let fumes = material.hazards.iter().filter(|hazard| hazard.fumes);
    let fumes = fumes.map(|hazard| NotSummed::Fumes {
        material: material.name.clone(),
        hazard: hazard.text.clone(),
    });
    poisonous.into_iter().chain(fumes).collect()
}

/// What each analysis is taken to be.
pub(super) fn assumptions(from: &Side, to: &Side) -> Vec<Taken> {
    let mut pure = Vec::new();
    let mut said = Vec::new();
    for side in [from, to] {
        let material = &side.material;
        match &material.formula {
            Some(formula) => pure.push(Pure {
                material: material.name.clone(),
                carbonate: CarbonateForm::of(formula),
                formula: formula.clone(),
            }),
            None => said.push(Taken::ByAnalysis(material.name.clone(), material.provenance.clone())),
        }
        for assumption in &side.fired.assumptions {
            let one = Taken::OfSheet(assumption.clone());
            if !said.contains(&one) {
                said.push(one);
            }
        }
    }
    if !pure.is_empty() {
        said.insert(0, Taken::Pure(pure));
    }
    said
}
