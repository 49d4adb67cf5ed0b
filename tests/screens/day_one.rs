//! The first day: a page from a notebook, a poor label, five answers, a label.

use super::bench::{Bench, Ran};

const PAGE: &str = "Grandmother's blue, cone 9\n\nfeldspar 2 lb 3 oz, chalk 12 oz, flint 1 lb, china clay half a pound.\n\
                    Then half oz cobalt carb. Bentonite 2. Iron 1 level tablespoon.\n";
const ANSWERS: [&str; 11] = [
    "start",
    "--powder",
    "bought clear",
    "--clay",
    "white earthenware",
    "--firing",
    "1060 C",
    "--water",
    "5 3/4 cups/kg",
    "--scales",
    "0.1 g",
];

fn page(text: &str, further: &[&str]) -> String {
    let bench = Bench::empty();
    bench.file("page.txt", text);
    bench.screen(&[&["read", "page.txt"], further].concat())
}

fn json(ran: &Ran) -> serde_json::Value {
    serde_json::from_str(&ran.stdout).unwrap_or_else(|error| panic!("{error}: {}", ran.stdout))
}

#[test]
fn a_page_from_an_old_notebook() {
    insta::assert_snapshot!(page(PAGE, &[]));
}

#[test]
fn a_page_as_json() {
    insta::assert_snapshot!(page(
        "whiting 12 oz, moonrock 4 oz, 8 oz silica + 0,5 % tin oxide",
        &["--format", "json"]
    ));
}

#[test]
fn a_page_becomes_a_glaze_file_and_never_over_another() {
    let bench = Bench::empty();
    bench.file("page.txt", PAGE);
    let first = bench.run(&["read", "page.txt", "--out", "blue.yaml"]);
    assert_eq!(first.code, 0, "{}", first.stderr);
    let written = std::fs::read_to_string(bench.path().join("blue.yaml")).unwrap();
    insta::assert_snapshot!(written);
    assert_eq!(bench.run(&["unity", "blue.yaml"]).code, 0);
    let again = bench.run(&["read", "page.txt", "--out", "blue.yaml"]);
    assert_eq!(again.code, 2);
    assert_eq!(
        std::fs::read_to_string(bench.path().join("blue.yaml")).unwrap(),
        written
    );
}

#[test]
fn an_open_line_is_settled_in_the_call() {
    let bench = Bench::empty();
    bench.file("page.txt", PAGE);
    let change = "Iron 1 level tablespoon=red iron oxide 12 g";
    let ran = bench.run(&["read", "page.txt", "--instead", change, "--format", "json"]);
    let iron = json(&ran)["glaze"]["additions"]["red iron oxide"].as_f64().unwrap();
    assert!((iron - 1200.0 / 2_012.816_141_875).abs() < 1e-9);
}

#[test]
fn pages_that_cannot_be_read() {
    for text in ["", "   \n\n"] {
        assert!(page(text, &[]).ends_with("--- exit 2\n"));
    }
    let bench = Bench::empty();
    bench.file("page.txt", b"feldspar 40\nk\xe4olin 10\n");
    insta::assert_snapshot!("a_page_in_another_encoding", bench.screen(&["read", "page.txt"]));
    insta::assert_snapshot!(
        "an_instead_that_is_not_there",
        page("silica 50\nwhiting 50", &["--instead", "iron=tin"])
    );
    insta::assert_snapshot!(
        "a_page_without_a_base",
        page("feldspar 4 cups\nflint 2 cups\n", &["--out", "g.yaml"])
    );
}

#[test]
fn a_poor_label() {
    let bench = Bench::empty();
    insta::assert_snapshot!(bench.screen(&["materials", "--label", "kaolin: SiO2 54.0, Al2O3 45.0"]));
    insta::assert_snapshot!(
        "a_label_with_a_slip",
        bench.screen(&["materials", "--label", "kaolin: Si02 54.0, Al2O3 45.0"])
    );
}

#[test]
fn a_guessed_label_is_said_in_every_result() {
    let bench = Bench::empty();
    let label = "china clay: SiO2 54.0, Al2O3 45.0";
    assert_eq!(
        bench.run(&["materials", "--label", label, "--out", "clay.yaml"]).code,
        0
    );
    bench.file(
        "glaze.yaml",
        "glaze: A\nparts: { potash feldspar: 50, whiting: 20, china clay: 30 }\n",
    );
    let ran = bench.run(&["unity", "glaze.yaml", "--materials", "clay.yaml"]);
    assert!(
        ran.stdout.contains("basis fired and loss on ignition 14 % are guesses"),
        "{}",
        ran.stdout
    );
}

#[test]
fn five_answers_make_a_studio_a_ticket_and_a_label() {
    let bench = Bench::empty();
    insta::assert_snapshot!(bench.screen(&ANSWERS));
    let label = bench.run_in("studio", &["label", "bought clear", "--format", "json"]);
    assert_eq!(json(&label)["firing"], "1060 C");
    let again = bench.run(&ANSWERS);
    assert_eq!(again.code, 2);
    assert!(again.stderr.contains("studio already"), "{}", again.stderr);
}

