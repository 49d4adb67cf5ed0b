//! `glost batches`: the book of batches, and where a lot went.

use glost_core::workshop::batches::{Batch, Holding, Void, Wanted};
use serde_json::{Value, json};

use crate::layout::{Align, Style, Table, indented, paragraph};
use crate::number;
use crate::weigh::volume;

/// Columns that names are cut to.
const NAME: usize = 28;
const SHORT: usize = 16;

/// A list of batches.
#[derive(Debug)]
pub struct BatchesPage<'a> {
    /// The batches that fit, those taken back too.
    pub holdings: &'a [Holding<'a>],
    /// What was asked for.
    pub wanted: &'a Wanted,
    /// The lots of the material that were ever booked.
    pub lots: &'a [&'a str],
    /// How many bookings the book holds in all.
    pub booked: usize,
}

impl BatchesPage<'_> {
    /// As JSON.
    pub fn json(&self) -> Value {
        let holding = |holding: &Holding<'_>| {
            let mut object = batch_json(holding.batch);
            if let Some(map) = object.as_object_mut() {
                map.insert("through_a_mix".to_owned(), json!(holding.through_a_mix));
            }
            object
        };
        json!({
            "material": self.material(),
            "lot": self.wanted.lot,
            "glaze": self.wanted.glaze,
            "batches": self.holdings.iter().map(holding).collect::<Vec<_>>(),
        })
    }

    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
        let mut text = style.bold(paragraph(&self.headline(), 0).trim_end());
        text.push('\n');
        if !self.holdings.is_empty() {
            text.push('\n');
            text.push_str(&self.table());
        }
        for holding in self.holdings {
            if let Some(void) = &holding.batch.void {
                let number = holding.batch.booking.number.text();
                text.push_str(&indented(
                    "Taken back: ",
                    &format!("batch {number}, {}.", taken_back(void)),
                ));
            }
        }
        if self.holdings.iter().any(|holding| holding.through_a_mix) {
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

    fn material(&self) -> Option<&str> {
        self.wanted.material.as_ref()?.first().map(String::as_str)
    }

    fn standing(&self, through_a_mix: bool) -> Vec<&str> {
        self.holdings
            .iter()
            .filter(|holding| holding.batch.stands() && holding.through_a_mix == through_a_mix)
            .map(|holding| holding.batch.booking.number.text())
            .collect()
    }

    fn headline(&self) -> String {
        let what = match (self.material(), &self.wanted.lot) {
            (Some(material), Some(lot)) => Some(format!("lot {lot} of {material}")),
            (Some(material), None) => Some(material.to_owned()),
            (None, Some(lot)) => Some(format!("lot {lot}")),
            (None, None) => None,
        };
        let of_glaze = self
            .wanted
            .glaze
            .as_ref()
            .map(|glaze| format!(" of {glaze}"))
            .unwrap_or_default();
        let (sure, perhaps) = (self.standing(false), self.standing(true));
        match what {
            None if sure.is_empty() => format!("No batch{of_glaze} is booked."),
            None => {
                let last = self.holdings.iter().rev().find(|holding| holding.batch.stands());
                let last = last.map(|last| {
                    let booking = &last.batch.booking;
                    format!(
                        "; the last is {}: {}, {}",
                        booking.number.text(),
                        booking.glaze,
                        booking.on
                    )
                });
                format!("{}{of_glaze} booked{}.", counted(sure.len()), last.unwrap_or_default())
            }
            Some(what) => {
                let mut text = match sure.is_empty() {
                    true => format!("No batch{of_glaze} holds {what}."),
                    false => format!("{}: in {}{of_glaze}.", capital(&what), numbers(&sure)),
                };
                if !perhaps.is_empty() {
                    text.push_str(&format!(" Perhaps in {}, through a mix.", numbers(&perhaps)));
                }
                if sure.is_empty() && !self.lots.is_empty() && self.wanted.lot.is_some() {
                    text.push_str(&format!(" Lots of it that were booked: {}.", self.lots.join(", ")));
                }
                text
            }
        }
    }

    fn table(&self) -> String {
        let by_line = self.holdings.iter().any(|holding| !holding.lines.is_empty());
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
        for holding in self.holdings {
            let booking = &holding.batch.booking;
            let mut start = vec![
                cut(booking.number.text(), 10),
                booking.on.to_string(),
                cut(&booking.glaze, if by_line { 20 } else { NAME }),
            ];
            if !holding.batch.stands() {
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
            for line in &holding.lines {
                let mut row = start.clone();
                row.extend([
                    cut(&line.material, 18),
                    number::grams(line.grams, booking.step_grams),
                    line.lot.as_deref().map(|lot| cut(lot, 9)).unwrap_or_default(),
                ]);
                table.row(row);
            }
        }
        table.text()
    }
}

pub(crate) fn batch_json(batch: &Batch) -> Value {
    let mut object = serde_json::to_value(&batch.booking).unwrap_or_default();
    if let Some(map) = object.as_object_mut() {
        map.insert("void".to_owned(), batch.void.as_ref().map_or(Value::Null, void_json));
    }
    object
}

pub(crate) fn void_json(void: &Void) -> Value {
    json!({ "on": void.on, "text": void.text, "stock": void.stock })
}

pub(crate) fn taken_back(void: &Void) -> String {
    match &void.text {
        Some(text) => format!("{}: {}", void.on, text.trim_end_matches('.')),
        None => void.on.to_string(),
    }
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

fn capital(text: &str) -> String {
    let mut signs = text.chars();
    match (text.starts_with("lot "), signs.next()) {
        (true, Some(first)) => first.to_uppercase().chain(signs).collect(),
        _ => text.to_owned(),
    }
}

/// A name that fits its column.
pub(crate) fn cut(name: &str, most: usize) -> String {
    if name.chars().count() > most {
        name.chars().take(most - 1).chain(['…']).collect()
    } else {
        name.to_owned()
    }
}

/// A value in a narrow column.
pub(crate) fn short(text: &str) -> String {
    cut(text, SHORT)
}
