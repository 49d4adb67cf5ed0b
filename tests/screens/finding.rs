//! The studio's glazes in lists, and beside each other.

use super::bench::{Bench, Ran};

fn json(ran: &Ran) -> serde_json::Value {
    serde_json::from_str(&ran.stdout).unwrap_or_else(|error| panic!("{error}: {}{}", ran.stdout, ran.stderr))
}

#[test]
fn glazes_are_listed_a_line_each() {
    let bench = Bench::example_studio();
    insta::assert_snapshot!(bench.screen(&["--studio", "studio", "glazes"]));
    insta::assert_snapshot!(bench.screen(&["--studio", "studio", "glazes", "clear", "--near", "lamplight clear"]));
    insta::assert_snapshot!(bench.screen(&["--studio", "studio", "glazes", "--problems"]));
    let listed = json(&bench.run_in("studio", &["glazes", "--format", "json"]));
    assert_eq!(listed["glazes"].as_array().unwrap().len(), 8);
    for key in [
        "glaze",
        "file",
        "cone",
        "use",
        "clay",
        "silica_to_alumina",
        "zone_craze",
    ] {
        assert!(listed["glazes"][0].get(key).is_some(), "{key}");
    }
}

#[test]
fn glazes_are_found_by_material_cone_clay_and_use() {
    let bench = Bench::example_studio();
    let found = |call: &[&str]| -> Vec<String> {
        let told = json(&bench.run_in("studio", &[&["glazes"], call, &["--format", "json"]].concat()));
        let lines = told["glazes"].as_array().unwrap();
        lines
            .iter()
            .map(|line| line["glaze"].as_str().unwrap().to_owned())
            .collect()
    };
    assert_eq!(found(&["--holds", "tin oxide"]), ["Mothwing tin white"]);
    assert_eq!(found(&["--cone", "cone 10"]), ["Highfell clear"]);
    assert_eq!(found(&["--clay", "RED", "--use", "tableware"]), ["Mothwing tin white"]);
    assert_eq!(found(&["satin", "talc"]), ["Driftstone satin matt"]);
    let none = bench.run_in("studio", &["glazes", "celadon"]);
    assert_eq!(
        (none.code, none.stdout.as_str()),
        (1, "None of 8 glazes is like that.\n")
    );
    let wrong = bench.run_in("studio", &["glazes", "--holds", "tin oxid"]);
    assert_eq!(wrong.code, 2);
    assert!(wrong.stderr.contains("did you mean `tin oxide`?"), "{}", wrong.stderr);
}

#[test]
fn glazes_beside_each_other_the_biggest_difference_first() {
    let bench = Bench::example_studio();
    insta::assert_snapshot!(bench.screen(&["--studio", "studio", "compare", "lamplight clear", "highfell clear"]));
    let three = [
        "compare",
        "lamplight clear",
        "lamplight clear + 1 % cobalt carbonate",
        "bought clear",
    ];
    insta::assert_snapshot!(bench.screen(&[&["--studio", "studio"], &three[..]].concat()));
    let told = json(&bench.run_in(
        "studio",
        &["compare", "lamplight clear", "LAMPLIGHT clear", "--format", "json"],
    ));
    assert_eq!(told["lines"], serde_json::json!([]), "nothing differs from itself");
    assert!(told["distances"][0].as_f64().unwrap() < 1e-9);
    let all = json(&bench.run_in(
        "studio",
        &[
            "compare",
            "lamplight clear",
            "lamplight clear",
            "--all",
            "--format",
            "json",
        ],
    ));
    assert!(all["lines"].as_array().unwrap().len() > 12);
    let one = bench.run_in("studio", &["compare", "lamplight clear"]);
    assert_eq!(one.code, 2, "{}", one.stdout);
}

#[test]
fn notes_are_whole_and_found_by_line_id_month_and_tile() {
    let bench = Bench::example_studio();
    let long =
        "runs a little at the foot, pinholes where it is thick; the glaze pulls away from the rim on two of five";
    let note = |call: &[&str]| {
        let ran = bench.run_in("studio", &[&["note"], call].concat());
        assert_eq!(ran.code, 0, "{}", ran.stderr);
    };
    note(&[
        "lamplight clear",
        "--crazed",
        "2/5",
        "--on",
        "2026-03-07",
        "--text",
        long,
    ]);
    note(&[
        "--tile",
        "ladder/A3",
        "--unlisted",
        "--crazed",
        "0/1",
        "--on",
        "2026-04-01",
        "--text",
        "=holds",
    ]);
    insta::assert_snapshot!(bench.screen(&["--studio", "studio", "notes"]));
    insta::assert_snapshot!(bench.screen(&["--studio", "studio", "notes", "1"]));
    let lines = |call: &[&str]| -> Vec<u64> {
        let told = json(&bench.run_in("studio", &[&["notes"], call, &["--format", "json"]].concat()));
        let notes = told["notes"].as_array().unwrap();
        notes.iter().map(|note| note["line"].as_u64().unwrap()).collect()
    };
    assert_eq!(lines(&["--since", "2026-04"]), [2]);
    assert_eq!(lines(&["--until", "2026-03"]), [1]);
    assert_eq!(lines(&["--since", "2026-03", "--until", "2026-03"]), [1]);
    assert_eq!(lines(&["--tile", "a3"]), [2]);
    assert_eq!(lines(&["--tile", "Ladder/A3"]), [2]);
    let all = json(&bench.run_in("studio", &["notes", "--format", "json"]));
    assert_eq!(lines(&[all["notes"][1]["id"].as_str().unwrap()]), [2]);
    let csv = bench.run_in("studio", &["notes", "--format", "csv"]).stdout;
    assert!(csv.contains(long) && csv.contains(",'=holds"), "{csv}");
    for wrong in ["2026-13", "march"] {
        assert_eq!(bench.run_in("studio", &["notes", "--since", wrong]).code, 2, "{wrong}");
    }
}

