//! The typed values that a script sees, one file a value.
//!
//! They are read only, cheap to hand around, and ask back when a name is
//! misspelt.

mod bucket;
mod claims;
mod clay;
mod costs;
mod findings;
mod fit;
mod fitting;
mod given;
mod given_notes;
mod given_stock;
mod glaze;
pub(crate) mod kinds;
mod materials;
mod melt;
mod near;
mod notes;
mod options;
mod oxides;
mod parts;
mod plain;
mod planning;
mod proposal;
mod reporting;
mod request;
mod sayings;
mod seen;
mod solving;
mod studio;
mod tester;
pub(crate) mod tried;
mod variations;
mod walked;

pub(crate) use clay::ClayValue;
pub(crate) use glaze::{GlazeValue, unknown_analysis};
pub(crate) use materials::MaterialValue;
pub(crate) use melt::peak_or_cone;
pub(crate) use options::{OptionsValue, options_read_by_name};
pub(crate) use oxides::{Amount, Amounts, OxidesValue, range};
pub(crate) use parts::{PartValue, PartsValue};
pub(crate) use proposal::{ProposalValue, recipes};
pub(crate) use reporting::ReportValue;
pub(crate) use seen::{SeenValue, causes};
pub(crate) use studio::StudioValue;
pub(crate) use tester::TesterValue;

use std::fmt::Write;

use glost_chemistry::diagnostic::suggestion;
use rhai::{Dynamic, EvalAltResult, ImmutableString};

use crate::shelf::Shelf;
use crate::sort::Sort;
use crate::trouble::Trouble;

/// Puts every value on the shelf.
pub(crate) fn register(shelf: &mut Shelf) {
    crate::language::own_values_read_as(write_named);
    oxides::register(shelf);
    glaze::register(shelf);
    melt::register(shelf);
    costs::register(shelf);
    bucket::register(shelf);
    sayings::register(shelf);
    parts::register(shelf);
    materials::register(shelf);
    clay::register(shelf);
    walked::register(shelf);
    near::register(shelf);
    notes::register(shelf);
    fit::register(shelf);
    options::register(shelf);
    studio::register(shelf);
    reporting::register(shelf);
    request::register(shelf);
    seen::register(shelf);
    planning::register(shelf);
    proposal::register(shelf);
    tester::register(shelf);
}

/// The values that stand by themselves, with their names.
pub(crate) fn globals() -> [(String, Dynamic); 2] {
    [
        ("materials".to_owned(), Dynamic::from(materials::MaterialsValue)),
        ("request".to_owned(), Dynamic::from(request::RequestValue)),
    ]
}

/// `owner` has no `typed`: the error with the nearest right name.
pub(crate) fn no_such_name<'a>(
    owner: Sort,
    typed: &str,
    names: impl IntoIterator<Item = &'a str>,
) -> Box<EvalAltResult> {
    Trouble::new("unknown-name", format!("{} `{typed}`", owner.has_no()))
        .maybe_help(suggestion(typed, names))
        .raise()
}

/// A value or `()`.
pub(crate) fn or_nothing<T: Into<Dynamic>>(value: Option<T>) -> Dynamic {
    value.map_or(Dynamic::UNIT, Into::into)
}

/// A text or `()`.
pub(crate) fn text_or_nothing(value: Option<&str>) -> Dynamic {
    value.map_or(Dynamic::UNIT, |text| Dynamic::from(ImmutableString::from(text)))
}

/// What one of our own values reads as in a text: its name.
fn write_named(value: &Dynamic, text: &mut String) {
    if let Some(glaze) = value.read_lock::<GlazeValue>() {
        text.push_str(glaze.name());
    } else if let Some(material) = value.read_lock::<MaterialValue>() {
        text.push_str(&material.0.name);
    } else if let Some(part) = value.read_lock::<PartValue>() {
        let _ = write!(
            text,
            "{} {}",
            part.material.name,
            crate::language::number_text(part.percent)
        );
    } else if let Some(oxides) = value.read_lock::<OxidesValue>() {
        oxides.write(text);
    } else if let Some(parts) = value.read_lock::<PartsValue>() {
        parts.write(text);
    } else {
        text.push_str(Sort::words_for_type(value.type_name()));
    }
}
