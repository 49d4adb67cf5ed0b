//! What counts as what: iron, sheets' words, hazards by formula, limits by cone.

use super::bench::Bench;

fn tenmoku(more: &str) -> String {
    format!(
        "glaze: Iron black\ncone: 10\natmosphere: reduction\n{more}parts: {{ potash feldspar: 43, silica: 26, whiting: 16, kaolin: 15 }}\nadditions: {{ red iron oxide: 7.2 }}\n"
    )
}

#[test]
fn iron_in_reduction_says_how_it_is_counted() {
    let bench = Bench::empty();
    bench.file("usual.yaml", tenmoku(""));
    bench.file("feo.yaml", tenmoku("iron: FeO\n"));
    bench.file("share.yaml", tenmoku("iron: 80 % FeO\n"));
    bench.file("odd.yaml", tenmoku("iron: rusty\n"));
    for name in ["usual", "feo", "share", "odd"] {
        let screen = bench.screen(&["unity", &format!("{name}.yaml")]);
        insta::assert_snapshot!(format!("unity_of_iron_{name}"), screen);
    }
    let json = |name: &str| -> serde_json::Value {
        serde_json::from_str(&bench.run(&["unity", name, "--format", "json"]).stdout).unwrap()
    };
    let (usual, feo, share) = (json("usual.yaml"), json("feo.yaml"), json("share.yaml"));
    let of = |answer: &serde_json::Value, oxide: &str| answer["unity"][oxide].as_f64().unwrap_or(0.0);
    // Two FeO for each Fe2O3, counted among the fluxes that sum to 1.
    let iron = of(&usual, "Fe2O3");
    for (answer, counted) in [(&feo, 1.0), (&share, 0.8)] {
        let flux = 1.0 + 2.0 * counted * iron;
        assert!((of(answer, "SiO2") - of(&usual, "SiO2") / flux).abs() < 1e-9);
        assert!((of(answer, "FeO") - 2.0 * counted * iron / flux).abs() < 1e-9);
        assert!((of(answer, "Fe2O3") - (1.0 - counted) * iron / flux).abs() < 1e-9);
    }
    let check = bench.run(&["check", "usual.yaml"]).stdout;
    assert!(check.contains("how iron is counted"), "{check}");
    assert!(!bench.run(&["check", "feo.yaml"]).stdout.contains("how iron is counted"));
}

#[test]
fn limits_keep_their_authors_count_of_iron() {
    let bench = Bench::empty();
    bench.file("usual.yaml", tenmoku(""));
    bench.file("feo.yaml", tenmoku("iron: FeO\n"));
    let found = |name: &str| {
        bench
            .run(&[
                "check",
                name,
                "--script",
                "limits/stoneware-cone-8-12",
                "--format",
                "json",
            ])
            .stdout
            .lines()
            .filter(|line| line.contains("\"value\"") || line.contains("\"message\""))
            .map(str::to_owned)
            .collect::<Vec<_>>()
    };
    assert_eq!(found("usual.yaml"), found("feo.yaml"));
}

#[test]
fn a_sheet_may_say_that_there_is_too_little_to_measure() {
    let bench = Bench::example_studio();
    bench.file(
        "studio/materials/traces.yaml",
        "materials:\n  - name: moor spar\n    analysis: { SiO2: 67, Al2O3: 18, K2O: 12, Na2O: 2.5, Li2O: <0.05, Fe2O3: trace, PbO: n.d., MgO: \"-\" }\n    loss_on_ignition: 0.4\n    basis: as supplied\n    source: sheet\n",
    );
    let screen = bench.screen(&["--studio", "studio", "materials", "moor spar"]);
    assert!(
        screen.contains("Li2O <0.05") && screen.ends_with("--- exit 0\n"),
        "{screen}"
    );
    insta::assert_snapshot!("a_sheet_with_traces", screen);
}

