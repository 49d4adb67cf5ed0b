//! What goes amiss between notebook, ladders, lots and kiln: each line refused with its cure, or
//! told in the answer, and nothing lost.

use std::fs;

use super::bench::{Bench, Ran};

fn ran(bench: &Bench, call: &[&str]) -> Ran {
    let ran = bench.run_in("studio", call);
    assert!(ran.code < 2, "{call:?}: {}{}", ran.stdout, ran.stderr);
    ran
}

/// Each call with its exit code and what is told: the complaint, else the first lines.
fn told(bench: &Bench, calls: &[&str], lines: usize) -> String {
    let mut text = String::new();
    for call in calls {
        let words = split(call);
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let ran = bench.run_in("studio", &words);
        let said: Vec<&str> = ran.stdout.lines().take(lines).collect();
        text.push_str(&format!("$ glost {call}\n{}", ran.stderr));
        if !said.is_empty() {
            text.push_str(&said.join("\n"));
            text.push('\n');
        }
        text.push_str(&format!("--- exit {}\n\n", ran.code));
    }
    text
}

/// Words of a call, those between double quotes together.
fn split(call: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for (place, part) in call.split('"').enumerate() {
        if place % 2 == 1 {
            words.push(part.to_owned());
        } else {
            words.extend(part.split_whitespace().map(str::to_owned));
        }
    }
    words
}

fn notes(bench: &Bench) -> String {
    fs::read_to_string(bench.path().join("studio/notes.jsonl")).unwrap_or_default()
}

const LADDER: &str = "blend series \"bought clear\" --add \"silica 0, 3, 6, 9 %\" --save sil";

/// The example studio with a ladder of silica whose tiles were looked at, and one looked at
/// after a test.
fn with_a_ladder() -> Bench {
    let bench = Bench::example_studio();
    let made: Vec<String> = split(LADDER);
    ran(&bench, &made.iter().map(String::as_str).collect::<Vec<_>>());
    for (tile, crazed) in [("A1", "5/5"), ("A2", "3/5"), ("A3", "0/5")] {
        let tile = format!("sil/{tile}");
        let look = ["note", "--tile", &tile, "--clay", "white earthenware", "--age", "30d"];
        ran(&bench, &[&look[..], &["--crazed", crazed]].concat());
    }
    bench
}

#[test]
fn lines_of_evidence_that_cannot_be() {
    let bench = with_a_ladder();
    bench.file(
        "studio/twice.csv",
        "on,glaze,clay,age,crazed\n2026-11-20,bought clear,white earthenware,30d,0/5\n2026-11-20,bought clear,white earthenware,30d,0/5\n",
    );
    bench.file("studio/seven.csv", "on,glaze,grade gloss\n2026-11-20,bought clear,7\n");
    bench.file("studio/one.csv", "a,b,crazed\n1,0,0/5\n");
    let before = notes(&bench);
    let refused = [
        "note \"bought clear\" --crazed 7/5",
        "note \"bought clear\" --grade gloss=7",
        "note --sheet twice.csv",
        "note --sheet seven.csv",
        "note \"bought clear\" --crazed 0/5 --on 2027-01-01",
        "notes --lot ZZ",
        "note --void 77",
        "fit \"bought clear\" --firing \"con 9\"",
        "blend series \"bought clear\" --add \"silica 0, 3 %\" --add \"kaolin 0, 3 %\"",
    ];
    insta::assert_snapshot!("amiss_evidence_refused", told(&bench, &refused, 0));
    assert_eq!(notes(&bench), before, "nothing is written of what is refused");
    let answered = [
        "results --data one.csv --shares a,b --value crazed --lowers b --next 0",
        "results sil --grade crazed --next 0",
    ];
    insta::assert_snapshot!("amiss_evidence_answered", told(&bench, &answered, 4));
}

#[test]
fn a_void_of_a_void_stands_again() {
    let bench = with_a_ladder();
    ran(&bench, &["note", "--void", "3"]);
    ran(&bench, &["note", "--void", "4"]);
    let again = bench.run_in("studio", &["notes", "--tile", "sil/A3"]);
    assert!(again.stdout.contains("0 of 5"), "{}", again.stdout);
}

#[test]
fn a_plan_whose_file_is_gone() {
    let bench = with_a_ladder();
    let file = bench.path().join("studio/plans/sil.json");
    let plan = fs::read(&file).unwrap();
    let fit = || bench.run_in("studio", &["fit", "bought clear"]).stdout;
    assert!(fit().starts_with("Crazes: 5 of 5"), "{}", fit());
    fs::remove_file(&file).unwrap();
    let calls = [
        "plan sil",
        "results sil --grade crazed",
        "note --tile sil/A2 --crazed 0/5",
        "note --again 2 --crazed 4/5",
    ];
    insta::assert_snapshot!("amiss_plan_gone", told(&bench, &calls, 1));
    assert!(fit().contains("(is its plan's file gone?)"), "{}", fit());
    fs::write(&file, plan).unwrap();
    assert!(fit().starts_with("Crazes: 5 of 5"), "it counts again");
}

