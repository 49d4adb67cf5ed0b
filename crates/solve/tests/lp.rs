//! Linear programmes by proof: a point within the limits and multipliers of the same value.

mod support;

use clarabel::algebra::CscMatrix;
use clarabel::solver::{DefaultSettingsBuilder, DefaultSolver, IPSolver, NonnegativeConeT};
use glost_solve::lp::{LinearProgram, LpOptimum, LpOutcome, LpStatus, LpWorkspace};
use support::{Draw, ROWS, product, substitution};

/// Cheapest amounts that keep every row within one tolerance of what some amounts give.
struct Cheapest {
    cost: Vec<f64>,
    rows: Vec<f64>,
    lower: Vec<f64>,
    upper: Vec<f64>,
}

fn cheapest(draw: &mut Draw, count: usize) -> Cheapest {
    let fit = substitution(draw, count);
    let mut rows = vec![0.0; ROWS * count];
    let mut reached = [0.0; ROWS];
    for (j, column) in fit.columns.chunks(ROWS).enumerate() {
        let amount = if draw.chance(0.3) { draw.between(0.0, 1.0) } else { 0.0 };
        for (i, value) in column.iter().enumerate() {
            rows[i * count + j] = *value;
            reached[i] += amount * value;
        }
    }
    Cheapest {
        cost: (0..count).map(|_| draw.between(0.2, 12.0)).collect(),
        rows,
        lower: reached.iter().map(|v| v - 1.0).collect(),
        upper: reached.iter().map(|v| v + 1.0).collect(),
    }
}

fn solve(problem: &Cheapest, workspace: &mut LpWorkspace) -> LpOutcome {
    let n = problem.cost.len();
    workspace
        .solve(&LinearProgram {
            cost: &problem.cost,
            rows: &problem.rows,
            row_lower: &problem.lower,
            row_upper: &problem.upper,
            lower: &vec![0.0; n],
            upper: &vec![f64::INFINITY; n],
        })
        .unwrap()
}

fn assert_optimal(problem: &Cheapest, optimum: &LpOptimum, case: usize) {
    let n = problem.cost.len();
    let mut dual = 0.0;
    for (i, row) in problem.rows.chunks(n).enumerate() {
        let (value, y) = (product(row, &optimum.x), optimum.row_multipliers[i]);
        let miss = (problem.lower[i] - value).max(value - problem.upper[i]);
        assert!(miss <= 1e-8, "case {case}: row {i} missed by {miss}");
        dual += if y > 0.0 {
            y * problem.lower[i]
        } else {
            y * problem.upper[i]
        };
    }
    for j in 0..n {
        assert!(optimum.x[j] >= 0.0);
        let mut reduced = problem.cost[j];
        for (row, y) in problem.rows.chunks(n).zip(&optimum.row_multipliers) {
            reduced -= y * row[j];
        }
        assert!(reduced >= -1e-7 * problem.cost[j], "case {case}: {reduced}");
    }
    let gap = (optimum.objective - dual).abs();
    assert!(
        gap <= 1e-7 * (1.0 + optimum.objective),
        "case {case}: {} {dual}",
        optimum.objective
    );
    assert!(optimum.gap <= 1e-9);
}

#[test]
fn four_hundred_cheapest_mixes_are_proven_optimal() {
    let mut draw = Draw(31);
    let mut workspace = LpWorkspace::new();
    let mut most_steps = 0;
    for case in 0..400 {
        let count = draw.index(3, 61);
        let problem = cheapest(&mut draw, count);
        match solve(&problem, &mut workspace) {
            LpOutcome::Optimal(optimum) => {
                assert_optimal(&problem, &optimum, case);
                most_steps = most_steps.max(optimum.steps);
            }
            other => panic!("case {case}: {other:?}"),
        }
    }
    println!("at most {most_steps} proximal steps");
}

#[test]
fn clarabel_finds_the_same_cost() {
    let mut draw = Draw(32);
    let mut workspace = LpWorkspace::new();
    for case in 0..40 {
        let count = draw.index(5, 40);
        let problem = cheapest(&mut draw, count);
        let LpOutcome::Optimal(optimum) = solve(&problem, &mut workspace) else {
            panic!()
        };
        let (mut rows, mut limits): (Vec<Vec<f64>>, Vec<f64>) = (vec![], vec![]);
        for (i, row) in problem.rows.chunks(count).enumerate() {
            rows.extend([row.to_vec(), row.iter().map(|v| -v).collect()]);
            limits.extend([problem.upper[i], -problem.lower[i]]);
        }
        for j in 0..count {
            rows.push((0..count).map(|k| if k == j { -1.0 } else { 0.0 }).collect());
            limits.push(0.0);
        }
        let settings = DefaultSettingsBuilder::default().verbose(false).build().unwrap();
        let matrix = CscMatrix::from(&rows);
        let none = CscMatrix::zeros((count, count));
        let cones = [NonnegativeConeT(limits.len())];
        let mut solver = DefaultSolver::new(&none, &problem.cost, &matrix, &limits, &cones, settings).unwrap();
        solver.solve();
        let other = solver.solution.obj_val;
        assert!((optimum.objective - other).abs() <= 1e-5 * (1.0 + other), "case {case}");
    }
}

