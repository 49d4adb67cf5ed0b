//! All the materials that a call can see, found by name.
//!
//! Layers lie over each other: shipped materials at the bottom, a studio's own
//! above, files of one call on top. A name is looked for from the top down, in
//! each layer first among names, then among other names, always without case.
//! Where that leads to a material whose own name a higher layer has taken, the
//! higher one is meant: with a studio's `silica` over the shipped one, the
//! shipped one's other name `flint` gives the studio's.

use std::collections::HashMap;
use std::sync::Arc;

use crate::diagnostic::{Diagnostic, MOST_COMPLAINTS, did_you_mean, suggestion};
use crate::quantity::{Grams, Price, PrintedExpansion};
use crate::read::{Text, folded};

use super::entry::{Makeup, MaterialEntry};
use super::fired_yield::FiredYield;
use super::free_silica::FreeSilica;
use super::hazard::Hazard;
use super::kind::Kind;
use super::known_hazards;
use super::mix::{Hopeless, Mixer};
use super::open_lot::OpenLot;
use super::sheets::Sheets;
use super::shipped::PackedSheet;

/// A material whose chemistry is settled.
#[derive(Debug, Clone)]
pub struct Material {
    /// Its name.
    pub name: String,
    /// Other names it is found by.
    pub other_names: Vec<String>,
    /// Its kind.
    pub kind: Kind,
    /// What it leaves in the fired glaze; `None` where nobody tells.
    pub fired: Option<FiredYield>,
    /// Its formula, where its file gives one.
    pub formula: Option<String>,
    /// What it is mixed from, names and weight %; empty for anything not mixed.
    pub mixed_from: Vec<(String, f64)>,
    /// Share of raw clay, 0 to 1.
    pub raw_clay_fraction: f64,
    /// Density in g/ml.
    pub density_grams_per_millilitre: Option<f64>,
    /// Crystalline silica in wt %, where known.
    pub free_silica_percent: Option<f64>,
    /// Why its crystalline silica is taken to be so, where its own sheet doesn't say.
    pub free_silica_assumed: Option<FreeSilica>,
    /// Dissolves in water, itself or one of its parts.
    pub soluble: bool,
    /// Poisonous to handle, itself or one of its parts.
    pub toxic: bool,
    /// Hazards as its file says them, else as that of a material below of one of its names does.
    pub hazards: Vec<Hazard>,
    /// The material that its hazards are taken from, where its own sheet says none.
    pub hazards_of: Option<String>,
    /// What it costs.
    pub price: Option<Price>,
    /// What the studio has of it.
    pub stock: Option<Grams>,
    /// Whether it can be bought.
    pub buyable: bool,
    /// The supplier's lot; of several open ones that which is taken from.
    pub lot: Option<String>,
    /// The open lots, the oldest first, where they are listed apart; the stock is their sum.
    pub open_lots: Vec<OpenLot>,
    /// Where its data come from.
    pub provenance: String,
    /// Printed expansion.
    pub expansion: Option<PrintedExpansion>,
    /// Printed firing range.
    pub firing: Option<String>,
    /// Whether it stands in the lowest, shipped layer.
    pub shipped: bool,
    /// Questions about its sheet.
    pub cautions: Vec<Diagnostic>,
}

impl Material {
    /// In stock or to be bought.
    pub fn to_be_had(&self) -> bool {
        self.buyable || self.stock.is_some_and(|stock| stock.grams() > 0.0)
    }
}

/// The materials by name.
#[derive(Debug, Clone, Default)]
pub struct Library {
    layers: Vec<Arc<Layer>>,
}

#[derive(Debug, Default)]
pub(super) struct Layer {
    materials: Vec<Slot>,
    names: HashMap<String, usize>,
    other_names: HashMap<String, usize>,
    /// Names of sheets that can't be used, with what is wrong: nothing below answers to them.
    broken: HashMap<String, Diagnostic>,
}

/// Where a material lies.
#[derive(Debug)]
enum Slot {
    Settled(Arc<Material>),
    Packed(PackedSheet),
}

impl Slot {
    fn material(&self) -> &Arc<Material> {
        match self {
            Slot::Settled(material) => material,
            Slot::Packed(sheet) => sheet.material(),
        }
    }
}

