//! A plan as it was saved: what notes by tile code belong to.
//!
//! A saved plan is never changed: the tiles were made by it. Its file holds what
//! `glost blend` answers as JSON, with a name, the day and how it was called.

use serde_json::Value;

use glost_chemistry::diagnostic::{Diagnostic, Mark, Source, none_called, of_typed, suggestion};
use glost_chemistry::oxides::Oxide;
use glost_chemistry::quantity::Date;
use glost_chemistry::read::folded;

use crate::evidence::window::{LadderTile, Step, step_of_name};

use super::shape::Shape;

/// A tile of a saved plan.
#[derive(Debug, Clone, PartialEq)]
pub struct SavedTile {
    /// The code on its back.
    pub code: String,
    /// Its share of each end, in their order.
    pub shares: Vec<f64>,
    /// Its base: names and shares of 100.
    pub parts: Vec<(String, f64)>,
    /// Its additions: names and per cent of the base.
    pub additions: Vec<(String, f64)>,
    /// Its unity formula in moles; empty where an analysis was unknown.
    pub unity: Vec<(Oxide, f64)>,
}

/// A plan as it was saved.
#[derive(Debug, Clone, PartialEq)]
pub struct SavedPlan {
    /// Its name, which is its file's.
    pub name: String,
    /// The day it was made, where the file says.
    pub on: Option<Date>,
    /// The call that made it, as typed; empty where the file doesn't say.
    pub call: String,
    /// `line` or the name of a design.
    pub kind: String,
    /// Names of the ends.
    pub ends: Vec<String>,
    /// How its tiles lie.
    pub shape: Shape,
    /// Tiles in each row of its map; they sum to the number of tiles.
    pub rows: Vec<usize>,
    /// The tiles in reading order.
    pub tiles: Vec<SavedTile>,
    /// The clay it was planned for, where it was said.
    pub clay: Option<String>,
    /// The cone it was planned for, as text.
    pub cone: Option<String>,
    /// The firing it was planned for.
    pub firing: Option<String>,
}

impl SavedPlan {
    /// Reads a plan's file. `name` is the file's, without its ending.
    ///
    /// # Errors
    /// No JSON, no tiles, a tile without code or with shares that don't fit the
    /// ends, or a code that stands on two tiles.
    pub fn read(name: &str, source: &Source) -> Result<SavedPlan, Diagnostic> {
        let value: Value = serde_json::from_str(&source.text).map_err(|error| {
            let mark = Mark {
                line: error.line().max(1),
                column: error.column().max(1),
            };
            Diagnostic::error("not-json", "this plan can't be read as JSON")
                .at(source, mark, 1)
                .help("bring the file back from a copy, or move it away and save the plan again")
        })?;
        let start = Mark { line: 1, column: 1 };
        let wrong = |message: String| {
            Diagnostic::error("bad-plan", message)
                .at(source, start, 1)
                .help("bring the file back from a copy, or move it away and save the plan again")
        };
        let ends = texts(&value, "ends");
        let list = value.get("tiles").and_then(Value::as_array);
        let list = list.ok_or_else(|| wrong("this plan holds no list of `tiles`".to_owned()))?;
        let tiles: Vec<SavedTile> = list
            .iter()
            .enumerate()
            .map(|(index, tile)| {
                read_tile(tile).ok_or_else(|| wrong(format!("tile {} of this plan has no code", index + 1)))
            })
            .collect::<Result<_, _>>()?;
        for (index, tile) in tiles.iter().enumerate() {
            if tiles[..index].iter().any(|other| same_code(&other.code, &tile.code)) {
                return Err(wrong(format!("two tiles of this plan are called `{}`", tile.code)));
            }
            if tile.shares.len() != ends.len() {
                return Err(wrong(format!(
                    "tile `{}` has {} shares, the plan {} ends",
                    tile.code,
                    tile.shares.len(),
                    ends.len()
                )));
            }
        }
        let text = |key: &str| value.get(key).and_then(Value::as_str).map(str::to_owned);
        let rows = rows(&value, tiles.len());
        Ok(SavedPlan {
            name: name.to_owned(),
            on: text("on").and_then(|day| Date::parse(&day).ok()),
            call: text("call").unwrap_or_default(),
            kind: text("kind").unwrap_or_default(),
            shape: text("shape")
                .and_then(|word| Shape::from_word(&word))
                .unwrap_or(Shape::usual(ends.len())),
            rows,
            ends,
            tiles,
            clay: text("clay"),
            cone: text("cone"),
            firing: text("firing"),
        })
    }

