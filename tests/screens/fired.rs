//! Firings told apart and put together: which pieces count with which, tiles in the kiln's
//! book, glazes beside the firing they go into.

use serde_json::Value;

use super::bench::{Bench, Ran};

const CLEAR: &str = "Lamplight clear";
const FIT: [&str; 4] = ["fit", CLEAR, "--clay", "buff stoneware"];

fn ran(bench: &Bench, call: &[&str]) -> Ran {
    let ran = bench.run_in("studio", call);
    assert!(ran.code < 2, "{call:?}: {}{}", ran.stdout, ran.stderr);
    ran
}

fn json(bench: &Bench, call: &[&str]) -> Value {
    let told = ran(bench, &[call, &["--format", "json"]].concat()).stdout;
    serde_json::from_str(&told).unwrap_or_else(|error| panic!("{error}: {told}"))
}

fn refused(bench: &Bench, call: &[&str]) -> String {
    let ran = bench.run_in("studio", call);
    assert_eq!(ran.code, 2, "{call:?}: {}{}", ran.stdout, ran.stderr);
    ran.stderr
}

fn screen(bench: &Bench, call: &[&str]) -> String {
    bench.screen(&[call, &["--studio", "studio"]].concat())
}

/// The example studio with batch 1 of the clear.
fn booked() -> Bench {
    let bench = Bench::example_studio();
    ran(
        &bench,
        &["weigh", CLEAR, "--dry", "5 kg", "--commit", "--on", "2026-02-01"],
    );
    bench
}

/// Loads pieces of a batch, opens the kiln and looks at them; the firing's id.
fn fired(bench: &Bench, (name, put, bent, on): (&str, &str, &str, &str), more: &[&str], crazed: &str) -> String {
    let load = [
        "kiln", "load", "--firing", name, "--cone", "9", "--put", put, "--on", on,
    ];
    let id = json(bench, &load)["firing"]["id"]
        .as_str()
        .unwrap_or_default()
        .to_owned();
    ran(bench, &[&["kiln", "opened", "--bent", bent, "--on", on], more].concat());
    ran(bench, &["note", "--batch", "1", "--firing", &id, "--crazed", crazed]);
    id
}

fn counted(bench: &Bench, more: &[&str]) -> (u64, u64, String) {
    let fit = json(bench, &[&FIT, more].concat());
    (
        fit["pieces"].as_u64().unwrap_or(0),
        fit["crazed"].as_u64().unwrap_or(0),
        fit["firing"].as_str().unwrap_or_default().to_owned(),
    )
}

/// Crazed pieces of March vanished once a firing of June was opened.
#[test]
fn two_names_one_cone() {
    let bench = booked();
    let march = fired(
        &bench,
        ("March", "1 = 12 on buff stoneware", "9", "2026-03-01"),
        &[],
        "8/12",
    );
    let june = fired(
        &bench,
        ("June", "1 = 4 on buff stoneware", "9", "2026-06-01"),
        &[],
        "0/4",
    );
    for firing in [None, Some("9"), Some("June"), Some("march"), Some(&march), Some(&june)] {
        let more = firing.map_or_else(Vec::new, |firing| vec!["--firing", firing]);
        assert_eq!(counted(&bench, &more), (16, 8, "cone 9".to_owned()), "{firing:?}");
    }
    insta::assert_snapshot!(
        "fired_two_names",
        screen(&bench, &[&FIT[..], &["--firing", "June"]].concat())
    );
    let check = json(
        &bench,
        &["check", CLEAR, "--clay", "buff stoneware", "--use", "tableware"],
    );
    assert_eq!(
        (&check["seen"]["pieces"], &check["seen"]["crazed"]),
        (&16.into(), &8.into())
    );
}

