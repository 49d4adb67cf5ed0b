//! Pairs of glazes that are near each other: every one against every other, in one call.

use glost_chemistry::distance::ChemistryDistance;
use glost_chemistry::oxides::OxideMoles;
use rhai::{Array, Dynamic, EvalAltResult, Map};

use crate::bounds;
use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;
use crate::trouble::trouble;

use super::GlazeValue;
use super::walked::WalkedValue;

type Raised = Box<EvalAltResult>;

/// Steps that one pair counts for.
const PAIR_STEPS: u64 = 4;
/// Pairs given back at most, the nearest: nobody reads more.
const MOST_PAIRS: usize = 1_000;

struct Pair {
    one: usize,
    other: usize,
    apart: f64,
}

/// The glazes of a list.
fn glazes_in(list: impl IntoIterator<Item = Dynamic>) -> Result<Vec<GlazeValue>, Raised> {
    let glazes = list.into_iter().map(Dynamic::try_cast::<GlazeValue>);
    let glazes: Option<Vec<_>> = glazes.collect();
    glazes.ok_or_else(|| trouble("wrong-kind", "`near_pairs` takes a list of glazes"))
}

fn near_pairs(list: impl IntoIterator<Item = Dynamic>, most: f64) -> Result<Array, Raised> {
    let values = glazes_in(list)?;
    bounds::charge_or_end(PAIR_STEPS * values.len() as u64)?;
    // A glaze of which nobody tells what is in it, or that has no flux, is near to none.
    let known = values.iter().enumerate().filter_map(|(place, glaze)| {
        let yardstick = glaze.yardstick().ok()?;
        Some((place, yardstick, &glaze.chemistry().ok()?.moles))
    });
    let known: Vec<(usize, ChemistryDistance, &OxideMoles)> = known.collect();
    let mut near = Vec::new();
    for (number, (one, from_one, moles)) in known.iter().enumerate() {
        bounds::charge_or_end(PAIR_STEPS * (known.len() - number) as u64)?;
        for (other, from_other, others) in &known[number + 1..] {
            // Either may be measured from: the nearer reading counts.
            let apart = from_one.distance(others).min(from_other.distance(moles));
            if apart <= most {
                let (one, other) = (*one, *other);
                near.push(Pair { one, other, apart });
            }
        }
    }
    near.sort_by(|a, b| a.apart.total_cmp(&b.apart));
    near.truncate(MOST_PAIRS);
    let table = |pair: Pair| {
        let mut table = Map::new();
        table.insert("one".into(), Dynamic::from(values[pair.one].clone()));
        table.insert("other".into(), Dynamic::from(values[pair.other].clone()));
        table.insert("apart".into(), pair.apart.into());
        Dynamic::from(table)
    };
    Ok(near.into_iter().map(table).collect())
}

pub(super) fn register(shelf: &mut Shelf) {
    let entry = Entry::function(
        "near_pairs",
        "glazes, most",
        Sort::List(&Sort::Table),
        "The pairs among some glazes that are no farther apart, each with `one`, `other` and `apart`, the nearest first; a thousand at most. One that nobody can compare, since its analysis or its fluxes are missing, is left out.",
    );
    shelf.add(
        entry.example("near_pairs([glaze, glaze], 2)"),
        |glazes: Array, most: f64| near_pairs(glazes, most),
    );
    shelf.also(|glazes: Array, most: i64| near_pairs(glazes, most as f64));
    shelf.also(|glazes: WalkedValue, most: f64| near_pairs(glazes, most));
    shelf.also(|glazes: WalkedValue, most: i64| near_pairs(glazes, most as f64));
}