    /// Its tiles as steps of one base with more and more of one material; empty where it is no
    /// such plan.
    pub fn ladder(&self) -> Vec<LadderTile> {
        let Some(first) = self.tiles.first() else {
            return Vec::new();
        };
        let Some(base) = self.ends.first() else {
            return Vec::new();
        };
        let Some(material) = self.material_that_moves() else {
            return Vec::new();
        };
        // The base's name: the first end may itself be a step.
        let (base, offset) = match step_of_name(base) {
            Some((base, step)) if folded(&step.material) == folded(&material) => (base, step.percent),
            _ => (base.as_str(), 0.0),
        };
        let amount = |tile: &SavedTile| {
            tile.additions
                .iter()
                .find(|(name, _)| *name == material)
                .map_or(0.0, |(_, percent)| *percent)
        };
        let least = amount(first) - offset;
        let tiles = self.tiles.iter().map(|tile| {
            // As the step is typed: what the sums leave behind the ninth place is none of it.
            let percent = ((amount(tile) - least) * 1e9).round() / 1e9;
            LadderTile {
                tile: self.whole_code(tile),
                base: base.to_owned(),
                step: (percent > 1e-9).then(|| Step {
                    material: material.clone(),
                    percent,
                }),
                materials: tile.parts.iter().map(|(name, _)| name.clone()).collect(),
                own: None,
            }
        });
        tiles.collect()
    }

    /// The one addition in which tiles of the same base differ, where all differ in that only.
    fn material_that_moves(&self) -> Option<String> {
        let first = self.tiles.first()?;
        let same = |one: f64, other: f64| (one - other).abs() <= 1e-9 * one.abs().max(1.0);
        let of = |list: &[(String, f64)], name: &str| {
            let found = list.iter().find(|(known, _)| known == name);
            found.map_or(0.0, |(_, amount)| *amount)
        };
        let same_base = |tile: &SavedTile| {
            tile.parts.len() == first.parts.len()
                && tile
                    .parts
                    .iter()
                    .all(|(name, amount)| same(*amount, of(&first.parts, name)))
        };
        if !self.tiles.iter().all(same_base) {
            return None;
        }
        let mut moving: Vec<&str> = Vec::new();
        for tile in &self.tiles {
            let both = tile.additions.iter().chain(&first.additions);
            for (name, _) in both {
                let differs = !same(of(&tile.additions, name), of(&first.additions, name));
                if differs && !moving.contains(&name.as_str()) {
                    moving.push(name);
                }
            }
        }
        match moving.as_slice() {
            [one] => Some((*one).to_owned()),
            _ => None,
        }
    }

    /// A tile's code as it is told from those of other plans: `PLAN/A1`.
    pub fn whole_code(&self, tile: &SavedTile) -> String {
        format!("{}/{}", self.name, tile.code)
    }

    /// The tile of a code, without case.
    pub fn tile(&self, code: &str) -> Option<&SavedTile> {
        self.tiles.iter().find(|tile| same_code(&tile.code, code))
    }
}

fn same_code(one: &str, other: &str) -> bool {
    folded(one) == folded(other)
}

fn texts(value: &Value, key: &str) -> Vec<String> {
    let list = value.get(key).and_then(Value::as_array);
    let texts = list.into_iter().flatten().filter_map(Value::as_str);
    texts.map(str::to_owned).collect()
}

