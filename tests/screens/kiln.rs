//! From a bag with a lot to pieces that were looked at: the kiln's book, and kills while it
//! is written.

use serde_json::Value;

use super::bench::{Bench, Ran};

fn json(ran: &Ran) -> Value {
    serde_json::from_str(&ran.stdout).unwrap_or_else(|error| panic!("{error}: {}{}", ran.stdout, ran.stderr))
}

fn ran(bench: &Bench, call: &[&str]) -> Ran {
    let ran = bench.run_in("studio", call);
    assert!(ran.code < 2, "{call:?}: {}{}", ran.stdout, ran.stderr);
    ran
}

/// The example studio with a clear (batch 14) and a green (15) booked in September.
fn booked() -> Bench {
    let bench = Bench::example_studio();
    let clear = [
        "weigh",
        "Lamplight clear",
        "--dry",
        "5 kg",
        "--batch",
        "14",
        "--into",
        "5 bottles",
        "--by",
        "Ada",
    ];
    ran(&bench, &[&clear[..], &["--commit", "--on", "2026-09-20"]].concat());
    let green = ["weigh", "Millpond copper green", "--dry", "2 kg", "--batch", "15"];
    ran(&bench, &[&green[..], &["--commit", "--on", "2026-09-21"]].concat());
    bench
}

const LOAD: [&str; 10] = [
    "kiln",
    "load",
    "--firing",
    "spring glost",
    "--cone",
    "9",
    "--put",
    "14 = 5 on buff stoneware at top",
    "--put",
    "15 = 4 on buff stoneware",
];

fn loaded() -> Bench {
    let bench = booked();
    ran(&bench, &[&LOAD[..], &["--on", "2026-09-28"]].concat());
    bench
}

fn opened() -> Bench {
    let bench = loaded();
    ran(
        &bench,
        &[
            "kiln",
            "opened",
            "--bent",
            "9",
            "--peak",
            "1285 C",
            "--on",
            "2026-10-01",
        ],
    );
    bench
}

/// With a cup that is in use, one that came back and one that failed a test.
fn looked_at() -> Bench {
    let bench = opened();
    bench.file("studio/photos/cup.png", "a picture");
    for more in [
        &[
            "--crazed",
            "0/5",
            "--kept",
            "in use",
            "--photo",
            "photos/cup.png",
            "--on",
            "2026-10-31",
        ][..],
        &[
            "--crazed",
            "1/5",
            "--mark",
            "K7",
            "--photo",
            "photos/lost.png",
            "--text",
            "a cup came back",
        ],
        &["--crazed", "1/1", "--test", "boil and ice"],
    ] {
        ran(&bench, &[&["note", "--batch", "14"], more].concat());
    }
    bench
}

/// A mark leads to its batch, its sisters and their pictures, and `recall` agrees with itself
/// whichever end it begins at.
#[test]
fn a_cup_came_back() {
    let bench = looked_at();
    let recall = |what: &str| json(&ran(&bench, &["recall", what, "--format", "json"]));
    let by_mark = recall("k7");
    assert_eq!(
        (&by_mark["found_as"][0], &by_mark["pieces_out"]),
        (&"mark".into(), &5.into())
    );
    for key in ["batches", "firings", "notes", "lots", "pieces_out"] {
        assert_eq!(by_mark[key], recall("14")[key], "{key}");
    }
    let by_lot = recall("305");
    assert_eq!(by_lot["batches"].as_array().unwrap().len(), 2);
    assert_eq!(
        (&by_lot["pieces_out"], &by_lot["lots"]["silica"]),
        (&9.into(), &"305".into())
    );
    let by_firing = recall("spring glost");
    assert_eq!(by_firing["firings"][0]["firing"], "spring glost");
    assert_eq!(by_firing["notes"].as_array().unwrap().len(), 3);
    let page = ["recall", "K7", "--page", "contact.html"];
    ran(&bench, &page);
    let sheet = std::fs::read_to_string(bench.path().join("studio/contact.html")).unwrap();
    assert!(sheet.contains("photos/cup.png") && sheet.contains("the picture is gone"));
    assert_eq!(bench.run_in("studio", &page).code, 2, "a page is never written over");
    let call = ["weigh", "Highfell clear", "--dry", "1 kg", "--commit", "--mark", "K7"];
    ran(&bench, &call);
    let shared = ran(&bench, &["recall", "K7"]);
    assert!(shared.stdout.contains("this mark is on batches"), "{}", shared.stdout);
}

