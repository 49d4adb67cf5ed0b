//! What to look at again, and when.

use std::collections::HashMap;
use std::path::{Path, PathBuf};

use glost_chemistry::diagnostic::{Diagnostic, under};
use glost_chemistry::quantity::Date;
use glost_core::evidence::notes::{self, Change, Note};
use serde::{Serialize, Serializer};

use crate::kiln::pieces_from_kilns;
use crate::notebook::{Book, taken_from};
use crate::wire::unread;
use crate::{Desk, Failure, PageFile, Said, Words};

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The day it is seen from; else today.
    pub on: Option<Date>,
    /// The calendar to print.
    pub page: Option<PageFile>,
    /// The calendar for a calendar programme.
    pub ics: Option<PathBuf>,
}

/// Where a calendar goes.
enum CalendarFile {
    Page(PageFile),
    Ics(PathBuf),
}

impl CalendarFile {
    fn of(path: &str) -> Result<CalendarFile, Diagnostic> {
        if is_ics(Path::new(path)) {
            return Ok(CalendarFile::Ics(PathBuf::from(path)));
        }
        let page = PageFile::of(path);
        page.map(CalendarFile::Page).map_err(|error| {
            error.help("nothing was written; say .html to print, .svg for a drawing, .ics for a calendar programme")
        })
    }
}

fn is_ics(path: &Path) -> bool {
    path.extension()
        .is_some_and(|ending| ending.eq_ignore_ascii_case("ics"))
}

/// The file that `--ics` names.
fn ics_file(path: &str) -> Result<PathBuf, Diagnostic> {
    if is_ics(Path::new(path)) {
        return Ok(PathBuf::from(path));
    }
    let error = Diagnostic::error("bad-page", under(path, "a file for a calendar programme ends in .ics"));
    Err(error.help("nothing was written; --page FILE.html makes one to print"))
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        let on = words.read("on", Date::parse)?;
        let ics = words.text("ics").map(ics_file).transpose()?;
        let (page, ics) = match (words.text("page").map(CalendarFile::of).transpose()?, ics) {
            (Some(CalendarFile::Ics(_)), Some(_)) => {
                let error = Diagnostic::error("bad-option", "--page and --ics both name an .ics file");
                return Err(error.help("say it once"));
            }
            (Some(CalendarFile::Ics(file)), None) => (None, Some(file)),
            (Some(CalendarFile::Page(page)), ics) => (Some(page), ics),
            (None, ics) => (None, ics),
        };
        Ok(Question { on, page, ics })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let on = self.on.map_or_else(|| desk.today(), Ok)?;
        // The book of batches is gone again before notes and glazes are read: all at once are
        // much to hold.
        let from_kilns = from_kilns(desk);
        let book = Book::open(desk, on)?;
        let (from_kilns, complaints) = from_kilns?;
        desk.tell(complaints);
        let list = notes::due(&book.notes, &from_kilns, &book.versions, &book.recipes, on);
        let outlines = outlined(list, &from_kilns, on);
        Ok(Answer {
            on,
            noted: book.notes.standing().count(),
            due: filled(outlines, book.notes.into_all(), from_kilns),
            unread: book.unread,
            page: self.page.clone(),
            ics: self.ics.clone(),
        })
    }
}

/// Where a look stands.
enum LookAt {
    /// On a line of the notebook.
    Line(usize),
    /// Among the pieces from kilns.
    Kiln(usize),
}

/// What is due before its looks are put into it.
fn outlined(list: Vec<notes::Due<'_>>, from_kilns: &[Note], on: Date) -> Vec<(Due, Vec<LookAt>)> {
    let kilns = from_kilns.iter().enumerate();
    let kilns: HashMap<*const Note, usize> = kilns.map(|(at, note)| (std::ptr::from_ref(note), at)).collect();
    let place = |note: &Note| {
        let at = kilns.get(&std::ptr::from_ref(note));
        at.map_or(LookAt::Line(note.line), |at| LookAt::Kiln(*at))
    };
    let outlined = list.into_iter().map(|due| {
        let looks = match &due.task {
            notes::Task::Look { story, .. } => story.looks.iter().map(|note| place(note)).collect(),
            notes::Task::Lab { .. } | notes::Task::NewLot { .. } => Vec::new(),
        };
        (Due::without_looks(due, on), looks)
    });
    outlined.collect()
}

