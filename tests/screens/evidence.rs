//! What was seen comes before what is computed; what is due as a calendar.

use super::bench::Bench;

const NOTES: &str = r#"{"on": "2026-05-20", "glaze": "Driftstone satin matt", "clay": "buff stoneware", "cone": "6", "batch": "3", "age_days": 180, "pieces": 10, "crazed": 0, "shivered": 0}
{"on": "2026-05-20", "glaze": "Honeyjar amber", "clay": "buff stoneware", "cone": "6", "age_days": 426, "pieces": 20, "crazed": 2, "text": "rims; feet, both"}
{"on": "2026-05-20", "glaze": "Honeyjar amber", "clay": "buff stoneware", "cone": "6", "age_days": 30, "pieces": 4, "crazed": 0}
{"on": "2026-05-20", "glaze": "Millpond copper green", "clay": "buff stoneware", "cone": "6", "age_days": 21, "pieces": 5, "crazed": 5}
{"on": "2026-11-24", "glaze": "bought clear", "clay": "white earthenware", "age_days": 30, "pieces": 10, "crazed": 0}
"#;

fn studio(notes: &str) -> Bench {
    let bench = Bench::example_studio();
    bench.file("studio/notes.jsonl", notes);
    bench
}

fn check(bench: &Bench, further: &[&str]) -> String {
    bench.screen(&[&["check"], further, &["--studio", "studio"]].concat())
}

fn json(bench: &Bench, arguments: &[&str]) -> serde_json::Value {
    let ran = bench.run(&[arguments, &["--studio", "studio", "--format", "json"]].concat());
    serde_json::from_str(&ran.stdout).unwrap_or_else(|why| panic!("{why}: {}", ran.stdout))
}

#[test]
fn outdoors_hears_of_its_pieces_and_of_frost_first() {
    let bench = studio(NOTES);
    let screen = check(&bench, &["Driftstone satin matt", "--use", "outdoor"]);
    assert!(screen.ends_with("--- exit 1\n"), "unsure is a no outdoors");
    insta::assert_snapshot!(screen);
    let seen = &json(&bench, &["check", "Driftstone satin matt", "--use", "outdoor"])["seen"];
    assert_eq!(seen["zone_craze"], "unsure");
    assert_eq!((&seen["pieces"], &seen["crazed"]), (&10.into(), &0.into()));
    assert_eq!(seen["frost"]["standing"], "with care");
    assert!(seen["absorption"].as_f64().is_some());
}

#[test]
fn tableware_hears_of_crazed_pieces_first() {
    let bench = studio(NOTES);
    let screen = check(&bench, &["Millpond copper green", "--use", "tableware"]);
    assert!(screen.contains("On buff stoneware (cone 6): Crazes: 5 of 5 pieces crazed"));
    assert!(screen.ends_with("--- exit 1\n"));
    let seen = &json(&bench, &["check", "Millpond copper green", "--use", "tableware"])["seen"];
    assert_eq!(seen["zone_craze"], "crazes");
    assert!(seen["frost"].is_null());
    // A wall asks for chemistry alone, and so does a script that is named.
    for call in [
        &["check", "Millpond copper green", "--use", "wall tile"][..],
        &[
            "check",
            "Millpond copper green",
            "--use",
            "tableware",
            "--script",
            "barium",
        ],
    ] {
        assert!(json(&bench, call).get("seen").is_none(), "{call:?}");
    }
}

#[test]
fn a_check_and_fit_say_the_same_of_a_use() {
    let bench = studio(NOTES);
    for glaze in ["Driftstone satin matt", "Honeyjar amber", "Lamplight clear"] {
        let check = json(&bench, &["check", glaze, "--use", "tableware"]);
        let fit = json(&bench, &["fit", glaze, "--use", "tableware"]);
        for key in ["zone_craze", "zone_shiver", "p_craze", "p_shiver", "pieces", "batches"] {
            assert_eq!(check["seen"][key], fit[key], "{glaze}: {key}");
        }
    }
}

