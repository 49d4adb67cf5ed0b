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
