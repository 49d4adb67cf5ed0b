//! Programmes within cones against every point of a grid: one within the limits to which
//! the way goes downhill would show that the answer is not the best.

mod support;

use glost_solve::KernelError;
use glost_solve::cone::{Cone, ConeOutcome, ConeProgram, solve};
use glost_solve::qp::Hessian;
use support::{Draw, product};

/// Steps of the grid along each edge.
const GRID: usize = 60;

/// By how much a point misses a cone; below nothing, the room it has.
fn miss(cone: &Cone, x: &[f64]) -> f64 {
    let spread = cone.spread.chunks(x.len()).map(|row| product(row, x).powi(2));
    spread.sum::<f64>().sqrt() - product(&cone.linear, x)
}

/// Three shares that sum to one, a square to bring low, and cones that hold a hidden point.
struct Shares {
    hessian: Vec<f64>,
    linear: Vec<f64>,
    cones: Vec<Cone>,
}

fn shares(draw: &mut Draw) -> Shares {
    let mut row = |size: f64| (0..3).map(|_| size * draw.between(-1.0, 1.0)).collect::<Vec<f64>>();
    let factors = [row(3.0), row(3.0)];
    let entry = |i: usize, j: usize| factors.iter().map(|f| f[i] * f[j]).sum::<f64>();
    let hessian = (0..9).map(|at| entry(at / 3, at % 3)).collect();
    let linear = row(4.0);
    let hidden = [0.2, 0.3, 0.5];
    let cones = (0..3)
        .map(|kind| {
            let spread: Vec<f64> = (0..kind).flat_map(|_| row(1.0)).collect();
            let mut cone = Cone {
                linear: row(1.0),
                spread,
            };
            // the shares sum to one, so this moves the cone's side by as much
            let room = miss(&cone, &hidden) + 0.05;
            cone.linear.iter_mut().for_each(|value| *value += room);
            cone
        })
        .collect();
    Shares { hessian, linear, cones }
}

fn ask(problem: &Shares) -> Result<ConeOutcome, KernelError> {
    solve(&ConeProgram {
        hessian: Hessian::Dense(&problem.hessian),
        linear: &problem.linear,
        equal_rows: &[1.0; 3],
        equal_to: &[1.0],
        cones: &problem.cones,
    })
}

#[test]
fn no_point_of_a_grid_lies_downhill() {
    let mut draw = Draw(61);
    let mut binding = 0;
    for case in 0..60 {
        let problem = shares(&mut draw);
        let ConeOutcome::Optimal(x) = ask(&problem).unwrap() else {
            panic!("case {case}: a point was hidden in it")
        };
        assert!((x.iter().sum::<f64>() - 1.0).abs() < 1e-9, "case {case}: {x:?}");
        assert!(x.iter().all(|x| *x > -1e-8), "case {case}: {x:?}");
        let worst = problem.cones.iter().map(|cone| miss(cone, &x));
        let worst = worst.fold(f64::NEG_INFINITY, f64::max);
        assert!(worst < 1e-8, "case {case}: missed by {worst}");
        binding += usize::from(worst > -1e-6);
        let rows = problem.hessian.chunks(3).zip(&problem.linear);
        let gradient: Vec<f64> = rows.map(|(row, q)| product(row, &x) + q).collect();
        let mut within = 0;
        for (a, b) in (0..=GRID).flat_map(|a| (0..=GRID - a).map(move |b| (a, b))) {
            let point = [a, b, GRID - a - b].map(|share| share as f64 / GRID as f64);
            if problem.cones.iter().all(|cone| miss(cone, &point) <= 0.0) {
                within += 1;
                let downhill = product(&gradient, &x) - product(&gradient, &point);
                assert!(downhill < 1e-6, "case {case}: {downhill} towards {point:?}");
            }
        }
        assert!(within > 0, "case {case}: no point of the grid tells anything");
    }
    assert!(binding > 20, "{binding}");
}

/// Each limit times a million is the same limit.
#[test]
fn the_size_of_a_cone_does_not_matter() {
    let mut draw = Draw(62);
    for case in 0..20 {
        let mut problem = shares(&mut draw);
        let ConeOutcome::Optimal(here) = ask(&problem).unwrap() else {
            panic!()
        };
        for (cone, size) in problem.cones.iter_mut().zip([1e6, 1e-6, 1e6]) {
            let numbers = cone.linear.iter_mut().chain(&mut cone.spread);
            numbers.for_each(|value| *value *= size);
        }
        let ConeOutcome::Optimal(there) = ask(&problem).unwrap() else {
            panic!()
        };
        let apart = here.iter().zip(&there).map(|(a, b)| (a - b).abs());
        assert!(apart.fold(0.0, f64::max) < 1e-5, "case {case}: {here:?} {there:?}");
    }
}

/// x <= 2 y + 2 z of two that sum to one, with x as large as it can be: 2/3; and with a
/// cone that wants more than that, nothing.
#[test]
fn what_no_point_meets_is_said() {
    let ratio = Cone {
        linear: vec![-1.0, 2.0, 2.0],
        spread: vec![],
    };
    let wants = |share: f64| Cone {
        linear: [1.0 - share, -share, -share].to_vec(),
        spread: vec![],
    };
    let mut problem = Shares {
        hessian: vec![0.0; 9],
        linear: vec![-1.0, 0.0, 0.0],
        cones: vec![ratio, wants(0.6)],
    };
    let ConeOutcome::Optimal(x) = ask(&problem).unwrap() else {
        panic!()
    };
    assert!((x[0] - 2.0 / 3.0).abs() < 1e-6, "{x:?}");
    problem.cones[1] = wants(0.7);
    assert_eq!(ask(&problem), Ok(ConeOutcome::Infeasible));
}

