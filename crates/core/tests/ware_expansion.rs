//! A clay's expansion, from any style of bag, to be set beside a glaze's over 20-400 C.

use glost_chemistry::diagnostic::Source;
use glost_core::evidence::ware::{Clay, read_clay, read_dilatometer_table};

fn clay(fields: &str) -> Clay {
    read_clay(&Source::from_text("c.yaml", &format!("clay: test\n{fields}\n"))).unwrap_or_else(|why| panic!("{why:?}"))
}

fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() < 1e-9, "{found}, not {expected}");
}

/// Conversions worked by hand: per cent over (T - 20) kelvin.
#[test]
fn a_bag_s_number_comes_in_one_unit() {
    let value = |expansion: &str| {
        let clay = clay(&format!("expansion: {expansion}"));
        clay.expansion_20_400().unwrap().per_million_per_kelvin
    };
    near(value("7.8e-6"), 7.8);
    near(value("77.7e-7"), 7.77);
    near(value("0.258 % at 500 C"), 5.375);
    near(value("7.7e-6/K at 20-500 C"), 7.7);
    // The one range that is converted: what glasses measured over both ranges show.
    near(value("7.0e-6/K at 20-300 C"), 7.0 * 1.027);
    near(value("7.0e-6/K at 20-400 C"), 7.0);
}

#[test]
fn measured_and_printed_are_told_apart() {
    let found = |fields: &str| clay(fields).expansion_20_400();
    assert!(!found("expansion: 7.0e-6/K at 20-400 C").unwrap().measured);
    let own = found("expansion: 7.0e-6/K at 20-400 C\nmeasured: true").unwrap();
    assert!(own.measured && own.assumption.is_none() && own.misses_quartz());
    assert_eq!(found("cone: 6"), None);
}

#[test]
fn a_dilatometer_s_table_goes_before_the_bag() {
    let table = "expansion: 9e-6\ndilatometer:\n  - { c: 20, percent: 0 }\n  - { c: 300, percent: 0.18 }\n  - { c: 400, percent: 0.266 }\n  - { c: 600, percent: 0.5 }";
    let found = clay(table).expansion_20_400().unwrap();
    near(found.per_million_per_kelvin, 7.0);
    assert!(found.measured && !found.misses_quartz());
    // Only to 300 C: 0.18 % over 280 K, and on to 400 C as glasses do.
    let short = clay("dilatometer: [{ c: 20, percent: 0 }, { c: 300, percent: 0.18 }]")
        .expansion_20_400()
        .unwrap();
    near(short.per_million_per_kelvin, 0.18e4 / 280.0 * 1.027);
    // To 200 C: nothing of use, the bag stands.
    let shorter = clay("expansion: 6e-6\ndilatometer: [{ c: 20, percent: 0 }, { c: 200, percent: 0.1 }]");
    near(shorter.expansion_20_400().unwrap().per_million_per_kelvin, 6.0);
    assert!(!shorter.expansion_20_400().unwrap().measured);
}

#[test]
fn a_dilatometer_s_own_file_says_the_same_as_the_list() {
    let file = |text: &str| read_dilatometer_table(&Source::from_text("dilatometer.csv", text));
    let curve = file("c,percent\n20,0\n300,0.18\n400,0.266\n600,0.5\n").unwrap();
    let of_list = "dilatometer: [{ c: 20, percent: 0 }, { c: 300, percent: 0.18 }, { c: 400, percent: 0.266 }, { c: 600, percent: 0.5 }]";
    assert_eq!(Some(curve), clay(of_list).dilatometer);
    for (odd, code) in [
        ("c,percent\n20,0\n300,much\n", "not-a-number"),
        ("c,percent\n20,0\n300,5.1\n", "out-of-range"),
        ("c,percent\n20,0\n2000,1\n", "out-of-range"),
        ("c,percent\n300,0.18\n20,0\n", "odd-curve"),
        ("c,millimetres\n20,0\n", "missing-column"),
    ] {
        assert_eq!(file(odd).map_err(|error| error.code), Err(code), "{odd}");
    }
}
