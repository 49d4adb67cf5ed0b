//! `glost batches`: the book of batches, and where a lot went.

mod difference;
mod list;
mod one;

use glost_core::workshop::batches::Void;
use glost_desk::batches::Answer;

use crate::layout::Style;
use crate::{Csv, Shown};

pub(crate) use one::changes;

/// The column that short names are cut to.
const SHORT: usize = 16;

impl Shown for Answer {
    fn csv(&self) -> Option<Csv> {
        Csv::of_json(self, "batches")
    }

    fn text(&self, style: Style) -> String {
        match self {
            Answer::List {
                batches,
                material,
                lot,
                glaze,
                lots,
                booked,
            } => list::List {
                batches,
                material: material.as_deref(),
                lot: lot.as_deref(),
                glaze: glaze.as_deref(),
                lots,
                booked: *booked,
            }
            .text(style),
            Answer::One(batch) => one::text(batch, style),
            Answer::Difference(compared) => difference::text(compared, style),
            Answer::TakenBack { booking, void } => one::void_text(booking, void, style),
        }
    }
}

pub(super) fn taken_back(void: &Void) -> String {
    match &void.text {
        Some(text) => format!("{}: {}", void.on, text.trim_end_matches('.')),
        None => void.on.to_string(),
    }
}

/// A name that fits its column.
pub(super) fn cut(name: &str, most: usize) -> String {
    if name.chars().count() > most {
        name.chars().take(most - 1).chain(['…']).collect()
    } else {
        name.to_owned()
    }
}

/// A value in a narrow column.
pub(super) fn short(text: &str) -> String {
    cut(text, SHORT)
}
