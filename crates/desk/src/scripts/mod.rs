//! Questions about scripts themselves.

pub mod diff;
pub mod difference;
pub mod list;
mod measured;
pub mod new;
pub mod packages;
pub mod reference;
pub mod show;
pub mod test;

use glost_chemistry::diagnostic::{Diagnostic, Place, Severity};
use glost_core::rules::{Signature, Whose};
use glost_core::studio::StudioSettings;
use glost_script::{Broken, ColumnSpec, OptionSpec, Script};
use serde::Serialize;
use serde::ser::Serializer;

use crate::Desk;
use crate::rulebook::Rulebook;
use crate::wire::Complaint;

/// What is known about a script before it runs.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
pub struct Card {
    /// Its name, `check/alkali-balance`.
    pub name: String,
    /// Its kind.
    pub kind: &'static str,
    /// Its title.
    pub title: String,
    /// Where its numbers come from.
    pub source: String,
    /// What it says in its header comment.
    pub purpose: String,
    /// The uses it applies to; empty: all.
    pub uses: Vec<String>,
    /// The cones and atmospheres it is for, in words; empty: all.
    pub meant_for: String,
    /// Whether it comes with Glost.
    pub shipped: bool,
    /// Whose text it is.
    #[schemars(with = "String")]
    pub whose: Whose,
    /// The first 12 hex digits of SHA-256 of its text.
    pub hash: String,
    /// Its file; `None` where it comes with Glost.
    pub path: Option<String>,
    /// Its version, as its author counts.
    pub version: Option<String>,
    /// Who wrote it.
    pub author: Option<String>,
    /// Under which licence.
    pub licence: Option<String>,
    /// What its text was made from.
    pub based_on: Option<String>,
    /// Whether the studio turned it off.
    pub off: bool,
    /// What its cautions weigh here, where the studio says.
    pub level: Option<&'static str>,
    /// Why, where the studio says.
    pub because: Option<String>,
    /// Its options.
    pub options: Vec<OptionCard>,
    /// Its tables.
    pub tables: Vec<TableCard>,
    /// What its author should know.
    pub cautions: Vec<Told>,
}

/// A complaint that stands in an answer.
#[derive(Debug, Clone)]
pub struct Told(pub Diagnostic);

impl Serialize for Told {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        Complaint(&self.0).serialize(to)
    }
}

crate::wire::written_as!(Told: Complaint);

/// A script that can't be used.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
pub struct BrokenCard {
    /// Its name.
    pub name: String,
    /// Its kind, as far as that can be told.
    pub kind: Option<&'static str>,
    /// Whose text it is.
    #[schemars(with = "Option<String>")]
    pub whose: Option<Whose>,
    /// The first 12 hex digits of SHA-256 of its text.
    pub hash: Option<String>,
    /// What is wrong with it, the first in its text.
    pub error: Told,
    /// What else is.
    pub more: Vec<Told>,
}

impl From<Broken> for BrokenCard {
    fn from(broken: Broken) -> BrokenCard {
        let signed = broken.signed.map(|signed| Signature::clone(&signed));
        let (whose, hash) = signed.map(|signed| (signed.whose, signed.hash)).unzip();
        BrokenCard {
            name: broken.name,
            kind: broken.kind.map(glost_script::Kind::word),
            whose,
            hash,
            error: Told(broken.why),
            more: broken.more.into_iter().map(Told).collect(),
        }
    }
}

/// One option of a script.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
pub struct OptionCard {
    /// Its name.
    pub name: String,
    /// Its value in force, as text.
    pub value: String,
    /// Its value unless set.
    pub default: String,
    /// Where it was set, `studio.yaml:7:22`; `None`: it is at its default.
    pub set_at: Option<String>,
    /// Its unit.
    pub unit: Option<String>,
    /// The least it may be.
    pub min: Option<f64>,
    /// The most it may be.
    pub max: Option<f64>,
    /// What it does.
    pub help: String,
}

/// A table that a script reads.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
pub struct TableCard {
    /// Its name.
    pub name: String,
    /// Its columns, each with what it must hold.
    pub columns: Vec<String>,
}

