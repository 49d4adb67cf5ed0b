use std::collections::BTreeSet;

use glost_chemistry::diagnostic::{Diagnostic, suggestion};
use glost_chemistry::read::folded;
use glost_core::workshop::batches::{Batch, Journal, Wanted, differences, holdings, lots_of};
use glost_page::batch::{BatchPage, VoidPage};
use glost_page::batch_difference::DifferencePage;
use glost_page::batches::BatchesPage;
use glost_page::layout::Style;
use glost_studio::{BatchBook, Workplace};

use crate::args::BatchesOptions;
use crate::outcome::{Answer, Failure, Outcome};

pub(super) fn run(options: &BatchesOptions, workplace: &Workplace, style: Style) -> Outcome {
    let book = workplace.batch_book().ok_or_else(|| no_studio("here are no batches"))?;
    if let Some(number) = &options.void {
        return void(options, &book, number, style);
    }
    let pair = pair(options)?;
    let read = book.read()?;
    super::tell(&read.cautions);
    let journal = &read.journal;
    if let Some((before, after)) = pair {
        return difference(workplace, &book, journal, [before, after], style);
    }
    if let Some(number) = options.words.first() {
        let batch = find(&book, journal, number)?;
        let page = BatchPage { batch };
        return Ok(Answer::yes(page.text(style), page.json()));
    }
    let wanted = wanted(options, workplace, journal)?;
    let holdings = holdings(&journal.batches, &wanted);
    let lots = wanted
        .material
        .as_ref()
        .map(|names| lots_of(&journal.batches, names))
        .unwrap_or_default();
    let page = BatchesPage {
        holdings: &holdings,
        wanted: &wanted,
        lots: &lots,
        booked: journal.batches.len(),
    };
    Ok(Answer::yes(page.text(style), page.json()))
}

/// There is no studio's folder to keep a book in.
pub(super) fn no_studio(what: &str) -> Diagnostic {
    Diagnostic::error(
        "no-studio",
        format!("{what}: there is no studio's folder (no studio.yaml upward)"),
    )
    .help("name it with --studio DIR, or make one: `glost start`, or `glost init studio --example` to try it out")
}

/// The two batches to compare, where two are named.
fn pair(options: &BatchesOptions) -> Result<Option<(&str, &str)>, Diagnostic> {
    let words: Vec<&str> = options.words.iter().map(String::as_str).collect();
    let wrong = |message: &str| {
        Diagnostic::error("bad-call", message.to_owned())
            .help("one batch in full: `glost batches 14`; two compared: `glost batches diff 14 15`")
    };
    let found = match (words.as_slice(), options.against.as_deref()) {
        (["diff", before, after], None) => Some((*before, *after)),
        (["diff", before] | [before], Some(after)) => Some((*before, after)),
        (["diff", ..], _) => return Err(wrong("two batches are compared, no more and no less")),
        ([], Some(_)) => return Err(wrong("--against needs a batch to compare with")),
        ([_], None) | ([], None) => None,
        _ => return Err(wrong("one batch at a time is shown")),
    };
    let filtered = options.lot.is_some() || options.material.is_some() || options.glaze.is_some();
    if filtered && !words.is_empty() {
        return Err(wrong(
            "--lot, --material and --glaze go with the list, not with a batch's number",
        ));
    }
    if let Some((before, after)) = found
        && folded(before) == folded(after)
    {
        return Err(wrong("a batch doesn't differ from itself"));
    }
    Ok(found)
}

fn find<'a>(book: &BatchBook, journal: &'a Journal, number: &str) -> Result<&'a Batch, Diagnostic> {
    journal.find(number).ok_or_else(|| book.unknown(journal, number))
}

fn difference(workplace: &Workplace, book: &BatchBook, journal: &Journal, numbers: [&str; 2], style: Style) -> Outcome {
    let [before, after] = numbers.map(|number| find(book, journal, number));
    let (before, after) = (&before?.booking, &after?.booking);
    let found = differences(before, after, workplace.library(), &workplace.settings().fluxes);
    let page = DifferencePage {
        before,
        after,
        differences: &found,
    };
    Ok(Answer::yes(page.text(style), page.json()))
}

/// What is asked for, each name checked against the book and the shelf.
fn wanted(options: &BatchesOptions, workplace: &Workplace, journal: &Journal) -> Result<Wanted, Failure> {
    let bookings = || journal.batches.iter().map(|batch| &batch.booking);
    let material = options.material.as_ref().map(|typed| {
        let mut names = vec![typed.clone()];
        if let Some(known) = workplace.library().find(typed) {
            names.insert(0, known.name.clone());
            names.extend(known.other_names.iter().cloned());
            return Ok(names);
        }
        let mut booked = bookings().flat_map(|booking| booking.lines.iter().map(|line| line.material.as_str()));
        match booked.find(|name| folded(name) == folded(typed)) {
            Some(name) => Ok(vec![name.to_owned()]),
            None => Err(super::material(workplace.library(), "material", typed)
                .err()
                .unwrap_or_else(|| Diagnostic::error("unknown-material", format!("no material is called `{typed}`")))),
        }
    });
    let glaze = options.glaze.as_ref().map(|typed| {
        let known: BTreeSet<&str> = bookings().map(|booking| booking.glaze.as_str()).collect();
        if let Some(name) = known.iter().find(|name| folded(name) == folded(typed)) {
            return Ok((*name).to_owned());
        }
        match workplace.glaze(typed) {
            Ok(found) => Ok(found.glaze.name),
            Err(errors) => {
                let error = Diagnostic::error(
                    "unknown-glaze",
                    format!("no batch and no glaze here is called `{typed}`"),
                );
                let near = suggestion(typed, known);
                let other = errors.into_iter().find_map(|error| error.help);
                Err(error.maybe_help(near.or(other)))
            }
        }
    });
    Ok(Wanted {
        material: material.transpose()?,
        lot: options.lot.clone(),
        glaze: glaze.transpose()?,
    })
}

fn void(options: &BatchesOptions, book: &BatchBook, number: &str, style: Style) -> Outcome {
    let on = super::day(options.on.as_deref())?;
    let done = book.void(number, on, super::booking::words(options.text.as_deref()).as_deref())?;
    super::tell(&done.cautions);
    let page = VoidPage {
        booking: &done.booking,
        void: &done.void,
    };
    Ok(Answer::yes(page.text(style), page.json()))
}