fn screen(bench: &Bench, call: &[&str], code: u8) -> String {
    let screen = bench.screen(&[call, &["--studio", "studio"]].concat());
    assert!(screen.ends_with(&format!("--- exit {code}\n")), "{screen}");
    screen
}

macro_rules! pinned {
    ($($name:ident: $exit:literal, $bench:expr, [$($word:expr),+ $(,)?];)+) => {
        $(#[test]
        fn $name() {
            insta::assert_snapshot!(stringify!($name), screen(&$bench, &[$($word),+], $exit));
        })+
    };
}

pinned! {
    a_kiln_is_loaded: 0, booked(), ["kiln", "load", "--firing", "spring glost", "--atmosphere", "reduction", "--put", "14 = 5 at top", "--put", "15 = 4 on buff stoneware mark MG"];
    a_kiln_is_opened: 0, loaded(), ["kiln", "opened", "--bent", "9", "--peak", "1285 C", "--soak", "15 min", "--on", "2026-10-01"];
    cones_that_missed_by_five: 0, loaded(), ["kiln", "opened", "--bent", "4", "--on", "2026-10-01"];
    no_firing_yet: 0, booked(), ["kiln"];
    all_firings: 0, opened(), ["kiln", "--log"];
    a_kiln_is_loaded_by_name: 0, booked(), ["kiln", "load", "spring glost", "14 = 5 at top"];
    a_load_of_two_names: 2, booked(), ["kiln", "load", "spring", "glost", "14 = 5 at top"];
    a_load_nobody_mixed: 2, booked(), ["kiln", "load", "--put", "41 = 5 on buff stoneware"];
    a_load_on_no_clay: 2, booked(), ["kiln", "load", "--put", "14 = 5 on bluff stoneware"];
    a_load_of_nothing: 2, booked(), ["kiln", "load"];
    a_load_without_a_count: 2, booked(), ["kiln", "load", "--put", "14 on buff stoneware"];
    opened_twice: 2, opened(), ["kiln", "opened", "spring glost"];
    opened_before_it_was_loaded: 2, loaded(), ["kiln", "opened", "--on", "2026-09-27"];
    opened_with_nothing_loaded: 2, booked(), ["kiln", "opened"];
    opened_under_another_name: 2, loaded(), ["kiln", "opened", "sprng glost"];
    more_pieces_than_loaded: 2, opened(), ["note", "--batch", "14", "--crazed", "0/6"];
    looked_at_before_it_was_opened: 2, opened(), ["note", "--batch", "14", "--crazed", "0/5", "--on", "2026-09-30"];
    a_note_by_batch_alone: 0, opened(), ["note", "--batch", "14", "--looked", "ink", "--crazed", "0/5", "--on", "2026-10-31"];
    pieces_of_a_kiln_are_due: 0, opened(), ["due"];
    a_lot_is_recalled: 0, opened(), ["recall", "305"];
    a_batch_is_recalled: 0, looked_at(), ["recall", "14"];
    nothing_is_called_so: 2, opened(), ["recall", "sprong glost"];
    bottles: 0, booked(), ["label", "Lamplight clear", "--batch", "14", "--kind", "bottle"];
    a_bucket_with_its_lots: 0, booked(), ["label", "Lamplight clear", "--batch", "14"];
}

