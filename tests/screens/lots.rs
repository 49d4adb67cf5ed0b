//! Two deliveries of one material open beside each other: a batch is weighed out of one, its
//! stock is taken from that lot's own line, and book, notes and recall tell the lots apart.

use std::fs;

use super::bench::{Bench, Ran};

const SHELF: &str = "materials:
  - name: pit kaolin   # by the door
    kind: clay
    analysis: { SiO2: 47, Al2O3: 37.5, Fe2O3: 0.6 }
    loss_on_ignition: 13
    basis: as supplied
    density: 2.6
    source: supplier sheet
    lots:   # the oldest first
      - { lot: K7, stock: 2 kg }   # nearly gone
      - { lot: L2, stock: 5 kg, analysis: { SiO2: 49, Al2O3: 36, Fe2O3: 1.2 }, loss_on_ignition: 12.4 }
";
const CLEAR: &str = "glaze: Gable clear
parts: { potash feldspar: 40, whiting: 20, pit kaolin: 20, silica: 20 }
cone: \"6\"
clay: buff stoneware
";

fn studio() -> Bench {
    let bench = Bench::example_studio();
    bench.file("studio/materials/pit.yaml", SHELF);
    bench.file("studio/glazes/gable-clear.yaml", CLEAR);
    bench
}

fn run(bench: &Bench, call: &[&str]) -> Ran {
    bench.run_in("studio", call)
}

fn done(bench: &Bench, call: &[&str]) -> String {
    let ran = run(bench, call);
    assert!(ran.code < 2, "{call:?}: {}{}", ran.stdout, ran.stderr);
    ran.stdout
}

fn shelf(bench: &Bench) -> String {
    fs::read_to_string(bench.path().join("studio/materials/pit.yaml")).unwrap()
}

const FIVE_KILOS: [&str; 4] = ["weigh", "Gable clear", "--dry", "5 kg"];
const SIX_KILOS: [&str; 4] = ["weigh", "Gable clear", "--dry", "6 kg"];
const BOOKED: [&str; 3] = ["--commit", "--on", "2026-11-24"];

#[test]
fn the_oldest_open_lot_is_taken_and_said() {
    let bench = studio();
    insta::assert_snapshot!("lots_on_a_ticket", done(&bench, &FIVE_KILOS));
    let ticket = done(&bench, &[&FIVE_KILOS[..], &BOOKED].concat());
    assert!(ticket.contains("pit kaolin lot K7 2 kg -> 1 kg"), "{ticket}");
    assert_eq!(shelf(&bench), SHELF.replace("stock: 2 kg", "stock: 1 kg"));
    insta::assert_snapshot!("lots_on_the_shelf", done(&bench, &["materials", "pit kaolin"]));
}

#[test]
fn a_lot_that_is_asked_for_has_its_own_stock_analysis_and_notes() {
    let bench = studio();
    let from_the_new = ["--lot", "pit kaolin=L2", "--batch", "7"];
    let ticket = done(&bench, &[&SIX_KILOS[..], &from_the_new, &BOOKED].concat());
    assert!(ticket.contains("pit kaolin lot L2 5 kg -> 3.8 kg"), "{ticket}");
    assert_eq!(shelf(&bench), SHELF.replace("stock: 5 kg", "stock: 3.8 kg"));
    let note = [
        "note",
        "Gable clear",
        "--batch",
        "7",
        "--crazed",
        "0/5",
        "--on",
        "2026-11-25",
    ];
    done(&bench, &note);
    let notes = fs::read_to_string(bench.path().join("studio/notes.jsonl")).unwrap();
    assert!(notes.contains("\"pit kaolin\":\"L2\""), "{notes}");
    let of_lot = done(&bench, &["notes", "--lot", "L2"]);
    assert!(of_lot.contains("Gable clear"), "{of_lot}");
    // A lot that is open and was never used is known, too.
    assert_eq!(run(&bench, &["notes", "--lot", "K7"]).code, 0);
    let label = done(&bench, &["label", "Gable clear", "--batch", "7"]);
    assert!(label.contains("pit kaolin lot L2"), "{label}");

    done(&bench, &["batches", "--void", "7"]);
    assert_eq!(shelf(&bench), SHELF);
}

