//! What to look at again, and when.

use std::collections::HashMap;

use glost_chemistry::quantity::Date;
use glost_chemistry::read::folded;

use super::change::Change;
use super::note::Note;
use super::reading::Notes;
use super::standing::{RecipeStanding, TodaysRecipes};
use super::story::{Story, stories};
use super::versions::Versions;
use crate::line_id::id_of_text;

/// Ages in days at which pieces are looked at, until they craze.
pub const LOOK_AT_DAYS: [f64; 5] = [30.0, 180.0, 365.0, 730.0, 1095.0];
/// A look this much before its day counts for it.
const EARLY: f64 = 0.9;

/// Something to do.
#[derive(Debug, Clone, PartialEq)]
pub struct Due<'a> {
    /// The day.
    pub on: Date,
    /// What.
    pub task: Task<'a>,
}

/// What is to be done.
#[derive(Debug, Clone, PartialEq)]
pub enum Task<'a> {
    /// Look at pieces again.
    Look {
        /// The pieces.
        story: Story<'a>,
        /// The age in days at which to.
        at_days: f64,
        /// Whether their age is known; else it counts from the first note.
        age_known: bool,
    },
    /// A laboratory's report is about a recipe that is no more.
    Lab {
        /// The note of the report.
        note: &'a Note,
        /// What has changed since.
        changes: Vec<Change>,
    },
    /// A material is of a new lot since these glazes were last noted: tile it
    /// beside the old.
    NewLot {
        /// What has changed in them all; at least one.
        changes: Vec<Change>,
        /// The glazes, each with the version that was noted last.
        glazes: Vec<(String, String)>,
    },
}

impl Due<'_> {
    /// A name that this stays known by, from call to call and in every clone: the id of the
    /// first look at the pieces with the age, of the report, or of what changed.
    pub fn uid(&self) -> String {
        match &self.task {
            Task::Look { story, at_days, .. } => {
                let first = story.looks.iter().min_by_key(|note| (note.on, &note.id));
                let id = first.map_or_else(String::new, |note| name_of(note));
                format!("{id}-{at_days:.0}d")
            }
            Task::Lab { note, .. } => format!("{}-lab", note.id),
            Task::NewLot { changes, .. } => {
                let first = changes.first().map_or_else(String::new, |change| format!("{change:?}"));
                format!("{}-lot", id_of_text(&first))
            }
        }
    }
}

/// A note's id; of pieces that came from a kiln and that nobody noted yet, one made of what
/// tells them apart.
fn name_of(note: &Note) -> String {
    if !note.id.is_empty() {
        return note.id.clone();
    }
    let told = [
        note.kiln_id(),
        note.batch.as_deref(),
        note.tile.as_deref(),
        note.glaze.as_deref(),
    ];
    id_of_text(&format!("{told:?}"))
}

/// Everything due, by day; on one day in the order of the notebook. Notes of
/// later days than `on` don't count yet. `from_kilns`: pieces as they came from opened kilns,
/// looked at or not.
pub fn due<'a>(
    notes: &'a Notes,
    from_kilns: &'a [Note],
    versions: &Versions,
    recipes: &TodaysRecipes,
    on: Date,
) -> Vec<Due<'a>> {
    due_of(from_kilns.iter().chain(notes.standing()), versions, recipes, on)
}

/// As [`due`], of these notes alone.
pub fn due_of<'a>(
    notes: impl IntoIterator<Item = &'a Note>,
    versions: &Versions,
    recipes: &TodaysRecipes,
    on: Date,
) -> Vec<Due<'a>> {
    let known: Vec<&Note> = notes.into_iter().filter(|note| note.on <= on).collect();
    let mut list: Vec<Due<'a>> = stories(known.iter().copied())
        .into_iter()
        .filter_map(next_look)
        .collect();
    list.extend(reports(&known, versions, recipes, on));
    list.extend(new_lots(&known, versions, recipes, on));
    list.sort_by_key(|due| due.on);
    list
}

/// When these pieces are to be looked at next; `None` where nothing is counted
/// on them, some have crazed by themselves, all went through a torture test, or three years are
/// over.
pub fn next_look(story: Story<'_>) -> Option<Due<'_>> {
    let pieces = story
        .looks
        .iter()
        .any(|note| note.pieces.is_some() || note.tile.is_some());
    if !pieces || story.ever_crazed() || story.all_tortured() {
        return None;
    }
    let fired = story.looks.iter().filter_map(|note| note.fired_on()).min();
    let day = fired.or_else(|| story.looks.iter().map(|note| note.on).min())?;
    let looked = story.by_themselves().filter(|note| note.crazed.is_some());
    let oldest = looked
        .map(|note| note.age_days.unwrap_or(note.on.days_since(day) as f64))
        .fold(-1.0, f64::max);
    let at_days = LOOK_AT_DAYS.into_iter().find(|days| oldest < EARLY * days)?;
    Some(Due {
        on: day.plus_days(at_days as i64),
        task: Task::Look {
            story,
            at_days,
            age_known: fired.is_some(),
        },
    })
}

/// Of each glaze the last report, where its recipe has changed since.
fn reports<'a>(known: &[&'a Note], versions: &Versions, recipes: &TodaysRecipes, on: Date) -> Vec<Due<'a>> {
    let last = last_of_each(known.iter().copied().filter(|note| note.lab.is_some()));
    last.into_iter()
        .filter_map(|note| match recipes.standing(note, versions) {
            RecipeStanding::Older(changes) => Some(Due {
                on,
                task: Task::Lab { note, changes },
            }),
            _ => None,
        })
        .collect()
}

/// A glaze's name with its version.
type NameAndVersion = (String, String);