#[test]
fn without_a_clay_or_without_pieces_that_is_said_first() {
    let bench = studio("");
    bench.file(
        "studio/glazes/plain.yaml",
        "glaze: Plain\ncone: 6\nparts: { feldspar A: 50, silica: 30, whiting: 20 }\n",
    );
    let without_clay = check(&bench, &["Plain", "--use", "tableware"]);
    assert!(
        without_clay.contains("What was seen can't be looked up: no clay is known."),
        "{without_clay}"
    );
    let without_pieces = check(&bench, &["Plain", "--use", "outdoor", "--clay", "buff stoneware"]).replace('\n', " ");
    assert!(
        without_pieces.contains("no piece of it on this clay was looked at yet"),
        "{without_pieces}"
    );
    // Nobody looked: what stops the glaze then is chemistry, or the clay in frost.
    assert_eq!(
        json(
            &bench,
            &["check", "Plain", "--use", "tableware", "--clay", "buff stoneware"]
        )["seen"]["says_no"],
        false
    );
}

/// Lines of an iCalendar text, unfolded, after what RFC 5545 asks of lines is checked.
fn content_lines(text: &str) -> Vec<String> {
    assert!(text.ends_with("\r\n"), "3.1: lines end in CRLF");
    let mut lines: Vec<String> = Vec::new();
    for line in text.trim_end_matches("\r\n").split("\r\n") {
        assert!(line.len() <= 75, "3.1: at most 75 octets: {line}");
        assert!(!line.contains(['\r', '\n']), "3.1: no bare CR or LF: {line:?}");
        match line.strip_prefix(' ') {
            Some(rest) => lines
                .last_mut()
                .expect("3.1: the first line is no continuation")
                .push_str(rest),
            None => lines.push(line.to_owned()),
        }
    }
    lines
}

/// 3.3.11: a backslash escapes one of `\ ; , n N`, and those signs stand behind one.
fn is_text(value: &str) -> bool {
    let mut signs = value.chars();
    while let Some(sign) = signs.next() {
        let sound = match sign {
            '\\' => signs.next().is_some_and(|next| "\\;,nN".contains(next)),
            ';' | ',' => false,
            other => other == '\t' || !other.is_control(),
        };
        if !sound {
            return false;
        }
    }
    true
}

fn is_day(value: &str) -> bool {
    let part = |range: std::ops::Range<usize>| value.get(range).and_then(|part| part.parse::<u32>().ok());
    value.len() == 8
        && value.bytes().all(|sign| sign.is_ascii_digit())
        && part(4..6).is_some_and(|month| (1..=12).contains(&month))
        && part(6..8).is_some_and(|day| (1..=31).contains(&day))
}

/// One event's properties by name, each at most once (3.6.1).
fn event(lines: &[String]) -> std::collections::BTreeMap<&str, &str> {
    let mut found = std::collections::BTreeMap::new();
    for line in lines {
        let (name, value) = line.split_once(':').expect("3.1: name \":\" value");
        assert!(found.insert(name, value).is_none(), "3.6.1: {name} once");
    }
    for required in ["UID", "DTSTAMP"] {
        assert!(found.contains_key(required), "3.6.1: {required} is required");
    }
    let stamp = found["DTSTAMP"];
    assert!(
        is_day(&stamp[..8]) && &stamp[8..] == "T000000Z",
        "3.3.5, in UTC: {stamp}"
    );
    assert!(is_day(found["DTSTART;VALUE=DATE"]), "3.3.4");
    for text in ["UID", "SUMMARY", "DESCRIPTION"] {
        assert!(is_text(found[text]), "3.3.11: {}", found[text]);
    }
    found
}

/// The UIDs and days of a calendar that keeps the rules of RFC 5545.
fn events(text: &str) -> Vec<(String, String)> {
    let lines = content_lines(text);
    assert_eq!(lines.first().map(String::as_str), Some("BEGIN:VCALENDAR"), "3.4");
    assert_eq!(lines.last().map(String::as_str), Some("END:VCALENDAR"), "3.4");
    let head: Vec<&String> = lines[1..].iter().take_while(|line| *line != "BEGIN:VEVENT").collect();
    for (property, times) in [("VERSION:2.0", 1), ("PRODID:", 1)] {
        assert_eq!(
            head.iter().filter(|line| line.starts_with(property)).count(),
            times,
            "3.6"
        );
    }
    let mut rest = &lines[1 + head.len()..lines.len() - 1];
    let mut found = Vec::new();
    while let Some(length) = rest.iter().position(|line| line == "END:VEVENT") {
        assert_eq!(rest[0], "BEGIN:VEVENT", "3.6.1");
        let one = event(&rest[1..length]);
        found.push((one["UID"].to_owned(), one["DTSTART;VALUE=DATE"].to_owned()));
        rest = &rest[length + 1..];
    }
    assert!(rest.is_empty() && !found.is_empty(), "3.6: at least one component");
    let uids: std::collections::BTreeSet<&String> = found.iter().map(|(uid, _)| uid).collect();
    assert_eq!(uids.len(), found.len(), "3.8.4.7: a UID for each");
    found
}

