//! The tiles of saved plans.

use serde_json::Value;

use crate::diagnostic::{Diagnostic, Mark, Source};

/// The codes of the tiles of a plan file: `{"tiles": [{"code": "A1"}]}`.
///
/// # Errors
/// The text is no JSON, or holds no list of tiles.
pub fn tile_codes(source: &Source) -> Result<Vec<String>, Diagnostic> {
    let plan: Value = serde_json::from_str(&source.text).map_err(|error| {
        let mark = Mark {
            line: error.line().max(1),
            column: error.column().max(1),
        };
        Diagnostic::error("not-json", "this plan can't be read as JSON")
            .at(source, mark, 1)
            .help("save the plan again, or move the file away")
    })?;
    let tiles = plan.get("tiles").and_then(Value::as_array).ok_or_else(|| {
        Diagnostic::error("no-tiles", "this plan holds no list of tiles")
            .at(source, Mark { line: 1, column: 1 }, 1)
            .help("save the plan again, or move the file away")
    })?;
    let codes = tiles.iter().filter_map(|tile| tile.get("code").and_then(Value::as_str));
    Ok(codes.map(str::to_owned).collect())
}