/// From a bag with a lot to looks at 30 days and seven months by batch alone.
#[test]
fn nothing_is_typed_twice() {
    let bench = opened();
    let file = "studio/materials/clay_and_silica.yaml";
    let text = std::fs::read_to_string(bench.path().join(file)).unwrap();
    bench.file(file, text.replace("lot: \"305\"", "lot: \"306\""));
    let note = json(&ran(
        &bench,
        &[
            "note",
            "--batch",
            "14",
            "--crazed",
            "0/5",
            "--on",
            "2026-10-31",
            "--format",
            "json",
        ],
    ));
    assert_eq!(note["glaze"], "Lamplight clear");
    assert_eq!(
        note["lots"]["silica"], "305",
        "the lot that was weighed, not the one that is open now"
    );
    assert_eq!(
        (&note["clay"], &note["cone"], &note["firing"]),
        (&"buff stoneware".into(), &"9".into(), &"spring glost".into())
    );
    assert_eq!((&note["age_days"], &note["version"]), (&30.into(), &"v1".into()));
    // A count alone takes how many from the load.
    let later = json(&ran(
        &bench,
        &[
            "note",
            "--batch",
            "14",
            "--crazed",
            "1",
            "--on",
            "2026-11-20",
            "--format",
            "json",
        ],
    ));
    assert_eq!((&later["pieces"], &later["age_days"]), (&5.into(), &50.into()));
    let of_lot = json(&ran(&bench, &["notes", "--lot", "305", "--format", "json"]));
    assert_eq!(of_lot["notes"].as_array().unwrap().len(), 2);
    let batches = json(&ran(&bench, &["batches", "--lot", "305", "--format", "json"]));
    assert_eq!(
        (
            &batches["batches"][0]["seen"]["crazed"],
            &batches["batches"][0]["seen"]["pieces"]
        ),
        (&1.into(), &5.into())
    );
    let nobody = bench.run_in("studio", &["notes", "--lot", "3O5"]);
    assert_eq!(nobody.code, 2);
    assert!(nobody.stderr.contains("did you mean `305`?"), "{}", nobody.stderr);
}

