//! Each command as a user would first type it.

use super::bench::Bench;

macro_rules! screen {
    ($name:ident, $bench:expr, $($word:expr),+) => {
        #[test]
        fn $name() {
            let bench = $bench;
            insta::assert_snapshot!(stringify!($name), bench.screen(&[$($word),+]));
        }
    };
}

screen!(unity_of_the_example, Bench::empty(), "unity", "Lamplight clear");
screen!(
    unity_without_additions,
    Bench::empty(),
    "unity",
    "Mothwing tin white",
    "--additions",
    "out"
);
screen!(
    unity_by_a_historical_model,
    Bench::empty(),
    "unity",
    "Lamplight clear",
    "--model",
    "English & Turner"
);
screen!(
    unity_as_json,
    Bench::empty(),
    "unity",
    "Highfell clear",
    "--format",
    "json"
);
screen!(
    check_tableware,
    Bench::empty(),
    "check",
    "Lamplight clear",
    "--use",
    "tableware"
);
screen!(check_copper_green, Bench::empty(), "check", "Millpond copper green");
screen!(
    check_one_limit_set,
    Bench::empty(),
    "check",
    "Highfell clear",
    "--script",
    "limits/stoneware-cone-8-12"
);
screen!(check_of_a_bought_powder, Bench::empty(), "check", "bought clear");
screen!(
    check_as_json,
    Bench::empty(),
    "check",
    "Lamplight clear",
    "--use",
    "tableware",
    "--format",
    "json"
);
screen!(
    swap_the_feldspar,
    Bench::empty(),
    "swap",
    "Lamplight clear",
    "--out",
    "feldspar A"
);
screen!(
    swap_to_a_named_one,
    Bench::empty(),
    "swap",
    "Lamplight clear",
    "--out",
    "feldspar A",
    "--with",
    "feldspar C",
    "--dry",
    "5 kg"
);
screen!(
    swap_a_clay,
    Bench::empty(),
    "swap",
    "Lamplight clear",
    "--out",
    "kaolin"
);
screen!(
    swap_an_addition,
    Bench::empty(),
    "swap",
    "Mothwing tin white",
    "--out",
    "tin oxide"
);
screen!(
    swap_one_for_one,
    Bench::empty(),
    "swap",
    "Lamplight clear",
    "--out",
    "feldspar A",
    "--script",
    "swap/one-for-one"
);
screen!(
    swap_as_json,
    Bench::empty(),
    "swap",
    "Lamplight clear",
    "--out",
    "feldspar A",
    "--show",
    "1",
    "--format",
    "json"
);
screen!(
    swap_to_something_far,
    Bench::empty(),
    "swap",
    "Lamplight clear",
    "--out",
    "whiting",
    "--with",
    "talc"
);
screen!(
    blend_a_line,
    Bench::empty(),
    "blend",
    "line",
    "Lamplight clear",
    "Highfell clear"
);
screen!(
    blend_a_line_wet,
    Bench::empty(),
    "blend",
    "line",
    "Lamplight clear",
    "Millpond copper green",
    "--steps",
    "3",
    "--volume",
    "30 ml"
);
screen!(
    blend_as_json,
    Bench::empty(),
    "blend",
    "line",
    "Lamplight clear",
    "Highfell clear",
    "--steps",
    "2",
    "--format",
    "json"
);
screen!(
    blend_with_a_powder,
    Bench::empty(),
    "blend",
    "line",
    "bought clear",
    "Hearthside clear",
    "--steps",
    "3",
    "--dry",
    "20 g"
);
screen!(formula_of_kaolinite, Bench::empty(), "formula", "Al2Si2O5(OH)4");
screen!(formula_of_magnetite, Bench::empty(), "formula", "Fe3O4");
screen!(formula_as_json, Bench::empty(), "formula", "CaF2", "--format", "json");
screen!(materials_list, Bench::empty(), "materials");
screen!(material_with_dust, Bench::empty(), "materials", "flint");
screen!(material_that_is_toxic, Bench::empty(), "materials", "barium carbonate");
screen!(script_list, Bench::empty(), "script", "list");
screen!(script_show, Bench::empty(), "script", "show", "check/alkali-balance");
screen!(init_a_studio, Bench::empty(), "init", "mine");
screen!(init_the_example, Bench::empty(), "init", "mine", "--example");
screen!(help, Bench::empty(), "--help");