/// One that missed, or that is set apart, is asked for by its name or its id.
#[test]
fn a_firing_of_its_own() {
    let bench = booked();
    fired(
        &bench,
        ("March", "1 = 12 on buff stoneware", "9", "2026-03-01"),
        &[],
        "0/12",
    );
    let hot = fired(
        &bench,
        ("hot", "1 = 4 on buff stoneware", "10", "2026-04-01"),
        &[],
        "4/4",
    );
    let slow = fired(
        &bench,
        ("slow", "1 = 3 on buff stoneware", "9", "2026-05-01"),
        &["--apart"],
        "3/3",
    );
    assert_eq!(counted(&bench, &[]), (12, 0, "cone 9".to_owned()));
    for (asked, pieces, words) in [
        ("hot", 4, "hot, cone 10 bent"),
        (&hot, 4, "hot, cone 10 bent"),
        ("hot, cone 10 bent", 4, "hot, cone 10 bent"),
        ("slow", 3, "slow, cone 9"),
        (&slow, 3, "slow, cone 9"),
    ] {
        let found = counted(&bench, &["--firing", asked]);
        assert_eq!(found, (pieces, pieces, words.to_owned()), "{asked}");
    }
    insta::assert_snapshot!(
        "fired_on_its_own",
        screen(&bench, &[&FIT[..], &["--firing", "sloe"]].concat())
    );
}

/// Cone 8.5 is none; 5.5 is one everywhere.
#[test]
fn half_cones_are_noted() {
    let bench = booked();
    ran(
        &bench,
        &[
            "kiln",
            "load",
            "--put",
            "1 = 5 on buff stoneware",
            "--cone",
            "6",
            "--on",
            "2026-03-01",
        ],
    );
    ran(&bench, &["kiln", "opened", "--bent", "5.5", "--on", "2026-03-02"]);
    let noted = json(&bench, &["note", "--batch", "1", "--crazed", "3/5"]);
    assert_eq!((&noted["cone"], &noted["missed"]), (&"5.5".into(), &Value::Null));
    let typed = json(
        &bench,
        &["note", CLEAR, "--cone", "5 1/2", "--age", "fresh", "--crazed", "0/2"],
    );
    assert_eq!(typed["cone"], "5.5");
    let wrong = refused(&bench, &["note", CLEAR, "--cone", "8.5", "--crazed", "0/2"]);
    assert!(wrong.contains("05.5 and 5.5 lie between"), "{wrong}");
}

/// Tiles named by `--tile` or by themselves take age, cone and clay from the kiln's book.
#[test]
fn tiles_in_the_book() {
    let bench = Bench::example_studio();
    let line = [
        "blend",
        "line",
        CLEAR,
        "Highfell clear",
        "--steps",
        "3",
        "--save",
        "nsline",
    ];
    ran(&bench, &line);
    let put = |tile: &str| format!("nsline/{tile} = 1 on buff stoneware");
    let (one, two, three) = (put("A1"), put("A2"), put("A3"));
    let load = [
        "kiln", "load", "--firing", "ns tiles", "--cone", "9", "--put", &one, "--put", &two, "--put", &three,
    ];
    let loaded = json(&bench, &[&load[..], &["--on", "2026-09-01"]].concat());
    assert_eq!(loaded["load"][0]["tile"], "nsline/A1", "{loaded}");
    let id = loaded["firing"]["id"].as_str().unwrap_or_default().to_owned();
    ran(&bench, &["kiln", "opened", "--bent", "9", "--on", "2026-09-03"]);
    assert_eq!(json(&bench, &["due"])["due"].as_array().map_or(0, Vec::len), 3);
    let told = |call: &[&str]| {
        let noted = json(&bench, &[&["note"], call, &["--on", "2026-10-03"]].concat());
        let keys = ["tile", "firing", "cone", "age_days", "clay", "firing_id"];
        keys.map(|key| noted[key].clone()).to_vec()
    };
    let wanted = |tile: &str| {
        let told: [Value; 6] = [
            tile.into(),
            "ns tiles".into(),
            "9".into(),
            30.into(),
            "buff stoneware".into(),
            id.as_str().into(),
        ];
        told.to_vec()
    };
    assert_eq!(
        told(&["--tile", "nsline/A1", "--firing", "ns tiles", "--crazed", "0/1"]),
        wanted("nsline/A1")
    );
    assert_eq!(
        told(&["--tile", "A2", "--firing", &id, "--crazed", "0/1"]),
        wanted("nsline/A2")
    );
    assert_eq!(told(&["nsline/A3", "--crazed", "0/1"]), wanted("nsline/A3"));
    assert_eq!(
        json(&bench, &["due"])["due"].as_array().map_or(0, Vec::len),
        3,
        "one each"
    );
    let odd = ran(
        &bench,
        &["note", "--tile", "nsline/A1", "--firing", "nosuch", "--crazed", "0/1"],
    );
    assert!(odd.stdout.contains("has no firing called nosuch"), "{}", odd.stdout);
}

