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

use crate::diagnostic::{Diagnostic, MOST_COMPLAINTS, suggestion};
use crate::quantity::{Grams, Price, PrintedExpansion};
use crate::read::{Text, folded};

use super::entry::{Makeup, MaterialEntry};
use super::fired_yield::FiredYield;
use super::kind::Kind;
use super::known_hazards;
use super::mix::Mixer;
use super::open_lot::OpenLot;

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
    /// Dissolves in water, itself or one of its parts.
    pub soluble: bool,
    /// Poisonous to handle, itself or one of its parts.
    pub toxic: bool,
    /// Hazards as its file says them.
    pub hazards: Vec<String>,
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
    layers: Vec<Layer>,
}

#[derive(Debug, Clone, Default)]
pub(super) struct Layer {
    materials: Vec<Arc<Material>>,
    names: HashMap<String, usize>,
    other_names: HashMap<String, usize>,
}

impl Library {
    /// A material by any of its names, without case.
    pub fn find(&self, name: &str) -> Option<&Arc<Material>> {
        let (mut layer, mut found) = self.topmost(&folded(name))?;
        // Each turn ends in a higher layer, so this comes to an end.
        while let Some((higher, over)) = self.topmost(&folded(&found.name)).filter(|(higher, _)| *higher > layer) {
            (layer, found) = (higher, over);
        }
        Some(found)
    }

    /// The first hit from the top down and the layer it lies in.
    fn topmost(&self, folded_name: &str) -> Option<(usize, &Arc<Material>)> {
        self.layers.iter().enumerate().rev().find_map(|(number, layer)| {
            let material = layer.materials.get(layer.index(folded_name)?)?;
            Some((number, material))
        })
    }

    /// All materials that can be found by their name, the top layer first.
    pub fn iter(&self) -> impl Iterator<Item = &Arc<Material>> {
        self.layers
            .iter()
            .rev()
            .flat_map(|layer| &layer.materials)
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
            .flat_map(|layer| &layer.materials)
            .flat_map(|material| std::iter::once(&material.name).chain(&material.other_names))
            .map(String::as_str)
            .collect();
        suggestion(typed, names)
    }

    /// Lays ready materials over these, by their own names; of two of one name the
    /// last counts.
    pub fn lay_over(&mut self, materials: Vec<Material>) {
        let names = materials.iter().enumerate();
        self.layers.push(Layer {
            names: names.map(|(index, material)| (folded(&material.name), index)).collect(),
            other_names: HashMap::new(),
            materials: materials.into_iter().map(Arc::new).collect(),
        });
    }

    /// Lays a further layer over this one.
    ///
    /// # Errors
    /// Two materials of one layer sharing a name, recipes of unknown materials
    /// or of themselves; up to [`MOST_COMPLAINTS`] of each. What could be
    /// understood is kept.
    pub fn add_layer(&mut self, entries: Vec<MaterialEntry>, shipped: bool) -> Vec<Diagnostic> {
        let mut complaints = Vec::new();
        let mut layer = Layer::default();
        let mut kept = Vec::new();
        for entry in entries {
            match layer.claim_names(&entry, &kept) {
                Ok(()) => kept.push(entry),
                Err(error) => complaints.push(error),
            }
            if complaints.len() >= MOST_COMPLAINTS {
                break;
            }
        }
        let mut mixer = Mixer::new(self, &layer, &kept);
        let settled = (0..kept.len()).map(|index| mixer.settle(index));
        let mut materials: Vec<Arc<Material>> = settled
            .zip(&kept)
            .map(|(settled, entry)| settled.unwrap_or_else(|_| Arc::new(unmixed(entry))))
            .collect();
        complaints.extend(mixer.into_complaints());
        for material in &mut materials {
            Arc::make_mut(material).shipped = shipped;
        }
        layer.materials = materials;
        self.layers.push(layer);
        complaints
    }
}

impl Layer {
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
        soluble: entry.soluble || known.soluble,
        toxic: entry.toxic || known.toxic,
        hazards: entry.hazards.clone(),
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
mod tests {
    use super::*;
    use crate::diagnostic::Source;
    use crate::material::read_materials;
    use crate::oxides::Oxide;

    fn library(text: &str) -> (Library, Vec<Diagnostic>) {
        let (entries, mut complaints) = read_materials(&Source::from_text("m.yaml", text));
        let mut library = Library::default();
        complaints.extend(library.add_layer(entries, false));
        (library, complaints)
    }

