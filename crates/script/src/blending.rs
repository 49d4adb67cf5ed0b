//! Blends: tiles as shares of end glazes.

use std::sync::Arc;

use glost_chemistry::diagnostic::{did_you_mean, nearest, suggestion};
use glost_chemistry::glaze::Glaze;
use glost_core::tiles::blend::Shape;
use rhai::{Array, Dynamic, EvalAltResult, ImmutableString, Map};

use crate::failure::ScriptFailure;
use crate::kinds::Kind;
use crate::language::number;
use crate::running::{Asked, call, option_values};
use crate::scene::{Request, Scene};
use crate::script::Script;
use crate::sort::Sort;
use crate::trouble::Trouble;
use crate::values::GlazeValue;
use crate::wrong_kinds::counted;

type Raised = Box<EvalAltResult>;

/// Shares may miss a sum of 1 by so much.
const SUM_TOLERANCE: f64 = 1e-9;
/// What a blend's table may hold.
const KEYS: [&str; 5] = ["ends", "tiles", "rows", "shape", "notes"];

/// What a tile's table may hold.
const TILE_KEYS: [&str; 2] = ["code", "shares"];

/// One tile of a plan.
#[derive(Debug, Clone, PartialEq)]
pub struct TileShares {
    /// The code for its back, where the script gives one.
    pub code: Option<String>,
    /// Its share of each end, summing to 1.
    pub shares: Vec<f64>,
}

/// What a blend script plans.
#[derive(Debug, Clone)]
pub struct PlannedTiles {
    /// Ends that the script made itself; `None`: those of the call.
    pub ends: Option<Vec<Arc<Glaze>>>,
    /// The tiles, row by row.
    pub rows: Vec<Vec<TileShares>>,
    /// How they lie.
    pub shape: Shape,
    /// Sentences that go with the plan.
    pub notes: Vec<String>,
}

impl PlannedTiles {
    /// All tiles in reading order.
    pub fn tiles(&self) -> impl Iterator<Item = &TileShares> {
        self.rows.iter().flatten()
    }
}

/// The plan in a script's answer: a list of tiles, a list of rows of tiles, or
/// a table with `rows` or `tiles` and more.
pub(crate) fn planned(answer: &Dynamic, ends: usize) -> Result<PlannedTiles, Raised> {
    let Some(table) = answer.read_lock::<Map>() else {
        let rows = rows(answer, ends)?;
        return Ok(PlannedTiles {
            ends: None,
            shape: usual_shape(&rows, ends),
            rows,
            notes: Vec::new(),
        });
    };
    if let Some(odd) = table.keys().find(|key| !KEYS.contains(&key.as_str())) {
        return Err(Trouble::new("unknown-key", format!("a plan has no `{odd}`"))
            .maybe_help(suggestion(odd, KEYS))
            .raise());
    }
    let own_ends = table.get("ends").map(glazes).transpose()?;
    let count = own_ends.as_ref().map_or(ends, Vec::len);
    let rows = match (table.get("rows"), table.get("tiles")) {
        (Some(list), None) | (None, Some(list)) => rows(list, count)?,
        (Some(_), Some(_)) => return Err(stray("a plan has `tiles` or `rows`, not both".to_owned())),
        (None, None) => return Err(stray("a plan has `tiles` or `rows`, and here is neither".to_owned())),
    };
    let shape = match table.get("shape") {
        None => usual_shape(&rows, count),
        Some(word) => shape(&crate::language::in_text(word))?,
    };
    Ok(PlannedTiles {
        ends: own_ends,
        rows,
        shape,
        notes: table.get("notes").map(notes).transpose()?.unwrap_or_default(),
    })
}

fn usual_shape(rows: &[Vec<TileShares>], ends: usize) -> Shape {
    match (rows.len(), ends) {
        (1, ends) => Shape::usual(ends),
        (_, 3) => Shape::Triangle,
        _ => Shape::List,
    }
}

fn shape(word: &str) -> Result<Shape, Raised> {
    let words = Shape::ALL.map(Shape::word);
    Shape::from_word(word).ok_or_else(|| {
        Trouble::new("wrong-value", format!("no plan has the shape `{word}`"))
            .help(format!("it is one of {}", words.join(", ")))
            .maybe_help(suggestion(word, words))
            .raise()
    })
}

fn glazes(value: &Dynamic) -> Result<Vec<Arc<Glaze>>, Raised> {
    let list = value
        .read_lock::<Array>()
        .ok_or_else(|| isnt("`ends`", value, "a list of glazes"))?;
    list.iter()
        .enumerate()
        .map(|(index, item)| {
            let glaze = item
                .read_lock::<GlazeValue>()
                .ok_or_else(|| isnt(&nth("end", index), item, "a glaze"))?;
            Ok(glaze.recipe().clone())
        })
        .collect()
}

fn notes(value: &Dynamic) -> Result<Vec<String>, Raised> {
    let list = value
        .read_lock::<Array>()
        .ok_or_else(|| isnt("`notes`", value, "a list of texts"))?;
    list.iter()
        .enumerate()
        .map(|(index, item)| {
            let text = item
                .read_lock::<ImmutableString>()
                .ok_or_else(|| isnt(&nth("note", index), item, "a text"))?;
            Ok(text.to_string())
        })
        .collect()
}

/// `tile 2`, counted from 0.
fn nth(what: &str, index: usize) -> String {
    format!("{what} {}", index + 1)
}

