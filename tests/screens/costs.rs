//! What a glaze costs, as a user would ask, right and wrong.

use super::bench::Bench;

screens! {
    cost_of_a_recipe: 0, ["cost", "Millpond copper green"];
    cost_of_an_area: 0, ["cost", "Lamplight clear", "--area", "4.2 m2", "--coverage", "0.9 kg/m2", "--loss", "20 %", "--density", "1.45"];
    cost_of_pieces_from_a_bag: 0, ["cost", "bought clear", "--pieces", "120", "--per-piece", "35 g", "--loss", "15 %"];
    cost_as_json: 0, ["cost", "Lamplight clear", "--pieces", "30", "--format", "json"];
    cost_of_a_number: 2, ["cost", "Lamplight clear", "--area", "4.2"];
    cost_of_no_area: 2, ["cost", "Lamplight clear", "--area", "0 m2"];
    cost_of_a_layer_without_area: 2, ["cost", "Lamplight clear", "--coverage", "0.9 kg"];
    cost_of_a_layer_too_thick: 2, ["cost", "Lamplight clear", "--coverage", "90 kg/m2"];
    cost_of_a_loss_of_what: 2, ["cost", "Lamplight clear", "--loss", "20"];
    cost_of_a_loss_above_all: 2, ["cost", "Lamplight clear", "--loss", "120 %"];
    cost_of_a_loss_of_all: 2, ["cost", "Lamplight clear", "--loss", "100 %"];
    cost_of_half_a_piece: 2, ["cost", "Lamplight clear", "--pieces", "0.5"];
    cost_of_a_piece_of_nothing: 2, ["cost", "Lamplight clear", "--per-piece", "0 g"];
    cost_of_a_negative_piece: 2, ["cost", "Lamplight clear", "--per-piece=-40 g"];
    cost_at_no_density: 2, ["cost", "Lamplight clear", "--density", "2.15"];
    cost_of_nothing_here: 2, ["cost", "Lamplit clear"];
}

/// A folder whose studio counts in EUR, with these prices.
fn priced(clay: &str, cobalt: &str) -> Bench {
    let bench = Bench::empty();
    bench.file("studio.yaml", "studio: Two Rivers\ncurrency: EUR\n");
    bench.file(
        "materials/own.yaml",
        format!(
            "materials:\n  - {{ name: clay, kind: clay, analysis: unknown, source: own{clay} }}\n  \
             - {{ name: blue, kind: stain, analysis: unknown, source: own{cobalt} }}\n"
        ),
    );
    bench.file(
        "glazes/slip.yaml",
        "glaze: Slip\nparts: { clay: 100 }\nadditions: { blue: 3 }\ndensity: 1.4\n",
    );
    bench
}

#[test]
fn a_missing_price_is_named_and_the_sum_is_at_least() {
    let bench = priced(", price: 9 EUR per 12.5 kg", "");
    let screen = bench.screen(&["cost", "Slip", "--area", "2 m2"]);
    assert!(screen.ends_with("--- exit 0\n"), "{screen}");
    insta::assert_snapshot!(screen);
}

#[test]
fn another_currency_is_named_and_not_added() {
    let bench = priced(", price: 0.72 EUR/kg", ", price: 30 USD per 500 g");
    insta::assert_snapshot!(bench.screen(&["cost", "Slip"]));
}

#[test]
fn no_price_at_all_is_no_answer() {
    let screen = priced("", "").screen(&["cost", "Slip"]);
    assert!(screen.ends_with("--- exit 1\n"), "{screen}");
    insta::assert_snapshot!(screen);
}

#[test]
fn a_glaze_of_lead_is_not_costed() {
    let bench = Bench::empty();
    bench.file(
        "glaze.yaml",
        "glaze: Old page\nparts: { red lead: 60, silica: 30, kaolin: 10 }\n",
    );
    let screen = bench.screen(&["cost", "glaze.yaml"]);
    assert!(screen.ends_with("--- exit 2\n"), "{screen}");
    insta::assert_snapshot!(screen);
}

#[test]
fn costs_and_forms_of_any_size_never_panic() {
    let bench = priced(", price: 1e9 EUR per 0.001 g", ", price: 0 EUR/kg");
    for (option, values) in [
        ("--area", ["1e9 m2", "1e-9 cm2", "4 furlongs", "nan m2", "-1 m2", ""]),
        (
            "--coverage",
            ["0.02 kg/m2", "1e9 kg/m2", "1 kg/0 m2", "kg", "/", "1 per 1"],
        ),
        ("--loss", ["0 %", "95 %", "1e-9 %", "%", "-0 %", "nan %"]),
        ("--pieces", ["1e7", "1e8", "-3", "1e999", "two", "1,5"]),
        ("--per-piece", ["1e9 t", "1e-9 mg", "1 piece", "", "0,5 g", "5"]),
        ("--density", ["1.01", "2.04", "0", "1e9", "thick", "145 g/100 ml"]),
    ] {
        for value in values {
            let ran = bench.run(&["cost", "Slip", &format!("{option}={value}")]);
            assert!([0, 2].contains(&ran.code), "{option} {value}: {}", ran.stderr);
            assert!(
                !ran.stdout.contains("NaN") && !ran.stdout.contains("inf "),
                "{}",
                ran.stdout
            );
        }
    }
    for dose in [
        "100 % whiting",
        "1e9 t whiting",
        "1e-9 mg whiting",
        "1/0 % whiting",
        "% whiting",
        "¼ % whiting",
        "",
        "g",
    ] {
        let ran = bench.run(&["convert", dose, "--to", "wollastonite"]);
        assert!([0, 2].contains(&ran.code), "{dose}: {}", ran.stderr);
        assert!(
            !ran.stdout.contains("NaN") && !ran.stdout.contains("inf "),
            "{}",
            ran.stdout
        );
    }
}