#[test]
fn every_table_comes_as_csv() {
    let bench = Bench::example_studio();
    let booked = bench.run_in("studio", &["weigh", "lamplight clear", "--dry", "1 kg", "--commit"]);
    assert_eq!(booked.code, 0, "{}", booked.stderr);
    let noted = bench.run_in(
        "studio",
        &[
            "note",
            "lamplight clear",
            "--crazed",
            "0/5",
            "--on",
            "2026-01-07",
            "--age",
            "1d",
        ],
    );
    assert_eq!(noted.code, 0, "{}", noted.stderr);
    for (call, heading, holds) in [
        (vec!["glazes"], "glaze,file,cone", "Lamplight clear"),
        (vec!["materials"], "name,other_names,kind", "feldspar A"),
        (vec!["materials", "silica"], "name,other_names,kind", "silica"),
        (vec!["cost", "lamplight clear"], "material,percent_of_dry", "whiting"),
        (vec!["batches"], "", "Lamplight clear"),
        (vec!["notes"], "line,id,on", "Lamplight clear"),
        (vec!["due"], "uid,on,overdue", "Lamplight clear"),
        (vec!["affected", "--out", "whiting"], "glaze,", "Lamplight clear"),
        (
            vec!["compare", "lamplight clear", "highfell clear"],
            "what,name",
            "unity,MgO",
        ),
        (
            vec!["unity", "lamplight clear"],
            "oxide,unity,plus_minus_90",
            "SiO2,3.04",
        ),
        (
            vec!["check", "lamplight clear"],
            "script,level,subject",
            "stoneware-cone-8-12",
        ),
        (
            vec!["weigh", "lamplight clear", "--dry", "1 kg"],
            "material,grams",
            "whiting",
        ),
        (
            vec!["blend", "line", "lamplight clear", "highfell clear"],
            "code,shares",
            "A5",
        ),
        (
            vec!["swap", "lamplight clear", "--out", "kaolin"],
            "parts,weighed",
            "whiting",
        ),
        (vec!["history", "lamplight clear"], "version,on", "v1"),
        (vec!["sieve"], "mesh,micrometres", "80,180"),
        (vec!["sensitivity", "lamplight clear"], "material,", "whiting"),
        (vec!["fault", "crazing", "lamplight clear"], "stage,cause", "expansion"),
        (vec!["melt", "lamplight clear"], "log_eta,celsius", "3.0"),
        (vec!["plan"], "plan,on,kind", ""),
        (vec!["script", "list"], "name,kind,title", "blend/line"),
    ] {
        let ran = bench.run_in("studio", &[&call[..], &["--format", "csv"]].concat());
        assert!(ran.code < 2, "{call:?}: {}", ran.stderr);
        assert!(
            ran.stdout.starts_with(heading) && ran.stdout.contains(holds),
            "{call:?}: {}",
            ran.stdout
        );
    }
    let none = bench.run_in("studio", &["formula", "CaCO3", "--format", "csv"]);
    assert_eq!(none.code, 2);
    insta::assert_snapshot!(none.stderr);
}

#[test]
fn versions_by_date_tell_what_changed_by_its_effect() {
    let bench = Bench::example_studio();
    let note = |crazed: &str| {
        let ran = bench.run_in(
            "studio",
            &["note", "lamplight clear", "--crazed", crazed, "--age", "2d"],
        );
        assert_eq!(ran.code, 0, "{}", ran.stderr);
    };
    note("2/5");
    let path = bench.path().join("studio/glazes/lamplight_clear.yaml");
    let text = std::fs::read_to_string(&path).unwrap();
    std::fs::write(
        &path,
        text.replace("silica: 26", "silica: 30")
            .replace("dolomite: 6", "dolomite: 6.1"),
    )
    .unwrap();
    note("0/5");
    let told = json(&bench.run_in("studio", &["history", "lamplight clear", "--format", "json"]));
    let versions = told["versions"].as_array().unwrap();
    assert_eq!(versions.len(), 2);
    assert_eq!(versions[1]["today"], true);
    assert_eq!(versions[0]["notes"][0]["crazed"], 2);
    let effects: Vec<f64> = versions[1]["changes"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["effect"].as_f64().unwrap())
        .collect();
    assert!(
        effects[0] > effects[effects.len() - 1],
        "the biggest first: {effects:?}"
    );
    assert!(
        versions[1]["changes"][0]["change"].as_str().unwrap().contains("silica"),
        "{told}"
    );
    assert_eq!(bench.run_in("studio", &["history", "no such"]).code, 2);
}

#[test]
fn a_word_is_found_where_a_word_begins() {
    let bench = Bench::example_studio();
    let found = |word: &str| {
        let ran = bench.run_in("studio", &["glazes", word, "--format", "csv"]);
        assert_eq!(ran.code, 0, "{}", ran.stderr);
        ran.stdout.lines().skip(1).count()
    };
    // `tin` also stands inside whiting, which nearly every recipe holds.
    assert_eq!((found("tin"), found("whit") > 4), (1, true));
}
