//! Pairs of glazes that are near each other: every one against every other, in one call.

use glost_chemistry::distance::ChemistryDistance;
use glost_chemistry::oxides::{Oxide, OxideMoles};
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

/// Oxides that most glazes differ in: of millions of pairs nearly all are told apart by these.
const OUTLINE: [Oxide; 6] = [
    Oxide::SiO2,
    Oxide::Al2O3,
    Oxide::CaO,
    Oxide::MgO,
    Oxide::K2O,
    Oxide::Na2O,
];

/// A glaze that others can be held against.
struct Known<'a> {
    place: usize,
    yardstick: ChemistryDistance,
    moles: &'a OxideMoles,
    /// Its moles of [`OUTLINE`].
    outline: [f64; OUTLINE.len()],
    /// What is wanted of them, and one over the tolerance, as its yardstick has it.
    wanted: [(f64, f64); OUTLINE.len()],
}

impl<'a> Known<'a> {
    fn of(place: usize, yardstick: ChemistryDistance, moles: &'a OxideMoles) -> Known<'a> {
        let wanted = OUTLINE.map(|oxide| {
            // An oxide without a row of its own tells nothing.
            let per_tolerance = yardstick.tolerance_moles(oxide).map_or(0.0, f64::recip);
            (yardstick.target().get(oxide) * per_tolerance, per_tolerance)
        });
        Known {
            place,
            outline: OUTLINE.map(|oxide| moles.get(oxide)),
            wanted,
            yardstick,
            moles,
        }
    }

    /// How far another is at least. The distance is the root of the sum of (s x r - t) squared
    /// over all rows at the scale s that makes it least; over a few of them at the scale that
    /// suits those it is never more: t.t - (r.t)^2 / r.r.
    fn least_to(&self, other: &Known<'_>) -> f64 {
        let (mut of_rows, mut of_both, mut of_wanted) = (0.0, 0.0, 0.0);
        for ((wanted, per_tolerance), moles) in self.wanted.iter().zip(&other.outline) {
            let row = moles * per_tolerance;
            of_rows += row * row;
            of_both += row * wanted;
            of_wanted += wanted * wanted;
        }
        let explained = if of_rows > 0.0 {
            of_both * of_both / of_rows
        } else {
            0.0
        };
        // Rounded off: nothing is called far by the last digit.
        (of_wanted - explained - ROUNDED_OFF * of_wanted).max(0.0).sqrt()
    }

    /// How far apart two are, where that isn't beyond `most`. Either may be measured from: the
    /// nearer reading counts.
    fn apart(&self, other: &Known<'_>, most: f64) -> Option<f64> {
        let from = |one: &Known<'_>, other: &Known<'_>| {
            (one.least_to(other) <= most).then(|| one.yardstick.distance(other.moles))
        };
        let (there, back) = (from(self, other), from(other, self));
        let apart = there.unwrap_or(f64::INFINITY).min(back.unwrap_or(f64::INFINITY));
        (apart <= most).then_some(apart)
    }
}

/// What sums of squares lose in their last digits, at the most.
const ROUNDED_OFF: f64 = 1e-12;

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
        Some(Known::of(place, yardstick, &glaze.chemistry().ok()?.moles))
    });
    let known: Vec<Known<'_>> = known.collect();
    let mut near = Vec::new();
    for (number, one) in known.iter().enumerate() {
        bounds::charge_or_end(PAIR_STEPS * (known.len() - number) as u64)?;
        for other in &known[number + 1..] {
            if let Some(apart) = one.apart(other, most) {
                let (one, other) = (one.place, other.place);
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

#[cfg(test)]
mod tests {
    use glost_chemistry::glaze::FluxList;

    use super::*;

    /// Whatever two glazes are, the few oxides never say more than all of them.
    #[test]
    fn a_few_oxides_never_part_what_is_near() {
        let mut random = 0x2545_F491_4F6C_DD1D_u64;
        let mut next = || {
            random ^= random << 13;
            random ^= random >> 7;
            random ^= random << 17;
            (random >> 11) as f64 / (1_u64 << 53) as f64
        };
        let fluxes = FluxList::default();
        let mut drawn = Vec::new();
        for _ in 0..60 {
            let each = Oxide::ALL.map(|oxide| (oxide, if next() < 0.5 { 0.0 } else { next() }));
            let of: OxideMoles =
                OxideMoles::worked_out([(Oxide::CaO, 0.3), (Oxide::SiO2, 3.0)].into_iter().chain(each));
            // And others that are hardly different.
            let near = Oxide::ALL.map(|oxide| (oxide, of.get(oxide) * (1.0 + 0.01 * next())));
            drawn.extend([of, OxideMoles::worked_out(near)]);
        }
        let known: Vec<Known<'_>> = drawn
            .iter()
            .map(|moles| Known::of(0, ChemistryDistance::new(moles, &fluxes), moles))
            .collect();
        let mut near = 0;
        for one in &known {
            for other in &known {
                let whole = one.yardstick.distance(other.moles);
                assert!(one.least_to(other) <= whole + 1e-9, "{} {whole}", one.least_to(other));
                for most in [0.5, 2.0, 10.0] {
                    let either = whole.min(other.yardstick.distance(one.moles));
                    assert_eq!(one.apart(other, most), (either <= most).then_some(either));
                    near += usize::from(either <= most);
                }
            }
        }
        assert!(near > 400, "{near}");
    }
}
