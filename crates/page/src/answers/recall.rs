//! `glost recall`: everything that belongs to a mark, a lot, a batch or a firing.

use crate::words::age::age_words;
use glost_chemistry::diagnostic::Diagnostic;
use glost_desk::recall::{Answer, FoundAs, Sisters};

use crate::Shown;
use crate::layout::{Style, indented, paragraph};
use crate::print::{Printed, contact_sheet};
use crate::words::due::{command, to_do};
use crate::words::kiln::{firing, how_it_came_out};
use crate::words::notes::{lines_words, lots_words};

/// What is to do that is shown.
const MOST_DUE: usize = 12;

impl Shown for Answer {
    fn text(&self, style: Style) -> String {
        let mut text = style.bold(paragraph(&headline(self), 0).trim_end());
        text.push('\n');
        if let [_, _, ..] = self.marked.as_slice() {
            let said = format!(
                "this mark is on batches {}: look which one it is.",
                self.marked.join(" and ")
            );
            text.push_str(&indented("Caution: ", &said));
        }
        text.push('\n');
        for batch in &self.batches {
            text.push_str(&indented("Batch: ", &batch_words(batch)));
        }
        for one in &self.firings {
            text.push_str(&indented("Firing: ", &fired(one)));
        }
        if !self.lots.is_empty() {
            text.push_str(&indented("Lots: ", &format!("{}.", lots_words(&self.lots))));
        }
        text.push('\n');
        for one in &self.sisters {
            text.push_str(&indented("Pieces: ", &pieces(one)));
        }
        for one in &self.may_be {
            let said = format!("{} Its note names no lot.", pieces(one));
            text.push_str(&indented("May be: ", &said));
        }
        text.push_str(&to_look_at(self));
        for photo in self.photos.iter().filter(|photo| photo.at.is_none()) {
            let said = format!("line {}: no picture lies at {} any more.", photo.line, photo.photo);
            text.push_str(&indented("Gone: ", &said));
        }
        if !self.photos.is_empty() && self.page.is_none() {
            text.push_str(&indented("Pictures: ", "--page contact.html prints them on one sheet."));
        }
        text
    }

    fn printed(&self) -> Result<Printed, Diagnostic> {
        let Some(file) = &self.page else {
            return Ok(Printed::default());
        };
        if self.photos.iter().all(|photo| photo.at.is_none()) {
            return Ok(Printed {
                said: format!(
                    "No page: none of these looks has a picture that is there, so {} would be empty (glost note ... --photo FILE).\n",
                    file.path.display()
                ),
                ..Printed::default()
            });
        }
        let said = format!("Page: {}, to open in a browser and print.\n", file.path.display());
        Printed::pages(file, &contact_sheet::pages(self), said)
    }
}

fn headline(answer: &Answer) -> String {
    let ways: Vec<&str> = answer.found_as.iter().map(|way| way.word()).collect();
    let some = |count: usize, one: &str, many: &str| match count {
        0 => None,
        1 => Some(format!("1 {one}")),
        count => Some(format!("{count} {many}")),
    };
    let standing = answer.batches.iter().filter(|batch| batch.stands()).count();
    let counts = [
        some(standing, "batch", "batches"),
        some(
            answer.batches.len() - standing,
            "batch taken back",
            "batches taken back",
        ),
        some(answer.firings.len(), "firing", "firings"),
        some(answer.notes.len(), "look", "looks"),
    ];
    let pieces = match answer.pieces_out {
        0 => "no pieces counted".to_owned(),
        1 => "1 piece".to_owned(),
        count => format!("{count} pieces"),
    };
    let counts: Vec<String> = counts.into_iter().flatten().chain([pieces]).collect();
    let more = if answer.found_as.len() > 1 {
        let words = FoundAs::ALL.map(FoundAs::word).join(", ");
        format!(" It is several things: --as {words} says which is meant.")
    } else {
        String::new()
    };
    let lot_of = match answer.lot_of.as_slice() {
        [] => String::new(),
        materials => format!(" of {}", materials.join(" and ")),
    };
    format!(
        "{}, as {}{lot_of}: {}.{more}",
        answer.what,
        ways.join(" and "),
        counts.join(", ")
    )
}

