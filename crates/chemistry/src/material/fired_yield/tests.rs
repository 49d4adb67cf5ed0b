use super::*;

fn of(name: &str, assumed: SheetAssumption) -> Assumption {
    Assumption::of_sheet(name, assumed)
}

fn sheet(lines: &[(&str, f64)], basis: Basis, loss: Option<f64>) -> PrintedAnalysis {
    let lines = lines
        .iter()
        .filter_map(|(name, percent)| Some((AnalysisKey::parse(name)?, *percent)))
        .collect();
    PrintedAnalysis {
        lines,
        basis,
        loss_percent: loss,
        moisture_percent: 0.0,
        tolerance: Vec::new(),
        take_as_is: false,
    }
}

#[test]
fn a_dried_clay_counts_less_by_its_moisture() {
    let mut clay = sheet(&[("SiO2", 46.0), ("Al2O3", 40.0)], Basis::Dried, Some(14.0));
    clay.moisture_percent = 10.0;
    let (settled, verdict) = clay.settle("kaolin", Kind::Clay);
    assert_eq!(verdict, Verdict::Fine);
    assert!((settled.oxides.get(Oxide::SiO2) - 41.4).abs() < 1e-12);
    assert!((settled.loss_grams - 12.6).abs() < 1e-12);
}

#[test]
fn a_fired_sheet_counts_less_by_its_loss() {
    let (settled, _) = sheet(&[("SiO2", 54.0), ("Al2O3", 46.0)], Basis::Fired, Some(14.0)).settle("kaolin", Kind::Clay);
    assert!((settled.oxides.get(Oxide::Al2O3) - 46.0 * 0.86).abs() < 1e-12);
}

#[test]
fn a_missing_loss_is_guessed_aloud_or_left_unknown() {
    let (guess, _) = sheet(&[("SiO2", 46.0), ("Al2O3", 38.0)], Basis::AsSupplied, None).settle("kaolin", Kind::Clay);
    assert_eq!(
        (guess.loss_grams, guess.loss_standing),
        (16.0, LossStanding::ByDifference)
    );
    assert_eq!(
        guess.assumptions,
        [of("kaolin", SheetAssumption::LossByDifference(16.0))]
    );
    let (_, question) = sheet(&[("SiO2", 54.0), ("Al2O3", 46.0)], Basis::Fired, None).settle("kaolin", Kind::Clay);
    assert!(matches!(question, Verdict::Question(_)));
    let (frit, fine) = sheet(&[("SiO2", 54.0), ("Na2O", 46.0)], Basis::Fired, None).settle("frit", Kind::Frit);
    assert_eq!((frit.loss_grams, fine), (0.0, Verdict::Fine));
}

#[test]
fn iron_that_takes_up_oxygen_lessens_the_loss_but_not_the_sum() {
    let carbonate = sheet(&[("FeO", 62.013), ("CO2", 37.987)], Basis::AsSupplied, None);
    let (settled, verdict) = carbonate.settle("siderite", Kind::Mineral);
    assert_eq!(verdict, Verdict::Fine);
    assert!((settled.oxides.total() + settled.loss_grams - 100.0).abs() < 1e-9);
}

/// Oxides of a fluorine mica with 8.4 % F and a loss of 1.0 %: 96.1 without the fluorine,
/// 101.0 with it (its oxygen equivalent, 0.421 of it, taken off).
#[test]
fn fluorine_counts_in_the_sum_and_leaves() {
    let mica = sheet(
        &[
            ("SiO2", 51.0),
            ("Al2O3", 24.1),
            ("K2O", 11.0),
            ("Li2O", 9.0),
            ("F", 8.4),
        ],
        Basis::AsSupplied,
        Some(1.0),
    );
    let (settled, verdict) = mica.settle("mica", Kind::Mineral);
    assert_eq!(verdict, Verdict::Fine);
    assert!((mica.sum(settled.loss_grams, settled.loss_standing) - (96.1 + 8.4 * 0.57893)).abs() < 0.001);
    assert!((settled.loss_grams - (1.0 + 8.4 * 0.57893)).abs() < 0.001);
    assert_eq!(settled.fluorine_grams, 8.4);
}

