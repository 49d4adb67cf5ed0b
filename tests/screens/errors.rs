//! Each error as a user would meet it: place, line, caret, cure, exit code 2.

use super::bench::Bench;

fn glaze_error(text: impl AsRef<[u8]>) -> String {
    let bench = Bench::empty();
    bench.file("glaze.yaml", text);
    bench.screen(&["unity", "glaze.yaml"])
}

fn materials_error(entries: &str) -> String {
    let bench = Bench::empty();
    bench.file("m.yaml", format!("materials:\n{entries}\n"));
    bench.file("glaze.yaml", "glaze: A\nparts: { spar: 50, whiting: 50 }\n");
    bench.screen(&["unity", "glaze.yaml", "--materials", "m.yaml"])
}

macro_rules! pinned {
    ($($name:ident: $screen:expr;)+) => {
        $(#[test]
        fn $name() {
            let screen = $screen;
            assert!(screen.ends_with("--- exit 2\n"), "{screen}");
            insta::assert_snapshot!(stringify!($name), screen);
        })+
    };
}

pinned! {
    an_option_is_missing: Bench::empty().screen(&["swap", "Lamplight clear"]);
    swapped_for_what_is_gone: Bench::empty().screen(&["swap", "Lamplight clear", "--out", "feldspar A", "--with", "potash spar"]);
    swapped_for_a_powder_nobody_knows: Bench::empty().screen(&["swap", "Lamplight clear", "--out", "feldspar A", "--with", "bought clear, lot 4"]);
    an_empty_name: materials_error("  - { name: \"\", formula: SiO2, source: x }");
    a_misspelt_command: Bench::empty().screen(&["unty", "Lamplight clear"]);
    misspelt_material: glaze_error("glaze: A\nparts: { silca: 50, whiting: 50 }\n");
    misspelt_key: glaze_error("glaze: A\nprats: { silica: 50 }\n");
    duplicate_key: glaze_error("glaze: A\nparts: { silica: 50, whiting: 20, silica: 30 }\n");
    negative_amount: glaze_error("glaze: A\nparts: { silica: 50, whiting: -20 }\n");
    nan_amount: glaze_error("glaze: A\nparts: { silica: .nan, whiting: 20 }\n");
    infinite_amount: glaze_error("glaze: A\nparts: { silica: .inf, whiting: 20 }\n");
    huge_amount: glaze_error("glaze: A\nparts: { silica: 1e30, whiting: 20 }\n");
    text_amount: glaze_error("glaze: A\nparts: { silica: some, whiting: 20 }\n");
    hexadecimal_amount: glaze_error("glaze: A\nparts: { silica: 0x10, whiting: 20 }\n");
    underscored_amount: glaze_error("glaze: A\nparts: { silica: 1_000, whiting: 20 }\n");
    mixed_units: glaze_error("glaze: A\nparts: { silica: 2 lb 3 oz, whiting: 20 }\n");
    empty_parts: glaze_error("glaze: A\nparts: {}\n");
    total_of_zero: glaze_error("glaze: A\nparts: { silica: 0, whiting: 0 }\n");
    comma_inside_braces: glaze_error("glaze: A\nparts: { silica: 0,8, whiting: 20 }\n");
    no_parts: glaze_error("glaze: A\n");
    empty_file: glaze_error("");
    broken_yaml: glaze_error("glaze: A\nparts: { silica: 50\n");
    a_tab: glaze_error("glaze: A\nparts:\n\tsilica: 50\n");
    not_utf8: glaze_error(b"glaze: A\nparts: { silica: 50, k\xe4se: 2 }\n");
    unknown_use: glaze_error("glaze: A\nuse: tablewear\nparts: { silica: 50 }\n");
    alias_bomb: glaze_error(bomb());
    misspelt_oxide: materials_error("  - { name: spar, kind: mineral, basis: as supplied, source: x, analysis: { Si02: 67, Al2O3: 33 } }");
    no_basis: materials_error("  - { name: spar, kind: mineral, source: x, analysis: { SiO2: 67, Al2O3: 33 } }");
    no_source: materials_error("  - { name: spar, kind: mineral, basis: fired, analysis: { SiO2: 67, Al2O3: 33 } }");
    sum_of_37: materials_error("  - { name: spar, kind: mineral, basis: as supplied, source: x, analysis: { SiO2: 27, Al2O3: 10 } }");
    formula_and_analysis: materials_error("  - { name: spar, kind: mineral, basis: fired, source: x, formula: SiO2, analysis: { SiO2: 100 } }");
    unbalanced_formula: materials_error("  - { name: spar, kind: mineral, source: x, formula: Al2O3) }");
    unknown_element: materials_error("  - { name: spar, kind: mineral, source: x, formula: Xx2O3 }");
    recipe_of_itself: materials_error("  - { name: spar, kind: mineral, source: x, recipe: { mix: 1 } }\n  - { name: mix, source: x, recipe: { spar: 1, silica: 2 } }");
    circular_names: materials_error("  - { name: spar, other_names: [mix], source: x, formula: SiO2 }\n  - { name: mix, other_names: [spar], source: x, formula: SiO2 }");
    powder_has_no_unity: Bench::empty().screen(&["unity", "bought clear"]);
    swap_what_is_not_there: Bench::empty().screen(&["swap", "Lamplight clear", "--out", "talc"]);
    swap_for_an_unknown: Bench::empty().screen(&["swap", "Lamplight clear", "--out", "feldspar A", "--with", "feldspr B"]);
    unknown_expansion_model: Bench::empty().screen(&["unity", "Lamplight clear", "--model", "Turner"]);
    unknown_glaze: Bench::empty().screen(&["unity", "Lamplite clear"]);
    missing_file: Bench::empty().screen(&["unity", "nothing.yaml"]);
    unknown_script: Bench::empty().screen(&["check", "Lamplight clear", "--script", "check/alkali-balanse"]);
    unknown_option_of_a_script: Bench::empty().screen(&["check", "Lamplight clear", "--script", "check/alkali-balance", "--set", "alkali_mots=0.3"]);
    bad_weight: Bench::empty().screen(&["swap", "Lamplight clear", "--out", "feldspar A", "--dry", "5"]);
    one_tile: Bench::empty().screen(&["blend", "line", "Lamplight clear", "Highfell clear", "--steps", "1"]);
    one_end: Bench::empty().screen(&["blend", "line", "Lamplight clear"]);
    triangle_of_10011_tiles: Bench::empty().screen(&["blend", "triaxial", "Lamplight clear", "Lamplight clear + 5 % rutile", "Highfell clear", "--steps", "140"]);
    pyramid_of_1140_tiles: Bench::empty().screen(&["blend", "quadraxial", "Lamplight clear", "Lamplight clear + 5 % rutile", "Highfell clear", "Lamplight clear + 2 % rutile", "--steps", "17"]);
    volume_below_nothing: Bench::empty().screen(&["blend", "line", "Lamplight clear", "Highfell clear", "--volume", "-3 ml"]);
    dry_below_nothing: Bench::empty().screen(&["blend", "line", "Lamplight clear", "Highfell clear", "--dry", "-5 g"]);
    unknown_design: Bench::empty().screen(&["blend", "lien", "Lamplight clear", "Highfell clear"]);
    formula_typed_wrong: Bench::empty().screen(&["formula", "Al2O3)"]);
    formula_with_a_zero: Bench::empty().screen(&["formula", "Si02"]);
    unknown_command: Bench::empty().screen(&["unify", "Lamplight clear"]);
    aim_misspelt: Bench::empty().screen(&["adjust", "Lamplight clear", "Si02 >= 3"]);
    aim_without_a_bound: Bench::empty().screen(&["adjust", "Lamplight clear", "SiO2"]);
    aim_without_a_number: Bench::empty().screen(&["adjust", "Lamplight clear", "SiO2 >= high"]);
    aim_backwards: Bench::empty().screen(&["adjust", "Lamplight clear", "Al2O3 in 0.5..0.3"]);
    aim_given_twice: Bench::empty().screen(&["adjust", "Lamplight clear", "SiO2 >= 3", "SiO2 >= 3"]);
    aim_empty: Bench::empty().screen(&["adjust", "Lamplight clear", ""]);
    aim_absurd: Bench::empty().screen(&["adjust", "Lamplight clear", "expansion <= 600"]);
    aim_on_unknown_limits: Bench::empty().screen(&["adjust", "Lamplight clear", "limits: cone-66"]);
    aim_to_keep_what_is_not_there: Bench::empty().screen(&["adjust", "Lamplight clear", "keep talc"]);
    aim_for_a_share_not_there: Bench::empty().screen(&["adjust", "Lamplight clear", "talc >= 5 %"]);
    no_aim_at_all: Bench::empty().screen(&["adjust", "Lamplight clear"]);
    adjust_a_powder: Bench::empty().screen(&["adjust", "bought clear", "SiO2 >= 3"]);
    reach_a_bad_formula: Bench::empty().screen(&["match", "--unity", "K2O 0.3, CaO x", "--with", "silica"]);
    reach_a_sum_twice: Bench::empty().screen(&["reach", "--unity", "KNaO 0.3, CaO 0.6, Na2O 0.1"]);
    reach_without_flux: Bench::empty().screen(&["reach", "--unity", "SiO2 4", "--with", "silica"]);
    reach_with_a_powder_only: Bench::empty().screen(&["reach", "Lamplight clear", "--with", "bought clear, lot 4"]);
    affected_by_an_unknown: Bench::empty().screen(&["affected", "--out", "feldspat B"]);
    error_as_json: Bench::empty().screen(&["formula", "Xx2", "--format", "json"]);
}