fn batch_words(batch: &glost_core::workshop::batches::Batch) -> String {
    let booking = &batch.booking;
    let by = booking.by.as_ref().map_or_else(String::new, |by| format!(" by {by}"));
    let mark = booking
        .mark
        .as_ref()
        .map_or_else(String::new, |mark| format!(", marked {mark}"));
    let back = if batch.stands() { "" } else { ", taken back" };
    format!(
        "{}, {}, mixed {}{by}{mark}{back} ({}).",
        booking.number.text(),
        booking.glaze,
        booking.on,
        booking.id
    )
}

fn fired(one: &glost_core::evidence::firings::Firing) -> String {
    let opened = match &one.opened {
        Some(opened) => format!("opened {}", opened.on),
        None => "not opened yet".to_owned(),
    };
    let back = if one.stands() { "" } else { ", taken back" };
    let how = how_it_came_out(one);
    let how = if how.is_empty() { how } else { format!(", {how}") };
    format!("{}, loaded {}, {opened}{how}{back}.", firing(one), one.on)
}

/// `5 of Lamplight clear on buff stoneware, batch 14, from spring glost; in use; 1 of 5 crazed, to 7 months`.
fn pieces(one: &Sisters) -> String {
    let count = one
        .pieces
        .map_or_else(|| "some".to_owned(), |pieces| pieces.to_string());
    let what = one.glaze.as_deref().or(one.tile.as_deref()).unwrap_or("pieces");
    let mut said = vec![format!("{count} of {what}")];
    let named = [
        one.clay.as_ref().map(|clay| format!("on {clay}")),
        one.batch
            .as_ref()
            // Pieces of no booked batch go by their firing, which is named after.
            .filter(|batch| one.firing_id.as_ref().is_none_or(|id| !batch.starts_with(id.as_str())))
            .map(|batch| format!("batch {batch}")),
        one.firing
            .as_ref()
            .or(one.firing_id.as_ref())
            .map(|firing| format!("from {firing}")),
        (!one.marks.is_empty()).then(|| format!("marked {}", one.marks.join(", "))),
    ];
    said.extend(named.into_iter().flatten());
    let mut text = said.join(", ");
    text.push_str(&format!(
        "; {}",
        one.kept.as_ref().map_or_else(
            || "nobody noted where they are".to_owned(),
            |kept| format!("kept: {kept}")
        )
    ));
    text.push_str(&format!("; {}.", seen(one)));
    text
}

fn seen(one: &Sisters) -> String {
    if !one.looked {
        return "not looked at yet".to_owned();
    }
    let mut said = Vec::new();
    said.extend(one.failed_tests.iter().map(|test| format!("crazed in {test}")));
    said.extend(one.crazed.map(|(crazed, pieces)| match crazed {
        0 => format!("none of {pieces} crazed"),
        crazed => format!("{crazed} of {pieces} crazed"),
    }));
    let counts = [(one.shivered, "shivered"), (one.dunted, "cracked through")];
    said.extend(
        counts
            .iter()
            .filter_map(|(count, word)| count.filter(|count| *count > 0).map(|count| format!("{count} {word}"))),
    );
    said.extend(
        one.age_days
            .filter(|days| *days >= 0.5)
            .map(|days| format!("to {}", age_words(days))),
    );
    said.push(lines_words(&one.lines));
    said.join(", ")
}

fn to_look_at(answer: &Answer) -> String {
    if answer.due.is_empty() {
        return String::new();
    }
    let mut text = "\nTo look at\n".to_owned();
    for due in answer.due.iter().take(MOST_DUE) {
        let late = if due.days_late > 0 { ", overdue" } else { "" };
        text.push_str(&indented(
            &format!("  {}  ", due.on),
            &format!("{}{late}", to_do(&due.task)),
        ));
        text.push_str(&format!("      {}\n", command(&due.task)));
    }
    if answer.due.len() > MOST_DUE {
        text.push_str(&format!("and {} more\n", answer.due.len() - MOST_DUE));
    }
    text
}
