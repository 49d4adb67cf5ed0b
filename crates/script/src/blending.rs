//! Blends: tiles as shares of end glazes.

use std::sync::Arc;

use glost_core::glaze::Glaze;
use rhai::{Array, Dynamic, EvalAltResult, ImmutableString, Map};

use crate::failure::ScriptFailure;
use crate::kind::Kind;
use crate::language::number;
use crate::running::{call, option_values};
use crate::scene::{Request, Scene};
use crate::script::Script;
use crate::sort::Sort;
use crate::trouble::Trouble;
use crate::values::GlazeValue;

/// Shares may miss a sum of 1 by so much.
const SUM_TOLERANCE: f64 = 1e-9;

/// One tile of a plan.
#[derive(Debug, Clone, PartialEq)]
pub struct TileShares {
    /// The code for its back, where the script gives one.
    pub code: Option<String>,
    /// Its share of each end, summing to 1.
    pub shares: Vec<f64>,
}

/// The tiles of a script's answer: lists of shares, or `#{ code:, shares: }`.
pub(crate) fn tiles(answer: &Dynamic, ends: usize) -> Result<Vec<TileShares>, Box<EvalAltResult>> {
    let list = answer.read_lock::<Array>().ok_or_else(|| {
        let found = Sort::words_for_type(answer.type_name());
        stray(format!("`blend` gives back a list of tiles, this is {found}"))
    })?;
    if list.is_empty() {
        return Err(stray("`blend` plans no tiles".to_owned()));
    }
    list.iter()
        .enumerate()
        .map(|(index, item)| tile(item, ends, index + 1))
        .collect()
}

fn stray(message: String) -> Box<EvalAltResult> {
    Trouble::new("stray-value", message)
        .help("each tile is its shares of the ends: `[[1, 0], [0.5, 0.5], [0, 1]]`")
        .raise()
}

fn tile(item: &Dynamic, ends: usize, place: usize) -> Result<TileShares, Box<EvalAltResult>> {
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
    /// The tiles that a blend script plans between these ends, in order.
    ///
    /// # Errors
    /// A script of another kind, options that can't be, a failure on the way.
    pub fn blend(
        self: &Arc<Script>,
        ends: &[Arc<Glaze>],
        request: Request,
        scene: &Arc<Scene>,
        settings: &[(String, String)],
    ) -> Result<Vec<TileShares>, ScriptFailure> {
        if self.about.kind != Kind::Blend {
            return Err(self.wrong_kind(self.about.kind, "blend"));
        }
        let option = option_values(self, settings)?;
        let values: Array = ends
            .iter()
            .map(|end| Dynamic::from(GlazeValue::new(end.clone(), scene)))
            .collect();
        let count = ends.len();
        call(self, scene, request, "blend", (values, option), |answer| {
            tiles(answer, count)
        })
        .map(|(tiles, _)| tiles)
    }
}
