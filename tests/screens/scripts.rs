//! Scripts over the whole studio, and what their authors see.

use super::bench::Bench;

macro_rules! screen {
    ($name:ident, $($word:expr),+) => {
        #[test]
        fn $name() {
            insta::assert_snapshot!(stringify!($name), Bench::empty().screen(&[$($word),+]));
        }
    };
}

screen!(run_out_of_stock, "run", "out-of-stock");
screen!(run_out_of_stock_far, "run", "out-of-stock", "--set", "material=whiting");
screen!(run_as_csv, "run", "out-of-stock", "--format", "csv");
screen!(run_as_json, "run", "out-of-stock", "--format", "json");
screen!(
    run_silica_ladder,
    "run",
    "silica-ladder",
    "--set",
    "glaze=Lamplight clear"
);
screen!(
    run_silica_ladder_of_a_powder,
    "run",
    "silica-ladder",
    "--set",
    "glaze=bought clear"
);
screen!(
    run_nice_batch,
    "run",
    "nice-batch",
    "--set",
    "glaze=Lamplight clear",
    "--set",
    "least=3",
    "--set",
    "most=9",
    "--set",
    "sizes=7"
);
screen!(run_same_chemistry, "run", "same-chemistry", "--set", "near=25");
screen!(
    swap_to_the_cheapest,
    "swap",
    "Lamplight clear",
    "--out",
    "feldspar A",
    "--script",
    "swap/cheapest"
);
screen!(
    swap_that_no_recipe_meets,
    "swap",
    "Lamplight clear",
    "--out",
    "feldspar A",
    "--script",
    "swap/cheapest",
    "--set",
    "distance=0.2"
);
screen!(script_test_of_a_shipped_one, "script", "test", "check/alkali-balance");
screen!(script_reference, "script", "reference");
screen!(script_show_of_a_run, "script", "show", "run/new-lot");

macro_rules! refused {
    ($($name:ident: $screen:expr;)+) => {
        $(#[test]
        fn $name() {
            let screen = $screen;
            assert!(screen.ends_with("--- exit 2\n"), "{screen}");
            insta::assert_snapshot!(stringify!($name), screen);
        })+
    };
}

const WATCH: &str = "// Cost of what was bought.
const ABOUT = #{ api: 1, kind: \"run\", title: \"Bought\", source: \"own\",
    tables: #{ invoices: [\"material: material\", \"kg: number\", \"price: number\"] } };