/// The rows where they fit the tiles, else one row.
fn rows(value: &Value, tiles: usize) -> Vec<usize> {
    let list = value.get("rows").and_then(Value::as_array);
    let rows: Vec<usize> = list
        .into_iter()
        .flatten()
        .filter_map(|row| usize::try_from(row.as_u64()?).ok())
        .collect();
    let total = rows.iter().try_fold(0_usize, |sum, row| sum.checked_add(*row));
    if total == Some(tiles) && !rows.is_empty() {
        rows
    } else {
        vec![tiles]
    }
}

fn read_tile(tile: &Value) -> Option<SavedTile> {
    let code = tile.get("code")?.as_str()?.to_owned();
    let shares = tile.get("shares").and_then(Value::as_array);
    Some(SavedTile {
        shares: shares.into_iter().flatten().filter_map(Value::as_f64).collect(),
        parts: amounts(tile, "parts"),
        additions: amounts(tile, "additions"),
        unity: amounts(tile, "unity")
            .into_iter()
            .filter_map(|(name, moles)| Some((Oxide::from_formula(&name)?, moles)))
            .collect(),
        code,
    })
}

fn amounts(tile: &Value, key: &str) -> Vec<(String, f64)> {
    let map = tile.get(key).and_then(Value::as_object);
    map.into_iter()
        .flatten()
        .filter_map(|(name, amount)| Some((name.clone(), amount.as_f64()?)))
        .collect()
}

/// The tile that a note means: `A1` where only one plan holds it, else
/// `PLAN/A1`.
///
/// # Errors
/// No plan or tile of that name (with the nearest), or several plans with it.
pub fn find_tile<'a>(plans: &'a [SavedPlan], text: &str) -> Result<(&'a SavedPlan, &'a SavedTile), Diagnostic> {
    if let Some((plan_name, code)) = text.rsplit_once('/') {
        let plan = find_plan(plans, plan_name.trim())?;
        return plan.tile(code).map(|tile| (plan, tile)).ok_or_else(|| {
            let codes = plan.tiles.iter().map(|tile| tile.code.as_str());
            let near = suggestion(code, codes).unwrap_or_else(|| codes_words(plan));
            Diagnostic::error(
                "unknown-tile",
                format!("the plan `{}` has no tile `{}`", plan.name, code.trim()),
            )
            .help(near)
        });
    }
    let mut found = plans.iter().filter_map(|plan| Some((plan, plan.tile(text)?)));
    match (found.next(), found.next()) {
        (Some(one), None) => Ok(one),
        (Some((first, tile)), Some((second, _))) => {
            Err(
                Diagnostic::error("tile-in-many-plans", of_typed(&tile.code, "is a tile of several plans")).help(
                    format!("say which: {} or {}", first.whole_code(tile), second.whole_code(tile)),
                ),
            )
        }
        (None, _) => {
            let error = Diagnostic::error("unknown-tile", format!("no saved plan has a tile `{}`", text.trim()));
            Err(match plans {
                [plan] => error.help(codes_words(plan)),
                plans => with_plans(error, plans),
            })
        }
    }
}

fn codes_words(plan: &SavedPlan) -> String {
    match (plan.tiles.first(), plan.tiles.last()) {
        (Some(first), Some(last)) => format!("`{}` has {} to {}", plan.name, first.code, last.code),
        _ => of_typed(&plan.name, "has no tiles"),
    }
}

/// With the plans that there are, for who asked for another.
fn with_plans(error: Diagnostic, plans: &[SavedPlan]) -> Diagnostic {
    let names: Vec<&str> = plans.iter().map(|plan| plan.name.as_str()).collect();
    match names.as_slice() {
        [] => error.help("no plan is saved here: `glost blend ... --save NAME` saves one"),
        names => error.help(format!("plans here: {}", names.join(", "))),
    }
}

