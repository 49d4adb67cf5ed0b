//! Saved plans, with what was noted about their tiles.

use glost_chemistry::diagnostic::{Diagnostic, suggestion};
use glost_chemistry::quantity::Date;
use glost_core::tiles::blend::{PlanNotes, SavedPlan, TileNotes, find_plan, plan_notes};
use indexmap::IndexMap;
use serde::{Serialize, Serializer};

use crate::lost_plan::lost_plan;
use crate::wire::Amounts;
use crate::{Desk, Failure, PageFile, Words};

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// A plan's name; without one, all of them.
    pub plan: Option<String>,
    /// The graded property to show on the map; else the first that was noted.
    pub show: Option<String>,
    /// Where the map goes.
    pub page: Option<PageFile>,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        Ok(Question {
            plan: words.owned("plan"),
            show: words.owned("show"),
            page: words.page("page")?,
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let (plans, complaints) = desk.workplace().plans();
        // Whoever asks for notes is told which lines can't be read.
        let (notes, _) = desk.workplace().notes()?;
        let Some(name) = &self.plan else {
            if !complaints.is_empty() {
                return Err(complaints.into());
            }
            let told = plans.iter().map(|plan| plan_notes(&plans, plan, &notes));
            return Ok(Answer::All(AllPlans {
                plans: told.map(|told| Listed::of(&told)).collect(),
            }));
        };
        let plan = find_plan(&plans, name).map_err(|why| {
            let own = own_complaint(name, complaints);
            own.or_else(|| lost_plan(name, &notes)).unwrap_or(why)
        })?;
        let told = plan_notes(&plans, plan, &notes);
        let shown = self.show.as_deref().map(|wanted| property(&told, wanted)).transpose()?;
        Ok(Answer::One(Box::new(OnePlan::of(&told, shown, self.page.clone()))))
    }
}

/// A plan that is there but can't be read says so itself.
fn own_complaint(name: &str, complaints: Vec<Diagnostic>) -> Option<Diagnostic> {
    let file = format!("{name}.json").to_lowercase();
    complaints.into_iter().find(|complaint| {
        let place = complaint.place.as_ref();
        place.is_some_and(|place| place.file.to_lowercase().ends_with(&file))
    })
}

/// A property that was graded, by its name without case.
fn property(told: &PlanNotes<'_>, wanted: &str) -> Result<String, Diagnostic> {
    let properties = told.properties();
    let known = properties.iter().find(|known| known.eq_ignore_ascii_case(wanted));
    known.map(|known| (*known).to_owned()).ok_or_else(|| {
        let plan = &told.plan.name;
        let error = Diagnostic::error(
            "unknown-property",
            format!("no tile of `{plan}` has a grade of `{wanted}`"),
        );
        let known = match properties.as_slice() {
            [] => format!("note one first: glost note --tile {plan}/A1 --grade {wanted}=4"),
            known => format!("graded so far: {}", known.join(", ")),
        };
        error
            .help(known)
            .maybe_help(suggestion(wanted, properties.iter().copied()))
    })
}

/// One saved plan, or all of them.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
#[serde(untagged)]
pub enum Answer {
    /// One, with what was noted.
    One(Box<OnePlan>),
    /// All of them, in a list.
    All(AllPlans),
}

impl crate::Answer for Answer {}

/// All saved plans.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
pub struct AllPlans {
    /// In order of their files.
    pub plans: Vec<Listed>,
}

/// A plan in the list.
#[derive(Debug, Clone)]
pub struct Listed {
    /// Its name.
    pub name: String,
    /// The day it was made.
    pub on: Option<Date>,
    /// Its design.
    pub kind: String,
    /// How many tiles it has.
    pub tiles: usize,
    /// How many of them were noted.
    pub noted: usize,
}

impl Listed {
    fn of(told: &PlanNotes<'_>) -> Listed {
        Listed {
            name: told.plan.name.clone(),
            on: told.plan.on,
            kind: told.plan.kind.clone(),
            tiles: told.plan.tiles.len(),
            noted: noted(told),
        }
    }
}

fn noted(told: &PlanNotes<'_>) -> usize {
    told.tiles.iter().filter(|tile| !tile.notes.is_empty()).count()
}

/// A saved plan with what was noted about its tiles.
#[derive(Debug, Clone)]
pub struct OnePlan {
    /// The plan.
    pub plan: SavedPlan,
    /// What was noted about each of its tiles, in their order.
    pub tiles: Vec<Tile>,
    /// How many of them were noted.
    pub noted: usize,
    /// Properties that were graded, in order of their first note.
    pub properties: Vec<String>,
    /// The property on the map, where any was graded.
    pub shown: Option<String>,
    /// Lines of notes whose code stands in several plans and that don't say which.
    pub unclear: Vec<usize>,
    /// Where the map goes.
    pub page: Option<PageFile>,
}

/// What was noted about a tile.
#[derive(Debug, Clone, PartialEq)]
pub struct Tile {
    /// The latest grade of each property that it was graded for.
    pub latest: IndexMap<String, Grade>,
    /// The latest look that saw crazing, else the latest for it.
    pub crazed: Option<Crazed>,
    /// A torture test that crazed some.
    pub failed_test: Option<String>,
    /// Lines of its notes, by day.
    pub lines: Vec<usize>,
    /// The latest note's day, and the age then in days.
    pub last: Option<(Date, Option<f64>)>,
}

