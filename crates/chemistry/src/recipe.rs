//! The short way in: a recipe in parts, fired.
//!
//! Whoever reads recipes from files goes through [`crate::glaze`]; this is for
//! programs that have names and numbers in hand.

use std::fmt;
use std::sync::Arc;

use crate::diagnostic::nearest;
use crate::glass::{Expansion, ExpansionModel};
use crate::glaze::{Additions, Analysis, FluxList, Glaze, GlazeNotes, NoAnalysis, Portion};
use crate::material::Library;
use crate::oxides::{OxideGrams, OxideMoles};

/// A recipe by names and numbers, materials not yet looked up.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Recipe {
    parts: Vec<(String, f64)>,
    additions: Vec<(String, f64)>,
}

/// Why a recipe can't be fired.
#[derive(Debug, Clone, PartialEq)]
pub enum RecipeError {
    /// No material has this name; the nearest that there is.
    UnknownMaterial {
        /// The name.
        name: String,
        /// The nearest, where one is near enough to be meant.
        nearest: Option<String>,
    },
    /// The amount of this material is below zero or no number.
    BadAmount(String),
    /// The base weighs nothing.
    Empty,
    /// The chemistry can't be computed.
    NoAnalysis(NoAnalysis),
}

impl fmt::Display for RecipeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            RecipeError::UnknownMaterial {
                name,
                nearest: Some(near),
            } => write!(f, "no material is called `{name}`: did you mean `{near}`?"),
            RecipeError::UnknownMaterial { name, nearest: None } => write!(f, "no material is called `{name}`"),
            RecipeError::BadAmount(name) => write!(f, "`{name}`: the amount must be a number, zero or more"),
            RecipeError::Empty => write!(f, "the base weighs nothing"),
            RecipeError::NoAnalysis(why) => why.fmt(f),
        }
    }
}

impl std::error::Error for RecipeError {}

impl Recipe {
    /// A base in parts by weight, of any total.
    ///
    /// ```
    /// use glost_chemistry::{Materials, Oxide, Recipe};
    ///
    /// # fn main() -> Result<(), glost_chemistry::RecipeError> {
    /// let recipe = Recipe::parts([("orthoclase", 40.0), ("quartz", 30.0), ("calcite", 20.0), ("kaolinite", 10.0)]);
    /// let fired = recipe.fire(&Materials::shipped())?;
    /// let unity = fired.unity().expect("it holds fluxes");
    /// assert!((unity.get(Oxide::K2O) + unity.get(Oxide::CaO) - 1.0).abs() < 1e-12);
    /// # Ok(())
    /// # }
    /// ```
    pub fn parts<N: Into<String>>(parts: impl IntoIterator<Item = (N, f64)>) -> Recipe {
        Recipe {
            parts: parts.into_iter().map(|(name, amount)| (name.into(), amount)).collect(),
            additions: Vec::new(),
        }
    }

    /// With an addition, in per cent on the base of 100.
    ///
    /// ```
    /// use glost_chemistry::{Materials, Oxide, Recipe};
    ///
    /// # fn main() -> Result<(), glost_chemistry::RecipeError> {
    /// let blue = Recipe::parts([("orthoclase", 70.0), ("calcite", 30.0)]).with("cobalt oxide", 1.0);
    /// assert!(blue.fire(&Materials::shipped())?.unity().is_some_and(|unity| unity.get(Oxide::CoO) > 0.0));
    /// # Ok(())
    /// # }
    /// ```
    #[must_use]
    pub fn with(mut self, material: impl Into<String>, percent: f64) -> Recipe {
        self.additions.push((material.into(), percent));
        self
    }

    /// What is left of it after firing in air.
    ///
    /// # Errors
    /// See [`RecipeError`].
    ///
    /// ```
    /// use glost_chemistry::{Materials, Recipe};
    ///
    /// let wrong = Recipe::parts([("quarz", 100.0)]).fire(&Materials::shipped());
    /// assert_eq!(
    ///     wrong.err().map(|why| why.to_string()).as_deref(),
    ///     Some("no material is called `quarz`: did you mean `quartz`?")
    /// );
    /// ```
    pub fn fire(&self, materials: &Library) -> Result<Fired, RecipeError> {
        let total: f64 = self.parts.iter().map(|part| part.1).sum();
        let base = portions(&self.parts, materials, 100.0 / total)?;
        if total <= 0.0 {
            return Err(RecipeError::Empty);
        }
        let glaze = Glaze {
            name: String::new(),
            base,
            additions: portions(&self.additions, materials, 1.0)?,
            about: GlazeNotes::default(),
            assumptions: Vec::new(),
        };
        let analysis = Analysis::of(&glaze, &FluxList::default(), Additions::In).map_err(RecipeError::NoAnalysis)?;
        Ok(Fired { glaze, analysis })
    }
}

