//! Mixture models against print and against another least squares.
//!
//! Sources: `data/yarn.csv`: J. A. Cornell, *Experiments with Mixtures* (2002), the worked
//! example of NIST/SEMATECH e-Handbook 5.5.4.2. `data/mixture_fits.json`: numpy's lstsq on
//! random tiles, made by `peers/mixtures.py`.

use glost_chemistry::diagnostic::Source;
use glost_core::tiles::mixture::{
    Fitted, Goal, Graded, Lesson, MixtureFit, MixtureModel, NoFit, Outcomes, Question, learn,
};
use glost_desk::results::read_tiles;
use glost_tests::data;
use serde::Deserialize;

/// Half of the last digit printed.
const PRINTED: f64 = 5e-5;
/// Against another double-precision least squares: rounding alone, over the value.
const SAME: f64 = 1e-8;

fn yarn() -> Outcomes {
    let ends = ["polyethylene", "polystyrene", "polypropylene"].map(str::to_owned);
    let table = read_tiles(
        &Source::from_text("yarn.csv", &data("yarn.csv")),
        &ends,
        "elongation",
        None,
    );
    table.unwrap_or_else(|why| panic!("{why:?}")).outcomes
}

fn ask(outcomes: &Outcomes, ends: usize, model: Option<MixtureModel>, goal: Goal) -> Lesson {
    let question = Question {
        ends,
        model,
        goal,
        next: 1,
        ladder: None,
    };
    learn(outcomes, &question).unwrap_or_else(|why| panic!("{why:?}"))
}

fn fit_of(lesson: &Lesson) -> &MixtureFit {
    match &lesson.fitted {
        Ok(Fitted::Grades(fit)) => fit,
        other => panic!("{other:?}"),
    }
}

#[track_caller]
fn near(found: f64, wanted: f64, tolerance: f64) {
    assert!((found - wanted).abs() <= tolerance, "{found}, not {wanted}");
}

#[test]
fn the_published_yarn() {
    let lesson = ask(&yarn(), 3, None, Goal::Most);
    let fit = fit_of(&lesson);
    assert_eq!(fit.model, MixtureModel::Quadratic, "chosen by leave-one-out error");
    for (found, printed) in fit.coefficients.iter().zip([11.7, 9.4, 16.4, 19.0, 11.4, -9.6]) {
        near(*found, printed, 1e-9);
    }
    let errors = fit.standard_errors.clone().unwrap_or_default();
    for (found, printed) in errors.iter().zip([0.6037, 0.6037, 0.6037, 2.6082, 2.6082, 2.6082]) {
        near(*found, printed, PRINTED);
    }
    near(fit.r_squared, 0.9514, PRINTED);
    near(fit.residual_squares, 6.56, 1e-9);
    assert_eq!(fit.spare, 9);
    near(fit.residual_deviation().unwrap_or_default().powi(2), 0.7289, PRINTED);
    for (shares, printed) in [
        ([0.5, 0.5, 0.0], 15.3),
        ([0.5, 0.0, 0.5], 16.9),
        ([0.0, 0.5, 0.5], 10.5),
    ] {
        near(fit.value(&shares), printed, 1e-9);
    }
    near(fit.value(&[1.0 / 3.0; 3]), 14.811, 5e-4);
    // Along the first and third, 11.7 x + 16.4 (1 - x) + 11.4 x (1 - x) peaks at x = 6.7 / 22.8.
    let lesson = ask(&yarn(), 3, Some(MixtureModel::Quadratic), Goal::Most);
    let fit = fit_of(&lesson);
    let x = 6.7 / 22.8;
    near(lesson.best.shares[0], x, 1e-6);
    near(lesson.best.shares[1], 0.0, 0.0);
    near(
        lesson.best.value,
        11.7 * x + 16.4 * (1.0 - x) + 11.4 * x * (1.0 - x),
        1e-9,
    );
    // t(0.95, 9) = 1.833 (NIST 1.3.6.7.2) times the error of that mean.
    let deviation = fit.residual_deviation().unwrap_or_default();
    let half = 1.833 * deviation * fit.leverage(&lesson.best.shares).sqrt();
    let (low, high) = lesson.best.band.unwrap_or_default();
    near(0.5 * (high - low), half, 3e-4);
}