#[test]
fn impossible_and_endless_programmes_are_recognised() {
    let mut workspace = LpWorkspace::new();
    let open = [f64::INFINITY; 2];
    let mut program = LinearProgram {
        cost: &[1.0, 1.0],
        rows: &[1.0, 1.0, 1.0, -1.0],
        row_lower: &[2.0, 0.5],
        row_upper: &[f64::INFINITY, 0.5],
        lower: &[0.0, 0.0],
        upper: &open,
    };
    let LpOutcome::Optimal(optimum) = workspace.solve(&program).unwrap() else {
        panic!()
    };
    assert!((optimum.objective - 2.0).abs() < 1e-12);
    assert!((optimum.x[0] - 1.25).abs() < 1e-9 && (optimum.x[1] - 0.75).abs() < 1e-9);
    program.upper = &[0.5, 0.5];
    assert!(matches!(workspace.solve(&program).unwrap(), LpOutcome::Infeasible(_)));
    program.upper = &open;
    program.cost = &[-1.0, 0.0];
    assert_eq!(workspace.solve(&program).unwrap(), LpOutcome::Unbounded);
    // no cost at all: any point will do
    program.cost = &[0.0, 0.0];
    assert!(matches!(workspace.solve(&program).unwrap(), LpOutcome::Optimal(_)));
}

/// Costs in another coin: the same amounts, the same proof.
#[test]
fn the_coin_of_the_costs_does_not_matter() {
    let mut draw = Draw(33);
    let mut workspace = LpWorkspace::new();
    for case in 0..60 {
        let count = draw.index(3, 40);
        let mut problem = cheapest(&mut draw, count);
        let LpOutcome::Optimal(here) = solve(&problem, &mut workspace) else {
            panic!("case {case}")
        };
        for coin in [1e-12, 1e9] {
            let cost = problem.cost.clone();
            problem.cost.iter_mut().for_each(|cost| *cost *= coin);
            let LpOutcome::Optimal(there) = solve(&problem, &mut workspace) else {
                panic!("case {case}, coin {coin}")
            };
            problem.cost = cost;
            let apart = (there.objective - coin * here.objective).abs();
            assert!(
                apart <= 1e-7 * coin * (1.0 + here.objective),
                "case {case}, coin {coin}"
            );
            assert!((0.0..=1e-9).contains(&there.gap), "case {case}: {}", there.gap);
        }
    }
}

/// From a start far beyond the upper limit the first step ends on it, the dearest point.
#[test]
fn a_far_start_is_left_whatever_the_coin() {
    for coin in [1e-12, 1.0, 1e9] {
        let program = LinearProgram {
            cost: &[coin],
            rows: &[],
            row_lower: &[],
            row_upper: &[],
            lower: &[0.0],
            upper: &[10.0],
        };
        let mut optimum = LpOptimum::default();
        let status = LpWorkspace::new().solve_into(&program, Some(&[1e9]), &mut optimum);
        assert_eq!((status, &optimum.x[..]), (Ok(LpStatus::Optimal), &[0.0][..]), "{coin}");
        assert_eq!(optimum.bound_multipliers, [coin]);
    }
}

/// Two rows of at least 2 and at most 0.5 each, and no variable above 0.6: weights that add the
/// limits up to more than nothing while what they limit adds up to nothing.
#[test]
fn limits_that_clash_come_with_the_weights_that_show_it() {
    let (rows, row_lower, upper) = ([1.0, 1.0, 1.0, -1.0], [2.0, -0.5], [0.6, 0.6]);
    let program = LinearProgram {
        cost: &[1.0, 1.0],
        rows: &rows,
        row_lower: &row_lower,
        row_upper: &[f64::INFINITY, 0.5],
        lower: &[0.0, 0.0],
        upper: &upper,
    };
    let LpOutcome::Infeasible(clash) = LpWorkspace::new().solve(&program).unwrap() else {
        panic!("1.2 is less than 2")
    };
    let mut left = [0.0; 2];
    let mut limits = 0.0;
    for (row, weight) in clash.rows {
        left[0] += weight * rows[2 * row];
        left[1] += weight * rows[2 * row + 1];
        limits += weight
            * if weight > 0.0 {
                row_lower[row]
            } else {
                program.row_upper[row]
            };
    }
    for (variable, weight) in clash.bounds {
        left[variable] += weight;
        limits += weight * if weight > 0.0 { 0.0 } else { upper[variable] };
    }
    assert!(left.iter().all(|sum| sum.abs() < 1e-12), "{left:?}");
    assert!(limits > 0.0, "{limits}");
}