screen!(
    adjust_more_silica,
    Bench::empty(),
    "adjust",
    "Lamplight clear",
    "SiO2 >= 3.3",
    "keep kaolin"
);
screen!(
    adjust_to_limits,
    Bench::empty(),
    "adjust",
    "Lamplight clear",
    "limits: limits/cone-6",
    "SiO2:Al2O3 in 8.8..9.2"
);
screen!(
    adjust_the_expansion,
    Bench::empty(),
    "adjust",
    "Lamplight clear",
    "expansion <= 5.9",
    "SiO2:Al2O3 in 7..11"
);
screen!(
    adjust_to_the_least_cost,
    Bench::empty(),
    "adjust",
    "Lamplight clear",
    "SiO2 in 2.9..3.2",
    "Al2O3 in 0.34..0.38",
    "K2O >= 0.1",
    "--least",
    "cost"
);
screen!(
    adjust_the_impossible,
    Bench::empty(),
    "adjust",
    "Lamplight clear",
    "SiO2 >= 3.5",
    "Al2O3 <= 0.3",
    "SiO2:Al2O3 in 7..10",
    "keep kaolin"
);
screen!(
    reach_a_unity_formula,
    Bench::empty(),
    "reach",
    "--unity",
    "K2O 0.3, CaO 0.7, Al2O3 0.5, SiO2 4",
    "--with",
    "potash feldspar",
    "--with",
    "whiting",
    "--with",
    "kaolin",
    "--with",
    "silica"
);
screen!(
    reach_from_the_shelf,
    Bench::example_studio(),
    "reach",
    "--unity",
    "KNaO 0.3, 0.65 CaO, MgO 0.05, Al2O3 0.45, SiO2 3.6"
);
screen!(
    reach_with_few_materials,
    Bench::empty(),
    "reach",
    "Lamplight clear",
    "--with",
    "feldspar B",
    "--with",
    "feldspar C",
    "--with",
    "silica",
    "--with",
    "whiting",
    "--with",
    "kaolin",
    "--at-most",
    "4"
);
screen!(
    affected_by_a_missing_feldspar,
    Bench::empty(),
    "affected",
    "--out",
    "feldspar B"
);
screen!(
    swap_among_twins,
    twins(),
    "swap",
    "two.yaml",
    "--out",
    "feldspar A",
    "--with",
    "feldspar B",
    "--materials",
    "m.yaml"
);

/// Two silicas of one analysis in a recipe: their weights are not unique.
fn twins() -> Bench {
    let bench = Bench::empty();
    let spar = |name: &str, potash: f64| {
        format!(
            "  - {{ name: {name}, kind: mineral, basis: fired, loss_on_ignition: 0, source: x, analysis: {{ SiO2: {}, Al2O3: 18, K2O: {potash} }} }}\n",
            82.0 - potash
        )
    };
    let silica = "  - { name: fine silica, kind: mineral, formula: SiO2, source: x }\n  - { name: coarse silica, kind: mineral, formula: SiO2, source: x }\n";
    bench.file(
        "m.yaml",
        format!(
            "materials:\n{}{}{silica}",
            spar("feldspar A", 14.0),
            spar("feldspar B", 13.0)
        ),
    );
    bench.file(
        "two.yaml",
        "glaze: Two silicas\nparts: { feldspar A: 40, fine silica: 20, coarse silica: 10, whiting: 18, kaolin: 12 }\n",
    );
    bench
}

