//! Which batches are asked for, each name checked against the book and the shelf.

use std::collections::BTreeSet;

use glost_chemistry::diagnostic::{Diagnostic, none_called, suggestion};
use glost_chemistry::read::folded;
use glost_core::workshop::batches::{Booking, Journal, Wanted};
use glost_studio::Workplace;

use crate::{Failure, lookup};

/// Which batches are asked for, as typed; what isn't named fits everything.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AskedList {
    /// A material by one of its names.
    pub material: Option<String>,
    /// A lot.
    pub lot: Option<String>,
    /// A glaze.
    pub glaze: Option<String>,
}

impl AskedList {
    pub(super) fn checked(&self, workplace: &Workplace, journal: &Journal) -> Result<Wanted, Failure> {
        let material = self.material.as_ref();
        let glaze = self.glaze.as_ref();
        Ok(Wanted {
            material: material.map(|typed| names(typed, workplace, journal)).transpose()?,
            lot: self.lot.clone(),
            glaze: glaze.map(|typed| glaze_of(typed, workplace, journal)).transpose()?,
        })
    }
}

fn bookings(journal: &Journal) -> impl Iterator<Item = &Booking> {
    journal.batches.iter().map(|batch| &*batch.booking)
}

/// All names of a material, of the studio's or of a booking.
fn names(typed: &str, workplace: &Workplace, journal: &Journal) -> Result<Vec<String>, Diagnostic> {
    if let Some(known) = workplace.library().find(typed) {
        let mut names = vec![known.name.clone(), typed.to_owned()];
        names.extend(known.other_names.iter().cloned());
        return Ok(names);
    }
    let lines = bookings(journal).flat_map(|booking| &booking.lines);
    let mut booked = lines.map(|line| line.material.as_str());
    match booked.find(|name| folded(name) == folded(typed)) {
        Some(name) => Ok(vec![name.to_owned()]),
        None => lookup::material(workplace.library(), "material", typed).map(|known| vec![known.name.clone()]),
    }
}

/// A glaze's name, of a booking or of the studio's.
fn glaze_of(typed: &str, workplace: &Workplace, journal: &Journal) -> Result<String, Diagnostic> {
    let known: BTreeSet<&str> = bookings(journal).map(|booking| booking.glaze.as_str()).collect();
    if let Some(name) = known.iter().find(|name| folded(name) == folded(typed)) {
        return Ok((*name).to_owned());
    }
    match workplace.glaze(typed) {
        Ok(found) => Ok(found.glaze.name),
        Err(errors) => {
            let error = Diagnostic::error("unknown-glaze", none_called("batch and no glaze here", typed));
            let near = suggestion(typed, known);
            let other = errors.into_iter().find_map(|error| error.help);
            Err(error.maybe_help(near.or(other)))
        }
    }
}
