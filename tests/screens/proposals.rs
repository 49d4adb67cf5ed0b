//! Recipes that are proposed: looked at before they are shown, and what is said of them.

use super::bench::Bench;

const SHEETS: &str = "materials:
  - { name: spar, kind: mineral, basis: as supplied, loss_on_ignition: 0.4, source: invented sheet, stock: 20 kg, buyable: true, analysis: { SiO2: 67, Al2O3: 18, K2O: 10.5, Na2O: 3, CaO: 0.5, Fe2O3: 0.1 } }
  - { name: soda spar, kind: mineral, basis: as supplied, loss_on_ignition: 0.4, source: invented sheet, stock: 300 g, analysis: { SiO2: 68, Al2O3: 19, K2O: 1.2, Na2O: 10.2, CaO: 0.8, Fe2O3: 0.1 } }
  - { name: flint, kind: mineral, basis: as supplied, loss_on_ignition: 0.2, source: invented sheet, buyable: true, analysis: { SiO2: 99.5 } }
  - { name: chalk, kind: mineral, basis: as supplied, loss_on_ignition: 43.8, source: invented sheet, buyable: true, analysis: { CaO: 55.8 } }
  - { name: china clay, kind: clay, basis: as supplied, loss_on_ignition: 13.8, source: invented sheet, buyable: true, analysis: { SiO2: 46, Al2O3: 38, K2O: 0.6, Fe2O3: 0.8 } }
  - { name: blue john, kind: mineral, formula: CaF2, source: formula, stock: 3 kg }
  - { name: borate frit, kind: frit, basis: fired, loss_on_ignition: 0, source: invented sheet, stock: 9 kg, buyable: true, analysis: { SiO2: 50, Al2O3: 6, B2O3: 20, CaO: 14, Na2O: 10 } }
  - { name: sparkle, kind: powder, analysis: unknown, source: bag }
";

fn bench() -> Bench {
    let bench = Bench::empty();
    bench.file("studio.yaml", "studio: Test bench\n");
    bench.file("materials/own.yaml", SHEETS);
    bench.file(
        "glazes/plain.yaml",
        "glaze: Plain\ncone: 10\natmosphere: oxidation\nuse: tableware\nparts: { spar: 42, flint: 26, chalk: 18, china clay: 14 }\n",
    );
    bench.file(
        "glazes/glitter.yaml",
        "glaze: Glitter\ncone: 10\nparts: { spar: 42, flint: 26, chalk: 18, china clay: 14 }\nadditions: { sparkle: 3 }\n",
    );
    bench.file(
        "glazes/matt.yaml",
        "glaze: Stone\ncone: 10\nparts: { spar: 46, chalk: 24, china clay: 30 }\n",
    );
    bench
}

fn json(bench: &Bench, arguments: &[&str]) -> (i32, serde_json::Value) {
    let mut arguments = arguments.to_vec();
    arguments.extend(["--format", "json"]);
    let ran = bench.run(&arguments);
    (ran.code, serde_json::from_str(&ran.stdout).unwrap())
}

