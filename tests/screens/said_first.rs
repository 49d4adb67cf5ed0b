//! What has to be said first or must not be lost: the dust of one's own bags, recipes that don't
//! melt where they are fired, colourants that the scales can't show, slips that the jar denies,
//! labels of other glazes' batches.

use super::bench::{Bench, Ran};

/// A studio with one glaze of five powders, on scales of a gram.
fn satin() -> Bench {
    let bench = Bench::empty();
    bench.file(
        "rec.txt",
        "Kitchen Satin cone 6\nPotash feldspar 34\nSilica 24\nWhiting 18\nKaolin 16\nTalc 8\n",
    );
    done(
        &bench,
        &[
            "start", "studio", "--recipe", "rec.txt", "--clay", "Stone", "--firing", "cone 6", "--water", "0.85 l",
            "--scales", "1 g",
        ],
    );
    bench
}

fn within<'a>(words: &[&'a str]) -> Vec<&'a str> {
    let mut all = vec!["--studio", "studio"];
    all.extend(words);
    all
}

fn done(bench: &Bench, words: &[&str]) -> Ran {
    let ran = bench.run(words);
    assert_eq!(ran.code, 0, "{words:?}: {}{}", ran.stdout, ran.stderr);
    ran
}

/// The text of a question asked of the studio, whatever its exit code.
fn told(bench: &Bench, words: &[&str]) -> String {
    let ran = bench.run(&within(words));
    // Lines are broken at 80 columns.
    format!("{} {}", ran.stdout, ran.stderr)
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
}

#[test]
fn a_bag_of_silica_of_ones_own_stays_a_caution() {
    let bench = satin();
    let ticket = ["weigh", "Kitchen Satin", "--dry", "1 kg"];
    assert!(told(&bench, &ticket).contains("240 g of this powder is crystalline silica"));
    done(&bench, &within(&["add", "material", "silica", "--analysis", "SiO2"]));
    let own = told(&bench, &ticket);
    assert!(
        own.contains("240 g of this powder is crystalline silica (assumed of silica, unless its sheet says amorphous)"),
        "{own}"
    );
    done(
        &bench,
        &within(&["add", "material", "Quarzmehl", "--analysis", "SiO2 99.5, loss 0.2"]),
    );
    insta::assert_snapshot!("own_silica", bench.screen(&within(&["materials", "silica"])));
    insta::assert_snapshot!(
        "own_quartz_by_analysis",
        bench.screen(&within(&["materials", "Quarzmehl"]))
    );
    done(
        &bench,
        &within(&["add", "material", "barium carbonate", "--analysis", "BaCO3"]),
    );
    insta::assert_snapshot!("own_barium", bench.screen(&within(&["materials", "barium carbonate"])));
    // Another name of what ships is free where an own sheet lies over it.
    done(&bench, &within(&["add", "material", "flint", "--analysis", "SiO2"]));
}

#[test]
fn what_will_not_melt_says_so_first() {
    let bench = satin();
    for (name, aim) in [
        ("no_melt_without_feldspar", "expansion <= 3"),
        ("no_melt_in_a_low_fire", "cone 04"),
        ("no_melt_without_lime", "no whiting"),
    ] {
        let screen = bench.screen(&within(&["adjust", "Kitchen Satin", aim]));
        let first = screen.lines().nth(1).unwrap_or_default();
        assert!(
            first.starts_with("Won't melt") || first.starts_with("How it melts isn't known"),
            "{screen}"
        );
        insta::assert_snapshot!(name, screen);
    }
    let example = Bench::example_studio();
    let low = example.screen(&within(&["adjust", "Hearthside clear", "fit: white earthenware"]));
    assert!(
        low.lines()
            .nth(1)
            .is_some_and(|first| first.starts_with("Won't melt out at cone 04")),
        "{low}"
    );
    let same = told(&bench, &["adjust", "Kitchen Satin", "SiO2 >= 3.3"]);
    assert!(
        same.contains("meets every aim (") && !same.contains("melt out"),
        "{same}"
    );
}

#[test]
fn a_colourant_never_rounds_to_nothing_in_silence() {
    let bench = satin();
    for sheet in [
        ("neph sy", "SiO2 60.7, Al2O3 23.3, K2O 4.6, Na2O 9.8, loss 0.7"),
        ("soda feldspar", "SiO2 68.0, Al2O3 19.5, Na2O 10.5, K2O 1.0, loss 0.5"),
    ] {
        done(
            &bench,
            &within(&["add", "material", sheet.0, "--analysis", sheet.1, "--stock", "9 kg"]),
        );
    }
    done(
        &bench,
        &within(&[
            "add",
            "glaze",
            "Teal",
            "--recipe",
            "neph sy 30, silica 30, whiting 20, kaolin 20 + cobalt carbonate 0.25, rutile 0.75",
            "--clay",
            "Stone",
            "--firing",
            "cone 6",
            "--water",
            "0.85 l",
        ]),
    );
    let swap = within(&["swap", "Teal", "--out", "neph sy", "--with", "soda feldspar"]);
    insta::assert_snapshot!("swap_keeps_a_little_cobalt", bench.screen(&swap));
    let shelf = told(&bench, &["shelf", "--drop", "neph sy"]);
    assert!(
        shelf.contains("cobalt carbonate 0.250") && shelf.contains("rutile 0.750"),
        "{shelf}"
    );
    let tiles = told(
        &bench,
        &[
            "blend",
            "line",
            "Kitchen Satin",
            "Teal",
            "--steps",
            "4",
            "--dry",
            "100 g",
        ],
    );
    assert!(tiles.contains("cobalt carbonate - 0.083 0.167 0.250"), "{tiles}");
}