#[test]
fn mixed_ages_in_one_batch_and_crazes_that_heal() {
    let bench = Bench::example_studio();
    for look in [
        ["--age", "30d", "--on", "2026-06-01", "--crazed", "2/5"],
        ["--age", "200d", "--on", "2026-06-01", "--crazed", "0/5"],
    ] {
        let note = ["note", "bought clear", "--batch", "b1"];
        ran(&bench, &[&note[..], &look].concat());
    }
    let fit = bench.run_in("studio", &["fit", "bought clear"]);
    assert_eq!(fit.code, 1);
    assert!(
        fit.stdout
            .starts_with("Crazes: 2 crazed, though a later look says 0 of 5"),
        "{}",
        fit.stdout
    );
    assert!(fit.stdout.contains("These disagree:"), "{}", fit.stdout);
}

#[test]
fn a_torture_test_is_told_first_and_never_as_time_on_the_shelf() {
    let bench = Bench::example_studio();
    let note = |more: &[&str]| {
        let pieces = ["note", "bought clear", "--batch", "b1", "--age", "200d"];
        ran(&bench, &[&pieces[..], more].concat()).stdout
    };
    note(&["--crazed", "0/6"]);
    let passed = note(&["--crazed", "0/2", "--test", "boil and ice"]);
    assert!(passed.contains("raises nothing"), "{passed}");
    note(&["--crazed", "2/3", "--test", "boil and ice"]);
    let later = note(&["--crazed", "0/6", "--text", "once more"]);
    assert!(!later.contains("Doesn't fit"), "{later}");
    let notes = bench.run_in("studio", &["notes"]).stdout;
    assert!(
        notes.contains("none of 6 pieces crazed so far; 2 of 3 crazed in boil\nand ice (line 3)"),
        "{notes}"
    );
    let due = bench.run_in("studio", &["due"]).stdout;
    assert!(due.contains("look at 1 year"), "what is left is looked at on: {due}");
    let fit = bench.run_in("studio", &["fit", "bought clear"]);
    assert!(
        fit.stdout.starts_with("2 of 3 pieces crazed in boil and ice (line 3)."),
        "{}",
        fit.stdout
    );
    assert_eq!(fit.code, 1);
}

/// With batches 14 and 15 that share a mark, and 14 in a firing that was opened.
fn fired() -> Bench {
    let bench = Bench::example_studio();
    for (glaze, batch) in [("Lamplight clear", "14"), ("Highfell clear", "15")] {
        let weigh = ["weigh", glaze, "--dry", "1 kg", "--batch", batch, "--mark", "sun"];
        ran(&bench, &[&weigh[..], &["--commit", "--on", "2026-09-20"]].concat());
    }
    let load = ["kiln", "load", "--firing", "autumn", "--cone", "9", "--put"];
    ran(
        &bench,
        &[&load[..], &["14 = 6 on buff stoneware", "--on", "2026-09-28"]].concat(),
    );
    ran(&bench, &["kiln", "opened", "--bent", "9", "--on", "2026-10-01"]);
    bench
}

#[test]
fn lines_of_the_kiln_that_cannot_be() {
    let bench = fired();
    let calls = [
        "kiln load --put \"99 = 6 on buff stoneware\"",
        "kiln load --put \"14 = 0\"",
        "kiln load --put \"14 = 6 on buf stoneware\"",
        "kiln opened autumn --bent 9",
        "kiln opened",
        "note --batch 14 --crazed 0/9",
        "note --batch 14 --crazed 0/6 --on 2026-09-30",
        "note --mark sun --crazed 1/1",
        "note --mark moon --crazed 1/1",
        "recall moon",
        "recall sun",
        "note --batch 14 --crazed 0/6 --photo nowhere.jpg",
        "kiln load --firing winter --cone 6 --put \"15 = 3 on buff stoneware\" --on 2026-10-05",
        "kiln opened winter --bent 6 --on 2026-10-01",
        "kiln opened winter --bent 1 --peak \"1222 F\" --on 2026-10-06",
        "kiln load --firing autumn --cone 9 --put \"15 = 2 on buff stoneware\"",
        "kiln load --firing autumn --cone 9 --put \"15 = 1 on buff stoneware\"",
    ];
    insta::assert_snapshot!("amiss_kiln", told(&bench, &calls, 8));
}

