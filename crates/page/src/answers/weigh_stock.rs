//! The part of a ticket about the book and the shelf: its batch, what is short,
//! what was taken off.

use glost_core::workshop::batches::{Booking, of_lot};
use glost_desk::weigh::Answer;

use super::batches::changes;
use crate::layout::indented;
use crate::number;

/// What is short, or what was taken off.
pub(super) fn stock_lines(answer: &Answer) -> String {
    if let Some(booking) = &answer.booking {
        return taken(booking);
    }
    let short: Vec<String> = answer
        .stock
        .iter()
        .filter(|stock| stock.short_grams > 0.0)
        .map(|stock| {
            format!(
                "{} by {} g ({} g on the shelf)",
                of_lot(&stock.material, stock.lot.as_deref()),
                number::grams(stock.short_grams, answer.step.grams()),
                number::plain(stock.before_grams)
            )
        })
        .collect();
    match short.is_empty() {
        true => String::new(),
        false => indented("Short: ", &format!("{}.", short.join(", "))),
    }
}

/// Where several lots of a material stand open: which one it is weighed from.
pub(super) fn lot_lines(answer: &Answer) -> String {
    let mut text = String::new();
    for line in answer.lines.iter().filter(|line| !line.other_lots.is_empty()) {
        let Some(lot) = &line.lot else { continue };
        let others = line.other_lots.iter();
        let others: Vec<String> = others
            .map(|other| format!("{} ({} g)", other.lot, number::plain(other.stock_grams)))
            .collect();
        let mut said = format!("{} from {lot}; open beside it: {}.", line.material, others.join(", "));
        if answer.booking.is_none() {
            said.push_str(&format!(
                " `--lot {:?}` takes it from there.",
                format!("{}={}", line.material, line.other_lots[0].lot)
            ));
        }
        text.push_str(&indented("Lot: ", &said));
    }
    text
}

/// What leaves the shelf, and where its count was wrong.
fn taken(booking: &Booking) -> String {
    let moves = &booking.stock;
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
    text.push_str(&count_again(booking));
    text
}

/// Where more was weighed than the shelf was said to hold.
fn count_again(booking: &Booking) -> String {
    let mut text = String::new();
    for one in booking.stock.iter().filter(|one| one.short_grams > 0.0) {
        text.push_str(&indented(
            "Count again: ",
            &format!(
                "the shelf count of {} was wrong by {} g or more: {} was stated, {} g were weighed. It is {} now.",
                one.whose(),
                number::grams(one.short_grams, booking.step_grams),
                one.before,
                number::grams(one.taken_grams + one.short_grams, booking.step_grams),
                one.after
            ),
        ));
    }
    text
}
