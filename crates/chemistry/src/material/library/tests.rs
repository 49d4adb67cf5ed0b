use super::*;
use crate::assumption::{Assumption, SheetAssumption};
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
    let circle =
        "materials:\n  - { name: a, recipe: { b: 1 }, source: own }\n  - { name: b, recipe: { a: 1 }, source: own }\n";
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
          density: 2.6, free_silica: 25, hazards: [dust, sulphur leaves; fire with ventilation], fumes: [fluorine leaves on firing], price: 1.2 EUR/kg, lot: K7, firing: to 1250 C, expansion: 5e-6/K }
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
        (
            &[
                Hazard {
                    text: "dust".to_owned(),
                    fumes: false
                },
                // As sheets had it before the key `fumes`.
                Hazard {
                    text: "sulphur leaves; fire with ventilation".to_owned(),
                    fumes: true
                },
                Hazard {
                    text: "fluorine leaves on firing".to_owned(),
                    fumes: true
                },
            ][..],
            Some("to 1250 C")
        )
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
    assert!(mix.fired.as_ref().unwrap().assumptions.contains(&Assumption::of_sheet(
        "silica sand",
        SheetAssumption::Told("clean".to_owned())
    )));
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