fn bomb() -> String {
    let mut text = "a: &a [x, x, x, x, x, x, x, x, x, x]\n".to_owned();
    for (name, before) in "bcdefgh".chars().zip("abcdefg".chars()) {
        text += &format!("{name}: &{name} [{}]\n", vec![format!("*{before}"); 10].join(", "));
    }
    text
}

#[test]
fn nothing_in_stock_to_swap_to() {
    let bench = Bench::empty();
    bench.file("s/studio.yaml", "studio: Bare shelf\n");
    bench.file("s/materials/m.yaml", "materials:\n  - { name: spar, kind: mineral, basis: fired, source: x, stock: 0 kg, analysis: { SiO2: 66, Al2O3: 18, K2O: 16 } }\n");
    bench.file(
        "s/glazes/a.yaml",
        "glaze: A\nparts: { spar: 40, silica: 30, whiting: 20, kaolin: 10 }\n",
    );
    let screen = bench.screen(&["--studio", "s", "swap", "A", "--out", "spar"]);
    assert!(screen.ends_with("--- exit 2\n"), "{screen}");
    insta::assert_snapshot!(screen);
}

#[cfg(unix)]
#[test]
fn a_call_that_is_not_unicode_is_an_error_not_a_panic() {
    use std::os::unix::ffi::OsStrExt;
    for format in ["text", "json"] {
        let output = std::process::Command::new(env!("CARGO_BIN_EXE_glost"))
            .args(["--format", format, "unity"])
            .arg(std::ffi::OsStr::from_bytes(b"\xff"))
            .output()
            .unwrap();
        assert_eq!(output.status.code(), Some(2), "{format}");
        assert_eq!(output.stdout.starts_with(b"{"), format == "json");
    }
}

