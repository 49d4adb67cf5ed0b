//! The versions of a glaze by date: what changed in each, ranked by its effect on the
//! fired glaze, with the batches and looks under them.

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::distance::ChemistryDistance;
use glost_chemistry::glaze::FluxList;
use glost_chemistry::quantity::Date;
use glost_chemistry::read::folded;
use glost_core::evidence::notes::{Change, Note, Version};
use glost_core::workshop::batches::{Batch, Booking};
use serde::{Serialize, Serializer};

use crate::notebook::Book;
use crate::notes::tiles_that_are;
use crate::wire::NoteJson;
use crate::{Desk, Failure, Said, Words};

/// The name of a recipe that no note has recorded yet.
const TODAY: &str = "today";

/// What is asked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// The glaze's name or file.
    pub glaze: String,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        Ok(Question {
            glaze: words.required("glaze")?.to_owned(),
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let found = desk.glaze(&self.glaze)?;
        let today = desk.today()?;
        let book = Book::read(desk, today)?;
        let name = found.glaze.name.clone();
        let now = Version::of(&found.glaze, TODAY, today);
        let mut versions: Vec<Version> = book.versions.of(&name).cloned().collect();
        let recorded = book.versions.same_as(&now).map(|version| version.version.clone());
        if recorded.is_none() {
            versions.push(now);
        }
        let batches = batches(desk, &name);
        let tiles: Vec<String> = tiles_that_are(&found, desk).iter().map(|tile| folded(tile)).collect();
        let is_own = |note: &&Note| {
            let tile = note.tile.as_deref().map(folded);
            is_of(note, &name) || tile.is_some_and(|tile| tiles.contains(&tile))
        };
        let notes: Vec<&Note> = book.notes.standing().filter(is_own).collect();
        let latest = recorded.unwrap_or_else(|| TODAY.to_owned());
        let steps = versions.iter().enumerate().map(|(at, version)| {
            let before = at.checked_sub(1).map(|at| &versions[at]);
            let is_own = |said: Option<&str>| said.map_or(version.version == latest, |said| said == version.version);
            Step {
                changes: before.map_or_else(Vec::new, |before| changes(before, version, &found.settings.fluxes)),
                distance: before.and_then(|before| distance(before, version, &found.settings.fluxes)),
                is_today: version.version == latest,
                batches: batches
                    .iter()
                    .filter(|booking| is_own(booking.version.as_deref()))
                    .cloned()
                    .collect(),
                notes: notes
                    .iter()
                    .filter(|note| is_own(note.version.as_deref()))
                    .map(|note| (*note).clone())
                    .collect(),
                version: version.clone(),
            }
        });
        Ok(Answer {
            steps: steps.collect(),
            glaze: name,
        })
    }
}

fn is_of(note: &Note, glaze: &str) -> bool {
    note.glaze.as_deref().is_some_and(|own| folded(own) == folded(glaze))
}

/// The batches that stand; a book that can't be read is told aside.
fn batches(desk: &Desk, glaze: &str) -> Vec<Booking> {
    match desk.workplace().batch_book().map(|book| book.read()) {
        Some(Ok(read)) => {
            let standing = read.journal.batches.into_iter().filter(Batch::stands);
            let own = standing.map(|batch| batch.booking);
            own.filter(|booking| folded(&booking.glaze) == folded(glaze))
                .map(|booking| *booking)
                .collect()
        }
        Some(Err(error)) => {
            desk.tell([error]);
            Vec::new()
        }
        None => Vec::new(),
    }
}

/// What changed, the biggest effect on the fired glaze first; what has none known last.
fn changes(before: &Version, after: &Version, fluxes: &FluxList) -> Vec<Changed> {
    let mut changes: Vec<Changed> = before
        .changes_to(after)
        .into_iter()
        .map(|change| Changed {
            effect: distance(before, &with_only(before, after, &change), fluxes),
            change,
        })
        .collect();
    let size = |changed: &Changed| changed.effect.unwrap_or(0.0);
    changes.sort_by(|one, other| size(other).total_cmp(&size(one)));
    changes
}

