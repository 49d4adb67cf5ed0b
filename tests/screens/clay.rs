//! Clays as a user would meet them, right and wrong.

use super::bench::Bench;

const ONE_BAR: &str = "dry 412.0 g, soaked 432.6 g, boiled 436.7 g";

screens! {
    clay_list: 0, ["clay"];
    clay_of_the_example: 0, ["clay", "buff stoneware"];
    clay_weighed_without_a_file: 0, ["clay", "--weigh", ONE_BAR];
    clay_for_a_bench_outdoors: 1, ["clay", "--weigh", ONE_BAR, "--use", "outdoor"];
    clay_of_a_dense_body: 0, ["clay", "--weigh", "dry 398.0 g, soaked 400.4 g, boiled 402.0 g", "--use", "outdoor"];
    clay_three_bars: 0, ["clay", "white earthenware", "--weigh", "dry 101.2 g, soaked 109.9 g, boiled 111.3 g; dry 98.7 g, soaked 107.4 g, boiled 108.7 g; dry 99.5 g, soaked 108.2 g, boiled 109.4 g"];
    clay_as_json: 0, ["clay", "buff stoneware", "--format", "json"];
    clay_printed_gives_no_stress: 0, ["clay", "buff stoneware", "--glaze", "Lamplight clear", "--use", "tableware"];
    clay_and_a_powder: 2, ["clay", "buff stoneware", "--glaze", "bought clear"];
    clay_use_of_nothing: 2, ["clay", "--use", "outdoor"];
    clay_that_drinks_its_weight: 2, ["clay", "--weigh", "dry 100 g, boiled 400 g"];
    clay_boiled_only: 0, ["clay", "--weigh", "dry 2 lb 3 oz, boiled 2 lb 5 oz", "--use", "tableware"];
    clay_unknown: 2, ["clay", "buff stonewear"];
    clay_wet_below_dry: 2, ["clay", "--weigh", "dry 432.6 g, soaked 412.0 g"];
    clay_boiled_below_soaked: 2, ["clay", "--weigh", "dry 412.0 g, soaked 436.7 g, boiled 432.6 g"];
    clay_weights_without_names: 2, ["clay", "--weigh", "412 g, 432 g, 436 g"];
    clay_weight_without_a_unit: 2, ["clay", "--weigh", "dry 412, boiled 436.7 g"];
    clay_for_no_use: 2, ["clay", "buff stoneware", "--use", "flor"];
    clay_table_that_is_not_there: 2, ["clay", "buff stoneware", "--dilatometer", "curve.csv"];
}

fn screen_of_file(text: &str) -> String {
    let bench = Bench::empty();
    bench.file("clay.yaml", text);
    bench.screen(&["clay", "clay.yaml"])
}

macro_rules! pinned {
    ($($name:ident: $exit:literal, $text:expr;)+) => {
        $(#[test]
        fn $name() {
            let screen = screen_of_file($text);
            assert!(screen.ends_with(concat!("--- exit ", $exit, "\n")), "{screen}");
            insta::assert_snapshot!(stringify!($name), screen);
        })+
    };
}

pinned! {
    clay_file_with_everything: 0, "clay: grogged white\ncone: 6\nuse: outdoor\nexpansion: 7.1e-6/K at 20-500 C\nmeasured: true\nmodulus: 48 GPa\nweighings:\n  - { dry: 101.22 g, soaked: 103.01 g, boiled: 103.78 g }\n  - { dry: 98.70 g, soaked: 100.44 g, boiled: 101.15 g }\n  - { dry: 99.51 g, soaked: 101.32 g, boiled: 102.03 g }\nshrinkage: { wet: 100 mm, dry: 94 mm, fired: 88 mm }\nsource: own bars\n";
    clay_file_with_a_table: 0, "clay: white body\ncone: 6\ndilatometer:\n  - { c: 20, percent: 0 }\n  - { c: 300, percent: 0.18 }\n  - { c: 400, percent: 0.266 }\n  - { c: 600, percent: 0.47 }\nsource: a laboratory, invented\n";
    clay_file_of_nothing: 0, "clay: found by the river\n";
    clay_percent_without_a_temperature: 2, "clay: A\nexpansion: 0.258 %\n";
    clay_expansion_without_its_power: 2, "clay: A\nexpansion: 7.8\n";
    clay_expansion_of_no_ceramic: 2, "clay: A\nexpansion: 7.8e-5\n";
    clay_measured_what: 2, "clay: A\nmeasured: true\n";
    clay_file_wet_below_dry: 2, "clay: A\nweighings: { dry: 412.0 g, soaked: 402.0 g, boiled: 436.7 g }\n";
    clay_second_bar_wrong: 2, "clay: A\nweighings:\n  - { dry: 412.0 g, boiled: 436.7 g }\n  - { dry: 412.0 g, boiled: 406.7 g }\n";
    clay_bar_that_grows: 2, "clay: A\nshrinkage: { wet: 100 mm, fired: 108 mm }\n";
    clay_table_that_falls: 2, "clay: A\ndilatometer: [{ c: 20, percent: 0 }, { c: 300, percent: 0.18 }, { c: 200, percent: 0.1 }]\n";
    clay_table_of_one_point: 2, "clay: A\ndilatometer: [{ c: 20, percent: 0 }]\n";
    clay_table_in_a_file_that_is_not_there: 2, "clay: A\ndilatometer: curve.csv\n";
    clay_modulus_of_rubber: 2, "clay: A\nmodulus: 45 MPa\n";
    clay_misspelt_key: 2, "clay: A\nweighing: { dry: 412.0 g }\n";
    clay_absorbs_everything: 2, "clay: A\nabsorption: 600\n";
}

