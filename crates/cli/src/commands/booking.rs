//! `glost weigh --commit`: a ticket goes into the book of batches.

use std::path::Path;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::material::Library;
use glost_chemistry::quantity::Date;
use glost_core::evidence::notes::Version;
use glost_core::workshop::batches::{BatchNumber, BookedLine, Booking, MixedFrom};
use glost_core::workshop::label::Label;
use glost_core::workshop::ticket::{Ticket, TicketLine};
use glost_page::weigh::WeighPage;
use glost_studio::{FoundGlaze, Origin, Take, Workplace};

use crate::args::WeighOptions;
use crate::outcome::Failure;
use glost_desk::trouble;

/// The number named in the call.
pub(super) fn number(typed: Option<&str>) -> Result<Option<BatchNumber>, Diagnostic> {
    typed
        .map(|text| BatchNumber::parse(text).map_err(|bad| trouble::option("batch", bad)))
        .transpose()
}

/// Words of the call as they are kept: on one line, without control characters.
pub(super) fn words(typed: Option<&str>) -> Option<String> {
    let plain: String = typed?
        .chars()
        .map(|sign| if sign.is_control() { ' ' } else { sign })
        .collect();
    let words: Vec<&str> = plain.split_whitespace().collect();
    (!words.is_empty()).then(|| words.join(" "))
}

/// Books a ticket.
pub(super) fn book(
    options: &WeighOptions,
    workplace: &Workplace,
    found: &FoundGlaze,
    page: &WeighPage<'_>,
) -> Result<Booking, Failure> {
    let (Origin::Studio(_), Some(book)) = (&found.origin, workplace.batch_book()) else {
        return Err(super::batches::no_studio("this batch can't be booked").into());
    };
    if let Some(file) = &options.page {
        free(file)?;
    }
    let ticket = page.ticket;
    let takes: Vec<Take> = ticket
        .lines
        .iter()
        // What a file of this call describes isn't what stands on the studio's shelf.
        .filter(|line| !line.material.shipped && !workplace.is_extra(&line.material.name))
        .map(|line| Take {
            material: line.material.name.clone(),
            grams: line.grams,
        })
        .collect();
    let number = number(options.batch.as_deref())?;
    let mut draft = draft(options, found, ticket, page.step_grams)?;
    draft.version = recorded_version(workplace, found, draft.on);
    let booked = book.book(draft, number.as_ref(), &takes)?;
    super::tell(&booked.cautions);
    Ok(booked.booking)
}

/// The version that notes have recorded of today's recipe. None is made here: a
/// booking that is refused must leave every file as it was.
fn recorded_version(workplace: &Workplace, found: &FoundGlaze, on: Date) -> Option<String> {
    let versions = workplace.versions().ok()?.0;
    let today = Version::of(&found.glaze, "", on);
    versions.same_as(&today).map(|known| known.version.clone())
}

/// A page can't be written over another file: known before anything is booked.
fn free(file: &Path) -> Result<(), Diagnostic> {
    if file.symlink_metadata().is_ok() {
        let message = format!("`{}` is there already", file.display());
        return Err(Diagnostic::error("already-there", message)
            .help("nothing was booked and nothing was written; choose another name for the page"));
    }
    Ok(())
}

/// What goes with a page that couldn't be written once the batch was booked.
pub(super) fn booked_without_page(booking: &Booking, error: Diagnostic) -> Diagnostic {
    let number = booking.number.text();
    let help = format!("batch {number} is booked all the same; print its ticket with --batch {number} and no --commit");
    error.help(help)
}

fn draft(options: &WeighOptions, found: &FoundGlaze, ticket: &Ticket, step_grams: f64) -> Result<Booking, Diagnostic> {
    let label = Label::of(&found.glaze, &found.settings);
    Ok(Booking {
        // The book gives the number.
        number: BatchNumber::counted(0),
        on: super::day(options.on.as_deref())?,
        by: words(options.by.as_deref()),
        glaze: found.glaze.name.clone(),
        version: None,
        firing: label.firing,
        clay: label.clay,
        base_grams: ticket.base_grams,
        dry_grams: ticket.dry_grams,
        water_millilitres: ticket.water_millilitres,
        volume_millilitres: ticket.volume_millilitres,
        density: ticket.density,
        step_grams,
        lines: ticket
            .lines
            .iter()
            .map(|line| booked_line(line, &found.library))
            .collect(),
        stock: Vec::new(),
    })
}

fn booked_line(line: &TicketLine, library: &Library) -> BookedLine {
    let parts = line.material.mixed_from.iter();
    BookedLine {
        material: line.material.name.clone(),
        lot: line.material.lot.clone(),
        grams: line.grams,
        addition: line.is_addition,
        mixed_from: parts
            .map(|(name, _)| MixedFrom {
                material: name.clone(),
                lot: library.find(name).and_then(|part| part.lot.clone()),
            })
            .collect(),
    }
}