/// A grade with its note.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grade {
    /// 0 to 5.
    pub grade: f64,
    /// The day.
    pub on: Date,
    /// The note's line.
    pub line: usize,
}

/// A look for crazing with its note.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Crazed {
    /// How many were crazed.
    pub crazed: u32,
    /// Of how many.
    pub pieces: Option<u32>,
    /// Their age in days.
    pub age_days: Option<f64>,
    /// The day.
    pub on: Date,
    /// The note's line.
    pub line: usize,
}

impl OnePlan {
    fn of(told: &PlanNotes<'_>, shown: Option<String>, page: Option<PageFile>) -> OnePlan {
        let properties: Vec<String> = told.properties().into_iter().map(str::to_owned).collect();
        OnePlan {
            plan: told.plan.clone(),
            tiles: told.tiles.iter().map(|tile| Tile::of(tile, &properties)).collect(),
            noted: noted(told),
            shown: shown.or_else(|| properties.first().cloned()),
            properties,
            unclear: told.unclear.clone(),
            page,
        }
    }
}

impl Tile {
    fn of(tile: &TileNotes<'_>, properties: &[String]) -> Tile {
        let latest = properties.iter().filter_map(|property| {
            let (grade, note) = tile.latest_grade(property)?;
            let grade = Grade {
                grade,
                on: note.on,
                line: note.line,
            };
            Some((property.clone(), grade))
        });
        Tile {
            latest: latest.collect(),
            failed_test: tile.failed_test().map(str::to_owned),
            crazed: tile.crazed().map(|(crazed, note)| Crazed {
                crazed,
                pieces: note.pieces,
                age_days: note.age_days,
                on: note.on,
                line: note.line,
            }),
            lines: tile.notes.iter().map(|note| note.line).collect(),
            last: tile.notes.last().map(|note| (note.on, note.age_days)),
        }
    }
}

#[derive(Serialize, schemars::JsonSchema)]
struct ListedJson<'a> {
    plan: &'a str,
    on: Option<String>,
    kind: &'a str,
    tiles: usize,
    noted: usize,
}

impl Serialize for Listed {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        ListedJson {
            plan: &self.name,
            on: self.on.map(|on| on.to_string()),
            kind: &self.kind,
            tiles: self.tiles,
            noted: self.noted,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Listed: ListedJson<'_>);

#[derive(Serialize, schemars::JsonSchema)]
struct GradeJson {
    grade: f64,
    on: String,
    line: usize,
}

#[derive(Serialize, schemars::JsonSchema)]
struct CrazedJson {
    crazed: u32,
    pieces: Option<u32>,
    age_days: Option<f64>,
    on: String,
    line: usize,
}

#[derive(Serialize, schemars::JsonSchema)]
struct TileJson<'a> {
    code: &'a str,
    shares: &'a [f64],
    parts: Amounts,
    additions: Amounts,
    latest: IndexMap<&'a str, GradeJson>,
    crazed: Option<CrazedJson>,
    failed_test: Option<&'a str>,
    lines: &'a [usize],
}

#[derive(Serialize, schemars::JsonSchema)]
struct PlanJson<'a> {
    plan: &'a str,
    on: Option<String>,
    call: &'a str,
    kind: &'a str,
    shape: &'static str,
    rows: &'a [usize],
    ends: &'a [String],
    properties: &'a [String],
    tiles: Vec<TileJson<'a>>,
    unclear: &'a [usize],
}

impl Serialize for OnePlan {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let plan = &self.plan;
        let tiles = plan.tiles.iter().zip(&self.tiles);
        PlanJson {
            plan: &plan.name,
            on: plan.on.map(|on| on.to_string()),
            call: &plan.call,
            kind: &plan.kind,
            shape: plan.shape.word(),
            rows: &plan.rows,
            ends: &plan.ends,
            properties: &self.properties,
            tiles: tiles
                .map(|(saved, noted)| TileJson {
                    code: &saved.code,
                    shares: &saved.shares,
                    parts: Amounts(saved.parts.clone()),
                    additions: Amounts(saved.additions.clone()),
                    latest: noted.latest.iter().map(grade_json).collect(),
                    crazed: noted.crazed.map(crazed_json),
                    failed_test: noted.failed_test.as_deref(),
                    lines: &noted.lines,
                })
                .collect(),
            unclear: &self.unclear,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(OnePlan: PlanJson<'_>);

fn grade_json<'a>((property, grade): (&'a String, &Grade)) -> (&'a str, GradeJson) {
    let json = GradeJson {
        grade: grade.grade,
        on: grade.on.to_string(),
        line: grade.line,
    };
    (property, json)
}

fn crazed_json(crazed: Crazed) -> CrazedJson {
    CrazedJson {
        crazed: crazed.crazed,
        pieces: crazed.pieces,
        age_days: crazed.age_days,
        on: crazed.on.to_string(),
        line: crazed.line,
    }
}
