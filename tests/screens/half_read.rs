//! A slip in one file stops only what needs that file: an answer that looks over all says
//! what it left out, in text, JSON and CSV, and ends with 2.

use serde_json::Value;

use super::bench::Bench;

/// The example studio with `old` turned into `new` in one of its files, once.
fn with_a_slip(file: &str, old: &str, new: &str) -> Bench {
    let bench = Bench::example_studio();
    let path = bench.path().join("studio").join(file);
    let text = std::fs::read_to_string(&path).unwrap();
    assert!(text.contains(old), "{file} has no {old}");
    std::fs::write(path, text.replacen(old, new, 1)).unwrap();
    bench
}

fn json(bench: &Bench, call: &[&str], code: u8) -> Value {
    let ran = bench.run_in("studio", &[call, &["--format", "json"]].concat());
    assert_eq!(ran.code, i32::from(code), "{call:?}: {}{}", ran.stdout, ran.stderr);
    serde_json::from_str(&ran.stdout).unwrap()
}

/// Whoever looks over all glazes says which one is left out.
const OVER_GLAZES: &[&[&str]] = &[
    &["affected", "--out", "silica"],
    &["glazes"],
    &["shelf"],
    &["year", "2026"],
    &["chart"],
    &["run", "same-chemistry"],
];

#[test]
fn a_glaze_that_cannot_be_read_is_left_out_and_said() {
    let bench = with_a_slip("glazes/highfell_clear.yaml", "cone:", "cine:");
    for call in OVER_GLAZES {
        let answer = json(&bench, call, 2);
        let left_out = answer["incomplete"].as_array().unwrap();
        assert_eq!(left_out.len(), 1, "{call:?}");
        assert_eq!(left_out[0]["file"], "glazes/highfell_clear.yaml", "{call:?}");
        assert_eq!(left_out[0]["message"], "a glaze file has no `cine`", "{call:?}");
        let text = bench.run_in("studio", call);
        assert_eq!(text.code, 2);
        assert!(
            text.stdout.contains("Incomplete: this answer leaves out"),
            "{call:?}: {}",
            text.stdout
        );
    }
    for call in [OVER_GLAZES[0], &["glazes"], &["shelf"]] {
        let csv = bench.run_in("studio", &[call, &["--format", "csv"]].concat());
        assert_eq!(csv.code, 2);
        let last = csv.stdout.lines().last().unwrap();
        assert!(
            last.starts_with("\"incomplete: glazes/highfell_clear.yaml"),
            "{call:?}: {last}"
        );
        let cells = |line: &str| line.split(',').count();
        assert!(cells(last) >= cells(csv.stdout.lines().next().unwrap()), "{last}");
    }
    assert_eq!(
        json(&bench, &["unity", "Lamplight clear"], 0)["incomplete"],
        Value::Null
    );
}

#[test]
fn a_sheet_that_cannot_be_read_stops_only_whoever_needs_it() {
    let bench = with_a_slip("materials/feldspars.yaml", "price:", "prise:");
    for call in [
        &["unity", "Hearthside clear"][..],
        &["weigh", "Hearthside clear", "--dry", "1 kg", "--batch", "1", "--commit"],
        &["check", "Hearthside clear"],
        &["notes"],
        &["due"],
        &["batches"],
        &["set", "whiting", "price=2 EUR/kg"],
    ] {
        let ran = bench.run_in("studio", call);
        assert_eq!(ran.code, 0, "{call:?}: {}{}", ran.stdout, ran.stderr);
        assert!(
            ran.stderr.starts_with("caution: a material has no `prise`"),
            "{call:?}: {}",
            ran.stderr
        );
        assert!(!ran.stdout.contains("Incomplete"), "{call:?}: {}", ran.stdout);
    }
    for call in [
        &["unity", "Lamplight clear"][..],
        &["weigh", "Lamplight clear", "--dry", "1 kg"],
        &["materials", "potash spar"],
        &["fit", "Lamplight clear"],
    ] {
        let error = &json(&bench, call, 2)["error"];
        assert_eq!(error["code"], "unknown-key", "{call:?}");
        assert_eq!(error["file"], "materials/feldspars.yaml", "{call:?}");
    }
    for call in [
        &["materials"][..],
        &["swap", "Hearthside clear", "--out", "silica"],
        &["glazes"],
    ] {
        assert_eq!(
            json(&bench, call, 2)["incomplete"][0]["file"],
            "materials/feldspars.yaml",
            "{call:?}"
        );
    }
}

#[test]
fn a_note_stands_though_its_glaze_cannot_be_worked_out() {
    for (file, old, new) in [
        ("materials/feldspars.yaml", "price:", "prise:"),
        ("glazes/lamplight_clear.yaml", "cone:", "cine:"),
    ] {
        let bench = with_a_slip(file, old, new);
        let noted = bench.run_in(
            "studio",
            &["note", "Lamplight clear", "--clay", "buff stoneware", "--crazed", "0/5"],
        );
        assert_eq!(noted.code, 0, "{}{}", noted.stdout, noted.stderr);
        assert!(noted.stdout.contains("can't be worked out now"), "{}", noted.stdout);
        assert_eq!(json(&bench, &["notes"], 0)["notes"][0]["glaze"], "Lamplight clear");
    }
}

/// A shipped sheet of the same name must not come in for one's own that has a slip.
#[test]
fn no_shipped_sheet_stands_in_for_a_broken_one() {
    let bench = with_a_slip("materials/clay_and_silica.yaml", "price:", "prise:");
    let sheet = std::fs::read_to_string(bench.path().join("studio/materials/clay_and_silica.yaml")).unwrap();
    let name = sheet
        .lines()
        .find_map(|line| line.trim().strip_prefix("- name: "))
        .unwrap();
    let recipe = format!("glaze: one\ncone: 6\nparts: {{ {name}: 50, whiting: 20, feldspar B: 30 }}\n");
    bench.file("studio/glazes/one.yaml", recipe);
    assert_eq!(
        json(&bench, &["unity", "one"], 2)["error"]["file"],
        "materials/clay_and_silica.yaml"
    );
    // Nor where not a line of the file can be read.
    let path = bench.path().join("studio/materials/clay_and_silica.yaml");
    std::fs::write(&path, sheet.replacen("analysis: {", "analysis: [", 1)).unwrap();
    assert_eq!(
        json(&bench, &["unity", "one"], 2)["error"]["file"],
        "materials/clay_and_silica.yaml"
    );
}
