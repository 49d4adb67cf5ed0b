//! Blends that were measured: how soon the advice finds the best of a table.
//!
//! `data/photo_wf3.csv`, `data/photo_pce10.csv`: 1,040 blends of four parts each with a
//! measured number (photostability of polymer blends; Langner et al., Adv. Mater. 2020, 32,
//! 1907801; from the Python package `olymp` 0.0.1b0, MIT licence).

use glost_core::tiles::mixture::{Goal, Graded, Learned, Lesson, Outcomes, Question, Why, learn};

use crate::mixture_support::Draw;

/// Tiles of the first firing, at random.
pub const FIRST: usize = 7;
/// Firings after it, and the tiles of each.
pub const ROUNDS: (usize, usize) = (3, 3);
/// A blend this near is the same one.
const SAME: f64 = 0.006;
/// A blend this near to a tile made is as good as made.
const AS_MADE: f64 = 0.0201;

/// A table of measured blends and what is wanted.
pub struct Task {
    /// The table's name.
    pub name: &'static str,
    /// Whether the most or the least is wanted.
    pub goal: Goal,
    blends: Vec<Vec<f64>>,
    measured: Vec<f64>,
    /// Places by merit, 1 the best.
    rank: Vec<usize>,
}

/// What came of one start.
#[derive(Debug, Clone, Copy)]
pub struct Outcome {
    /// Place of the best tile made among all blends.
    pub rank: usize,
    /// Place of the blend called best (the nearest one that was measured).
    pub called: usize,
    /// Whether its measured number lies in its 90 % band.
    pub held: bool,
    /// Tiles advised again.
    pub again: usize,
    /// Of them, tiles of the worse half.
    pub again_bad: usize,
    /// Whether a tile was called best that lies more than 0.3 of the range below the best.
    pub low_called: bool,
}

/// Both tables, the most and the least of each.
pub fn tasks() -> Vec<Task> {
    let tables = [
        ("wf3", include_str!("../data/photo_wf3.csv")),
        ("pce10", include_str!("../data/photo_pce10.csv")),
    ];
    let goals = [Goal::Most, Goal::Least];
    let all = tables.iter().flat_map(|table| goals.map(|goal| (table, goal)));
    all.map(|((name, text), goal)| Task::of(name, text, goal)).collect()
}

impl Task {
    fn of(name: &'static str, text: &str, goal: Goal) -> Task {
        let (mut blends, mut measured) = (Vec::new(), Vec::new());
        for line in text.lines().skip(1) {
            let mut cells: Vec<f64> = line
                .split(',')
                .map(|cell| cell.trim().parse().unwrap_or_else(|_| panic!("{line}")))
                .collect();
            measured.push(cells.pop().unwrap_or_else(|| panic!("{line}")));
            let sum: f64 = cells.iter().sum();
            blends.push(cells.iter().map(|share| share / sum).collect());
        }
        let mut task = Task {
            name,
            goal,
            rank: vec![0; measured.len()],
            blends,
            measured,
        };
        let mut order: Vec<usize> = (0..task.measured.len()).collect();
        order.sort_by(|one, other| task.merit(*other).total_cmp(&task.merit(*one)));
        for (place, blend) in order.into_iter().enumerate() {
            task.rank[blend] = place + 1;
        }
        task
    }

    /// How many blends were measured.
    pub fn size(&self) -> usize {
        self.measured.len()
    }

    fn merit(&self, blend: usize) -> f64 {
        if self.goal == Goal::Least {
            -self.measured[blend]
        } else {
            self.measured[blend]
        }
    }

    /// The measured blend nearest to one advised, of those that pass.
    fn nearest(&self, shares: &[f64], pass: impl Fn(usize) -> bool) -> usize {
        let away = |blend: usize| -> f64 {
            self.blends[blend]
                .iter()
                .zip(shares)
                .map(|(a, b)| (a - b).powi(2))
                .sum()
        };
        (0..self.size())
            .filter(|blend| pass(*blend))
            .min_by(|one, other| away(*one).total_cmp(&away(*other)))
            .unwrap_or_else(|| panic!("no blend is left"))
    }

    fn learnt(&self, tiles: &[usize], next: usize) -> Lesson {
        let graded = |tile: &usize| Graded {
            shares: self.blends[*tile].clone(),
            value: self.measured[*tile],
        };
        let question = Question {
            ends: 4,
            model: None,
            goal: self.goal,
            next,
            ladder: None,
        };
        learn(&Outcomes::Grades(tiles.iter().map(graded).collect()), &question).unwrap_or_else(|why| panic!("{why:?}"))
    }

    /// Random tiles, then what is advised, each as the nearest blend that was measured and
    /// isn't made yet.
    pub fn run(&self, seed: u64) -> Outcome {
        let mut draw = Draw(seed);
        let mut tiles: Vec<usize> = Vec::new();
        while tiles.len() < FIRST {
            let tile = (draw.even() * self.size() as f64) as usize;
            if !tiles.contains(&tile) {
                tiles.push(tile);
            }
        }
        let (mut again, mut again_bad) = (0, 0);
        for _ in 0..ROUNDS.0 {
            let advised = self.learnt(&tiles, ROUNDS.1).next;
            let made = tiles.clone();
            let middle = median(made.iter().map(|tile| self.merit(*tile)).collect());
            for next in advised {
                let own = made.iter().find(|tile| near(&self.blends[**tile], &next.shares) < SAME);
                if let Some(own) = own {
                    again += 1;
                    again_bad += usize::from(self.merit(*own) < middle);
                }
                assert!(next.why != Some(Why::Again) || own.is_some(), "{:?}", next.shares);
                let tile = self.nearest(&next.shares, |blend| !tiles.contains(&blend));
                tiles.push(tile);
            }
        }
        let lesson = self.learnt(&tiles, 0);
        assert!(matches!(lesson.learned, Learned::Surfaces(_)));
        let nearest = self.nearest(&lesson.best.shares, |_| true);
        let merits: Vec<f64> = tiles.iter().map(|tile| self.merit(*tile)).collect();
        let best = merits.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let worst = merits.iter().copied().fold(f64::INFINITY, f64::min);
        let own = tiles
            .iter()
            .filter(|tile| near(&self.blends[**tile], &lesson.best.shares) <= AS_MADE);
        let own = own.map(|tile| self.merit(*tile)).reduce(f64::max);
        let (low, high) = lesson.best.band.unwrap_or((f64::NEG_INFINITY, f64::INFINITY));
        Outcome {
            rank: tiles.iter().map(|tile| self.rank[*tile]).min().unwrap_or(self.size()),
            called: self.rank[nearest],
            held: (low..=high).contains(&self.measured[nearest]),
            again,
            again_bad,
            low_called: own.is_some_and(|own| best - own > 0.3 * (best - worst)),
        }
    }
}

fn near(one: &[f64], other: &[f64]) -> f64 {
    one.iter().zip(other).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max)
}

/// The middle of several values.
pub fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    let half = values.len() / 2;
    if values.len() % 2 == 1 {
        values[half]
    } else {
        0.5 * (values[half - 1] + values[half])
    }
}
