//! Spreadsheets, values, names and words that can't be taken as they are: what is said, and
//! that nothing was written.

use std::collections::BTreeMap;
use std::path::Path;

use super::bench::Bench;

/// Every file below a folder with its bytes.
fn files(dir: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut all = BTreeMap::new();
    for entry in std::fs::read_dir(dir).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            all.extend(files(&path));
        } else {
            all.insert(path.display().to_string(), std::fs::read(&path).unwrap());
        }
    }
    all
}

/// What each call says; none may write.
fn said(bench: &Bench, calls: &[&[&str]]) -> String {
    let before = files(&bench.path().join("studio"));
    let screens: Vec<String> = calls
        .iter()
        .map(|call| bench.screen(&[&["--studio", "studio"], *call].concat()))
        .collect();
    assert!(before == files(&bench.path().join("studio")), "something was written");
    screens.join("\n")
}

#[test]
fn spreadsheets_that_leave_something_open() {
    let bench = Bench::example_studio();
    for (name, text) in [
        ("no_headings.csv", "feldspar B,38\nsilica,26\nwhiting,18\n"),
        (
            "merged.csv",
            "Glaze,Material,Amount\nMorning white,silica,30\n,whiting,20\n,kaolin,20\n,feldspar B,30\nEvening,silica,50\n,whiting,50\n",
        ),
        (
            "twice.csv",
            "name,silica,whiting,silica,feldspar B\nTwice,30,20,10,40\n",
        ),
        (
            "units.csv",
            "name,silica,whiting,feldspar B\nMixed,300 g,20 %,40\nWeights,1 lb,200 g,2 kg\nBare,30,20,50\n",
        ),
        ("nickname.csv", "name,Feldspar,Silica,Whiting\nSky,40,30,30\n"),
    ] {
        bench.file(name, text);
    }
    let calls: [&[&str]; 5] = [
        &["import", "no_headings.csv", "--dry-run"],
        &["import", "merged.csv", "--dry-run"],
        &["import", "twice.csv", "--dry-run"],
        &["import", "units.csv", "--dry-run"],
        &["import", "nickname.csv", "--dry-run"],
    ];
    insta::assert_snapshot!(said(&bench, &calls));
}

#[test]
fn spreadsheets_of_no_size_to_read() {
    let bench = Bench::example_studio();
    let columns: Vec<String> = (0..20_000).map(|column| format!("c{column}")).collect();
    let ones = vec!["1"; columns.len()].join(",");
    bench.file("wide.csv", format!("name,{}\nA,{ones}\n", columns.join(",")));
    let wide = bench.run_in("studio", &["import", "../wide.csv", "--dry-run"]);
    assert_eq!(wide.code, 1, "{}", wide.stderr);
    assert!(wide.stdout.lines().count() < 100, "{}", wide.stdout);
    assert!(wide.stdout.contains("more; --format json has all"), "{}", wide.stdout);
    // 100 MB of nothing; it takes no room on the disk.
    let large = std::fs::File::create(bench.path().join("large.csv")).unwrap();
    large.set_len(100_000_000).unwrap();
    insta::assert_snapshot!(said(&bench, &[&["import", "large.csv"]]));
}

#[test]
fn values_that_are_not_set() {
    let bench = Bench::example_studio();
    bench.file(
        "studio/glazes/anchored.yaml",
        "glaze: Anchored\nparts: &b { silica: 30, whiting: 20, kaolin: 50 }\ncone: &c 6\n",
    );
    let calls: [&[&str]; 10] = [
        &["set", "Lamplight clear", "unity=3"],
        &["set", "Lamplight clear", "cnoe=6"],
        &["set", "feldspar A", "prize=2 EUR/kg"],
        &["set", "feldspar A", "price=2 EUR/l"],
        &["set", "feldspar A", "stock=2 l"],
        &["set", "Lamplight clear", "water=3 kg"],
        &["set", "Lamplight clear", "cone=hot"],
        &["set", "Anchored", "cone=7"],
        &["set", "Lamplight clear + 3 % rutile", "cone=7"],
        &["set", "studio", "scales=1 l"],
    ];
    insta::assert_snapshot!(said(&bench, &calls));
    let flow = "{ glaze: Flowing, parts: { silica: 30, whiting: 20, kaolin: 50 }, cone: 6 }\n";
    bench.file("studio/glazes/flowing.yaml", flow);
    let set = bench.run_in("studio", &["set", "Flowing", "cone=7", "use=tableware"]);
    assert_eq!(set.code, 0, "{}", set.stderr);
    assert_eq!(
        std::fs::read_to_string(bench.path().join("studio/glazes/flowing.yaml")).unwrap(),
        flow.replace("cone: 6", "cone: 7, use: tableware")
    );
}

#[test]
fn names_folders_and_words_that_are_not_taken() {
    let bench = Bench::example_studio();
    let plan = bench.run_in(
        "studio",
        &[
            "blend",
            "line",
            "Highfell clear",
            "Driftstone satin matt",
            "--save",
            "p",
            "--steps",
            "3",
        ],
    );
    assert_eq!(plan.code, 0, "{}", plan.stderr);
    std::fs::remove_file(bench.path().join("studio/glazes/driftstone_satin.yaml")).unwrap();
    bench.file("full/something", "hers");
    let calls: [&[&str]; 12] = [
        &["rename", "Lamplight clear", "Highfell clear"],
        &["rename", "Lamplight clear", ""],
        &["rename", "Lamplight clear", "a/b"],
        &["keep", "p/A2", "Halfway"],
        &["keep", "p/A9", "Halfway"],
        &["export", "full"],
        &["schema", "nonsense"],
        &["fault", "wobbles", "Highfell clear"],
        &["fault", "pinholes", "Highfell clear", "--where", "moon"],
        &["swap", "Highfell clear", "--out", "feldspar"],
        &["unity", "bought clear"],
        &["set", "p/A1", "cone=7"],
    ];
    insta::assert_snapshot!(said(&bench, &calls));
}

#[test]
fn a_name_that_a_script_uses_is_told() {
    let bench = Bench::example_studio();
    bench.file("studio/scripts/run/chalk.rhai", "// whiting is chalk\nconst ABOUT = #{ api: 1, kind: \"run\", title: \"Chalk\", source: \"own\" };\nfn run(studio, option) { print(\"whiting\"); }\n");
    insta::assert_snapshot!(bench.screen(&["--studio", "studio", "rename", "whiting", "chalk fine"]));
}

#[test]
fn a_powder_of_unknown_recipe_has_causes_all_the_same() {
    let bench = Bench::example_studio();
    let ran = bench.run_in("studio", &["fault", "pinholes", "bought clear", "--format", "json"]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    let told: serde_json::Value = serde_json::from_str(&ran.stdout).unwrap();
    assert!(told["causes"].as_array().unwrap().len() >= 3, "{told}");
}
