use super::*;

fn moles(pairs: &[(Oxide, f64)]) -> OxideMoles {
    OxideMoles::worked_out(pairs.iter().copied())
}

#[test]
fn the_same_chemistry_at_another_scale_is_at_no_distance() {
    let target = moles(&[
        (Oxide::K2O, 0.3),
        (Oxide::CaO, 0.7),
        (Oxide::Al2O3, 0.5),
        (Oxide::SiO2, 4.0),
    ]);
    let yardstick = ChemistryDistance::new(&target, &FluxList::default());
    assert!(yardstick.distance(&target.scaled(7.3)) < 1e-9);
    assert!(yardstick.missed(&target).is_empty());
}

#[test]
fn soda_for_potash_costs_less_than_leaving_the_alkali_out() {
    let lime_and = |oxide, amount| moles(&[(oxide, amount), (Oxide::CaO, 0.7), (Oxide::SiO2, 4.0)]);
    let yardstick = ChemistryDistance::new(&lime_and(Oxide::K2O, 0.3), &FluxList::default());
    let soda = yardstick.distance(&lime_and(Oxide::Na2O, 0.3));
    let nothing = yardstick.distance(&lime_and(Oxide::Na2O, 0.0));
    assert!(soda < nothing, "{soda} {nothing}");
}

#[test]
fn a_trace_of_iron_or_titania_is_not_seen_and_a_trace_of_cobalt_is() {
    let with = |oxide, amount| moles(&[(Oxide::CaO, 1.0), (Oxide::SiO2, 4.0), (oxide, amount)]);
    let plain = ChemistryDistance::new(&with(Oxide::CaO, 0.0), &FluxList::default());
    // Common practice, no source: about 0.1 wt % of the fired glaze.
    for (oxide, tolerance) in [
        (Oxide::Fe2O3, 0.002),
        (Oxide::TiO2, 0.004),
        (Oxide::MnO, 0.004),
        (Oxide::P2O5, 0.003),
        (Oxide::ZrO2, 0.003),
        (Oxide::SnO2, 0.003),
        (Oxide::CoO, 0.0005),
        (Oxide::Cr2O3, 0.0005),
        (Oxide::MgO, 0.002),
    ] {
        assert_eq!(plain.tolerance_moles(oxide), Some(tolerance), "{oxide}");
        assert_eq!(plain.missed(&with(oxide, 1.01 * tolerance)), [oxide]);
        assert!(plain.missed(&with(oxide, 0.99 * tolerance)).is_empty(), "{oxide}");
    }
}

#[test]
fn what_moves_most_is_counted_in_tolerances() {
    let target = moles(&[
        (Oxide::Na2O, 0.2),
        (Oxide::CaO, 0.8),
        (Oxide::SiO2, 4.0),
        (Oxide::Fe2O3, 0.001),
    ]);
    let distance = ChemistryDistance::new(&target, &FluxList::default());
    let mut moved = target.clone();
    moved.add_scaled(1.0, &moles(&[(Oxide::Na2O, 0.01), (Oxide::Fe2O3, 0.005)]));
    assert_eq!(
        distance.most_off(&moved),
        Some(Oxide::Fe2O3),
        "a third of the soda's, twelve times its own"
    );
    assert_eq!(distance.most_off(&target), None, "nothing is off");
}

#[test]
fn a_sum_leaves_the_split_open() {
    let half = moles(&[
        (Oxide::K2O, 0.15),
        (Oxide::Na2O, 0.15),
        (Oxide::CaO, 0.7),
        (Oxide::SiO2, 4.0),
    ]);
    let soda = moles(&[(Oxide::Na2O, 0.3), (Oxide::CaO, 0.7), (Oxide::SiO2, 4.0)]);
    let distance = ChemistryDistance::new(&half, &FluxList::default());
    assert!(distance.distance(&soda) > 1.0);
    let summed = distance.with_sum(&[Oxide::K2O, Oxide::Na2O], 0.3);
    assert!(summed.distance(&soda) < 1e-9);
    assert!(summed.missed(&soda).is_empty());
}