/// NIST/SEMATECH e-Handbook 5.5.4.2: on a simplex lattice the coefficients are the grades
/// of the ends, and `b_ij = 4 y_ij - 2 (y_i + y_j)`.
#[test]
fn a_lattice_is_fitted_exactly() {
    let grades = [
        ([1.0, 0.0, 0.0], 3.0),
        ([0.0, 1.0, 0.0], 1.5),
        ([0.0, 0.0, 1.0], 4.0),
        ([0.5, 0.5, 0.0], 4.5),
        ([0.5, 0.0, 0.5], 2.0),
        ([0.0, 0.5, 0.5], 3.25),
    ];
    let tiles: Vec<Graded> = grades
        .iter()
        .map(|(shares, value)| Graded {
            shares: shares.to_vec(),
            value: *value,
        })
        .collect();
    let fit = MixtureFit::of(MixtureModel::Quadratic, 3, &tiles).unwrap_or_else(|why| panic!("{why:?}"));
    let wanted = [
        3.0,
        1.5,
        4.0,
        4.0 * 4.5 - 2.0 * 4.5,
        4.0 * 2.0 - 2.0 * 7.0,
        4.0 * 3.25 - 2.0 * 5.5,
    ];
    for (found, wanted) in fit.coefficients.iter().zip(wanted) {
        near(*found, wanted, 1e-12);
    }
    assert_eq!((fit.spare, fit.standard_errors), (0, None));
    assert_eq!(fit.leave_one_out, None, "no tile can be left out of a lattice");
    let short = MixtureFit::of(MixtureModel::SpecialCubic, 3, &tiles).err();
    assert_eq!(short, Some(NoFit::TooFew { blends: 6, terms: 7 }));
}

#[derive(Deserialize)]
struct Fits {
    sets: Vec<Set>,
}

#[derive(Deserialize)]
struct Set {
    ends: usize,
    model: String,
    shares: Vec<Vec<f64>>,
    y: Vec<f64>,
    coefficients: Vec<f64>,
    standard_errors: Vec<f64>,
    residual_sum_of_squares: f64,
    r_squared: f64,
    leave_one_out_error: f64,
}

#[test]
fn random_tiles_as_another_least_squares_fits_them() {
    let fits: Fits = serde_json::from_str(&data("mixture_fits.json")).unwrap_or_else(|why| panic!("{why}"));
    assert_eq!(fits.sets.len(), 12);
    for set in fits.sets {
        let model = MixtureModel::ALL.into_iter().find(|model| model.name() == set.model);
        let tiles: Vec<Graded> = set
            .shares
            .into_iter()
            .zip(set.y)
            .map(|(shares, value)| Graded { shares, value })
            .collect();
        let lesson = ask(&Outcomes::Grades(tiles), set.ends, model, Goal::Most);
        let fit = fit_of(&lesson);
        let errors = fit.standard_errors.clone().unwrap_or_default();
        assert_eq!(fit.coefficients.len(), set.coefficients.len());
        let pairs = fit.coefficients.iter().zip(&set.coefficients);
        for (found, wanted) in pairs.chain(errors.iter().zip(&set.standard_errors)) {
            near(*found, *wanted, SAME * wanted.abs().max(1.0));
        }
        near(fit.residual_squares, set.residual_sum_of_squares, SAME);
        near(fit.r_squared, set.r_squared, SAME);
        let left_out = fit.leave_one_out.unwrap_or(f64::NAN);
        near(left_out, set.leave_one_out_error, SAME * set.leave_one_out_error);
    }
}
