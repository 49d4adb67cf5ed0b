//! Test tiles: a plan that is kept, what is weighed for it, grades on its map.

use crate::bench::{Bench, sent};

const PLAN: &str = "/plan?plan=autumn+tri";

fn planned(bench: &Bench) -> String {
    let plan = "kind=triaxial&end=Lamplight+clear&end=Highfell+clear&end=Honeyjar+amber&steps=3&save=autumn+tri";
    sent(bench, "/tiles", "/tiles", plan).body
}

#[test]
fn a_plan_is_kept_with_what_to_weigh() {
    let bench = Bench::of_the_example();
    let made = planned(&bench);
    assert!(made.contains("The plan is kept as autumn tri"), "{made}");
    assert!(!made.contains("--volume") && !made.contains("glost note"), "{made}");
    // The tiles of a plan stand in two blocks, each with its own heading.
    assert!(made.contains("<th scope=\"col\">D4</th>"), "{made}");
    let page = bench.get(PLAN).body;
    assert!(page.contains("Show what to weigh"), "{page}");
    let sheet = sent(&bench, "/plan/sheet", PLAN, "plan=autumn+tri").body;
    assert!(
        sheet.contains("feldspar A")
            && sheet.contains("<th scope=\"col\">A1</th>")
            && !sheet.contains("role=\"alert\""),
        "{sheet}"
    );
    assert!(!sheet.contains("changed since"));
    let changed = ["set", "Honeyjar amber", "parts.silica=21"];
    assert_eq!(bench.at_the_terminal(&changed).0, 0);
    assert!(
        sent(&bench, "/plan/sheet", PLAN, "plan=autumn+tri")
            .body
            .contains("changed since")
    );
}

#[test]
fn grades_stand_on_the_map_with_what_they_teach() {
    let bench = Bench::of_the_example();
    planned(&bench);
    let grades: String = ["A1", "B1", "B2", "C1", "C2", "C3", "D1", "D2", "D3", "D4"]
        .iter()
        .zip([1, 2, 3, 2, 3, 4, 1, 3, 4, 5])
        .map(|(code, grade)| format!("&grade-{code}={grade}"))
        .collect();
    let noted = sent(
        &bench,
        "/plan",
        PLAN,
        &format!("plan=autumn+tri&property=gloss&age=fresh{grades}"),
    )
    .body;
    for page in [noted, bench.get(PLAN).body] {
        assert!(
            page.contains("<strong class=\"grade\">5</strong>") && page.contains("was 5"),
            "{page}"
        );
        assert!(page.contains("Results on the map") && page.contains("<svg"), "{page}");
        assert!(
            page.contains("/tiles?kind=triaxial&amp;end=Lamplight%20clear"),
            "{page}"
        );
    }
    let look = bench.get("/look").body;
    assert!(look.contains("10 of the tiles of autumn tri"), "{look}");
    let (code, told) = bench.at_the_terminal(&["note", "--tile", "autumn tri/Z9", "--crazed", "0/1"]);
    assert!(
        code == 2 && !told.contains("kept here any more") && told.contains("Z9"),
        "{told}"
    );
}