/// Lots and analyses that changed since a glaze was last noted, each with its glazes.
fn new_lots<'a>(known: &[&'a Note], versions: &Versions, recipes: &TodaysRecipes, on: Date) -> Vec<Due<'a>> {
    let mut found: Vec<(Vec<Change>, Vec<NameAndVersion>)> = Vec::new();
    for note in last_of_each(known.iter().copied().filter(|note| note.version.is_some())) {
        let RecipeStanding::Older(changes) = recipes.standing(note, versions) else {
            continue;
        };
        let glaze = (
            note.glaze.clone().unwrap_or_default(),
            note.version.clone().unwrap_or_default(),
        );
        for change in changes.into_iter().filter(Change::is_of_a_lot) {
            match found.iter_mut().find(|known| known.0[0] == change) {
                Some((_, glazes)) => glazes.push(glaze.clone()),
                None => found.push((vec![change], vec![glaze.clone()])),
            }
        }
    }
    // What changed in the same glazes is one thing to tile.
    let mut together: Vec<(Vec<Change>, Vec<NameAndVersion>)> = Vec::new();
    for (changes, glazes) in found {
        match together.iter_mut().find(|known| known.1 == glazes) {
            Some((known, _)) => known.extend(changes),
            None => together.push((changes, glazes)),
        }
    }
    let tasks = together
        .into_iter()
        .map(|(changes, glazes)| Task::NewLot { changes, glazes });
    tasks.map(|task| Due { on, task }).collect()
}

/// The last note of each glaze.
fn last_of_each<'a>(notes: impl Iterator<Item = &'a Note>) -> Vec<&'a Note> {
    let mut last: Vec<&Note> = Vec::new();
    // Names are mostly written alike: they are folded once for each way of writing them.
    let mut places: HashMap<Option<&str>, usize> = HashMap::new();
    let mut of_names: HashMap<Option<String>, usize> = HashMap::new();
    for note in notes {
        let name = note.glaze.as_deref();
        let place = *places
            .entry(name)
            .or_insert_with(|| *of_names.entry(name.map(folded)).or_insert(last.len()));
        match last.get_mut(place) {
            Some(known) if (known.on, known.line) <= (note.on, note.line) => *known = note,
            Some(_) => {}
            None => last.push(note),
        }
    }
    last
}

#[cfg(test)]
mod tests {
    use super::*;
    use glost_chemistry::diagnostic::Source;

    fn looks(book: &str, on: &str) -> Vec<(String, usize)> {
        let (notes, complaints) = Notes::read(&Source::from_text("n", book));
        assert_eq!(complaints, []);
        let on = Date::parse(on).unwrap_or_else(|why| panic!("{why:?}"));
        due(&notes, &[], &Versions::default(), &TodaysRecipes::default(), on)
            .into_iter()
            .map(|due| match due.task {
                Task::Look { story, .. } => (due.on.to_string(), story.latest().line),
                other => panic!("{other:?}"),
            })
            .collect()
    }

    fn note(on: &str, age: f64, crazed: u32) -> String {
        format!(
            "{{\"on\": \"{on}\", \"glaze\": \"A\", \"batch\": \"1\", \"age_days\": {age}, \"pieces\": 5, \"crazed\": {crazed}}}\n"
        )
    }

    #[test]
    fn thirty_days_half_a_year_and_each_year_to_three() {
        let mut book = note("2026-01-01", 0.0, 0);
        let mut days = vec![looks(&book, "2026-01-02")[0].0.clone()];
        // 28 days count as 30, 170 as 180.
        for (on, age) in [
            ("2026-01-29", 28.0),
            ("2026-06-20", 170.0),
            ("2027-01-01", 365.0),
            ("2028-01-01", 730.0),
        ] {
            book += &note(on, age, 0);
            days.push(looks(&book, on)[0].0.clone());
        }
        assert_eq!(
            days,
            ["2026-01-31", "2026-06-30", "2027-01-01", "2028-01-01", "2028-12-31"]
        );
        book += &note("2028-12-31", 1095.0, 0);
        assert_eq!(looks(&book, "2029-01-01"), []);
    }

    #[test]
    fn what_crazed_is_not_asked_for_again() {
        let book = note("2026-01-01", 0.0, 0) + &note("2026-01-31", 30.0, 1);
        assert_eq!(looks(&book, "2026-02-01"), []);
        // Seen from before the second look it is still to do.
        assert_eq!(looks(&book, "2026-01-30"), [("2026-01-31".to_owned(), 1)]);
    }

    #[test]
    fn boiled_pieces_are_not_asked_for_again_but_those_left_are() {
        let boiled = |pieces: u32| {
            note("2026-01-01", 0.0, 0).replace(
                "\"pieces\": 5",
                &format!("\"pieces\": {pieces}, \"test\": \"boil and ice\""),
            )
        };
        assert_eq!(looks(&boiled(5), "2026-02-01"), []);
        let fresh = note("2026-01-01", 0.0, 0);
        assert_eq!(looks(&(fresh.clone() + &boiled(5)), "2026-02-01"), []);
        assert_eq!(looks(&(fresh + &boiled(2)), "2026-02-01").len(), 1);
    }

    #[test]
    fn pieces_never_looked_at_for_crazing_and_ages_nobody_says() {
        let book = "{\"on\": \"2026-01-01\", \"tile\": \"A1\", \"age_days\": 400, \"grades\": {\"gloss\": 4}}
{\"on\": \"2026-01-01\", \"glaze\": \"A\", \"pieces\": 5, \"crazed\": 0}
{\"on\": \"2026-01-01\", \"glaze\": \"A\", \"text\": \"smells\"}
";
        assert_eq!(
            looks(book, "2026-01-01"),
            [("2024-12-27".to_owned(), 1), ("2026-01-31".to_owned(), 2)]
        );
    }
}