/// MnO2 to MnO: 15.999 of 86.936 g leave, 18.4 %.
#[test]
fn the_oxygen_of_manganese_dioxide_is_lost() {
    let ore = |lines: &[(&str, f64)], loss| {
        let (settled, _) = sheet(lines, Basis::AsSupplied, loss).settle("ore", Kind::Mineral);
        assert!(
            (settled.oxides.total() + settled.loss_grams - 100.0).abs() < 0.6,
            "{settled:?}"
        );
        settled.loss_grams
    };
    let oxygen = 80.0 * 15.999 / 86.936;
    assert!((ore(&[("MnO2", 80.0), ("SiO2", 18.0)], None) - (2.0 + oxygen)).abs() < 0.01);
    assert!((ore(&[("MnO2", 80.0), ("SiO2", 18.0)], Some(2.0)) - (2.0 + oxygen)).abs() < 0.01);
    assert!((ore(&[("MnO2", 80.0), ("SiO2", 18.0)], Some(16.7)) - 16.7).abs() < 0.01);
    assert!((ore(&[("MnO2", 80.0), ("SiO2", 20.0)], None) - oxygen).abs() < 0.01);
}

#[test]
fn odd_sums_are_questioned_or_refused() {
    let verdict = |lines: &[(&str, f64)], loss| sheet(lines, Basis::AsSupplied, loss).settle("x", Kind::Mineral).1;
    assert!(matches!(verdict(&[("SiO2", 37.0)], None), Verdict::Refused(..)));
    assert!(matches!(verdict(&[("SiO2", 96.0)], Some(0.5)), Verdict::Question(_)));
    assert!(matches!(verdict(&[("SiO2", 99.0)], Some(14.0)), Verdict::Refused(..)));
    assert!(matches!(verdict(&[("SiO2", 101.0)], Some(0.0)), Verdict::Refused(..)));
}

/// Both say something: what leaves besides a stated loss, and nothing where nothing does.
#[test]
fn what_leaves_beside_the_stated_loss_is_said() {
    let said = |lines: &[(&str, f64)], loss| {
        let (settled, _) = sheet(lines, Basis::AsSupplied, loss).settle("ore", Kind::Mineral);
        settled.assumptions
    };
    // 8.4 % F leaves with 0.421 of it replaced by oxygen: 4.86 of loss on top of 1.0.
    let mica = [
        ("SiO2", 51.0),
        ("Al2O3", 24.1),
        ("K2O", 11.0),
        ("Li2O", 9.0),
        ("F", 8.4),
    ];
    let [fluorine, Assumption::Sheet { material, assumed }] = &said(&mica, Some(1.0))[..] else {
        panic!("{:?}", said(&mica, Some(1.0)));
    };
    assert_eq!(*fluorine, of("ore", SheetAssumption::FluorineLeaves));
    assert_eq!(material, "ore");
    assert!(
        matches!(assumed, SheetAssumption::LosesBesides { loss, stated } if (loss - 5.863).abs() < 0.001 && *stated == 1.0),
        "{assumed:?}"
    );
    let clay = [("SiO2", 47.0), ("Al2O3", 39.0)];
    assert_eq!(said(&clay, Some(14.0)), []);
    // Less than 1 % of fluorine isn't worth a word.
    let traces = [("SiO2", 66.0), ("Al2O3", 18.0), ("K2O", 15.0), ("F", 0.99)];
    let leaves = of("ore", SheetAssumption::FluorineLeaves);
    assert!(!said(&traces, Some(0.1)).contains(&leaves));
    let worth_it = [("SiO2", 66.0), ("Al2O3", 18.0), ("K2O", 15.0), ("F", 1.0)];
    assert!(said(&worth_it, Some(0.1)).contains(&leaves));
    // FeO counts as Fe2O3: 159.687 / (2 x 71.844) = 1.11134 of it; of none nothing is said.
    let counted = said(&[("SiO2", 96.0), ("FeO", 4.0)], Some(0.0));
    assert!(
        matches!(
            &counted[0],
            Assumption::Sheet { assumed: SheetAssumption::Converted { printed: "FeO", percent: 4.0, oxide: Oxide::Fe2O3, oxide_percent }, .. }
            if (oxide_percent - 4.0 * 1.111_34).abs() < 1e-4
        ),
        "{counted:?}"
    );
    assert_eq!(said(&[("SiO2", 100.0), ("FeO", 0.0)], Some(0.0)), []);
}

