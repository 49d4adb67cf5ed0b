use super::*;

fn read(lines: &str) -> Result<GlazeFile, Diagnostic> {
    read_glaze(
        &Source::from_text("g.yaml", &format!("glaze: A\n{lines}\n")),
        Millilitres::METRIC_CUP,
    )
}

fn amounts(lines: &str) -> Vec<f64> {
    let file = read(lines).unwrap_or_else(|why| panic!("{why:?}"));
    file.parts.iter().map(|line| line.amount).collect()
}

/// Code, line and column of what is wrong.
fn wrong(lines: &str) -> (&'static str, usize, usize) {
    let why = read(lines).expect_err(lines);
    let mark = why.place.expect("a place").mark;
    (why.code, mark.line, mark.column)
}

#[test]
fn parts_are_numbers_per_cents_or_all_of_them_weights() {
    assert_eq!(
        amounts("parts: { silica: 26, clay: '12,5', spar: 61.5 % }"),
        [26.0, 12.5, 61.5]
    );
    assert_eq!(
        amounts("parts: { silica: 1 kg, clay: 1 lb 8 oz }"),
        [1000.0, 680.388_555]
    );
    assert_eq!(amounts("parts: { silica: 1/2 kg }"), [500.0]);
    let said = |lines: &str| read(lines).unwrap().assumptions;
    assert_eq!(
        said("parts: { silica: 260 g }"),
        [Assumption::Recipe(RecipeAssumption::PartsAsWeights)]
    );
    assert!(said("parts: { silica: 26 }").is_empty());
    let comma = |written: &str, read_as: Option<&str>| DecimalComma {
        written: written.to_owned(),
        read_as: read_as.map(str::to_owned),
    };
    assert_eq!(
        said("parts: { silica: '2,5 kg' }")[0],
        read_with_comma("silica", comma("2,5 kg", None))
    );
    assert_eq!(
        said("parts: { silica: '2,5' }"),
        [read_with_comma("silica", comma("2,5", Some("2.5")))]
    );
    assert_eq!(wrong("parts:\n  silica: 26\n  clay: 12 g"), ("bad-amount", 3, 11));
    assert_eq!(wrong("parts:\n  silica: 26 g\n  clay: 12"), ("bad-amount", 4, 9));
    assert_eq!(wrong("parts: { silica: 0, clay: 0 }").0, "bad-amount");
    assert_eq!(wrong("parts: { silica: 1e-308, clay: 0 }").0, "bad-amount", "no shares");
    assert_eq!(wrong("parts: {}").0, "bad-amount");
    assert_eq!(wrong("parts: { silica: [1] }"), ("bad-amount", 2, 18));
    assert_eq!(wrong("parts: { silica: 2 g 3 sacks }").0, "bad-amount");
    assert_eq!(wrong("parts: { silica: -1 }").0, "out-of-range");
    assert_eq!(wrong("parts: { silica: 12 sacks }").0, "not-a-number");
}

#[test]
fn an_addition_is_per_cent_on_the_base() {
    let on_top = |amount: &str| read(&format!("parts: {{ silica: 1 }}\nadditions: {{ tin oxide: {amount} }}"));
    for (amount, percent) in [("0", 0.0), ("4", 4.0), ("4 %", 4.0), ("1000", 1000.0)] {
        let file = on_top(amount).unwrap_or_else(|why| panic!("{why:?}"));
        assert_eq!(file.additions[0].amount, percent);
        assert_eq!(file.additions[0].name.text, "tin oxide");
    }
    let message = |amount: &str| on_top(amount).unwrap_err().message;
    assert!(message("1001").contains("0 to 1000 per cent") && message("1001 %").contains("0 to 1000 per cent"));
    assert!(message("40 g").contains("not a weight"));
    assert!(read("parts: { silica: 1 }\nadditions:").unwrap().additions.is_empty());
}

#[test]
fn a_glaze_knows_what_its_file_says_of_it() {
    let file = read(
        "parts: { silica: 1 }\ncone: 04\npeak: 1060 C\nfiring: slow\natmosphere: reduction\niron: FeO\nware: raw\nbody: red clay\nuse: outdoor\nwater: 0.9 l/kg\ndensity: '1,45'\nsieve: 100  mesh\ncrackle: wanted\nrecommended: [red clay, buff clay]\nnotes: ok",
    )
    .unwrap();
    let about = &file.about;
    assert_eq!(
        (about.cone.as_deref(), about.peak.map(Celsius::celsius)),
        (Some("04"), Some(1060.0))
    );
    assert_eq!(
        (about.firing.as_deref(), about.atmosphere),
        (Some("slow"), Some(Atmosphere::Reduction))
    );
    assert_eq!((about.iron, about.ware), (Some(IronCount::FEO), Some(Ware::Raw)));
    assert_eq!(
        (about.clay.as_deref(), about.usage),
        (Some("red clay"), Some(Use::Outdoor))
    );
    assert_eq!(about.water.map(|water| water.millilitres_per_kg), Some(900.0));
    assert_eq!(about.density_grams_per_millilitre, Some(1.45));
    assert_eq!((about.sieve.as_deref(), about.crackle_wanted), (Some("100 mesh"), true));
    assert_eq!((about.recommended_for.len(), about.notes.as_deref()), (2, Some("ok")));
    let comma = DecimalComma {
        written: "1,45".to_owned(),
        read_as: None,
    };
    assert_eq!(file.assumptions, [read_with_comma("density", comma)]);
    assert_eq!((file.parts_mark.line, file.name.text.as_str()), (2, "A"));
    let plain = read("parts: { silica: 1 }\nware: biscuit\nclay: buff").unwrap().about;
    assert_eq!(
        (plain.ware, plain.clay.as_deref(), plain.crackle_wanted),
        (Some(Ware::Biscuit), Some("buff"), false)
    );
    assert_eq!([Ware::Raw.word(), Ware::Biscuit.word()], ["raw", "biscuit"]);
}

#[test]
fn what_a_glaze_file_may_not_say_is_refused_where_it_stands() {
    let parts = "parts: { silica: 1 }\n";
    for (line, code) in [
        ("clay: a\nbody: b", "duplicate-key"),
        ("atmosphere: smoky", "unknown-word"),
        ("use: garden", "unknown-word"),
        ("ware: wet", "unknown-word"),
        ("crackle: no", "unknown-word"),
        ("density: 1.04", "out-of-range"),
        ("density: 2.3", "out-of-range"),
        ("peak: 1060", "not-a-quantity"),
        ("sieve: fine", "not-a-quantity"),
        ("colour: blue", "unknown-key"),
    ] {
        let found = wrong(&format!("{parts}{line}"));
        assert_eq!(found.0, code, "{line}");
        assert_eq!(found.1, 2 + line.lines().count(), "{line}");
    }
    for density in ["1.05", "2.2"] {
        assert!(read(&format!("{parts}density: {density}")).is_ok(), "{density}");
    }
    assert_eq!(wrong("cone: 6").0, "missing-key");
    let sieve = |signs: usize| sieve_words(&format!("{}1", "m".repeat(signs - 1)));
    assert!(sieve(60).is_ok() && sieve(61).is_err());
    assert_eq!(sieve_words("  100   mesh,  twice "), Ok("100 mesh, twice".to_owned()));
}