/// What is due with its looks; each is in one story, and moved: a notebook of years is held
/// once.
fn filled(outlines: Vec<(Due, Vec<LookAt>)>, mut noted: Vec<Note>, mut from_kilns: Vec<Note>) -> Vec<Due> {
    let filled = outlines.into_iter().map(|(mut due, places)| {
        if let Task::Look { looks, .. } = &mut due.task {
            let take = |place| match place {
                LookAt::Line(line) => taken_from(&mut noted, line),
                LookAt::Kiln(at) => from_kilns.get_mut(at).map(Note::taken),
            };
            // Most are one, and a note is much to leave room for.
            looks.reserve_exact(places.len());
            looks.extend(places.into_iter().filter_map(take));
        }
        due
    });
    filled.collect()
}

/// The pieces of opened kilns as they came from them, and what is wrong with the kiln's book.
fn from_kilns(desk: &Desk) -> Result<(Vec<Note>, Vec<Diagnostic>), Failure> {
    let (firings, complaints) = desk.workplace().kiln_book()?;
    let opened = firings.opened();
    if opened.is_empty() {
        return Ok((Vec::new(), complaints));
    }
    // Whoever reads the book of batches for its own sake complains about it.
    let read = desk.workplace().batch_book().and_then(|book| book.read().ok());
    let pieces = pieces_from_kilns(opened, read.map(|read| read.journal).as_ref());
    Ok((pieces, complaints))
}

/// What is due.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The day it is seen from.
    pub on: Date,
    /// By day.
    pub due: Vec<Due>,
    /// How many notes stand.
    pub noted: usize,
    /// Complaints about the notebook's lines.
    pub unread: Vec<Diagnostic>,
    /// Where the calendar to print goes.
    pub page: Option<PageFile>,
    /// Where the calendar for a calendar programme goes.
    pub ics: Option<PathBuf>,
}

impl crate::Answer for Answer {
    fn long_json(&self) -> Option<serde_json::Result<String>> {
        Some(serde_json::to_string_pretty(self))
    }
}

/// Something to do.
#[derive(Debug, Clone)]
pub struct Due {
    /// A name that it stays known by.
    pub uid: String,
    /// The day.
    pub on: Date,
    /// How many days ago that was.
    pub days_late: i64,
    /// What.
    pub task: Task,
}

impl Due {
    /// As seen from a day.
    pub(crate) fn of(due: notes::Due<'_>, from: Date) -> Due {
        let seen: Vec<Note> = match &due.task {
            notes::Task::Look { story, .. } => story.looks.iter().copied().cloned().collect(),
            notes::Task::Lab { .. } | notes::Task::NewLot { .. } => Vec::new(),
        };
        let mut due = Due::without_looks(due, from);
        if let Task::Look { looks, .. } = &mut due.task {
            *looks = seen;
        }
        due
    }

    fn without_looks(due: notes::Due<'_>, from: Date) -> Due {
        Due {
            uid: due.uid(),
            on: due.on,
            days_late: from.days_since(due.on).max(0),
            task: Task::of(due.task),
        }
    }
}

/// What is to be done.
#[derive(Debug, Clone, PartialEq)]
pub enum Task {
    /// Look at pieces again.
    Look {
        /// The looks so far, by age, at least one.
        looks: Vec<Note>,
        /// The age in days at which to.
        at_days: f64,
        /// Whether their age is known; else it counts from the first note.
        age_known: bool,
        /// How many pieces the latest count was of.
        pieces: Option<u32>,
        /// What in the looks can't all be true.
        contradictions: Vec<Said>,
    },
    /// A laboratory's report is about a recipe that is no more.
    Lab {
        /// The note of the report.
        note: Box<Note>,
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

impl Task {
    /// Its looks are put in by whoever has them.
    fn of(task: notes::Task<'_>) -> Task {
        match task {
            notes::Task::Look {
                story,
                at_days,
                age_known,
            } => Task::Look {
                pieces: story.any(|note| note.pieces),
                contradictions: story.contradictions().iter().map(Said::from).collect(),
                looks: Vec::new(),
                at_days,
                age_known,
            },
            notes::Task::Lab { note, changes } => Task::Lab {
                note: Box::new(note.clone()),
                changes,
            },
            notes::Task::NewLot { changes, glazes } => Task::NewLot { changes, glazes },
        }
    }
}

#[derive(Serialize, schemars::JsonSchema)]
struct LookJson<'a> {
    glaze: Option<&'a str>,
    version: Option<&'a str>,
    clay: Option<&'a str>,
    firing: Option<&'a str>,
    cone: Option<&'a str>,
    batch: Option<&'a str>,
    tile: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    firing_id: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pieces: Option<u32>,
    lines: Vec<usize>,
    at_days: f64,
    age_known: bool,
}

#[derive(Serialize, schemars::JsonSchema)]
struct GlazeJson<'a> {
    glaze: &'a str,
    version: &'a str,
}

