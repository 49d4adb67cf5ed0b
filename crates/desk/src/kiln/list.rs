//! The kiln's book: all firings, what they taught, one taken back.

use std::collections::HashMap;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::quantity::Date;
use glost_core::evidence::firings::{Firing, Firings, TakeBack};
use glost_core::evidence::notes::{Note, Notes, stories};
use serde::{Serialize, Serializer};
use serde_json::Value;

use super::answer::load_json;
use super::load::brought_by;
use super::{FiringJson, KilnSaid, find, read};
use crate::{Desk, Failure, PageFile, Said, Words};

/// What is asked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Question {
    /// All firings.
    List {
        /// With what was seen of their pieces.
        log: bool,
        /// The page to take to the kiln.
        page: Option<PageFile>,
    },
    /// A load, an opening or a taking back, taken back.
    Void {
        /// Its id; of a load its name will do.
        id: String,
        /// The day; none: today.
        on: Option<Date>,
        /// Why.
        text: Option<String>,
    },
}

/// What the book answers.
#[derive(Debug, Clone)]
pub enum Answer {
    /// All firings, by the day they were loaded.
    List {
        /// Each with what was seen.
        firings: Vec<Told>,
        /// Whether what was seen is asked for.
        log: bool,
        /// The page to take to the kiln.
        page: Option<PageFile>,
    },
    /// A line taken back.
    TakenBack(Box<TakenBack>),
}

/// A firing with what was seen of its pieces.
#[derive(Debug, Clone)]
pub struct Told {
    /// The firing.
    pub firing: Firing,
    /// What was seen of its pieces; none: nobody noted any, or it isn't asked.
    pub seen: Option<Seen>,
    /// What it brings, where it stands on a page and waits to be opened.
    pub cautions: Vec<Said>,
}

/// What was seen of a firing's pieces, by the latest look at each.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Seen {
    /// The looks, by their lines.
    pub lines: Vec<usize>,
    /// Pieces that were looked at for crazing.
    pub pieces: u32,
    /// How many of them are crazed.
    pub crazed: u32,
    /// Torture tests that crazed some, each with its line.
    pub failed_tests: Vec<(usize, String)>,
    /// How many have shivered.
    pub shivered: u32,
    /// How many cracked through.
    pub dunted: u32,
    /// Each graded property with its lowest and its highest grade.
    pub grades: Vec<(String, f64, f64)>,
    /// What was written, each with its line.
    pub texts: Vec<(usize, String)>,
}

/// A line taken back.
#[derive(Debug, Clone)]
pub struct TakenBack {
    /// The line that says so.
    pub void: TakeBack,
    /// The firing that it is about, as it stands now.
    pub firing: Option<Firing>,
    /// What is to be said beside it.
    pub cautions: Vec<Said>,
}

impl crate::Answer for Answer {}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        Ok(match words.one_line("void") {
            Some(id) => Question::Void {
                id,
                on: words.read("on", Date::parse)?,
                text: words.one_line("text"),
            },
            None => Question::List {
                log: words.flag("log"),
                page: words.page("page")?,
            },
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        match self {
            Question::List { log, page } => {
                desk.tell_where();
                let book = read(desk)?;
                let notes = if *log {
                    desk.workplace().notes()?.0
                } else {
                    Notes::default()
                };
                let mut seen = seen(&notes);
                let mut firings = Vec::new();
                for firing in book.all() {
                    let waits = firing.stands() && firing.opened.is_none();
                    firings.push(Told {
                        seen: seen.remove(&firing.id),
                        cautions: match page {
                            Some(_) if waits => brought_by(desk, firing)?,
                            _ => Vec::new(),
                        },
                        firing: firing.clone(),
                    });
                }
                Ok(Answer::List {
                    firings,
                    log: *log,
                    page: page.clone(),
                })
            }
            Question::Void { id, on, text } => {
                desk.workplace().kept_in()?;
                let on = on.map_or_else(|| desk.today(), Ok)?;
                take_back(desk, id, on, text.clone()).map(|done| Answer::TakenBack(Box::new(done)))
            }
        }
    }
}

