//! Which glazes suffer when a material goes or a lot changes.

use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::material::{Library, Material, read_materials};
use glost_core::recipes::affected::{Affected, Event, Shelf, affected, retest_order};
use glost_studio::{Recipe, Workplace};
use serde::{Serialize, Serializer};

use crate::wire::Amounts;
use crate::{Desk, Failure, Said, Words, lookup};

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub enum Question {
    /// A material that is gone.
    Out(String),
    /// A materials file with new sheets, under the old names.
    NewLot(String),
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        match (words.text("out"), words.text("new-lot")) {
            (Some(material), _) => Ok(Question::Out(material.to_owned())),
            (None, Some(file)) => Ok(Question::NewLot(file.to_owned())),
            (None, None) => words.required("out").map(|material| Question::Out(material.to_owned())),
        }
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        desk.tell_where();
        let (glazes, complaints) = desk.workplace().all_recipes();
        let Some(first) = glazes.first() else {
            return Err(if complaints.is_empty() {
                no_glazes().into()
            } else {
                complaints.into()
            });
        };
        let skipped = complaints.len();
        desk.leaves_out(complaints);
        desk.looks_over_materials();
        let event = self.event(desk, &first.library)?;
        let found = all(desk, &glazes, &event)?;
        Ok(Answer {
            order: retest_order(&found),
            found,
            event,
            glazes: glazes.len(),
            skipped,
        })
    }
}

fn no_glazes() -> Diagnostic {
    Diagnostic::error("no-glazes", "there are no glazes here").help("put recipes into glazes/, one a file")
}

impl Question {
    fn event(&self, desk: &Desk, library: &Library) -> Result<Event, Failure> {
        match self {
            Question::Out(name) => Ok(Event::Out(lookup::material(library, "out", name)?)),
            Question::NewLot(file) => new_lots(desk, file, library),
        }
    }
}

/// The new sheets are read as a layer on top of everything, then compared by name.
fn new_lots(desk: &Desk, file: &str, library: &Library) -> Result<Event, Failure> {
    let place = desk.place();
    let mut files = place.materials.clone();
    files.push(file.into());
    let renewed = Workplace::open(place.studio.as_deref(), &files, &place.here)?;
    let source = desk.workplace().text(file)?;
    // What is wrong in the file was told when it was opened.
    let (entries, _) = read_materials(&source);
    let lots: Vec<Arc<Material>> = entries
        .iter()
        .filter_map(|entry| renewed.library().find(&entry.name.text).cloned())
        .collect();
    if let Some(strange) = lots.iter().find(|lot| library.find(&lot.name).is_none()) {
        let message = format!(
            "no material is called `{}` so far: a new lot keeps the old name",
            strange.name
        );
        return Err(Diagnostic::error("unknown-material", message)
            .maybe_help(library.suggestion(&strange.name))
            .into());
    }
    Ok(Event::NewLot(lots))
}

/// Every glaze that is touched, in the studio's order; worked out on all cores,
/// the same on any number of them.
#[allow(clippy::disallowed_methods, reason = "a worker that is lost is a fault")]
fn all(desk: &Desk, glazes: &[Recipe], event: &Event) -> Result<Vec<Affected>, Failure> {
    let next = AtomicUsize::new(0);
    let workers = std::thread::available_parallelism()
        .map_or(1, |count| count.get())
        .min(glazes.len().max(1));
    let work = |tells: bool| {
        let mut found = Vec::new();
        loop {
            let index = next.fetch_add(1, Ordering::Relaxed);
            let Some(one) = glazes.get(index) else { return found };
            let shelf = Shelf {
                library: &one.library,
                fluxes: &one.settings.fluxes,
                // Glazes found by name stand in a studio, or in the example.
                shipped_may_come: false,
            };
            if let Some(affected) = affected(&one.glaze, event, &shelf) {
                found.push((index, affected));
            }
            if tells {
                desk.so_far(index, glazes.len());
            }
        }
    };
    let found: Result<Vec<_>, _> = std::thread::scope(|scope| {
        let helpers: Vec<_> = (1..workers).map(|_| scope.spawn(|| work(false))).collect();
        let mut all = vec![work(true)];
        for helper in helpers {
            all.push(helper.join()?);
        }
        Ok(all)
    });
    // One that is lost takes the glazes with it that it had found.
    let found = found.map_err(|panic: Box<dyn std::any::Any + Send>| {
        let said = panic.downcast_ref::<String>().map(String::as_str);
        let said = said.or_else(|| panic.downcast_ref::<&str>().copied());
        Failure::our_fault("what an event does to the glazes", said.unwrap_or("a worker was lost"))
    })?;
    let mut found: Vec<(usize, Affected)> = found.into_iter().flatten().collect();
    found.sort_by_key(|(index, _)| *index);
    Ok(found.into_iter().map(|(_, affected)| affected).collect())
}

/// What an event does to a studio's glazes.
#[derive(Debug, Clone)]
pub struct Answer {
    /// What happened.
    pub event: Event,
    /// The glazes it touches.
    pub found: Vec<Affected>,
    /// Names in the order to test again.
    pub order: Vec<String>,
    /// How many glazes there are.
    pub glazes: usize,
    /// Files that could not be used.
    pub skipped: usize,
}

/// An event as it is told.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Happened {
    /// A material is gone.
    Gone(String),
    /// New lots of these.
    NewLot(Vec<String>),
}

impl Answer {
    /// The event as it is told.
    pub fn happened(&self) -> Said {
        Said::Happened(match &self.event {
            Event::Out(material) => Happened::Gone(material.name.clone()),
            Event::NewLot(lots) => Happened::NewLot(lots.iter().map(|lot| lot.name.clone()).collect()),
        })
    }
}

impl crate::Answer for Answer {}

#[derive(Serialize, schemars::JsonSchema)]
struct QuickSwapJson<'a> {
    parts: Amounts,
    additions: Amounts,
    newcomers: &'a [String],
    distance: f64,
}

#[derive(Serialize, schemars::JsonSchema)]
struct AffectedJson<'a> {
    glaze: &'a str,
    touched_percent: f64,
    unity_change: Amounts,
    expansion_change: Option<f64>,
    expansion_plus_minus: Option<f64>,
    quick_swap: Option<QuickSwapJson<'a>>,
    distance: Option<f64>,
    trouble: Option<Said>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    event: Said,
    glazes: Vec<AffectedJson<'a>>,
    retest_order: &'a [String],
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        AnswerJson {
            event: self.happened(),
            glazes: self.found.iter().map(one).collect(),
            retest_order: &self.order,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);

fn one(affected: &Affected) -> AffectedJson<'_> {
    AffectedJson {
        glaze: &affected.glaze,
        touched_percent: affected.touched_percent,
        unity_change: Amounts::oxides(&affected.unity_change),
        expansion_change: affected.expansion_change.map(|change| change.0),
        expansion_plus_minus: affected.expansion_change.map(|change| change.1),
        quick_swap: affected.quick_swap.as_ref().map(|swap| QuickSwapJson {
            parts: Amounts::portions(&swap.glaze.base),
            additions: Amounts::portions(&swap.glaze.additions),
            newcomers: &swap.newcomers,
            distance: swap.distance,
        }),
        distance: affected.distance,
        trouble: affected.trouble.clone().map(Said::NoNumbers),
    }
}
