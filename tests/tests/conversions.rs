//! The same metal in another form, against sums by hand.
//!
//! Atomic weights below: IUPAC/CIAAW abridged standard atomic weights 2021, typed
//! in here apart from the table that Glost uses. The factor is metal for metal:
//! formula mass of the new over that of the old, each per atom of the metal.

use std::sync::Arc;

use glost_chemistry::material::{Library, Material};
use glost_chemistry::oxides::Oxide;
use glost_core::recipes::convert::{CarbonateForm, Conversion, NoConversion, NotSummed, Taken, convert};
use glost_tests::{library, material};

const H: f64 = 1.008;
const C: f64 = 12.011;
const O: f64 = 15.999;
const S: f64 = 32.06;
const CO: f64 = 58.933;
const CU: f64 = 63.546;
const FE: f64 = 55.845;
const MN: f64 = 54.938;
const SR: f64 = 87.62;
const BA: f64 = 137.33;
const CARBONATE: f64 = C + 3.0 * O;
const HYDROXIDE: f64 = O + H;
const WATER: f64 = 2.0 * H + O;

/// Five figures in the weights: a ten-thousandth is more than they can differ by.
const TOLERANCE: f64 = 1e-4;

fn shipped() -> Library {
    let root = concat!(env!("CARGO_MANIFEST_DIR"), "/../materials/");
    library(&std::fs::read_to_string(format!("{root}textbook.yaml")).unwrap())
}

fn found(from: &str, to: &str, amount: f64) -> Conversion {
    let library = shipped();
    let pair: [Arc<Material>; 2] = [material(&library, from), material(&library, to)];
    convert(&library, &pair[0], &pair[1], amount).unwrap_or_else(|why| panic!("{from} to {to}: {why:?}"))
}

fn refused(from: &str, to: &str) -> NoConversion {
    let library = shipped();
    let pair = [material(&library, from), material(&library, to)];
    convert(&library, &pair[0], &pair[1], 1.0).err().unwrap()
}

#[track_caller]
fn near(value: f64, expected: f64) {
    assert!((value / expected - 1.0).abs() < TOLERANCE, "{value}, not {expected}");
}

#[test]
fn metal_for_metal_by_formula_masses() {
    let cases = [
        // Co3O4 to CoCO3: 3 (Co + CO3) / (3 Co + 4 O), about 1.482.
        (
            "cobalt oxide",
            "cobalt carbonate",
            3.0 * (CO + CARBONATE) / (3.0 * CO + 4.0 * O),
        ),
        (
            "cobalt carbonate",
            "cobalt oxide",
            (3.0 * CO + 4.0 * O) / (3.0 * (CO + CARBONATE)),
        ),
        (
            "cobalt oxide",
            "grey cobalt oxide",
            3.0 * (CO + O) / (3.0 * CO + 4.0 * O),
        ),
        (
            "grey cobalt oxide",
            "basic cobalt carbonate",
            (2.0 * (CO + CARBONATE) + 3.0 * (CO + 2.0 * HYDROXIDE) + WATER) / (5.0 * (CO + O)),
        ),
        // Malachite holds two coppers.
        (
            "copper oxide",
            "copper carbonate",
            (2.0 * CU + CARBONATE + 2.0 * HYDROXIDE) / (2.0 * (CU + O)),
        ),
        ("copper oxide", "plain copper carbonate", (CU + CARBONATE) / (CU + O)),
        ("red copper oxide", "copper oxide", 2.0 * (CU + O) / (2.0 * CU + O)),
        (
            "copper oxide",
            "copper sulphate",
            (CU + S + 4.0 * O + 5.0 * WATER) / (CU + O),
        ),
        (
            "manganese dioxide",
            "manganese carbonate",
            (MN + CARBONATE) / (MN + 2.0 * O),
        ),
        (
            "red iron oxide",
            "black iron oxide",
            2.0 * (3.0 * FE + 4.0 * O) / (3.0 * (2.0 * FE + 3.0 * O)),
        ),
        (
            "red iron oxide",
            "iron sulphate",
            2.0 * (FE + S + 4.0 * O + 7.0 * WATER) / (2.0 * FE + 3.0 * O),
        ),
        // Mole for mole, another metal.
        (
            "barium carbonate",
            "strontium carbonate",
            (SR + CARBONATE) / (BA + CARBONATE),
        ),
    ];
    for (from, to, factor) in cases {
        let answer = found(from, to, 1.0);
        near(answer.factor, factor);
        near(answer.to.amount, factor);
    }
}

