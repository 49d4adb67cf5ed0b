//! The kiln: loaded, opened, listed, and what its firings taught.

mod answer;
mod beside_glazes;
mod from_kilns;
mod list;
mod load;
mod opened;
mod put;
mod said;
mod typed;

pub(crate) use answer::load_json;
pub use answer::{FiringJson, Loaded, Opened, day_of};
pub(crate) use from_kilns::{booked, group_name};
pub use from_kilns::{pieces_from_kilns, unnamed_from_kilns};
pub use list::{Answer as Listed, Question as List, Seen, TakenBack, Told};
pub use load::Question as Load;
pub use opened::{Question as Open, parse_soak};
pub use said::{KilnSaid, MAYBE_A_SLIP_CELSIUS, MAYBE_A_SLIP_CONES};
pub use typed::{SaidEntry, parse_put};

use glost_chemistry::diagnostic::{Diagnostic, did_you_mean, nearest, none_called};
use glost_chemistry::quantity::{Cone, Date};
use glost_chemistry::read::folded;
use glost_core::evidence::firings::{Firing, Firings, NotOne};

use crate::{Failure, Words};

/// A cone as typed, by its own name: `04` isn't 4.
fn cone(words: &Words, name: &str) -> Result<Option<String>, Diagnostic> {
    Ok(words.read(name, Cone::parse)?.map(|cone| cone.name().to_owned()))
}

/// A day that isn't still to come.
fn day(on: Option<Date>, today: Date) -> Result<Date, Diagnostic> {
    let on = on.unwrap_or(today);
    if on > today {
        let message = format!("--on: {on} is still to come (today is {today})");
        return Err(Diagnostic::error("bad-option", message).help("write the day it was done"));
    }
    Ok(on)
}

/// The firing that an id or a name means.
fn find<'a>(book: &'a Firings, text: &str) -> Result<&'a Firing, Diagnostic> {
    book.find(text).map_err(|why| match why {
        NotOne::Several(several) => {
            let ids: Vec<String> = several.iter().map(|firing| described(firing)).collect();
            let message = format!("{} firings are called `{}`", several.len(), text.trim());
            Diagnostic::error("shared-name", message).help(format!("name one by its id: {}", ids.join(", ")))
        }
        NotOne::Unknown => {
            let ids = book.all().iter().map(|firing| firing.id.as_str());
            let names = book.all().iter().filter_map(|firing| firing.firing.as_deref());
            let near = nearest(&folded(text), ids.chain(names)).map(did_you_mean);
            let error = Diagnostic::error("unknown-firing", none_called("firing", text.trim()));
            error.help(near.unwrap_or_else(|| "`glost kiln` lists the firings with their ids".to_owned()))
        }
    })
}

/// `jpq5lo67 (spring glost, loaded 2026-11-24)`.
fn described(firing: &Firing) -> String {
    let name = firing
        .firing
        .as_ref()
        .map_or_else(String::new, |name| format!("{name}, "));
    format!("{} ({name}loaded {})", firing.id, firing.on)
}

/// The book may have lines that can't be read: they are told, and the rest counts.
fn read(desk: &crate::Desk) -> Result<Firings, Failure> {
    let (book, complaints) = desk.workplace().kiln_book()?;
    desk.tell(complaints);
    Ok(book)
}