#[test]
fn iron_that_nobody_asked_about_makes_no_reading() {
    let asked = moles(&[(Oxide::CaO, 1.0), (Oxide::SiO2, 4.0)]);
    let iron = asked.clone().with(Oxide::Fe2O3, 0.012);
    let distance = ChemistryDistance::new(&asked, &FluxList::default());
    assert!(distance.distance(&iron) > 5.9);
    assert_eq!(distance.asked_distance(&iron), distance.distance(&iron), "all is asked");
    let free = distance.with_free(&[Oxide::Fe2O3]);
    // 0.012 over ten times 0.002.
    assert!((free.distance(&iron) - 0.6).abs() < 1e-3, "{}", free.distance(&iron));
    assert!(free.asked_distance(&iron) < 1e-9);
    assert!(free.missed(&iron).is_empty());
    // The whole recipe may be of any size, so that only what was asked tells the scale.
    let (lime, both) = (free.distance(&iron), iron.clone().with(Oxide::CaO, 1.2));
    assert!(free.asked_distance(&both) > 1.0 && free.asked_distance(&both) < free.distance(&both));
    assert!(free.asked_distance(&both) > lime);
}

#[test]
fn iron_that_counts_as_feo_stands_in_the_row_of_the_fluxes() {
    let fluxes = FluxList::default().with_iron(crate::glaze::IronCount::FEO);
    let target = moles(&[(Oxide::CaO, 0.8), (Oxide::Fe2O3, 0.1), (Oxide::SiO2, 4.0)]);
    let distance = ChemistryDistance::new(&target, &fluxes);
    let sum = |amounts: &OxideMoles| distance.rows(amounts).last().copied();
    assert_eq!(sum(&target), Some(1.0 / FLUX_SUM_TOLERANCE));
    assert_eq!(distance.target_rows().last().copied(), sum(&target));
}

#[test]
fn whether_there_is_flux_is_seen_by_the_studios_own_list() {
    let usual = ChemistryDistance::new(&moles(&[(Oxide::CaO, 1.0), (Oxide::SiO2, 4.0)]), &FluxList::default());
    assert!(usual.has_flux(&moles(&[(Oxide::MgO, 0.1), (Oxide::SiO2, 4.0)])));
    assert!(!usual.has_flux(&moles(&[(Oxide::Al2O3, 0.4), (Oxide::SiO2, 4.0)])));
    assert!(!usual.has_flux(&OxideMoles::ZERO));
    let lime = FluxList::new(vec![Oxide::CaO]).unwrap();
    let own = ChemistryDistance::new(&moles(&[(Oxide::CaO, 1.0)]), &lime);
    assert!(!own.has_flux(&moles(&[(Oxide::MgO, 0.1)])) && own.has_flux(&moles(&[(Oxide::CaO, 0.1)])));
}

/// Rows (3, 4) against a target of (6, 8) lie on its line; against (4, 3) the nearest scale is
/// 24 / 25, and the rest of it 1.4 long: sqrt(25 - 24 x 24 / 25).
#[test]
fn a_distance_is_taken_at_the_scale_that_makes_it_least() {
    assert!(distance_of_rows(&[3.0, 4.0], &[6.0, 8.0]) < 1e-9);
    assert!((distance_of_rows(&[3.0, 4.0], &[4.0, 3.0]) - 1.4).abs() < 1e-9);
    assert!((distance_of_rows(&[0.0, 0.0], &[3.0, 4.0]) - 5.0).abs() < 1e-12);
}

#[test]
fn a_distance_has_one_of_three_words() {
    let word = |distance: f64| Nearness::of(distance).to_string();
    assert_eq!([word(0.0), word(NEAR)], ["near", "near"]);
    assert_eq!([word(NEAR + 0.001), word(NOTICEABLE)], ["noticeable", "noticeable"]);
    assert_eq!(word(NOTICEABLE + 0.001), "far");
}

/// Potash and soda stand in for each other: 10 % of both and 0.005;
/// silica for itself: 2 % and 0.002 (common practice, no source).
#[test]
fn a_tolerance_around_another_amount_counts_what_stands_in_for_it() {
    let target = moles(&[
        (Oxide::K2O, 0.2),
        (Oxide::Na2O, 0.1),
        (Oxide::CaO, 0.7),
        (Oxide::SiO2, 3.8),
    ]);
    let distance = ChemistryDistance::new(&target, &FluxList::default());
    for (oxide, amount, tolerance) in [
        (Oxide::K2O, 0.25, 0.10 * (0.1 + 0.25) + 0.005),
        (Oxide::Na2O, 0.0, 0.10 * 0.2 + 0.005),
        (Oxide::SiO2, 4.0, 0.082),
    ] {
        let found = distance.tolerance_for(oxide, amount);
        assert!((found - tolerance).abs() < 1e-12, "{oxide}: {found}, not {tolerance}");
    }
}