#[test]
fn a_kilo_and_five_and_three_quarter_cups() {
    let bench = Bench::empty();
    let ran = bench.run(&[&ANSWERS[..], &["--format", "json"]].concat());
    let ticket = &json(&ran)["ticket"];
    let near = |key: &str, value: f64, slack: f64| (ticket[key].as_f64().unwrap() - value).abs() < slack;
    assert!(near("volume_millilitres", 1800.0, 50.0), "{ticket}");
    assert!(near("density", 1.34, 0.005), "{ticket}");
    assert!(near("water_millilitres", 1437.5, 1e-9), "{ticket}");
    assert!(near("dry_grams", 1000.0, 1e-9), "{ticket}");
}

#[test]
fn a_recipe_of_ones_own() {
    let bench = Bench::empty();
    bench.file("page.txt", PAGE);
    let ran = bench.run(&[
        "start", "--recipe", "page.txt", "--clay", "buff", "--firing", "cone 9", "--water", "0.9 l", "--scales", "1 g",
        "--dry", "6 kg", "--page", "day.html", "--format", "json",
    ]);
    assert_eq!(ran.code, 0, "{}", ran.stdout);
    let grams: Vec<f64> = json(&ran)["ticket"]["lines"]
        .as_array()
        .unwrap()
        .iter()
        .map(|line| line["grams"].as_f64().unwrap())
        .collect();
    // feldspar, silica, whiting, kaolin, bentonite, cobalt carbonate
    assert_eq!(grams, [2958.0, 1352.0, 1014.0, 676.0, 120.0, 42.0]);
    let html = std::fs::read_to_string(bench.path().join("day.html")).unwrap();
    assert!(html.contains(">2958<") && html.contains("Not tested for") && html.matches("class=\"page\"").count() == 2);
    bench.file("lead.txt", "red lead 50\nsilica 50\n");
    let lead = bench.run(&[
        "start", "other", "--recipe", "lead.txt", "--clay", "buff", "--firing", "cone 04", "--water", "0.9 l",
        "--scales", "1 g",
    ]);
    assert_eq!(lead.code, 2);
    assert!(!bench.path().join("other").exists());
}

#[test]
fn the_five_answers_can_come_as_lines() {
    let bench = Bench::empty();
    let told = bench.run_told(
        &["start"],
        "bought clear\nwhite earthenware\n1060 C\n5 3/4 cups\n0.1 g\n",
    );
    assert_eq!(told.code, 0, "{}", told.stderr);
    let read = |file: &str| std::fs::read_to_string(bench.path().join("studio").join(file)).unwrap();
    let (text, page) = (read("first_day.txt"), read("first_day.html"));
    assert!(text.contains("TICKET") && text.contains("LABEL"), "{text}");
    assert_eq!(page.matches("class=\"page\"").count(), 2);
    // Questions and answers with all that follows fit the first screen.
    let shown = told.stderr.lines().count() + told.stdout.lines().count();
    assert!(shown <= 24, "{shown} lines: {}{}", told.stderr, told.stdout);
    assert!(told.stdout.contains("first_day.html") && told.stdout.contains("Next: "));
    let short = bench.run_told(
        &["start", "second"],
        "bought clear\nwhite earthenware\n1060\n5 3/4 cups\n",
    );
    assert_eq!(short.code, 2);
    assert!(
        short.stderr.contains("--firing: `1060` doesn't say what it counts"),
        "{}",
        short.stderr
    );
    assert!(!bench.path().join("second").exists());
}

#[test]
fn answers_that_are_missing_or_wrong() {
    let bench = Bench::empty();
    insta::assert_snapshot!("missing_answers", bench.screen(&["start", "--powder", "bought clear"]));
    for (at, wrong) in [
        (6, "1060"),
        (6, "6"),
        (6, "60 C"),
        (8, "5 pints"),
        (8, "0.7"),
        (10, "0.1"),
        (2, " "),
        (4, ""),
    ] {
        let mut call = ANSWERS;
        call[at] = wrong;
        let ran = bench.run(&call);
        assert_eq!(ran.code, 2, "{wrong}");
        assert!(ran.stderr.contains("help:"), "{wrong}: {}", ran.stderr);
        assert!(!bench.path().join("studio").exists());
    }
}

#[test]
fn labels() {
    let bench = Bench::empty();
    insta::assert_snapshot!("a_label_of_a_powder", bench.screen(&["label", "bought clear"]));
    insta::assert_snapshot!("a_label_with_copper", bench.screen(&["label", "Millpond copper green"]));
    let html = bench
        .run(&["label", "Millpond copper green", "--html", "--copies", "3"])
        .stdout;
    assert!(html.starts_with("<!DOCTYPE html>") && html.matches(">Millpond copper green</text>").count() == 3);
    assert!(html.contains("copper") && !html.contains("<script") && !html.contains("src="));
}

