use super::*;
use crate::workshop::bench::{batch, near, shelf};
use glost_chemistry::diagnostic::Source;
use glost_chemistry::material::{Library, read_materials};

/// A trace is 0.05 % of the batch: red lead leaves 97.67 % PbO, so 0.0512 g of it in 100 g.
#[test]
fn lead_is_locked_above_a_trace_and_named_with_what_brings_it() {
    let shelf = shelf();
    let locked = |grams: f64| {
        let lines = batch(&shelf, &[("silica", 100.0 - grams), ("red lead", grams)]);
        locked_metal(&lines).map(|(metal, material)| (metal, material.to_owned()))
    };
    assert_eq!(locked(0.05), None);
    assert_eq!(locked(0.06), Some(("lead", "red lead".to_owned())));
    assert_eq!(locked(40.0), Some(("lead", "red lead".to_owned())));
    assert_eq!(locked(0.0), None);
    let twice = batch(&shelf, &[("red lead", 0.0), ("silica", 50.0), ("red lead", 1.0)]);
    assert_eq!(locked_metal(&twice), Some(("lead", "red lead")));
}

/// CoCO3 leaves 74.933 of 118.941 g as CoO, 63.00 %: 1 % of it 0.63 g in 100, 0.05 % less than
/// the trace; MnO2 leaves 70.937 of 86.936 as MnO.
#[test]
fn metals_and_fumes_are_told_above_a_trace() {
    let shelf = shelf();
    let said = substances(&batch(
        &shelf,
        &[("silica", 97.0), ("cobalt carbonate", 1.0), ("manganese dioxide", 2.0)],
    ));
    let [
        Caution::Poisons(poisons),
        Caution::Metals(metals),
        Caution::Fumes(fumes),
    ] = said.as_slice()
    else {
        panic!("{said:?}");
    };
    let poisons: Vec<_> = poisons.iter().map(|one| (one.material.as_str(), one.grams)).collect();
    assert_eq!(poisons, [("cobalt carbonate", 1.0), ("manganese dioxide", 2.0)]);
    assert_eq!(
        metals.iter().map(|one| one.metal).collect::<Vec<_>>(),
        ["manganese", "cobalt"]
    );
    assert!((metals[0].grams - 2.0 * 70.937 / 86.936).abs() < 1e-3 && (metals[1].grams - 74.932 / 118.94).abs() < 1e-3);
    assert_eq!(fumes.as_slice(), ["manganese"]);
    let trace = substances(&batch(&shelf, &[("silica", 99.93), ("cobalt carbonate", 0.07)]));
    assert!(!trace.iter().any(|one| matches!(one, Caution::Metals(_))), "{trace:?}");
    let more = substances(&batch(&shelf, &[("silica", 99.9), ("cobalt carbonate", 0.1)]));
    assert!(
        more.iter().any(|one| matches!(one, Caution::Metals(_)))
            && !more.iter().any(|one| matches!(one, Caution::Fumes(_)))
    );
}

/// CaF2 is 37.996 of 78.074 fluorine, 48.667 %: 0.3 % of the batch from 0.617 % of it.
#[test]
fn fluorine_is_told_in_per_cent_of_the_batch() {
    let shelf = shelf();
    let percent = |grams: f64| {
        let said = substances(&batch(&shelf, &[("silica", 200.0 - grams), ("fluorspar", grams)]));
        said.into_iter().find_map(|one| match one {
            Caution::Fluorine(percent) => Some(percent),
            _ => None,
        })
    };
    assert_eq!(percent(1.2), None);
    assert!(percent(1.3).is_some());
    assert!(percent(10.0).is_some_and(|percent| (percent - 5.0 * 0.486_667).abs() < 1e-3));
}

#[test]
fn dust_is_told_with_its_grams_and_with_what_does_not_say() {
    let shelf = shelf();
    let lines = [
        ("silica", 200.0),
        ("bentonite", 100.0),
        ("kaolin", 50.0),
        ("whiting", 50.0),
        ("frit", 10.0),
        ("feldspar", 10.0),
        ("bought clear", 1.0),
    ];
    let said = handling(&batch(&shelf, &lines));
    let Caution::Dust {
        silica_grams, untold, ..
    } = &said[0]
    else {
        panic!("{said:?}");
    };
    near(*silica_grams, 0.98 * 200.0 + 0.05 * 100.0, "crystalline silica");
    assert_eq!(untold.as_slice(), ["kaolin", "feldspar", "bought clear"]);
    assert!(said.contains(&Caution::Untold(vec!["bought clear".to_owned()])));
    assert_eq!(said.last(), Some(&Caution::PowderIntoWater));
    let soda = substances(&batch(&shelf, &[("soda ash", 5.0), ("silica", 95.0)]));
    assert_eq!(soda, [Caution::Soluble(vec!["soda ash".to_owned()])]);
}

/// A bag whose sheet says nothing of crystalline silica is taken to hold what its namesake
/// does; of one without any there is nothing to tell.
#[test]
fn a_namesake_tells_of_silica_where_it_holds_some() {
    let assumed = |percent: u8| {
        let spar = "name: spar, kind: mineral, formula: KAlSi3O8, source: x";
        let mut library = Library::default();
        for sheet in [format!("{spar}, free_silica: {percent}"), spar.to_owned()] {
            let text = format!("materials:\n  - {{ {sheet} }}\n");
            library.add_layer(read_materials(&Source::from_text("m.yaml", &text)).0, false);
        }
        let material = library.find("spar").unwrap();
        match dust(&[(material, 100.0)]) {
            Caution::Dust { assumed, .. } => assumed,
            other => panic!("{other:?}"),
        }
    };
    assert_eq!(assumed(4), ["spar"]);
    assert_eq!(assumed(0), [""; 0]);
}
