//! The versions that notes belong to, recorded before they are.

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::quantity::Date;
use std::sync::Arc;

use glost_core::evidence::notes::{Belongs, Note, TodaysRecipes, Version, Versions};

use super::named::Named;
use crate::recorded::version_line;
use crate::{Desk, Failure};

/// Records what versions these notes need, on disk when this returns, and puts
/// the versions' names into the notes. Gives the new ones.
pub(super) fn record(desk: &Desk, notes: &mut [Named], today: Date) -> Result<Vec<Version>, Failure> {
    // Most notes need no new version, and then nothing is locked.
    let asked: Vec<Option<String>> = notes.iter().map(|named| named.note.version.clone()).collect();
    let new = settle(&desk.workplace().versions()?.0, notes, today)?;
    if new.is_empty() {
        return Ok(new);
    }
    desk.workplace().add_versions(|versions| -> Result<_, Failure> {
        for (named, asked) in notes.iter_mut().zip(asked) {
            named.note.version = asked;
        }
        let new = settle(versions, notes, today)?;
        Ok((new.iter().map(version_line).collect(), new))
    })
}

/// Finds each note's version, among these and those that are new.
fn settle(versions: &Versions, notes: &mut [Named], today: Date) -> Result<Vec<Version>, Failure> {
    let mut versions = versions.clone();
    let mut new = Vec::new();
    for named in notes {
        let Some(glaze) = &named.recipe else { continue };
        let belongs = versions
            .place(glaze, named.note.version.as_deref(), today)
            .map_err(|other| called_otherwise(&named.note, &other))?;
        if let Belongs::ToNew(version) = &belongs {
            versions.push(version.clone());
            new.push(version.clone());
        }
        named.note.version = Some(belongs.version().version.clone());
        named.standing = TodaysRecipes::of([Arc::new(glaze.clone())], today).standing(&named.note, &versions);
        named.older = named
            .note
            .fired_on()
            .and_then(|fired| versions.before(belongs.version(), fired).cloned());
        named.version = Some(belongs);
    }
    Ok(new)
}

fn called_otherwise(note: &Note, other: &Version) -> Diagnostic {
    let message = format!(
        "{} has no version `{}`, and its recipe is recorded as {}",
        other.glaze,
        note.version.as_deref().unwrap_or(""),
        other.version
    );
    Diagnostic::error("unknown-version", message).help(format!(
        "leave --version out, or say --version {}; for an older recipe name a file that holds it",
        other.version
    ))
}
