//! Advice against values worked outside, with numpy and scipy, from the same formulas:
//! `tests/data/learning.json`, to six digits.

use serde_json::Value;

use super::best::Goal;
use super::fit::Graded;
use super::lesson::{LadderQuestion, Learned, Lesson, Outcomes, Question, learn};
use super::logistic::Counted;
use super::next::NextTile;
use super::{SurfaceLesson, Why};

const SETS: &str = include_str!("../../../tests/data/learning.json");

fn sets(kind: &str) -> Vec<Value> {
    let all: Vec<Value> = serde_json::from_str(SETS).unwrap_or_else(|why| panic!("{why}"));
    let found: Vec<Value> = all.into_iter().filter(|set| set["kind"] == kind).collect();
    assert!(!found.is_empty());
    found
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

fn numbers(value: &Value) -> Vec<f64> {
    let list = value.as_array().unwrap_or_else(|| panic!("{value} is no list"));
    list.iter().map(number).collect()
}

fn rows(value: &Value) -> Vec<Vec<f64>> {
    let list = value.as_array().unwrap_or_else(|| panic!("{value} is no list"));
    list.iter().map(numbers).collect()
}

#[track_caller]
fn same(ours: f64, outside: &Value, what: &str) {
    let outside = number(outside);
    let off = (ours - outside).abs();
    assert!(off <= 6e-6 * outside.abs().max(1e-3), "{what}: {ours}, not {outside}");
}

#[track_caller]
fn same_shares(ours: &[f64], outside: &Value, what: &str) {
    for (one, other) in ours.iter().zip(numbers(outside)) {
        assert!((one - other).abs() < 2e-6, "{what}: {ours:?}, not {outside}");
    }
}

fn goal(value: &Value) -> Goal {
    match value.as_str() {
        Some("max") => Goal::Most,
        Some(_) => Goal::Least,
        None => Goal::Value(number(value)),
    }
}

fn surfaces(lesson: &Lesson) -> &SurfaceLesson {
    match &lesson.learned {
        Learned::Surfaces(lesson) => lesson,
        other => panic!("{other:?}"),
    }
}

fn same_next(next: &[NextTile], set: &Value, half_over_sd: f64) {
    let outside = set["next"].as_array().unwrap_or_else(|| panic!("{set}"));
    assert_eq!(next.len(), outside.len());
    for (ours, outside) in next.iter().zip(outside) {
        let what = format!("{} next", set["name"]);
        same_shares(&ours.shares, &outside["shares"], &what);
        same(ours.value, &outside["value"], &what);
        same(ours.gain, &outside["gain"], &what);
        if outside["sd"].is_number() {
            same((ours.high - ours.value) / half_over_sd, &outside["sd"], &what);
            let again = outside["why"] == "again";
            assert_eq!(ours.why, Some(if again { Why::Again } else { Why::New }), "{what}");
        }
    }
}

#[test]
fn graded_tiles_have_the_digits_worked_outside() {
    let band = 1.1 * 1.644_853_626_951_472_2;
    for set in sets("grades") {
        let what = set["name"].to_string();
        let shares = rows(&set["shares"]);
        let values = numbers(&set["values"]);
        let graded = shares.iter().cloned().zip(values);
        let tiles: Vec<Graded> = graded.map(|(shares, value)| Graded { shares, value }).collect();
        let question = Question {
            ends: shares[0].len(),
            model: None,
            goal: goal(&set["goal"]),
            next: set["next"].as_array().map_or(0, Vec::len),
            ladder: None,
        };
        let lesson = learn(&Outcomes::Grades(tiles), &question).unwrap_or_else(|why| panic!("{why:?}"));
        let (means, deviations) = (&set["mean"], &set["sd"]);
        for (place, point) in rows(&set["points"]).iter().enumerate() {
            let (value, wide) = lesson.value_at(point);
            let (_, high) = wide.unwrap_or_else(|| panic!("{what}"));
            same(value, &means[place], &what);
            same((high - value) / band, &deviations[place], &what);
            assert!((lesson.height_at(point) - value).abs() < 1e-9);
        }
        let learned = surfaces(&lesson);
        let flat = learned.flat_odds / 99.0;
        same(flat / (1.0 + flat), &set["flat_weight"], &what);
        same(learned.scatter.unwrap_or(0.0), &set["noise"], &what);
        let best = &set["best"];
        same_shares(&lesson.best.shares, &best["shares"], &what);
        same(lesson.best.value, &best["value"], &what);
        let (low, high) = lesson.best.band.unwrap_or_else(|| panic!("{what}"));
        same(low, &best["low"], &what);
        same(high, &best["high"], &what);
        match learned.beats_made {
            Some(beats) => same(beats, &best["beats_made"], &what),
            None => assert!(best["beats_made"].is_null()),
        }
        same_shares(&shares[lesson.best_made], &set["best_made"], &what);
        same_next(&lesson.next, &set, band);
    }
}

fn counted(set: &Value, shares: Vec<Vec<f64>>) -> Outcomes {
    let (yes, of) = (numbers(&set["yes"]), numbers(&set["of"]));
    let tiles = shares.into_iter().zip(yes).zip(of);
    Outcomes::Counts(tiles.map(|((shares, yes), of)| Counted { shares, yes, of }).collect())
}

#[test]
fn counts_have_the_digits_worked_outside() {
    for set in sets("counts") {
        let what = set["name"].to_string();
        let shares = rows(&set["shares"]);
        let question = Question {
            ends: shares[0].len(),
            model: None,
            goal: goal(&set["goal"]),
            next: set["next"].as_array().map_or(0, Vec::len),
            ladder: None,
        };
        let lesson = learn(&counted(&set, shares), &question).unwrap_or_else(|why| panic!("{why:?}"));
        let best = &set["best"];
        same_shares(&lesson.best.shares, &best["shares"], &what);
        same(lesson.best.value, &best["value"], &what);
        let (low, high) = lesson.best.band.unwrap_or_else(|| panic!("{what}"));
        same(low, &best["low"], &what);
        same(high, &best["high"], &what);
        same(surfaces(&lesson).under_tenth.unwrap_or(0.0), &best["holds"], &what);
        let odds = surfaces(&lesson).flat_odds * 0.05 / 0.95;
        same(odds / (1.0 + odds), &set["flat_weight"], &what);
        let (means, deviations) = (numbers(&set["mean_h"]), numbers(&set["sd_h"]));
        for (place, point) in rows(&set["points"]).iter().enumerate() {
            let (value, wide) = lesson.value_at(point);
            let (_, high) = wide.unwrap_or_else(|| panic!("{what}"));
            let outside = |h: f64| Value::from(glost_solve::normal::cumulative(h));
            same(value, &outside(means[place]), &what);
            same(
                high,
                &outside(means[place] + 1.644_853_626_951_472_2 * deviations[place]),
                &what,
            );
        }
        same_next(&lesson.next, &set, 1.0);
    }
}

#[test]
fn ladders_have_the_digits_worked_outside() {
    for set in sets("ladder") {
        let what = set["name"].to_string();
        let additions = numbers(&set["additions"]);
        let shares: Vec<Vec<f64>> = additions.iter().map(|x| vec![1.0 - x / 100.0, x / 100.0]).collect();
        let question = Question {
            ends: 2,
            model: None,
            goal: Goal::Least,
            next: 1,
            ladder: Some(LadderQuestion {
                lowering: 1,
                percent_at_foot: 0.0,
                percent_at_whole: 100.0,
                most_percent: 100.0,
                firings: numbers(&set["firing"]).iter().map(|firing| *firing as usize).collect(),
            }),
        };
        let lesson = learn(&counted(&set, shares.clone()), &question).unwrap_or_else(|why| panic!("{why:?}"));
        let Learned::Ladder(learned) = &lesson.learned else {
            panic!("{what}")
        };
        for (place, blend) in shares.iter().enumerate() {
            let outside = &set["fraction_at_tiles"][place];
            let (mean, band) = lesson.value_at(blend);
            let (low, high) = band.unwrap_or_else(|| panic!("{what}"));
            same(mean, &outside[0], &what);
            same(low, &outside[1], &what);
            same(high, &outside[2], &what);
            same(
                learned.ladder.holding(additions[place]),
                &set["holds_at_tiles"][place],
                &what,
            );
        }
        match &learned.least {
            Some(least) => {
                same(least.percent, &set["least"], &what);
                same(least.chance, &set["chance"], &what);
            }
            None => {
                assert!(set["least"].is_null());
                same(learned.top.chance, &set["chance"], &what);
            }
        }
        let next = &set["next"];
        same(learned.next_percent.unwrap_or(0.0), &next["addition"], &what);
        same(lesson.next[0].gain, &next["gain"], &what);
        let why = match next["why"].as_str() {
            Some("again") => Why::Again,
            Some("lowers") => Why::Lowers,
            Some("settles") => Why::Settles,
            _ => Why::Further,
        };
        assert_eq!(lesson.next[0].why, Some(why), "{what}");
    }
}