#[test]
fn a_new_lot_is_compared_glaze_by_glaze() {
    let bench = Bench::empty();
    bench.file(
        "lot.yaml",
        "materials:\n  - { name: kaolin, kind: clay, basis: as supplied, loss_on_ignition: 12.5, source: new sheet, analysis: { SiO2: 48.0, Al2O3: 36.0, K2O: 1.5, Fe2O3: 0.9, CaO: 0.2 } }\n",
    );
    insta::assert_snapshot!(bench.screen(&["affected", "--new-lot", "lot.yaml"]));
}

#[test]
fn the_impossible_names_its_clash_in_json() {
    let ran = Bench::empty().run(&[
        "adjust",
        "Lamplight clear",
        "SiO2 >= 3.5",
        "SiO2 <= 3",
        "--format",
        "json",
    ]);
    let compact: String = ran.stdout.split_whitespace().collect();
    assert_eq!(ran.code, 1);
    assert!(
        compact.contains(r#""possible":false"#) && compact.contains(r#""clash":["SiO2>=3.5","SiO2<=3"]"#),
        "{compact}"
    );
}

#[test]
fn in_a_studio_nothing_is_said_about_the_example() {
    let bench = Bench::example_studio();
    let ran = bench.run_in("studio", &["unity", "lamplight CLEAR"]);
    assert_eq!((ran.code, ran.stderr.as_str()), (0, ""));
    let from_below = bench.run_in("studio/glazes", &["unity", "lamplight_clear.yaml"]);
    assert_eq!(from_below.stdout, ran.stdout);
}

#[test]
fn a_copied_script_with_one_number_changed_runs() {
    let bench = Bench::example_studio();
    let shipped = bench.run(&["script", "show", "check/alkali-balance", "--text"]);
    assert_eq!(shipped.code, 0);
    let strict = shipped.stdout.replacen("value: 0.35", "value: 0.05", 1);
    assert_ne!(strict, shipped.stdout, "the shipped script has no `value: 0.35`");
    bench.file("studio/scripts/check/alkali-balance.rhai", &strict);
    let glaze = [
        "check",
        "Lamplight clear",
        "--use",
        "tableware",
        "--script",
        "check/alkali-balance",
    ];
    let before = bench.run(&glaze);
    let after = bench.run_in("studio", &glaze);
    assert!(!before.stdout.contains("caution:"), "{}", before.stdout);
    assert!(after.stdout.contains("caution:"), "{}", after.stdout);
}

#[test]
fn a_reader_who_goes_away_is_no_error() {
    use std::io::Read;
    use std::process::{Command, Stdio};
    let mut child = Command::new(env!("CARGO_BIN_EXE_glost"))
        .args(["materials", "--format", "json"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut first = [0_u8; 10];
    let mut pipe = child.stdout.take().unwrap();
    pipe.read_exact(&mut first).unwrap();
    drop(pipe);
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(0));
    assert_eq!(String::from_utf8_lossy(&output.stderr), "");
}
screen!(unity_by_hand, Bench::empty(), "unity", "Lamplight clear", "--steps");

screen!(
    weigh_by_hand,
    Bench::empty(),
    "weigh",
    "Millpond copper green",
    "--bucket",
    "5 l",
    "--steps"
);
screen!(
    slurry_by_hand,
    Bench::empty(),
    "slurry",
    "Hearthside clear",
    "--jar",
    "500 ml = 780 g",
    "--volume",
    "5 l",
    "--steps"
);
screen!(
    swap_by_hand,
    Bench::empty(),
    "swap",
    "Lamplight clear",
    "--out",
    "feldspar A",
    "--by-hand"
);
screen!(
    blend_by_hand,
    Bench::empty(),
    "blend",
    "line",
    "Lamplight clear",
    "Highfell clear",
    "--steps",
    "3",
    "--by-hand"
);
screen!(
    blend_wet_by_hand,
    Bench::empty(),
    "blend",
    "line",
    "Lamplight clear",
    "Lamplight clear + 4 % rutile",
    "--volume",
    "30 ml",
    "--steps",
    "3",
    "--steps"
);