#[test]
fn own_chemicals_are_hazards_without_being_marked() {
    let bench = Bench::example_studio();
    bench.file(
        "studio/materials/own.yaml",
        "materials:\n  - { name: washing soda, kind: chemical, formula: Na2CO3, source: formula }\n  - { name: blue powder, kind: colourant, formula: Co3O4, source: formula }\n",
    );
    bench.file(
        "studio/glazes/own.yaml",
        "glaze: Own\nparts: { potash feldspar: 50, silica: 25, whiting: 15, washing soda: 10 }\nadditions: { blue powder: 1 }\n",
    );
    let check = bench.run(&[
        "--studio",
        "studio",
        "check",
        "Own",
        "--script",
        "check/soluble-materials",
        "--format",
        "json",
    ]);
    assert!(check.stdout.contains("soluble: washing soda"), "{}", check.stdout);
}

fn glaze_at(cone: &str) -> String {
    format!("glaze: Plain\n{cone}parts: {{ potash feldspar: 40, silica: 30, whiting: 20, kaolin: 10 }}\n")
}

#[test]
fn limits_are_run_for_the_glazes_cone_and_say_which() {
    let bench = Bench::empty();
    for (name, cone) in [
        ("ten", "cone: 10\n"),
        ("six", "cone: 6\n"),
        ("low", "cone: 04\n"),
        ("none", ""),
        ("peak", "peak: 1285 C\n"),
    ] {
        bench.file(&format!("{name}.yaml"), glaze_at(cone));
    }
    let json = |arguments: &[&str]| -> serde_json::Value {
        serde_json::from_str(&bench.run(&[arguments, &["--format", "json"]].concat()).stdout).unwrap()
    };
    let held = |name: &str| json(&["check", &format!("{name}.yaml")])["limits"].to_string();
    assert_eq!(held("ten"), r#"["limits/stoneware-cone-8-12","limits/wide-cone-10"]"#);
    // A temperature near cone 10 is near cone 11 too: charts differ.
    assert!(held("peak").contains("limits/wide-cone-10"), "{}", held("peak"));
    assert_eq!(held("six"), r#"["limits/cone-6","limits/wide-cone-6"]"#);
    assert_eq!(held("low"), "[]");
    assert_eq!(held("none"), "[]");
    let not_for_this = json(&["check", "low.yaml"])["not_for_this"].to_string();
    assert!(
        not_for_this.contains(r#"{"script":"limits/cone-6","cones":"cone 6"}"#),
        "{not_for_this}"
    );
    insta::assert_snapshot!("check_for_a_cone_with_limits", bench.screen(&["check", "ten.yaml"]));
    insta::assert_snapshot!("check_for_a_cone_without_limits", bench.screen(&["check", "low.yaml"]));
    // Named all the same: not checked, never a pass.
    for (name, code) in [("low", 1), ("none", 1), ("ten", 1)] {
        let file = format!("{name}.yaml");
        let ran = bench.run(&["check", &file, "--script", "limits/cone-6"]);
        assert_eq!(ran.code, code, "{name}: {}", ran.stdout);
        assert!(ran.stdout.contains("not checked"), "{}", ran.stdout);
    }
    insta::assert_snapshot!(
        "limits_for_another_cone",
        bench.screen(&["check", "low.yaml", "--script", "limits/cone-6"])
    );
    insta::assert_snapshot!(
        "limits_without_a_range",
        bench.screen(&["check", "low.yaml", "--script", "limits/seger-cones"])
    );
}

#[test]
fn a_script_for_no_cone_on_earth_is_told_so() {
    let bench = Bench::empty();
    for (name, cones) in [("a", "66"), ("b", "3..04"), ("c", "")] {
        let file = format!("{name}.rhai");
        bench.file(
            &file,
            format!("const ABOUT = #{{ api: 1, kind: \"limits\", title: \"X\", source: \"own\", cones: \"{cones}\" }};\nfn limits(glaze, option) {{ #{{ SiO2: [2, 4] }} }}\n"),
        );
        let ran = bench.run(&["check", "Lamplight clear", "--script", &file]);
        assert_eq!(ran.code, 2, "{cones}: {}", ran.stdout);
        assert!(ran.stderr.contains("cones"), "{}", ran.stderr);
    }
}