#[derive(Serialize, schemars::JsonSchema)]
#[serde(tag = "kind")]
enum TaskJson<'a> {
    #[serde(rename = "look")]
    Look(LookJson<'a>),
    #[serde(rename = "lab report")]
    Lab {
        glaze: Option<&'a str>,
        version: Option<&'a str>,
        lines: [usize; 1],
        report: Option<&'a str>,
        changes: Vec<Said>,
    },
    #[serde(rename = "new lot")]
    NewLot {
        /// The first of them.
        change: Option<Said>,
        changes: Vec<Said>,
        glazes: Vec<GlazeJson<'a>>,
    },
}

#[derive(Serialize, schemars::JsonSchema)]
struct DueJson<'a> {
    uid: &'a str,
    on: String,
    overdue: bool,
    days_late: i64,
    #[serde(flatten)]
    task: &'a Task,
    what: Said,
    command: Said,
}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    on: String,
    due: &'a [Due],
    #[serde(serialize_with = "unread")]
    #[schemars(with = "Vec<serde_json::Value>")]
    unread: &'a [Diagnostic],
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        AnswerJson {
            on: self.on.to_string(),
            due: &self.due,
            unread: &self.unread,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);

impl Serialize for Due {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let task = Box::new(self.task.clone());
        DueJson {
            uid: &self.uid,
            on: self.on.to_string(),
            overdue: self.days_late > 0,
            days_late: self.days_late,
            task: &self.task,
            what: Said::ToDo(task.clone()),
            command: Said::Command(task),
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Due: DueJson<'_>);

impl Serialize for Task {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        task_json(self).serialize(to)
    }
}

crate::wire::written_as!(Task: TaskJson<'_>);

fn task_json(task: &Task) -> TaskJson<'_> {
    match task {
        Task::Look {
            looks,
            at_days,
            age_known,
            ..
        } => TaskJson::Look(look_json(looks, *at_days, *age_known)),
        Task::Lab { note, changes } => TaskJson::Lab {
            glaze: note.glaze.as_deref(),
            version: note.version.as_deref(),
            lines: [note.line],
            report: note.lab.as_deref(),
            changes: changes.iter().cloned().map(Said::Change).collect(),
        },
        Task::NewLot { changes, glazes } => TaskJson::NewLot {
            change: changes.first().cloned().map(Said::Change),
            changes: changes.iter().cloned().map(Said::Change).collect(),
            glazes: glazes
                .iter()
                .map(|(glaze, version)| GlazeJson { glaze, version })
                .collect(),
        },
    }
}

fn look_json(looks: &[Note], at_days: f64, age_known: bool) -> LookJson<'_> {
    let first = |of: fn(&Note) -> &Option<String>| looks.iter().find_map(|note| of(note).as_deref());
    LookJson {
        glaze: first(|note| &note.glaze),
        version: first(|note| &note.version),
        clay: first(|note| &note.clay),
        firing: first(|note| &note.firing),
        cone: first(|note| &note.cone),
        batch: first(|note| &note.batch),
        tile: first(|note| &note.tile),
        firing_id: looks.iter().find_map(Note::kiln_id),
        pieces: looks
            .iter()
            .rev()
            .find_map(|note| note.pieces)
            .filter(|_| looks[0].kiln_id().is_some()),
        // What a kiln's book says stands on no line of the notebook.
        lines: looks.iter().map(|note| note.line).filter(|line| *line > 0).collect(),
        at_days,
        age_known,
    }
}