#[test]
fn a_mark_alone_tells_the_batch_of_a_cup_that_came_back() {
    let bench = fired();
    ran(&bench, &["batches", "--void", "15"]);
    let note = ran(
        &bench,
        &["note", "--mark", "sun", "--crazed", "1/6", "--format", "json"],
    );
    for part in [
        "\"batch\": \"14\"",
        "\"glaze\": \"Lamplight clear\"",
        "\"firing\": \"autumn\"",
    ] {
        assert!(note.stdout.contains(part), "{part}: {}", note.stdout);
    }
}

/// A number that was used before, by hand: pieces fired before the batch was mixed are none of
/// it; those whose notes name no lot are told apart.
#[test]
fn a_lot_is_recalled_without_what_may_not_be_of_it() {
    let bench = Bench::example_studio();
    let weigh = ["weigh", "Lamplight clear", "--dry", "1 kg", "--batch", "3", "--commit"];
    ran(&bench, &[&weigh[..], &["--on", "2026-09-01"]].concat());
    let look = |on: &str, age: u32, pieces: u32, batch: &str| {
        format!(
            "{{\"on\": \"{on}\", \"glaze\": \"Lamplight clear\", \"clay\": \"buff stoneware\", {batch}\"age_days\": {age}, \"pieces\": {pieces}, \"crazed\": 0}}\n"
        )
    };
    let numbered = "\"batch\": \"3\", ";
    let book = [
        look("2025-06-01", 30, 5, numbered),
        look("2026-10-01", 7, 4, numbered),
        look("2026-10-01", 7, 3, ""),
        look("2025-06-01", 30, 2, ""),
    ];
    let book = book.concat();
    bench.file("studio/notes.jsonl", book);
    ran(&bench, &["note", "--batch", "3", "--age", "2d", "--crazed", "0/6"]);
    let recall = ran(&bench, &["recall", "42", "--as", "lot"]).stdout;
    insta::assert_snapshot!("amiss_recall_of_a_lot", recall);
}

#[test]
fn a_new_lot_is_opened_beside_the_old() {
    let bench = Bench::example_studio();
    let shelf = "materials:
  - name: pit kaolin   # by the door
    kind: clay
    analysis: { SiO2: 47, Al2O3: 37.5, Fe2O3: 0.6 }
    loss_on_ignition: 13
    basis: as supplied
    source: supplier sheet
    lot: K7   # the bag says
    stock: 2 kg
  - { name: pit sand, kind: mineral, formula: SiO2, source: x, lot: S1, stock: 3 kg } # coarse
";
    bench.file("studio/materials/pit.yaml", shelf);
    let calls = [
        "add lot \"pit kaolin\" --lot L2 --stock \"5 kg\" --analysis \"SiO2 49, Al2O3 36, Fe2O3 1.2, loss 12.4\"",
        "add lot \"pit kaolin\" --lot L3 --stock \"1 kg\"",
        "add lot \"pit sand\" --lot S2 --stock \"4 kg\"",
        "add lot \"pit kaolin\" --lot k7 --stock \"5 kg\"",
        "add lot \"pit kaolin\" --lot L4",
        "add lot \"pit kaolin\" --stock \"5 kg\"",
        "add lot \"pit kaolin\" --lot L4 --stock much",
        "add lot \"pit kaolin\" --lot L4 --stock \"5 kg\" --price \"2 EUR/kg\"",
        "add lot \"pit kaolin\" --lot L4 --stock \"5 kg\" --analysis unknown",
        "add lot \"pit kaolin\" --lot L4 --stock \"5 kg\" --analysis \"SiO2 20\"",
        "add lot \"pit koalin\" --lot L4 --stock \"5 kg\"",
        "add lot \"Lamplight clear\" --lot L4 --stock \"5 kg\"",
    ];
    let told = told(&bench, &calls, 20);
    let file = fs::read_to_string(bench.path().join("studio/materials/pit.yaml")).unwrap();
    insta::assert_snapshot!("amiss_new_lots", format!("{told}{file}"));
}

#[test]
fn a_ladders_strip_is_on_its_plans_page() {
    let bench = with_a_ladder();
    for page in ["sil.svg", "sil.html"] {
        ran(&bench, &["plan", "sil", "--page", page]);
        let text = fs::read_to_string(bench.path().join("studio").join(page)).unwrap();
        for part in [
            "silica step by step",
            "A2: + 3 %",
            "3 of 5",
            "30 days",
            "held",
            "not looked at",
        ] {
            assert!(text.contains(part), "{page}: {part}");
        }
    }
}