/// FeCO3 + CaCO3 without a loss: CO2 leaves, iron takes up oxygen (FeO to Fe2O3: 0.11134 of it).
#[test]
fn volatile_lines_make_the_loss_unless_the_sheet_is_fired() {
    let lines = [("CaO", 42.02), ("FeO", 15.5), ("CO2", 42.48)];
    let (settled, verdict) = sheet(&lines, Basis::AsSupplied, None).settle("ankerite", Kind::Mineral);
    assert_eq!(
        (verdict, settled.loss_standing),
        (Verdict::Fine, LossStanding::Computed)
    );
    assert!(
        (settled.loss_grams - (42.48 - 0.111_345 * 15.5)).abs() < 1e-3,
        "{}",
        settled.loss_grams
    );
    let from_volatiles = |name: &str, loss, oxygen| of(name, SheetAssumption::LossOfVolatiles { loss, oxygen });
    assert_eq!(
        settled.assumptions.last(),
        Some(&from_volatiles("ankerite", settled.loss_grams, true))
    );
    let plain = [("CaO", 56.03), ("CO2", 43.97)];
    let (chalk, _) = sheet(&plain, Basis::AsSupplied, None).settle("chalk", Kind::Mineral);
    assert_eq!(chalk.loss_grams, 43.97);
    assert_eq!(chalk.assumptions[0], from_volatiles("chalk", 43.97, false));
    let (fired, _) = sheet(&plain, Basis::Fired, None).settle("chalk", Kind::Mineral);
    assert_eq!((fired.loss_grams, fired.loss_standing), (0.0, LossStanding::Unknown));
    // Two volatile lines add up.
    let wet = [("CaO", 50.0), ("CO2", 39.0), ("H2O", 11.0)];
    assert_eq!(
        sheet(&wet, Basis::AsSupplied, None)
            .settle("x", Kind::Mineral)
            .0
            .loss_grams,
        50.0
    );
}

#[test]
fn a_loss_by_difference_is_taken_from_forty_to_ninety_nine_and_a_half() {
    let settled = |silica: f64, basis| sheet(&[("SiO2", silica)], basis, None).settle("x", Kind::Mineral).0;
    for (silica, loss) in [(40.0, 60.0), (99.5, 0.5), (70.0, 30.0)] {
        let guess = settled(silica, Basis::AsSupplied);
        assert!((guess.loss_grams - loss).abs() < 1e-9 && guess.loss_standing == LossStanding::ByDifference);
    }
    for (silica, basis) in [
        (39.9, Basis::AsSupplied),
        (99.6, Basis::AsSupplied),
        (70.0, Basis::Dried),
    ] {
        let none = settled(silica, basis);
        assert_eq!(
            (none.loss_grams, none.loss_standing),
            (0.0, LossStanding::Unknown),
            "{silica}"
        );
        assert!(none.assumptions.contains(&of("x", SheetAssumption::NoLoss)));
    }
}

#[test]
fn an_odd_sum_names_its_likely_cause() {
    let said = |silica: f64, basis, loss| match sheet(&[("SiO2", silica)], basis, loss).settle("x", Kind::Mineral).1 {
        Verdict::Question(odd) => odd.to_string(),
        Verdict::Refused(message, help) => format!("{message}: {help}"),
        Verdict::Fine => String::new(),
    };
    use Basis::{AsSupplied, Dried, Fired};
    let missing = "is the loss on ignition missing? Add `loss_on_ignition`";
    let fired = "the oxides alone may already make 100: is the basis `fired`?";
    let supplied = "is the basis `as supplied`, with a loss on ignition?";
    let slip = "look for a slip in one figure";
    for (silica, basis, loss, sum, cause) in [
        (88.0, Dried, None, "88.0", missing),
        (97.9, Dried, None, "97.9", missing),
        (98.0, AsSupplied, Some(4.0), "102.0", fired),
        (99.0, Dried, Some(12.0), "111.0", fired),
        (99.0, AsSupplied, Some(3.0), "102.0", slip),
        (97.0, Fired, Some(5.0), "97.0", supplied),
        (103.0 - 4.0, AsSupplied, Some(3.0), "102.0", slip),
        (90.0, AsSupplied, Some(5.0), "95.0", slip),
    ] {
        let said = said(silica, basis, loss);
        assert!(
            said.contains(&format!("sums to {sum} %")) && said.contains(cause),
            "{silica} {basis:?}: {said}"
        );
    }
    for (silica, basis, loss) in [
        (98.0, AsSupplied, Some(0.0)),
        (98.5, AsSupplied, Some(3.0)),
        (98.0, Fired, Some(3.0)),
        (100.0, Fired, Some(14.0)),
    ] {
        assert_eq!(said(silica, basis, loss), "", "{silica}");
    }
    // Refused below 90 and above 105, questioned between.
    for (silica, loss, refused) in [
        (90.0, 0.0, false),
        (89.9, 0.0, true),
        (95.0, 10.0, false),
        (95.0, 10.1, true),
    ] {
        let verdict = sheet(&[("SiO2", silica)], AsSupplied, Some(loss))
            .settle("x", Kind::Mineral)
            .1;
        assert_eq!(matches!(verdict, Verdict::Refused(..)), refused, "{silica} {loss}");
    }
    assert!(said(100.5, Fired, Some(0.0)).starts_with("SiO2 is 100.5 %, more than the whole: correct"));
    assert_eq!(said(100.0, AsSupplied, Some(0.0)), "");
    let feo = sheet(&[("FeO", 101.0)], AsSupplied, Some(0.0))
        .settle("x", Kind::Mineral)
        .1;
    assert!(matches!(feo, Verdict::Refused(message, _) if message.starts_with("FeO is 101 %")));
}

