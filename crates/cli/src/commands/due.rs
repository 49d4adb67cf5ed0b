use glost_chemistry::quantity::Date;
use glost_core::evidence::notes::due;
use glost_page::due::DuePage;
use glost_page::layout::Style;
use glost_studio::Workplace;

use super::notes::Book;
use crate::args::DueOptions;
use crate::clock;
use crate::outcome::{Answer, Outcome};
use glost_desk::trouble;

pub(super) fn run(options: &DueOptions, workplace: &Workplace, style: Style) -> Outcome {
    let on = match &options.on {
        Some(text) => Date::parse(text).map_err(|bad| trouble::option("on", bad))?,
        None => clock::today()?,
    };
    let book = Book::open(workplace, on)?;
    let page = DuePage {
        due: due(&book.notes, &book.versions, &book.recipes, on),
        on,
        noted: book.notes.standing().count(),
        unread: &book.unread,
    };
    Ok(Answer::yes(page.text(style), page.json()))
}
