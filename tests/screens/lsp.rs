//! Sessions of an editor with `glost script lsp`: what it sends, what comes back.

use serde_json::{Value, json};

use super::bench::Bench;
use super::editor::{Session, answered, offered, pointed, published, uri};

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
            "scripts/check/many.rhai",
            "const ABOUT = #{ api: 1, kind: \"check\", title: \"t\", source: \"own\" };\nfn check(glaze, option) {\n    let u = glaze.unity\n    if u.SiO2 === 3 { return; }\n}\n",
            &["script", "test", "check/many"],
        ),
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
            .or(told.pointer("/incomplete/0"))
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

/// What is accepted of a rule that there is none of: the terminal says so beside its findings,
/// the editor where the rule is named. What can't be an entry is an error in both.
#[test]
fn what_is_accepted_of_no_rule_is_told_where_it_stands() {
    let bench = Bench::example_studio();
    let glaze = bench.path().join("studio/glazes/new.yaml");
    let text = |finding: &str| {
        format!(
            "glaze: new\nparts: {{ silica: 40, whiting: 20 }}\naccepted:\n  - {{ finding: {finding}, because: lab, until: 2030-01-01 }}\n"
        )
    };
    let mut session = Session::begun();
    for finding in ["check/bariun BaO", "check/barium BaO", "check/barium"] {
        session.opens(&glaze, &text(finding));
        session.closes(&glaze);
    }
    let messages = session.ends(&bench);
    let published = published(&messages, &glaze);
    let told: Vec<&Value> = published.iter().filter_map(|found| found.first()).collect();
    assert_eq!(told.len(), 2, "{told:?}");
    assert_eq!(told[0]["code"], "unknown-script");
    assert_eq!(told[0]["range"]["start"], json!({ "line": 3, "character": 15 }));
    assert!(
        told[0]["message"].as_str().unwrap().contains("check/barium"),
        "{told:?}"
    );
    assert_eq!(told[1]["code"], "bad-finding");
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

/// Places where somebody writes, with what is offered there, among other things.
#[test]
fn what_may_stand_at_a_place_is_offered() {
    let about = "const ABOUT = #{ api: 1, kind: \"check\", title: \"x\", source: \"own\", \
                 options: #{ most: #{ value: 1, help: \"most silica\" } }, tables: #{ sold: [\"glaze\", \"pieces: number\"] } };\n";
    let script = |text: &str| [about, text].concat();
    let in_check = |text: &str| script(&format!("fn check(glaze, option) {{\n    {text}\n}}\n"));
    let places = [
        ("scripts/check/a.rhai", in_check("glaze.^"), "unity"),
        (
            "scripts/check/a.rhai",
            in_check("glaze.ca^\n    glaze.nothing(\"x\", \"y\");"),
            "caution",
        ),
        (
            "scripts/check/a.rhai",
            in_check("let u = glaze.unity;\n    if u.^ > 3 { }"),
            "SiO2",
        ),
        (
            "scripts/check/a.rhai",
            in_check("for line in glaze.parts { line.^ }"),
            "material",
        ),
        (
            "scripts/check/a.rhai",
            in_check("glaze.batch.filter(|line| line.mat^)"),
            "material",
        ),
        ("scripts/check/a.rhai", in_check("option.^"), "most"),
        (
            "scripts/check/a.rhai",
            in_check("if materials[\"fel^\"].known {}"),
            "feldspar A",
        ),
        ("scripts/check/a.rhai", in_check("glaze.holds(\"wh^"), "whiting"),
        ("scripts/check/a.rhai", in_check("glaze.replace(\"wh^"), "whiting"),
        (
            "scripts/check/a.rhai",
            in_check("glaze.replace(\"whiting\", \"fel^"),
            "feldspar A",
        ),
        (
            "scripts/check/a.rhai",
            in_check("let missed = within(glaze.unity, #{ Si^"),
            "SiO2",
        ),
        (
            "scripts/check/a.rhai",
            in_check("let missed = within(glaze.unity, #{ SiO2: [2, 4], ^ });"),
            "\"SiO2:Al2O3\"",
        ),
        ("scripts/check/a.rhai", in_check("let amount = 3;\n    am^"), "amount"),
        ("scripts/check/a.rhai", in_check("fi^"), "fixed"),
        ("scripts/check/a.rhai", script("fn test_x(t) { t.^ }"), "expect"),
        (
            "scripts/check/a.rhai",
            about.replace("api: 1,", "api: 1, ve^"),
            "version",
        ),
        ("scripts/check/a.rhai", about.replace("\"check\"", "\"^\""), "fault"),
        (
            "scripts/check/a.rhai",
            about.replace("value: 1", "value: 1, ma^"),
            "max",
        ),
        ("glazes/a.yaml", "glaze: a\nat^".to_owned(), "atmosphere"),
        ("glazes/a.yaml", "glaze: a\natmosphere: ^".to_owned(), "reduction"),
        ("glazes/a.yaml", "glaze: a\nparts: { fel^".to_owned(), "feldspar A"),
        ("glazes/a.yaml", "glaze: a\nclay: bu^\n".to_owned(), "buff stoneware"),
        ("clays/a.yaml", "clay: a\nab^\n".to_owned(), "absorption"),
        (
            "materials/a.yaml",
            "materials:\n  - name: a\n    ba^\n".to_owned(),
            "basis",
        ),
        (
            "materials/a.yaml",
            "materials:\n  - name: a\n    basis: ^\n".to_owned(),
            "fired",
        ),
        (
            "materials/a.yaml",
            "materials:\n  - name: a\n    analysis: { Si^ }\n".to_owned(),
            "SiO2",
        ),
        (
            "materials/a.yaml",
            "materials:\n  - name: a\n    recipe: { si^ }\n".to_owned(),
            "silica",
        ),
        (
            "studio.yaml",
            "studio: x\nscripts:\n  check/^\n".to_owned(),
            "check/settling-risk",
        ),
        (
            "studio.yaml",
            "studio: x\nscripts: { check/alkali-balance: { al^ } }\n".to_owned(),
            "alkali_most",
        ),
        (
            "studio.yaml",
            "studio: x\nscripts: { check/settling-risk: ^ }\n".to_owned(),
            "off",
        ),
        (
            "studio.yaml",
            "studio: x\nscripts: { check/settling-risk: { level: ^ } }\n".to_owned(),
            "note",
        ),
    ];
    let bench = Bench::example_studio();
    let mut session = Session::begun();
    let mut asked = Vec::new();
    for (file, text, wanted) in &places {
        let path = bench.path().join("studio").join(file);
        let (place, plain) = pointed(text);
        session.opens(&path, &plain);
        asked.push((session.asks_at("completion", &path, place), wanted, text));
        session.closes(&path);
    }
    let messages = session.ends(&bench);
    for (number, wanted, text) in asked {
        let offers = offered(&messages, number);
        assert!(
            offers.iter().any(|offer| offer == wanted),
            "{wanted} isn't among {offers:?}:\n{text}"
        );
    }
}

#[test]
fn a_word_that_is_begun_is_replaced_from_its_beginning() {
    let bench = Bench::example_studio();
    let path = bench.path().join("studio/glazes/new.yaml");
    let (place, text) = pointed("glaze: ö😀\nparts: { river: 3, feldspar ^ }\n");
    let mut session = Session::begun();
    session.opens(&path, &text);
    let number = session.asks_at("completion", &path, place);
    let messages = session.ends(&bench);
    let offers = answered(&messages, number).as_array().unwrap().clone();
    let edit = &offers.iter().find(|offer| offer["label"] == "feldspar A").unwrap()["textEdit"];
    let range = json!({ "start": { "line": 1, "character": 19 }, "end": { "line": 1, "character": 28 } });
    assert_eq!(edit, &json!({ "range": range, "newText": "feldspar A" }));
}

const LIBRARY: &str =
    "// Cones.\n\n// Whether a cone is hotter.\nfn hotter(one, other) { cone_number(one) > cone_number(other) }\n";

#[test]
fn names_are_explained_and_lead_to_where_they_were_made() {
    let bench = Bench::example_studio();
    let studio = bench.path().join("studio");
    bench.file("studio/scripts/lib/cones.rhai", LIBRARY);
    let own = "const ABOUT = #{ api: 1, kind: \"check\", title: \"Own\", source: \"own\",\n  \
               options: #{ most: #{ value: 1, unit: \"mol\", help: \"most silica\" } } };\n\
               import \"lib/cones\" as cones;\nfn check(glaze, option) {\n    let u = glaze.unity;\n    \
               if u.SiO2 > option.most && cones::hotter(\"6\", \"5\") { glaze.caution(\"SiO2\", \"much\"); }\n}\n";
    bench.file("studio/scripts/check/own.rhai", own);
    let point = |word: &str| own.replacen(word, &format!("{}^{}", &word[..1], &word[1..]), 1);
    let rhai = "scripts/check/own.rhai";
    let places = [
        (rhai, point("unity;"), "unity formula", None),
        (rhai, point("caution("), "caution", None),
        (
            rhai,
            own.replace("option.most", "option.mo^st"),
            "value: 1",
            Some((rhai, 1)),
        ),
        (
            rhai,
            own.replace("::hotter", "::hot^ter"),
            "Whether a cone is hotter",
            Some(("scripts/lib/cones.rhai", 3)),
        ),
        (
            rhai,
            own.replace("\"lib/cones\"", "\"lib^/cones\""),
            "",
            Some(("scripts/lib/cones.rhai", 0)),
        ),
        (
            rhai,
            own.replace("if u.SiO2", "if ^u.SiO2"),
            "amounts of oxides",
            Some((rhai, 4)),
        ),
        (
            "glazes/a.yaml",
            "glaze: a\nparts: { feld^spar A: 3 }\n".to_owned(),
            "of 100 g as supplied",
            Some(("materials/feldspars.yaml", 0)),
        ),
        (
            "glazes/a.yaml",
            "glaze: a\nat^mosphere: reduction\n".to_owned(),
            "kiln's air",
            None,
        ),
        (
            "glazes/a.yaml",
            "glaze: a\nclay: buff^ stoneware\n".to_owned(),
            "",
            Some(("clays/buff_stoneware.yaml", 0)),
        ),
        (
            "studio.yaml",
            "studio: x\nscripts: { check/own: { mo^st: 2 } }\n".to_owned(),
            "most silica",
            Some((rhai, 1)),
        ),
        (
            "studio.yaml",
            "studio: x\nscripts: { check/o^wn: { most: 2 } }\n".to_owned(),
            "Own",
            Some((rhai, 0)),
        ),
    ];
    let mut session = Session::begun();
    let mut asked = Vec::new();
    for (file, text, told, made) in &places {
        let path = studio.join(file);
        let (place, plain) = pointed(text);
        session.opens(&path, &plain);
        let numbers = ["hover", "definition"].map(|what| session.asks_at(what, &path, place));
        asked.push((numbers, told, made, text));
        session.closes(&path);
    }
    let messages = session.ends(&bench);
    for ([hover, definition], told, made, text) in asked {
        let said = answered(&messages, hover)["contents"]["value"].as_str().unwrap_or("");
        assert!(said.contains(told), "{told} isn't in {said:?}:\n{text}");
        let there = answered(&messages, definition);
        match made {
            None => assert!(there.is_null(), "{there}:\n{text}"),
            Some((file, line)) => {
                assert_eq!(there["uri"], uri(&studio.join(file)), "{text}");
                if *line > 0 {
                    assert_eq!(there["range"]["start"]["line"], *line, "{text}");
                }
            }
        }
    }
}

/// The library's mistake stands in the library, though nobody has it open, and where it
/// is imported; both go once it is mended.
#[test]
fn a_broken_library_is_shown_in_its_own_file() {
    let bench = Bench::example_studio();
    let library = bench.path().join("studio/scripts/lib/cones.rhai");
    bench.file(
        "studio/scripts/lib/cones.rhai",
        LIBRARY.replace("cone_number(one)", "cone_numbr(one)"),
    );
    let script = bench.path().join("studio/scripts/check/own.rhai");
    let text = HALF
        .replace("cautoin", "caution")
        .replace("if glaze", "if cones::hotter(\"6\", \"5\") && glaze")
        .replace("fn check", "import \"lib/cones\" as cones;\nfn check");
    let mut session = Session::begun();
    session.opens(&script, &text);
    session.opens(&library, LIBRARY);
    session.closes(&library);
    let messages = session.ends(&bench);
    let of_library = published(&messages, &library);
    assert_eq!(
        of_library[0][0]["range"]["start"],
        json!({ "line": 3, "character": 24 })
    );
    assert_eq!(
        of_library.iter().map(|found| found.len()).collect::<Vec<_>>(),
        [1, 0, 0, 1]
    );
    let of_script = published(&messages, &script);
    assert_eq!(of_script[0][0]["range"]["start"], json!({ "line": 1, "character": 7 }));
    assert_eq!(of_script.iter().map(|found| found.len()).collect::<Vec<_>>(), [1, 0, 1]);
}

/// A package that is being written lies in no studio; what its scripts import lies beside.
#[test]
fn a_package_sees_its_own_libraries_wherever_it_lies() {
    let bench = Bench::empty();
    bench.file("club/package.yaml", "name: club\nversion: 1\napi: 1\n");
    bench.file("club/lib/cones.rhai", LIBRARY);
    let script = bench.path().join("club/check/own.rhai");
    let text = HALF
        .replace("glaze.cautoin(\"SiO2\", \"low\")", "cones::hotter(\"6\", \"5\")")
        .replace("fn check", "import \"lib/cones\" as cones;\nfn check");
    let mut session = Session::begun();
    session.opens(&script, &text);
    session.changes(&script, &text.replace("cones::hotter", "cones::hoter"));
    let messages = session.ends(&bench);
    let found = published(&messages, &script);
    assert!(found[0].is_empty(), "{:?}", found[0]);
    assert_eq!(found[1][0]["code"], "unknown-function");
}
