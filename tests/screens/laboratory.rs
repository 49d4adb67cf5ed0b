//! Laboratories' reports: kept with what was tested, shown beside the limits until recipe, lot,
//! clay or firing changes.

use serde_json::Value;

use super::bench::{Bench, Ran};

const REPORT: &str = "Metal;value;unit;shape\nPb;<0.01;mg/l;cup\nCd;<0.005;mg/l;cup\nCu;0.9;mg/l;cup\n";
const GREEN: &str = "Millpond copper green";
const KEEP: [&str; 8] = ["lab", GREEN, "--batch", "15", "--sheet", "lab.csv", "--report", "L-204"];

fn run(bench: &Bench, call: &[&str]) -> Ran {
    bench.run_in("studio", call)
}

fn done(bench: &Bench, call: &[&str]) -> String {
    let ran = run(bench, call);
    assert!(ran.code < 2, "{call:?}: {}{}", ran.stdout, ran.stderr);
    ran.stdout
}

fn json(bench: &Bench, call: &[&str]) -> Value {
    let told = done(bench, &[call, &["--format", "json"]].concat());
    serde_json::from_str(&told).unwrap_or_else(|error| panic!("{error}: {told}"))
}

fn booked() -> Bench {
    let bench = Bench::example_studio();
    bench.file("studio/lab.csv", REPORT);
    let weigh = [
        "weigh",
        GREEN,
        "--dry",
        "2 kg",
        "--batch",
        "15",
        "--commit",
        "--on",
        "2026-09-21",
    ];
    done(&bench, &weigh);
    bench
}

#[test]
fn a_report_is_kept_with_what_was_tested() {
    let bench = booked();
    let kept = bench.run_at(80, &KEEP);
    assert_eq!(kept.code, 0, "{}", kept.stderr);
    insta::assert_snapshot!("lab_kept", kept.stdout);
    let again = json(&bench, &KEEP);
    assert_eq!(again["already"], true);
    let listed = json(&bench, &["lab", GREEN]);
    let report = &listed["reports"][0];
    assert_eq!((&report["lab"], &report["batch"]), (&"L-204".into(), &"15".into()));
    assert_eq!(report["lots"]["copper carbonate"], "C-19");
    assert_eq!(report["results"][0]["value"], "<0.01");
    assert_eq!(report["compared"]["tables"][0]["rows"][0]["limit"], "0.5 mg/l");
    assert_eq!(report["belongs"], true);
    assert_eq!(json(&bench, &["lab"])["reports"].as_array().unwrap().len(), 1);
    assert_eq!(
        json(&bench, &["lab", "Lamplight clear"])["reports"],
        serde_json::json!([])
    );
    let lines = std::fs::read_to_string(bench.path().join("studio/notes.jsonl")).unwrap();
    assert_eq!(lines.lines().count(), 1, "{lines}");
}

#[test]
fn it_is_shown_until_recipe_lot_clay_or_firing_changes() {
    let bench = booked();
    done(&bench, &KEEP);
    let everywhere = |belongs: bool| {
        for call in [["label", GREEN], ["card", GREEN], ["check", GREEN], ["fit", GREEN]] {
            let told = json(&bench, &call);
            assert_eq!(told["laboratory"]["belongs"], belongs, "{call:?}");
            assert_eq!(told["laboratory"]["report"], "L-204", "{call:?}");
            let text = done(&bench, &call);
            assert_eq!(text.contains("no longer"), !belongs, "{call:?}: {text}");
        }
    };
    everywhere(true);
    let label = done(&bench, &["label", GREEN, "--batch", "15"]);
    let changes = [
        (GREEN, "clay=white earthenware", "clay=buff stoneware"),
        (GREEN, "cone=7", "cone=6"),
        ("copper carbonate", "lot=D-2", "lot=C-19"),
        (GREEN, "additions.copper carbonate=2.5", "additions.copper carbonate=3"),
    ];
    let mut why = String::new();
    for (name, new, old) in changes {
        done(&bench, &["set", name, new]);
        everywhere(false);
        why.push_str(&done(&bench, &["label", GREEN]));
        done(&bench, &["set", name, old]);
        everywhere(true);
    }
    let why: Vec<&str> = why.split("Not tested").skip(1).collect();
    insta::assert_snapshot!("lab_no_longer", format!("{label}---\n{}", why.join("---\n")));
}

#[test]
fn a_sheet_that_cannot_be_compared_is_not_kept() {
    let bench = booked();
    let sheets = [
        "metal,value,unit,shape\nPb,<0.01,mg/l,cup\nPb,0.2,mg/l,bowl\n",
        "metal,value,shape\nPb,0.2,cup\n",
        "metal,value,unit,shape\n\nPb,,mg/l,cup\n",
        "metal,value,unit,shape\n",
        "metal,value,unit,shape\nPb,none found,mg/l,cup\n",
    ];
    let told = sheets.map(|sheet| {
        bench.file("studio/lab.csv", sheet);
        let ran = run(&bench, &KEEP);
        assert_eq!(ran.code, 2, "{}", ran.stdout);
        ran.stderr
    });
    insta::assert_snapshot!("lab_refused", told.join("\n"));
    assert!(!bench.path().join("studio/notes.jsonl").exists());
}