#[test]
fn a_diagonal_is_read_as_the_matrix_it_stands_for() {
    let cones = [Cone {
        linear: vec![1.0, 0.0],
        spread: vec![0.0, 1.0],
    }];
    let program = |hessian| ConeProgram {
        hessian,
        linear: &[-1.0, -6.0],
        equal_rows: &[],
        equal_to: &[],
        cones: &cones,
    };
    let diagonal = solve(&program(Hessian::Diagonal(&[1.0, 4.0])));
    assert_eq!(diagonal, solve(&program(Hessian::Dense(&[1.0, 0.0, 0.0, 4.0]))));
    // on the cone's side, x = y: 5/2 x^2 - 7 x is least at 7/5
    let Ok(ConeOutcome::Optimal(x)) = diagonal else {
        panic!()
    };
    assert!(x.iter().all(|x| (x - 1.4).abs() < 1e-6), "{x:?}");
}

#[test]
fn what_is_not_a_programme_is_refused() {
    let cones = [Cone {
        linear: vec![1.0, 0.0],
        spread: vec![0.0, 1.0],
    }];
    let good = ConeProgram {
        hessian: Hessian::Diagonal(&[1.0, 1.0]),
        linear: &[0.0, -1.0],
        equal_rows: &[1.0, 1.0],
        equal_to: &[1.0],
        cones: &cones,
    };
    assert!(matches!(solve(&good), Ok(ConeOutcome::Optimal(_))));
    let odd = |linear: &[f64], spread: &[f64]| {
        [Cone {
            linear: linear.to_vec(),
            spread: spread.to_vec(),
        }]
    };
    let (short, ragged, wild) = (
        odd(&[1.0], &[]),
        odd(&[1.0, 1.0], &[1.0; 3]),
        odd(&[1.0, f64::NAN], &[]),
    );
    let wrong = [
        (
            ConeProgram {
                hessian: Hessian::Diagonal(&[1.0]),
                ..good
            },
            "hessian",
        ),
        (
            ConeProgram {
                hessian: Hessian::Dense(&[1.0; 3]),
                ..good
            },
            "hessian",
        ),
        (
            ConeProgram {
                equal_rows: &[1.0; 3],
                ..good
            },
            "equal rows",
        ),
        (ConeProgram { cones: &short, ..good }, "cone"),
        (ConeProgram { cones: &ragged, ..good }, "spread"),
    ];
    for (program, part) in wrong {
        assert!(
            matches!(solve(&program), Err(KernelError::Shape { what, .. }) if what == part),
            "{part}"
        );
    }
    let wild = ConeProgram { cones: &wild, ..good };
    assert_eq!(solve(&wild), Err(KernelError::NotFinite { what: "cone", index: 1 }));
}

/// The nearest point of the cone |(y, z)| <= x is known outright: one inside stays; of one
/// outside, in the plane of it and the axis, the cone is a line at 45 degrees, so x and the
/// length of (y, z) meet half way.
#[test]
fn the_nearest_point_of_a_round_cone_is_the_known_one() {
    let mut draw = Draw(63);
    let round = [Cone {
        linear: vec![1.0, 0.0, 0.0],
        spread: vec![0.0, 1.0, 0.0, 0.0, 0.0, 1.0],
    }];
    for case in 0..300 {
        let size = if case % 2 == 0 { 9.0 } else { 0.1 };
        let from = [(); 3].map(|()| draw.between(0.0, size));
        let outcome = solve(&ConeProgram {
            hessian: Hessian::Diagonal(&[1.0; 3]),
            linear: &from.map(|value| -value),
            equal_rows: &[],
            equal_to: &[],
            cones: &round,
        });
        let Ok(ConeOutcome::Optimal(x)) = outcome else {
            panic!("case {case}: {outcome:?}")
        };
        let around = from[1].hypot(from[2]);
        let half = 0.5 * (from[0] + around);
        let known = if from[0] >= around {
            from
        } else {
            [half, half * from[1] / around, half * from[2] / around]
        };
        let value = |x: &[f64]| 0.5 * product(x, x) - product(x, &from);
        let dearer = value(&x) - value(&known);
        assert!(
            dearer.abs() < 1e-9 * (1.0 + value(&known).abs()),
            "case {case}: {dearer:e}"
        );
        assert!(miss(&round[0], &x) < 1e-9, "case {case}: {x:?}");
    }
}

/// The solver behind it can tell of its steps; a program's output is not the place.
#[test]
fn nothing_is_printed() {
    let this = std::env::current_exe().unwrap();
    let asked = [
        "--exact",
        "a_diagonal_is_read_as_the_matrix_it_stands_for",
        "--nocapture",
    ];
    let output = std::process::Command::new(this).args(asked).output().unwrap();
    let said = String::from_utf8(output.stdout).unwrap();
    let harness = |line: &str| line.is_empty() || line.starts_with("running") || line.starts_with("test ");
    assert!(said.contains("1 passed"), "{said}");
    assert!(said.lines().all(harness), "{said}");
}
