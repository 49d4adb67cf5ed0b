//! A shelf and glazes mixed from it, for the tests of this folder.

use glost_chemistry::diagnostic::Source;
use glost_chemistry::glaze::{Glaze, read_glaze};
use glost_chemistry::material::{Library, Material, read_materials};
use glost_chemistry::quantity::Millilitres;

const SHELF: &str = "materials:
  - { name: feldspar, kind: mineral, formula: KAlSi3O8, density: 2.5, source: x }
  - { name: silica, kind: mineral, formula: SiO2, density: 2.65, free_silica: 98, price: 1 EUR/kg, stock: 12 kg, source: x }
  - { name: whiting, kind: mineral, formula: CaCO3, density: 2.7, price: 0.5 EUR/kg, stock: 150 g, lot: W3, source: x }
  - { name: kaolin, kind: clay, analysis: { SiO2: 47, Al2O3: 39 }, loss_on_ignition: 14, basis: as supplied, price: 8 EUR per 10 kg,
      lots: [{ lot: K7, stock: 2 kg }, { lot: L2, stock: 5 kg }], source: x }
  - { name: cobalt carbonate, kind: colourant, formula: CoCO3, toxic: true, price: 60 EUR/kg, source: x }
  - { name: red iron oxide, kind: colourant, formula: Fe2O3, price: 3 EUR/kg, source: x }
  - { name: manganese dioxide, kind: colourant, formula: MnO2, toxic: true, source: x }
  - { name: barium carbonate, kind: chemical, formula: BaCO3, toxic: true, source: x }
  - { name: tin oxide, kind: chemical, formula: SnO2, price: 30 USD/kg, source: x }
  - { name: soda ash, kind: chemical, formula: Na2CO3, soluble: true, source: x }
  - { name: fluorspar, kind: mineral, formula: CaF2, source: x }
  - { name: red lead, kind: chemical, formula: Pb3O4, source: x }
  - { name: wollastonite, kind: mineral, formula: CaSiO3, source: x }
  - { name: frit, kind: frit, analysis: { SiO2: 60, CaO: 20, Na2O: 20 }, basis: fired, source: x }
  - { name: wood ash, kind: mineral, formula: CaCO3, source: x }
  - { name: bentonite, kind: clay, other_names: [white bentonite], analysis: { SiO2: 60, Al2O3: 30 }, loss_on_ignition: 10, basis: as supplied, density: 2.5, free_silica: 5, source: x }
  - { name: gum, kind: gum, analysis: unknown, source: x }
  - { name: bought clear, kind: powder, analysis: unknown, source: x }
";

pub fn shelf() -> Library {
    let (entries, mut complaints) = read_materials(&Source::from_text("m.yaml", SHELF));
    let mut library = Library::default();
    complaints.extend(library.add_layer(entries, false));
    assert_eq!(complaints, []);
    library
}

/// A glaze of this shelf: what stands under its name in its file.
pub fn glaze(lines: &str) -> Glaze {
    let source = Source::from_text("g.yaml", &format!("glaze: A\n{lines}\n"));
    let file = read_glaze(&source, Millilitres::METRIC_CUP).unwrap_or_else(|why| panic!("{why:?}"));
    file.resolve(&shelf()).unwrap_or_else(|why| panic!("{why:?}"))
}

/// Materials of this shelf with their grams.
pub fn batch<'a>(shelf: &'a Library, grams: &[(&str, f64)]) -> Vec<(&'a Material, f64)> {
    let found = |name: &str| &**shelf.find(name).unwrap_or_else(|| panic!("no {name}"));
    grams.iter().map(|(name, grams)| (found(name), *grams)).collect()
}

pub fn near(found: f64, wanted: f64, what: &str) {
    let off = (found - wanted).abs();
    assert!(off <= 1e-9 * wanted.abs().max(1.0), "{what}: {found}, not {wanted}");
}