fn run(studio, option) {
    let list = table(#{ columns: [\"material\", #{ name: \"each\", unit: \"EUR/kg\", decimals: 2 }] });
    for row in studio.table(\"invoices\") { list.row([row.material.name, row.price / row.kg]); }
}
";

fn watching(csv: &str) -> String {
    let bench = Bench::empty();
    bench.file("watch.rhai", WATCH);
    bench.file("in.csv", csv);
    bench.screen(&["run", "watch.rhai", "--table", "invoices=in.csv"])
}

refused! {
    run_of_a_check: Bench::empty().screen(&["run", "alkali-balance"]);
    run_with_a_table_nobody_asked_for: Bench::empty().screen(&["run", "out-of-stock", "--table", "stock=stock.csv"]);
    run_without_saying_which_glaze: Bench::empty().screen(&["run", "silica-ladder"]);
    run_on_a_misspelt_material: Bench::empty().screen(&["run", "out-of-stock", "--set", "material=whitting"]);
    csv_of_something_else: Bench::empty().screen(&["formula", "CaCO3", "--format", "csv"]);
    table_without_a_column: watching("material;kilos;price\nwhiting;25;20\n");
    table_with_a_bad_number: watching("material,kg,price\nwhiting,25,20\nsilica,25 bags,18\n");
    table_with_a_misspelt_material: watching("material,kg,price\nwhitting,25,20\n");
    table_with_a_missing_value: watching("material,kg,price\nwhiting,25,20\nsilica,,18\n");
    table_that_is_not_there: {
        let bench = Bench::empty();
        bench.file("watch.rhai", WATCH);
        bench.screen(&["run", "watch.rhai", "--table", "invoices=out.csv"])
    };
    table_not_handed_over: {
        let bench = Bench::empty();
        bench.file("watch.rhai", WATCH);
        bench.screen(&["run", "watch.rhai"])
    };
    new_script_of_no_kind: Bench::empty().screen(&["script", "new", "chek", "mine"]);
    new_script_without_a_name: Bench::empty().screen(&["script", "new", "check", "../mine"]);
}

#[test]
fn a_table_is_read_as_spreadsheets_write_it() {
    let screen = watching("material;kg;price\nWhiting;12,5;15\n");
    assert!(screen.ends_with("--- exit 0\n"), "{screen}");
    insta::assert_snapshot!(screen);
}

#[test]
fn a_new_script_works_where_it_lands_and_is_never_written_over() {
    let bench = Bench::example_studio();
    for kind in ["limits", "check", "swap", "blend", "run"] {
        let made = bench.run_in("studio", &["script", "new", kind, "mine"]);
        assert_eq!(made.code, 0, "{}", made.stderr);
        let file = bench.path().join(format!("studio/scripts/{kind}/mine.rhai"));
        let before = std::fs::read_to_string(&file).unwrap();
        let tested = bench.run_in("studio", &["script", "test", &format!("{kind}/mine")]);
        assert_eq!(tested.code, 0, "{}{}", tested.stdout, tested.stderr);
        let again = bench.run_in("studio", &["script", "new", kind, "mine"]);
        assert_eq!(again.code, 2, "{}", again.stdout);
        assert_eq!(std::fs::read_to_string(&file).unwrap(), before);
    }
    let used = bench.run_in(
        "studio",
        &[
            "swap",
            "Lamplight clear",
            "--out",
            "feldspar A",
            "--script",
            "swap/mine",
        ],
    );
    assert_eq!(used.code, 0, "{}", used.stderr);
    let used = bench.run_in("studio", &["run", "run/mine"]);
    assert_eq!(used.code, 0, "{}", used.stderr);
    let used = bench.run_in(
        "studio",
        &[
            "blend",
            "line",
            "Lamplight clear",
            "Highfell clear",
            "--script",
            "blend/mine",
        ],
    );
    assert_eq!(used.code, 0, "{}", used.stderr);
    let all = bench.run_in("studio", &["script", "test"]);
    assert_eq!(all.code, 0, "{}", all.stdout);
}

#[test]
fn a_test_that_fails_shows_its_line() {
    let bench = Bench::empty();
    let made = bench.screen(&["script", "new", "check", "mine"]);
    insta::assert_snapshot!("script_new", made);
    let file = bench.path().join("mine.rhai");
    let text = std::fs::read_to_string(&file).unwrap();
    std::fs::write(&file, text.replace("SiO2: 1.8", "SiO2: 2.8")).unwrap();
    let screen = bench.screen(&["script", "test", "mine.rhai"]);
    assert!(screen.ends_with("--- exit 1\n"), "{screen}");
    insta::assert_snapshot!("script_test_fails", screen);
}

#[test]
fn definitions_go_over_their_own_older_file_only() {
    let bench = Bench::empty();
    for _ in 0..2 {
        let made = bench.run(&["script", "reference", "--definitions", "defs"]);
        assert_eq!(made.code, 0, "{}", made.stderr);
    }
    bench.file("defs/glost.d.rhai", "mine");
    assert_eq!(bench.run(&["script", "reference", "--definitions", "defs"]).code, 2);
}

#[test]
fn a_new_lot_beside_the_old_one() {
    let bench = Bench::empty();
    bench.file(
        "lot.yaml",
        "materials:\n  - { name: lot 15, kind: mineral, basis: as supplied, source: sheet, loss_on_ignition: 0.4,\n      analysis: { SiO2: 66.0, Al2O3: 18.6, K2O: 9.4, Na2O: 4.1, CaO: 0.6, Fe2O3: 0.10 } }\n",
    );
    insta::assert_snapshot!(bench.screen(&[
        "run",
        "new-lot",
        "--materials",
        "lot.yaml",
        "--set",
        "old=feldspar A",
        "--set",
        "new=lot 15"
    ]));
}

/// Where capitals make no difference one of two such files would be the other.
#[test]
fn two_scripts_whose_names_differ_in_capitals_alone() {
    let bench = Bench::example_studio();
    let text = "const ABOUT = #{ api: 1, kind: \"check\", title: \"Own rule\", source: \"own\" };\nfn check(glaze, option) { }\n";
    for name in ["check/Own-rule", "check/own-rule"] {
        bench.file(&format!("studio/scripts/{name}.rhai"), text);
    }
    let named = bench.run_in("studio", &["check", "Lamplight clear", "--script", "own-rule"]);
    assert_eq!(named.code, 2, "{}", named.stdout);
    insta::assert_snapshot!("alike_scripts_named", named.stderr);
    let checked = bench.run_in("studio", &["check", "Lamplight clear"]);
    let told: Vec<&str> = checked
        .stdout
        .lines()
        .filter(|line| line.contains("own-rule"))
        .collect();
    assert_eq!(checked.code, 1, "{}", checked.stdout);
    insta::assert_snapshot!("alike_scripts_checked", told.join("\n"));
}

/// It would run beside the shipped one, not instead of it.
#[test]
fn a_script_named_like_a_shipped_one_but_for_capitals() {
    let bench = Bench::example_studio();
    let text = "const ABOUT = #{ api: 1, kind: \"check\", title: \"Own rule\", source: \"own\" };\nfn check(glaze, option) { }\n";
    bench.file("studio/scripts/check/Barium.rhai", text);
    let named = bench.run_in("studio", &["check", "Lamplight clear", "--script", "Barium"]);
    assert_eq!(named.code, 2, "{}", named.stdout);
    insta::assert_snapshot!("alike_a_shipped_script", named.stderr);
    let shipped = bench.run_in("studio", &["check", "Lamplight clear", "--script", "barium"]);
    assert_eq!(shipped.code, 0, "{}", shipped.stderr);
}