#[test]
fn a_swap_that_leaves_no_flux_is_no_proposal() {
    let bench = Bench::empty();
    bench.file("glaze.yaml", "glaze: A\nparts: { silica: 50, whiting: 50 }\n");
    let ran = bench.run(&["swap", "glaze.yaml", "--out", "whiting", "--with", "kaolin"]);
    assert_eq!(ran.code, 2);
    assert!(ran.stderr.contains("nothing that was named"), "{}", ran.stderr);
}

#[test]
fn newcomers_beyond_what_can_be_tried_are_refused() {
    let bench = Bench::empty();
    let ran = bench.run(&["swap", "Lamplight clear", "--out", "feldspar A", "--at-most", "500"]);
    assert_eq!(ran.code, 2);
    assert_eq!(ran.stderr.lines().last(), Some("error: --at-most: up to 100 newcomers"));
}

#[test]
fn a_folder_where_a_file_should_be() {
    let bench = Bench::empty();
    std::fs::create_dir(bench.path().join("glaze.yaml")).unwrap();
    let screen = bench.screen(&["unity", "glaze.yaml"]);
    assert!(screen.ends_with("--- exit 2\n"), "{screen}");
    insta::assert_snapshot!(screen);
}

#[test]
fn a_file_of_100_megabytes() {
    let bench = Bench::empty();
    let file = std::fs::File::create(bench.path().join("glaze.yaml")).unwrap();
    file.set_len(100_000_000).unwrap();
    let screen = bench.screen(&["unity", "glaze.yaml"]);
    assert!(screen.ends_with("--- exit 2\n"), "{screen}");
    insta::assert_snapshot!(screen);
}

#[test]
fn a_glaze_without_flux_still_has_its_percentages() {
    let bench = Bench::empty();
    bench.file("glaze.yaml", "glaze: Stone\nparts: { silica: 50, kaolin: 50 }\n");
    let screen = bench.screen(&["unity", "glaze.yaml"]);
    assert!(screen.ends_with("--- exit 0\n"), "{screen}");
    insta::assert_snapshot!(screen);
}

#[test]
fn carriage_returns_and_a_byte_order_mark_are_accepted() {
    let bench = Bench::empty();
    bench.file("plain.yaml", "glaze: A\ncone: 04\nparts: { silica: 50, whiting: 50 }\n");
    bench.file(
        "marked.yaml",
        "\u{feff}glaze: A\r\ncone: 04\r\nparts: { silica: 50, whiting: 50 }\r\n",
    );
    let plain = bench.run(&["unity", "plain.yaml"]);
    let marked = bench.run(&["unity", "marked.yaml"]);
    assert_eq!((plain.code, &plain.stdout), (0, &marked.stdout));
}

#[test]
fn a_decimal_comma_is_read_and_said() {
    let bench = Bench::empty();
    bench.file("glaze.yaml", "glaze: A\nparts:\n  silica: 50,5\n  whiting: 49.5\n");
    let ran = bench.run(&["unity", "glaze.yaml"]);
    assert_eq!(ran.code, 0);
    assert!(ran.stdout.contains("decimal comma"), "{}", ran.stdout);
}

#[test]
fn init_never_writes_over_a_studio() {
    let bench = Bench::example_studio();
    let before = std::fs::read_to_string(bench.path().join("studio/studio.yaml")).unwrap();
    let screen = bench.screen(&["init", "studio"]);
    assert!(screen.ends_with("--- exit 2\n"), "{screen}");
    assert_eq!(
        std::fs::read_to_string(bench.path().join("studio/studio.yaml")).unwrap(),
        before
    );
    insta::assert_snapshot!(screen);
}