#[test]
fn what_one_lot_cannot_give_is_not_booked_as_of_it() {
    let bench = studio();
    let twelve = ["weigh", "Gable clear", "--dry", "12 kg"];
    let refused = run(&bench, &[&twelve[..], &BOOKED].concat());
    assert_eq!(refused.code, 2);
    assert_eq!(shelf(&bench), SHELF);
    assert!(!bench.path().join("studio/batches.jsonl").exists());
    let told = [&["pit kaolin=Z9"], &["pit koalin=L2"], &["L2"], &["silica=3"]].map(|lot: &[&str; 1]| {
        let wrong = run(&bench, &[&FIVE_KILOS[..], &["--lot"], &lot[..]].concat());
        assert_eq!(wrong.code, 2);
        wrong.stderr
    });
    insta::assert_snapshot!("lots_refused", format!("{}{}", refused.stderr, told.concat()));
}

#[test]
fn one_lots_stock_is_set_where_it_stands() {
    let bench = studio();
    let set = |setting: &str| run(&bench, &["set", "pit kaolin", setting]);
    let done = set("lots.l2.stock=4.5 kg");
    assert_eq!(done.code, 0, "{}", done.stderr);
    assert_eq!(shelf(&bench), SHELF.replace("stock: 5 kg", "stock: 4.5 kg"));
    let told = [
        "stock=4 kg",
        "lots.Z9.stock=4 kg",
        "lots.K7.stok=4 kg",
        "lots=K7",
        "lots.K7.analysis=unknown",
    ]
    .map(|wrong| {
        let refused = set(wrong);
        assert_eq!(refused.code, 2, "{wrong}");
        refused.stderr
    });
    insta::assert_snapshot!("lots_not_set", told.concat());
}

#[test]
fn a_batch_of_the_newer_lot_is_of_no_older_recipe() {
    let bench = studio();
    let from_the_new = ["--lot", "pit kaolin=L2", "--batch", "7"];
    done(&bench, &[&SIX_KILOS[..], &from_the_new, &BOOKED].concat());
    let look = ["note", "--batch", "7", "--crazed", "0/5", "--on", "2026-11-25"];
    let told = done(&bench, &look);
    assert!(!told.contains("Older"), "{told}");
    let recipe = |bench: &Bench| {
        let notes: serde_json::Value = serde_json::from_str(&done(bench, &["notes", "--format", "json"])).unwrap();
        notes["notes"][0]["recipe"].as_str().map(str::to_owned)
    };
    assert_eq!(recipe(&bench).as_deref(), Some("today"));
    assert!(!done(&bench, &["due"]).contains("lot"), "no new lot to tile");
    bench.file("studio/materials/pit.yaml", SHELF.replace("SiO2: 49", "SiO2: 48"));
    assert_eq!(recipe(&bench).as_deref(), Some("older"), "another sheet than then");
}

/// A powder in two open lots: what one lot's batches proved says less of the next lot. Its
/// chance is the model's as worked outside this code by plain integration: a lot without notes
/// after four batches of another, 0 of 6 at three years each, on a clay of unknown absorption.
#[test]
fn fit_keeps_the_lots_of_a_powder_apart() {
    let bench = Bench::example_studio();
    let powder = "materials:\n  - name: gable powder\n    kind: powder\n    analysis: unknown\n    source: bag label\n    lots:\n      - { lot: G3, stock: 2 kg }\n      - { lot: G4, stock: 9 kg }\n";
    bench.file("studio/materials/gable.yaml", powder);
    bench.file("studio/clays/door.yaml", "clay: door clay\nsource: bag label\n");
    bench.file(
        "studio/glazes/gable.yaml",
        "glaze: Gable\nparts: { gable powder: 100 }\ncone: \"04\"\nclay: door clay\n",
    );
    let line = |batch: &str| {
        format!(
            "{{\"on\": \"2026-11-20\", \"glaze\": \"Gable\", \"clay\": \"door clay\", \"cone\": \"04\", \"batch\": \"{batch}\", \"lots\": {{\"gable powder\": \"G3\"}}, \"age_days\": 1095, \"pieces\": 6, \"crazed\": 0}}\n"
        )
    };
    bench.file("studio/notes.jsonl", ["a", "b", "c", "d"].map(line).concat());
    let chance = || {
        let fit: serde_json::Value =
            serde_json::from_str(&done(&bench, &["fit", "Gable", "--format", "json"])).unwrap();
        fit["p_craze"].as_f64().unwrap()
    };
    let own = chance();
    done(&bench, &["set", "gable powder", "lots.G3.stock=0 kg"]);
    let next = chance();
    assert!((next - 0.020).abs() < 0.005, "{next}");
    assert!(own < 0.8 * next, "{own} beside {next}");
}