    const BASICS: &str = "materials:
  - { name: silica, other_names: [flint], formula: SiO2, source: stoichiometric }
  - { name: cobalt carbonate, formula: CoCO3, toxic: true, source: stoichiometric }
  - { name: blue pre-mix, recipe: { Flint: 97, cobalt carbonate: 3 }, source: own }
  - { name: blue calcine, recipe: { blue pre-mix: 1 }, fired: true, source: own }
";

    #[test]
    fn names_are_found_without_case_and_mixes_add_up() {
        let (library, complaints) = library(BASICS);
        assert_eq!(complaints, []);
        let mix = library
            .find("BLUE  pre-mix")
            .and_then(|found| found.fired.clone())
            .unwrap_or_else(|| panic!("not found"));
        assert!((mix.oxides.get(Oxide::SiO2) - 97.0).abs() < 1e-9);
        assert!((mix.loss_grams - 3.0 * 0.370).abs() < 0.001);
        let calcine = library.find("blue calcine");
        assert!(calcine.is_some_and(|found| {
            found.toxic
                && found
                    .fired
                    .as_ref()
                    .is_some_and(|fired| (fired.oxides.total() - 100.0).abs() < 1e-9)
        }));
    }

    #[test]
    fn circles_and_taken_names_are_refused_with_a_place() {
        let circle = "materials:\n  - { name: a, recipe: { b: 1 }, source: own }\n  - { name: b, recipe: { a: 1 }, source: own }\n";
        assert_eq!(
            library(circle).1.first().map(|error| error.code),
            Some("recipe-of-itself")
        );
        let taken = "materials:\n  - { name: a, other_names: [b], formula: SiO2, source: x }\n  - { name: b, other_names: [a], formula: SiO2, source: x }\n";
        assert_eq!(library(taken).1.first().map(|error| error.code), Some("name-taken"));
        assert_eq!(
            library(taken).1.first().map(|error| error.message.as_str()),
            Some("the name `b` is already taken by `a` (m.yaml, line 2)")
        );
        let unknown = "materials:\n  - { name: a, recipe: { silca: 1 }, source: own }\n  - { name: silica, formula: SiO2, source: x }\n";
        let error = library(unknown).1.into_iter().next();
        assert_eq!(
            error.and_then(|error| error.help),
            Some("did you mean `silica`?".to_owned())
        );
    }
    #[test]
    fn another_name_of_an_overridden_material_gives_the_one_that_overrides() {
        let layer = |library: &mut Library, text: &str| {
            let (entries, complaints) = read_materials(&Source::from_text("m.yaml", text));
            assert_eq!(complaints, []);
            library.add_layer(entries, false)
        };
        let mut stack = Library::default();
        let mut complaints = layer(&mut stack, BASICS);
        complaints.extend(layer(
            &mut stack,
            "materials:
  - { name: Silica, formula: SiO2, lot: '7', source: sheet }
  - { name: white mix, recipe: { flint: 1 }, source: own }
",
        ));
        complaints.extend(layer(
            &mut stack,
            "materials:
  - { name: washed sand, other_names: [silica], formula: SiO2, lot: '8', source: sheet }
",
        ));
        assert_eq!(complaints, []);
        let mixed = stack.find("white mix").map(|mix| mix.mixed_from.clone());
        assert_eq!(
            mixed,
            Some(vec![("Silica".to_owned(), 100.0)]),
            "the mix was made below the sand"
        );
        for name in ["flint", "silica", "washed sand"] {
            let lot = stack.find(name).and_then(|found| found.lot.as_deref());
            assert_eq!(lot, Some("8"), "{name}");
        }
        let circle = layer(
            &mut stack,
            "materials:\n  - { name: washed sand, recipe: { flint: 1 }, source: own }\n",
        );
        assert_eq!(circle.first().map(|error| error.code), Some("recipe-of-itself"));
    }

    #[test]
    fn what_is_in_stock_or_to_be_bought_is_to_be_had() {
        let text = "materials:
      - { name: bought, formula: SiO2, buyable: true, source: x }
      - { name: in the bin, formula: SiO2, stock: 5 g, source: x }
      - { name: used up, formula: SiO2, stock: 0 g, source: x }
      - { name: read about, formula: SiO2, source: x }
      - { name: used up but sold, formula: SiO2, stock: 0 g, buyable: true, source: x }
    ";
        let (library, complaints) = library(text);
        assert_eq!(complaints, []);
        let had = |name: &str| library.find(name).is_some_and(|found| found.to_be_had());
        assert!(had("bought") && had("in the bin") && had("used up but sold"));
        assert!(!had("used up") && !had("read about"));
    }