fn calendar(bench: &Bench, file: &str) -> String {
    let ran = bench.run(&["due", "--studio", "studio", "--page", file]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    std::fs::read_to_string(bench.path().join(file)).unwrap()
}

#[test]
fn due_as_a_calendar_file_keeps_the_rules_of_its_standard() {
    let bench = studio(NOTES);
    let all = events(&calendar(&bench, "first.ics"));
    let due = json(&bench, &["due"]);
    let days: Vec<String> = due["due"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["on"].as_str().unwrap().replace('-', ""))
        .collect();
    assert_eq!(all.iter().map(|(_, day)| day.clone()).collect::<Vec<_>>(), days);
    insta::assert_snapshot!(calendar(&bench, "again.ics").replace("\r\n", "\n"));
    // In another order, as after a merge, and with a further line: known ones keep their UID.
    let mut lines: Vec<&str> = NOTES.lines().rev().collect();
    lines.push(r#"{"on": "2026-11-25", "glaze": "Lamplight clear", "clay": "buff stoneware", "age_days": 1, "pieces": 5, "crazed": 0}"#);
    let merged = events(&calendar(&studio(&format!("{}\n", lines.join("\n"))), "merged.ics"));
    assert_eq!(merged.len(), all.len() + 1);
    assert!(all.iter().all(|one| merged.contains(one)), "{all:?} {merged:?}");
}

#[test]
fn due_as_a_page_draws_months() {
    let bench = studio(NOTES);
    let html = calendar(&bench, "due.html");
    for words in ["What to look at again", "April 2027", ">Mon<", "1 bought clear"] {
        assert!(html.contains(words), "{words}");
    }
    let ran = bench.run(&["due", "--studio", "studio", "--ics", "due.ics"]);
    assert!(ran.stdout.contains("due.ics"), "{}", ran.stdout);
    // Nothing is written over.
    assert_eq!(bench.run(&["due", "--studio", "studio", "--ics", "due.ics"]).code, 2);
}

#[test]
fn calendars_that_cannot_be_written() {
    let bench = studio("");
    let mut told = String::new();
    for call in [
        &["due", "--page", "due.pdf"][..],
        &["due", "--ics", "due.html"],
        &["due", "--page", "a.ics", "--ics", "b.ics"],
        &["due", "--ics", "nothing.ics"],
    ] {
        told.push_str(&bench.screen(&[call, &["--studio", "studio"]].concat()));
    }
    assert!(!bench.path().join("nothing.ics").exists());
    insta::assert_snapshot!(told);
}

/// A saved ladder on a bought powder, noted: 0, 3, 6, 9 % silica.
fn ladder() -> Bench {
    let bench = studio("");
    let saved = bench.run_in(
        "studio",
        &[
            "blend",
            "series",
            "bought clear",
            "--add",
            "silica 0, 3, 6, 9 %",
            "--save",
            "lad",
        ],
    );
    assert_eq!(saved.code, 0, "{}", saved.stderr);
    for (tile, crazed) in [
        ("lad/A1", "5/5"),
        ("lad/A2", "3/5"),
        ("lad/A3", "0/5"),
        ("lad/A4", "0/5"),
    ] {
        let noted = bench.run_in(
            "studio",
            &[
                "note",
                "--tile",
                tile,
                "--clay",
                "white earthenware",
                "--firing",
                "6",
                "--age",
                "30d",
                "--crazed",
                crazed,
            ],
        );
        assert_eq!(noted.code, 0, "{}", noted.stderr);
    }
    bench
}

/// A step that has no file is asked about by its name, and the noted tile is that step.
#[test]
fn a_step_of_a_ladder_without_a_file_is_a_glaze_that_fits_or_not() {
    let bench = ladder();
    let fit = |name: &str| json(&bench, &["fit", name, "--clay", "white earthenware", "--firing", "6"]);
    let tile = fit("bought clear + 3 % silica");
    assert_eq!(
        (&tile["pieces"], &tile["crazed"], &tile["zone_craze"]),
        (&5.into(), &3.into(), &"crazes".into())
    );
    for key in ["p_craze", "p_shiver", "window"] {
        assert_eq!(tile[key], fit("lad/A2")[key], "{key}");
    }
    // Between tiles nobody made one: the ladder speaks for it.
    let between = fit("bought clear + 7.5 % silica");
    assert_eq!(between["pieces"], 0);
    let chance = |fit: &serde_json::Value| fit["p_craze"].as_f64().unwrap();
    assert!(chance(&between) < chance(&fit("bought clear + 6 % silica")));
    let words = bench.screen(&[
        "fit",
        "bought clear + 6 % silica",
        "--clay",
        "white earthenware",
        "--firing",
        "6",
        "--studio",
        "studio",
    ]);
    insta::assert_snapshot!(words);
}

#[test]
fn a_ladder_is_drawn_as_tiles_in_a_row_and_the_line_by_age() {
    let bench = ladder();
    let fit = [
        "fit",
        "bought clear",
        "--clay",
        "white earthenware",
        "--firing",
        "6",
        "--studio",
        "studio",
    ];
    let drawn = |arguments: &[&str], file: &str| {
        let ran = bench.run(&[arguments, &["--page", file]].concat());
        assert!(ran.code < 2, "{}", ran.stderr);
        std::fs::read_to_string(bench.path().join(file)).unwrap()
    };
    for file in ["fit.svg", "fit.html"] {
        let fit = drawn(&fit, file);
        for words in [
            "bought clear with silica",
            "+ 3 %",
            ">crazed<",
            ">held<",
            "3 of 5",
            "30 days",
        ] {
            assert!(fit.contains(words), "{file}: {words}");
        }
        assert!(fit.contains("Where crazing starts, by the age of the pieces"), "{file}");
    }
    let results = drawn(
        &["results", "lad", "--grade", "crazed", "--studio", "studio"],
        "results.svg",
    );
    for words in ["A2: + 3 %", "3 of 5", ">held<"] {
        assert!(results.contains(words), "{words}");
    }
}

/// A powder of which nothing is told stands on the line all the same.
#[test]
fn the_line_by_age_places_unknown_powders_by_their_chance() {
    let bench = ladder();
    bench.file(
        "bag.yaml",
        "materials:\n  - { name: 'bought clear, lot 4', kind: powder, analysis: unknown, source: bag }\n",
    );
    let ran = bench.run(&[
        "fit",
        "bought clear",
        "--clay",
        "white earthenware",
        "--firing",
        "6",
        "--studio",
        "studio",
        "--materials",
        "bag.yaml",
        "--page",
        "unknown.svg",
    ]);
    assert!(ran.code < 2, "{}", ran.stderr);
    let drawn = std::fs::read_to_string(bench.path().join("unknown.svg")).unwrap();
    assert!(drawn.contains("(bought clear)") && drawn.contains("same chance of crazing"));
}

/// What a notebook is told wrongly is refused with the nearest right thing.
#[test]
fn bad_input_about_pieces() {
    let bench = studio(NOTES);
    let mut told = String::new();
    for call in [
        &["note", "Honeyjar amber", "--crazed", "6/5"][..],
        &["note", "Honeyjar amber", "--crazed", "2/5", "--shivered", "7/5"],
        &["note", "Honeyjar amber", "--grade", "gloss=7"],
        &["note", "--again", "1", "--on", "2025-01-01", "--crazed", "0/10"],
        &["notes", "--lot", "K99"],
        &["note", "--void", "99"],
        &["results", "gone", "--grade", "crazed"],
        &["fit", "Honeyjar amber", "--firing", "con 6"],
        &["fit", "bought claer + 3 % silica", "--clay", "white earthenware"],
        &["fit", "bought clear + 3 % silca", "--clay", "white earthenware"],
        &[
            "blend",
            "series",
            "bought clear",
            "--add",
            "silica 0, 3 %",
            "--add",
            "kaolin 0, 3 %",
        ],
    ] {
        let screen = bench.screen(&[call, &["--studio", "studio"]].concat());
        assert!(screen.contains("--- exit 2"), "{screen}");
        told.push_str(&screen);
    }
    insta::assert_snapshot!(told);
}
