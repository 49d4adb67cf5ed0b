//! Bad files: each is refused by name, at its place, with something to do.
//!
//! The place is marked in the text with « and »: there the caret must stand.

#[allow(dead_code)]
mod invented;

use std::fmt::Write as _;

use glost_chemistry::Assumption;
use glost_chemistry::diagnostic::{Diagnostic, Source};
use glost_chemistry::glaze::{Additions, Analysis, FluxList, Glaze, GlazeFile, GlazeNotes, Portion, read_glaze};
use glost_chemistry::material::{FiredYield, Library, Makeup, MaterialEntry, read_materials};
use glost_chemistry::quantity::Millilitres;
use glost_core::evidence::ware::read_clay;
use glost_core::studio::read_settings;
use glost_page::words::say;
use glost_tests::{library, material};
use invented::for_all;
use proptest::prelude::*;
use proptest::sample::select;

/// The text without its marks, and line, column and width of what they enclose.
fn marked(text: &str) -> (String, (usize, usize, usize)) {
    let before = text.split('«').next().unwrap();
    let inside = text.split('«').nth(1).and_then(|rest| rest.split('»').next());
    let inside = inside.unwrap_or_else(|| panic!("no place is marked in {text}"));
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().unwrap().chars().count() + 1;
    let place = (line, column, inside.chars().count());
    (text.replace(['«', '»'], ""), place)
}

/// The complaint has this code, stands at the marked place and helps.
#[track_caller]
fn expect(complaints: &[Diagnostic], text: &str, code: &str, help: &str) {
    let (plain, (line, column, width)) = marked(text);
    let [complaint] = complaints else {
        panic!("{plain}\n{} complaints: {complaints:#?}", complaints.len());
    };
    assert_eq!(complaint.code, code, "{plain}\n{complaint:#?}");
    let place = complaint
        .place
        .as_ref()
        .unwrap_or_else(|| panic!("{plain}\n{complaint:#?}"));
    assert_eq!(
        (place.mark.line, place.mark.column, place.width),
        (line, column, width),
        "{plain}\n{complaint:#?}"
    );
    assert_eq!(place.source_line, plain.lines().nth(line - 1).unwrap_or_default());
    let found = complaint.help.as_deref().unwrap_or_default();
    assert!(
        !help.is_empty() && found.contains(help),
        "{plain}\nhelp: {found:?}, not {help:?}"
    );
}

fn source(text: &str) -> Source {
    Source::from_text("x.yaml", text)
}

fn glaze_file(text: &str) -> Result<GlazeFile, Diagnostic> {
    read_glaze(&source(text), Millilitres::METRIC_CUP)
}

#[track_caller]
fn bad_glaze(text: &str, code: &str, help: &str) {
    let error = glaze_file(&marked(text).0).err();
    expect(error.as_slice(), text, code, help);
}

fn layered(text: &str) -> (Vec<MaterialEntry>, Vec<Diagnostic>) {
    let (entries, mut complaints) = read_materials(&source(text));
    let mut library = Library::default();
    complaints.extend(library.add_layer(entries.clone(), false));
    (entries, complaints)
}

#[track_caller]
fn bad_materials(text: &str, code: &str, help: &str) {
    expect(&layered(&marked(text).0).1, text, code, help);
}

/// One material `a` with these further keys, each on a line of its own.
#[track_caller]
fn bad_material(keys: &str, code: &str, help: &str) {
    let mut text = "materials:\n  - name: a\n    source: x\n".to_owned();
    for key in keys.lines() {
        writeln!(text, "    {key}").unwrap();
    }
    bad_materials(&text, code, help);
}