const MEASURED: &str = "clay: white body\nabsorption: 2.5\ndilatometer:\n  - { c: 20, percent: 0 }\n  - { c: 300, percent: 0.18 }\n  - { c: 400, percent: 0.25 }\n  - { c: 560, percent: 0.36 }\n  - { c: 580, percent: 0.40 }\n  - { c: 700, percent: 0.47 }\n";

#[test]
fn a_glaze_on_a_measured_clay_is_squeezed_or_stretched() {
    let bench = Bench::empty();
    bench.file("clay.yaml", MEASURED);
    insta::assert_snapshot!(
        "clay_with_stress",
        bench.screen(&["clay", "clay.yaml", "--glaze", "Lamplight clear", "--use", "tableware"])
    );
    bench.file(
        "tile.yaml",
        "clay: tile body\nexpansion: 6.4e-6/K at 20-500 C\nmeasured: true\nuse: wall tile\nabsorption: 12\n",
    );
    insta::assert_snapshot!(
        "clay_with_stress_unsure",
        bench.screen(&["clay", "tile.yaml", "--glaze", "Lamplight clear", "--use", "wall tile"])
    );
    // Far from any glass of the models: answered, warned.
    bench.file("odd.yaml", "glaze: Nearly silica\nparts: { silica: 97, whiting: 3 }\n");
    insta::assert_snapshot!(
        "clay_with_stress_outside_the_models",
        bench.screen(&["clay", "clay.yaml", "--glaze", "odd.yaml", "--use", "tableware"])
    );
}

#[test]
fn fit_tells_the_stress_on_a_measured_clay_only() {
    let bench = Bench::empty();
    bench.file("clay.yaml", MEASURED);
    let json = |clay: &str| {
        let ran = bench.run(&["fit", "Lamplight clear", "--clay", clay, "--format", "json"]);
        serde_json::from_str::<serde_json::Value>(&ran.stdout).unwrap()["stress_mpa"].clone()
    };
    assert!(json("buff stoneware").is_null());
    let stress = json("clay.yaml");
    let [value, low, high] = ["value", "low", "high"].map(|key| stress[key].as_f64().unwrap());
    assert!(low < value && value < high && value < 0.0, "{stress}");
    let ran = bench.run(&["fit", "Lamplight clear", "--clay", "clay.yaml"]);
    let words = ran.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
    let says = format!("this glaze is squeezed by {:.0} MPa", -value);
    assert!(
        words.contains(&says) && words.contains("pieces on this clay decide"),
        "{}",
        ran.stdout
    );
}

#[test]
fn a_table_lies_beside_the_clay_s_file() {
    let bench = Bench::example_studio();
    bench.file("studio/clays/own.yaml", "clay: own body\ndilatometer: own curve.csv\n");
    bench.file("studio/clays/own curve.csv", "c,percent\n20,0\n400,0.266\n600,0.47\n");
    let ran = bench.run_in("studio", &["clay", "own body"]);
    assert_eq!((ran.code, ran.stderr.as_str()), (0, ""));
    assert!(
        ran.stdout.contains("7.0 x 1e-6/K, measured by dilatometer at 20-600 C"),
        "{}",
        ran.stdout
    );
    let by_path = bench.run_in("studio/glazes", &["clay", "../clays/own.yaml"]);
    assert_eq!(by_path.stdout, ran.stdout);
    bench.file("studio/clays/own curve.csv", "temperature,percent\n20,0\n");
    let broken = bench.run_in("studio", &["clay", "own body"]);
    assert_eq!(broken.code, 2);
    insta::assert_snapshot!(broken.stderr);
    // One file that can't be used stops only whoever asks for it.
    assert_eq!(bench.run_in("studio", &["clay", "buff stoneware"]).code, 0);
}
