//! `glost batches`: the book of batches, and where a lot went.

use std::collections::{HashMap, HashSet};

use crate::words::age::age_words;
use glost_desk::batches::{Listed, SeenOfBatch};

use super::{cut, taken_back};
use crate::layout::capital;
use crate::layout::{Align, Style, Table, indented, paragraph};
use crate::number;
use crate::words::ticket::volume;

/// The column that names are cut to.
const NAME: usize = 28;

/// A list of batches.
#[derive(Debug)]
pub(super) struct List<'a> {
    /// The batches that fit, those taken back too.
    pub(super) batches: &'a [Listed],
    /// The material asked for.
    pub(super) material: Option<&'a str>,
    /// The lot asked for.
    pub(super) lot: Option<&'a str>,
    /// The glaze asked for.
    pub(super) glaze: Option<&'a str>,
    /// The lots of the material that were ever booked.
    pub(super) lots: &'a [String],
    /// How many bookings the book holds in all.
    pub(super) booked: usize,
}

impl List<'_> {
    /// For a terminal.
    pub(super) fn text(&self, style: Style) -> String {
        let mut text = style.bold(paragraph(&self.headline(), 0).trim_end());
        text.push('\n');
        if !self.batches.is_empty() {
            text.push('\n');
            text.push_str(&self.table());
        }
        for listed in self.batches {
            if let Some(void) = &listed.batch.void {
                let number = listed.batch.booking.number.text();
                text.push_str(&indented(
                    "Taken back: ",
                    &format!("batch {number}, {}.", taken_back(void)),
                ));
            }
        }
        for listed in self.batches {
            if let Some(seen) = &listed.seen {
                let number = listed.batch.booking.number.text();
                text.push_str(&indented("Seen: ", &format!("batch {number}: {}.", seen_words(seen))));
            }
        }
        if self.batches.iter().any(|listed| listed.through_a_mix) {
            text.push_str(&indented(
                "Assumed: ",
                "a mix was made of the lots that stood on its parts' sheets on the day of the batch.",
            ));
        }
        if self.booked == 0 {
            text.push_str(&indented(
                "Next: ",
                "`glost weigh GLAZE --dry \"5 kg\" --commit` books the first.",
            ));
        }
        text
    }

    fn standing(&self, through_a_mix: bool) -> Vec<&str> {
        self.batches
            .iter()
            .filter(|listed| listed.batch.stands() && listed.through_a_mix == through_a_mix)
            .map(|listed| listed.batch.booking.number.text())
            .collect()
    }

    fn headline(&self) -> String {
        let what = match (self.material, self.lot) {
            (Some(material), Some(lot)) => Some(format!("lot {lot} of {material}")),
            (Some(material), None) => Some(material.to_owned()),
            (None, Some(lot)) => Some(format!("lot {lot}")),
            (None, None) => None,
        };
        let of_glaze = self.glaze.map_or_else(String::new, |glaze| format!(" of {glaze}"));
        let (sure, perhaps) = (self.standing(false), self.standing(true));
        match what {
            None if sure.is_empty() => format!("No batch{of_glaze} is booked."),
            None => {
                let last = self.batches.iter().rev().find(|listed| listed.batch.stands());
                let last = last.map_or_else(String::new, |last| {
                    let booking = &last.batch.booking;
                    format!(
                        "; the last is {}: {}, {}",
                        booking.number.text(),
                        booking.glaze,
                        booking.on
                    )
                });
                format!("{}{of_glaze} booked{}.", counted(sure.len()), last)
            }
            Some(what) => {
                let mut text = match sure.is_empty() {
                    true => format!("No batch{of_glaze} holds {what}."),
                    false => format!("{}: in {}{of_glaze}.", begun(&what), numbers(&sure)),
                };
                if !perhaps.is_empty() {
                    text.push_str(&format!(" Perhaps in {}, through a mix.", numbers(&perhaps)));
                }
                if sure.is_empty() && !self.lots.is_empty() && self.lot.is_some() {
                    text.push_str(&format!(" Lots of it that were booked: {}.", self.lots.join(", ")));
                }
                text
            }
        }
    }

    /// Numbers that bookings of several ids have.
    fn shared_numbers(&self) -> HashSet<&str> {
        let mut ids: HashMap<&str, &str> = HashMap::with_capacity(self.batches.len());
        let bookings = self.batches.iter().map(|listed| &listed.batch.booking);
        let shared = bookings.filter(|booking| {
            let first = ids.entry(booking.number.text()).or_insert(&booking.id);
            **first != booking.id
        });
        shared.map(|booking| booking.number.text()).collect()
    }

    fn table(&self) -> String {
        let by_line = self.batches.iter().any(|listed| !listed.lines.is_empty());
        let mut table = match by_line {
            true => Table::new(&[
                Align::Left,
                Align::Left,
                Align::Left,
                Align::Left,
                Align::Right,
                Align::Left,
            ]),
            false => Table::new(&[
                Align::Left,
                Align::Left,
                Align::Left,
                Align::Right,
                Align::Right,
                Align::Right,
            ]),
        };
        table.row(match by_line {
            true => ["batch", "date", "glaze", "material", "grams", "lot"],
            false => ["batch", "date", "glaze", "dry, g", "water", "g/ml"],
        });
        let shared = self.shared_numbers();
        for listed in self.batches {
            let booking = &listed.batch.booking;
            // Two clones gave the number: the id tells them apart.
            let number = match shared.contains(booking.number.text()) {
                true => booking.id.as_str(),
                false => booking.number.text(),
            };
            let mut start = vec![
                cut(number, 10),
                booking.on.to_string(),
                cut(&booking.glaze, if by_line { 20 } else { NAME }),
            ];
            if !listed.batch.stands() {
                start[0].push('*');
            }
            if !by_line {
                start.extend([
                    number::grams(booking.dry_grams, booking.step_grams),
                    volume(booking.water_millilitres),
                    format!("{:.2}", booking.density),
                ]);
                table.row(start);
                continue;
            }
            for line in &listed.lines {
                let mut row = start.clone();
                row.extend([
                    cut(&line.material, 18),
                    number::grams(line.grams, booking.step_grams),
                    line.lot.as_deref().map_or_else(String::new, |lot| cut(lot, 9)),
                ]);
                table.row(row);
            }
        }
        table.text()
    }
}

