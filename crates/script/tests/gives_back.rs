//! What scripts give back: what can't be used says which item it is and what is wrong with it.

mod support;

use std::sync::Arc;

use glost_chemistry::diagnostic::Source;
use glost_core::rules::Spot;
use glost_script::{Request, Scene, Script};
use support::said;

fn of_kind(kind: &str, more: &str, entry: &str) -> Arc<Script> {
    let text = format!("const ABOUT = #{{ api: 1, kind: \"{kind}\", title: \"t\"{more} }};\n{entry}\n");
    Script::load(&format!("{kind}/mine"), Source::from_text("mine.rhai", &text))
        .unwrap_or_else(|why| panic!("{entry}: {}", said(&why)))
}

#[test]
fn tiles_that_are_none_say_which_and_why() {
    let cases = [
        (
            "[[0.5, 0.5], [1.5, -0.5]]",
            "share 2 of tile 2 is negative: -0.5 | shares are 0 to 1 and sum to 1",
        ),
        (
            "[[0.5, 0.4]]",
            "the shares of tile 1 sum to 0.9, not to 1 | shares are 0 to 1 and sum to 1",
        ),
        ("[[1, 0, 0]]", "tile 1 has 3 shares, and there are 2 ends | "),
        ("[[1]]", "tile 1 has 1 share, and there are 2 ends | "),
        ("[[1, \"0\"]]", "share 2 of tile 1 is a text, not a number | "),
        ("[[1, 0], 3]", "tile 2 is a number, not a list of shares | "),
        (
            "[#{ cod: \"A\", shares: [1, 0] }]",
            "tile 1 has a `cod` | did you mean `code`?",
        ),
        (
            "[#{ code: 3, shares: [1, 0] }]",
            "the `code` of tile 1 is a number, not a text | ",
        ),
        ("[#{ code: \"A\" }]", "tile 1 has no `shares` | "),
        (
            "#{ ends: 3, tiles: [[1, 0]] }",
            "`ends` is a number, not a list of glazes | ",
        ),
        ("#{ tiles: [[1, 0]], notes: [3] }", "note 1 is a number, not a text | "),
        (
            "#{ tiles: [[1, 0]], rows: [] }",
            "a plan has `tiles` or `rows`, not both | ",
        ),
        ("#{ notes: [] }", "a plan has `tiles` or `rows`, and here is neither | "),
    ];
    let scene = support::scene();
    let glaze = support::glaze(&scene, support::CLEAR);
    for (body, wanted) in cases {
        let script = of_kind("blend", "", &format!("fn blend(ends, option) {{ {body} }}"));
        let planned = script.blend(&[glaze.clone(), glaze.clone()], Request::default(), &scene, &[]);
        let told = planned.map_or_else(|why| said(&why.diagnostic), |_| "planned".to_owned());
        assert!(told.contains(wanted), "{body}: {told}");
    }
}

#[test]
fn causes_that_are_none_say_which_and_why() {
    const GOOD: &str = "#{ stage: \"coat\", cause: \"thick\", weight: 0.5, test: \"dips\" }";
    let cases = [
        (
            "stage: \"coat\", cause: \"thick\", weight: 5, test: \"dips\"",
            "cause 2: `weight` is 5, and should be from 0 to 1",
        ),
        (
            "stage: \"coat\", cause: \"thick\", weight: \"5\", test: \"dips\"",
            "cause 2: `weight` is a text, and should be a number from 0 to 1",
        ),
        (
            "stage: \"coat\", cause: \"thick\", test: \"dips\"",
            "cause 2: it needs a `weight`",
        ),
        (
            "cause: \"thick\", weight: 0.5, test: \"dips\"",
            "cause 2: it needs a `stage`",
        ),
        (
            "stage: \"coats\", cause: \"thick\", weight: 0.5, test: \"dips\"",
            "cause 2: no cause lies in `coats` | did you mean `coat`?",
        ),
        (
            "stage: \"coat\", cause: 3, weight: 0.5, test: \"dips\"",
            "cause 2: `cause` should be a text, and is a number",
        ),
        (
            "stage: \"coat\", cause: \"thick\", weight: 0.5, tset: \"dips\"",
            "cause 2: it has no `tset` | did you mean `test`?",
        ),
        (
            "stage: \"coat\", cause: \"thick\", weight: 0.5, test: \"dips\", number: 3",
            "cause 2: with a `number` it says `of` what, with its unit",
        ),
    ];
    let scene = support::scene();
    let glaze = support::glaze(&scene, support::CLEAR);
    let asked = |body: &str| {
        let entry = format!("fn fault(glaze, seen, option) {{ {body} }}");
        let script = of_kind("fault", ", source: \"s\", faults: [\"pinholes\"]", &entry);
        let causes = script.fault(&glaze, "pinholes", None::<Spot>, &scene, &[]);
        causes.map_or_else(|why| said(&why.diagnostic), |_| "given".to_owned())
    };
    for (item, wanted) in cases {
        let told = asked(&format!("[{GOOD}, #{{ {item} }}]"));
        assert!(told.contains(wanted), "{item}: {told}");
    }
    let told = asked("[3]");
    assert!(told.contains("cause 1: it is a number, not a table"), "{told}");
}

#[test]
fn a_swap_that_proposes_nothing_says_why() {
    let library = Arc::new(support::library());
    let scene = Arc::new(Scene {
        library: library.clone(),
        ..Scene::default()
    });
    let glaze = support::glaze(&scene, support::CLEAR);
    let solve = "materials.solve(#{ match: glaze, without: request.out, with: [\"wollastonite\"] AIM })";
    let found = solve.replace("AIM", "");
    let none = solve.replace("AIM", ", aims: [\"SiO2 >= 3\", \"SiO2 <= 2\"]");
    let cases = [
        (
            "[]".to_owned(),
            "the script proposed nothing, and asked `solve` nothing",
        ),
        (
            format!("{found}.filter(|one| false)"),
            "the script proposed nothing; its `solve` had found 2 recipes",
        ),
        (
            format!("let a = {found}; let b = {none}; []"),
            "the script proposed nothing; its `solve` had found 2 recipes",
        ),
        (none.clone(), "no recipe from these materials meets"),
        (
            format!("let a = {none}; {none}"),
            "none of the 2 questions to `solve` found a recipe; the last: no recipe from these",
        ),
        (
            "\"a glaze without clay settles\"".to_owned(),
            "a glaze without clay settles",
        ),
    ];
    for (body, wanted) in cases {
        let script = of_kind("swap", "", &format!("fn swap(glaze, option) {{ {body} }}"));
        let request = Request {
            out: vec![library.find("whiting").unwrap().clone()],
            ..Request::default()
        };
        let told = match script.swap(&glaze, request, &scene, &[]) {
            Ok(swapped) => format!("{} recipes", swapped.recipes.len()),
            Err(failure) => failure.diagnostic.message,
        };
        assert!(told.starts_with(wanted), "{body}: {told}");
    }
}