#[test]
fn an_odd_sheet_that_is_taken_as_it_is_says_so() {
    let mut odd = sheet(&[("SiO2", 80.0)], Basis::AsSupplied, Some(4.0));
    odd.take_as_is = true;
    let (settled, _) = odd.settle("sand", Kind::Mineral);
    assert_eq!(settled.assumptions, [of("sand", SheetAssumption::TakenAsItIs(84.0))]);
    odd.lines[0].1 = 96.0;
    assert_eq!(odd.settle("sand", Kind::Mineral).0.assumptions, []);
    odd.take_as_is = false;
    odd.lines[0].1 = 92.0;
    assert_eq!(
        odd.settle("sand", Kind::Mineral).0.assumptions,
        [of(
            "sand",
            SheetAssumption::Odd(OddSum::Sum {
                percent: 96.0,
                cause: LikelyCause::Slip
            })
        )]
    );
    let mut gains = sheet(&[("SiO2", 102.0 - 1.0)], Basis::AsSupplied, Some(-2.0));
    gains.lines.push((AnalysisKey::parse("MgO").unwrap(), 1.0));
    gains.lines[0].1 = 100.0;
    let said = gains.settle("scale", Kind::Mineral).0.assumptions;
    assert_eq!(said, [of("scale", SheetAssumption::Gains(2.0))]);
}

/// A raw whiting must lose its CO2: a sheet of 99.9 % without a loss looks fired.
#[test]
fn a_clay_or_carbonate_without_a_loss_looks_fired() {
    let looks = |name: &str, lines: &[(&str, f64)], loss| {
        let verdict = sheet(lines, Basis::AsSupplied, loss).settle(name, Kind::Mineral).1;
        matches!(verdict, Verdict::Question(odd) if odd.to_string().contains("it looks fired"))
    };
    let kaolin = [("SiO2", 53.0), ("Al2O3", 45.0)];
    assert!(looks("kaolin", &kaolin, None));
    assert!(!looks("kaolin", &kaolin, Some(1.0)) && !looks("feldspar", &kaolin, None));
    assert!(!looks("calcined kaolin", &kaolin, None));
    assert!(!looks("kaolin", &[("SiO2", 46.0), ("Al2O3", 40.0)], None));
}

