//! Notes found, looks at the same pieces as one story.

use std::collections::HashSet;
use std::sync::Arc;

use crate::note::parse_age;
use glost_chemistry::diagnostic::{Diagnostic, suggestion};
use glost_chemistry::glaze::Glaze;
use glost_chemistry::quantity::{Date, NumberTrouble};
use glost_chemistry::read::{folded, same_name};
use glost_core::evidence::notes::{
    Note, Notes, PropertySearch, RecipeStanding, Search, Standings, Story, VersionLots, Void,
};
use glost_core::evidence::window::{LadderTile, step_of_name};
use glost_core::tiles::blend::SavedPlan;
use glost_studio::FoundGlaze;
use serde::ser::SerializeMap;
use serde::{Serialize, Serializer};

use crate::notebook::{Book, taken_from};
use crate::pieces::known_firings;
use crate::wire::{NoteJson, standing_word, unread};
use crate::{Desk, Failure, Said, Words};

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// What is looked for; names as typed.
    pub search: Search,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        let cone = words.text("cone").map(str::to_lowercase);
        Ok(Question {
            search: Search {
                glaze: words.owned("glaze"),
                over: words.owned("over"),
                tiles: Vec::new(),
                clay: words.owned("clay"),
                firing: words.owned("firing"),
                cone: cone.map(|cone| cone.trim_start_matches("cone").trim().to_owned()),
                batch: words.owned("batch"),
                tile: words.owned("tile"),
                lot: words.owned("lot"),
                property: words.read("property", PropertySearch::parse)?,
                since: words.read("since", |text| day(text, Edge::First))?,
                until: words.read("until", |text| day(text, Edge::Last))?,
                line: None,
                text: words.owned("text"),
                crazed: words.flag("crazed"),
                shivered: words.flag("shivered"),
                held_days: words.read("held", |age| parse_age(age, false))?,
                lab: words.flag("lab"),
            },
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let book = Book::open(desk, desk.today()?)?;
        let search = match self.one_note(&book.notes, desk) {
            Some(one) => one,
            None => with_known_names(self.search.clone(), &book.notes, desk)?,
        };
        let mut lots = VersionLots::of(&book.versions);
        if let Some(lot) = &search.lot {
            known_lot(lot, &book.notes, &mut lots, desk)?;
        }
        let found = search.find_by_lot(book.notes.standing(), |note, lot| lots.hold(note, lot));
        let summary = Summary::of(&found);
        let mut standings = Standings::of(&book.recipes, &book.versions);
        let told: Vec<Outline> = found.iter().map(|story| Outline::of(story, &mut standings)).collect();
        let void = book.notes.voids().iter().filter(|void| void.counts);
        let taken_back = void.cloned().collect();
        let standing = book.notes.standing().count();
        // The looks are moved, not copied: a notebook of years is held once.
        let mut stories = filled(told, book.notes.into_all());
        if search.lot.is_some() {
            let looks = stories.iter_mut().flat_map(|told| &mut told.looks);
            looks.for_each(|note| lots.fill(note));
        }
        if let Some(line) = search.line {
            stories.iter_mut().for_each(|told| told.only(line));
        }
        Ok(Answer {
            summary,
            stories,
            taken_back,
            unread: book.unread,
            noted: standing,
            search,
        })
    }
}

/// A story before its looks are put into it.
struct Outline {
    lines: Vec<usize>,
    standings: Vec<RecipeStanding>,
    contradictions: Vec<Said>,
}

impl Outline {
    fn of<'a>(story: &Story<'a>, standings: &mut Standings<'a>) -> Outline {
        Outline {
            lines: story.looks.iter().map(|note| note.line).collect(),
            standings: story
                .looks
                .iter()
                .map(|note| standings.standing(note).clone())
                .collect(),
            contradictions: story.contradictions().iter().map(Said::from).collect(),
        }
    }
}

/// The stories with their looks; each look is in one.
fn filled(told: Vec<Outline>, mut notes: Vec<Note>) -> Vec<Told> {
    let stories = told.into_iter().map(|outline| Told {
        looks: outline
            .lines
            .iter()
            .filter_map(|line| taken_from(&mut notes, *line))
            .collect(),
        standings: outline.standings,
        contradictions: outline.contradictions,
    });
    stories.collect()
}

impl Question {
    /// The one note that is meant by its line or its id, where no glaze has that name.
    fn one_note(&self, notes: &Notes, desk: &Desk) -> Option<Search> {
        let wanted = self.search.glaze.as_deref()?.trim();
        let line = wanted.parse::<usize>().ok();
        let note = notes
            .all()
            .iter()
            .find(|note| Some(note.line) == line || same_name(&note.id, wanted))?;
        let is_glaze = desk.workplace().look_for_glaze(wanted).is_ok();
        (!is_glaze).then(|| Search {
            line: Some(note.line),
            ..Search::default()
        })
    }
}

/// Which day of a month is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Edge {
    First,
    Last,
}

