//! Plans of tiles: every design, how it is made, kept, and shown with results.

use super::bench::Bench;

macro_rules! screen {
    ($name:ident, $($word:expr),+ $(,)?) => {
        #[test]
        fn $name() {
            insta::assert_snapshot!(stringify!($name), Bench::empty().screen(&[$($word),+]));
        }
    };
}

const COPPER: &str = "Lamplight clear + 3 % copper carbonate";
const IRON: &str = "Lamplight clear + 6 % red iron oxide";
const RUTILE: &str = "Lamplight clear + 5 % rutile";

screen!(
    a_triangle_for_a_class,
    "blend",
    "triaxial",
    COPPER,
    IRON,
    RUTILE,
    "--volume",
    "30 ml",
    "--syringe",
    "60 ml",
    "--students",
    "7",
);
screen!(
    a_triangle_on_gram_scales,
    "blend",
    "triaxial",
    COPPER,
    IRON,
    RUTILE,
    "--volume",
    "30 ml",
    "--scales",
    "1 g to 15 kg",
    "--steps",
    "2",
);
screen!(
    a_powder_with_more_silica,
    "blend",
    "series",
    "bought clear",
    "--add",
    "silica 0..9 %",
    "--steps",
    "4",
);
screen!(
    a_series_of_chosen_steps_on_a_material,
    "blend",
    "series",
    "talc",
    "--add",
    "kaolin 0/5/20 %",
    "--volume",
    "20 ml",
    "--format",
    "json",
);
screen!(
    a_series_that_doubles_needs_a_pre_mix,
    "blend",
    "series",
    "Lamplight clear",
    "--add",
    "cobalt carbonate 0.125..2 % geometric",
);
screen!(
    a_grid_of_two_bases,
    "blend",
    "grid",
    "Lamplight clear",
    "Highfell clear",
    "Lamplight clear + 1 % cobalt carbonate",
    "Highfell clear + 1 % cobalt carbonate",
    "--rows",
    "3",
    "--volume",
    "20 ml",
);
screen!(
    a_quadraxial_in_layers,
    "blend",
    "quadraxial",
    "Lamplight clear",
    COPPER,
    IRON,
    RUTILE,
    "--steps",
    "2",
    "--volume",
    "30 ml",
);
screen!(
    a_centroid_of_three,
    "blend",
    "centroid",
    COPPER,
    IRON,
    RUTILE,
    "--volume",
    "30 ml"
);
screen!(
    a_ladder_across_a_limit,
    "blend",
    "ladder",
    "Lamplight clear",
    "Lamplight clear + 25 % silica",
    "--limits",
    "cone-6",
);
screen!(
    silica_and_alumina_around_a_glaze,
    "blend",
    "silica-alumina",
    "Lamplight clear",
    "--rows",
    "3",
    "--columns",
    "3",
    "--volume",
    "25 ml",
);
screen!(
    extremes_of_a_region,
    "blend",
    "extremes",
    "Lamplight clear",
    "Highfell clear",
    "Driftstone satin matt",
    "--within",
    "end 1 in 20..60 %",
    "--within",
    "dolomite <= 8 %",
    "--tiles",
    "7",
);

