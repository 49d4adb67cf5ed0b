//! Questions about the whole studio at once.

use super::bench::{Bench, Ran};

fn json(ran: &Ran) -> serde_json::Value {
    serde_json::from_str(&ran.stdout).unwrap_or_else(|error| panic!("{error}: {}{}", ran.stdout, ran.stderr))
}

fn names(list: &serde_json::Value) -> Vec<&str> {
    list.as_array()
        .unwrap()
        .iter()
        .map(|name| name.as_str().unwrap())
        .collect()
}

#[test]
fn the_fewest_materials_of_the_example() {
    let bench = Bench::example_studio();
    insta::assert_snapshot!(bench.screen(&["--studio", "studio", "shelf"]));
    let told = json(&bench.run_in("studio", &["shelf", "--clay-band", "off", "--format", "json"]));
    assert_eq!(told["proven"], true);
    assert_eq!(told["fewest"], told["keep"].as_array().unwrap().len());
    for glaze in told["glazes"].as_array().unwrap() {
        assert!(
            glaze["distance"].as_f64().is_none_or(|distance| distance <= 2.0),
            "{glaze}"
        );
        let parts = glaze["parts"].as_object().unwrap().keys();
        let keep = names(&told["keep"]);
        assert!(parts.into_iter().all(|part| keep.contains(&part.as_str())), "{glaze}");
    }
}

#[test]
fn what_is_to_be_kept_is_kept_and_what_is_to_go_goes() {
    let bench = Bench::example_studio();
    let call = [
        "shelf",
        "--keep",
        "nepheline syenite",
        "--drop",
        "whiting",
        "--within",
        "6",
    ];
    let ran = bench.run_in("studio", &[&call[..], &["--format", "json"]].concat());
    let told = json(&ran);
    assert!(names(&told["keep"]).contains(&"nepheline syenite"), "{}", told["keep"]);
    assert!(names(&told["drop"]).contains(&"whiting"), "{}", told["drop"]);
    // Lime comes from nothing else in some of them: the answer is no, and says which.
    assert_eq!(ran.code, 1);
    insta::assert_snapshot!(bench.screen(&[
        "--studio",
        "studio",
        "shelf",
        "--drop",
        "whiting",
        "--glazes",
        "Highfell clear",
        "--glazes",
        "Hearthside clear"
    ]));
}

#[test]
fn the_cheapest_shelf_says_what_a_year_costs() {
    let bench = Bench::example_studio();
    insta::assert_snapshot!(bench.screen(&[
        "--studio",
        "studio",
        "shelf",
        "--least",
        "cost",
        "--glazes",
        "Lamplight clear",
        "--glazes",
        "Highfell clear"
    ]));
}

#[test]
fn a_search_that_is_cut_short_says_how_far_it_came() {
    let bench = Bench::example_studio();
    let told = json(&bench.run_in("studio", &["shelf", "--steps", "40", "--format", "json"]));
    assert_eq!(told["proven"], false);
    assert!(told["at_least"].as_u64() < told["fewest"].as_u64(), "{told}");
    let said = bench.run_in("studio", &["shelf", "--steps", "40"]);
    assert!(said.stdout.contains("was not settled in 40 steps"), "{}", said.stdout);
}

/// A plan of five tiles.
const SOFTENING: [&str; 8] = [
    "blend",
    "line",
    "Lamplight clear",
    "Driftstone satin matt",
    "--steps",
    "5",
    "--save",
    "softening",
];

/// The example with a plan of five tiles, and grades of it and of five glazes.
fn graded() -> Bench {
    let bench = Bench::example_studio();
    assert_eq!(bench.run_in("studio", &SOFTENING).code, 0);
    for (glaze, gloss, on) in [
        ("Lamplight clear", 4, "2026-09-01"),
        ("Lamplight clear", 5, "2026-10-01"),
        ("Highfell clear", 4, "2026-09-03"),
        ("Driftstone satin matt", 1, "2026-09-03"),
        ("Mothwing tin white", 5, "2026-09-04"),
        ("Honeyjar amber", 4, "2026-09-04"),
    ] {
        let noted = bench.run_in(
            "studio",
            &["note", glaze, "--grade", &format!("gloss={gloss}"), "--on", on],
        );
        assert_eq!(noted.code, 0, "{}", noted.stderr);
    }
    for (tile, gloss) in [4, 4, 3, 2, 1].into_iter().enumerate() {
        let (tile, gloss) = (format!("softening/A{}", tile + 1), format!("gloss={gloss}"));
        let noted = bench.run_in(
            "studio",
            &["note", "--tile", &tile, "--grade", &gloss, "--on", "2026-10-05"],
        );
        assert_eq!(noted.code, 0, "{}", noted.stderr);
    }
    bench
}