#[test]
fn a_label_of_another_glazes_batch_is_not_printed() {
    let bench = Bench::example_studio();
    done(
        &bench,
        &within(&["weigh", "Lamplight clear", "--dry", "1 kg", "--commit"]),
    );
    for (name, batch) in [("a_label_of_another_batch", "1"), ("a_label_of_no_batch", "77")] {
        let screen = bench.screen(&within(&["label", "Honeyjar amber", "--batch", batch]));
        assert!(screen.ends_with("--- exit 2\n"), "{screen}");
        insta::assert_snapshot!(name, screen);
    }
    bench.file(
        "studio/glazes/old.yaml",
        "glaze: Old page\ncone: 04\nparts: { red lead: 60, silica: 30, kaolin: 10 }\n",
    );
    let label = told(&bench, &["label", "Old page"]);
    assert!(
        label.contains("Holds lead: not for food, whatever the firing."),
        "{label}"
    );
    assert!(!label.contains("leach test"), "{label}");
}

#[test]
fn what_is_used_up_for_good_is_done_without() {
    let bench = Bench::empty();
    let spar = "SiO2: 66, Al2O3: 19, K2O: 11, Na2O: 3.5 }, loss_on_ignition: 0.5, basis: as supplied";
    bench.file("studio/studio.yaml", "studio: Kiln Lane\n");
    bench.file(
        "studio/materials/all.yaml",
        format!(
            "materials:
  - {{ name: spar, kind: mineral, stock: 0 kg, buyable: false, source: invented, analysis: {{ {spar} }}
  - {{ name: spar again, kind: mineral, stock: 25 kg, source: invented, analysis: {{ {spar} }}
  - {{ name: quartz flour, kind: mineral, formula: SiO2, stock: 5 kg, source: invented }}
  - {{ name: chalk, kind: mineral, formula: CaCO3, stock: 0 kg, buyable: false, source: invented }}
"
        ),
    );
    bench.file(
        "studio/glazes/a.yaml",
        "glaze: A\ncone: 6\nparts: { spar: 50, quartz flour: 25, chalk: 25 }\n",
    );
    // The chalk is gone too, but without it A is lost.
    insta::assert_snapshot!("shelf_without_what_is_gone", bench.screen(&within(&["shelf"])));
}

#[test]
fn one_line_for_many() {
    let bench = satin();
    done(
        &bench,
        &within(&[
            "add",
            "glaze",
            "Many",
            "--recipe",
            "potash feldspar 30, silica 25, whiting 15, kaolin 15, borax 15 + cobalt carbonate 2, copper carbonate 3, manganese dioxide 2, soda ash 2",
            "--clay",
            "Stone",
            "--firing",
            "cone 6",
            "--water",
            "0.85 l",
        ]),
    );
    insta::assert_snapshot!("check_of_many_metals", bench.screen(&within(&["check", "Many"])));
    insta::assert_snapshot!(
        "blend_of_many_metals",
        bench.screen(&within(&[
            "blend",
            "line",
            "Kitchen Satin",
            "Many",
            "--steps",
            "3",
            "--dry",
            "50 g"
        ]))
    );
}

#[test]
fn values_as_people_say_them() {
    let bench = Bench::example_studio();
    done(&bench, &within(&["set", "Lamplight clear", "water=5 3/4 cups"]));
    assert!(told(&bench, &["weigh", "Lamplight clear", "--dry", "1 kg"]).contains("5 3/4 cups"));
    done(
        &bench,
        &within(&["add", "clay", "Harbour stone", "--absorption", "1.8 %"]),
    );
    done(&bench, &within(&["set", "Harbour stone", "absorption=2.1 wt %"]));
    let into = |what: &str| bench.run(&within(&["weigh", "Lamplight clear", "--dry", "5 kg", "--into", what]));
    let mixed = into("5 bottles and 1 bucket");
    assert_eq!(mixed.code, 2);
    assert!(mixed.stderr.contains("several sorts of containers"), "{}", mixed.stderr);
    let bucket = into("1 bucket").stdout;
    assert!(
        bucket.contains("1 bucket, ") && !bucket.contains("in each") && bucket.contains("--kind bucket"),
        "{bucket}"
    );
    let all = [
        "add",
        "material",
        "lake spar",
        "--analysis",
        "SiO2 67, Al2O3 18, K2O 11, Na2O 3.5, loss 0.5",
        "--price",
        "2 EUR/kg",
        "--stock",
        "5 kg",
        "--lot",
        "L1",
    ];
    let next = told(&bench, &all);
    assert!(!next.contains("glost set"), "{next}");
}
