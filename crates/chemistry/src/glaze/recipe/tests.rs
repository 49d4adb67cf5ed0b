use super::super::file::read_glaze;
use super::*;
use crate::assumption::SheetAssumption;
use crate::diagnostic::Source;
use crate::material::{read_materials, read_sheets};
use crate::quantity::Millilitres;

const SHELF: &str = "materials:
  - { name: kaolin, kind: clay, other_names: [china clay], basis: as supplied, loss_on_ignition: 13, analysis: { SiO2: 47, Al2O3: 39.5 }, source: sheet }
  - { name: soda ash, kind: chemical, formula: Na2CO3, source: stoichiometric }
  - { name: fluorspar, kind: mineral, formula: CaF2, source: stoichiometric }
  - { name: silica, formula: SiO2, assumed: quartz throughout, source: stoichiometric }
  - { name: whiting, formula: CaCO3, source: stoichiometric }
  - { name: tin oxide, kind: chemical, formula: SnO2, source: stoichiometric }
  - { name: bought clear, kind: powder, analysis: unknown, source: bag }
";

fn shelf() -> Library {
    let (entries, mut complaints) = read_materials(&Source::from_text("m.yaml", SHELF));
    let mut library = Library::default();
    complaints.extend(library.add_layer(entries, false));
    assert_eq!(complaints, []);
    library
}

fn resolved(recipe: &str) -> Result<Glaze, Vec<Diagnostic>> {
    let source = Source::from_text("g.yaml", &format!("glaze: A\n{recipe}\n"));
    read_glaze(&source, Millilitres::METRIC_CUP)
        .unwrap_or_else(|why| panic!("{why:?}"))
        .resolve(&shelf())
}

fn glaze(recipe: &str) -> Glaze {
    resolved(recipe).unwrap_or_else(|why| panic!("{why:?}"))
}

#[test]
fn the_base_makes_a_hundred_and_additions_come_on_top() {
    let glaze = glaze("parts: { silica: 3, kaolin: 1 }\nadditions: { tin oxide: 5 }");
    let percents: Vec<f64> = glaze.portions().map(|portion| portion.percent).collect();
    assert_eq!(percents, [75.0, 25.0, 5.0]);
    assert_eq!((glaze.base.len(), glaze.additions.len()), (2, 1));
}

/// 25 g of clay, 10 g of soda ash and 5 g of fluorspar in 105 g of dry batch; fluorspar is
/// 2 x 18.998 in 78.074 fluorine.
#[test]
fn clay_soda_and_fluorine_are_shares_of_the_whole_batch() {
    let glaze = glaze("parts: { silica: 65, kaolin: 25, soda ash: 10 }\nadditions: { fluorspar: 5 }");
    let near = |found: f64, wanted: f64| assert!((found - wanted).abs() < 1e-3, "{found}, not {wanted}");
    near(glaze.raw_clay_percent(), 100.0 * 25.0 / 105.0);
    near(glaze.soluble_percent(), 100.0 * 10.0 / 105.0);
    near(glaze.fluorine_percent(), 100.0 * 5.0 * 0.486_667 / 105.0);
}

#[test]
fn a_material_by_two_names_is_one_and_said() {
    let glaze = glaze("parts: { kaolin: 30, silica: 60, china clay: 10 }");
    assert_eq!(glaze.base.len(), 2);
    assert_eq!(glaze.base[0].percent, 40.0);
    assert_eq!(
        glaze.assumptions,
        [Assumption::Recipe(RecipeAssumption::OtherName {
            typed: "china clay".to_owned(),
            material: "kaolin".to_owned()
        })]
    );
    let library = shelf();
    let holds = |name: &str| glaze.holds(library.find(name).unwrap());
    assert!(holds("china clay") && holds("silica") && !holds("whiting"));
    let none = super::tests::glaze("parts: { kaolin: 0, silica: 60 }");
    assert!(!none.holds(library.find("kaolin").unwrap()));
}

#[test]
fn materials_nobody_tells_the_analysis_of_are_named() {
    let recipe = "parts: { silica: 50, bought clear: 50 }";
    assert_eq!(glaze(recipe).unknown_materials(), ["bought clear"]);
    assert!(
        glaze("parts: { silica: 50, bought clear: 0 }")
            .unknown_materials()
            .is_empty()
    );
}

#[test]
fn what_goes_with_a_result_is_said_once_and_only_of_what_is_in_it() {
    let said = glaze("parts: { silica: 50, kaolin: 30, whiting: 0 }\nadditions: { silica: 5, tin oxide: 4 }")
        .material_assumptions();
    let by_formula = |names: &[&str]| {
        let names = names.iter().map(|name| (*name).to_owned()).collect();
        Assumption::Recipe(RecipeAssumption::ByFormula(names))
    };
    let told = SheetAssumption::Told("quartz throughout".to_owned());
    assert_eq!(said, [Assumption::of_sheet("silica", told), by_formula(&["silica"])]);
    let both = glaze("parts: { whiting: 1, silica: 1 }").material_assumptions();
    assert_eq!(both[1], by_formula(&["whiting", "silica"]));
    assert!(glaze("parts: { kaolin: 1 }").material_assumptions().is_empty());
}

#[test]
fn names_that_no_material_has_are_shown_where_they_stand() {
    let wrong = resolved("parts:\n  silica: 1\n  kaoln: 1\nadditions: { feldspathoid X9: 2 }").unwrap_err();
    let told: Vec<_> = wrong
        .iter()
        .map(|why| (why.code, why.place.as_ref().map(|place| (place.mark.line, place.width))))
        .collect();
    assert_eq!(
        told,
        [("unknown-material", Some((4, 5))), ("unknown-material", Some((5, 15)))]
    );
    assert_eq!(wrong[0].help.as_deref(), Some("did you mean `kaolin`?"));
    let many: String = (0..30).map(|number| format!("  zzz{number}: 1\n")).collect();
    assert_eq!(resolved(&format!("parts:\n{many}")).unwrap_err().len(), MOST_COMPLAINTS);
}

/// The sheet's own place is told, and once, however many lines of the recipe need it.
#[test]
fn a_sheet_that_cannot_be_read_is_told_once_where_it_stands() {
    let sheets = Source::from_text("own.yaml", "materials:\n  - { name: ash, formula: CaCO, source: bag\n");
    let mut library = shelf();
    library.add_sheets(read_sheets(&sheets), false);
    let recipe = Source::from_text(
        "g.yaml",
        "glaze: A\nparts: { silica: 60, ash: 40 }\nadditions: { ash: 3 }\n",
    );
    let file = read_glaze(&recipe, Millilitres::METRIC_CUP).unwrap();
    let complaints = file.resolve(&library).unwrap_err();
    let files: Vec<&str> = complaints
        .iter()
        .filter_map(|why| why.place.as_ref().map(|place| &*place.file))
        .collect();
    assert_eq!(files, ["own.yaml"], "{complaints:?}");
}