/// Firings whose cones missed are their own for the window, unless she says a cone.
#[test]
fn a_firing_that_missed_is_its_own() {
    let bench = opened();
    ran(&bench, &[&LOAD[..], &["--on", "2026-10-05"]].concat());
    ran(&bench, &["kiln", "opened", "--bent", "10", "--on", "2026-10-08"]);
    let both = bench.run_in("studio", &["note", "--batch", "14", "--crazed", "0/5"]);
    assert_eq!(both.code, 2);
    assert!(both.stderr.contains("batch 14 was in 2 firings"), "{}", both.stderr);
    let firings = json(&ran(&bench, &["kiln", "--format", "json"]));
    let ids: Vec<String> = firings["firings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["id"].as_str().unwrap().to_owned())
        .collect();
    let call = |id: &str, more: &[&str]| {
        let call = [
            &[
                "note", "--batch", "14", "--firing", id, "--crazed", "0/5", "--format", "json",
            ],
            more,
        ]
        .concat();
        json(&ran(&bench, &call))
    };
    assert!(call(&ids[0], &[])["missed"].is_null());
    let missed = call(&ids[1], &[]);
    assert_eq!((&missed["missed"], &missed["cone"]), (&1.0.into(), &"10".into()));
    let fit = [
        "fit",
        "Lamplight clear",
        "--clay",
        "buff stoneware",
        "--firing",
        "spring glost",
        "--format",
        "json",
    ];
    let counted = |bench: &Bench| {
        let fit = json(&bench.run_in("studio", &fit));
        let lines = fit["evidence"].as_array().unwrap().clone();
        lines
            .iter()
            .filter(|line| line["not_counted"].is_null() && line["why_not"].is_null())
            .count()
    };
    let before = counted(&bench);
    let pooled = call(&ids[1], &["--cone", "9", "--text", "the cone stood by the burner"]);
    assert!(pooled["missed"].is_null());
    assert_eq!(counted(&bench), before + 1);
}

/// A firing taken back leaves what is noted of it, and says so.
#[test]
fn a_firing_taken_back_after_notes_were_made() {
    let bench = opened();
    ran(&bench, &["note", "--batch", "14", "--crazed", "0/5"]);
    insta::assert_snapshot!(
        "a_firing_taken_back",
        screen(&bench, &["kiln", "--void", "spring glost", "--text", "another kiln"], 0)
    );
    insta::assert_snapshot!("firings_with_one_taken_back", screen(&bench, &["kiln"], 0));
    let due = json(&ran(&bench, &["due", "--format", "json"]));
    let batches: Vec<&Value> = due["due"].as_array().unwrap().iter().map(|one| &one["batch"]).collect();
    assert_eq!(batches, ["14"], "the green nobody looked at is no longer due");
}

/// Two clones load and open; whatever the order of the lines, they say the same.
#[test]
fn lines_merge_in_any_order() {
    let bench = opened();
    ran(
        &bench,
        &[
            "kiln",
            "load",
            "--put",
            "15 = 2 on buff stoneware",
            "--on",
            "2026-10-03",
        ],
    );
    ran(&bench, &["kiln", "opened", "--on", "2026-10-04", "--bent", "9"]);
    let path = bench.path().join("studio/firings.jsonl");
    let text = std::fs::read_to_string(&path).unwrap();
    let told = |bench: &Bench| {
        (
            json(&ran(bench, &["kiln", "--format", "json"])),
            json(&ran(bench, &["due", "--format", "json"])),
        )
    };
    let first = told(&bench);
    let mut lines: Vec<&str> = text.lines().collect();
    for _ in 0..lines.len() {
        lines.rotate_left(1);
        let mut twice = lines.clone();
        twice.push(lines[0]);
        std::fs::write(&path, twice.join("\n") + "\n").unwrap();
        assert_eq!(told(&bench), first);
    }
    std::fs::write(&path, format!("<<<<<<< ours\n{text}")).unwrap();
    let conflict = bench.run_in("studio", &[&LOAD[..], &["--on", "2026-10-10"]].concat());
    assert_eq!(conflict.code, 2);
    assert!(
        conflict.stderr.contains("git left its marks of a conflict"),
        "{}",
        conflict.stderr
    );
}

/// Lines that come in on stdin answer what the call leaves open.
#[test]
fn a_load_and_an_opening_by_lines() {
    let bench = booked();
    let studio = ["--studio", "studio", "--format", "json"];
    let loaded = bench.run_told(
        &[&["kiln", "load"], &studio[..]].concat(),
        "autumn\n9\n14 = 3 on buff stoneware\n15 = 2\n\n",
    );
    assert_eq!(loaded.code, 0, "{}", loaded.stderr);
    assert_eq!(json(&loaded)["firing"]["firing"], "autumn");
    let opened = bench.run_told(&[&["kiln", "opened"], &studio[..]].concat(), "9\n1285 C\n\n");
    assert_eq!(opened.code, 0, "{}", opened.stderr);
    assert_eq!(
        (&json(&opened)["firing"]["peak_c"], &json(&opened)["due"][0]["batch"]),
        (&1285.0.into(), &"14".into())
    );
    let wrong = bench.run_told(&[&["kiln", "load"], &studio[..]].concat(), "spring\nhot\n");
    assert_eq!(wrong.code, 2);
}

/// What was acknowledged stands, and `due` agrees, whenever the power goes.
#[test]
fn killed_at_every_moment_of_loading_and_opening() {
    let bench = booked();
    let mut kept: Vec<(String, bool)> = Vec::new();
    let mut died_somewhere = 0;
    for moment in 1.. {
        let text = format!("round {moment}");
        let load = [&LOAD[..], &["--text", &text, "--on", "2026-09-28", "--format", "json"]].concat();
        let (died, answer) = bench.dies(moment, &load);
        let id = serde_json::from_str::<Value>(&answer.stdout)
            .ok()
            .and_then(|load| Some(load["firing"]["id"].as_str()?.to_owned()));
        died_somewhere += u64::from(died);
        kept.extend(id.map(|id| (id, false)));
        let open = [
            "kiln",
            "opened",
            "--bent",
            "9",
            "--on",
            "2026-10-01",
            "--text",
            &text,
            "--format",
            "json",
        ];
        let (died_too, answer) = bench.dies(moment, &open);
        let opened = serde_json::from_str::<Value>(&answer.stdout).ok();
        if let Some(id) = opened.and_then(|opened| Some(opened["firing"]["id"].as_str()?.to_owned())) {
            kept.retain(|known| known.0 != id);
            kept.push((id, true));
        }
        if !died && !died_too {
            break;
        }
    }
    assert!(died_somewhere > 4, "{died_somewhere}");
    assert!(kept.iter().any(|known| known.1));
    let firings = json(&ran(&bench, &["kiln", "--format", "json"]));
    let due = json(&ran(&bench, &["due", "--format", "json"]));
    for (id, opened) in &kept {
        let all = firings["firings"].as_array().unwrap();
        let firing = all.iter().find(|firing| firing["id"] == **id);
        let firing = firing.unwrap_or_else(|| panic!("{id} was acknowledged"));
        assert!(
            !opened || !firing["opened_on"].is_null(),
            "{id} was acknowledged as opened"
        );
        let is_due = due["due"]
            .as_array()
            .unwrap()
            .iter()
            .any(|one| one["firing_id"] == **id);
        assert_eq!(is_due, !firing["opened_on"].is_null(), "{id}");
    }
}

#[test]
fn two_glazes_on_one_piece_are_loaded_noted_found_and_labelled() {
    let bench = booked();
    let load = [
        "kiln",
        "load",
        "--cone",
        "9",
        "--put",
        "Lamplight clear over 15 = 3 on buff stoneware mark K",
        "--put",
        "15 = 2 on buff stoneware",
        "--on",
        "2026-10-01",
    ];
    ran(&bench, &load);
    let opened = ran(&bench, &["kiln", "opened", "--bent", "9", "--on", "2026-10-03"]);
    assert!(
        opened.stdout.contains("--over \"Lamplight clear\""),
        "{}",
        opened.stdout
    );
    let bare = json(&ran(
        &bench,
        &["note", "--batch", "15", "--crazed", "0/2", "--format", "json"],
    ));
    assert_eq!((&bare["pieces"], &bare["over"]), (&2.into(), &Value::Null));
    let call = ["note", "--batch", "15", "--over", "Lamplight clear", "--crazed", "1/3"];
    let two = json(&ran(
        &bench,
        &[&call[..], &["--photo", "p.jpg", "--format", "json"]].concat(),
    ));
    assert_eq!(
        (&two["glaze"], &two["over"]),
        (&"Millpond copper green".into(), &"Lamplight clear".into())
    );
    let found = json(&ran(
        &bench,
        &[
            "notes",
            "Lamplight clear OVER millpond copper green",
            "--format",
            "json",
        ],
    ));
    assert_eq!(found["notes"].as_array().unwrap().len(), 1);
    // What two do together says nothing of one: listed, and not counted.
    let fit = ran(
        &bench,
        &["fit", "Millpond copper green", "--firing", "9", "--format", "json"],
    );
    assert_eq!(
        json(&fit)["evidence"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|line| line["counted"] == true)
            .count(),
        1
    );
    let screens = [
        vec!["notes", "Millpond copper green"],
        vec!["glazes", "lamplight clear over millpond copper green"],
        vec!["label", "Lamplight clear over Millpond copper green"],
    ];
    let told: Vec<String> = screens.iter().map(|call| screen(&bench, call, 0)).collect();
    insta::assert_snapshot!("kiln_two_glazes", told.join("\n---\n"));
    let jar = bench.run_in(
        "studio",
        &["label", "Lamplight clear over Millpond copper green", "--kind", "jar"],
    );
    assert_eq!(jar.code, 2, "{}", jar.stdout);
}

#[test]
fn the_page_to_take_to_the_kiln() {
    let bench = loaded();
    ran(&bench, &["kiln", "--page", "waiting.html"]);
    let page = std::fs::read_to_string(bench.path().join("studio/waiting.html")).unwrap();
    for words in [
        "spring glost",
        "batch 14",
        "buff stoneware",
        "Cones bent",
        "below 100 C",
    ] {
        assert!(page.contains(words), "{words}");
    }
    ran(&bench, &["kiln", "opened", "--bent", "9"]);
    ran(&bench, &["kiln", "--page", "empty.html"]);
    let page = std::fs::read_to_string(bench.path().join("studio/empty.html")).unwrap();
    assert!(page.contains("Cone meant") && !page.contains("batch 14"));
    assert_eq!(
        bench.run_in("studio", &["kiln", "--page", "empty.html"]).code,
        2,
        "it is there"
    );
}