/// The example studio with a table of one's own.
fn with_table(csv: &str, arguments: &[&str]) -> String {
    let bench = Bench::empty();
    bench.file("in.csv", csv);
    bench.screen(arguments)
}

const PLAN: [&str; 4] = ["run", "season-order", "--table", "plan=in.csv"];
const INVOICES: [&str; 4] = ["run", "price-watch", "--table", "invoices=in.csv"];
const LAB: [&str; 4] = ["run", "lab-compare", "--table", "results=in.csv"];
const ROUND: [&str; 4] = ["run", "density-round", "--table", "round=in.csv"];

macro_rules! tables {
    ($($name:ident: $exit:literal, $csv:expr, $run:expr;)+) => {
        $(#[test]
        fn $name() {
            let screen = with_table($csv, &$run);
            assert!(screen.ends_with(concat!("--- exit ", $exit, "\n")), "{screen}");
            insta::assert_snapshot!(stringify!($name), screen);
        })+
    };
}

tables! {
    season_order: 0, "glaze;kg;pieces;grams\nLamplight clear;70;;\nMillpond copper green;;1500;38\nbought clear;15;;\n", PLAN;
    season_order_by_weight_alone: 0, "glaze,kg\nHighfell clear,\"12,5\"\n", PLAN;
    season_order_of_an_unknown_glaze: 2, "glaze,kg\nLamplit clear,20\n", PLAN;
    season_order_of_no_amount: 2, "glaze,kg\nLamplight clear,\n", PLAN;
    season_order_of_less_than_nothing: 2, "glaze,kg\nLamplight clear,-20\n", PLAN;
    price_watch: 0, "date,material,kg,price,currency\n2026-01-10,silica,25,33,\n2025-03-02,silica,25,27.5,\n2026-02-01,feldspar A,25,48,EUR\n2026-02-01,tin oxide,1,47,USD\n", INVOICES;
    price_watch_of_a_date_in_words: 2, "date,material,kg,price\nlast May,silica,25,27.5\n", INVOICES;
    price_watch_of_no_kilos: 2, "date,material,kg,price\n2026-01-10,silica,0,27.5\n", INVOICES;
    density_round: 0, "bucket,glaze,target,gross,tare,jar_ml,jar_g\nwhite,Lamplight clear,1.45,13480,620,500,735\nblue,,1.45,9000,620,500,480\nclear,bought clear,1.40,9000,620,500,690\namber,,1.45,9000,620,500,724\n", ROUND;
    lab_compare: 0, "metal,value,unit,shape,glaze,version\nPb,<0.01,mg/l,cup,G2 with colour,v1\nCd,<0.005,mg/l,cup,G2 with colour,v1\nCu,0.9,mg/l,cup,G2 with colour,v1\nMn,0.11,mg/l,cup,G2 with colour,v1\nBa,0.02,mg/l,cup,G2 with colour,v1\n", LAB;
    lab_compare_above_a_limit: 0, "metal,value,unit,shape,market\nPb,2.5,mg/l,flat,US\nPb,2.5,mg/l,flat,EU\nCd,0.24,mg/l,pitcher,US\nPb,0.7,ppm,cup,US\nPb,<1,mg/l,cup,ISO\n", LAB;
    lab_compare_of_an_unknown_shape: 2, "metal,value,unit,shape\nPb,0.2,mg/l,bowl\n", LAB;
    lab_compare_of_no_number: 2, "metal,value,unit,shape\nPb,none found,mg/l,cup\n", LAB;
    density_round_without_a_tare: 2, "bucket,target,gross,tare,jar_ml,jar_g\nwhite,1.45,13480,,500,735\n", ROUND;
}

#[test]
fn a_script_that_asks_for_a_missing_price_is_told_which() {
    let bench = priced(", price: 0.72 EUR/kg", "");
    bench.file(
        "scripts/run/dear.rhai",
        "// Dear.\nconst ABOUT = #{ api: 1, kind: \"run\", title: \"Dear\", source: \"own\" };\n\
         fn run(studio, option) {\n    for glaze in studio.glazes { say(`${glaze.unpriced} ${glaze.cost}`); }\n}\n",
    );
    let screen = bench.screen(&["run", "run/dear"]);
    assert!(screen.ends_with("--- exit 2\n"), "{screen}");
    insta::assert_snapshot!(screen);
}
