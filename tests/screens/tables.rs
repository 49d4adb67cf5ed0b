//! Spreadsheets in, the studio out.

use super::bench::{Bench, Ran};

const FOREIGN: &str = "\u{FEFF}Unsere Glasuren;;;;;;;;\n\
    Glasur;Kegel;Feldspar A;Silica;Whiting;Kaolin;Cobalt carbonate;Farbe;Zinkoxyd\n\
    Meer;6;38,5;26;18;17,5;0,8;blau;\n\
    Nebel;Kegel 6;40;20;20;15;;grau;5\n\
    Sand;6;40 g;20 g;20 g;20 g;;;\n";

fn json(ran: &Ran) -> serde_json::Value {
    serde_json::from_str(&ran.stdout).unwrap_or_else(|error| panic!("{error}: {}{}", ran.stdout, ran.stderr))
}

fn glazes(bench: &Bench) -> usize {
    std::fs::read_dir(bench.path().join("studio/glazes")).unwrap().count()
}

#[test]
fn a_foreign_spreadsheet_tells_what_it_is_taken_for_and_what_is_open() {
    let bench = Bench::example_studio();
    bench.file("foreign.csv", FOREIGN);
    let call = ["--studio", "studio", "import", "foreign.csv", "--dry-run"];
    insta::assert_snapshot!(bench.screen(&call));
    assert_eq!(glazes(&bench), 8, "nothing is written");

    let told = json(&bench.run(&[&call[..], &["--format", "json"]].concat()));
    assert_eq!(told["recipes"][0]["parts"]["feldspar A"], 38.5);
    assert_eq!(told["recipes"][0]["additions"]["cobalt carbonate"], 0.8);
    let open: Vec<&str> = told["open"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["column"].as_str().unwrap())
        .collect();
    assert_eq!(open, ["Farbe", "Zinkoxyd"]);
    let unknown = told["columns"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|one| one["taken_as"].is_null())
        .count();
    assert_eq!(unknown, 2);
}

#[test]
fn answered_questions_let_everything_in_and_a_second_time_nothing_is_new() {
    let bench = Bench::example_studio();
    bench.file("foreign.csv", FOREIGN);
    let call = [
        "import",
        "../foreign.csv",
        "--as",
        "Farbe=notes",
        "--as",
        "zinkoxyd=zinc oxide",
    ];
    let ran = bench.run_in("studio", &call);
    assert_eq!(ran.code, 0, "{}{}", ran.stdout, ran.stderr);
    assert_eq!(glazes(&bench), 11);
    let unity = json(&bench.run_in("studio", &["unity", "nebel", "--format", "json"]));
    assert!(unity["unity"]["ZnO"].as_f64().unwrap() > 0.1);
    let again = json(&bench.run_in("studio", &[&call[..], &["--format", "json"]].concat()));
    assert_eq!(again["written"], serde_json::json!([]));
    assert_eq!(again["kept"].as_array().unwrap().len(), 3);
}

#[test]
fn what_the_studio_has_otherwise_is_left_and_asked_about() {
    let bench = Bench::example_studio();
    bench.file("own.csv", "glaze,silica,whiting\nLAMPLIGHT clear,50,50\n");
    let before = std::fs::read_to_string(bench.path().join("studio/glazes/lamplight_clear.yaml")).unwrap();
    insta::assert_snapshot!(bench.screen(&["--studio", "studio", "import", "own.csv"]));
    let after = std::fs::read_to_string(bench.path().join("studio/glazes/lamplight_clear.yaml")).unwrap();
    assert_eq!(before, after);
}

#[test]
fn long_recipes_with_merged_cells_and_unknown_materials() {
    let bench = Bench::example_studio();
    bench.file(
        "long.csv",
        "glaze;material;amount\nA;silica;50\n;whiting;30\n;kaolin;20\nB;silica;1 lb\n;whiting;8 oz\n;zircn;3\nC;silica;much\n",
    );
    insta::assert_snapshot!(bench.screen(&["--studio", "studio", "import", "long.csv", "--dry-run"]));
}