impl Card {
    pub(crate) fn of(script: &Script, book: &Rulebook) -> Card {
        let about = &script.about;
        let tables = about.tables.iter().map(|table| TableCard {
            name: table.name.clone(),
            columns: table.columns.iter().map(column).collect(),
        });
        Card {
            name: script.name.clone(),
            kind: script.kind_word(),
            title: about.title.clone(),
            source: about.source.clone(),
            purpose: script.purpose.clone(),
            uses: about.uses.iter().map(|usage| usage.word().to_owned()).collect(),
            meant_for: about.meant_for(),
            shipped: script.is_shipped(),
            whose: script.whose.clone(),
            hash: script.hash.clone(),
            path: (!script.is_shipped()).then(|| script.source.name.to_string()),
            version: about.version.clone(),
            author: about.author.clone(),
            licence: about.licence.clone(),
            based_on: about.based_on.clone(),
            off: book.store.is_off(&script.name),
            level: script.level.map(glost_core::rules::Level::words),
            because: book.reason(&script.name).map(str::to_owned),
            options: about.options.iter().map(|spec| option(spec, script, book)).collect(),
            tables: tables.collect(),
            cautions: script.cautions.iter().cloned().map(Told).collect(),
        }
    }
}

fn option(spec: &OptionSpec, script: &Script, book: &Rulebook) -> OptionCard {
    let set = book.options.of(&script.name);
    let set = set.iter().rfind(|(name, _)| *name == spec.name);
    let place = book.set_at(&script.name, &spec.name);
    OptionCard {
        name: spec.name.clone(),
        value: set.map_or_else(|| spec.value.to_string(), |(_, value)| value.clone()),
        default: spec.value.to_string(),
        set_at: place.map(|Place { file, mark, .. }| format!("{file}:{}:{}", mark.line, mark.column)),
        unit: spec.unit.clone(),
        min: spec.min,
        max: spec.max,
        help: spec.help.clone(),
    }
}

/// A column with what it must hold, `date (date, may be left out)`.
fn column(column: &ColumnSpec) -> String {
    let missing = column.may_be_missing.then_some("may be left out");
    let notes: Vec<&str> = column.kind.word().into_iter().chain(missing).collect();
    if notes.is_empty() {
        column.name.clone()
    } else {
        format!("{} ({})", column.name, notes.join(", "))
    }
}

/// The scripts to be looked at.
///
/// Settings can't be held against scripts of a package that is left out: what is wrong with
/// them then is told aside.
fn book(desk: &Desk) -> Result<Rulebook, Vec<Diagnostic>> {
    let workplace = desk.workplace();
    match Rulebook::to_look(workplace, workplace.settings()) {
        Err(wrong) if workplace.packages().changed.is_some() => {
            desk.tell(wrong.into_iter().map(|mut why| {
                why.severity = Severity::Caution;
                why
            }));
            Rulebook::to_look(workplace, &StudioSettings::default())
        }
        book => book,
    }
}

/// The whole name and the text of a shipped script.
///
/// # Errors
/// None of that name.
fn shipped_or(desk: &Desk, name: &str) -> Result<(&'static str, &'static str), Diagnostic> {
    shipped(name).map_err(|why| {
        let store = Rulebook::unsettled(desk.workplace());
        match store.whole_name(name) {
            Ok(own) => Diagnostic::error(
                "unknown-script",
                format!("`{}` doesn't come with Glost: its text is no shipped one", own),
            )
            .help("without `--shipped` its own text is shown"),
            Err(_) => why,
        }
    })
}

/// As [`shipped_or`], whatever the studio has.
fn shipped(name: &str) -> Result<(&'static str, &'static str), Diagnostic> {
    let store = glost_script::ScriptStore::with_shipped();
    let whole = store.whole_name(name)?;
    let found = glost_script::SHIPPED.iter().find(|(known, _)| *known == whole);
    // What is in a store of shipped scripts is shipped.
    found
        .copied()
        .ok_or_else(|| Diagnostic::error("unknown-script", format!("no script called `{name}` comes with Glost")))
}