#[test]
fn a_grade_is_expected_with_its_band_and_what_is_near() {
    let bench = graded();
    insta::assert_snapshot!(bench.screen(&["--studio", "studio", "expect", "Highfell clear", "--grade", "gloss"]));
    insta::assert_snapshot!(bench.screen(&[
        "--studio",
        "studio",
        "expect",
        "Millpond copper green",
        "--grade",
        "gloss"
    ]));
    let told = json(&bench.run_in(
        "studio",
        &["expect", "Lamplight clear", "--grade", "Gloss", "--format", "json"],
    ));
    let (low, value, high) = (&told["low"], &told["value"], &told["high"]);
    assert!(
        low.as_f64() < value.as_f64() && value.as_f64() < high.as_f64(),
        "{told}"
    );
    assert_eq!(told["nearest"].as_array().unwrap().len(), 5);
    assert_eq!(told["nothing_like_it"], false);
    let thick = [
        "expect",
        "Lamplight clear",
        "--grade",
        "gloss",
        "--clay",
        "red earthenware",
        "--coat",
        "0.9 mm",
    ];
    assert_eq!(
        json(&bench.run_in("studio", &[&thick[..], &["--format", "json"]].concat()))["clay"],
        "red earthenware"
    );
}

#[test]
fn all_that_was_graded_teaches_together() {
    let bench = graded();
    insta::assert_snapshot!(bench.screen(&["--studio", "studio", "results", "--all", "--grade", "gloss"]));
    let told = json(&bench.run_in("studio", &["results", "--all", "--grade", "gloss", "--format", "json"]));
    assert_eq!((told["grades"].as_u64(), told["things"].as_u64()), (Some(11), Some(10)));
    assert!(told["left_out"]["by_glaze"]["error"].as_f64() < told["left_out"]["by_glaze"]["plain_mean_error"].as_f64());
}

#[test]
fn grades_that_contradict_and_grades_that_say_nothing_are_told_as_such() {
    let bench = Bench::example_studio();
    let note = |gloss: &str| bench.run_in("studio", &["note", "Lamplight clear", "--grade", gloss, "--twice"]);
    note("gloss=4");
    let one = bench.run_in("studio", &["expect", "Highfell clear", "--grade", "gloss"]);
    assert!(one.stdout.contains("there is one grade only, 4.0"), "{}", one.stdout);
    note("gloss=4");
    let alike = bench.run_in("studio", &["results", "--all", "--grade", "gloss"]);
    assert!(alike.stdout.contains("Every grade is 4.0"), "{}", alike.stdout);
    note("gloss=1");
    let torn = bench.run_in("studio", &["expect", "Lamplight clear", "--grade", "gloss"]);
    assert!(
        torn.stdout
            .contains("These disagree: Lamplight clear v1 was graded 4.0"),
        "{}",
        torn.stdout
    );
}

/// The value of an attribute of an SVG element, from a piece of text on.
fn attribute(text: &str, name: &str) -> f64 {
    let (_, rest) = text
        .split_once(&format!(" {name}=\""))
        .unwrap_or_else(|| panic!("no {name} in {text}"));
    rest.split_once('"').unwrap().0.parse().unwrap()
}

/// From a place in millimetres to a value, by the ticks of an axis.
fn axis(svg: &str, name: &str, place: &str) -> impl Fn(f64) -> f64 {
    let ticks = svg
        .split("<g ")
        .filter(|group| group.starts_with(&format!("data-axis=\"{name}\"")));
    let read = |tick: &str| {
        (
            attribute(tick.split("<line").nth(1).unwrap(), place),
            attribute(&format!(" {tick}"), "data-value"),
        )
    };
    let ticks: Vec<(f64, f64)> = ticks.map(read).collect();
    let (first, last) = (ticks[0], *ticks.last().unwrap());
    move |at| first.1 + (at - first.0) / (last.0 - first.0) * (last.1 - first.1)
}