/// What the glazes' files say against the firing they are put into.
#[test]
fn glazes_beside_their_firing() {
    let bench = Bench::example_studio();
    let green = "Millpond copper green = 5 on buff stoneware";
    let load = |more: &[&str]| screen(&bench, &[&["kiln", "load", "--on", "2026-09-01"], more].concat());
    let screens = [
        load(&["--cone", "9", "--put", green]),
        load(&["--put", green, "--put", "Hearthside clear = 2 on white earthenware"]),
        load(&[
            "--atmosphere",
            "oxidation",
            "--put",
            "Highfell clear = 3 on buff stoneware",
        ]),
        load(&["--put", "Highfell clear = 3 on buff stoneware", "--put", green]),
    ];
    insta::assert_snapshot!("fired_beside_glazes", screens.join("\n---\n"));
    let loaded = json(
        &bench,
        &["kiln", "load", "--put", "Highfell clear = 4 on buff stoneware"],
    );
    assert_eq!(loaded["firing"]["atmosphere"], "reduction");
    let opened = json(&bench, &["kiln", "opened", "--bent", "9"]);
    assert_eq!(opened["firing"]["atmosphere"], "reduction");
}

/// Kind and atmosphere are asked for too; whoever goes straight on to the list may.
#[test]
fn a_load_by_lines_says_kind_and_atmosphere() {
    let bench = booked();
    let call = ["kiln", "load", "--studio", "studio", "--format", "json"];
    let told = bench.run_told(&call, "spring\n9\nonce\nreduction\n1 = 3 on buff stoneware\n\n");
    let loaded: Value = serde_json::from_str(&told.stdout).unwrap_or_else(|_| panic!("{}", told.stderr));
    assert_eq!(
        (&loaded["firing"]["kind"], &loaded["firing"]["atmosphere"]),
        (&"once".into(), &"reduction".into())
    );
    let told = bench.run_told(&call, "autumn\n9\n1 = 2 on buff stoneware\n\n");
    let loaded: Value = serde_json::from_str(&told.stdout).unwrap_or_else(|_| panic!("{}", told.stderr));
    assert_eq!(
        (&loaded["firing"]["kind"], &loaded["load"][0]["pieces"]),
        (&"glost".into(), &2.into())
    );
    let wrong = bench.run_told(&call, "winter\n9\nraku\n");
    assert_eq!(wrong.code, 2, "{}", wrong.stdout);
}

/// A cup in three places, a test that failed, and notes that say nothing.
#[test]
fn notes_of_pieces() {
    let bench = booked();
    let sun = refused(
        &bench,
        &["note", CLEAR, "--crazed", "0/2", "--age", "30d", "--kept", "in the sun"],
    );
    assert!(sun.contains("shelf, in use or outdoors"), "{sun}");
    let kept = json(
        &bench,
        &[
            "note",
            CLEAR,
            "--crazed",
            "0/2",
            "--age",
            "30d",
            "--kept",
            "on the shelf",
        ],
    );
    assert_eq!(kept["kept"], "shelf");
    let empty = [
        refused(&bench, &["note", CLEAR]),
        refused(&bench, &["note", "--batch", "9", "--crazed", "0/2"]),
    ];
    insta::assert_snapshot!("fired_note_of_nothing", empty.join("\n---\n"));
    let boiled = [
        "note",
        CLEAR,
        "--test",
        "boil and ice",
        "--crazed",
        "3/5",
        "--age",
        "2d",
    ];
    insta::assert_snapshot!("fired_a_test_failed", screen(&bench, &boiled));
    let due = json(&bench, &["due"]);
    let pieces: Vec<&Value> = due["due"]
        .as_array()
        .map_or_else(Vec::new, |due| due.iter().map(|one| &one["lines"]).collect());
    assert_eq!(pieces, [&serde_json::json!([1])], "boiled pieces are spent: {due}");
    insta::assert_snapshot!(
        "fired_some_crazed",
        screen(&bench, &["note", CLEAR, "--crazed", "2/12", "--age", "60d"])
    );
    let two = "Lamplight clear over Millpond copper green";
    let asked = [refused(&bench, &["fit", two]), refused(&bench, &["check", two])];
    insta::assert_snapshot!("fired_two_glazes", asked.join("\n---\n"));
    let lab = refused(&bench, &["note", CLEAR, "--lab", "nosuch"]);
    assert!(lab.contains("no report called `nosuch`"), "{lab}");
}

