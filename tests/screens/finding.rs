//! The studio's glazes in lists, and beside each other.

use super::bench::{Bench, Ran};

fn json(ran: &Ran) -> serde_json::Value {
    serde_json::from_str(&ran.stdout).unwrap_or_else(|error| panic!("{error}: {}{}", ran.stdout, ran.stderr))
}

#[test]
fn glazes_are_listed_a_line_each() {
    let bench = Bench::example_studio();
    insta::assert_snapshot!(bench.screen(&["--studio", "studio", "glazes"]));
    insta::assert_snapshot!(bench.screen(&["--studio", "studio", "glazes", "clear", "--near", "lamplight clear"]));
    insta::assert_snapshot!(bench.screen(&["--studio", "studio", "glazes", "--problems"]));
    let listed = json(&bench.run_in("studio", &["glazes", "--format", "json"]));
    assert_eq!(listed["glazes"].as_array().unwrap().len(), 8);
    for key in [
        "glaze",
        "file",
        "cone",
        "use",
        "clay",
        "silica_to_alumina",
        "zone_craze",
    ] {
        assert!(listed["glazes"][0].get(key).is_some(), "{key}");
    }
}

#[test]
fn glazes_are_found_by_material_cone_clay_and_use() {
    let bench = Bench::example_studio();
    let found = |call: &[&str]| -> Vec<String> {
        let told = json(&bench.run_in("studio", &[&["glazes"], call, &["--format", "json"]].concat()));
        let lines = told["glazes"].as_array().unwrap();
        lines
            .iter()
            .map(|line| line["glaze"].as_str().unwrap().to_owned())
            .collect()
    };
    assert_eq!(found(&["--holds", "tin oxide"]), ["Mothwing tin white"]);
    assert_eq!(found(&["--cone", "cone 10"]), ["Highfell clear"]);
    assert_eq!(found(&["--clay", "RED", "--use", "tableware"]), ["Mothwing tin white"]);
    assert_eq!(found(&["satin", "talc"]), ["Driftstone satin matt"]);
    let none = bench.run_in("studio", &["glazes", "celadon"]);
    assert_eq!(
        (none.code, none.stdout.as_str()),
        (1, "None of 8 glazes is like that.\n")
    );
    let wrong = bench.run_in("studio", &["glazes", "--holds", "tin oxid"]);
    assert_eq!(wrong.code, 2);
    assert!(wrong.stderr.contains("did you mean `tin oxide`?"), "{}", wrong.stderr);
}
