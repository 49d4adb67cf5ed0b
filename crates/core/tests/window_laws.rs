//! Laws of the window: what more evidence may and may not do; and the sums done plainly.

#[path = "../../chemistry/tests/glass_support/mod.rs"]
mod glass_support;
mod window_support;

use glass_support::Draw;
use glost_chemistry::glaze::Use;
use glost_core::evidence::window::{
    Belief, Believed, ClayKnowledge, Edge, Look, Pieces, Question, Window, WindowSettings, Witness, Zone,
};
use glost_solve::normal::cumulative;
use window_support::{clay, look, own_chance, witness};

fn learnt(witnesses: Vec<Witness>) -> Window {
    window_support::learnt(ClayKnowledge::default(), witnesses)
}

/// Three glazes of a random notebook.
fn notebook(draw: &mut Draw) -> Vec<Witness> {
    let settings = WindowSettings::default();
    (0..3)
        .map(|line| {
            let pieces = draw.one_of(&[1, 5, 20]);
            let crazed = (f64::from(pieces) * draw.unit()).round() as u32;
            let age = draw.one_of(&[0.0, 30.0, 400.0]);
            witness(4.5 + 4.0 * draw.unit(), look(line, age, pieces, crazed), &settings)
        })
        .collect()
}

#[test]
fn more_crazed_pieces_never_make_crazing_less_likely() {
    let mut draw = Draw(1);
    for _ in 0..6 {
        let book = notebook(&mut draw);
        let before = learnt(book.clone());
        let mut worse = book.clone();
        let first = &mut worse[0].looks[0];
        if first.crazed == Some(first.pieces) {
            continue;
        }
        first.crazed = first.crazed.map(|crazed| crazed + 1);
        let after = learnt(worse);
        for share in [0.05, 0.5, 0.95] {
            assert!(after.craze.quantile(share) <= before.craze.quantile(share) + 1e-9);
        }
        for expansion in [4.0, 5.5, 6.5, 8.0] {
            assert!(after.p_craze(expansion, 0.37) >= before.p_craze(expansion, 0.37) - 1e-12);
        }
        assert!(own_chance(&after, Edge::Craze, 0) >= own_chance(&before, Edge::Craze, 0) - 1e-9);
    }
}

#[test]
fn pieces_that_hold_for_longer_prove_more() {
    let settings = WindowSettings::default();
    let held = |days: f64| {
        learnt(vec![witness(7.0, look(1, days, 10, 0), &settings)])
            .craze
            .quantile(0.5)
    };
    let medians = [0.0, 30.0, 180.0, 365.0, 1095.0].map(held);
    assert!(medians.windows(2).all(|pair| pair[0] < pair[1]), "{medians:?}");
    assert_eq!(held(1095.0), held(4000.0));
}

#[test]
fn a_higher_expansion_crazes_more_and_shivers_less() {
    let window = learnt(notebook(&mut Draw(3)));
    let steps: Vec<f64> = (0..60).map(|step| 3.0 + 0.1 * f64::from(step)).collect();
    let craze: Vec<f64> = steps.iter().map(|at| window.p_craze(*at, 0.37)).collect();
    let shiver: Vec<f64> = steps
        .iter()
        .map(|at| window.shiver.chance(Belief::new(*at, 0.37)))
        .collect();
    assert!(craze.windows(2).all(|pair| pair[0] <= pair[1]));
    assert!(shiver.windows(2).all(|pair| pair[0] >= pair[1]));
}

#[test]
fn the_expansion_at_a_level_has_that_chance() {
    let window = learnt(notebook(&mut Draw(4)));
    for level in [0.01, 0.1, 0.5, 0.9] {
        for sd in [0.0, 0.37, 1.5] {
            let at = window.expansion_at(level, sd).unwrap();
            assert!((window.p_craze(at, sd) - level).abs() < 1e-9, "{level} {sd}");
        }
    }
    assert_eq!(window.expansion_at(0.0, 0.37), None);
    let floor = window.shiver.expansion_at(0.1, 0.37).unwrap();
    assert!((window.shiver.chance(Belief::new(floor, 0.37)) - 0.1).abs() < 1e-9);
}

