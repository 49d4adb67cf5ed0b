//! Laws of the window: what more evidence may and may not do; and the sums done plainly.

#[path = "../../chemistry/tests/glass_support/mod.rs"]
mod glass_support;
mod window_support;

use glass_support::Draw;
use glost_core::evidence::window::{
    Belief, Believed, ClayKnowledge, Edge, Look, Question, Window, WindowSettings, Witness, Zone,
};
use glost_solve::normal::{cumulative, ln_density};
use window_support::{look, witness};

fn learnt(witnesses: Vec<Witness>) -> Window {
    Window::learn(&WindowSettings::default(), ClayKnowledge::default(), witnesses)
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
    for _ in 0..20 {
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
        let own = |window: &Window| window.craze.chance_of(&window.witnesses[0]);
        assert!(own(&after) >= own(&before) - 1e-12);
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
    // Two normals and the scatter of pieces: Phi(0.5 / root(1.2^2 + 0.37^2 + 0.12^2)).
    let exact = cumulative(0.5 / (1.44f64 + 0.1369 + 0.0144).sqrt());
    assert!((window.p_craze(7.0, 0.37) - exact).abs() < 1e-6);
}

/// The double sum as it is written in the model, term by term.
#[test]
fn the_fast_sums_are_the_plain_ones() {
    let settings = WindowSettings::default();
    let share = settings.porous.share_by(30.0);
    let (expansion, pieces, crazed) = (6.83, 5, 2);
    let window = learnt(vec![witness(expansion, look(1, 30.0, pieces, crazed), &settings)]);
    let (mut weights, mut own) = (Vec::new(), Vec::new());
    for step in 0..=1440 {
        let threshold = 6.5 - 7.2 + 0.01 * f64::from(step);
        let (mut sum, mut with_one_more) = (0.0, 0.0);
        for inner in 0..=222 {
            let true_expansion = expansion - 2.22 + 0.02 * f64::from(inner);
            let end = if inner == 0 || inner == 222 { 0.5 } else { 1.0 };
            let sooner_or_later = cumulative((true_expansion - threshold) / 0.12);
            let chance = share * sooner_or_later;
            let seen = end
                * ln_density((true_expansion - expansion) / 0.37).exp()
                * chance.powi(crazed as i32)
                * (1.0 - chance).powi((pieces - crazed) as i32);
            sum += seen;
            with_one_more += seen * sooner_or_later;
        }
        let end = if step == 0 || step == 1440 { 0.5 } else { 1.0 };
        weights.push(end * ln_density((threshold - 6.5) / 1.2).exp() * sum);
        own.push(if sum > 0.0 { with_one_more / sum } else { 0.0 });
    }
    let total: f64 = weights.iter().sum();
    let points = || {
        weights
            .iter()
            .enumerate()
            .map(|(step, weight)| (-0.7 + 0.01 * step as f64, weight / total))
    };
    let mean: f64 = points().map(|(threshold, weight)| threshold * weight).sum();
    let variance: f64 = points()
        .map(|(threshold, weight)| (threshold - mean).powi(2) * weight)
        .sum();
    let chance: f64 = weights.iter().zip(&own).map(|(weight, own)| weight / total * own).sum();
    assert!((window.craze.mean() - mean).abs() < 1e-10);
    assert!((window.craze.variance() - variance).abs() < 1e-10);
    let ours = window.craze.chance_of(&window.witnesses[0]);
    assert!((ours - chance).abs() < 1e-10, "{ours} {chance}");
}

fn question(window: &Window, expansion: f64) -> Question {
    Question {
        believed: Believed::computed(expansion, &window.settings),
        own: None,
    }
}

#[test]
fn held_takes_five_pieces_for_half_a_year_at_least_as_high() {
    let settings = WindowSettings::default();
    let zone_at = |window: &Window, expansion: f64| window.verdict(Edge::Craze, &question(window, expansion)).zone;
    let tested = |looks: Vec<Look>| {
        let mut glaze = witness(6.0, look(1, 0.0, 1, 0), &settings);
        glaze.looks = looks;
        // Others held higher up, but for too short a time: only the chance sinks.
        learnt(vec![glaze, witness(7.0, look(9, 170.0, 60, 0), &settings)])
    };
    let enough = tested(vec![look(1, 180.0, 3, 0), look(2, 200.0, 2, 0)]);
    assert_eq!(zone_at(&enough, 6.0), Zone::Held);
    assert_eq!(zone_at(&enough, 6.1), Zone::Held);
    assert_eq!(zone_at(&enough, 6.11), Zone::NotTestedThisFar);
    for short in [
        vec![look(1, 180.0, 4, 0)],
        vec![look(1, 179.0, 50, 0)],
        vec![look(1, 180.0, 50, 0), look(2, 180.0, 50, 1)],
    ] {
        assert_eq!(zone_at(&tested(short), 6.0), Zone::NotTestedThisFar);
    }
}

/// One of forty crazed: the chance is small, but only a higher glaze that held vouches for it.
#[test]
fn a_glaze_that_crazed_vouches_for_nobody() {
    let settings = WindowSettings::default();
    let window = learnt(vec![
        witness(6.0, look(1, 400.0, 40, 1), &settings),
        witness(6.6, look(2, 400.0, 40, 0), &settings),
    ]);
    let own = Question {
        believed: window.witnesses[0].believed,
        own: Some(0),
    };
    let verdict = window.verdict(Edge::Craze, &own);
    assert!(verdict.chance < 0.1, "{}", verdict.chance);
    assert_eq!(verdict.zone, Zone::Held);
    let alone = learnt(vec![witness(6.0, look(1, 400.0, 40, 1), &settings)]);
    let verdict = alone.verdict(Edge::Craze, &own);
    assert!(verdict.chance < 0.1, "{}", verdict.chance);
    assert_eq!(verdict.zone, Zone::NotTestedThisFar);
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
            let question = Question {
                believed: window.witnesses[own].believed,
                own: Some(own),
            };
            let chance = window.verdict(edge, &question).chance;
            assert!((0.0..=1.0 + 1e-9).contains(&chance), "{chance}");
        }
    }
}