#[test]
fn labels_for_a_jar_a_bag_and_tiles() {
    let bench = Bench::empty();
    let marks = ["--version", "v3", "--batch", "14", "--on", "2026-11-24"];
    let label = |further: &[&str]| bench.screen(&[&["label", "Lamplight clear"], further].concat());
    insta::assert_snapshot!("a_label_of_a_jar", label(&[&["--kind", "jar"], &marks[..]].concat()));
    insta::assert_snapshot!("a_label_of_a_bag", label(&[&["--kind", "bag"], &marks[..]].concat()));
    insta::assert_snapshot!(
        "labels_of_tiles",
        label(&["--tile", "A1", "--tile", "A2", "--on", "2026-11-24"])
    );
}

#[test]
fn labels_on_a_sheet_of_labels() {
    let bench = Bench::empty();
    insta::assert_snapshot!("the_sheets_of_labels", bench.screen(&["label", "--grid", "list"]));
    insta::assert_snapshot!(
        "labels_on_a_sheet",
        bench.screen(&[
            "label",
            "Millpond copper green",
            "--grid",
            "70 x 37 mm",
            "--copies",
            "23",
            "--skip",
            "3",
            "--page",
            "l.html",
        ])
    );
    let html = std::fs::read_to_string(bench.path().join("l.html")).unwrap();
    assert_eq!(html.matches("class=\"page\"").count(), 2);
    assert_eq!(html.matches(">Millpond copper green</text>").count(), 23);
    let printed = bench.run(&[
        "label",
        "bought clear",
        "--grid",
        "4 x 2 in",
        "--page",
        "one.svg",
        "--format",
        "json",
    ]);
    assert_eq!(json(&printed)["printed"]["sheets"], 1);
    let svg = std::fs::read_to_string(bench.path().join("one.svg")).unwrap();
    assert!(svg.starts_with("<?xml") && svg.trim_end().ends_with("</svg>"));
}

#[test]
fn sheets_that_cannot_be_printed() {
    let bench = Bench::empty();
    let long = "Grandmother's long remembered celadon-of-the-northernmost-headland";
    bench.file(
        "long.yaml",
        format!("glaze: {long}\nparts: {{ potash feldspar: 50, whiting: 20, silica: 30 }}\n"),
    );
    bench.file("l.html", "something of hers");
    for (name, call) in [
        ("a_page_with_another_ending", &["bought clear", "--page", "l.pdf"][..]),
        ("a_page_that_is_there", &["bought clear", "--page", "l.html"]),
        ("a_sheet_nobody_knows", &["bought clear", "--grid", "71 x 37 mm"]),
        ("a_sheet_without_a_unit", &["bought clear", "--grid", "70 x 37"]),
        (
            "a_sheet_that_is_full",
            &["bought clear", "--grid", "70 x 37 mm", "--skip", "24"],
        ),
        ("a_label_that_is_too_small", &["long.yaml", "--grid", "38.1 x 21.2 mm"]),
        ("a_label_of_nothing", &["--grid", "70 x 37 mm"]),
        ("a_label_of_no_day", &["bought clear", "--on", "30.2.2026"]),
        ("a_label_with_an_empty_batch", &["bought clear", "--batch", " "]),
        (
            "a_bag_with_a_tile_code",
            &["bought clear", "--kind", "bag", "--tile", "A1"],
        ),
        (
            "two_pages_as_one_drawing",
            &["bought clear", "--copies", "3", "--page", "l.svg"],
        ),
    ] {
        insta::assert_snapshot!(name, bench.screen(&[&["label"], call].concat()));
    }
    assert_eq!(
        std::fs::read_to_string(bench.path().join("l.html")).unwrap(),
        "something of hers"
    );
    assert!(!bench.path().join("l.pdf").exists() && !bench.path().join("l.svg").exists());
    let weigh = bench.run(&["weigh", "bought clear", "--dry", "1 kg", "--page", "ticket"]);
    assert_eq!(weigh.code, 2);
    let start = bench.run(&[&ANSWERS[..], &["--page", "day.svg"]].concat());
    assert_eq!(start.code, 2);
    assert!(!bench.path().join("studio").exists());
}

#[test]
fn the_recipe_in_a_code_reads_back_as_the_recipe() {
    let bench = Bench::example_studio();
    let ran = bench.run_in(
        "studio",
        &[
            "label",
            "Millpond copper green",
            "--version",
            "v3",
            "--page",
            "l.html",
            "--format",
            "json",
        ],
    );
    let code = json(&ran)["printed"]["code"].as_str().unwrap().to_owned();
    bench.file("studio/code.txt", &code);
    let read = bench.run_in("studio", &["read", "code.txt", "--format", "json"]);
    let glaze = &json(&read)["glaze"];
    assert_eq!(glaze["cone"], "6");
    assert_eq!(glaze["parts"]["feldspar C"], 30.0);
    assert_eq!(glaze["additions"]["copper carbonate"], 3.0);
}
