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
fn a_check_in_no_folder_or_one_below_is_told() {
    for (path, place) in [
        ("stray.rhai", "lies in no folder"),
        ("check/sub/foo.rhai", "lies in `check/sub/`"),
    ] {
        let bench = Bench::example_studio();
        bench.file(&format!("studio/scripts/{path}"), check("odd"));
        let told = format!("this says kind `check` and {place}: it runs as a check script");
        let ran = ask(&bench, &["check", "Lamplight clear"]);
        assert_eq!(ran.stderr.matches(&told).count(), 1, "{}", ran.stderr);
        let listed = ask(&bench, &["script", "list"]).stdout;
        assert!(listed.contains(place), "{listed}");
    }
}

#[test]
fn a_failing_test_is_named_and_placed_where_the_package_lies() {
    let bench = Bench::example_studio();
    bench.file("club/package.yaml", MANIFEST);
    let failing = format!(
        "{}fn test_never(t) {{ t.claim(1 == 2, \"one is two\"); }}\n",
        check("fine")
    );
    bench.file("club/check/fine.rhai", failing);
    let ran = bench.run(&["script", "pack", "club/"]);
    assert_eq!(ran.code, 2);
    assert!(
        ran.stderr.contains("test_never: one is two") && ran.stderr.contains("\nclub/check/fine.rhai:3:1"),
        "{}",
        ran.stderr
    );
    bench.file("club/check/fine.rhai", "const ABOUT = 3;");
    let ran = bench.run(&["script", "pack", "club"]);
    assert!(ran.stderr.contains("\nclub/check/fine.rhai:1:"), "{}", ran.stderr);
}

#[test]
fn packing_twice_and_an_odd_key_say_how_to_go_on() {
    let bench = Bench::example_studio();
    bench.file("club/package.yaml", MANIFEST);
    bench.file("club/check/fine.rhai", check("fine"));
    assert_eq!(bench.run(&["script", "pack", "club"]).code, 0);
    let again = bench.run(&["script", "pack", "club"]);
    assert_eq!(again.code, 2);
    assert!(
        again.stderr.contains("raise `version` in package.yaml"),
        "{}",
        again.stderr
    );
    bench.file("club/package.yaml", MANIFEST.replace("licence", "license"));
    let odd = bench.run(&["script", "pack", "club"]);
    assert!(
        odd.stderr.contains("the form of package.yaml has no `license`")
            && odd.stderr.contains("did you mean `licence`?"),
        "{}",
        odd.stderr
    );
}

#[test]
fn studio_yaml_is_answered_as_studio_yaml() {
    for (scripts, says) in [
        (
            "check/alkali-balance: { alkali_most: much }",
            "such as `alkali_most: 0.35`",
        ),
        (
            "check/alkali-balance: { level: warning }",
            "note, caution, fail; `off` turns it off",
        ),
        ("check/barium: off, check/barium: off", "help: keep one of them\n"),
    ] {
        let bench = Bench::example_studio();
        add_to_settings(&bench, &format!("scripts: {{ {scripts} }}\n"));
        let ran = ask(&bench, &["check", "Lamplight clear"]);
        assert_eq!(ran.code, 2, "{scripts}: {}", ran.stdout);
        assert!(ran.stderr.contains(says), "{scripts}: {}", ran.stderr);
    }
}

#[test]
fn a_script_of_no_near_name_is_not_guessed_by_its_folder() {
    let bench = Bench::empty();
    let asked = |name: &str| {
        bench
            .run(&["swap", "Lamplight clear", "--out", "whiting", "--script", name])
            .stderr
    };
    let none = asked("swap/nope");
    assert!(none.contains("help: see `glost script list`"), "{none}");
    let near = asked("swap/closets");
    assert!(near.contains("did you mean `swap/closest`?"), "{near}");
}

#[test]
fn a_swap_that_keeps_nothing_says_so() {
    let bench = Bench::empty();
    for (body, says) in [
        (
            "materials.solve(#{ match: glaze, without: request.out }).filter(|one| false)",
            "Why: the script proposed nothing; its `solve` had found ",
        ),
        (
            "\"without whiting it can't be had.\"",
            "Why: without whiting it can't be had.\n",
        ),
    ] {
        bench.file(
            "own.rhai",
            format!(
                "const ABOUT = #{{ api: 1, kind: \"swap\", title: \"t\" }};\nfn swap(glaze, option) {{ {body} }}\n"
            ),
        );
        let ran = bench.run(&["swap", "Lamplight clear", "--out", "whiting", "--script", "own.rhai"]);
        assert_eq!(ran.code, 1, "{}", ran.stderr);
        assert!(ran.stdout.contains(says), "{}", ran.stdout);
    }
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