#[test]
fn there_and_back_is_where_one_was() {
    for (one, other) in [
        ("cobalt oxide", "cobalt carbonate"),
        ("red iron oxide", "yellow iron oxide"),
    ] {
        let there = found(one, other, 2.5);
        let back = found(other, one, there.to.amount);
        assert!((back.to.amount - 2.5).abs() < 1e-12, "{one}");
    }
}

#[test]
fn the_loss_moves_with_the_form() {
    // CoCO3 loses CO2: 44.009 of 118.941; Co3O4 loses one oxygen of four.
    let answer = found("cobalt oxide", "cobalt carbonate", 1.0);
    let old = O / (3.0 * CO + 4.0 * O);
    let new = (C + 2.0 * O) / (CO + CARBONATE) * answer.factor;
    near(answer.loss_change, new - old);
    // The oxide that is left is the same.
    let left = |side: &glost_core::recipes::convert::Side| side.amount * side.fired.oxides.get(Oxide::CoO);
    assert!((left(&answer.from) - left(&answer.to)).abs() < 1e-12);
}

#[test]
fn basic_or_plain_is_said_and_the_other_worked_out() {
    let answer = found("copper oxide", "copper carbonate", 1.0);
    let Taken::Pure(pure) = &answer.assumptions[0] else {
        panic!("{:?}", answer.assumptions)
    };
    let forms: Vec<_> = pure.iter().map(|pure| pure.carbonate).collect();
    assert_eq!(forms, [None, Some(CarbonateForm::Basic)]);
    let plain = answer
        .other_forms
        .iter()
        .find(|other| other.material.name == "plain copper carbonate")
        .unwrap();
    near(plain.amount, (CU + CARBONATE) / (CU + O));
    // A name that says which is not second-guessed.
    assert!(found("red iron oxide", "black iron oxide", 1.0).other_forms.is_empty());
}

#[test]
fn strontium_for_barium_is_named_as_a_stand_in_with_its_poison() {
    let answer = found("barium carbonate", "strontium carbonate", 10.0);
    assert!(answer.stands_in());
    assert!(answer.notes.contains(&NotSummed::StrontiumForBarium));
    let back = found("strontium carbonate", "barium carbonate", 10.0);
    let poisonous = NotSummed::Poisonous("barium carbonate".to_owned());
    assert!(back.notes.contains(&NotSummed::BariumForStrontium) && back.notes.contains(&poisonous));
}

#[test]
fn what_comes_along_is_told() {
    let answer = found("whiting", "wollastonite", 20.0);
    let (oxide, before, after) = answer.along[0];
    assert_eq!((oxide, before), (Oxide::SiO2, 0.0));
    assert!(after > 12.0 && after < 12.1, "{after}");
}

#[test]
fn what_is_no_sum_is_refused() {
    let opacifiers = refused("tin oxide", "zircon");
    assert!(
        matches!(opacifiers, NoConversion::OtherMetal { opacifiers: true, .. }),
        "{opacifiers:?}"
    );
    let NoConversion::OtherMetal {
        opacifiers, instead, ..
    } = refused("cobalt oxide", "red iron oxide")
    else {
        panic!("cobalt is no iron");
    };
    assert!(
        !opacifiers && instead.contains(&"cobalt carbonate".to_owned()),
        "{instead:?}"
    );
    assert!(matches!(
        refused("potash feldspar", "soda feldspar"),
        NoConversion::ManyOxides(_)
    ));
    assert!(matches!(
        refused("red lead", "litharge"),
        NoConversion::Locked("lead", _)
    ));
    assert!(matches!(refused("flint", "silica"), NoConversion::Same(_)));
    // Potash for soda moves colour and melt; only what is named stands in.
    assert!(matches!(
        refused("pearl ash", "soda ash"),
        NoConversion::OtherMetal { .. }
    ));
}
