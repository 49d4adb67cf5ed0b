//! What a number takes for granted, as data: how it reads is up to whoever shows it.
//!
//! Each is made where the guess is made and goes along with every result built on it.

use serde::Serialize;

use crate::odd_sum::OddSum;
use crate::oxides::Oxide;
use crate::quantity::DecimalComma;

/// One thing that a recipe, an analysis or a model takes for granted.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Assumption {
    /// Of how a recipe was read.
    Recipe(RecipeAssumption),
    /// Of a material's sheet.
    Sheet {
        /// The material.
        material: String,
        /// What its sheet leaves to a guess.
        assumed: SheetAssumption,
    },
    /// Of a model of the glass.
    Model(ModelAssumption),
    /// As a studio's record has it, in the words of then.
    Recorded(String),
}

impl Assumption {
    /// Of the sheet of a material.
    pub fn of_sheet(material: &str, assumed: SheetAssumption) -> Assumption {
        Assumption::Sheet {
            material: material.to_owned(),
            assumed,
        }
    }
}

/// How a recipe was read.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum RecipeAssumption {
    /// A number of this part or key has a decimal comma.
    DecimalComma {
        /// The part or the key.
        of: String,
        /// The number.
        comma: DecimalComma,
    },
    /// The parts are weights: only their shares count.
    PartsAsWeights,
    /// Two lines are one material under two names, added up.
    OtherName {
        /// The later name, as typed.
        typed: String,
        /// The material.
        material: String,
    },
    /// These materials count by their formulas.
    ByFormula(Vec<String>),
    /// The recipe is another's: it came with a package.
    FromPackage {
        /// The package.
        package: String,
        /// Its version.
        version: String,
    },
}

/// What a sheet leaves to a guess. Per cent by weight of the material as supplied.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum SheetAssumption {
    /// Its file takes this for granted: the file's own words.
    Told(String),
    /// A number has a decimal comma.
    DecimalComma(DecimalComma),
    /// Lines below what the laboratory detects count as nothing: `MgO < 0.01`.
    CountedAsNothing(Vec<String>),
    /// A line is counted as an oxide of another valence.
    Converted {
        /// The line as printed.
        printed: &'static str,
        /// Of it.
        percent: f64,
        /// The oxide that it counts as.
        oxide: Oxide,
        /// Of that.
        oxide_percent: f64,
    },
    /// Its fluorine counts as leaving; some stays in the glass.
    FluorineLeaves,
    /// Its analysis sums to this and is taken as it is.
    TakenAsItIs(f64),
    /// Its sum is odd.
    Odd(OddSum),
    /// It gains so much on firing.
    Gains(f64),
    /// It loses more than its sheet says: fluorine or oxygen besides.
    LosesBesides {
        /// In all.
        loss: f64,
        /// On the sheet.
        stated: f64,
    },
    /// The loss is from the volatile lines.
    LossOfVolatiles {
        /// The loss.
        loss: f64,
        /// Whether oxygen taken up or given off is in it.
        oxygen: bool,
    },
    /// The loss is 100 less the oxides: a guess.
    LossByDifference(f64),
    /// The loss is the oxygen that it gives off.
    LossOfOxygen(f64),
    /// Nobody says the loss: counted as nothing.
    NoLoss,
}

/// What a model of the glass takes for granted.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ModelAssumption {
    /// A little is left out, and the rest counted as the whole.
    LeftOut {
        /// How much, mol %.
        mole_percent: f64,
        /// Of what the model has no figure for.
        oxides: Vec<Oxide>,
    },
    /// ZrO2, SnO2 and TiO2 count as dissolved.
    OpacifiersDissolved,
}

/// In which way a composition lies outside what a model was checked for.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum OutsideModel {
    /// An oxide lies outside its bounds, mol %.
    Oxide {
        /// Which.
        oxide: Oxide,
        /// How much there is.
        mole_percent: f64,
        /// The least that was checked.
        low: f64,
        /// The most.
        high: f64,
    },
    /// Too little flux, mol %.
    FewFluxes {
        /// All of them together.
        mole_percent: f64,
        /// The least that the model needs.
        least: f64,
    },
    /// The fluxes only balance the alumina, mol %.
    FluxesBalanceAlumina {
        /// Fluxes less alumina.
        excess: f64,
        /// The least that the model needs.
        least: f64,
    },
    /// A mix of oxides unlike the glasses of the fit.
    Unlike {
        /// Leverage: 20 is usual.
        leverage: f64,
        /// The most that goes without a warning.
        most: f64,
    },
    /// Much is left out, mol %.
    LeftOut {
        /// How much.
        mole_percent: f64,
        /// Of what the model has no figure for.
        oxides: Vec<Oxide>,
        /// The most that would do.
        most: f64,
    },
}
