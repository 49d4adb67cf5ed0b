//! One booked batch in full, and one taken back.

use glost_core::workshop::batches::{Batch, Booking, StockMove, Void};

use super::{cut, taken_back};
use crate::layout::{Align, Style, Table, indented, paragraph};
use crate::number;
use crate::words::ticket::volume;

/// One batch in full.
pub(super) fn text(batch: &Batch, style: Style) -> String {
    let booking = &batch.booking;
    let by = booking.by.as_ref().map_or_else(String::new, |by| format!(" by {by}"));
    let headline = format!(
        "Batch {}: {}, mixed {}{by}.",
        booking.number.text(),
        booking.glaze,
        booking.on
    );
    let mut text = style.bold(paragraph(&headline, 0).trim_end());
    text.push('\n');
    if let Some(void) = &batch.void {
        text.push_str(&indented("Taken back: ", &format!("{}.", taken_back(void))));
    }
    text.push('\n');
    text.push_str(&table(booking));
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
    if let Some(mark) = &booking.mark {
        text.push_str(&indented("Mark: ", &format!("{mark}, on its pieces.")));
    }
    if let Some(into) = &booking.into {
        let many = if into.count == 1 { "" } else { "s" };
        text.push_str(&indented(
            "Filled into: ",
            &format!("{} {}{many}.", into.count, into.one),
        ));
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
    let back = batch.void.as_ref().map_or_else(Vec::new, |void| changes(&void.stock));
    if !back.is_empty() {
        text.push_str(&indented("Put back: ", &format!("{}.", back.join("; "))));
    }
    text
}

fn table(booking: &Booking) -> String {
    let mut table = Table::new(&[Align::Left, Align::Right, Align::Right, Align::Left]);
    let lots = booking.lines.iter().any(|line| line.lot.is_some());
    table.row(["", "grams", "per 100", if lots { "lot" } else { "" }]);
    for line in &booking.lines {
        let on_top = if line.addition { " (on top)" } else { "" };
        table.row([
            format!("{}{on_top}", cut(&line.material, 36)),
            number::grams(line.grams, booking.step_grams),
            number::parts(100.0 * line.grams / booking.base_grams),
            line.lot.as_deref().map_or_else(String::new, |lot| cut(lot, 20)),
        ]);
    }
    table.text()
}

/// A booking taken back.
pub(super) fn void_text(booking: &Booking, void: &Void, style: Style) -> String {
    let headline = format!(
        "Batch {} is taken back: {}, {}.",
        booking.number.text(),
        booking.glaze,
        booking.on
    );
    let mut text = style.bold(paragraph(&headline, 0).trim_end());
    text.push('\n');
    let back = changes(&void.stock);
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
        .filter(|name| !void.stock.iter().any(|back| back.material == *name))
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

/// `silica 22 kg -> 20.7 kg` for each stock that changes.
pub(crate) fn changes(moves: &[StockMove]) -> Vec<String> {
    moves
        .iter()
        .filter(|one| one.before != one.after)
        .map(|one| format!("{} {} -> {}", one.whose(), one.before, one.after))
        .collect()
}