/// 60 g of a damp clay (loss 12.6, moisture 10 of 100) and 40 g of silica. Mixed raw, 100 g lose
/// 0.6 x 12.6 and hold 6 g of water; fired, 60 x 0.774 + 40 = 86.44 g are left and make 100.
#[test]
fn a_mix_is_counted_per_hundred_grams_raw_or_fired() {
    let mut clay = sheet(&[("SiO2", 46.0), ("Al2O3", 40.0)], Basis::Dried, Some(14.0));
    clay.moisture_percent = 10.0;
    clay.tolerance = vec![(AnalysisKey::Fired(Oxide::Al2O3), 0.5)];
    let clay = clay.settle("clay", Kind::Clay).0;
    let silica = sheet(&[("SiO2", 100.0)], Basis::AsSupplied, Some(0.0))
        .settle("silica", Kind::Mineral)
        .0;
    let parts = || [(&clay, 60.0), (&silica, 40.0)].into_iter();
    let near = |found: f64, wanted: f64| assert!((found - wanted).abs() < 1e-9, "{found}, not {wanted}");
    let raw = FiredYield::mixed(parts(), false).unwrap();
    near(raw.loss_grams, 0.6 * 12.6);
    near(raw.moisture_grams, 6.0);
    near(raw.oxides.get(Oxide::Al2O3), 0.6 * 36.0);
    near(raw.oxides.get(Oxide::SiO2), 0.6 * 41.4 + 40.0);
    near(raw.tolerance[0].grams, 0.6 * 0.5 * 0.9);
    let calcined = FiredYield::mixed(parts(), true).unwrap();
    near(calcined.oxides.get(Oxide::Al2O3), 60.0 * 36.0 / 86.44);
    near(calcined.oxides.total(), 100.0);
    near(calcined.tolerance[0].grams, 60.0 * 0.45 / 86.44);
    assert_eq!((calcined.loss_grams, calcined.moisture_grams), (0.0, 0.0));
    assert!(FiredYield::mixed([(&clay, 0.0)].into_iter(), false).is_none());
}

#[test]
fn a_mix_says_what_its_parts_say_once_and_guesses_where_they_do() {
    let fluorite = sheet(&[("CaO", 71.8), ("F", 48.7)], Basis::AsSupplied, None)
        .settle("spar", Kind::Mineral)
        .0;
    assert_eq!(fluorite.fluorine_grams, 48.7);
    let guessed = sheet(&[("SiO2", 90.0)], Basis::AsSupplied, None)
        .settle("sand", Kind::Mineral)
        .0;
    let plain = sheet(&[("SiO2", 100.0)], Basis::AsSupplied, Some(0.0))
        .settle("silica", Kind::Mineral)
        .0;
    let mix = FiredYield::mixed([(&fluorite, 1.0), (&fluorite, 1.0), (&plain, 2.0)].into_iter(), false).unwrap();
    assert_eq!(mix.assumptions, fluorite.assumptions);
    assert!((mix.fluorine_grams - 24.35).abs() < 1e-9);
    assert_eq!(mix.loss_standing, LossStanding::Computed);
    let unsure = FiredYield::mixed([(&guessed, 1.0), (&plain, 1.0)].into_iter(), false).unwrap();
    assert_eq!(unsure.loss_standing, LossStanding::ByDifference);
    // Fired, nothing of the fluorine is left to leave.
    let fired = FiredYield::mixed([(&fluorite, 1.0), (&plain, 1.0)].into_iter(), true).unwrap();
    assert_eq!(fired.fluorine_grams, 0.0);
}

#[test]
fn a_dried_sheets_fluorine_counts_less_by_its_moisture() {
    let mut mica = sheet(
        &[("SiO2", 51.0), ("Al2O3", 33.0), ("K2O", 11.0), ("F", 5.0)],
        Basis::Dried,
        Some(2.1),
    );
    mica.moisture_percent = 20.0;
    let settled = mica.settle("mica", Kind::Mineral).0;
    assert!((settled.fluorine_grams - 4.0).abs() < 1e-12 && settled.moisture_grams == 20.0);
    mica.basis = Basis::AsSupplied;
    assert_eq!(mica.settle("mica", Kind::Mineral).0.fluorine_grams, 5.0);
}

#[test]
fn a_formula_that_gains_or_gives_off_fluorine_says_so() {
    let yielded = |text: &str| {
        let formula = crate::oxides::Formula::parse(text).unwrap();
        FiredYield::from_formula("it", &crate::oxides::fire(&formula).unwrap())
    };
    // Fe3O4 takes up oxygen: 239.53 g of Fe2O3 from 231.53 g.
    let gains = yielded("Fe3O4").assumptions;
    assert!(
        matches!(gains[..], [Assumption::Sheet { assumed: SheetAssumption::Gains(gain), .. }] if (gain - 3.455).abs() < 0.001),
        "{gains:?}"
    );
    assert_eq!(yielded("SiO2").assumptions, []);
    let fluorite = yielded("CaF2");
    // 2 x 18.998 of 78.074 g.
    assert!(
        (fluorite.fluorine_grams - 48.67).abs() < 0.01,
        "{}",
        fluorite.fluorine_grams
    );
    assert_eq!(fluorite.assumptions, [of("it", SheetAssumption::FluorineLeaves)]);
    assert_eq!(yielded("CaCO3").fluorine_grams, 0.0);
}