/// A result above a limit stays said when the glaze is fired otherwise since.
#[test]
fn above_a_limit_stays_said() {
    let bench = Bench::example_studio();
    let honey = "Honeyjar amber";
    bench.file(
        "studio/lab.csv",
        "metal,value,unit,shape\nPb,0.7,mg/l,cup\nCd,<0.01,mg/l,cup\n",
    );
    ran(
        &bench,
        &[
            "weigh",
            honey,
            "--dry",
            "1 kg",
            "--batch",
            "2",
            "--commit",
            "--on",
            "2026-09-01",
        ],
    );
    ran(
        &bench,
        &[
            "kiln",
            "load",
            "--cone",
            "7",
            "--put",
            "2 = 3 on buff stoneware",
            "--on",
            "2026-09-02",
        ],
    );
    ran(&bench, &["kiln", "opened", "--bent", "7", "--on", "2026-09-03"]);
    ran(&bench, &["lab", honey, "--sheet", "lab.csv", "--batch", "2"]);
    for call in [
        &["check", honey][..],
        &["label", honey],
        &["card", honey],
        &["fit", honey, "--clay", "buff stoneware"],
    ] {
        let told = bench
            .run_in("studio", call)
            .stdout
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ");
        for words in [
            "ABOVE a limit, of batch 2, an earlier firing: Pb 0.7 mg/l",
            "no longer belongs",
        ] {
            assert!(told.contains(words), "{call:?}: {told}");
        }
        assert!(!told.contains("Cd <0.01"), "{told}");
    }
    insta::assert_snapshot!("fired_above_a_limit", screen(&bench, &["label", honey]));
}

/// What a recall says of lots, of batches taken back and of glazes that nobody booked.
#[test]
fn recalled() {
    let bench = booked();
    ran(
        &bench,
        &[
            "kiln",
            "load",
            "--firing",
            "June",
            "--cone",
            "9",
            "--put",
            "1 = 4 on buff stoneware",
            "--put",
            "Highfell clear = 2 on buff stoneware",
            "--on",
            "2026-06-01",
        ],
    );
    ran(&bench, &["kiln", "opened", "--bent", "9", "--on", "2026-06-02"]);
    let recalls = [
        screen(&bench, &["recall", "June"]),
        screen(&bench, &["recall", "305"]),
        screen(&bench, &["batches", "--void", "1"]),
        screen(&bench, &["recall", "1"]),
    ];
    insta::assert_snapshot!("fired_recalled", recalls.join("\n---\n"));
    let paged = ran(&bench, &["recall", "June", "--page", "contact.html"]);
    assert!(paged.stdout.contains("No page"), "{}", paged.stdout);
    assert!(!bench.path().join("studio/contact.html").exists());
}

/// Reasons, lots and names that are said once.
#[test]
fn said_once() {
    let bench = booked();
    fired(
        &bench,
        ("March", "1 = 4 on buff stoneware", "9", "2026-03-01"),
        &[],
        "0/4",
    );
    for more in ["a", "b", "c"] {
        ran(
            &bench,
            &[
                "note",
                CLEAR,
                "--clay",
                "buff stoneware",
                "--cone",
                "6",
                "--age",
                "60d",
                "--crazed",
                "0/3",
                "--text",
                more,
            ],
        );
    }
    insta::assert_snapshot!("fired_said_once", screen(&bench, &FIT));
    let step = screen(
        &bench,
        &[
            "note",
            "Lamplight clear + 3 % rutile",
            "--crazed",
            "0/2",
            "--age",
            "60d",
            "--unlisted",
        ],
    );
    assert!(step.contains("exit 0"), "{step}");
    let notes = screen(&bench, &["notes"]);
    assert!(!notes.contains("No file that can be read"), "{notes}");
    let clay = refused(&bench, &["glazes", "--clay", "nosuch"]);
    assert!(clay.contains("nosuch"), "{clay}");
    let june = fired(
        &bench,
        ("June", "1 = 2 on buff stoneware", "9", "2026-06-01"),
        &[],
        "0/2",
    );
    let seen = screen(&bench, &FIT);
    assert!(seen.contains("1 batch in 2 firings"), "{june}: {seen}");
}