fn settled(text: &str) -> FiredYield {
    let (entries, complaints) = layered(text);
    assert!(complaints.is_empty(), "{complaints:?}");
    match &entries[0].makeup {
        Makeup::Known(settled) => (**settled).clone(),
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_misspelt_oxide_names_the_nearest() {
    bad_material(
        "basis: as supplied\nanalysis: { «Si02»: 67, Al2O3: 33 }",
        "unknown-oxide",
        "did you mean `SiO2`?",
    );
    bad_material(
        "basis: as supplied\nanalysis:\n  SiO2: 67\n  «Al203»: 33",
        "unknown-oxide",
        "did you mean `Al2O3`?",
    );
    bad_material(
        "basis: as supplied\nanalysis: { SiO2: 67, «LOI»: 33 }",
        "unknown-oxide",
        "loss_on_ignition",
    );
    bad_material(
        "basis: as supplied\nanalysis: { SiO2: 67, Al2O3: 33 }\ntolerance: { «sio2»: 1 }",
        "unknown-oxide",
        "did you mean `SiO2`?",
    );
}

#[test]
fn a_misspelt_material_names_the_nearest() {
    let shelf = library(
        "materials:\n  - { name: whiting, formula: CaCO3, source: x }\n  - { name: feldspar A, formula: KAlSi3O8, source: x }\n",
    );
    for (text, help) in [
        (
            "glaze: g\nparts: { feldspar A: 38, «whitting»: 18 }\n",
            "did you mean `whiting`?",
        ),
        ("glaze: g\nparts:\n  «felspar A»: 38\n", "did you mean `feldspar A`?"),
        (
            "glaze: g\nparts: { whiting: 1 }\nadditions: { «Whitling»: 2 }\n",
            "did you mean `whiting`?",
        ),
        (
            "glaze: Émail\nparts: { «qqqqq»: 1 }\n",
            "known here: whiting, feldspar A",
        ),
    ] {
        let read = glaze_file(&marked(text).0).unwrap();
        let errors = read.resolve(&shelf).err().unwrap_or_default();
        expect(&errors, text, "unknown-material", help);
    }
    let all = glaze_file("glaze: g\nparts: { aa: 1, whiting: 2, bb: 3 }\nadditions: { cc: 1 }\n").unwrap();
    assert_eq!(
        all.resolve(&shelf).err().map(|errors| errors.len()),
        Some(3),
        "each is told"
    );
}

#[test]
fn a_misspelt_key_names_the_nearest() {
    bad_glaze("«glase»: g\nparts: { a: 1 }\n", "unknown-key", "did you mean `glaze`?");
    bad_glaze("glaze: g\n«part»: { a: 1 }\n", "unknown-key", "did you mean `parts`?");
    bad_glaze("glaze: g\nparts: { a: 1 }\n«colour»: blue\n", "unknown-key", "cone");
    bad_material("«formla»: SiO2", "unknown-key", "did you mean `formula`?");
    bad_materials(
        "«material»:\n  - { name: a }\n",
        "unknown-key",
        "did you mean `materials`?",
    );
}

#[test]
fn a_missing_key_says_what_to_write() {
    bad_glaze("«p»arts: { a: 1 }\n", "missing-key", "glaze:");
    bad_glaze("«g»laze: g\n", "missing-key", "parts:");
    bad_materials(
        "materials:\n  - «n»ame: a\n    formula: SiO2\n",
        "missing-key",
        "source:",
    );
    bad_materials(
        "materials:\n  - «f»ormula: SiO2\n    source: x\n",
        "missing-key",
        "name",
    );
}

#[test]
fn a_key_given_twice_is_refused() {
    bad_glaze(
        "glaze: g\nparts: { a: 1, b: 2, «a»: 3 }\n",
        "duplicate-key",
        "add the amounts up",
    );
    bad_glaze("glaze: g\nparts: { a: 1 }\n«glaze»: h\n", "duplicate-key", "keep one");
    bad_material(
        "basis: as supplied\nanalysis: { SiO2: 50, Al2O3: 50, «SiO2»: 50 }",
        "duplicate-key",
        "keep one",
    );
    bad_material("formula: SiO2\n«formula»: SiO2", "duplicate-key", "keep one");
    bad_materials(
        "materials:\n  - { name: a, formula: SiO2, source: x }\n  - { name: «A», formula: SiO2, source: x }\n",
        "name-taken",
        "one name, one material",
    );
}

#[test]
fn amounts_must_be_amounts() {
    for (amount, code) in [
        ("-5", "out-of-range"),
        ("-0.001", "out-of-range"),
        (".nan", "not-a-number"),
        (".NaN", "not-a-number"),
        (".inf", "not-a-number"),
        ("-.inf", "not-a-number"),
        ("1e999", "not-a-number"),
        ("1e12", "out-of-range"),
        ("99999999999", "out-of-range"),
        ("lots", "not-a-number"),
        ("0x10", "not-a-number"),
        ("1_000", "not-a-number"),
        ("1.2.3", "not-a-number"),
        ("1,000.5", "not-a-number"),
        ("12 parts", "not-a-number"),
    ] {
        let text = |before: &str, after: &str| format!("{before}«{amount}»{after}");
        let block = text("glaze: g\nparts:\n  b: 1\n  a: ", "\n");
        bad_glaze(&block, code, "write");
        let additions = text("glaze: g\nparts: { b: 1 }\nadditions:\n  a: ", "\n");
        if code == "not-a-number" {
            bad_glaze(&additions, code, "write");
        }
        bad_material(
            &text("basis: as supplied\nanalysis:\n  SiO2: ", "\n  Al2O3: 1"),
            code,
            "write",
        );
        bad_material(&text("recipe:\n  b: ", ""), code, "write");
    }
    bad_glaze(
        "glaze: g\nparts: { a: 1, b: «[1, 2]» }\n"
            .replace("[1, 2]»", "[»1, 2]")
            .as_str(),
        "bad-amount",
        "write",
    );
    bad_glaze("glaze: g\nparts: { a: 1, b: «~» }\n", "bad-amount", "write");
    bad_glaze("glaze: g\nparts: { a: «-3» % }\n", "out-of-range", "write");
    bad_glaze(
        "glaze: g\nparts: { a: «1e300» %, b: 1e308 % }\n",
        "out-of-range",
        "write",
    );
    bad_glaze("glaze: g\nparts: { a: 2 kg, b: «3» }\n", "bad-amount", "unit");
    bad_glaze("glaze: g\nparts: { a: «2 stone» }\n", "not-a-number", "write");
}

#[test]
fn underscores_and_hexadecimal_show_how_to_write_them() {
    bad_glaze("glaze: g\nparts: { a: «1_000» }\n", "not-a-number", "write 1000");
    bad_glaze("glaze: g\nparts: { a: «0x10» }\n", "not-a-number", "write it in tens");
}

#[test]
fn additions_are_per_cent_of_the_base() {
    bad_glaze(
        "glaze: g\nparts: { a: 1 }\nadditions: { b: «-1» }\n",
        "out-of-range",
        "write",
    );
    bad_glaze(
        "glaze: g\nparts: { a: 1 }\nadditions: { b: «1001» }\n",
        "bad-amount",
        "among the parts",
    );
    bad_glaze(
        "glaze: g\nparts: { a: 1 }\nadditions: { b: «8 g» }\n",
        "bad-amount",
        "100 x its weight",
    );
}

#[test]
fn empty_parts_and_a_total_of_zero_are_refused() {
    bad_glaze("glaze: g\nparts: «{»}\n", "bad-amount", "list the base");
    bad_glaze("glaze: g\nparts: «{» a: 0, b: 0.0 }\n", "bad-amount", "above zero");
    bad_glaze("glaze: g\nparts: «[»a, b]\n", "wrong-type", "write");
    bad_glaze("glaze: g\nparts«:»\n", "wrong-type", "write");
    bad_material("recipe: «{» b: 0 }", "empty-recipe", "above zero");
    bad_material("recipe: «{»}", "empty-recipe", "above zero");
    bad_material("basis: fired\nanalysis: «{»}", "empty-analysis", "unknown");
}

#[test]
fn an_analysis_needs_its_basis() {
    bad_material("analysis: «{» SiO2: 67, Al2O3: 33 }", "no-basis", "as supplied");
    bad_material("analysis:\n  «S»iO2: 67\n  Al2O3: 33", "no-basis", "as supplied");
    bad_material(
        "basis: «raw»\nanalysis: { SiO2: 67, Al2O3: 33 }",
        "unknown-basis",
        "as supplied",
    );
    bad_material(
        "basis: fired\n«moisture»: 3\nanalysis: { SiO2: 67, Al2O3: 33 }",
        "moisture-basis",
        "dried",
    );
}

#[test]
fn a_sum_of_37_per_cent_is_refused() {
    bad_material(
        "basis: as supplied\n«analysis»: { SiO2: 30, Al2O3: 7 }",
        "odd-sum",
        "loss on ignition",
    );
    bad_material("basis: fired\n«analysis»: { SiO2: 37 }", "odd-sum", "take_as_is");
    bad_material("basis: dried\n«analysis»: { SiO2: 107 }", "odd-sum", "correct");
    // Taken as it is, it counts as it stands, and every result says so.
    let taken = settled(
        "materials:\n  - { name: a, source: x, basis: as supplied, take_as_is: true, analysis: { SiO2: 30, Al2O3: 7 } }\n",
    );
    assert!((taken.oxides.total() - 37.0).abs() < 1e-12);
    assert!(
        taken
            .assumptions
            .iter()
            .any(|said| words(said).contains("37.0 % and is taken as it is"))
    );
}

#[test]
fn one_material_has_one_makeup() {
    bad_material(
        "basis: fired\nanalysis: { SiO2: 100 }\n«formula»: SiO2",
        "two-makeups",
        "keep the one",
    );
    bad_material("recipe: { b: 1 }\n«formula»: SiO2", "two-makeups", "keep the one");
    bad_materials(
        "materials:\n  - name: «a»\n    source: x\n",
        "no-makeup",
        "analysis: unknown",
    );
    bad_material("formula: SiO2\n«basis»: fired", "needless-key", "take it out");
}

#[test]
fn a_formula_is_shown_where_it_breaks() {
    bad_material("formula: Al2O3«)»", "bad-formula", "take it out");
    bad_material("formula: \"Al2O3«)»\"", "bad-formula", "take it out");
    bad_material("formula: '  Al2O3«)»'", "bad-formula", "take it out");
    bad_material("formula: Al2«(»SiO4", "bad-formula", "missing `)`");
    bad_material("formula: Al2«Xx»O4", "bad-formula", "look for a slip");
    bad_material("formula: Ca«Sl»O3", "bad-formula", "did you mean S");
    bad_material("formula: Si«02»", "bad-formula", "letter O");
    bad_material("formula: K₂O·«a»l2O3", "bad-formula", "capital");
    bad_material("formula: «AuCl3»", "unknown-oxide", "analysis");
}

#[test]
fn a_recipe_can_t_contain_itself() {
    bad_materials(
        "materials:\n  - { name: a, recipe: { «a»: 1 }, source: own }\n",
        "recipe-of-itself",
        "take that part out",
    );
    bad_materials(
        "materials:\n  - { name: a, other_names: [b], recipe: { silica: 1, «B»: 2 }, source: own }\n  - { name: silica, formula: SiO2, source: x }\n",
        "recipe-of-itself",
        "take that part out",
    );
    let circle = "materials:
  - { name: a, recipe: { b: 1 }, source: own }
  - { name: b, recipe: { c: 1 }, source: own }
  - { name: c, recipe: { a: 1 }, source: own }
";
    let complaints = layered(circle).1;
    assert!(!complaints.is_empty());
    for complaint in complaints {
        assert_eq!(complaint.code, "recipe-of-itself");
    }
}

#[test]
fn other_names_can_t_go_round_in_a_circle() {
    bad_materials(
        "materials:\n  - { name: a, other_names: [b], formula: SiO2, source: x }\n  - { name: «b», other_names: [a], formula: SiO2, source: x }\n",
        "name-taken",
        "one name, one material",
    );
    bad_materials(
        "materials:\n  - { name: a, other_names: [c, «A»], formula: SiO2, source: x }\n",
        "name-taken",
        "one name",
    );
    bad_materials(
        "materials:\n  - { name: a, formula: SiO2, source: x }\n  - { name: b, other_names: [c, «a»], formula: SiO2, source: x }\n",
        "name-taken",
        "one name",
    );
}

#[test]
fn a_long_chain_of_pre_mixes_is_refused_not_followed_to_the_end() {
    let mut text = "materials:\n".to_owned();
    for link in 0..20_000 {
        writeln!(
            text,
            "  - {{ name: m{link}, recipe: {{ m{}: 1 }}, source: own }}",
            link + 1
        )
        .unwrap();
    }
    text += "  - { name: m20000, formula: SiO2, source: x }\n";
    let complaints = layered(&text).1;
    assert!(complaints.iter().all(|complaint| complaint.code == "recipe-too-deep"));
    assert!(
        complaints
            .first()
            .is_some_and(|first| first.help.is_some() && first.place.is_some())
    );
    // A few deep is how a studio works.
    let few = library(
        "materials:\n  - { name: a, recipe: { b: 1 }, source: own }\n  - { name: b, recipe: { c: 1 }, source: own }\n  - { name: c, formula: SiO2, source: x }\n",
    );
    assert!(material(&few, "a").fired.is_some());
}

#[test]
fn an_alias_bomb_is_refused() {
    let mut text = "glaze: g\nnotes: &a [x, x, x, x, x, x, x, x, x, x]\n".to_owned();
    for (name, before) in ["b", "c", "d", "e", "f", "g", "h"]
        .iter()
        .zip(["a", "b", "c", "d", "e", "f", "g"])
    {
        writeln!(text, "{name}: &{name} [{}]", vec![format!("*{before}"); 10].join(", ")).unwrap();
    }
    let error = glaze_file(&text).err().unwrap();
    assert_eq!(error.code, "too-many-values");
    assert!(error.place.is_some() && error.help.is_some());
    let deep = format!("glaze: g\nparts: {}", "[".repeat(10_000));
    let error = glaze_file(&deep).err().unwrap();
    assert_eq!(error.code, "nested-too-deeply");
    assert!(error.place.is_some() && error.help.is_some());
    let deep = format!("glaze: g\nparts: {}1", "{a: ".repeat(10_000));
    assert_eq!(glaze_file(&deep).err().unwrap().code, "nested-too-deeply");
    // An alias that points at its own inside, or at nothing.
    for text in ["glaze: g\nparts: &a { b: *a }\n", "glaze: *nobody\n"] {
        let error = glaze_file(text).err().unwrap();
        assert!(error.place.is_some() && error.help.is_some(), "{error:?}");
    }
    // One that is used as it should be is read.
    let fine = glaze_file("glaze: g\nparts: &p { a: 1 }\nadditions: *p\n").unwrap();
    assert_eq!(fine.additions.len(), 1);
}

#[test]
fn bytes_that_are_no_utf8_text_are_placed() {
    let error = Source::from_bytes("x.yaml", b"glaze: g\nnotes: \xC3\xA9t\xE9\n")
        .err()
        .unwrap();
    assert_eq!(error.code, "not-utf8");
    let place = error.place.unwrap();
    assert_eq!((place.mark.line, place.mark.column), (2, 10));
    assert!(error.help.is_some_and(|help| help.contains("UTF-8")));
    let utf16: Vec<u8> = "glaze: g".encode_utf16().flat_map(u16::to_le_bytes).collect();
    let marked: Vec<u8> = [0xFF, 0xFE].into_iter().chain(utf16).collect();
    assert_eq!(
        Source::from_bytes("x.yaml", &marked).err().map(|error| error.code),
        Some("not-utf8")
    );
}

#[test]
fn crlf_and_a_byte_order_mark_are_accepted() {
    let text =
        "\u{FEFF}glaze: Lamplight clear\r\ncone: 04\r\nparts:\r\n  silica: 26\r\n  whiting: 18\r\nnotes: none\r\n";
    let by_text = glaze_file(text).unwrap();
    let by_bytes = Source::from_bytes("x.yaml", text.as_bytes()).unwrap();
    let by_bytes = read_glaze(&by_bytes, Millilitres::METRIC_CUP).unwrap();
    for read in [by_text, by_bytes] {
        assert_eq!(read.name.text, "Lamplight clear");
        assert_eq!(read.about.cone.as_deref(), Some("04"));
        assert_eq!(read.about.notes.as_deref(), Some("none"));
        let parts: Vec<(&str, f64)> = read
            .parts
            .iter()
            .map(|line| (line.name.text.as_str(), line.amount))
            .collect();
        assert_eq!(parts, [("silica", 26.0), ("whiting", 18.0)]);
    }
    // And places are counted as an editor does.
    let text = "\u{FEFF}glaze: é\r\nparts:\r\n  silica: 26\r\n  whiting: oops\r\n";
    let error = glaze_file(text).err().unwrap();
    let place = error.place.unwrap();
    assert_eq!((place.mark.line, place.mark.column), (4, 12));
    assert_eq!(place.source_line, "  whiting: oops");
}

#[test]
fn a_total_too_small_to_divide_by_is_nothing() {
    bad_glaze("glaze: g\nparts: «{» a: 1e-320 }\n", "bad-amount", "above zero");
}

fn words(assumed: &Assumption) -> String {
    say(&assumed.into())
}

#[test]
fn a_decimal_comma_is_read_and_said() {
    let said = |read: &GlazeFile| {
        read.assumptions
            .iter()
            .any(|said| words(said).contains("decimal comma"))
    };
    for text in [
        "glaze: g\nparts:\n  a: 12,5\n",
        "glaze: g\nparts: { a: \"12,5\" }\n",
        "glaze: g\nparts:\n  a: 12,5 %\n",
        "glaze: g\nparts:\n  a: 12,5 g\n",
    ] {
        let read = glaze_file(text).unwrap();
        assert_eq!(read.parts[0].amount, 12.5, "{text}");
        assert!(said(&read), "{text} {:?}", read.assumptions);
    }
    let read = glaze_file("glaze: g\nparts: { a: 1 }\nadditions:\n  b: 0,8\n").unwrap();
    assert_eq!(read.additions[0].amount, 0.8);
    assert!(said(&read));
    let material = settled(
        "materials:\n  - name: a\n    source: x\n    basis: as supplied\n    loss_on_ignition: 12,5\n    analysis:\n      SiO2: 67,5\n      Al2O3: 20\n",
    );
    assert_eq!((material.loss_grams, material.oxides.total()), (12.5, 87.5));
    for words in ["67,5", "12,5"] {
        assert!(
            material
                .assumptions
                .iter()
                .map(self::words)
                .any(|said| said.contains(words) && said.contains("decimal comma")),
            "{words}: {:?}",
            material.assumptions
        );
    }
    let (entries, _) = read_materials(&source(
        "materials:\n  - name: a\n    source: x\n    formula: SiO2\n    density: 2,65\n    stock: 12,5 kg\n",
    ));
    let said: Vec<&str> = entries[0].cautions.iter().map(|caution| caution.code).collect();
    assert_eq!(said, ["decimal-comma", "decimal-comma"]);
    assert_eq!(entries[0].stock.map(|stock| stock.grams()), Some(12_500.0));
    // Inside { } the comma parts two entries: refused, and shown how to write it.
    bad_glaze(
        "glaze: g\nparts: { a: 12,«5», b: 3 }\n",
        "decimal-comma",
        "write a: 12.5",
    );
}

#[test]
fn names_that_look_like_numbers_keep_their_text() {
    for cone in [
        "04", "022", "6", "10", "4a", "06.5", "0x10", "1_000", "1e3", ".nan", "yes",
    ] {
        let read = glaze_file(&format!("glaze: 007\ncone: {cone}\nclay: 0815\nparts: {{ 012: 1 }}\n")).unwrap();
        assert_eq!(read.about.cone.as_deref(), Some(cone));
        assert_eq!(read.about.clay.as_deref(), Some("0815"));
        assert_eq!(
            (read.name.text.as_str(), read.parts[0].name.text.as_str()),
            ("007", "012")
        );
    }
    let (entries, _) = read_materials(&source(
        "materials:\n  - { name: a, formula: SiO2, lot: 0014, source: 2026-03 }\n",
    ));
    assert_eq!(entries[0].lot.as_deref(), Some("0014"));
    assert_eq!(entries[0].provenance, "2026-03");
}

#[test]
fn what_is_no_yaml_is_placed_and_helped() {
    for text in [
        "",
        "glaze: g\nparts: { a: 1",
        "glaze: g\n\tparts: { a: 1 }\n",
        "glaze: \"g\nparts: { a: 1 }\n",
        "glaze: a: b\nparts: { a: 1 }\n",
        "glaze: g\nparts:\n  a: 1\n b: 2\n",
        "--- \nglaze: g\n---\nglaze: h\n",
        "glaze: !!str g\nparts: { a: 1 }\n",
        "glaze: g\nparts: { [a]: 1 }\n",
        "- a\n- b\n",
        "just text\n",
        "42",
    ] {
        let error = glaze_file(text).err().unwrap_or_else(|| panic!("{text}"));
        assert!(error.place.is_some(), "{text}: {error:?}");
        assert!(error.help.is_some(), "{text}: {error:?}");
    }
}

#[test]
fn one_bad_material_does_not_hide_the_others() {
    let text = "materials:
  - { name: a, formula: SiO2, source: x }
  - { name: b, formula: Si02, source: x }
  - { name: c, formula: CaCO3, source: x }
  - { name: d, source: x }
";
    let (entries, complaints) = read_materials(&source(text));
    let names: Vec<&str> = entries.iter().map(|entry| entry.name.text.as_str()).collect();
    assert_eq!(names, ["a", "c"]);
    let codes: Vec<&str> = complaints.iter().map(|complaint| complaint.code).collect();
    assert_eq!(codes, ["bad-formula", "no-makeup"]);
}

#[test]
fn a_studio_file_is_read_as_carefully() {
    for (text, code, help) in [
        ("studio: s\n«flux»: [CaO]\n", "unknown-key", "did you mean `fluxes`?"),
        ("studio: s\nfluxes: [CaO, «MgQ»]\n", "unknown-oxide", "did you mean"),
        ("studio: s\nfluxes: [CaO, «CaO»]\n", "duplicate-key", "keep one"),
        ("studio: s\n«fluxes»: []\n", "empty-fluxes", "Na2O"),
        ("studio: s\nscales: { reads_to: «0 g» }\n", "out-of-range", "write"),
        (
            "studio: s\nscales: { reads_to: 5 kg, up_to: «2 kg» }\n",
            "out-of-range",
            "step",
        ),
        ("studio: s\ncup: «0 ml»\n", "out-of-range", "250 ml"),
        (
            "studio: s\nscales: { reads_to: «tenth» }\n",
            "not-a-quantity",
            "write g, kg",
        ),
    ] {
        let error = read_settings(&source(&marked(text).0)).err();
        expect(error.as_slice(), text, code, help);
    }
}

/// Files that are right, to be spoilt.
const GOOD: [&str; 4] = [
    "glaze: Lamplight clear\ncone: 04\npeak: 1220 C\nfiring: spring glost\natmosphere: oxidation\nparts: { feldspar A: 38, silica: 26, whiting: 18,5 }\nadditions: { cobalt carbonate: 0.8, tin oxide: 4 % }\nclay: buff stoneware\nuse: tableware\nwater: 0.9 l/kg\nnotes: |\n  two\n  lines\n",
    "materials:\n  - name: feldspar A\n    kind: mineral\n    other_names: [potash spar]\n    analysis: { SiO2: 67.0, Al2O3: 18.0, K2O: 10.5, Na2O: 3.0, CaO: 0.5, FeO: 0.10 }\n    loss_on_ignition: 0.4\n    basis: as supplied\n    tolerance: { SiO2: 0.5 }\n    density: 2.56\n    price: 1.60 EUR/kg\n    stock: 2 lb 3 oz\n    source: sheet\n  - { name: whiting, formula: CaCO3·½H2O, source: x }\n  - { name: mix, recipe: { feldspar A: 1, whiting: 2 }, fired: true, source: own }\n",
    "studio: Ternholm Tiles\nscales: { reads_to: 0.1 g, up_to: 2 kg }\ncup: 250 ml\ncurrency: EUR\nfluxes: [Li2O, Na2O, K2O, CaO]\nscripts: { a: { b: 1 } }\n",
    "clay: white tile clay\ncone: 6\nexpansion: 7.7e-6/K at 20-500 C\nweighings: { dry: 412.0 g, soaked: 432.6 g, boiled: 436.7 g }\nsource: bag label\n",
];

/// Reads the bytes as every kind of file; a complaint stands inside the text.
fn read_as_anything(bytes: &[u8]) -> Result<(), TestCaseError> {
    let Ok(source) = Source::from_bytes("x.yaml", bytes) else {
        return Ok(());
    };
    let (entries, mut complaints) = read_materials(&source);
    let mut library = Library::default();
    complaints.extend(library.add_layer(entries, false));
    match read_glaze(&source, Millilitres::METRIC_CUP) {
        Ok(glaze) => complaints.extend(glaze.resolve(&library).err().unwrap_or_default()),
        Err(error) => complaints.push(error),
    }
    for read in library.iter() {
        let alone = Glaze {
            name: read.name.clone(),
            base: vec![Portion {
                material: read.clone(),
                percent: 100.0,
            }],
            additions: Vec::new(),
            about: GlazeNotes::default(),
            assumptions: Vec::new(),
        };
        if let Ok(analysis) = Analysis::of(&alone, &FluxList::default(), Additions::In) {
            let numbers = analysis.unity.unwrap_or_default().total() + analysis.loss_on_ignition_percent;
            prop_assert!(numbers.is_finite(), "{} {:?}", read.name, analysis.grams);
        }
    }
    complaints.extend(read_settings(&source).err());
    complaints.extend(read_clay(&source).err());
    for complaint in complaints {
        let place = complaint.place.as_ref();
        prop_assert!(place.is_some(), "{complaint:?}");
        let mark = place.map(|place| place.mark).unwrap();
        prop_assert!(mark.line >= 1 && mark.column >= 1, "{complaint:?}");
        prop_assert!(
            !complaint.message.is_empty() && !complaint.message.contains('\n'),
            "{complaint:?}"
        );
    }
    Ok(())
}

#[test]
fn any_text_at_all_is_read_or_refused_without_a_panic() {
    for_all(1500, "\\PC{0,120}", |text| read_as_anything(text.as_bytes()));
    for_all(1500, "[-:{}\\[\\],&*!|>'\"%#?~ \n\ta0.]{0,80}", |text| {
        read_as_anything(text.as_bytes())
    });
    for_all(500, proptest::collection::vec(any::<u8>(), 0..120), |bytes| {
        read_as_anything(&bytes)
    });
}

#[test]
fn a_spoilt_file_is_read_or_refused_without_a_panic() {
    let spoil = (
        select(GOOD.to_vec()),
        proptest::collection::vec((any::<usize>(), 0..6_u8, any::<char>(), 0..12_usize), 1..4),
    );
    for_all(4000, spoil, |(good, changes)| {
        let mut signs: Vec<char> = good.chars().collect();
        for (place, how, sign, length) in changes {
            let place = place % (signs.len() + 1);
            let end = (place + length).min(signs.len());
            match how {
                0 => signs.insert(place, sign),
                1 => drop(signs.drain(place..end)),
                2 => {
                    let copy = signs[place..end].to_vec();
                    signs.splice(place..place, copy);
                }
                3 => signs.truncate(place),
                4 => signs[place..end].reverse(),
                _ => {
                    let odd = [
                        "{", "}", "\n", ": ", "- ", "-1", "1e308", ".nan", "&a ", "*a", "\r", "\u{FEFF}",
                    ];
                    let odd = odd[length % odd.len()];
                    signs.splice(place..place, odd.chars());
                }
            }
            if signs.is_empty() {
                break;
            }
        }
        read_as_anything(signs.into_iter().collect::<String>().as_bytes())
    });
}