    #[test]
    fn a_material_keeps_what_its_file_says() {
        let text = "materials:
      - { name: ball clay, kind: clay, basis: as supplied, loss_on_ignition: 12, analysis: { SiO2: 56, Al2O3: 32 }, source: sheet,
          density: 2.6, free_silica: 25, hazards: [dust], price: 1.2 EUR/kg, lot: K7, firing: to 1250 C, expansion: 5e-6/K }
      - { name: kaolinite, formula: Al2Si2O5(OH)4, source: stoichiometric }
      - { name: soda ash, kind: chemical, formula: Na2CO3, source: stoichiometric }
      - { name: cobalt oxide, kind: colourant, formula: Co3O4, source: stoichiometric }
      - { name: mix, recipe: { ball clay: 30, soda ash: 10, silica sand: 60 }, source: own }
      - { name: blue mix, recipe: { cobalt oxide: 1, silica sand: 99, soda ash: 0 }, source: own }
      - { name: silica sand, formula: SiO2, assumed: clean, source: x }
      - { name: odd, formula: MgAl2O4, source: x }
    ";
        let (library, complaints) = library(text);
        assert_eq!(complaints, []);
        let found = |name: &str| library.find(name).unwrap();
        let clay = found("ball clay");
        assert_eq!(
            (clay.raw_clay_fraction, clay.density_grams_per_millilitre),
            (1.0, Some(2.6))
        );
        assert_eq!(
            (clay.free_silica_percent, clay.lot.as_deref()),
            (Some(25.0), Some("K7"))
        );
        assert_eq!(
            (clay.hazards.as_slice(), clay.firing.as_deref()),
            (&["dust".to_owned()][..], Some("to 1250 C"))
        );
        assert!(clay.price.is_some() && clay.expansion.is_some() && !clay.soluble && !clay.toxic);
        // A clay by its formula is clay too; a spinel and silica are not.
        assert_eq!(found("kaolinite").raw_clay_fraction, 1.0);
        assert_eq!(
            (found("silica sand").raw_clay_fraction, found("odd").raw_clay_fraction),
            (0.0, 0.0)
        );
        assert!(found("soda ash").soluble && found("cobalt oxide").toxic && !found("cobalt oxide").soluble);
        let mix = found("mix");
        assert!(mix.soluble && !mix.toxic && (mix.raw_clay_fraction - 0.3).abs() < 1e-12);
        assert_eq!(mix.mixed_from[2], ("silica sand".to_owned(), 60.0));
        assert!(
            mix.fired
                .as_ref()
                .unwrap()
                .assumptions
                .contains(&"silica sand: clean".to_owned())
        );
        let blue = found("blue mix");
        assert!(blue.toxic && !blue.soluble, "none of the soda is in it");
        assert_eq!(library.iter().count(), 8);
        assert_eq!(
            library.suggestion("soda ahs").as_deref(),
            Some("did you mean `soda ash`?")
        );
    }

    #[test]
    fn a_layer_laid_over_hides_what_it_names() {
        let (mut library, _) = library(BASICS);
        let mut own = (**library.find("silica").unwrap()).clone();
        own.name = "Flint".to_owned();
        own.lot = Some("9".to_owned());
        library.lay_over(vec![own]);
        let lot = |name: &str| library.find(name).and_then(|found| found.lot.clone());
        assert_eq!((lot("flint"), lot("silica")), (Some("9".to_owned()), None));
        assert_eq!(library.iter().count(), 5);
        assert_eq!(library.iter().next().map(|first| first.name.as_str()), Some("Flint"));
    }

    #[test]
    fn a_material_named_after_itself_and_many_clashes_are_told_in_bounds() {
        let own = "materials:\n  - { name: a, other_names: [A], formula: SiO2, source: x }\n";
        let message = library(own).1.into_iter().next().map(|error| error.message);
        assert_eq!(
            message.as_deref(),
            Some("the name `A` is already taken by the material itself")
        );
        let many = format!(
            "materials:\n{}",
            "  - { name: a, formula: SiO2, source: x }\n".repeat(40)
        );
        assert_eq!(library(&many).1.len(), MOST_COMPLAINTS);
    }
}
