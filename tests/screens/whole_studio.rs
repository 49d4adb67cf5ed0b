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
