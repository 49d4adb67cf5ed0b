//! One booked batch in full, one taken back, and what a booking does to the shelf.

use glost_core::workshop::batches::{Batch, Booking, StockMove, Void};
use serde_json::{Value, json};

use crate::batches::{batch_json, cut, taken_back, void_json};
use crate::layout::{Align, Style, Table, indented, paragraph};
use crate::number;
use crate::weigh::volume;

/// One batch in full.
#[derive(Debug)]
pub struct BatchPage<'a> {
    /// The batch.
    pub batch: &'a Batch,
}

/// A booking taken back.
#[derive(Debug)]
pub struct VoidPage<'a> {
    /// The booking.
    pub booking: &'a Booking,
    /// How it was taken back.
    pub void: &'a Void,
}

impl BatchPage<'_> {
    /// As JSON.
    pub fn json(&self) -> Value {
        json!({ "batches": [batch_json(self.batch)] })
    }

    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
        let booking = &self.batch.booking;
        let by = booking.by.as_ref().map(|by| format!(" by {by}")).unwrap_or_default();
        let headline = format!(
            "Batch {}: {}, mixed {}{by}.",
            booking.number.text(),
            booking.glaze,
            booking.on
        );
        let mut text = style.bold(paragraph(&headline, 0).trim_end());
        text.push('\n');
        if let Some(void) = &self.batch.void {
            text.push_str(&indented("Taken back: ", &format!("{}.", taken_back(void))));
        }
        text.push('\n');
        text.push_str(&self.table());
        text.push('\n');
        text.push_str(&indented(
            "Made: ",
            &format!(
                "{} g dry and {} of water, {} at {:.2} g/ml by reckoning.",
                number::grams(booking.dry_grams, booking.step_grams),
                volume(booking.water_millilitres),
                volume(booking.volume_millilitres),
                booking.density
            ),
        ));
        let told = [
            ("Version: ", &booking.version),
            ("Firing then: ", &booking.firing),
            ("Clay then: ", &booking.clay),
        ];
        for (lead, value) in told {
            if let Some(value) = value {
                text.push_str(&indented(lead, &format!("{value}.")));
            }
        }
        let taken = changes(&booking.stock);
        if !taken.is_empty() {
            text.push_str(&indented("Stock then: ", &format!("{}.", taken.join("; "))));
        }
        for one in booking.stock.iter().filter(|one| one.short_grams > 0.0) {
            let short = number::grams(one.short_grams, booking.step_grams);
            let said = format!("{} by {short} g more than the shelf was said to hold.", one.material);
            text.push_str(&indented("Short then: ", &said));
        }
        let back = self
            .batch
            .void
            .as_ref()
            .map(|void| changes(&void.stock))
            .unwrap_or_default();
        if !back.is_empty() {
            text.push_str(&indented("Put back: ", &format!("{}.", back.join("; "))));
        }
        text
    }

    fn table(&self) -> String {
        let booking = &self.batch.booking;
        let mut table = Table::new(&[Align::Left, Align::Right, Align::Right, Align::Left]);
        let lots = booking.lines.iter().any(|line| line.lot.is_some());
        table.row(["", "grams", "per 100", if lots { "lot" } else { "" }]);
        for line in &booking.lines {
            let on_top = if line.addition { " (on top)" } else { "" };
            table.row([
                format!("{}{on_top}", cut(&line.material, 36)),
                number::grams(line.grams, booking.step_grams),
                number::parts(100.0 * line.grams / booking.base_grams),
                line.lot.as_deref().map(|lot| cut(lot, 20)).unwrap_or_default(),
            ]);
        }
        table.text()
    }
}

impl VoidPage<'_> {
    /// As JSON.
    pub fn json(&self) -> Value {
        let mut object = serde_json::to_value(self.booking).unwrap_or_default();
        if let Some(map) = object.as_object_mut() {
            map.insert("void".to_owned(), void_json(self.void));
        }
        json!({ "batches": [object] })
    }

    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
        let booking = self.booking;
        let headline = format!(
            "Batch {} is taken back: {}, {}.",
            booking.number.text(),
            booking.glaze,
            booking.on
        );
        let mut text = style.bold(paragraph(&headline, 0).trim_end());
        text.push('\n');
        let back = changes(&self.void.stock);
        text.push_str(&indented(
            "Stock: ",
            &match back.is_empty() {
                true => "nothing to put back.".to_owned(),
                false => format!("put back: {}.", back.join("; ")),
            },
        ));
        let gone: Vec<&str> = booking
            .stock
            .iter()
            .filter(|taken| taken.taken_grams > 0.0)
            .map(|taken| taken.material.as_str())
            .filter(|name| !self.void.stock.iter().any(|back| back.material == *name))
            .collect();
        if !gone.is_empty() {
            text.push_str(&indented(
                "       ",
                &format!("not put back, no stock is stated any more: {}.", gone.join(", ")),
            ));
        }
        text.push_str(&indented(
            "Kept: ",
            "the booking stays in the book, marked as taken back; its number can be booked anew.",
        ));
        text
    }
}

/// What leaves the shelf, and where its count was wrong.
pub(crate) fn stock_text(moves: &[StockMove], booking: &Booking) -> String {
    let mut text = String::new();
    let taken = changes(moves);
    let unstated: Vec<&str> = booking
        .lines
        .iter()
        .filter(|line| line.grams > 0.0 && !moves.iter().any(|one| one.material == line.material))
        .map(|line| line.material.as_str())
        .collect();
    if !taken.is_empty() {
        text.push_str(&indented("Stock: ", &format!("{}.", taken.join("; "))));
    }
    if !unstated.is_empty() {
        text.push_str(&indented(
            "Stock: ",
            &format!(
                "none stated in the studio's files, so nothing taken off: {}.",
                unstated.join(", ")
            ),
        ));
    }
    text.push_str(&count_again(moves, booking));
    text
}

/// Where more was weighed than the shelf was said to hold.
fn count_again(moves: &[StockMove], booking: &Booking) -> String {
    let mut text = String::new();
    for one in moves.iter().filter(|one| one.short_grams > 0.0) {
        text.push_str(&indented(
            "Count again: ",
            &format!(
                "the shelf count of {} was wrong by {} g or more: {} was stated, {} g were weighed. It is {} now.",
                one.material,
                number::grams(one.short_grams, booking.step_grams),
                one.before,
                number::grams(one.taken_grams + one.short_grams, booking.step_grams),
                one.after
            ),
        ));
    }
    text
}

/// `silica 22 kg -> 20.7 kg` for each stock that changes.
fn changes(moves: &[StockMove]) -> Vec<String> {
    moves
        .iter()
        .filter(|one| one.before != one.after)
        .map(|one| format!("{} {} -> {}", one.material, one.before, one.after))
        .collect()
}
