use super::*;
use crate::oxides::Oxide;

/// The one entry of a file, its lines under `- name: bag` and `source: sheet`.
fn entry(lines: &str) -> Result<MaterialEntry, Diagnostic> {
    let text = format!("materials:\n  - name: bag\n    source: sheet\n{lines}");
    let (mut entries, mut complaints) = read_materials(&Source::from_text("m.yaml", &text));
    match (entries.pop(), complaints.pop()) {
        (_, Some(complaint)) => Err(complaint),
        (Some(entry), None) => Ok(entry),
        (None, None) => panic!("nothing was read"),
    }
}

fn fired(lines: &str) -> FiredYield {
    match entry(lines).unwrap_or_else(|why| panic!("{why:?}")).makeup {
        Makeup::Known(fired) => *fired,
        other => panic!("{other:?}"),
    }
}

fn refusal(lines: &str) -> (&'static str, String, usize, usize) {
    let why = entry(lines).expect_err(lines);
    let place = why.place.expect("every complaint has its place");
    (why.code, why.message, place.mark.line, place.mark.column)
}

const CLAY: &str = "    kind: clay\n    analysis: { SiO2: 47, Al2O3: 39 }\n    loss_on_ignition: 14\n";

#[test]
fn moisture_goes_with_a_dried_analysis_alone_and_none_with_any() {
    let dried = fired(&format!("{CLAY}    basis: dried\n    moisture: 10\n"));
    assert_eq!(dried.moisture_grams, 10.0);
    assert!((dried.oxides.get(Oxide::SiO2) - 42.3).abs() < 1e-9);
    let none = fired(&format!("{CLAY}    basis: as supplied\n    moisture: 0\n"));
    assert_eq!((none.moisture_grams, none.oxides.get(Oxide::SiO2)), (0.0, 47.0));
    let damp = refusal(&format!("{CLAY}    basis: as supplied\n    moisture: 0.1\n"));
    assert_eq!((damp.0, damp.2, damp.3), ("moisture-basis", 8, 5));
    // 0 to 60 %: nobody weighs a clay that is mostly water.
    assert_eq!(
        fired(&format!("{CLAY}    basis: dried\n    moisture: 60\n")).moisture_grams,
        60.0
    );
    assert_eq!(
        refusal(&format!("{CLAY}    basis: dried\n    moisture: 61\n")).0,
        "out-of-range"
    );
}

#[test]
fn less_than_can_be_measured_counts_as_nothing_and_is_said() {
    for written in [
        "<0.05", "< 0.1", "trace", "Traces", "tr.", "n.d.", "ND", "b.d.l.", "\"-\"", "–",
    ] {
        let lines = format!(
            "    analysis: {{ SiO2: 99, Fe2O3: {written} }}\n    basis: as supplied\n    loss_on_ignition: 1\n"
        );
        let settled = fired(&lines);
        assert_eq!(settled.oxides.get(Oxide::Fe2O3), 0.0);
        let bare = written.trim_matches('"');
        assert_eq!(
            settled.assumptions,
            [Assumption::of_sheet(
                "bag",
                SheetAssumption::CountedAsNothing(vec![format!("Fe2O3 {bare}")])
            )],
            "{written}"
        );
    }
    for written in ["<", "<-1", "some", "> 0.1"] {
        let lines = format!("    analysis: {{ SiO2: 99, Fe2O3: \"{written}\" }}\n    basis: as supplied\n");
        assert_eq!(refusal(&lines).0, "not-a-number", "{written}");
    }
}

#[test]
fn a_wrong_formula_is_shown_as_far_as_there_is_room() {
    let (code, message, line, column) = refusal("    formula: CaC03\n");
    assert_eq!((code, line), ("bad-formula", 4));
    assert!(message.starts_with("`CaC03`: ") && column > 14, "{message} {column}");
    let forty = format!("Qq{}", "Si".repeat(19));
    assert!(
        refusal(&format!("    formula: {forty}\n"))
            .1
            .starts_with(&format!("`{forty}`: "))
    );
    let longer = format!("Qq{}", "Si".repeat(20));
    let shown: String = longer.chars().take(39).collect();
    assert!(
        refusal(&format!("    formula: {longer}\n"))
            .1
            .starts_with(&format!("`{shown}…`: "))
    );
    assert_eq!(refusal("    formula: Au\n").0, "unknown-oxide");
}

#[test]
fn a_material_is_made_of_one_thing() {
    assert_eq!(
        (refusal("    kind: clay\n").0, refusal("    kind: clay\n").2),
        ("no-makeup", 2)
    );
    let both = refusal("    formula: SiO2\n    analysis: { SiO2: 100 }\n");
    assert_eq!(
        (both.0, both.1.as_str(), both.2),
        ("two-makeups", "`bag` has both `formula` and `analysis`", 5)
    );
    for (lines, line) in [
        ("    formula: SiO2\n    basis: fired\n", 5),
        ("    formula: SiO2\n    moisture: 3\n", 5),
        ("    recipe: { a: 1 }\n    take_as_is: true\n", 5),
        ("    analysis: unknown\n    basis: fired\n", 5),
        ("    analysis: { SiO2: 100 }\n    fired: true\n    basis: fired\n", 5),
    ] {
        let why = refusal(lines);
        assert_eq!((why.0, why.2), ("needless-key", line), "{lines}");
    }
    assert_eq!(entry("    formula: SiO2\n").unwrap().kind, Kind::Textbook);
    assert_eq!(entry("    analysis: unknown\n").unwrap().kind, Kind::Mineral);
    assert!(matches!(
        entry("    analysis: unknown\n").unwrap().makeup,
        Makeup::Unknown
    ));
    assert_eq!(refusal("    kind: rock\n    formula: SiO2\n").0, "unknown-kind");
    assert_eq!(refusal("    analysis: much silica\n").0, "wrong-type");
    assert_eq!(refusal("    analysis: {}\n    basis: fired\n").0, "empty-analysis");
    assert_eq!(refusal("    analysis: { SiO2: 100 }\n").0, "no-basis");
    assert_eq!(
        refusal("    analysis: { SiO2: 100 }\n    basis: wet\n").0,
        "unknown-basis"
    );
    assert_eq!(refusal("    recipe: { silica: 0, clay: 0 }\n").0, "empty-recipe");
    let Makeup::Recipe { parts, fired } = entry("    recipe: { silica: 3, clay: 1 }\n    fired: true\n")
        .unwrap()
        .makeup
    else {
        panic!("a recipe");
    };
    let parts: Vec<_> = parts.iter().map(|(name, grams)| (name.text.as_str(), *grams)).collect();
    assert_eq!((parts, fired), (vec![("silica", 3.0), ("clay", 1.0)], true));
}