/// What a name leads to.
enum Hit<'a> {
    Material(&'a Arc<Material>),
    Broken(&'a Diagnostic),
}

impl Library {
    /// A material by any of its names, without case.
    pub fn find(&self, name: &str) -> Option<&Arc<Material>> {
        match self.hit(name)? {
            Hit::Material(material) => Some(material),
            Hit::Broken(_) => None,
        }
    }

    /// What is wrong with the sheet of this name, where it can't be used.
    pub fn broken(&self, name: &str) -> Option<&Diagnostic> {
        match self.hit(name)? {
            Hit::Material(_) => None,
            Hit::Broken(why) => Some(why),
        }
    }

    /// Why a name gives no material: what is wrong with its sheet, else `unknown`.
    pub fn why_not(&self, name: &str, unknown: Diagnostic) -> Diagnostic {
        self.broken(name).cloned().unwrap_or(unknown)
    }

    fn hit(&self, name: &str) -> Option<Hit<'_>> {
        let (mut layer, mut hit) = self.topmost(&folded(name))?;
        // Each turn ends in a higher layer, so this comes to an end.
        while let Hit::Material(found) = hit
            && let Some((higher, over)) = self.topmost(&folded(&found.name)).filter(|(higher, _)| *higher > layer)
        {
            (layer, hit) = (higher, over);
        }
        Some(hit)
    }

    /// The first hit from the top down and the layer it lies in.
    fn topmost(&self, folded_name: &str) -> Option<(usize, Hit<'_>)> {
        self.layers.iter().enumerate().rev().find_map(|(number, layer)| {
            if let Some(why) = layer.broken.get(folded_name) {
                return Some((number, Hit::Broken(why)));
            }
            let slot = layer.materials.get(layer.index(folded_name)?)?;
            Some((number, Hit::Material(slot.material())))
        })
    }

    /// All materials that can be found by their name, the top layer first.
    pub fn iter(&self) -> impl Iterator<Item = &Arc<Material>> {
        self.layers
            .iter()
            .rev()
            .flat_map(|layer| layer.materials.iter().map(Slot::material))
            .filter(|material| {
                self.find(&material.name)
                    .is_some_and(|found| Arc::ptr_eq(found, material))
            })
    }

    /// `did you mean ...?` for a name that isn't found.
    pub fn suggestion(&self, typed: &str) -> Option<String> {
        let names: Vec<&str> = self
            .layers
            .iter()
            .rev()
            .flat_map(|layer| layer.materials.iter().map(Slot::material))
            .flat_map(|material| std::iter::once(&material.name).chain(&material.other_names))
            .map(String::as_str)
            .collect();
        // A word of a name is as near as a slip in it: `ash` for wood ash.
        let word = folded(typed);
        let holds = |name: &&&str| folded(name).split(' ').any(|own| own == word);
        let within = || names.iter().find(holds).map(did_you_mean);
        suggestion(typed, names.iter().copied()).or_else(within)
    }

    /// Lays ready materials over these, by their own names; of two of one name the
    /// last counts.
    pub fn lay_over(&mut self, materials: Vec<Material>) {
        let names = materials.iter().enumerate();
        self.lay(Layer {
            names: names.map(|(index, material)| (folded(&material.name), index)).collect(),
            other_names: HashMap::new(),
            broken: HashMap::new(),
            materials: materials.into_iter().map(Arc::new).map(Slot::Settled).collect(),
        });
    }

    /// Lays a ready layer over these.
    pub(super) fn lay(&mut self, layer: Layer) {
        self.layers.push(Arc::new(layer));
    }

    /// Lays a further layer over this one.
    ///
    /// # Errors
    /// Two materials of one layer sharing a name, recipes of unknown materials
    /// or of themselves; up to [`MOST_COMPLAINTS`] of each. What could be
    /// understood is kept.
    pub fn add_layer(&mut self, entries: Vec<MaterialEntry>, shipped: bool) -> Vec<Diagnostic> {
        let sheets = Sheets {
            entries,
            broken: Vec::new(),
        };
        self.add_sheets(sheets, shipped)
    }

    /// As [`Library::add_layer`], with sheets that can't be used: their names, and those
    /// that two sheets give or whose recipe can't be worked out, lead to no material, below
    /// this layer either.
    ///
    /// # Errors
    /// As [`Library::add_layer`], and what is wrong with the broken sheets.
    pub fn add_sheets(&mut self, sheets: Sheets, shipped: bool) -> Vec<Diagnostic> {
        let mut complaints = Vec::new();
        let mut layer = Layer::default();
        let mut kept = Vec::new();
        for sheet in sheets.broken {
            for name in &sheet.names {
                layer.broken.insert(folded(name), sheet.why.clone());
            }
            if complaints.len() < MOST_COMPLAINTS {
                complaints.push(sheet.why);
            }
        }
        for entry in sheets.entries {
            match layer.claim_names(&entry, &kept) {
                Ok(()) => kept.push(entry),
                Err(error) => {
                    layer.broken.insert(folded(&entry.name.text), error.clone());
                    if complaints.len() < MOST_COMPLAINTS {
                        complaints.push(error);
                    }
                }
            }
        }
        let mut mixer = Mixer::new(self, &layer, &kept);
        let settled: Vec<_> = (0..kept.len()).map(|index| mixer.settle(index)).collect();
        complaints.extend(mixer.into_complaints());
        let hopeless = settled.iter().zip(&kept).filter_map(|(settled, entry)| {
            let Hopeless(why) = settled.as_ref().err()?;
            Some((folded(&entry.name.text), Diagnostic::clone(why)))
        });
        layer.broken.extend(hopeless);
        let mut materials: Vec<Arc<Material>> = settled
            .into_iter()
            .zip(&kept)
            .map(|(settled, entry)| settled.unwrap_or_else(|_| Arc::new(unmixed(entry))))
            .collect();
        for material in &mut materials {
            Arc::make_mut(material).shipped = shipped;
        }
        layer.materials = materials.into_iter().map(Slot::Settled).collect();
        self.lay(layer);
        complaints
    }
}

