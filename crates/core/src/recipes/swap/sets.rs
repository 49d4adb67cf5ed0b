//! The sets of newcomers that a swap tries.

use super::question::SwapTrouble;

/// How many newcomers come in when nobody is named and nothing else is said.
const USUAL_AT_MOST: usize = 2;
/// Named newcomers up to which every combination is tried.
const NAMED_IN_ALL_COMBINATIONS: usize = 10;
/// Sets tried at most where more than pairs are asked for: some tenths of a second.
const MOST_SETS: f64 = 20_000.0;

/// Sets of newcomers, as numbers below `count`, the smaller first: every one up
/// to the size asked for; where nothing is asked and many are named, pairs and
/// all together.
///
/// # Errors
/// More sets than can all be tried; never a silent choice among them.
pub(super) fn sets(count: usize, by_rule: bool, at_most: Option<usize>) -> Result<Vec<Vec<usize>>, SwapTrouble> {
    let largest = match at_most {
        Some(at_most) => at_most.min(count),
        None if !by_rule && count <= NAMED_IN_ALL_COMBINATIONS => count,
        None => USUAL_AT_MOST.min(count),
    };
    if largest > USUAL_AT_MOST && sets_up_to(count, largest) > MOST_SETS {
        return Err(SwapTrouble::TooManySets {
            newcomers: count,
            at_most: largest,
        });
    }
    let mut sets: Vec<Vec<usize>> = vec![Vec::new()];
    let mut start = 0;
    for _ in 1..=largest {
        let end = sets.len();
        for index in start..end {
            let first = sets[index].last().map_or(0, |last| last + 1);
            for next in first..count {
                let mut set = sets[index].clone();
                set.push(next);
                sets.push(set);
            }
        }
        start = end;
    }
    if at_most.is_none() && !by_rule && largest < count {
        sets.push((0..count).collect());
    }
    Ok(sets)
}

/// How many sets of at most `largest` out of `count` there are.
fn sets_up_to(count: usize, largest: usize) -> f64 {
    let mut of_this_size = 1.0;
    let mut sum = of_this_size;
    for size in 1..=largest {
        of_this_size *= (count + 1 - size) as f64 / size as f64;
        sum += of_this_size;
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_set_up_to_the_size_asked_for() {
        let tried = |count, by_rule, at_most| sets(count, by_rule, at_most).map(|sets| sets.len());
        assert_eq!(tried(5, true, None), Ok(1 + 5 + 10));
        assert_eq!(tried(5, true, Some(3)), Ok(1 + 5 + 10 + 10));
        assert_eq!(tried(5, true, Some(0)), Ok(1));
        assert_eq!(tried(5, false, None), Ok(32));
        assert_eq!(tried(12, false, Some(3)), Ok(1 + 12 + 66 + 220));
        assert_eq!(tried(12, false, None), Ok(1 + 12 + 66 + 1), "pairs, and all together");
    }

    #[test]
    fn more_sets_than_can_be_tried_are_refused() {
        assert_eq!(
            sets(60, true, Some(3)),
            Err(SwapTrouble::TooManySets {
                newcomers: 60,
                at_most: 3
            })
        );
    }
}