/// `tile 2 is a number, not a list of shares`
fn isnt(what: &str, found: &Dynamic, wanted: &str) -> Raised {
    let found = Sort::words_for_type(found.type_name());
    stray(format!("{what} is {found}, not {wanted}"))
}

/// Rows of tiles; tiles without rows are one row.
fn rows(answer: &Dynamic, ends: usize) -> Result<Vec<Vec<TileShares>>, Raised> {
    let list = answer.read_lock::<Array>().ok_or_else(|| {
        let found = Sort::words_for_type(answer.type_name());
        stray(format!("`blend` gives back a list of tiles, this is {found}"))
    })?;
    if list.is_empty() {
        return Err(stray("`blend` plans no tiles".to_owned()));
    }
    let mut place = 0;
    let mut next = |item: &Dynamic| {
        place += 1;
        tile(item, ends, place)
    };
    if !list.iter().all(is_row) {
        return Ok(vec![list.iter().map(next).collect::<Result<_, _>>()?]);
    }
    list.iter()
        .map(|row| {
            // All of them are lists: that was looked at above.
            let row = row.read_lock::<Array>().map_or_else(Array::new, |row| row.clone());
            row.iter().map(&mut next).collect()
        })
        .collect()
}

/// A row holds tiles, a tile holds numbers.
fn is_row(item: &Dynamic) -> bool {
    item.read_lock::<Array>()
        .is_some_and(|row| !row.is_empty() && row.iter().all(|tile| tile.is_array() || tile.is_map()))
}

fn stray(message: String) -> Raised {
    Trouble::new("stray-value", message)
        .help("each tile is its shares of the ends: `[[1, 0], [0.5, 0.5], [0, 1]]`")
        .raise()
}

fn tile(item: &Dynamic, ends: usize, place: usize) -> Result<TileShares, Raised> {
    let tile = nth("tile", place - 1);
    let (code, given) = match item.read_lock::<Map>() {
        None => (None, item.clone()),
        Some(table) => coded(&table, place)?,
    };
    let list = given
        .read_lock::<Array>()
        .ok_or_else(|| isnt(&tile, &given, "a list of shares"))?;
    let share = |(index, item): (usize, &Dynamic)| {
        let which = format!("{} of {tile}", nth("share", index));
        match number(item) {
            None => Err(isnt(&which, item, "a number")),
            Some(share) if share < 0.0 => Err(no_shares(format!("{which} is negative: {share}"))),
            Some(share) => Ok(share),
        }
    };
    let shares = list.iter().enumerate().map(share).collect::<Result<Vec<f64>, _>>()?;
    if shares.len() != ends {
        return Err(stray(format!(
            "tile {place} has {}, and there are {}",
            counted(shares.len(), "share"),
            counted(ends, "end")
        )));
    }
    let total: f64 = shares.iter().sum();
    // What is no number isn't near 1 either.
    if (total - 1.0).abs() <= SUM_TOLERANCE {
        Ok(TileShares { code, shares })
    } else {
        Err(no_shares(format!(
            "the shares of tile {place} sum to {total}, not to 1"
        )))
    }
}

/// The code and the shares of a tile that is a table.
fn coded(table: &Map, place: usize) -> Result<(Option<String>, Dynamic), Raised> {
    if let Some(odd) = table.keys().find(|key| !TILE_KEYS.contains(&key.as_str())) {
        return Err(Trouble::new("unknown-key", format!("tile {place} has a `{odd}`"))
            .help("a tile is its shares, or `#{ code: \"A1\", shares: [1, 0] }`")
            .maybe_help(nearest(odd, TILE_KEYS).map(did_you_mean))
            .raise());
    }
    let code = match table.get("code").filter(|code| !code.is_unit()) {
        None => None,
        Some(code) => {
            let text = code.read_lock::<ImmutableString>().map(|code| code.to_string());
            Some(text.ok_or_else(|| isnt(&format!("the `code` of tile {place}"), code, "a text"))?)
        }
    };
    let shares = table.get("shares").cloned();
    let shares = shares.ok_or_else(|| stray(format!("tile {place} has no `shares`")))?;
    Ok((code, shares))
}

fn no_shares(message: String) -> Raised {
    Trouble::new("stray-value", message)
        .help("shares are 0 to 1 and sum to 1")
        .raise()
}

impl Script {
    /// The tiles that a blend script plans between these ends.
    ///
    /// # Errors
    /// A script of another kind, options that can't be, a failure on the way.
    pub fn blend(
        self: &Arc<Script>,
        ends: &[Arc<Glaze>],
        request: Request,
        scene: &Arc<Scene>,
        settings: &[(String, String)],
    ) -> Result<PlannedTiles, ScriptFailure> {
        if self.about.kind != Kind::BLEND {
            return Err(self.wrong_kind(self.about.kind, "blend"));
        }
        let option = option_values(self, settings)?;
        let values: Array = ends
            .iter()
            .map(|end| Dynamic::from(GlazeValue::new(end.clone(), scene)))
            .collect();
        let count = ends.len();
        let asked = Asked::that(request, &option);
        let read = |answer: &Dynamic| planned(answer, count);
        let (planned, left) = call(self, scene, asked, "blend", (values, option), read)?;
        scene.printed.keep(left.run.printed);
        Ok(planned)
    }
}