#[test]
fn nobody_looked_at_anything_leaves_the_prior() {
    let window = learnt(Vec::new());
    let band = window.craze.band();
    // Normal(6.5, 1.2): 5 % and 95 % lie 1.644854 standard deviations out.
    for (ours, exact) in [
        (band.median, 6.5),
        (band.low, 6.5 - 1.644_854 * 1.2),
        (band.high, 6.5 + 1.644_854 * 1.2),
    ] {
        assert!((ours - exact).abs() < 1e-4, "{ours} {exact}");
    }
    // Two normals and the scatter of pieces, batches and lots:
    // Phi(0.5 / root(1.2^2 + 0.37^2 + 0.12^2 + 0.25^2 + 0.20^2)).
    let exact = cumulative(0.5 / (1.44f64 + 0.1369 + 0.0144 + 0.0625 + 0.04).sqrt());
    assert!((window.p_craze(7.0, 0.37) - exact).abs() < 1e-6);
}

/// What is asked about the first of a window's witnesses.
fn question(window: &Window, usage: Use) -> Question {
    Question {
        believed: window.witnesses[0].believed,
        own: Some(0),
        place: Some(window.witnesses[0].place),
        lot: 0,
        usage,
        failed_test: false,
    }
}

fn zone(window: &Window, usage: Use) -> Zone {
    window.verdict(Edge::Craze, &question(window, usage)).zone
}

#[test]
fn what_was_seen_comes_first() {
    let settings = WindowSettings::default();
    // Far below the line, and yet two pieces crazed: that is said, whatever the sums say.
    let seen = |crazed: u32, pieces: u32| {
        let low = witness(4.0, look(1, 400.0, pieces, crazed), &settings);
        zone(&learnt(vec![low]), Use::Decorative)
    };
    assert_eq!(
        (seen(2, 40), seen(8, 35), seen(2, 2)),
        (Zone::Fails, Zone::Fails, Zone::Fails)
    );
    // One piece alone may have had a reason of its own: the chance decides.
    assert_ne!(seen(1, 400), Zone::Fails);
    let one_of_few = learnt(vec![witness(6.5, look(1, 30.0, 2, 1), &settings)]);
    assert_eq!(zone(&one_of_few, Use::Decorative), Zone::Expected);
}

#[test]
fn held_takes_its_own_pieces_and_more_of_them_for_tableware() {
    let settings = WindowSettings::default();
    let on = |absorption: f64, looks: Vec<Look>| {
        let mut own = witness(4.5, look(0, 0.0, 1, 0), &settings);
        own.looks = looks;
        // What else held keeps the chance small.
        let others = (0..4).map(|line| witness(6.5, look(10 + line, 1095.0, 40, 0), &settings));
        window_support::learnt(clay(absorption), std::iter::once(own).chain(others).collect())
    };
    let two_batches = |days: f64, pieces: u32| vec![look(1, days, pieces, 0), look(2, days, pieces, 0)];
    for (absorption, looks, decorative, tableware) in [
        (10.0, vec![look(1, 180.0, 5, 0)], Zone::Held, Zone::SoFar),
        (10.0, vec![look(1, 179.0, 50, 0)], Zone::SoFar, Zone::SoFar),
        (10.0, vec![look(1, 180.0, 4, 0)], Zone::SoFar, Zone::SoFar),
        (10.0, two_batches(180.0, 5), Zone::Held, Zone::SoFar),
        (10.0, two_batches(365.0, 5), Zone::Held, Zone::Held),
        (10.0, vec![look(1, 365.0, 10, 0)], Zone::Held, Zone::SoFar),
        (1.0, two_batches(180.0, 5), Zone::Held, Zone::Held),
        (1.0, two_batches(180.0, 4), Zone::Held, Zone::SoFar),
    ] {
        let words = format!("{absorption} {looks:?}");
        let window = on(absorption, looks);
        assert_eq!(zone(&window, Use::Decorative), decorative, "{words}");
        assert_eq!(zone(&window, Use::Tableware), tableware, "{words}");
    }
    let window = on(10.0, two_batches(365.0, 5));
    let mut unmade = question(&window, Use::Tableware);
    unmade.own = None;
    let verdict = window.verdict(Edge::Craze, &unmade);
    assert_eq!(verdict.zone, Zone::Untried);
    assert!(verdict.zone.says_no(Edge::Craze, Use::Tableware) && !verdict.zone.says_no(Edge::Craze, Use::Decorative));
    let mut failed = question(&window, Use::Tableware);
    failed.failed_test = true;
    assert_eq!(
        window.verdict(Edge::Craze, &failed).zone,
        Zone::Unsure,
        "a failed test caps it"
    );
}