/// The earlier version with one change of the later made in it.
fn with_only(before: &Version, after: &Version, change: &Change) -> Version {
    let touched: Vec<&str> = match change {
        Change::Lot { material, .. } | Change::Analysis { material } | Change::Amount { material, .. } => {
            vec![material]
        }
        Change::Renamed { from, to } => vec![from, to],
    };
    let is_touched = |name: &str| touched.contains(&name);
    let mixed = |old: &[(String, f64)], new: &[(String, f64)]| -> Vec<(String, f64)> {
        let kept = old.iter().filter(|line| !is_touched(&line.0));
        kept.chain(new.iter().filter(|line| is_touched(&line.0)))
            .cloned()
            .collect()
    };
    let kept = before.materials.iter().filter(|material| !is_touched(&material.name));
    let new = after.materials.iter().filter(|material| is_touched(&material.name));
    Version {
        parts: mixed(&before.parts, &after.parts),
        additions: mixed(&before.additions, &after.additions),
        materials: kept.chain(new).cloned().collect(),
        ..before.clone()
    }
}

/// How far the fired glazes of two versions are from each other; none where an analysis
/// isn't known.
fn distance(before: &Version, after: &Version, fluxes: &FluxList) -> Option<f64> {
    let unity = |version: &Version| version.analysis(fluxes).ok()?.unity;
    Some(ChemistryDistance::new(&unity(before)?, fluxes).distance(&unity(after)?))
}

/// A glaze's versions, the oldest first.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The glaze.
    pub glaze: String,
    /// Its versions; the last is today's recipe, recorded or not.
    pub steps: Vec<Step>,
}

/// One version.
#[derive(Debug, Clone)]
pub struct Step {
    /// The version.
    pub version: Version,
    /// What changed since the one before, the biggest effect first.
    pub changes: Vec<Changed>,
    /// How far the fired glaze is from the one before.
    pub distance: Option<f64>,
    /// Whether it is the recipe of today.
    pub is_today: bool,
    /// The batches booked of it.
    pub batches: Vec<Booking>,
    /// What its pieces looked like.
    pub notes: Vec<Note>,
}

/// A change with its own effect.
#[derive(Debug, Clone, PartialEq)]
pub struct Changed {
    /// The change.
    pub change: Change,
    /// How far it alone moves the fired glaze; none where an analysis isn't known.
    pub effect: Option<f64>,
}

impl crate::Answer for Answer {}

#[derive(Serialize, schemars::JsonSchema)]
struct ChangedJson {
    change: Said,
    effect: Option<f64>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct BatchJson<'a> {
    batch: &'a str,
    #[schemars(with = "String")]
    on: Date,
}

#[derive(Serialize, schemars::JsonSchema)]
struct StepJson<'a> {
    version: &'a str,
    #[schemars(with = "String")]
    on: Date,
    today: bool,
    distance: Option<f64>,
    changes: Vec<ChangedJson>,
    batches: Vec<BatchJson<'a>>,
    #[schemars(with = "Vec<serde_json::Value>")]
    notes: Vec<NoteJson<'a>>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    glaze: &'a str,
    versions: Vec<StepJson<'a>>,
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        AnswerJson {
            glaze: &self.glaze,
            versions: self.steps.iter().map(step).collect(),
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);

fn step(step: &Step) -> StepJson<'_> {
    StepJson {
        version: &step.version.version,
        on: step.version.on,
        today: step.is_today,
        distance: step.distance,
        changes: step
            .changes
            .iter()
            .map(|changed| ChangedJson {
                change: Said::Change(changed.change.clone()),
                effect: changed.effect,
            })
            .collect(),
        batches: step
            .batches
            .iter()
            .map(|booking| BatchJson {
                batch: booking.number.text(),
                on: booking.on,
            })
            .collect(),
        notes: step.notes.iter().map(NoteJson).collect(),
    }
}