/// The plan of a name, without case.
///
/// # Errors
/// No plan of that name, with the nearest.
pub fn find_plan<'a>(plans: &'a [SavedPlan], name: &str) -> Result<&'a SavedPlan, Diagnostic> {
    let found = plans.iter().find(|plan| folded(&plan.name) == folded(name));
    found.ok_or_else(|| {
        let near = suggestion(name, plans.iter().map(|plan| plan.name.as_str()));
        let error = Diagnostic::error("unknown-plan", none_called("plan here", name));
        match near {
            Some(near) => error.help(near),
            None => with_plans(error, plans),
        }
    })
}

/// A plan's name as it may stand in a file's name and before the `/` of a tile.
///
/// # Errors
/// Empty, longer than 40 signs, or with signs other than letters, digits, blanks
/// and hyphens.
pub fn plan_name(text: &str) -> Result<&str, Diagnostic> {
    const MOST_SIGNS: usize = 40;
    let name = text.trim();
    let plain = |sign: char| sign.is_alphanumeric() || matches!(sign, '-' | ' ' | '_');
    let starts = name.chars().next().is_some_and(char::is_alphanumeric);
    if starts && name.chars().all(plain) && name.chars().count() <= MOST_SIGNS {
        return Ok(name);
    }
    Err(
        Diagnostic::error("bad-plan-name", format!("a plan can't be called `{text}`")).help(format!(
            "letters, digits, blanks and hyphens, {MOST_SIGNS} at most: such as \"copper iron rutile\""
        )),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plan(name: &str, text: &str) -> Result<SavedPlan, Diagnostic> {
        SavedPlan::read(name, &Source::from_text("plans/x.json", text))
    }

    const LINE: &str = r#"{"on": "2026-11-24", "kind": "line", "shape": "line", "rows": [2], "ends": ["a", "b"],
        "tiles": [{"code": "A1", "shares": [1, 0], "parts": {"silica": 100.0}, "unity": null},
                  {"code": "A2", "shares": [0, 1], "additions": {"rutile": 5.0}}]}"#;

    #[test]
    fn a_plan_comes_back() {
        let plan = plan("first", LINE).unwrap_or_else(|why| panic!("{why:?}"));
        assert_eq!((plan.rows.as_slice(), plan.shape), ([2].as_slice(), Shape::Line));
        assert_eq!(plan.on.map(|on| on.to_string()).as_deref(), Some("2026-11-24"));
        let tile = plan.tile("a2").map(|tile| tile.additions.clone());
        assert_eq!(tile, Some(vec![("rutile".to_owned(), 5.0)]));
    }

    #[test]
    fn a_code_is_enough_where_one_plan_has_it() {
        let read = |name: &str| plan(name, LINE).unwrap_or_else(|why| panic!("{why:?}"));
        let one = [read("first")];
        assert!(find_tile(&one, "A1").is_ok_and(|(plan, tile)| plan.name == "first" && tile.code == "A1"));
        let two = [read("first"), read("second")];
        assert_eq!(
            find_tile(&two, "A1").map_err(|why| why.code).err(),
            Some("tile-in-many-plans")
        );
        assert!(find_tile(&two, "second/a1").is_ok_and(|(plan, _)| plan.name == "second"));
        assert_eq!(
            find_tile(&two, "secnd/A1").map_err(|why| why.code).err(),
            Some("unknown-plan")
        );
        assert_eq!(
            find_tile(&two, "first/C1").map_err(|why| why.code).err(),
            Some("unknown-tile")
        );
    }

    #[test]
    fn a_torn_plan_is_no_plan() {
        for text in [
            "",
            "{",
            "[]",
            "{\"tiles\": [{}]}",
            "{\"tiles\": [{\"code\": \"A1\", \"shares\": [1]}]}",
        ] {
            assert!(plan("x", text).is_err(), "{text}");
        }
        assert!(plan_name("../x").is_err() && plan_name("").is_err() && plan_name("copper - iron 2").is_ok());
    }
}
