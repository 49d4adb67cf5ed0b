//! Sessions of an editor with `glost script lsp`: what it sends, what comes back.

use std::path::Path;

use serde_json::{Value, json};

use super::bench::{Bench, Ran};

/// What an editor sends, message by message.
struct Session {
    sent: String,
    asked: u64,
}

impl Session {
    /// It introduces itself.
    fn begun() -> Session {
        let mut session = Session {
            sent: String::new(),
            asked: 0,
        };
        session.ask("initialize", json!({ "capabilities": {} }));
        session.tell("initialized", json!({}));
        session
    }

    fn send(&mut self, message: &Value) {
        let text = message.to_string();
        self.sent
            .push_str(&format!("Content-Length: {}\r\n\r\n{text}", text.len()));
    }

    fn ask(&mut self, method: &str, params: Value) {
        self.asked += 1;
        self.send(&json!({ "jsonrpc": "2.0", "id": self.asked, "method": method, "params": params }));
    }

    fn tell(&mut self, method: &str, params: Value) {
        self.send(&json!({ "jsonrpc": "2.0", "method": method, "params": params }));
    }

    fn opens(&mut self, path: &Path, text: &str) {
        let document = json!({ "uri": uri(path), "languageId": "any", "version": 1, "text": text });
        self.tell("textDocument/didOpen", json!({ "textDocument": document }));
    }

    fn changes(&mut self, path: &Path, text: &str) {
        let document = json!({ "uri": uri(path), "version": 2 });
        self.tell(
            "textDocument/didChange",
            json!({ "textDocument": document, "contentChanges": [{ "text": text }] }),
        );
    }

    fn closes(&mut self, path: &Path) {
        self.tell("textDocument/didClose", json!({ "textDocument": { "uri": uri(path) } }));
    }

    /// It says good-bye; what came back.
    fn ends(mut self, bench: &Bench) -> Vec<Value> {
        self.ask("shutdown", Value::Null);
        self.tell("exit", Value::Null);
        let ran = bench.run_told(&["script", "lsp"], &self.sent);
        assert_eq!((ran.code, ran.stderr.as_str()), (0, ""), "{}", ran.stdout);
        messages(&ran)
    }
}

fn uri(path: &Path) -> String {
    format!("file://{}", path.display())
}

fn messages(ran: &Ran) -> Vec<Value> {
    let mut rest = ran.stdout.as_str();
    let mut messages = Vec::new();
    while let Some((head, after)) = rest.split_once("\r\n\r\n") {
        let length: usize = head.strip_prefix("Content-Length: ").unwrap().parse().unwrap();
        messages.push(serde_json::from_str(&after[..length]).unwrap());
        rest = &after[length..];
    }
    assert_eq!(rest, "", "something else on stdout");
    messages
}

/// What was published of a document, each time.
fn published<'a>(messages: &'a [Value], path: &Path) -> Vec<&'a Vec<Value>> {
    let of_it = messages.iter().filter(|message| {
        message["method"] == "textDocument/publishDiagnostics" && message["params"]["uri"] == uri(path)
    });
    of_it
        .map(|message| message["params"]["diagnostics"].as_array().unwrap())
        .collect()
}

