//! Finding notes.

use glost_chemistry::diagnostic::of_typed;
use glost_chemistry::quantity::{Date, NumberTrouble, parse_number};
use glost_chemistry::read::{folded, same_name};

use super::note::Note;
use super::story::{Story, stories};

/// What is looked for; absent: anything. A story is found where one look at
/// the pieces fits all of it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Search {
    /// The glaze.
    pub glaze: Option<String>,
    /// Tiles of saved plans that are that glaze, as notes have them.
    pub tiles: Vec<String>,
    /// The glaze that lies over it.
    pub over: Option<String>,
    /// The clay.
    pub clay: Option<String>,
    /// The firing.
    pub firing: Option<String>,
    /// The cone.
    pub cone: Option<String>,
    /// The batch.
    pub batch: Option<String>,
    /// The tile's code, with its plan or without.
    pub tile: Option<String>,
    /// One line of the notebook.
    pub line: Option<usize>,
    /// A lot that the pieces were made of, whatever of.
    pub lot: Option<String>,
    /// A graded property.
    pub property: Option<PropertySearch>,
    /// On this day or later.
    pub since: Option<Date>,
    /// On this day or earlier.
    pub until: Option<Date>,
    /// Words of the free text, without case.
    pub text: Option<String>,
    /// Only pieces of which some crazed.
    pub crazed: bool,
    /// Only pieces of which some shivered.
    pub shivered: bool,
    /// Only pieces of which none had crazed or shivered at this age in days or later.
    pub held_days: Option<f64>,
    /// Only laboratory reports.
    pub lab: bool,
}

/// A property and the grades that fit.
#[derive(Debug, Clone, PartialEq)]
pub struct PropertySearch {
    /// What is graded.
    pub property: String,
    /// The least and the highest grade.
    pub between: (f64, f64),
}

impl PropertySearch {
    /// Reads `gloss`, `gloss >= 4`, `gloss <= 2`, `gloss = 3`.
    ///
    /// # Errors
    /// No property, or no grade after the sign.
    pub fn parse(text: &str) -> Result<PropertySearch, NumberTrouble> {
        let odd = || NumberTrouble {
            message: of_typed(text, "says no grade"),
            help: Some("write gloss, \"gloss >= 4\" or \"gloss <= 2\"".to_owned()),
        };
        let at = text.find(['<', '>', '=']).unwrap_or(text.len());
        let (property, bound) = text.split_at(at);
        let grade = |number: &str| parse_number(number).map(|number| number.value).map_err(|_| odd());
        let between = if bound.is_empty() {
            (f64::MIN, f64::MAX)
        } else if let Some(least) = bound.strip_prefix(">=") {
            (grade(least)?, f64::MAX)
        } else if let Some(most) = bound.strip_prefix("<=") {
            (f64::MIN, grade(most)?)
        } else if let Some(just) = bound.strip_prefix('=') {
            (grade(just)?, grade(just)?)
        } else {
            return Err(odd());
        };
        let property = folded(property);
        if property.is_empty() {
            return Err(odd());
        }
        Ok(PropertySearch { property, between })
    }

    fn fits(&self, note: &Note) -> bool {
        let (least, most) = self.between;
        note.grade(&self.property)
            .is_some_and(|grade| grade >= least && grade <= most)
    }
}

impl Search {
    /// The stories of these notes that fit.
    pub fn find<'a>(&self, notes: impl IntoIterator<Item = &'a Note>) -> Vec<Story<'a>> {
        self.find_by_lot(notes, Note::holds_lot)
    }

    /// As [`Search::find`], where somebody else says which notes are of the lot.
    pub fn find_by_lot<'a>(
        &self,
        notes: impl IntoIterator<Item = &'a Note>,
        mut holds_lot: impl FnMut(&'a Note, &str) -> bool,
    ) -> Vec<Story<'a>> {
        let mut found = stories(notes);
        let mut is_of_lot = |note: &'a Note| self.lot.as_deref().is_none_or(|lot| holds_lot(note, lot));
        found.retain(|story| {
            let mut looks = story.looks.iter().copied();
            self.fits_story(story) && looks.any(|note| self.fits(note) && is_of_lot(note))
        });
        found
    }

    fn fits(&self, note: &Note) -> bool {
        let same = |wanted: &Option<String>, is: &Option<String>| match (wanted, is) {
            (None, _) => true,
            (Some(wanted), Some(is)) => same_name(wanted, is),
            (Some(_), None) => false,
        };
        let says = |wanted: &Option<String>| {
            wanted.as_deref().is_none_or(|wanted| {
                let text = note.text.as_deref().unwrap_or_default();
                folded(text).contains(&folded(wanted))
            })
        };
        let is_tile = |tile: &String| self.tiles.iter().any(|own| same_name(own, tile));
        let lies_over = |wanted: &str| note.over().is_some_and(|over| same_name(over, wanted));
        let asked_alone = self.glaze.as_deref().filter(|_| self.over.is_none());
        (same(&self.glaze, &note.glaze)
            || asked_alone.is_some_and(lies_over)
            || note.tile.as_ref().is_some_and(is_tile))
            && self.over.as_deref().is_none_or(lies_over)
            && same(&self.clay, &note.clay)
            && (same(&self.firing, &note.firing) || same(&self.firing, &note.kiln_id().map(str::to_owned)))
            && same(&self.cone, &note.cone)
            && same(&self.batch, &note.batch)
            && self
                .tile
                .as_deref()
                .is_none_or(|tile| note.tile.as_deref().is_some_and(|own| names_tile(tile, own)))
            && self.line.is_none_or(|line| note.line == line)
            && self.property.as_ref().is_none_or(|property| property.fits(note))
            && self.since.is_none_or(|day| note.on >= day)
            && self.until.is_none_or(|day| note.on <= day)
            && says(&self.text)
            && (!self.lab || note.lab.is_some())
    }

    fn fits_story(&self, story: &Story<'_>) -> bool {
        let crazed = story.ever_crazed() || story.failed_tests().next().is_some();
        let held = |days: f64| {
            let looked = story.by_themselves().filter(|note| note.crazed.is_some());
            looked.filter_map(|note| note.age_days).any(|age| age >= days) && !crazed && !story.ever_shivered()
        };
        (!self.crazed || crazed) && (!self.shivered || story.ever_shivered()) && self.held_days.is_none_or(held)
    }
}