/// `2 of 10 crazed, to 7 months`.
fn seen_words(seen: &SeenOfBatch) -> String {
    let mut said = vec![match (seen.crazed, seen.pieces) {
        (_, 0) => "no pieces counted for crazing".to_owned(),
        (0, pieces) => format!("none of {pieces} crazed"),
        (crazed, pieces) => format!("{crazed} of {pieces} crazed"),
    }];
    said.extend(seen.failed_tests.iter().map(|test| format!("crazed in {test}")));
    if seen.shivered > 0 {
        said.push(format!("{} shivered", seen.shivered));
    }
    said.extend(
        seen.age_days
            .filter(|days| *days >= 0.5)
            .map(|days| format!("to {}", age_words(days))),
    );
    said.join(", ")
}

fn counted(count: usize) -> String {
    match count {
        1 => "1 batch".to_owned(),
        more => format!("{more} batches"),
    }
}

/// `batch 14`, `batches 14, 15 and 16`.
fn numbers(numbers: &[&str]) -> String {
    match numbers {
        [] => "none".to_owned(),
        [one] => format!("batch {one}"),
        [first @ .., last] => format!("batches {} and {last}", first.join(", ")),
    }
}

/// A sentence begins large, but for a material's own name.
fn begun(what: &str) -> String {
    if what.starts_with("lot ") {
        capital(what)
    } else {
        what.to_owned()
    }
}
