//! A metal in another form, as a user would ask, right and wrong.

use super::bench::Bench;

screens! {
    convert_cobalt: 0, ["convert", "1 % cobalt oxide", "--to", "cobalt carbonate"];
    convert_grams_of_iron: 0, ["convert", "2.5 g red iron oxide", "--to", "black iron oxide"];
    convert_barium: 0, ["convert", "10 % barium carbonate", "--to", "strontium carbonate"];
    convert_with_silica_along: 0, ["convert", "20 % chalk", "--to", "wollastonite"];
    convert_to_what_dissolves: 0, ["convert", "5 % red iron oxide", "--to", "iron sulphate"];
    convert_as_json: 0, ["convert", "1 % copper oxide", "--to", "copper carbonate", "--format", "json"];
    convert_a_number: 2, ["convert", "5", "--to", "cobalt carbonate"];
    convert_without_a_unit: 2, ["convert", "5 cobalt oxide", "--to", "cobalt carbonate"];
    convert_more_than_all: 2, ["convert", "120 % cobalt oxide", "--to", "cobalt carbonate"];
    convert_less_than_nothing: 2, ["convert", "--to", "cobalt carbonate", "--", "-1 % cobalt oxide"];
    convert_a_misspelt_material: 2, ["convert", "1 % colbat oxide", "--to", "cobalt carbonate"];
    convert_to_a_misspelt_material: 2, ["convert", "1 % cobalt oxide", "--to", "cobalt carbonat"];
    convert_tin_to_zircon: 2, ["convert", "5 % tin oxide", "--to", "zircon"];
    convert_to_another_metal: 2, ["convert", "1 % cobalt oxide", "--to", "copper carbonate"];
    convert_a_feldspar: 2, ["convert", "38 % potash feldspar", "--to", "soda feldspar"];
    convert_into_itself: 2, ["convert", "1 % flint", "--to", "quartz"];
    convert_lead: 2, ["convert", "10 % red lead", "--to", "litharge"];
}

#[test]
fn a_material_nobody_tells_of_is_refused() {
    let bench = Bench::empty();
    bench.file(
        "m.yaml",
        "materials:\n  - { name: blue stain, kind: stain, analysis: unknown, source: own }\n  \
         - { name: gum, kind: gum, formula: C6H12O6, source: own }\n",
    );
    let screen = |dose: &str| bench.screen(&["convert", dose, "--to", "cobalt carbonate", "--materials", "m.yaml"]);
    let both = screen("2 % blue stain") + screen("2 % gum").as_str();
    assert_eq!(both.matches("--- exit 2\n").count(), 2, "{both}");
    insta::assert_snapshot!(both);
}