/// Finding: five young pieces that held read "1 chance in 65".
#[test]
fn young_batches_don_t_prove_the_far_future() {
    let settings = WindowSettings::default();
    let powder = |batches: usize, days: f64| {
        let mut own = witness(6.5, look(0, days, 5, 0), &settings);
        own.believed = Believed::unknown(&settings);
        own.looks = (0..batches).map(|line| look(line, days, 5, 0)).collect();
        own_chance(&window_support::learnt(clay(10.0), vec![own]), Edge::Craze, 0)
    };
    assert!(powder(1, 30.0) > 0.1, "one batch of a month");
    assert!(
        powder(16, 30.0) > powder(4, 365.0),
        "sixteen young batches prove less than four old ones"
    );
}

/// A lot that nobody looked at is less sure than the one that held.
#[test]
fn another_lot_is_another_glaze_by_a_little() {
    let settings = WindowSettings::default();
    let own = witness(6.0, look(1, 1095.0, 40, 0), &settings);
    let window = learnt(vec![own]);
    let place = window.witnesses[0].place;
    let of = |lot: usize| window.craze.chance_of(&Pieces { place, lot });
    assert!(of(1) > of(0));
}

/// Where all pieces shivered nothing is left that held, which must not count as no number.
#[test]
fn pieces_that_all_shivered_prove_that_it_shivers() {
    let settings = WindowSettings::default();
    let seen = |shivered| {
        let look = Look {
            shivered: Some(shivered),
            ..look(1, 30.0, 6, 0)
        };
        own_chance(&learnt(vec![witness(5.0, look, &settings)]), Edge::Shiver, 0)
    };
    let (none, all) = (seen(0), seen(6));
    assert!(none > 0.0 && none < 0.2 && all > 0.8 && all < 1.0, "{none} {all}");
}

#[test]
fn pieces_are_counted_once_for_both_edges() {
    let settings = WindowSettings::default();
    let mut both = look(1, 30.0, 6, 1);
    both.shivered = Some(0);
    let only_shivered = Look {
        crazed: None,
        shivered: Some(1),
        ..look(2, 30.0, 4, 0)
    };
    let witnesses = [both, only_shivered].map(|look| witness(6.0, look, &settings));
    assert_eq!(learnt(witnesses.to_vec()).pieces_looked_at(), 10);
    assert_eq!(learnt(Vec::new()).pieces_looked_at(), 0);
}

#[test]
fn a_notebook_at_odds_with_itself_still_has_an_answer() {
    let settings = WindowSettings::default();
    let mut odd = vec![
        witness(9.5, look(1, 2000.0, 5000, 0), &settings),
        witness(3.0, look(2, 0.0, 5000, 5000), &settings),
    ];
    odd[0].looks[0].shivered = Some(5000);
    let window = learnt(odd);
    for edge in Edge::BOTH {
        let band = window.edge(edge).band();
        assert!(band.low.is_finite() && band.low <= band.median && band.median <= band.high);
        for own in 0..2 {
            let chance = own_chance(&window, edge, own);
            assert!((0.0..=1.0 + 1e-9).contains(&chance), "{chance}");
        }
    }
}
