//! Exercises whose keys are what the engine says of the same sums.

use serde_json::Value;

use super::bench::Bench;

fn json(bench: &Bench, call: &[&str]) -> Value {
    let ran = bench.run(&[call, &["--format", "json"]].concat());
    assert!(ran.code < 2, "{call:?}: {}", ran.stderr);
    serde_json::from_str(&ran.stdout).unwrap_or_else(|error| panic!("{error}: {}", ran.stdout))
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value}"))
}

/// A glaze of an exercise's recipe.
fn glaze(bench: &Bench, exercise: &Value) {
    let additions = exercise
        .get("additions")
        .cloned()
        .unwrap_or_else(|| serde_json::json!({}));
    let text = format!(
        "glaze: Exercise\nparts: {}\nadditions: {additions}\nwater: 0.9 l/kg\n",
        exercise["parts"]
    );
    bench.file("exercise.yaml", text);
}

fn same(one: &Value, other: &Value, within: f64) {
    let (one, other) = (one.as_object().unwrap(), other.as_object().unwrap());
    assert_eq!(one.len(), other.len(), "{one:?} {other:?}");
    for (name, amount) in one {
        assert!(
            (number(amount) - number(&other[name])).abs() <= within,
            "{name}: {one:?} {other:?}"
        );
    }
}

#[test]
fn keys_equal_the_engine() {
    let bench = Bench::empty();
    for exercise in json(&bench, &["exercises", "unity", "--count", "12"])["exercises"]
        .as_array()
        .unwrap()
    {
        glaze(&bench, exercise);
        let told = json(&bench, &["unity", "exercise.yaml"]);
        same(&exercise["unity"], &told["unity"], 1e-9);
        assert!((number(&exercise["silica_to_alumina"]) - number(&told["silica_to_alumina"])).abs() < 1e-9);
    }
    for exercise in json(&bench, &["exercises", "weigh", "--seed", "3", "--count", "6"])["exercises"]
        .as_array()
        .unwrap()
    {
        glaze(&bench, exercise);
        let dry = format!("{} g", exercise["base_grams"]);
        let told = json(&bench, &["weigh", "exercise.yaml", "--dry", &dry, "--scales", "0.1 g"]);
        for line in told["lines"].as_array().unwrap() {
            let own = number(&exercise["grams"][line["material"].as_str().unwrap()]);
            assert!((own - number(&line["grams"])).abs() <= 0.0501, "{line}: {own}");
        }
        assert!((number(&exercise["total_grams"]) - number(&told["dry_grams"])).abs() < 0.5);
    }
    for exercise in json(&bench, &["exercises", "slurry", "--count", "8"])["exercises"]
        .as_array()
        .unwrap()
    {
        let jar = format!("{} ml = {} g", exercise["jar_millilitres"], exercise["jar_grams"]);
        let volume = format!("{} l", exercise["bucket_litres"]);
        let powder = exercise["powder_density"].to_string();
        let told = json(
            &bench,
            &[
                "slurry",
                "--jar",
                &jar,
                "--volume",
                &volume,
                "--powder-density",
                &powder,
            ],
        );
        assert!((number(&exercise["density"]) - number(&told["density"])).abs() < 1e-9);
        assert!((number(&exercise["dry_grams"]) - number(&told["dry_grams"])).abs() < 1e-6);
    }
    for exercise in json(&bench, &["exercises", "blend", "--count", "4"])["exercises"]
        .as_array()
        .unwrap()
    {
        let steps = exercise["tiles"].to_string();
        let volume = format!("{} ml", exercise["tile_millilitres"]);
        let line = ["blend", "line", "Lamplight clear", "Highfell clear", "--steps", &steps];
        let told = json(&bench, &[&line[..], &["--volume", &volume, "--dry", "500 g"]].concat());
        let tiles = told["tiles"].as_array().unwrap();
        assert_eq!(tiles.len() as u64, exercise["tiles"].as_u64().unwrap());
        for (tile, own) in tiles.iter().zip(exercise["millilitres"].as_array().unwrap()) {
            for end in 0..2 {
                let difference =
                    number(&tile["shares"][end]) - number(&own[end]) / number(&exercise["tile_millilitres"]);
                assert!(difference.abs() < 1e-9, "{tile} {own}");
            }
        }
    }
}

#[test]
fn one_seed_gives_one_sheet() {
    let bench = Bench::empty();
    let sheet = |seed: &str| json(&bench, &["exercises", "unity", "--seed", seed, "--count", "3"]);
    assert_eq!(sheet("5"), sheet("5"));
    assert_ne!(sheet("5"), sheet("6"));
    let more = json(&bench, &["exercises", "unity", "--seed", "5", "--count", "9"]);
    assert_eq!(
        more["exercises"][2],
        sheet("5")["exercises"][2],
        "a longer sheet begins alike"
    );
    for kind in ["unity", "weigh", "slurry", "blend"] {
        let told = bench.run(&["exercises", kind, "--count", "2"]).stdout;
        insta::assert_snapshot!(format!("exercises_{kind}"), told);
    }
    let page = bench.run(&["exercises", "weigh", "--page", "class.html"]);
    assert_eq!(page.code, 0, "{}", page.stderr);
    let html = std::fs::read_to_string(bench.path().join("class.html")).unwrap();
    let (sheet, key) = html.split_once(">Key<").unwrap();
    assert!(sheet.contains("on top") && !sheet.contains("in all") && key.contains("in all"));
}
