//! What was noted about the tiles of a saved plan.

use crate::evidence::notes::{Note, Notes};

use glost_chemistry::read::folded;

use super::saved::{SavedPlan, SavedTile, find_tile};

/// A tile with its notes.
#[derive(Debug, Clone)]
pub struct TileNotes<'a> {
    /// The tile.
    pub tile: &'a SavedTile,
    /// Its notes by day, those of one day by line; the last is the latest.
    pub notes: Vec<&'a Note>,
}

/// A saved plan with what was noted about it.
#[derive(Debug, Clone)]
pub struct PlanNotes<'a> {
    /// The plan.
    pub plan: &'a SavedPlan,
    /// Its tiles in reading order.
    pub tiles: Vec<TileNotes<'a>>,
    /// Lines of notes whose code stands in several plans and that don't say which.
    pub unclear: Vec<usize>,
}

impl TileNotes<'_> {
    /// The latest grade of a property, with its note.
    pub fn latest_grade(&self, property: &str) -> Option<(f64, &Note)> {
        self.notes
            .iter()
            .rev()
            .find_map(|note| Some((note.grade(property)?, *note)))
    }

    /// The look for crazing that tells most, with how many crazed: the latest that saw some, for
    /// crazes don't heal; else the latest. Looks after a torture test are evidence of their own.
    pub fn crazed(&self) -> Option<(u32, &Note)> {
        let looks = || {
            let by_itself = self.notes.iter().rev().filter(|note| note.test().is_none());
            by_itself.filter_map(|note| Some((note.crazed?, *note)))
        };
        looks().find(|(crazed, _)| *crazed > 0).or_else(|| looks().next())
    }

    /// The latest torture test that crazed some.
    pub fn failed_test(&self) -> Option<&str> {
        let failed = |note: &&&Note| note.crazed.is_some_and(|crazed| crazed > 0);
        self.notes.iter().rev().filter(failed).find_map(|note| note.test())
    }
}

impl PlanNotes<'_> {
    /// Properties that were graded, in order of their first note.
    pub fn properties(&self) -> Vec<&str> {
        let mut noted: Vec<&Note> = self.tiles.iter().flat_map(|tile| tile.notes.iter().copied()).collect();
        noted.sort_by_key(|note| note.line);
        let mut properties: Vec<&str> = Vec::new();
        for grade in noted.iter().flat_map(|note| &note.grades) {
            let name = grade.property.as_str();
            if !properties.iter().any(|known| known.eq_ignore_ascii_case(name)) {
                properties.push(name);
            }
        }
        properties
    }
}

/// The notes that stand about a plan's tiles. A bare code in several plans
/// belongs to the only one that was there on the note's day.
pub fn plan_notes<'a>(plans: &'a [SavedPlan], plan: &'a SavedPlan, notes: &'a Notes) -> PlanNotes<'a> {
    let mut tiles: Vec<TileNotes<'a>> = plan
        .tiles
        .iter()
        .map(|tile| TileNotes {
            tile,
            notes: Vec::new(),
        })
        .collect();
    let mut unclear = Vec::new();
    for note in notes.standing() {
        let Some(text) = &note.tile else { continue };
        match tile_meant(plans, text, note) {
            Some((whose, code)) if whose.name == plan.name => {
                let own = tiles.iter_mut().find(|known| known.tile.code == code.code);
                if let Some(own) = own {
                    own.notes.push(note);
                }
            }
            None if plan.tile(text).is_some() => unclear.push(note.line),
            _ => {}
        }
    }
    for tile in &mut tiles {
        tile.notes.sort_by_key(|note| (note.on, note.line));
    }
    PlanNotes { plan, tiles, unclear }
}

/// The lines of standing notes about tiles of a plan of this name, whether it is kept or not.
pub fn lines_of_plan(notes: &Notes, plan: &str) -> Vec<usize> {
    let of_it = |note: &&Note| {
        let named = note.tile.as_deref().and_then(|tile| tile.rsplit_once('/'));
        named.is_some_and(|(name, _)| folded(name) == folded(plan))
    };
    notes.standing().filter(of_it).map(|note| note.line).collect()
}

/// The tile that a note is about; `None` where no plan has it, or several that were there
/// on its day.
pub fn tile_meant<'a>(plans: &'a [SavedPlan], text: &str, note: &Note) -> Option<(&'a SavedPlan, &'a SavedTile)> {
    if let Ok(found) = find_tile(plans, text) {
        return Some(found);
    }
    let there = |plan: &&SavedPlan| plan.on.is_none_or(|on| on <= note.on);
    let mut then = plans
        .iter()
        .filter(there)
        .filter_map(|plan| Some((plan, plan.tile(text)?)));
    match (then.next(), then.next()) {
        (Some(one), None) => Some(one),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use glost_chemistry::diagnostic::Source;

    fn plan(name: &str, on: &str) -> SavedPlan {
        let text = format!(
            r#"{{"on": "{on}", "ends": ["a", "b"], "tiles": [{{"code": "A1", "shares": [1, 0]}}, {{"code": "A2", "shares": [0, 1]}}]}}"#
        );
        SavedPlan::read(name, &Source::from_text("plans/x.json", &text)).unwrap_or_else(|why| panic!("{why:?}"))
    }

    #[test]
    fn the_latest_of_two_notes_is_shown_and_both_are_kept() {
        let book = r#"{"on": "2026-11-24", "tile": "A1", "grades": {"gloss": 4}}
{"on": "2026-12-24", "tile": "first/a1", "grades": {"gloss": 2}}
{"on": "2026-12-24", "tile": "A1", "grades": {"gloss": 5}}
"#;
        let (notes, _) = Notes::read(&Source::from_text("notes.jsonl", book));
        let plans = [plan("first", "2026-11-01"), plan("second", "2026-12-01")];
        let told = plan_notes(&plans, &plans[0], &notes);
        assert_eq!(told.tiles[0].notes.len(), 2);
        assert_eq!(told.tiles[0].latest_grade("gloss").map(|found| found.0), Some(2.0));
        // On 24 December both plans have an A1: nobody knows which is meant.
        assert_eq!(told.unclear, [3]);
        assert_eq!(told.properties(), ["gloss"]);
    }

    #[test]
    fn crazes_do_not_heal_and_tests_are_told_apart() {
        let book = r#"{"on": "2026-11-24", "tile": "first/A1", "pieces": 5, "crazed": 2}
{"on": "2026-12-24", "tile": "first/A1", "pieces": 5, "crazed": 0}
{"on": "2026-12-24", "tile": "first/A2", "pieces": 3, "crazed": 3, "test": "boil and ice"}
{"on": "2026-11-24", "tile": "first/A2", "pieces": 5, "crazed": 0}
"#;
        let (notes, _) = Notes::read(&Source::from_text("notes.jsonl", book));
        let plans = [plan("first", "2026-11-01")];
        let told = plan_notes(&plans, &plans[0], &notes);
        let seen = |place: usize| told.tiles[place].crazed().map(|(crazed, note)| (crazed, note.line));
        assert_eq!((seen(0), seen(1)), (Some((2, 1)), Some((0, 4))));
        let failed = |place: usize| told.tiles[place].failed_test();
        assert_eq!((failed(0), failed(1)), (None, Some("boil and ice")));
    }
}
