use glost_chemistry::quantity::Date;
use glost_chemistry::read::folded;
use glost_core::evidence::notes::{Notes, PropertySearch, Search, parse_age};
use glost_page::layout::Style;
use glost_page::notes::NotesPage;
use glost_studio::Workplace;

use crate::args::NotesOptions;
use crate::outcome::{Answer, Failure, Outcome};
use glost_desk::notebook::Book;
use glost_desk::{Desk, trouble};

pub(super) fn run(options: &NotesOptions, desk: &Desk, style: Style) -> Outcome {
    let book = Book::open(desk, desk.today()?)?;
    let search = search(options, &book.notes, desk.workplace())?;
    let page = NotesPage {
        notes: &book.notes,
        found: search.find(book.notes.standing()),
        search: &search,
        versions: &book.versions,
        recipes: &book.recipes,
        unread: &book.unread,
    };
    Ok(Answer::yes(page.text(style), page.json()))
}

fn search(options: &NotesOptions, notes: &Notes, workplace: &Workplace) -> Result<Search, Failure> {
    let day = |option: &str, text: &Option<String>| {
        let read = text.as_deref().map(Date::parse).transpose();
        read.map_err(|bad| trouble::option(option, bad))
    };
    let mut search = Search {
        glaze: options.glaze.clone(),
        clay: options.clay.clone(),
        firing: options.firing.clone(),
        cone: options
            .cone
            .as_deref()
            .map(|cone| cone.to_lowercase().trim_start_matches("cone").trim().to_owned()),
        batch: options.batch.clone(),
        tile: options.tile.clone(),
        property: options
            .property
            .as_deref()
            .map(PropertySearch::parse)
            .transpose()
            .map_err(|bad| trouble::option("property", bad))?,
        since: day("since", &options.since)?,
        until: day("until", &options.until)?,
        text: options.text.clone(),
        crazed: options.crazed,
        shivered: options.shivered,
        held_days: options
            .held
            .as_deref()
            .map(|age| parse_age(age, false))
            .transpose()
            .map_err(|bad| trouble::option("held", bad))?,
        lab: options.lab,
    };
    // A name that no note has must at least be that of a glaze, or of a clay.
    let noted = |wanted: &str, of: fn(&glost_core::evidence::notes::Note) -> &Option<String>| {
        let mut names = notes.all().iter().filter_map(|note| of(note).as_deref());
        names.any(|name| folded(name) == folded(wanted))
    };
    if let Some(name) = &search.glaze
        && !noted(name, |note| &note.glaze)
    {
        search.glaze = Some(workplace.glaze(name)?.glaze.name);
    }
    if let Some(name) = &search.clay
        && !noted(name, |note| &note.clay)
    {
        search.clay = Some(workplace.clay(name)?.clay.name);
    }
    Ok(search)
}