#[test]
fn a_plan_is_kept_and_shows_its_results() {
    let bench = Bench::example_studio();
    let made = [
        "blend",
        "line",
        "Lamplight clear",
        COPPER,
        "--studio",
        "studio",
        "--steps",
        "3",
        "--save",
        "copper",
        "--sheet",
        "results.csv",
        "--page",
        "set.html",
    ];
    let saved = bench.run(&made);
    assert_eq!(saved.code, 0, "{}", saved.stderr);
    assert!(
        saved.stdout.contains("Saved as") && saved.stdout.contains("copper/A1"),
        "{}",
        saved.stdout
    );
    let sheet = std::fs::read_to_string(bench.path().join("results.csv")).unwrap();
    insta::assert_snapshot!("a_blank_result_sheet", sheet);
    let page = std::fs::read_to_string(bench.path().join("set.html")).unwrap();
    for part in [
        "<svg",
        "copper: mixing",
        "What the tiles look like",
        "copper: answer key",
        "food contact",
    ] {
        assert!(page.contains(part), "{part}");
    }
    // The day is today's; the rest of the file is the plan.
    let file = bench.path().join("studio/plans/copper.json");
    let text = std::fs::read_to_string(&file).unwrap();
    let on = text.find("\"on\": \"").unwrap() + 7;
    std::fs::write(&file, format!("{}2026-11-25{}", &text[..on], &text[on + 10..])).unwrap();
    bench.file(
        "studio/notes.jsonl",
        "{\"on\": \"2026-11-26\", \"tile\": \"A1\", \"grades\": {\"gloss\": 4}, \"pieces\": 2, \"crazed\": 0}\n\
         {\"on\": \"2026-12-26\", \"tile\": \"copper/A1\", \"grades\": {\"gloss\": 3}, \"pieces\": 2, \"crazed\": 1, \"age_days\": 30}\n\
         {\"on\": \"2026-11-26\", \"tile\": \"a3\", \"grades\": {\"gloss\": 5, \"colour\": 4}}\n",
    );
    let screens = [
        bench.screen(&["plan", "--studio", "studio"]),
        bench.screen(&["plan", "copper", "--studio", "studio"]),
        bench.screen(&["plan", "copper", "--studio", "studio", "--show", "colour"]),
    ];
    insta::assert_snapshot!("a_plan_with_results", screens.join("\n"));
    // The blank sheet comes back: rows that nobody wrote in are left out.
    let written = sheet.replace(",copper/A2,,,,,,,,", "2026-11-25,copper/A2,,,,1,1,1,0,2");
    bench.file("written.csv", written);
    let noted = bench.run(&["note", "--sheet", "written.csv", "--studio", "studio"]);
    assert_eq!(noted.code, 0, "{}", noted.stderr);
    assert!(noted.stdout.contains("copper/A2"), "{}", noted.stdout);
    bench.file("blank.csv", sheet);
    assert_eq!(
        bench.run(&["note", "--sheet", "blank.csv", "--studio", "studio"]).code,
        2
    );
    let again = bench.run(&made);
    assert_eq!(again.code, 2);
    assert_eq!(std::fs::read_to_string(&file).unwrap().matches("2026-11-25").count(), 1);
}

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

fn blend(arguments: &[&str]) -> String {
    let mut all = vec!["blend"];
    all.extend(arguments);
    Bench::empty().screen(&all)
}

/// A blend by a script of a studio's own.
fn scripted(body: &str) -> String {
    let bench = Bench::example_studio();
    let script = format!(
        "const ABOUT = #{{ api: 1, kind: \"blend\", title: \"x\", source: \"x\" }};\nfn blend(ends, option) {{\n    {body}\n}}\n"
    );
    bench.file("studio/scripts/blend/own.rhai", script);
    bench.screen(&[
        "blend",
        "own",
        "Lamplight clear",
        "Highfell clear",
        "--studio",
        "studio",
    ])
}

fn kept(name: &str) -> String {
    let bench = Bench::example_studio();
    bench.file("studio/plans/First.json", "{}");
    bench.screen(&[
        "blend",
        "line",
        "Lamplight clear",
        "Highfell clear",
        "--studio",
        "studio",
        "--save",
        name,
    ])
}