/// What was seen, by the firing that notes name.
fn seen(notes: &Notes) -> HashMap<String, Seen> {
    let mut by_firing: HashMap<String, Seen> = HashMap::new();
    let from_kilns = notes.standing().filter(|note| note.kiln_id().is_some());
    for story in stories(from_kilns) {
        let Some(id) = story.first().kiln_id() else { continue };
        let seen = by_firing.entry(id.to_owned()).or_default();
        if let Some((crazed, pieces)) = story.crazed() {
            seen.crazed = seen.crazed.saturating_add(crazed);
            seen.pieces = seen.pieces.saturating_add(pieces);
        }
        let failed = story.failed_tests();
        seen.failed_tests
            .extend(failed.map(|(test, note)| (note.line, test.to_owned())));
        let count = |count: Option<u32>| count.unwrap_or(0);
        seen.shivered = seen.shivered.saturating_add(count(story.any(|note| note.shivered)));
        seen.dunted = seen.dunted.saturating_add(count(story.any(|note| note.dunted)));
        for note in &story.looks {
            seen.add(note);
        }
    }
    by_firing
}

impl Seen {
    fn add(&mut self, note: &Note) {
        self.lines.push(note.line);
        self.texts
            .extend(note.text.iter().map(|text| (note.line, text.clone())));
        for grade in &note.grades {
            match self.grades.iter_mut().find(|known| known.0 == grade.property) {
                Some((_, least, most)) => {
                    *least = least.min(grade.grade);
                    *most = most.max(grade.grade);
                }
                None => self.grades.push((grade.property.clone(), grade.grade, grade.grade)),
            }
        }
    }
}

fn take_back(desk: &Desk, what: &str, on: Date, text: Option<String>) -> Result<TakenBack, Failure> {
    let notes = desk.workplace().notes()?.0;
    desk.workplace().add_firings(|book| -> Result<_, Failure> {
        let of = meant(book, what)?;
        if let Some(void) = book.taken_back_by(&of) {
            let message = format!("`{of}` was taken back already, on {}", void.on);
            return Err(Diagnostic::error("void-already", message)
                .help(format!("`glost kiln --void {}` makes it stand again", void.id))
                .into());
        }
        let mut void = TakeBack {
            line: 0,
            id: String::new(),
            of: of.clone(),
            on,
            text: text.clone(),
        }
        .named();
        // The same words on one day, after it stood again, are another line.
        let mut turn = 2;
        while book.has_id(&void.id) {
            let why = text.as_deref().unwrap_or("taken back");
            void = TakeBack {
                text: Some(format!("{why} ({turn})")),
                ..void
            }
            .named();
            turn += 1;
        }
        let firing = book
            .all()
            .iter()
            .find(|firing| firing.id == of || firing.opened.as_ref().is_some_and(|opened| opened.id == of));
        let naming = notes
            .standing()
            .filter(|note| firing.is_some_and(|firing| note.kiln_id() == Some(&firing.id)));
        let lines: Vec<usize> = naming.map(|note| note.line).collect();
        let stand = (!lines.is_empty()).then_some(Said::Kiln(KilnSaid::NotesStand { lines }));
        let answer = TakenBack {
            firing: firing.cloned(),
            cautions: stand.into_iter().collect(),
            void: TakeBack {
                line: book.line_count() + 1,
                ..void.clone()
            },
        };
        Ok((vec![void.to_line()], answer))
    })
}

/// The id of what is to be taken back.
fn meant(book: &Firings, what: &str) -> Result<String, Diagnostic> {
    let id = what.trim().to_lowercase();
    if book.has_id(&id) {
        return Ok(id);
    }
    find(book, what).map(|firing| firing.id.clone())
}

#[derive(Serialize, schemars::JsonSchema)]
struct ToldJson<'a> {
    #[serde(flatten)]
    #[schemars(with = "serde_json::Value")]
    firing: FiringJson<'a>,
    load: Vec<Value>,
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<serde_json::Value>")]
    seen: Option<&'a Seen>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct ListJson<'a> {
    firings: Vec<ToldJson<'a>>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct TakenBackJson<'a> {
    id: &'a str,
    on: String,
    void: &'a str,
    text: Option<&'a str>,
    #[schemars(with = "Option<serde_json::Value>")]
    firing: Option<FiringJson<'a>>,
    cautions: &'a [Said],
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        match self {
            Answer::List { firings, .. } => {
                let firings = firings.iter().map(|told| ToldJson {
                    firing: FiringJson(&told.firing),
                    load: load_json(&told.firing),
                    seen: told.seen.as_ref(),
                });
                ListJson {
                    firings: firings.collect(),
                }
                .serialize(to)
            }
            Answer::TakenBack(done) => TakenBackJson {
                id: &done.void.id,
                on: done.void.on.to_string(),
                void: &done.void.of,
                text: done.void.text.as_deref(),
                firing: done.firing.as_ref().map(FiringJson),
                cautions: &done.cautions,
            }
            .serialize(to),
        }
    }
}

crate::wire::written_as!(Answer: ListJson<'_>, TakenBackJson<'_>);