#[test]
fn what_nobody_asked_about_is_free_and_makes_no_reading() {
    let formula = "KNaO 0.3, 0.7 CaO, Al2O3 0.45, SiO2 3.6";
    let (code, answer) = json(&bench(), &["reach", "--unity", formula]);
    assert_eq!(code, 0);
    let free: Vec<&str> = answer["free"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(|oxide| oxide.as_str())
        .collect();
    assert!(free.contains(&"Fe2O3") && free.contains(&"MgO"));
    assert!(!free.contains(&"K2O") && !free.contains(&"SiO2"));
    let best = &answer["proposals"][0];
    assert_eq!(best["reads"], "near");
    assert!(best["unity"]["Fe2O3"].as_f64().unwrap() > 0.002);
    let alkali = best["unity"]["K2O"].as_f64().unwrap() + best["unity"]["Na2O"].as_f64().unwrap();
    assert!((alkali - 0.3).abs() < 0.008, "{alkali}");
}

#[test]
fn the_old_name_of_reach_still_answers_and_is_not_shown() {
    let bench = bench();
    let asked = [
        "--unity",
        "K2O 0.3, CaO 0.7, Al2O3 0.45, SiO2 3.6",
        "--with",
        "spar",
        "--with",
        "chalk",
    ];
    let by = |name: &str| bench.run(&[&[name], &asked[..]].concat()).stdout;
    assert_eq!(by("match"), by("reach"));
    assert!(!bench.run(&["--help"]).stdout.contains("match "));
}

#[test]
fn a_fluoride_a_short_stock_and_new_findings_are_said() {
    let bench = bench();
    let screen = bench.screen(&[
        "swap",
        "Plain",
        "--out",
        "chalk",
        "--with",
        "blue john",
        "--dry",
        "20 kg",
    ]);
    insta::assert_snapshot!("swap_to_a_fluoride", screen);
    let (_, answer) = json(&bench, &["swap", "Plain", "--out", "chalk", "--with", "blue john"]);
    let findings = answer["proposals"][0]["findings"].as_array().unwrap();
    let fluorine = findings
        .iter()
        .find(|finding| finding["subject"] == "fluorine")
        .unwrap();
    assert_eq!(
        (&fluorine["new"], &fluorine["level"]),
        (&true.into(), &"caution".into())
    );
    assert!(findings.iter().any(|finding| finding["new"] == false));
    assert_eq!(answer["proposals"][0]["signed"]["script"], "swap/closest");
}

#[test]
fn a_stock_that_is_too_small_comes_behind() {
    let bench = bench();
    let first = |dry: &str| {
        let (_, answer) = json(&bench, &["swap", "Plain", "--out", "spar", "--dry", dry, "--show", "1"]);
        answer["proposals"][0].clone()
    };
    let holds_soda = |proposal: &serde_json::Value| proposal["parts"].get("soda spar").is_some();
    assert!(holds_soda(&first("500 g")));
    let large = first("20 kg");
    assert!(!holds_soda(&large) || large["says"][0].as_str().unwrap().contains("in stock"));
}

#[test]
fn a_script_may_say_why() {
    let bench = bench();
    bench.file(
        "scripts/swap/from-the-shelf.rhai",
        "const ABOUT = #{ api: 1, kind: \"swap\", title: \"From the shelf\", source: \"own\" };\n\
         fn swap(glaze, option) {\n    let found = materials.solve(#{ match: glaze, without: request.out, show: 1 });\n    \
         found.map(|one| #{ glaze: one, why: \"what stands on the shelf\" })\n}\n",
    );
    let screen = bench.screen(&["swap", "Plain", "--out", "spar", "--script", "from-the-shelf"]);
    insta::assert_snapshot!("swap_with_a_reason", screen);
}

#[test]
fn an_addition_that_nobody_tells_stays_by_weight() {
    let bench = bench();
    insta::assert_snapshot!(
        "adjust_beside_an_unknown_addition",
        bench.screen(&["adjust", "Glitter", "SiO2 >= 4.2"])
    );
    let (_, answer) = json(&bench, &["adjust", "Glitter", "SiO2 >= 4.2"]);
    assert_eq!(answer["proposal"]["additions"]["sparkle"], 3.0);
    assert_eq!(answer["held"][0]["material"], "sparkle");
}

#[test]
fn a_matt_comes_to_another_cone_in_two_ways() {
    let screen = bench().screen(&["adjust", "Stone", "cone 8", "--with", "borate frit"]);
    insta::assert_snapshot!("a_matt_two_ways", screen);
}

#[test]
fn fluxes_that_sum_to_more_than_one_clash() {
    let (code, answer) = json(&bench(), &["adjust", "Plain", "CaO >= 0.8", "K2O >= 0.4"]);
    assert_eq!(code, 1);
    assert_eq!(answer["possible"], false);
    assert_eq!(answer["clash"].as_array().unwrap().len(), 2);
    assert!(answer["nearest"]["unity"]["CaO"].as_f64().unwrap() > 0.5, "{answer}");
    let (code, answer) = json(&bench(), &["adjust", "Plain", "CaO >= 1.2"]);
    assert_eq!((code, &answer["clash"]), (1, &serde_json::json!(["CaO >= 1.2"])));
}

#[test]
fn aims_that_cannot_be_meant() {
    let bench = bench();
    for (name, aims) in [
        ("ratio_of_nothing", vec!["K2O:Na2O = 0"]),
        ("hold_what_is_not_there", vec!["hold ZnO"]),
        ("nobody_brings_it", vec!["B2O3 >= 0.2"]),
        ("surer_than_sure", vec!["SiO2 >= 3", "--sure", "120 %"]),
        ("cone_unknown", vec!["cone 42"]),
    ] {
        let mut arguments = vec!["adjust", "Plain"];
        arguments.extend(aims);
        insta::assert_snapshot!(format!("aim_{name}"), bench.screen(&arguments));
    }
}

#[test]
fn a_cone_that_nothing_can_be_told_of_is_refused_with_the_reason() {
    let bench = bench();
    bench.file(
        "glazes/no_cone.yaml",
        "glaze: Nowhere\nparts: { spar: 42, flint: 26, chalk: 18, china clay: 14 }\n",
    );
    insta::assert_snapshot!("aim_cone_too_cool", bench.screen(&["adjust", "Plain", "cone 022"]));
    insta::assert_snapshot!("aim_cone_from_nowhere", bench.screen(&["adjust", "Nowhere", "cone 6"]));
}

#[test]
fn aims_on_a_glaze_without_flux_and_aims_that_contradict() {
    let bench = bench();
    bench.file("glazes/sand.yaml", "glaze: Sand\ncone: 10\nparts: { flint: 100 }\n");
    insta::assert_snapshot!("aim_without_flux", bench.screen(&["adjust", "Sand", "SiO2 >= 3"]));
    let (code, answer) = json(&bench, &["adjust", "Plain", "SiO2 >= 4", "SiO2 <= 3"]);
    assert_eq!((code, &answer["possible"]), (1, &false.into()), "{answer}");
    assert_eq!(answer["clash"], serde_json::json!(["SiO2 >= 4", "SiO2 <= 3"]));
}

/// No sheet here states a tolerance: what is taken instead is said.
#[test]
fn being_sure_says_what_it_takes_for_sheets_without_a_tolerance() {
    let screen = bench().screen(&["adjust", "Plain", "CaO >= 0.75", "--sure", "90 %"]);
    assert!(screen.contains("state no tolerance"), "{screen}");
    insta::assert_snapshot!("sure_without_tolerances", screen);
}

#[test]
fn limits_measured_on_own_glazes() {
    let bench = bench();
    insta::assert_snapshot!(
        "limits_from_own_glazes",
        bench.screen(&["script", "new", "limits", "ours", "--from", "Plain, Stone"])
    );
    let text = bench.run(&["script", "show", "limits/ours", "--text"]).stdout;
    assert!(text.contains("source: \"own glazes, 2: Plain, Stone\""), "{text}");
    assert!(text.contains("KNaO: [") && text.contains("cones: \"10\""), "{text}");
    assert_eq!(bench.run(&["script", "test", "limits/ours"]).code, 0);
    for name in ["Plain", "Stone"] {
        let (code, answer) = json(&bench, &["check", name, "--script", "limits/ours"]);
        assert_eq!((code, &answer["worst"]), (0, &"nothing found".into()), "{answer}");
    }
    let one = bench.run(&["script", "new", "limits", "one", "--from", "Plain"]);
    assert_eq!(one.code, 2);
    assert!(one.stderr.contains("one glaze gives no ranges"), "{}", one.stderr);
}
