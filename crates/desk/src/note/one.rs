//! One note: written, and what it means.

use super::{Draft, look_again};
use glost_chemistry::diagnostic::{Diagnostic, did_you_mean, nearest};
use glost_chemistry::quantity::Date;
use glost_chemistry::read::folded;
use glost_core::evidence::notes::{
    Belongs, Note, Notes, RecipeStanding, Story, maybe_same_pieces, next_look, rate_below_percent, stories,
};
use serde::{Serialize, Serializer};
use serde_json::Value;

use super::books::{Books, Known};
use super::named::Named;
use super::record::record;
use super::take_back::{line_of, standing_note};
use super::{Noticed, slip};
use crate::wire::NoteJson;
use crate::{Desk, Failure, Said};

/// Pieces fired so long before their recipe was recorded may be of another.
const LONG_BEFORE_DAYS: i64 = 60;

/// A note that was just written.
#[derive(Debug, Clone)]
pub struct Noted {
    /// The note with its line.
    pub note: Note,
    /// Whether it was noted before: nothing was written then.
    pub already: bool,
    /// Its version, where that was recorded for this note.
    pub recorded_version: Option<String>,
    /// What its recipe is to today's.
    pub standing: RecipeStanding,
    /// All looks at these pieces, this one among them, by age.
    pub looks: Vec<Note>,
    /// What it means.
    pub meaning: Vec<Meaning>,
    /// What in the looks can't all be true.
    pub contradictions: Vec<Said>,
    /// The line of an earlier note that may be of the same pieces.
    pub maybe_same_pieces: Option<usize>,
    /// When to look next.
    pub next: Option<NextLook>,
    /// What was assumed.
    pub assumptions: Vec<Said>,
    /// What to take care of.
    pub cautions: Vec<Said>,
}

/// What a look means.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Meaning {
    /// Nothing crazed so far.
    HeldSoFar {
        /// Pieces looked at.
        pieces: u32,
        /// Fewer than so many per cent of such pieces craze by this age, 95 % confidence.
        below_percent: f64,
    },
    /// None crazed in a torture test.
    PassedTest,
    /// Some crazed in a torture test.
    FailedTest,
    /// Some crazed.
    Crazed,
    /// Some shivered.
    Shivered,
    /// Some cracked through.
    Dunted,
    /// A laboratory's report is about this recipe only.
    Report,
}

/// When to look at pieces again.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NextLook {
    /// The day.
    pub on: Date,
    /// Whether that is no later than the latest look.
    pub soon: bool,
    /// The line of the latest look.
    pub line: usize,
    /// How many pieces were looked at then.
    pub pieces: Option<u32>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct NotedJson<'a> {
    #[serde(flatten)]
    note: NoteJson<'a>,
    already: bool,
    recorded_version: Option<&'a str>,
    seen: Said,
    other_looks: Vec<usize>,
    contradictions: &'a [Said],
    maybe_same_pieces: Option<usize>,
    look_again_on: Option<String>,
    assumptions: &'a [Said],
    cautions: &'a [Said],
}

