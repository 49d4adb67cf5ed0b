//! Points of the classic designs for mixtures, for scripts that plan tiles.

use glost_core::tiles::blend::{self, MOST_TILES, Shares};
use rhai::{Array, Dynamic, EvalAltResult};

use crate::bounds;
use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;
use crate::trouble::{Trouble, trouble};

use super::ranges::whole_of;

type Raised = Box<EvalAltResult>;

fn size(value: &Dynamic) -> Result<usize, Raised> {
    usize::try_from(whole_of(value)?).map_err(|_| trouble("wrong-value", "a design has no negative sizes"))
}

fn listed(points: Vec<Shares>) -> Array {
    let point = |shares: Shares| shares.into_iter().map(Dynamic::from).collect::<Array>();
    points.into_iter().map(|shares| Dynamic::from(point(shares))).collect()
}

fn charge(tiles: usize, ends: usize) -> Result<(), Raised> {
    if tiles * (ends + 1) > bounds::ITEMS_MOST {
        return Err(bounds::break_now(bounds::Bound::Items));
    }
    bounds::charge_or_end((tiles * ends) as u64)
}

fn too_many(what: String) -> Raised {
    Trouble::new("wrong-value", what)
        .help(format!("a plan has {MOST_TILES} tiles at most"))
        .raise()
}

pub(super) fn register(shelf: &mut Shelf) {
    const POINTS: Sort = Sort::List(&Sort::Any);
    shelf.add(
        Entry::function(
            "lattice",
            "ends, steps",
            POINTS,
            "Every mixture of so many ends whose shares are whole multiples of 1/steps, from the first end on: a simplex lattice.",
        )
        .example("lattice(2, 2) == [[1, 0], [0.5, 0.5], [0, 1]]"),
        |ends: Dynamic, steps: Dynamic| -> Result<Array, Raised> {
            let (ends, steps) = (size(&ends)?, size(&steps)?);
            let count = blend::lattice_size(ends, steps);
            charge(count.unwrap_or(0), ends)?;
            let points = blend::lattice(ends, steps);
            Ok(listed(points.ok_or_else(|| {
                too_many(format!("there is no plan of {ends} ends in {steps} steps a side"))
            })?))
        },
    );
    shelf.add(
        Entry::function(
            "centroids",
            "ends",
            POINTS,
            "Every set of so many ends in equal shares: single ends, pairs, up to all together.",
        )
        .example("centroids(2) == [[1, 0], [0, 1], [0.5, 0.5]]"),
        |ends: Dynamic| -> Result<Array, Raised> {
            let ends = size(&ends)?;
            let points =
                blend::centroid(ends).ok_or_else(|| too_many(format!("there are no centroids of {ends} ends")))?;
            charge(points.len(), ends)?;
            Ok(listed(points))
        },
    );
    shelf.add(
        Entry::function(
            "grid",
            "rows, columns",
            POINTS,
            "Rows of mixtures between four corners: the first top left, the second top right, the third bottom left, the fourth bottom right.",
        )
        .example("grid(2, 3)[0][1] == [0.5, 0.5, 0, 0]"),
        |rows: Dynamic, columns: Dynamic| -> Result<Array, Raised> {
            let (rows, columns) = (size(&rows)?, size(&columns)?);
            let points = blend::grid(rows, columns);
            let points = points.ok_or_else(|| too_many(format!("there is no grid of {rows} rows and {columns} columns")))?;
            charge(rows * columns, 5)?;
            Ok(points.into_iter().map(|row| Dynamic::from(listed(row))).collect())
        },
    );
}