refused! {
    tiles_beyond_count: blend(&["line", "Lamplight clear", "Highfell clear", "--steps", "10001"]);
    a_triangle_beyond_count: blend(&["triaxial", COPPER, IRON, RUTILE, "--steps", "44"]);
    ends_that_are_the_same: blend(&["line", "Lamplight clear", "lamplight clear"]);
    a_triangle_of_two: blend(&["triaxial", COPPER, IRON]);
    a_quadraxial_of_three: blend(&["quadraxial", COPPER, IRON, RUTILE]);
    a_grid_of_two: blend(&["grid", COPPER, IRON]);
    a_grid_of_one_row: blend(&["grid", COPPER, IRON, RUTILE, "Lamplight clear", "--rows", "1"]);
    a_series_of_two_glazes: blend(&["series", COPPER, IRON, "--add", "silica 0..9 %"]);
    a_series_of_nothing: blend(&["series", COPPER]);
    a_series_of_one_amount: blend(&["series", COPPER, "--add", "silica 9 %"]);
    a_series_with_decimal_commas: blend(&["series", COPPER, "--add", "silica 0,3,6,9 %"]);
    a_series_of_an_unknown: blend(&["series", COPPER, "--add", "silcia 0..9 %"]);
    a_series_of_equal_steps: blend(&["series", COPPER, "--add", "silica 3, 3 %"]);
    a_geometric_series_from_nothing: blend(&["series", COPPER, "--add", "silica 0..9 % geometric"]);
    a_series_of_other_steps: blend(&["series", COPPER, "--add", "silica 0, 3, 6 %", "--steps", "5"]);
    an_end_with_half_an_addition: blend(&["line", "Lamplight clear", "Lamplight clear + copper carbonate"]);
    an_end_with_an_unknown_addition: blend(&["line", "Lamplight clear", "Lamplight clear + 3 % coper carbonate"]);
    an_end_that_is_nothing: blend(&["line", "Lamplight clear", "Lamplite"]);
    a_volume_below_the_mark: blend(&["line", "Lamplight clear", "Highfell clear", "--volume", "0.5 ml"]);
    a_syringe_without_a_unit: blend(&["line", "Lamplight clear", "Highfell clear", "--volume", "30 ml", "--syringe", "60"]);
    a_syringe_for_a_dry_plan: blend(&["line", "Lamplight clear", "Highfell clear", "--syringe", "60 ml"]);
    students_without_tiles: blend(&["line", "Lamplight clear", "Highfell clear", "--students", "9"]);
    a_page_of_no_kind: blend(&["line", "Lamplight clear", "Highfell clear", "--page", "plan.pdf"]);
    limits_nobody_knows: blend(&["line", "Lamplight clear", "Highfell clear", "--limits", "cone-7"]);
    a_ladder_across_nothing: blend(&["ladder", "Lamplight clear", "Highfell clear"]);
    a_region_without_mixtures: blend(&["corners", COPPER, IRON, RUTILE, "--within", "end 1 >= 60 %", "--within", "end 2 >= 60 %"]);
    a_region_of_an_unknown_end: blend(&["corners", COPPER, IRON, RUTILE, "--within", "end 4 >= 60 %"]);
    a_region_with_too_few_tiles: blend(&["corners", COPPER, IRON, RUTILE, "--tiles", "2"]);
    alumina_beyond_these_materials: blend(&["silica-alumina", "Lamplight clear", "--set", "silica_to=2.4", "--set", "alumina_to=1.2"]);
    silica_and_alumina_of_a_powder: blend(&["silica-alumina", "bought clear"]);
    lead_at_an_end: blend(&["line", "Lamplight clear", "Lamplight clear + 5 % lead bisilicate"]);
    shares_that_do_not_sum: scripted("[[0.5, 0.4], [0, 1]]");
    a_plan_of_no_shape: scripted("#{ tiles: [[1, 0], [0, 1]], shape: \"star\" }");
    a_plan_with_an_odd_key: scripted("#{ tile: [[1, 0], [0, 1]] }");
    a_code_twice: scripted("[#{ code: \"T2\", shares: [1, 0] }, #{ code: \"T2\", shares: [0, 1] }]");
    a_code_that_misreads: scripted("[#{ code: \"O1\", shares: [1, 0] }, #{ code: \"T2\", shares: [0, 1] }]");
    a_plan_saved_twice: kept("first");
    a_plan_named_like_a_path: kept("../first");
    a_plan_without_a_studio: blend(&["line", "Lamplight clear", "Highfell clear", "--save", "first"]);
    a_plan_that_is_not_there: Bench::example_studio().screen(&["plan", "copper", "--studio", "studio"]);
    a_plan_that_is_torn: {
        let bench = Bench::example_studio();
        bench.file("studio/plans/copper.json", "{\"tiles\": [\n  {\"code\": \"A1\"");
        bench.screen(&["plan", "copper", "--studio", "studio"])
    };
}