impl Layer {
    /// Puts a sheet in by its names, which no other sheet here has.
    pub(super) fn put(&mut self, sheet: PackedSheet, names: &[&str], other_names: &[&str]) {
        let index = self.materials.len();
        self.names.extend(names.iter().map(|name| (folded(name), index)));
        self.other_names
            .extend(other_names.iter().map(|name| (folded(name), index)));
        self.materials.push(Slot::Packed(sheet));
    }

    /// What is wrong with the sheet of this name in this layer, where it can't be used.
    pub(super) fn broken(&self, folded_name: &str) -> Option<&Diagnostic> {
        self.broken.get(folded_name)
    }

    pub(super) fn index(&self, folded_name: &str) -> Option<usize> {
        self.names
            .get(folded_name)
            .or_else(|| self.other_names.get(folded_name))
            .copied()
    }

    /// Takes the names of `entry`, which comes after the entries `kept`.
    fn claim_names(&mut self, entry: &MaterialEntry, kept: &[MaterialEntry]) -> Result<(), Diagnostic> {
        let clash = |text: &Text, what: &str| {
            Diagnostic::error(
                "name-taken",
                format!("the name `{}` is already taken by {what}", text.text),
            )
            .at(&entry.source, text.mark, text.text.chars().count())
            .help("one name, one material: give lots names of their own, such as `kaolin, lot 7`")
        };
        let index = kept.len();
        let own = folded(&entry.name.text);
        for text in std::iter::once(&entry.name).chain(&entry.other_names) {
            let name = folded(&text.text);
            if let Some(taker) = self.index(&name).and_then(|taken| kept.get(taken)) {
                let (file, line) = (&taker.source.name, taker.name.mark.line);
                return Err(clash(text, &format!("`{}` ({file}, line {line})", taker.name.text)));
            }
            if name == own && !std::ptr::eq(text, &entry.name) {
                return Err(clash(text, "the material itself"));
            }
        }
        self.names.insert(own, index);
        self.other_names
            .extend(entry.other_names.iter().map(|other| (folded(&other.text), index)));
        Ok(())
    }
}

/// A material without its recipe's chemistry.
pub(super) fn unmixed(entry: &MaterialEntry) -> Material {
    let fired = match &entry.makeup {
        Makeup::Known(fired) => Some(fired.as_ref()),
        Makeup::Recipe { .. } | Makeup::Unknown => None,
    };
    let known = known_hazards::of(entry.formula.as_deref(), entry.kind, fired);
    Material {
        name: entry.name.text.clone(),
        other_names: entry.other_names.iter().map(|other| other.text.clone()).collect(),
        kind: entry.kind,
        fired: None,
        formula: entry.formula.clone(),
        mixed_from: Vec::new(),
        raw_clay_fraction: if entry.kind == Kind::Clay { 1.0 } else { 0.0 },
        density_grams_per_millilitre: entry.density_grams_per_millilitre,
        free_silica_percent: entry.free_silica_percent,
        free_silica_assumed: None,
        soluble: entry.soluble || known.soluble,
        toxic: entry.toxic || known.toxic,
        hazards: entry.hazards.clone(),
        hazards_of: None,
        price: entry.price.clone(),
        stock: entry.stock,
        buyable: entry.buyable,
        lot: entry.lot.clone(),
        open_lots: entry.open_lots.clone(),
        provenance: entry.provenance.clone(),
        expansion: entry.expansion.clone(),
        firing: entry.firing.clone(),
        shipped: false,
        cautions: entry.cautions.clone(),
    }
}

#[cfg(test)]
mod tests;