#[test]
fn lines_that_are_no_oxide_get_the_help_that_fits() {
    let help = |oxide: &str| {
        let why = entry(&format!("    analysis: {{ {oxide}: 9 }}\n    basis: fired\n")).unwrap_err();
        (why.code, why.help.unwrap_or_else(|| "nothing".to_owned()))
    };
    for loss in ["LOI", "loss on ignition", "Ignition loss"] {
        assert!(help(loss).1.starts_with("write the loss beside the analysis"), "{loss}");
    }
    for alkalis in ["KNaO", "KNO"] {
        assert!(help(alkalis).1.starts_with("give K2O and Na2O apart"), "{alkalis}");
    }
    assert_eq!(help("Si02"), ("unknown-oxide", "did you mean `SiO2`?".to_owned()));
}

#[test]
fn odd_sums_are_asked_about_or_refused_unless_taken_as_they_are() {
    let sheet = |silica: f64, more: &str| {
        entry(&format!(
            "    analysis: {{ SiO2: {silica} }}\n    basis: as supplied\n    loss_on_ignition: 0\n{more}"
        ))
    };
    let asked = sheet(96.0, "").unwrap().cautions;
    assert_eq!(asked.len(), 1);
    assert_eq!(
        (asked[0].code, asked[0].place.as_ref().map(|place| place.mark.line)),
        ("odd-sum", Some(4))
    );
    assert_eq!(sheet(80.0, "").unwrap_err().code, "odd-sum");
    for silica in [80.0, 96.0] {
        assert!(sheet(silica, "    take_as_is: true\n").unwrap().cautions.is_empty());
    }
    assert!(sheet(100.0, "").unwrap().cautions.is_empty());
}

#[test]
fn a_decimal_comma_is_read_and_said() {
    let read = entry("    formula: SiO2\n    density: '2,65'\n    price: '1,60 EUR/kg'\n").unwrap();
    assert_eq!(read.density_grams_per_millilitre, Some(2.65));
    let places: Vec<_> = read
        .cautions
        .iter()
        .filter_map(|said| said.place.as_ref())
        .map(|place| place.mark.line)
        .collect();
    assert_eq!(places, [5, 6]);
    let clay = fired("    analysis: { SiO2: '99,5' }\n    basis: as supplied\n    loss_on_ignition: 0\n");
    let comma = DecimalComma {
        written: "99,5".to_owned(),
        read_as: Some("99.5".to_owned()),
    };
    assert_eq!(
        clay.assumptions,
        [Assumption::of_sheet("bag", SheetAssumption::DecimalComma(comma))]
    );
    assert_eq!(refusal("    formula: SiO2\n    stock: 12\n").0, "not-a-quantity");
    for (line, border) in [
        ("density: 0.1", true),
        ("density: 25", true),
        ("density: 26", false),
        ("free_silica: 100", true),
        ("free_silica: 101", false),
    ] {
        assert_eq!(
            entry(&format!("    formula: SiO2\n    {line}\n")).is_ok(),
            border,
            "{line}"
        );
    }
    for (loss, border) in [("-40", true), ("-41", false), ("100", true), ("101", false)] {
        let lines = format!(
            "    analysis: {{ SiO2: 50 }}\n    basis: fired\n    take_as_is: true\n    loss_on_ignition: {loss}\n"
        );
        assert_eq!(entry(&lines).is_ok(), border, "{loss}");
    }
}

#[test]
fn every_complaint_of_a_file_is_gathered_up_to_a_bound() {
    let read = |text: &str| {
        let (entries, complaints) = read_materials(&Source::from_text("m.yaml", text));
        (entries.len(), complaints.len())
    };
    let one = "  - { name: x, formula: Qq, source: y }\n";
    assert_eq!(read(&format!("materials:\n{}", one.repeat(3))), (0, 3));
    assert_eq!(read(&format!("materials:\n{}", one.repeat(50))), (0, MOST_COMPLAINTS));
    assert_eq!(
        read(&format!(
            "materials:\n{one}  - {{ name: z, formula: SiO2, source: y }}\n"
        )),
        (1, 1)
    );
    assert_eq!(read("materials:\n# none yet\n"), (0, 0));
    assert_eq!(read("materials: silica\n"), (0, 1));
    assert_eq!(read("stuff: 1\n"), (0, 1));
    assert_eq!(refusal("    formula: SiO2\n    sorce: x\n").0, "unknown-key");
}
