//! A ticket goes into the book of batches.

use glost_chemistry::diagnostic::{Diagnostic, of_typed};
use glost_chemistry::material::Library;
use glost_chemistry::quantity::{Date, Grams};
use glost_core::evidence::notes::{Belongs, Versions};
use glost_core::workshop::batches::{BatchNumber, BookedLine, Booking, MixedFrom};
use glost_core::workshop::label::Label;
use glost_core::workshop::ticket::{Ticket, TicketLine};
use glost_studio::{FoundGlaze, Origin, Take, Workplace};

use super::{Commit, Question, lots};
use crate::recorded::version_line;
use crate::{Desk, Failure, PageFile, trouble};

/// Books a ticket.
pub(super) fn book(
    question: &Question,
    commit: &Commit,
    desk: &Desk,
    found: &FoundGlaze,
    ticket: &Ticket,
    step: Grams,
) -> Result<Booking, Failure> {
    let workplace = desk.workplace();
    let (Origin::Studio(_), Some(book)) = (&found.origin, workplace.batch_book()) else {
        return Err(trouble::no_studio("this batch can't be booked").into());
    };
    if let Some(page) = &question.page {
        free(page)?;
    }
    lots::enough(&ticket.lines)?;
    let takes: Vec<Take> = ticket
        .lines
        .iter()
        // What a file of this call describes isn't what stands on the studio's shelf.
        .filter(|line| !line.material.shipped && !workplace.is_extra(&line.material.name))
        .map(|line| Take {
            material: line.material.name.clone(),
            lot: line
                .material
                .lot
                .clone()
                .filter(|_| !line.material.open_lots.is_empty()),
            grams: line.grams,
        })
        .collect();
    let on = commit.on.map_or_else(|| desk.today(), Ok)?;
    let draft = Booking {
        by: commit.by.clone(),
        mark: commit.mark.clone(),
        into: question.into.clone(),
        ..draft(on, found, ticket, step)
    };
    // A booking that is refused leaves every file as it was.
    book.can_book(&draft, question.batch.as_ref(), &takes)?;
    let draft = Booking {
        version: Some(record_version(workplace, found, on)?),
        ..draft
    };
    let booked = book.book(draft, question.batch.as_ref(), &takes)?;
    desk.tell(booked.cautions);
    Ok(booked.booking)
}

/// Today's recipe, recorded as a version where none is yet: whatever changes before its pieces
/// are looked at, they are of this.
fn record_version(workplace: &Workplace, found: &FoundGlaze, on: Date) -> Result<String, Failure> {
    let place = |versions: &Versions| match versions.place(&found.glaze, None, on) {
        Ok(belongs) => belongs,
        // Only a version asked for by name can be recorded under another.
        Err(other) => Belongs::To(*other),
    };
    if let Belongs::To(version) = place(&workplace.versions()?.0) {
        return Ok(version.version);
    }
    workplace.add_versions(|versions| -> Result<_, Failure> {
        Ok(match place(versions) {
            Belongs::To(known) => (Vec::new(), known.version),
            Belongs::ToNew(new) => (vec![version_line(&new)], new.version),
        })
    })
}

/// A page can't be written over another file: known before anything is booked.
fn free(page: &PageFile) -> Result<(), Diagnostic> {
    if page.is_taken() {
        let message = of_typed(page.path.display(), "is there already");
        return Err(Diagnostic::error("already-there", message)
            .help("nothing was booked and nothing was written; choose another name for the page"));
    }
    Ok(())
}

fn draft(on: Date, found: &FoundGlaze, ticket: &Ticket, step: Grams) -> Booking {
    let label = Label::of(&found.glaze, &found.settings.name);
    Booking {
        // The book gives the number.
        number: BatchNumber::counted(0),
        on,
        by: None,
        glaze: found.glaze.name.clone(),
        version: None,
        firing: label.firing.as_ref().map(ToString::to_string),
        clay: label.clay,
        base_grams: ticket.base_grams,
        dry_grams: ticket.dry_grams,
        water_millilitres: ticket.water_millilitres,
        volume_millilitres: ticket.volume_millilitres,
        density: ticket.density,
        step_grams: step.grams(),
        lines: ticket
            .lines
            .iter()
            .map(|line| booked_line(line, &found.library))
            .collect(),
        stock: Vec::new(),
        cone: found.glaze.about.cone.clone(),
        fired_in: found.glaze.about.firing.clone(),
        mark: None,
        into: None,
        copy: None,
        id: String::new(),
    }
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