/// Materials found, amounts scaled.
fn portions(lines: &[(String, f64)], materials: &Library, scale: f64) -> Result<Vec<Portion>, RecipeError> {
    let found = lines.iter().map(|(name, amount)| {
        if !amount.is_finite() || *amount < 0.0 {
            return Err(RecipeError::BadAmount(name.clone()));
        }
        let material = materials.find(name).ok_or_else(|| RecipeError::UnknownMaterial {
            name: name.clone(),
            nearest: nearest(name, names(materials)).map(str::to_owned),
        })?;
        Ok(Portion {
            material: Arc::clone(material),
            percent: amount * scale,
        })
    });
    found.collect()
}

/// Every name that a material goes by.
fn names(materials: &Library) -> impl Iterator<Item = &str> {
    materials
        .iter()
        .flat_map(|known| std::iter::once(&known.name).chain(&known.other_names))
        .map(String::as_str)
}

/// A recipe once it is fired.
#[derive(Debug, Clone)]
pub struct Fired {
    glaze: Glaze,
    analysis: Analysis,
}

impl Fired {
    /// The unity formula: moles, scaled so that the fluxes sum to 1 (H. Seger);
    /// `None` where there is no flux. It prints as `0.3 K2O  0.7 CaO ...`.
    pub fn unity(&self) -> Option<&OxideMoles> {
        self.analysis.unity.as_ref()
    }

    /// The fired oxides in wt %.
    ///
    /// ```
    /// use glost_chemistry::{Materials, Recipe};
    ///
    /// # fn main() -> Result<(), glost_chemistry::RecipeError> {
    /// let fired = Recipe::parts([("orthoclase", 80.0), ("calcite", 20.0)]).fire(&Materials::shipped())?;
    /// assert!((fired.weight_percent().total() - 100.0).abs() < 1e-9);
    /// # Ok(())
    /// # }
    /// ```
    pub fn weight_percent(&self) -> OxideGrams {
        self.analysis.weight_percent()
    }

    /// Loss on ignition, wt % of the dry batch.
    ///
    /// ```
    /// use glost_chemistry::{Materials, Recipe};
    ///
    /// # fn main() -> Result<(), glost_chemistry::RecipeError> {
    /// // CaCO3 loses its CO2: 44.0 of 100.1 g a mole.
    /// let fired = Recipe::parts([("calcite", 1.0)]).fire(&Materials::shipped())?;
    /// assert!((fired.loss_on_ignition_percent() - 43.97).abs() < 0.01);
    /// # Ok(())
    /// # }
    /// ```
    pub fn loss_on_ignition_percent(&self) -> f64 {
        self.analysis.loss_on_ignition_percent
    }

    /// SiO2 : Al2O3 by moles; `None` without alumina.
    pub fn silica_to_alumina(&self) -> Option<f64> {
        self.analysis.silica_to_alumina
    }

    /// Linear expansion with its 90 % band by the default model, for a glass of
    /// exactly this composition; `None` where the model has no answer.
    ///
    /// ```
    /// use glost_chemistry::{Materials, Recipe};
    ///
    /// # fn main() -> Result<(), glost_chemistry::RecipeError> {
    /// let fired = Recipe::parts([("orthoclase", 40.0), ("quartz", 30.0), ("calcite", 20.0), ("kaolinite", 10.0)])
    ///     .fire(&Materials::shipped())?;
    /// let expansion = fired.expansion().expect("the model answers");
    /// assert!(expansion.value_per_million_per_kelvin > 4.0 && expansion.plus_minus_90 > 0.3);
    /// # Ok(())
    /// # }
    /// ```
    pub fn expansion(&self) -> Option<Expansion> {
        ExpansionModel::default().predict(&self.analysis.moles)
    }

    /// The recipe with its materials.
    pub fn glaze(&self) -> &Glaze {
        &self.glaze
    }

    /// The whole analysis.
    pub fn analysis(&self) -> &Analysis {
        &self.analysis
    }
}

#[cfg(test)]
mod tests;
