//! Blends: tiles as shares of end glazes.

use std::sync::Arc;

use glost_chemistry::diagnostic::suggestion;
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

type Raised = Box<EvalAltResult>;

/// Shares may miss a sum of 1 by so much.
const SUM_TOLERANCE: f64 = 1e-9;
/// What a blend's table may hold.
const KEYS: [&str; 5] = ["ends", "tiles", "rows", "shape", "notes"];

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
        _ => return Err(stray("a plan has `tiles` or `rows`".to_owned())),
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
    let wrong = || stray("`ends` should be a list of glazes".to_owned());
    let list = value.read_lock::<Array>().ok_or_else(wrong)?;
    list.iter()
        .map(|item| {
            let glaze = item.read_lock::<GlazeValue>().ok_or_else(wrong)?;
            Ok(glaze.recipe().clone())
        })
        .collect()
}

fn notes(value: &Dynamic) -> Result<Vec<String>, Raised> {
    let wrong = || stray("`notes` should be a list of texts".to_owned());
    let list = value.read_lock::<Array>().ok_or_else(wrong)?;
    list.iter()
        .map(|item| {
            let text = item.read_lock::<ImmutableString>().ok_or_else(wrong)?;
            Ok(text.to_string())
        })
        .collect()
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
    let (code, shares) = match item.read_lock::<Map>() {
        None => (None, item.clone()),
        Some(table) => {
            let code = table
                .get("code")
                .and_then(|code| code.read_lock::<ImmutableString>().map(|code| code.to_string()));
            let shares = table.get("shares").cloned();
            (
                code,
                shares.ok_or_else(|| stray(format!("tile {place} has no `shares`")))?,
            )
        }
    };
    let list = shares
        .read_lock::<Array>()
        .ok_or_else(|| stray(format!("tile {place} is no list of shares")))?;
    let shares: Vec<f64> = list.iter().filter_map(number).collect();
    if shares.len() != list.len() || shares.len() != ends {
        return Err(stray(format!(
            "tile {place} needs {ends} numbers, one share for each end"
        )));
    }
    let total: f64 = shares.iter().sum();
    if shares.iter().any(|share| !share.is_finite() || *share < 0.0) || (total - 1.0).abs() > SUM_TOLERANCE {
        return Err(stray(format!(
            "the shares of tile {place} aren't parts of one whole: they sum to {total}"
        )));
    }
    Ok(TileShares { code, shares })
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
