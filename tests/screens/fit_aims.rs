//! `glost adjust ... "fit: CLAY"`: recipes and ladders by a clay's own pieces.

use crate::bench::Bench;

/// Cup glazes on a white clay: held, crazed after weeks, crazed from the kiln (invented).
fn cups() -> Bench {
    let bench = Bench::example_studio();
    bench.file(
        "studio/materials/cups.yaml",
        "materials:
  - name: nepheline
    kind: mineral
    basis: as supplied
    analysis: { SiO2: 60.0, Al2O3: 23.5, K2O: 5.0, Na2O: 10.3, CaO: 0.4, Fe2O3: 0.10 }
    loss_on_ignition: 0.5
    source: invented
    stock: 5 kg
  - name: boron frit
    kind: frit
    basis: fired
    analysis: { SiO2: 47.0, B2O3: 23.0, Na2O: 10.0, CaO: 20.0 }
    loss_on_ignition: 0
    source: invented
    stock: 5 kg
",
    );
    for (name, parts) in [
        (
            "G1",
            "nepheline: 26, boron frit: 20, silica: 26, kaolin: 14, whiting: 8, talc: 6",
        ),
        (
            "G2",
            "nepheline: 38, boron frit: 24, silica: 14, kaolin: 10, whiting: 10, talc: 4",
        ),
        ("G3", "nepheline: 54, boron frit: 22, silica: 8, kaolin: 4, whiting: 12"),
    ] {
        let text = format!("glaze: {name}\ncone: 6\nclay: white clay\nparts: {{ {parts} }}\n");
        bench.file(&format!("studio/glazes/{name}.yaml"), text);
    }
    bench.file(
        "studio/clays/white_clay.yaml",
        "clay: white clay\ncone: 6\nabsorption: 1.2\nsource: invented\n",
    );
    bench.file(
        "studio/notes.jsonl",
        "{\"on\":\"2026-08-01\",\"glaze\":\"G1\",\"clay\":\"white clay\",\"cone\":\"6\",\"age_days\":240,\"pieces\":12,\"crazed\":0}
{\"on\":\"2026-08-01\",\"glaze\":\"G2\",\"clay\":\"white clay\",\"cone\":\"6\",\"age_days\":21,\"pieces\":6,\"crazed\":6}
{\"on\":\"2026-08-01\",\"glaze\":\"G3\",\"clay\":\"white clay\",\"cone\":\"6\",\"age_days\":0,\"pieces\":6,\"crazed\":6}
",
    );
    bench
}

#[test]
fn a_crazing_cup_glaze_is_cured_in_several_ways() {
    let bench = cups();
    let asked = [
        "--studio",
        "studio",
        "adjust",
        "G2",
        "fit: white clay",
        "SiO2:Al2O3 in 7..10",
    ];
    insta::assert_snapshot!("adjust_fit", bench.screen(&asked));
    let ran = bench.run(&[&asked[..], &["--format", "json"]].concat());
    let answer: serde_json::Value = serde_json::from_str(&ran.stdout).unwrap();
    assert_eq!(answer["possible"], true);
    let craze = answer["fit"]["p_craze"].as_f64().unwrap();
    assert!((0.0999..=0.1).contains(&craze), "{craze}");
    for way in answer["ways"].as_array().unwrap() {
        assert!(way["p_craze"].as_f64().unwrap() <= 0.1, "{way}");
        assert_eq!(way["ladder"].as_array().unwrap().len(), 4);
    }
    let bolder = bench.run(&[
        "--studio",
        "studio",
        "adjust",
        "G2",
        "fit: white clay at 25 %",
        "--format",
        "json",
    ]);
    let bolder: serde_json::Value = serde_json::from_str(&bolder.stdout).unwrap();
    assert!(bolder["objective"].as_f64() < answer["objective"].as_f64());
}

#[test]
fn a_powder_without_recipe_gets_ladders() {
    let bench = cups();
    insta::assert_snapshot!(
        "adjust_fit_powder",
        bench.screen(&["--studio", "studio", "adjust", "bought clear", "fit: white earthenware"])
    );
}

#[test]
fn a_fit_that_cannot_be_asked() {
    let bench = cups();
    for (name, aims) in [
        ("adjust_fit_no_clay", &["fit: whit clay"][..]),
        ("adjust_fit_two_clays", &["fit: white clay", "fit: buff stoneware"]),
        ("adjust_fit_chance", &["fit: white clay at 90 %"]),
    ] {
        let call = [&["--studio", "studio", "adjust", "G2"], aims].concat();
        insta::assert_snapshot!(name, bench.screen(&call));
    }
}