impl Serialize for Noted {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let lines = self.looks.iter().map(|look| look.line);
        NotedJson {
            note: NoteJson(&self.note),
            already: self.already,
            recorded_version: self.recorded_version.as_deref(),
            seen: Said::Seen(Box::new(self.note.clone())),
            other_looks: lines.filter(|line| *line != self.note.line).collect(),
            contradictions: &self.contradictions,
            maybe_same_pieces: self.maybe_same_pieces,
            look_again_on: self.next.map(|next| next.on.to_string()),
            assumptions: &self.assumptions,
            cautions: &self.cautions,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Noted: NotedJson<'_>);

/// How a note is to be written.
#[derive(Debug, Clone, Copy)]
pub(super) struct Writing<'a> {
    /// The line or id of an earlier look at the same pieces.
    pub(super) again: Option<&'a str>,
    /// Whether names that no file has are taken.
    pub(super) unlisted: bool,
    /// Whether a note that is there already is written once more.
    pub(super) twice: bool,
}

/// Writes a note, or a later look at the pieces of an earlier one.
pub(super) fn note(desk: &Desk, mut draft: Draft, writing: Writing<'_>, today: Date) -> Result<Noted, Failure> {
    let Writing { again, unlisted, twice } = writing;
    let says_nothing = !draft.says_anything_seen();
    let known = match again {
        Some(text) => {
            let before = desk.workplace().notes()?.0;
            let earlier = standing_note(&before, line_of(&before, text)?)?;
            look_again(earlier, &mut draft, today).map_err(slip)?;
            Known::of_earlier(earlier)
        }
        None => Books::open(desk)?.fill(&mut draft, today).map_err(slip)?,
    };
    let settled = draft.settle(today).map_err(slip)?;
    let named = Named::find(desk, settled, known, unlisted)?;
    if says_nothing {
        return Err(nothing_seen().into());
    }
    unknown_report(desk, &draft)?;
    write(desk, named, twice, today)
}

/// A note of a laboratory's results: which pieces, as any note says it, and a key of its own.
///
/// # Errors
/// As for any note.
pub(crate) fn note_of_results(
    desk: &Desk,
    mut draft: Draft,
    (key, value): (&str, Value),
    today: Date,
) -> Result<Noted, Failure> {
    let known = Books::open(desk)?.fill(&mut draft, today).map_err(slip)?;
    let settled = draft.settle(today).map_err(slip)?;
    let mut named = Named::find(desk, settled, known, false)?;
    named.note.other.push((key.to_owned(), value));
    write(desk, named, false, today)
}

/// A note that says nothing but which pieces would be an empty line.
fn nothing_seen() -> Diagnostic {
    Diagnostic::error("nothing-seen", "nothing says what was seen on these pieces")
        .help("say it: --crazed 0/5 --age \"30 days\", --grade gloss=4, --text \"...\"; `glost note --help` lists all")
}

/// A laboratory's report is a file that is there, one that was kept, or a number or date: a
/// name that is none of these is a slip of the pen.
///
/// # Errors
/// It is none of these, with the nearest that is kept.
fn unknown_report(desk: &Desk, draft: &Draft) -> Result<(), Failure> {
    let Some(named) = draft.said("lab") else { return Ok(()) };
    let numbered = named.chars().any(|sign| sign.is_ascii_digit());
    if numbered || desk.workplace().file_at(named).is_some() {
        return Ok(());
    }
    let notes = desk.workplace().notes()?.0;
    let kept: Vec<&str> = notes.standing().filter_map(|note| note.lab.as_deref()).collect();
    if kept.iter().any(|known| folded(known) == folded(named)) {
        return Ok(());
    }
    let near = nearest(named, kept.iter().copied()).map_or_else(String::new, |near| did_you_mean(near) + " ");
    let message = format!(
        "--lab: no report called `{}` is kept, and no file of that name is there",
        named
    );
    let help = near
        + "`glost lab GLAZE --sheet FILE.csv` keeps a report with its results; a report on paper is named by its number or date";
    Err(Diagnostic::error("unknown-report", message).help(help).into())
}

fn write(desk: &Desk, mut named: Named, twice: bool, today: Date) -> Result<Noted, Failure> {
    let new_version = record(desk, std::slice::from_mut(&mut named), today)?.pop();
    let recorded = new_version.map(|version| version.version);
    desk.workplace().add_notes(|notes| -> Result<_, Failure> {
        let known = notes.alike(&named.note);
        let already = known.is_some() && !twice;
        named.note = match known {
            Some(known) if already => known.clone(),
            Some(_) => notes.copy_of(&named.note),
            None => named.note.clone().named(),
        };
        let mut lines = Vec::new();
        if !already {
            named.note.line = notes.line_count() + 1;
            lines.push(named.note.to_line());
        }
        let mut answer = noted(named, recorded, notes);
        answer.already = already;
        Ok((lines, answer))
    })
}

fn noted(named: Named, recorded_version: Option<String>, notes: &Notes) -> Noted {
    let recipe_doubt = recipe_doubt(&named);
    let Named {
        note,
        standing,
        mut assumptions,
        cautions,
        ..
    } = named;
    assumptions.extend(recipe_doubt.map(Said::Note));
    let pieces = folded(&note.group());
    let others = notes
        .standing()
        .filter(|other| other.line != note.line && folded(&other.group()) == pieces);
    let mut told = stories(others.chain([&note])).into_iter();
    let own = told.find(|story| story.looks.iter().any(|look| look.line == note.line));
    let story = own.unwrap_or_else(|| Story { looks: vec![&note] });
    let earlier = notes.standing().filter(|other| other.line < note.line);
    let latest = story.latest();
    Noted {
        already: false,
        recorded_version,
        standing,
        looks: story.looks.iter().copied().cloned().collect(),
        meaning: meaning(&note, story.ever_crazed()),
        contradictions: story.contradictions().iter().map(Said::from).collect(),
        maybe_same_pieces: maybe_same_pieces(&note, earlier).map(|other| other.line),
        next: next_look(story.clone()).map(|due| NextLook {
            on: due.on,
            soon: due.on <= latest.on,
            line: latest.line,
            pieces: latest.pieces,
        }),
        assumptions,
        cautions,
        note,
    }
}

/// Whether the pieces may be of another recipe than the one they are noted as.
fn recipe_doubt(named: &Named) -> Option<Noticed> {
    let version = named.version.as_ref().map(Belongs::version)?;
    if let Some(older) = &named.older {
        return Some(Noticed::MaybeOlder {
            version: version.version.clone(),
            older: older.version.clone(),
        });
    }
    let long_before = |fired: Date| version.on.days_since(fired) > LONG_BEFORE_DAYS;
    let doubtful = named.standing == RecipeStanding::Today && named.note.fired_on().is_some_and(long_before);
    doubtful.then_some(Noticed::FiredLongBefore)
}

fn meaning(note: &Note, crazed_before: bool) -> Vec<Meaning> {
    let mut said = Vec::new();
    match (note.crazed, note.pieces) {
        (Some(0), _) if note.test().is_some() => said.push(Meaning::PassedTest),
        (Some(_), _) if note.test().is_some() => said.push(Meaning::FailedTest),
        (Some(0), _) if crazed_before => {}
        (Some(0), Some(pieces)) => said.push(Meaning::HeldSoFar {
            pieces,
            below_percent: rate_below_percent(pieces),
        }),
        (Some(_), _) => said.push(Meaning::Crazed),
        (None, _) => {}
    }
    if note.shivered.is_some_and(|shivered| shivered > 0) {
        said.push(Meaning::Shivered);
    }
    if note.dunted.is_some_and(|dunted| dunted > 0) {
        said.push(Meaning::Dunted);
    }
    if note.lab.is_some() {
        said.push(Meaning::Report);
    }
    said
}
