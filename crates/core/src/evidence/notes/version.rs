//! What a version of a glaze was: its recipe and what each material in it was
//! by its sheet then, so that an old note still means the glaze it was made of.

use crate::renames::{Renamed, Renames};
use std::sync::Arc;

use glost_chemistry::Assumption;
use glost_chemistry::glaze::{Additions, Analysis, FluxList, Glaze, GlazeNotes, NoAnalysis, Portion};
use glost_chemistry::material::{FiredYield, Kind, LossStanding, Material};
use glost_chemistry::oxides::OxideGrams;
use glost_chemistry::quantity::{Date, PrintedExpansion};

/// A recipe as it was on a day.
#[derive(Debug, Clone, PartialEq)]
pub struct Version {
    /// Its line in `versions.jsonl`, from 1; 0 before it is written.
    pub line: usize,
    /// The glaze's name.
    pub glaze: String,
    /// Its own name: `v3`.
    pub version: String,
    /// The day it was recorded.
    pub on: Date,
    /// The base: materials' names and shares of 100.
    pub parts: Vec<(String, f64)>,
    /// On top: materials' names and per cent of the base.
    pub additions: Vec<(String, f64)>,
    /// Each material once.
    pub materials: Vec<VersionMaterial>,
}

/// What a material was.
#[derive(Debug, Clone, PartialEq)]
pub struct VersionMaterial {
    /// Its name.
    pub name: String,
    /// Its kind.
    pub kind: Kind,
    /// The supplier's lot.
    pub lot: Option<String>,
    /// What 100 g of it left in the fired glaze; `None` where nobody told.
    pub fired: Option<VersionYield>,
    /// The expansion printed on its bag.
    pub expansion: Option<PrintedExpansion>,
}

/// What 100 g of a material, as supplied, left in the fired glaze.
#[derive(Debug, Clone, PartialEq)]
pub struct VersionYield {
    /// Grams of fired oxides.
    pub oxides: OxideGrams,
    /// Loss on ignition in grams.
    pub loss_grams: f64,
    /// Moisture in grams.
    pub moisture_grams: f64,
    /// What goes with every result built on this.
    pub assumptions: Vec<Assumption>,
}

impl Version {
    /// Whatever was renamed since is called by its new name.
    pub(super) fn call_anew(&mut self, renames: &Renames) {
        let on = self.on;
        if let Some(new) = renames.glaze(&self.glaze, on) {
            self.glaze = new;
        }
        let materials = self.materials.iter_mut().map(|material| &mut material.name);
        let amounts = self.parts.iter_mut().chain(&mut self.additions).map(|(name, _)| name);
        for name in amounts.chain(materials) {
            if let Some(new) = renames.name(Renamed::Material, name, on) {
                *name = new;
            }
        }
    }

    /// The recipe of a glaze as it is, under this name.
    pub fn of(glaze: &Glaze, version: &str, on: Date) -> Version {
        let amounts = |portions: &[Portion]| {
            let held = portions.iter().filter(|portion| portion.percent > 0.0);
            held.map(|portion| (portion.material.name.clone(), portion.percent))
                .collect()
        };
        let mut materials: Vec<VersionMaterial> = Vec::new();
        for portion in glaze.portions().filter(|portion| portion.percent > 0.0) {
            let material = &portion.material;
            if materials.iter().all(|known| known.name != material.name) {
                materials.push(VersionMaterial::of(material));
            }
        }
        Version {
            line: 0,
            glaze: glaze.name.clone(),
            version: version.to_owned(),
            on,
            parts: amounts(&glaze.base),
            additions: amounts(&glaze.additions),
            materials,
        }
    }

    /// The version as a glaze, with its materials as they were then: whatever
    /// takes a glaze takes this. Tolerances of sheets are not kept.
    pub fn glaze(&self) -> Glaze {
        let portions = |amounts: &[(String, f64)]| -> Vec<Portion> {
            let found = amounts.iter().filter_map(|(name, percent)| {
                let material = self.materials.iter().find(|material| material.name == *name)?;
                Some(Portion {
                    material: Arc::new(material.material()),
                    percent: *percent,
                })
            });
            found.collect()
        };
        Glaze {
            name: self.glaze.clone(),
            base: portions(&self.parts),
            additions: portions(&self.additions),
            about: GlazeNotes::default(),
            assumptions: Vec::new(),
        }
    }

    /// What it was once fired.
    ///
    /// # Errors
    /// A material whose analysis nobody told, or nothing left after firing.
    pub fn analysis(&self, fluxes: &FluxList) -> Result<Analysis, NoAnalysis> {
        Analysis::of(&self.glaze(), fluxes, Additions::In)
    }
}

impl VersionMaterial {
    /// What a material is by its sheet.
    pub(super) fn of(material: &Material) -> VersionMaterial {
        VersionMaterial {
            name: material.name.clone(),
            kind: material.kind,
            lot: material.lot.clone(),
            fired: material.fired.as_ref().map(|fired| VersionYield {
                oxides: fired.oxides.clone(),
                loss_grams: fired.loss_grams,
                moisture_grams: fired.moisture_grams,
                assumptions: fired.assumptions.clone(),
            }),
            expansion: material.expansion.clone(),
        }
    }

    /// As a material, with what was kept of it.
    fn material(&self) -> Material {
        Material {
            name: self.name.clone(),
            other_names: Vec::new(),
            kind: self.kind,
            formula: None,
            fired: self.fired.as_ref().map(|fired| FiredYield {
                oxides: fired.oxides.clone(),
                loss_grams: fired.loss_grams,
                moisture_grams: fired.moisture_grams,
                loss_standing: LossStanding::Stated,
                // A version keeps what is fired; what left isn't written down.
                fluorine_grams: 0.0,
                tolerance: Vec::new(),
                assumptions: fired.assumptions.clone(),
            }),
            mixed_from: Vec::new(),
            raw_clay_fraction: if self.kind == Kind::Clay { 1.0 } else { 0.0 },
            density_grams_per_millilitre: None,
            free_silica_percent: None,
            free_silica_assumed: None,
            soluble: false,
            toxic: false,
            hazards: Vec::new(),
            hazards_of: None,
            price: None,
            stock: None,
            buyable: false,
            lot: self.lot.clone(),
            open_lots: Vec::new(),
            provenance: "versions.jsonl".to_owned(),
            expansion: self.expansion.clone(),
            firing: None,
            shipped: false,
            cautions: Vec::new(),
        }
    }
}
