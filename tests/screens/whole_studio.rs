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

/// The example with a plan of five tiles, and grades of it and of five glazes.
fn graded() -> Bench {
    let bench = Bench::example_studio();
    let plan = [
        "blend",
        "line",
        "Lamplight clear",
        "Driftstone satin matt",
        "--steps",
        "5",
        "--save",
        "softening",
    ];
    assert_eq!(bench.run_in("studio", &plan).code, 0);
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
