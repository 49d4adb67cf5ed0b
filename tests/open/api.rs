//! The API: the same answers as at the terminal, and each request done once.

use std::fs;

use crate::bench::Bench;
use serde_json::{Value, json};

#[test]
fn the_same_answers_as_at_the_terminal() {
    let bench = Bench::of_the_example();
    let clear = "Lamplight clear";
    let calls: [(&str, Value, &[&str]); 15] = [
        ("unity", json!({"glaze": clear}), &["unity", clear]),
        (
            "check",
            json!({"glaze": clear, "use": "tableware"}),
            &["check", clear, "--use", "tableware"],
        ),
        (
            "swap",
            json!({"glaze": clear, "out": ["feldspar A"]}),
            &["swap", clear, "--out", "feldspar A"],
        ),
        (
            "adjust",
            json!({"glaze": clear, "aims": ["SiO2 >= 3.2", "no whiting"], "least": null}),
            &["adjust", clear, "SiO2 >= 3.2", "no whiting"],
        ),
        (
            "match",
            json!({"glaze": clear, "with": ["silica"]}),
            &["reach", clear, "--with", "silica"],
        ),
        (
            "weigh",
            json!({"glaze": clear, "dry": "5 kg"}),
            &["weigh", clear, "--dry", "5 kg"],
        ),
        ("glazes", json!({}), &["glazes"]),
        ("materials", json!({"name": "silica"}), &["materials", "silica"]),
        ("fit", json!({"glaze": clear}), &["fit", clear]),
        (
            "melt",
            json!({"glaze": clear, "at": ["1200 C"]}),
            &["melt", clear, "--at", "1200 C"],
        ),
        ("cost", json!({"glaze": clear}), &["cost", clear]),
        ("due", json!({}), &["due"]),
        ("sieve", json!({"sieve": 80}), &["sieve", "80"]),
        ("script/list", json!({}), &["script", "list"]),
        ("unity", json!({"glaze": "no such glaze"}), &["unity", "no such glaze"]),
    ];
    for (command, body, typed) in calls {
        let answer = bench.ask(command, &body);
        let (exit, printed) = bench.at_the_terminal(typed);
        assert_eq!(answer.status, 200, "{command}: {}", answer.body);
        assert_eq!(
            answer.header("x-glost-exit"),
            Some(exit.to_string().as_str()),
            "{command}"
        );
        assert_eq!(answer.body, printed, "{command}");
    }
}

#[test]
fn no_value_reaches_another_folder_or_becomes_an_option() {
    let bench = Bench::of_the_example();
    for body in [
        json!({"glaze": "/etc/passwd"}),
        json!({"glaze": "../../../etc/passwd"}),
        json!({"glaze": "glazes/../../x.yaml"}),
        json!({"glaze": "Lamplight clear", "studio": "/"}),
        json!({"glaze": "Lamplight clear", "format": "text"}),
        json!({"glaze": "Lamplight clear", "materials": "x.yaml"}),
        json!({"glase": "Lamplight clear"}),
    ] {
        assert_eq!(bench.ask("unity", &body).status, 400, "{body}");
    }
    let nearest = bench.ask("unity", &json!({"glase": "x"}));
    assert!(nearest.body.contains("did you mean `glaze`?"), "{}", nearest.body);
    for name in [
        "--help",
        "--version",
        "-h",
        "--format=text",
        "“Lamplight",
        "$(true)",
        "a\nb",
        "<b>",
    ] {
        let answer = bench.ask("unity", &json!({"glaze": name}));
        let told: Value = serde_json::from_str(&answer.body).unwrap();
        assert_eq!(
            (answer.status, answer.header("x-glost-exit")),
            (200, Some("2")),
            "{name}"
        );
        assert!(
            told["error"]["message"]
                .as_str()
                .unwrap()
                .contains(name.chars().next().unwrap()),
            "{}",
            answer.body
        );
    }
    for command in ["open", "no-such", "script/lsp", "../unity", "help"] {
        assert_eq!(bench.ask(command, &json!({})).status, 404, "{command}");
    }
}

#[test]
fn a_request_books_once_also_after_a_restart() {
    let mut bench = Bench::of_the_example();
    let weigh = json!({"glaze": "Lamplight clear", "dry": "1 kg", "commit": true, "request": "a1"});
    let first = bench.ask("weigh", &weigh);
    assert_eq!(first.status, 200, "{}", first.body);
    let book = || fs::read_to_string(bench.studio.join("batches.jsonl")).unwrap();
    let booked = book();
    let again = bench.ask("weigh", &weigh);
    assert_eq!((again.status, &again.body), (200, &first.body));
    assert_eq!(again.header("x-glost-repeat"), Some("1"));
    assert_eq!(book(), booked);
    bench.again();
    assert_eq!(bench.ask("weigh", &weigh).body, first.body);
    assert_eq!(fs::read_to_string(bench.studio.join("batches.jsonl")).unwrap(), booked);
    let mut other = weigh.clone();
    other["dry"] = json!("2 kg");
    assert_eq!(bench.ask("weigh", &other).status, 409);
    other["request"] = json!("a2");
    assert_eq!(bench.ask("weigh", &other).status, 200);
}

#[test]
fn a_note_is_written_and_nothing_without_words() {
    let bench = Bench::of_the_example();
    let note = json!({"glaze": "Lamplight clear", "crazed": "1/5", "age": "30d", "text": "../ <b> “quoted” -x"});
    let answer = bench.ask("note", &note);
    assert_eq!(
        (answer.status, answer.header("x-glost-exit")),
        (200, Some("0")),
        "{}",
        answer.body
    );
    let notes = fs::read_to_string(bench.studio.join("notes.jsonl")).unwrap();
    assert!(notes.contains("../ <b> “quoted” -x"), "{notes}");
    let nothing = bench.ask("note", &json!({}));
    assert_eq!(nothing.header("x-glost-exit"), Some("2"));
}