const HALF: &str = "const ABOUT = #{ api: 1, kind: \"check\", title: \"Half\", source: \"own\" };
fn check(glaze, option) {
    if glaze.unity.SiO2 < 2 { glaze.cautoin(\"SiO2\", \"low\"); }
}
";

#[test]
fn what_is_wrong_is_published_before_later_questions_are_answered() {
    let bench = Bench::example_studio();
    let script = bench.path().join("studio/scripts/check/half.rhai");
    let mut session = Session::begun();
    session.opens(&script, HALF);
    session.ask("textDocument/colours", json!({}));
    session.changes(&script, &HALF.replace("cautoin", "caution"));
    session.closes(&script);
    let messages = session.ends(&bench);
    let what = |message: &Value| {
        message["id"]
            .as_u64()
            .map_or("published".to_owned(), |id| id.to_string())
    };
    let order: Vec<String> = messages.iter().map(what).collect();
    assert_eq!(order, ["1", "published", "2", "published", "published", "3"]);
    assert_eq!(messages[0]["result"]["capabilities"]["textDocumentSync"], 1);
    assert_eq!(messages[2]["error"]["code"], -32601);
    insta::assert_snapshot!(
        "an_editor_is_told_of_a_slip_in_a_script",
        serde_json::to_string_pretty(&messages[1]["params"]["diagnostics"]).unwrap()
    );
    assert!(messages[3]["params"]["diagnostics"].as_array().unwrap().is_empty());
}

/// Broken files of a studio, with the call that meets each at the terminal.
fn broken_files() -> Vec<(&'static str, String, Vec<&'static str>)> {
    let owned = |name, text: &str, call: &[&'static str]| (name, text.to_owned(), call.to_vec());
    vec![
        owned("scripts/check/half.rhai", HALF, &["script", "test", "check/half"]),
        owned(
            "scripts/check/bare.rhai",
            "fn check(glaze, option) {\n",
            &["script", "test", "check/bare"],
        ),
        owned(
            "glazes/odd.yaml",
            "{ glaze: \"😀 odd\", parts: { whitting: 3 } }\n",
            &["unity", "glazes/odd.yaml"],
        ),
        owned(
            "glazes/odd.yaml",
            "glaze: odd\nparts: { silica: 3 }\ncnoe: 6\n",
            &["unity", "glazes/odd.yaml"],
        ),
        owned(
            "glazes/odd.yaml",
            "glaze: odd\nparts:\n  - silica\n",
            &["unity", "glazes/odd.yaml"],
        ),
        owned(
            "clays/odd.yaml",
            "clay: odd\nexpansion: 7.7 of something\n",
            &["clay", "clays/odd.yaml"],
        ),
        owned(
            "materials/odd.yaml",
            "materials:\n  - name: odd\n    analysis: { SiO2: 60, Al2O4: 40 }\n    basis: fired\n    source: own\n",
            &["materials"],
        ),
        owned(
            "studio.yaml",
            "studio: Own\nscales: { reads_to: 0.1 kgs }\n",
            &["materials"],
        ),
        owned(
            "studio.yaml",
            "studio: Own\nscripts: { check/bariun: off }\n",
            &["check", "Lamplight clear"],
        ),
    ]
}

#[test]
fn complaints_stand_where_the_terminal_puts_them() {
    for (name, text, call) in broken_files() {
        let bench = Bench::example_studio();
        let path = bench.path().join("studio").join(name);
        // What the editor holds isn't saved.
        let mut session = Session::begun();
        session.opens(&path, &text);
        let messages = session.ends(&bench);
        let found = published(&messages, &path)[0];
        assert!(!found.is_empty(), "nothing said of {name}:\n{text}");
        let at = &found[0]["range"]["start"];

        bench.file(&format!("studio/{name}"), &text);
        let mut all = call.clone();
        all.extend(["--format", "json"]);
        let told: Value = serde_json::from_str(&bench.run_in("studio", &all).stdout).unwrap();
        let error = told
            .pointer("/error")
            .or(told.pointer("/broken/0/error"))
            .unwrap_or_else(|| panic!("{told}"));
        let error = error.get("error").unwrap_or(error);
        let line = text.lines().nth(error["line"].as_u64().unwrap() as usize - 1).unwrap();
        let before = line.chars().take(error["column"].as_u64().unwrap() as usize - 1);
        let column: usize = before.map(char::len_utf16).sum();
        let told = (error["line"].as_u64().unwrap() - 1, column as u64);
        assert_eq!(
            (at["line"].as_u64().unwrap(), at["character"].as_u64().unwrap()),
            told,
            "{name}:\n{text}"
        );
        assert_eq!(found[0]["code"], error["code"], "{name}");
    }
}

#[test]
fn a_sheet_that_is_being_written_puts_its_recipe_right() {
    let bench = Bench::example_studio();
    let glaze = bench.path().join("studio/glazes/new.yaml");
    let sheet = bench.path().join("studio/materials/new.yaml");
    let text = "materials:\n  - name: river sand\n    analysis: { SiO2: 100 }\n    basis: fired\n    source: own\n";
    let mut session = Session::begun();
    session.opens(&glaze, "glaze: new\nparts: { river sand: 40, whiting: 20 }\n");
    session.opens(&sheet, text);
    session.closes(&sheet);
    let messages = session.ends(&bench);
    let counts: Vec<usize> = published(&messages, &glaze).iter().map(|found| found.len()).collect();
    assert_eq!(counts, [1, 0, 1]);
    assert_eq!(published(&messages, &glaze)[0][0]["code"], "unknown-material");
}

#[test]
fn documents_outside_of_any_studio_are_looked_at_too() {
    let bench = Bench::empty();
    let glaze = bench.path().join("from a friend.yaml");
    let script = bench.path().join("rule.rhai");
    let letter = bench.path().join("letter.yaml");
    let mut session = Session::begun();
    session.opens(
        &glaze.with_file_name("from%20a%20friend.yaml"),
        "glaze: x\nparts: { whitting: 3 }\n",
    );
    session.opens(&script, HALF);
    session.opens(&letter, "dear: friend\n");
    let messages = session.ends(&bench);
    let of_glaze = published(&messages, &glaze.with_file_name("from%20a%20friend.yaml"))[0];
    assert_eq!(of_glaze[0]["range"]["start"], json!({ "line": 1, "character": 9 }));
    assert_eq!(published(&messages, &script)[0][0]["range"]["start"]["line"], 2);
    assert!(published(&messages, &letter)[0].is_empty());
}

/// The protocol asks for exit code 1 of an editor that goes without a word.
#[test]
fn an_editor_that_goes_away_ends_the_server() {
    let bench = Bench::empty();
    assert_eq!(bench.run_told(&["script", "lsp"], "").code, 1);
    let mut session = Session::begun();
    session.opens(&bench.path().join("a.yaml"), "glaze: [\n");
    assert_eq!(bench.run_told(&["script", "lsp", "--stdio"], &session.sent).code, 1);
    let garbled = bench.run_told(&["script", "lsp"], "Content-Length: 3\r\n\r\n{{{");
    assert_eq!(garbled.code, 2);
    assert!(garbled.stderr.starts_with("error: "), "{}", garbled.stderr);
}
