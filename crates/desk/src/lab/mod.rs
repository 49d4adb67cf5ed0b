//! Laboratories' reports: kept with the version, clay, firing and lots that were tested, and
//! shown beside the limits until one of these changes.

mod answer;
mod compared;
mod sheet;

use std::path::Path;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::read::folded;
use glost_core::evidence::laboratory::{NoLonger, RESULTS_KEY, no_longer};
use glost_core::evidence::notes::{Note, RecipeStanding};
use glost_studio::FoundGlaze;

pub use answer::{Answer, Beside, Brief, BriefResult, Report};
pub use compared::Compared;

use crate::note::{Draft, note_of_results};
use crate::notebook::Book;
use crate::{Desk, Failure, Words};

/// What is asked.
#[derive(Debug, Clone)]
pub enum Question {
    /// The reports of a glaze, or all.
    List {
        /// The glaze.
        glaze: Option<String>,
    },
    /// A report to be kept.
    Keep(Box<Keep>),
}

/// A report to be kept.
#[derive(Debug, Clone)]
pub struct Keep {
    /// The table of its results.
    pub sheet: String,
    /// Whose limits count for results that name no market.
    pub market: Option<String>,
    /// Which pieces were tested.
    pub pieces: Draft,
}

/// What a call may say of the pieces that were tested.
const OF_PIECES: [&str; 9] = [
    "glaze", "batch", "version", "clay", "firing", "cone", "on", "text", "tile",
];

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        let Some(sheet) = words.owned("sheet") else {
            if words.text("batch").is_some() || words.text("report").is_some() {
                return Err(Diagnostic::error("bad-call", "a report's results come in a table")
                    .help("--sheet lab.csv with the columns metal, value, unit, shape: Pb,<0.01,mg/l,cup"));
            }
            return Ok(Question::List {
                glaze: words.owned("glaze"),
            });
        };
        let mut pieces = Draft::default();
        for key in OF_PIECES {
            if let Some(text) = words.text(key) {
                pieces.say(key, text);
            }
        }
        if ["glaze", "batch", "tile"].iter().all(|key| pieces.said(key).is_none()) {
            return Err(Diagnostic::error("bad-call", "of which pieces is the report?")
                .help("name the glaze, and the batch where it is booked: glost lab \"Lamplight clear\" --batch 14 --sheet lab.csv"));
        }
        let name = match words.one_line("report") {
            Some(name) => name,
            None => Path::new(&sheet)
                .file_stem()
                .map_or_else(|| "report".to_owned(), |stem| stem.to_string_lossy().into_owned()),
        };
        pieces.say("lab", &name);
        Ok(Question::Keep(Box::new(Keep {
            sheet,
            market: words.one_line("market"),
            pieces,
        })))
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        match self {
            Question::List { glaze } => {
                let glaze = match glaze {
                    Some(name) => Some(desk.glaze(name)?),
                    None => None,
                };
                let book = Book::open(desk, desk.today()?)?;
                Ok(Answer {
                    reports: reports(desk, &book, glaze.as_ref())?,
                    glaze: glaze.map(|found| found.glaze.name),
                    kept: None,
                    already: false,
                    assumptions: Vec::new(),
                })
            }
            Question::Keep(keep) => keep.keep(desk),
        }
    }
}

impl Keep {
    fn keep(&self, desk: &Desk) -> Result<Answer, Failure> {
        desk.workplace().kept_in()?;
        let today = desk.today()?;
        let sheet = sheet::read(desk, &self.sheet, self.market.as_deref())?;
        sheet.can_be_compared(desk)?;
        let results = sheet.results;
        let value = serde_json::to_value(&results).map_err(|why| Failure::our_fault("keeping a report", why))?;
        let noted = note_of_results(desk, self.pieces.clone(), (RESULTS_KEY, value), today)?;
        let glaze = match &noted.note.glaze {
            Some(name) => desk.workplace().look_for_glaze(name).ok(),
            None => None,
        };
        let book = Book::read(desk, today)?;
        let mut reports = reports(desk, &book, glaze.as_ref())?;
        reports.retain(|report| report.note.line == noted.note.line);
        Ok(Answer {
            glaze: noted.note.glaze.clone(),
            reports,
            kept: Some(noted.note.line),
            already: noted.already,
            assumptions: noted.assumptions,
        })
    }
}

/// The reports of a glaze, or of all, the latest first.
fn reports(desk: &Desk, book: &Book, glaze: Option<&FoundGlaze>) -> Result<Vec<Report>, Failure> {
    let is_of = |note: &&Note| match (glaze, &note.glaze, &note.tile) {
        (None, ..) => true,
        (Some(found), _, Some(tile)) if found.tile.as_ref() == Some(tile) => true,
        (Some(found), Some(name), _) => folded(name) == folded(&found.glaze.name),
        (Some(_), None, _) => false,
    };
    let kept = book
        .notes
        .standing()
        .filter(|note| note.lab.is_some() && note.over().is_none());
    let mut found: Vec<&Note> = kept.filter(is_of).collect();
    found.sort_by_key(|note| std::cmp::Reverse((note.on, note.line)));
    found.into_iter().map(|note| report(desk, book, note)).collect()
}

fn report(desk: &Desk, book: &Book, note: &Note) -> Result<Report, Failure> {
    let results = note.lab_results();
    let compared = match results.as_slice() {
        [] => None,
        some => Some(compared::compare(
            desk,
            some,
            note.glaze.as_deref(),
            note.version.as_deref(),
        )?),
    };
    Ok(Report {
        no_longer: why_not_now(desk, book, note),
        note: note.clone(),
        results,
        compared,
    })
}

/// Why a report no longer speaks of its glaze as the files have it now.
fn why_not_now(desk: &Desk, book: &Book, note: &Note) -> Vec<NoLonger> {
    let standing = book.recipes.standing(note, &book.versions);
    let found = note.glaze.as_deref().map(|name| desk.workplace().look_for_glaze(name));
    match found {
        Some(Ok(found)) => no_longer(note, &standing, &found.glaze.about),
        // A glaze or a tile without a file has nothing to differ from.
        _ => Vec::new(),
    }
}

/// The latest report of a glaze, for whoever shows it beside something else: of a batch of
/// another version, whether it speaks of that one. What can't be read is told aside.
pub(crate) fn latest(desk: &Desk, found: &FoundGlaze, of_version: Option<&str>) -> Result<Option<Brief>, Failure> {
    if !desk.workplace().notebook_holds("\"lab\"") {
        return Ok(None);
    }
    let book = Book::read(desk, desk.today()?)?;
    let Some(mut report) = reports(desk, &book, Some(found))?.into_iter().next() else {
        return Ok(None);
    };
    let versions = &book.versions;
    let recorded = |version: Option<&str>| versions.get(&found.glaze.name, version?);
    if let (Some(batch), Some(tested)) = (recorded(of_version), recorded(report.note.version.as_deref())) {
        let changes = tested.changes_to(batch);
        let standing = if changes.is_empty() {
            RecipeStanding::Today
        } else {
            RecipeStanding::Older(changes)
        };
        report.no_longer = no_longer(&report.note, &standing, &found.glaze.about);
    }
    Ok(Some(Brief::of(&report)))
}
