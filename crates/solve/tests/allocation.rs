//! A workspace that has solved a problem allocates nothing when it solves another like it.
#![allow(unsafe_code)] // a counting allocator cannot be written without

mod support;

use std::alloc::{GlobalAlloc, Layout, System};
use std::sync::atomic::{AtomicUsize, Ordering};

use glost_solve::lp::{LinearProgram, LpOptimum, LpWorkspace};
use glost_solve::nnls::NnlsWorkspace;
use glost_solve::qp::{Hessian, QpOptimum, QpWorkspace, QuadraticProgram};
use glost_solve::subset::{SubsetQuestion, SubsetWorkspace};
use support::{Draw, ROWS, repair, substitution};

struct Counting;

static ALLOCATIONS: AtomicUsize = AtomicUsize::new(0);

// SAFETY: every call goes to the system's allocator unchanged
unsafe impl GlobalAlloc for Counting {
    unsafe fn alloc(&self, layout: Layout) -> *mut u8 {
        ALLOCATIONS.fetch_add(1, Ordering::Relaxed);
        unsafe { System.alloc(layout) }
    }

    unsafe fn dealloc(&self, pointer: *mut u8, layout: Layout) {
        unsafe { System.dealloc(pointer, layout) }
    }
}

#[global_allocator]
static COUNTING: Counting = Counting;

/// Allocations of the second of two equal calls.
fn of_second_call(mut call: impl FnMut()) -> usize {
    call();
    let before = ALLOCATIONS.load(Ordering::Relaxed);
    call();
    ALLOCATIONS.load(Ordering::Relaxed) - before
}

// one test: a second one would allocate on another thread meanwhile
#[test]
fn solving_again_allocates_nothing() {
    let mut draw = Draw(41);
    let fit = substitution(&mut draw, 60);
    let mut x = vec![0.0; 60];
    let mut nnls = NnlsWorkspace::new();
    let count = of_second_call(|| {
        nnls.solve_into(&fit.columns, &fit.rhs, None, &mut x).unwrap();
    });
    assert_eq!(count, 0, "non-negative least squares");

    let mut subset = SubsetWorkspace::new();
    let question = SubsetQuestion {
        free: 2,
        at_most: 5,
        wanted: 3,
        work_limit: u64::MAX,
    };
    let count = of_second_call(|| {
        subset.search(&fit.columns, &fit.rhs, question).unwrap();
    });
    assert_eq!(count, 0, "best subset");

    let problem = repair(&mut draw, 40, false);
    let program = QuadraticProgram {
        hessian: Hessian::Dense(&problem.hessian),
        linear: &problem.linear,
        rows: &problem.rows,
        row_lower: &problem.lower,
        row_upper: &problem.upper,
        lower: &[0.0; 40],
        upper: &[f64::INFINITY; 40],
    };
    let (mut qp, mut optimum) = (QpWorkspace::new(), QpOptimum::default());
    let count = of_second_call(|| {
        assert!(qp.solve_into(&program, &mut optimum).unwrap());
    });
    assert_eq!(count, 0, "quadratic programme");

    let rows: Vec<f64> = (0..ROWS * 60)
        .map(|at| fit.columns[(at % 60) * ROWS + at / 60])
        .collect();
    let reached: Vec<f64> = rows.chunks(60).map(|row| row[3] + 0.5 * row[7]).collect();
    let limits = |by: f64| reached.iter().map(|v| v + by).collect::<Vec<f64>>();
    let cost: Vec<f64> = (0..60).map(|_| draw.between(1.0, 9.0)).collect();
    let (lower, upper) = (limits(-1.0), limits(1.0));
    let program = LinearProgram {
        cost: &cost,
        rows: &rows,
        row_lower: &lower,
        row_upper: &upper,
        lower: &[0.0; 60],
        upper: &[f64::INFINITY; 60],
    };
    let (mut lp, mut optimum) = (LpWorkspace::new(), LpOptimum::default());
    let count = of_second_call(|| {
        lp.solve_into(&program, None, &mut optimum).unwrap();
    });
    assert_eq!(count, 0, "linear programme");
}
