//! A glaze whose materials are found: a base of 100 and additions on top.

use std::sync::Arc;

use crate::assumption::{Assumption, RecipeAssumption};
use crate::diagnostic::{Diagnostic, MOST_COMPLAINTS, none_called};
use crate::material::{Kind, Library, Material};

use super::file::{GlazeFile, GlazeNotes, RecipeLine};

/// Some of one material.
#[derive(Debug, Clone)]
pub struct Portion {
    /// The material.
    pub material: Arc<Material>,
    /// In the base: its share of 100. Among the additions: per cent of the base.
    pub percent: f64,
}

/// A recipe: the base in shares of 100, additions in per cent on top.
#[derive(Debug, Clone)]
pub struct Glaze {
    /// Its name.
    pub name: String,
    /// The base; the shares sum to 100.
    pub base: Vec<Portion>,
    /// What comes on top, per cent of the base.
    pub additions: Vec<Portion>,
    /// How it is made and used.
    pub about: GlazeNotes,
    /// How the recipe was read.
    pub assumptions: Vec<Assumption>,
}

impl GlazeFile {
    /// Looks the materials up.
    ///
    /// # Errors
    /// Names that no material has, each with its place and the nearest; up to
    /// [`MOST_COMPLAINTS`].
    pub fn resolve(&self, library: &Library) -> Result<Glaze, Vec<Diagnostic>> {
        let mut complaints = Vec::new();
        let mut assumptions = self.assumptions.clone();
        let mut find = |lines: &[RecipeLine], scale: f64| -> Vec<Portion> {
            let mut found: Vec<Portion> = Vec::new();
            for line in lines {
                if complaints.len() >= MOST_COMPLAINTS {
                    break;
                }
                if let Some(why) = library.broken(&line.name.text) {
                    // The sheet's own place says more than the recipe's line.
                    if !complaints.contains(why) {
                        complaints.push(why.clone());
                    }
                    continue;
                }
                let Some(material) = library.find(&line.name.text) else {
                    complaints.push(
                        Diagnostic::error("unknown-material", none_called("material", &line.name.text))
                            .at(&self.source, line.name.mark, line.name.text.chars().count())
                            .help(library.suggestion(&line.name.text).unwrap_or_else(|| {
                                "describe it in a file in materials/, or see `glost materials`".to_owned()
                            })),
                    );
                    continue;
                };
                let percent = line.amount * scale;
                match found
                    .iter_mut()
                    .find(|portion| Arc::ptr_eq(&portion.material, material))
                {
                    Some(same) => {
                        same.percent += percent;
                        assumptions.push(Assumption::Recipe(RecipeAssumption::OtherName {
                            typed: line.name.text.clone(),
                            material: material.name.clone(),
                        }));
                    }
                    None => found.push(Portion {
                        material: material.clone(),
                        percent,
                    }),
                }
            }
            found
        };
        let total: f64 = self.parts.iter().map(|line| line.amount).sum();
        let base = find(&self.parts, 100.0 / total);
        let additions = find(&self.additions, 1.0);
        if !complaints.is_empty() {
            return Err(complaints);
        }
        Ok(Glaze {
            name: self.name.text.clone(),
            base,
            additions,
            about: self.about.clone(),
            assumptions,
        })
    }
}

impl Glaze {
    /// Base and additions, each with its weight for 100 g of base.
    pub fn portions(&self) -> impl Iterator<Item = &Portion> {
        self.base.iter().chain(&self.additions)
    }

    /// Whether a material of this name is weighed in, in base or additions.
    pub fn holds(&self, material: &Material) -> bool {
        self.portions()
            .any(|portion| portion.material.name == material.name && portion.percent > 0.0)
    }

    /// Raw clay in wt % of the dry batch with its additions.
    pub fn raw_clay_percent(&self) -> f64 {
        self.share(|material| material.raw_clay_fraction)
    }

    /// Fluorine in wt % of the dry batch with its additions: it leaves on firing.
    pub fn fluorine_percent(&self) -> f64 {
        self.share(|material| {
            material
                .fired
                .as_ref()
                .map_or(0.0, |fired| fired.fluorine_grams / 100.0)
        })
    }

    /// Soluble materials in wt % of the dry batch with its additions.
    pub fn soluble_percent(&self) -> f64 {
        self.share(|material| if material.soluble { 1.0 } else { 0.0 })
    }

    fn share(&self, of: impl Fn(&Material) -> f64) -> f64 {
        let weight: f64 = self.portions().map(|portion| portion.percent).sum();
        100.0
            * self
                .portions()
                .map(|portion| portion.percent * of(&portion.material))
                .sum::<f64>()
            / weight
    }

    /// Names of the materials whose analysis nobody tells.
    pub fn unknown_materials(&self) -> Vec<&str> {
        self.portions()
            .filter(|portion| portion.percent > 0.0 && portion.material.fired.is_none())
            .map(|portion| portion.material.name.as_str())
            .collect()
    }

    /// What is taken for granted of the recipe and its materials; it goes with every result.
    pub fn material_assumptions(&self) -> Vec<Assumption> {
        let mut said = self.assumptions.clone();
        let mut by_formula: Vec<String> = Vec::new();
        for portion in self.portions().filter(|portion| portion.percent > 0.0) {
            let material = &portion.material;
            if material.kind == Kind::Textbook && !by_formula.contains(&material.name) {
                by_formula.push(material.name.clone());
            }
            for assumption in material.fired.iter().flat_map(|fired| &fired.assumptions) {
                if !said.contains(assumption) {
                    said.push(assumption.clone());
                }
            }
        }
        if !by_formula.is_empty() {
            said.push(Assumption::Recipe(RecipeAssumption::ByFormula(by_formula)));
        }
        said
    }
}

#[cfg(test)]
mod tests;