/// A day; of a month, `2026-03`, or a year its first or its last.
fn day(text: &str, edge: Edge) -> Result<Date, NumberTrouble> {
    let numbers: Vec<&str> = text.trim().split('-').collect();
    let number = |text: &str| text.parse::<u8>().ok();
    let (year, month) = match numbers.as_slice() {
        [year] => (year, None),
        [year, month] => (year, number(month)),
        _ => return Date::parse(text),
    };
    let Some(year) = year.parse().ok().filter(|_| year.len() == 4) else {
        return Date::parse(text);
    };
    let found = match edge {
        Edge::First => Date::new(year, month.unwrap_or(1), 1),
        Edge::Last => (28..=31)
            .rev()
            .find_map(|day| Date::new(year, month.unwrap_or(12), day)),
    };
    found
        .filter(|_| numbers.len() == 1 || month.is_some())
        .map_or_else(|| Date::parse(text), Ok)
}

/// A lot that no note has must at least be one that was booked, or stands on a material's sheet.
fn known_lot(lot: &str, notes: &Notes, lots: &mut VersionLots<'_>, desk: &Desk) -> Result<(), Diagnostic> {
    if notes.standing().any(|note| lots.hold(note, lot)) {
        return Ok(());
    }
    let open = desk.workplace().library().iter().flat_map(|material| {
        let open = material.open_lots.iter().map(|open| open.lot.clone());
        open.chain(material.lot.clone()).collect::<Vec<_>>()
    });
    let read = desk.workplace().batch_book().and_then(|book| book.read().ok());
    let booked = read.into_iter().flat_map(|read| read.journal.batches);
    let booked = booked.flat_map(|batch| batch.booking.lines).filter_map(|line| line.lot);
    let noted: HashSet<String> = notes
        .standing()
        .flat_map(|note| lots.lots(note).iter().map(|(_, lot)| lot.clone()).collect::<Vec<_>>())
        .collect();
    let mut known: Vec<String> = open.chain(booked).chain(noted).filter(|lot| !lot.is_empty()).collect();
    known.sort();
    known.dedup();
    if known.iter().any(|other| folded(other) == folded(lot)) {
        return Ok(());
    }
    let error = Diagnostic::error("unknown-lot", format!("nothing here is of lot {lot}"));
    Err(error.maybe_help(suggestion(lot, known.iter().map(String::as_str))))
}

/// A name that no note has must at least be that of a glaze, or of a clay.
fn with_known_names(mut search: Search, notes: &Notes, desk: &Desk) -> Result<Search, Failure> {
    let noted = |wanted: &str, of: fn(&Note) -> &Option<String>| {
        let mut names = notes.all().iter().filter_map(|note| of(note).as_deref());
        names.any(|name| same_name(name, wanted))
    };
    if let Some((over, under)) = search.glaze.as_deref().and_then(|name| desk.two_glazes(name)) {
        (search.over, search.glaze) = (Some(over), Some(under));
    }
    if let Some(name) = search.over.take() {
        let noted = notes
            .all()
            .iter()
            .filter_map(Note::over)
            .any(|over| same_name(over, &name));
        search.over = Some(match desk.workplace().look_for_glaze(&name) {
            Ok(found) => found.glaze.name,
            Err(_) if noted => name,
            Err(nothing) => return Err(nothing.complaints.into()),
        });
    }
    if let Some(name) = search.glaze.take() {
        let found = desk.workplace().look_for_glaze(&name);
        search.glaze = Some(match found {
            Ok(found) => {
                search.tiles = tiles_that_are(&found, desk);
                found.glaze.name
            }
            Err(_) if noted(&name, |note| &note.glaze) => name,
            Err(nothing) => return Err(nothing.complaints.into()),
        });
    }
    if let Some(name) = &search.clay
        && !noted(name, |note| &note.clay)
    {
        search.clay = Some(desk.workplace().clay(name)?.clay.name);
    }
    if let Some(text) = &search.firing {
        let (recipes, _) = desk.workplace().all_recipes();
        let glazes: Vec<Arc<Glaze>> = recipes.into_iter().map(|recipe| recipe.glaze).collect();
        known_firings(desk, notes, &glazes)?.asked(text)?;
    }
    Ok(search)
}

/// The tiles of saved plans that are this glaze, as notes have them.
pub(crate) fn tiles_that_are(found: &FoundGlaze, desk: &Desk) -> Vec<String> {
    if let Some(tile) = &found.tile {
        return vec![tile.clone()];
    }
    let Some((base, step)) = step_of_name(&found.glaze.name) else {
        return Vec::new();
    };
    let same = |tile: &LadderTile| {
        folded(&tile.base) == folded(base)
            && tile
                .step
                .as_ref()
                .is_some_and(|own| folded(&own.material) == folded(&step.material) && own.percent == step.percent)
    };
    // Whoever asks for plans is told which can't be read.
    let (plans, _) = desk.workplace().plans();
    let tiles = plans.iter().flat_map(SavedPlan::ladder);
    tiles.filter(same).map(|tile| tile.tile).collect()
}