/// Whether a code, `A3` or `ladder/A3`, means this tile.
fn names_tile(code: &str, tile: &str) -> bool {
    let (code, tile) = (folded(code), folded(tile));
    let own_code = tile.rsplit_once('/').map_or(tile.as_str(), |(_, code)| code);
    code == tile || code == own_code
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::evidence::notes::Notes;
    use glost_chemistry::diagnostic::Source;

    const BOOK: &str = r#"{"on": "2026-01-10", "glaze": "white", "clay": "buff", "batch": "1", "age_days": 1, "pieces": 5, "crazed": 0, "grades": {"gloss": 4}}
{"on": "2026-07-10", "glaze": "white", "clay": "buff", "batch": "1", "age_days": 182, "pieces": 5, "crazed": 0, "text": "A pinhole"}
{"on": "2026-07-10", "glaze": "white", "clay": "red", "firing": "spring", "age_days": 1, "pieces": 5, "crazed": 3, "grades": {"gloss": 2}}
{"on": "2026-07-11", "tile": "A1", "text": "runs"}
"#;

    #[test]
    fn by_glaze_clay_firing_property_and_date() {
        let (notes, _) = Notes::read(&Source::from_text("n", BOOK));
        let first_lines = |search: Search| -> Vec<usize> {
            search
                .find(notes.standing())
                .iter()
                .map(|story| story.first().line)
                .collect()
        };
        let text = |text: &str| Some(text.to_owned());
        assert_eq!(first_lines(Search::default()), [1, 3, 4]);
        assert_eq!(
            first_lines(Search {
                glaze: text("White"),
                clay: text("BUFF"),
                ..Search::default()
            }),
            [1]
        );
        assert_eq!(
            first_lines(Search {
                firing: text("spring"),
                ..Search::default()
            }),
            [3]
        );
        assert_eq!(
            first_lines(Search {
                since: Date::new(2026, 7, 11),
                ..Search::default()
            }),
            [4]
        );
        assert_eq!(
            first_lines(Search {
                until: Date::new(2026, 1, 10),
                ..Search::default()
            }),
            [1]
        );
        assert_eq!(
            first_lines(Search {
                crazed: true,
                ..Search::default()
            }),
            [3]
        );
        assert_eq!(
            first_lines(Search {
                held_days: Some(180.0),
                ..Search::default()
            }),
            [1]
        );
        assert_eq!(
            first_lines(Search {
                held_days: Some(365.0),
                ..Search::default()
            }),
            Vec::<usize>::new()
        );
        assert_eq!(
            first_lines(Search {
                text: text("PINHOLE"),
                ..Search::default()
            }),
            [1]
        );
        for (said, lines) in [
            ("gloss", vec![1, 3]),
            ("Gloss >= 3", vec![1]),
            ("gloss<=2", vec![3]),
            ("gloss=4", vec![1]),
            ("matt", vec![]),
        ] {
            let property = PropertySearch::parse(said).ok();
            assert!(property.is_some(), "{said}");
            assert_eq!(
                first_lines(Search {
                    property,
                    ..Search::default()
                }),
                lines,
                "{said}"
            );
        }
        for wrong in ["", ">= 4", "gloss >= much", "gloss > 4"] {
            assert!(PropertySearch::parse(wrong).is_err(), "{wrong}");
        }
    }
}
