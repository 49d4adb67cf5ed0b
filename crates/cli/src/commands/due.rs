use glost_chemistry::quantity::Date;
use glost_core::evidence::notes::due;
use glost_page::due::DuePage;
use glost_page::layout::Style;

use crate::args::DueOptions;
use crate::outcome::{Answer, Outcome};
use glost_desk::notebook::Book;
use glost_desk::{Desk, trouble};

pub(super) fn run(options: &DueOptions, desk: &Desk, style: Style) -> Outcome {
    let on = match &options.on {
        Some(text) => Date::parse(text).map_err(|bad| trouble::option("on", bad))?,
        None => desk.today()?,
    };
    let book = Book::open(desk, on)?;
    let page = DuePage {
        due: due(&book.notes, &book.versions, &book.recipes, on),
        on,
        noted: book.notes.standing().count(),
        unread: &book.unread,
    };
    Ok(Answer::yes(page.text(style), page.json()))
}