/// Notes that were looked for.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The stories found, in the order of their first lines.
    pub stories: Vec<Told>,
    /// All of them in a few numbers.
    pub summary: Summary,
    /// The lines that take others back and count.
    pub taken_back: Vec<Void>,
    /// Complaints about the notebook's lines.
    pub unread: Vec<Diagnostic>,
    /// How many notes stand in the whole notebook.
    pub noted: usize,
    /// What was looked for.
    pub search: Search,
}

/// Looks at the same pieces.
#[derive(Debug, Clone)]
pub struct Told {
    /// The looks by age, at least one.
    pub looks: Vec<Note>,
    /// What each look's recipe is to today's.
    pub standings: Vec<RecipeStanding>,
    /// What in them can't all be true.
    pub contradictions: Vec<Said>,
}

impl Told {
    /// Leaves the look of one line alone.
    fn only(&mut self, line: usize) {
        let kept = self.looks.iter().map(|look| look.line == line).collect::<Vec<_>>();
        let mut keep = kept.iter();
        self.looks.retain(|_| keep.next() == Some(&true));
        let mut keep = kept.iter();
        self.standings.retain(|_| keep.next() == Some(&true));
    }
}

/// Several stories in a few numbers.
#[derive(Debug, Clone, PartialEq)]
pub struct Summary {
    /// How many looks.
    pub looks: usize,
    /// Pieces crazed, of those counted for it.
    pub crazed: (u32, u32),
    /// Pieces shivered, of those counted for it.
    pub shivered: (u32, u32),
    /// The greatest age in days at which pieces had held that never crazed.
    pub held_days: Option<f64>,
}

impl Summary {
    fn of(stories: &[Story<'_>]) -> Summary {
        let sum = |of: fn(&Story<'_>) -> Option<(u32, u32)>| {
            let pairs = stories.iter().filter_map(of);
            pairs.fold((0u32, 0u32), |sum, (some, pieces)| {
                (sum.0.saturating_add(some), sum.1.saturating_add(pieces))
            })
        };
        let failed = |story: &Story<'_>| story.ever_crazed() || story.failed_tests().next().is_some();
        let held = stories
            .iter()
            .filter(|story| !failed(story) && story.crazed().is_some());
        Summary {
            looks: stories.iter().map(|story| story.looks.len()).sum(),
            crazed: sum(|story| story.crazed()),
            shivered: sum(|story| story.shivered()),
            held_days: held
                .filter_map(|story| story.by_themselves().last()?.age_days)
                .max_by(f64::total_cmp),
        }
    }
}

struct LookJson<'a> {
    note: NoteJson<'a>,
    recipe: Option<&'static str>,
}

impl Serialize for LookJson<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let mut map = to.serialize_map(None)?;
        self.note.entries(&mut map, Some("recipe"))?;
        map.serialize_entry("recipe", &self.recipe)?;
        map.end()
    }
}

impl schemars::JsonSchema for LookJson<'_> {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "LookJson".into()
    }

    fn json_schema(all: &mut schemars::SchemaGenerator) -> schemars::Schema {
        NoteJson::json_schema(all)
    }
}

#[derive(Serialize, schemars::JsonSchema)]
struct StoryJson<'a> {
    lines: Vec<usize>,
    contradictions: &'a [Said],
}

#[derive(Serialize, schemars::JsonSchema)]
struct VoidJson<'a> {
    line: usize,
    by: usize,
    text: Option<&'a str>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    notes: Vec<LookJson<'a>>,
    stories: Vec<StoryJson<'a>>,
    taken_back: Vec<VoidJson<'a>>,
    #[serde(serialize_with = "unread")]
    #[schemars(with = "Vec<serde_json::Value>")]
    unread: &'a [Diagnostic],
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let looks = self
            .stories
            .iter()
            .flat_map(|told| told.looks.iter().zip(&told.standings));
        let mut notes: Vec<(&Note, &RecipeStanding)> = looks.collect();
        notes.sort_by_key(|(note, _)| note.line);
        AnswerJson {
            notes: notes
                .into_iter()
                .map(|(note, standing)| LookJson {
                    note: NoteJson(note),
                    recipe: standing_word(standing),
                })
                .collect(),
            stories: self.stories.iter().map(story_json).collect(),
            taken_back: self
                .taken_back
                .iter()
                .map(|void| VoidJson {
                    line: void.of,
                    by: void.line,
                    text: void.text.as_deref(),
                })
                .collect(),
            unread: &self.unread,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);

fn story_json(told: &Told) -> StoryJson<'_> {
    StoryJson {
        lines: told.looks.iter().map(|note| note.line).collect(),
        contradictions: &told.contradictions,
    }
}

impl crate::Answer for Answer {
    fn long_json(&self) -> Option<serde_json::Result<String>> {
        Some(serde_json::to_string_pretty(self))
    }
}