#[test]
fn a_chart_is_read_back_from_its_drawing() {
    let bench = graded();
    insta::assert_snapshot!(bench.screen(&["--studio", "studio", "chart", "Lamplight clear"]));
    let call = ["chart", "--page", "map.svg", "--format", "json"];
    let told = json(&bench.run_in("studio", &call));
    let svg = std::fs::read_to_string(bench.path().join("studio/map.svg")).unwrap();
    let (silica, ratio) = (axis(&svg, "silica", "x1"), axis(&svg, "ratio", "y1"));
    let close = |read: f64, told: &serde_json::Value| (read / told.as_f64().unwrap() - 1.0).abs() < 0.01;
    let marks = |mark: &str| -> Vec<String> {
        let groups = svg
            .split("<g ")
            .filter(|group| group.starts_with(&format!("data-mark=\"{mark}\"")));
        groups.map(str::to_owned).collect()
    };
    let rings = marks("tile");
    assert_eq!((rings.len(), told["tiles"].as_array().unwrap().len()), (10, 10));
    for (ring, tile) in rings.iter().zip(told["tiles"].as_array().unwrap()) {
        assert!(close(silica(attribute(ring, "cx")), &tile["silica"]), "{ring} {tile}");
        assert!(close(ratio(attribute(ring, "cy")), &tile["ratio"]), "{ring} {tile}");
    }
    let diamonds = marks("glaze");
    assert_eq!(diamonds.len(), 7);
    for (diamond, glaze) in diamonds.iter().zip(told["glazes"].as_array().unwrap()) {
        // Its middle lies between its upper and its lower corner.
        let points = diamond.split("points=\"").nth(1).unwrap().split('"').next().unwrap();
        let corners: Vec<(f64, f64)> = points
            .split(' ')
            .map(|point| point.split_once(',').unwrap())
            .map(|(x, y)| (x.parse().unwrap(), y.parse().unwrap()))
            .collect();
        assert!(close(silica(corners[0].0), &glaze["silica"]), "{diamond} {glaze}");
        assert!(
            close(ratio(0.5 * (corners[0].1 + corners[2].1)), &glaze["ratio"]),
            "{diamond} {glaze}"
        );
    }
    assert!(
        !svg.contains("fill=\"#8") && !svg.contains("fill=\"#d"),
        "black and white, no coloured fields"
    );
}

#[test]
fn own_limits_stand_beside_the_published_ones() {
    let bench = Bench::example_studio();
    let own = [
        "script",
        "new",
        "limits",
        "mine",
        "--from",
        "Lamplight clear, Highfell clear",
    ];
    assert_eq!(bench.run_in("studio", &own).code, 0);
    let told = json(&bench.run_in(
        "studio",
        &["chart", "Lamplight clear", "--page", "map.html", "--format", "json"],
    ));
    let limits = told["limits"].as_array().unwrap();
    let mine = limits.last().unwrap();
    assert_eq!(mine["script"], "limits/mine");
    assert!(limits.len() > 1, "{limits:?}");
    assert!(
        mine["ranges"]
            .as_array()
            .unwrap()
            .iter()
            .all(|range| range["holds"] == true),
        "{mine}"
    );
    let page = std::fs::read_to_string(bench.path().join("studio/map.html")).unwrap();
    assert!(page.contains("limits/mine, your own (thick)"));
}

#[test]
fn a_year_on_a_page() {
    let bench = Bench::example_studio();
    let ran = |call: &[&str]| {
        let ran = bench.run_in("studio", call);
        assert_eq!(ran.code, 0, "{call:?} {}", ran.stderr);
    };
    ran(&[
        "weigh",
        "Highfell clear",
        "--dry",
        "5 kg",
        "--commit",
        "--on",
        "2026-03-02",
    ]);
    ran(&[
        "weigh",
        "Highfell clear",
        "--dry",
        "3 kg",
        "--commit",
        "--on",
        "2025-12-02",
    ]);
    ran(&[
        "weigh",
        "Honeyjar amber",
        "--dry",
        "2 kg",
        "--commit",
        "--on",
        "2026-04-02",
    ]);
    ran(&[
        "kiln",
        "load",
        "--firing",
        "spring glost",
        "--cone",
        "10",
        "--put",
        "1 = 5 on buff stoneware",
        "--on",
        "2026-04-10",
    ]);
    ran(&["kiln", "opened", "--bent", "10", "--on", "2026-04-12"]);
    ran(&[
        "note",
        "Highfell clear",
        "--batch",
        "1",
        "--crazed",
        "1/5",
        "--on",
        "2026-05-01",
    ]);
    ran(&[
        "note",
        "Highfell clear",
        "--batch",
        "1",
        "--crazed",
        "3/5",
        "--on",
        "2026-09-01",
    ]);
    ran(&[
        "note",
        "Honeyjar amber",
        "--batch",
        "3",
        "--crazed",
        "0/6",
        "--on",
        "2026-09-01",
    ]);
    ran(&SOFTENING);
    ran(&["note", "--tile", "softening/A2", "--grade", "gloss=3"]);
    ran(&["keep", "softening/A2", "Softened clear"]);
    insta::assert_snapshot!(bench.screen(&["--studio", "studio", "year", "2026", "--page", "year.html"]));
    let page = std::fs::read_to_string(bench.path().join("year.html")).unwrap();
    assert!(page.contains("The year 2026") && page.contains("A2") && page.contains("Ran out"));
    let told = json(&bench.run_in("studio", &["year", "2026", "--format", "json"]));
    assert_eq!(
        (told["batches"].as_u64(), told["firings"]["count"].as_u64()),
        (Some(2), Some(1))
    );
    assert_eq!(
        told["seen"][0]["crazed"], 3,
        "the latest look at the same pieces: {}",
        told["seen"]
    );
    assert_eq!(told["plans"][0]["became"][0]["glaze"], "Softened clear");
    let none = bench.run_in("studio", &["year", "1999"]);
    assert_eq!((none.code, none.stdout.trim()), (0, "1999: nothing is on record."));
}
