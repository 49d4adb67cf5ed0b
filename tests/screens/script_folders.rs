//! Where scripts lie, what a studio says of libraries, and how a package is packed.

use super::bench::{Bench, Ran};

const LIBRARY: &str = "fn share(u) { u.CuO }\n";
const MANIFEST: &str = "name: club\nversion: 1.2\nauthor: the kiln club\nlicence: MIT\napi: 1\n";

fn check(title: &str) -> String {
    format!(
        "const ABOUT = #{{ api: 1, kind: \"check\", title: \"{title}\", source: \"own\" }};\nfn check(glaze, option) {{ }}\n"
    )
}

fn ask(bench: &Bench, call: &[&str]) -> Ran {
    let mut all = call.to_vec();
    all.extend(["--studio", "studio"]);
    bench.run(&all)
}

fn add_to_settings(bench: &Bench, more: &str) {
    let path = bench.path().join("studio/studio.yaml");
    let text = std::fs::read_to_string(&path).unwrap();
    std::fs::write(path, format!("{text}{more}")).unwrap();
}

#[test]
fn a_check_in_the_folder_of_another_kind_is_told() {
    let bench = Bench::example_studio();
    bench.file("studio/scripts/run/odd.rhai", check("odd"));
    bench.file("studio/scripts/check/fine.rhai", check("fine"));
    let told = "this says kind `check` and lies in `run/`: it runs as a check script";
    for call in [&["check", "Lamplight clear"][..], &["script", "test"]] {
        let ran = ask(&bench, call);
        assert_eq!(ran.stderr.matches(told).count(), 1, "{}", ran.stderr);
        assert!(!ran.stderr.contains("`check/`: it runs"), "{}", ran.stderr);
    }
    let listed = ask(&bench, &["script", "list"]).stdout;
    assert!(listed.contains("lies in `run/`"), "{listed}");
}

#[test]
fn a_library_is_one_and_can_t_be_off() {
    let bench = Bench::example_studio();
    bench.file("studio/scripts/lib/copper.rhai", LIBRARY);
    let shown = ask(&bench, &["script", "show", "lib/copper"]);
    assert!(shown.stdout.contains("Kind: library"), "{}", shown.stdout);
    add_to_settings(&bench, "scripts: { lib/copper: off }\n");
    let ran = ask(&bench, &["check", "Lamplight clear"]);
    assert_eq!(ran.code, 2);
    assert!(
        ran.stderr.contains("`lib/copper` can't be off: it is a library"),
        "{}",
        ran.stderr
    );
}

#[test]
fn packing_takes_neither_nothing_nor_its_own_product() {
    let bench = Bench::example_studio();
    bench.file("club/package.yaml", MANIFEST);
    let nothing = bench.run(&["script", "pack", "club"]);
    assert_eq!(nothing.code, 2);
    assert!(
        nothing.stderr.contains("holds nothing that a studio could use"),
        "{}",
        nothing.stderr
    );
    bench.file("club/check/fine.rhai", check("fine"));
    bench.file("club/club-1.1.tar.gz", "packed before");
    let packed = bench.run(&["script", "pack", "club"]);
    assert_eq!(packed.code, 0, "{}", packed.stderr);
    assert!(!packed.stdout.contains("club-1.1"), "{}", packed.stdout);
    bench.file("club/package.yaml", MANIFEST.replace("1.2", "one"));
    let odd = bench.run(&["script", "pack", "club"]);
    assert_eq!(odd.code, 2);
    assert!(odd.stderr.contains("`one` is no version"), "{}", odd.stderr);
}

#[test]
fn the_reference_is_asked_for_a_word() {
    let bench = Bench::empty();
    let one = bench.run(&["script", "reference", "caution"]);
    assert_eq!(one.code, 0, "{}", one.stderr);
    assert!(one.stdout.contains("glaze.caution("), "{}", one.stdout);
    assert!(!one.stdout.contains("glaze.fail("), "{}", one.stdout);
    let owner = bench.run(&["script", "reference", "material", "--format", "json"]);
    let answer: serde_json::Value = serde_json::from_str(&owner.stdout).unwrap();
    assert!(
        answer["entries"].as_array().is_some_and(|entries| entries.len() > 5),
        "{answer}"
    );
    let point = bench.run(&["script", "reference", "nothing"]);
    assert!(point.stdout.contains("It never counts as 0"), "{}", point.stdout);
    let none = bench.run(&["script", "reference", "cautoin"]);
    assert_eq!(none.code, 2);
    assert!(none.stderr.contains("did you mean `caution`?"), "{}", none.stderr);
}