#[test]
fn materials_stocks_and_prices_come_in() {
    let bench = Bench::example_studio();
    bench.file(
        "bags.csv",
        "Rohstoff;SiO2;Al2O3;K2O;LOI;Preis (EUR/kg);Bestand (kg)\nKalifeldspat;65,2;18,1;11,9;0,4;1,20;12\nKaolin Z;47;38;1;12,9;0,9;\n",
    );
    let ran = bench.run_in("studio", &["import", "../bags.csv"]);
    assert_eq!(ran.code, 0, "{}{}", ran.stdout, ran.stderr);
    let spar = json(&bench.run_in("studio", &["materials", "kalifeldspat", "--format", "json"]));
    assert_eq!(spar["price"]["per_kg"], 1.2);
    assert_eq!(spar["stock_grams"], 12_000.0);

    bench.file(
        "count.csv",
        "material,stock (kg),price\nsilica,\"12,5\",0.85 EUR/kg\nnobody,1,\n",
    );
    insta::assert_snapshot!(bench.screen(&["--studio", "studio", "import", "count.csv"]));
    let silica = json(&bench.run_in("studio", &["materials", "silica", "--format", "json"]));
    assert_eq!(silica["stock_grams"], 12_500.0);
}

#[test]
fn the_studio_goes_out_and_comes_back() {
    let bench = Bench::example_studio();
    let noted = bench.run_in(
        "studio",
        &["note", "lamplight clear", "--crazed", "2/5", "--text", "=1+2, \"so\""],
    );
    assert_eq!(noted.code, 0, "{}", noted.stderr);
    insta::assert_snapshot!(bench.screen(&["--studio", "studio", "export", "tables"]));
    insta::assert_snapshot!(std::fs::read_to_string(bench.path().join("tables/README.txt")).unwrap());
    let notes = std::fs::read_to_string(bench.path().join("tables/notes.csv")).unwrap();
    assert!(
        notes.contains("\"'=1+2, \"\"so\"\"\""),
        "no spreadsheet runs it: {notes}"
    );
    let back = bench.run(&["import", "tables", "--into", "back"]);
    assert_eq!(back.code, 0, "{}{}", back.stdout, back.stderr);
    let shown = json(&bench.run_in("back", &["notes", "--format", "json"]));
    assert_eq!(shown["notes"][0]["text"], "=1+2, \"so\"");
}

#[test]
fn tables_that_cannot_be_taken_in_say_why() {
    let bench = Bench::example_studio();
    bench.file("numbers.csv", "Clear,38,26\nMatt,40,20\n");
    bench.file("nothing.csv", "");
    bench.file("strange.csv", "one,two\na,b\n");
    bench.file("notes.csv", "on,glaze,text\n2026-01-01,A,x\n");
    bench.file("latin.csv", b"Glasur;Silica\nK\xFChl;3\n");
    bench.file("folder/readme.txt", "no tables");
    for (name, call) in [
        ("no headings", vec!["import", "numbers.csv"]),
        ("nothing in it", vec!["import", "nothing.csv"]),
        ("unknown columns", vec!["import", "strange.csv"]),
        ("a notebook", vec!["import", "notes.csv"]),
        ("not UTF-8", vec!["import", "latin.csv"]),
        ("no tables", vec!["import", "folder"]),
        ("no such file", vec!["import", "fodler"]),
        ("no meaning", vec!["import", "strange.csv", "--as", "one"]),
        ("of no column", vec!["import", "strange.csv", "--as", "Nonsens=whiting"]),
        ("a full folder", vec!["export", "folder"]),
    ] {
        let call = [&["--studio", "studio"][..], &call].concat();
        insta::assert_snapshot!(format!("tables {name}"), bench.screen(&call));
    }
    let elsewhere = Bench::empty();
    elsewhere.file("g.csv", "glaze,silica\nA,100\n");
    insta::assert_snapshot!(elsewhere.screen(&["import", "g.csv"]));
}
