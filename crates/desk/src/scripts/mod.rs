//! Questions about scripts themselves.

pub mod list;
pub mod new;
pub mod reference;
pub mod show;
pub mod test;

use std::sync::Arc;

use glost_chemistry::diagnostic::Diagnostic;
use glost_script::{ColumnSpec, Script};
use serde::Serialize;

use crate::rulebook::Rulebook;
use crate::{Desk, Failure};

/// What is known about a script before it runs.
#[derive(Debug, Clone, Serialize)]
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
    /// Whether it comes with Glost.
    pub shipped: bool,
    /// Its options.
    pub options: Vec<OptionCard>,
    /// Its tables.
    pub tables: Vec<TableCard>,
}

/// One option of a script.
#[derive(Debug, Clone, Serialize)]
pub struct OptionCard {
    /// Its name.
    pub name: String,
    /// Its value now, as text.
    pub value: String,
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
#[derive(Debug, Clone, Serialize)]
pub struct TableCard {
    /// Its name.
    pub name: String,
    /// Its columns, each with what it must hold.
    pub columns: Vec<String>,
}

impl Card {
    fn of(script: &Script) -> Card {
        let about = &script.about;
        let options = about.options.iter().map(|option| OptionCard {
            name: option.name.clone(),
            value: option.value.text(),
            unit: option.unit.clone(),
            min: option.min,
            max: option.max,
            help: option.help.clone(),
        });
        let tables = about.tables.iter().map(|table| TableCard {
            name: table.name.clone(),
            columns: table.columns.iter().map(column).collect(),
        });
        Card {
            name: script.name.clone(),
            kind: about.kind.word(),
            title: about.title.clone(),
            source: about.source.clone(),
            purpose: script.purpose.clone(),
            uses: about.uses.clone(),
            shipped: script.shipped,
            options: options.collect(),
            tables: tables.collect(),
        }
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

fn book(desk: &Desk) -> Result<Rulebook, Diagnostic> {
    Rulebook::open(desk.workplace(), desk.workplace().settings())
}

/// Every script that can be seen.
fn every(book: &Rulebook) -> Result<Vec<Arc<Script>>, Failure> {
    let (mut scripts, mut complaints) = (Vec::new(), Vec::new());
    for name in book.store.names() {
        match book.store.find(name) {
            Ok(script) => scripts.push(script),
            Err(why) => complaints.push(why),
        }
    }
    if complaints.is_empty() {
        Ok(scripts)
    } else {
        Err(Failure::Wrong(complaints))
    }
}
