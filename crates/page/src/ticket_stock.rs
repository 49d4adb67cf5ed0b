//! The part of a ticket about the book and the shelf: its batch, what is short,
//! what was taken off.

use glost_core::workshop::batches::on_shelf;
use serde_json::{Value, json};

use crate::batch::stock_text;
use crate::layout::indented;
use crate::number;
use crate::weigh::WeighPage;

impl WeighPage<'_> {
    /// `Batch 14`, and when it was booked by whom; nothing without a number.
    pub(crate) fn batch_line(&self) -> String {
        let Some(number) = self.batch else {
            return String::new();
        };
        match self.booked {
            None => format!("Batch {number}\n"),
            Some(booking) => {
                let by = booking.by.as_ref().map(|by| format!(" by {by}")).unwrap_or_default();
                format!("Batch {number} (booked), mixed {}{by}\n", booking.on)
            }
        }
    }

    /// What is short, or what was taken off.
    pub(crate) fn stock_lines(&self) -> String {
        if let Some(booking) = self.booked {
            return stock_text(&booking.stock, booking);
        }
        let short: Vec<String> = on_shelf(&self.ticket.lines)
            .iter()
            .filter(|stock| stock.short_grams() > 0.0)
            .map(|stock| {
                format!(
                    "{} by {} g ({} g on the shelf)",
                    stock.material,
                    number::grams(stock.short_grams(), self.step_grams),
                    number::plain(stock.before_grams)
                )
            })
            .collect();
        match short.is_empty() {
            true => String::new(),
            false => indented("Short: ", &format!("{}.", short.join(", "))),
        }
    }

    pub(crate) fn stock_json(&self) -> Vec<Value> {
        if let Some(booking) = self.booked {
            let moves = booking.stock.iter().map(|one| {
                json!({
                    "material": one.material,
                    "before_grams": one.before_grams,
                    "taken_grams": one.taken_grams,
                    "after_grams": one.after_grams(),
                    "short_grams": one.short_grams,
                    "file": one.file,
                    "before": one.before,
                    "after": one.after,
                })
            });
            return moves.collect();
        }
        let shelf = on_shelf(&self.ticket.lines);
        let would = shelf.iter().map(|stock| {
            json!({
                "material": stock.material,
                "before_grams": stock.before_grams,
                "taken_grams": stock.before_grams - stock.after_grams(),
                "after_grams": stock.after_grams(),
                "short_grams": stock.short_grams(),
            })
        });
        would.collect()
    }

    /// Materials of the ticket that nothing is taken off for.
    pub(crate) fn stock_not_stated(&self) -> Vec<&str> {
        let stated: Vec<String> = match self.booked {
            Some(booking) => booking.stock.iter().map(|one| one.material.clone()).collect(),
            None => on_shelf(&self.ticket.lines)
                .into_iter()
                .map(|one| one.material)
                .collect(),
        };
        let names = self.ticket.lines.iter().map(|line| line.material.name.as_str());
        names.filter(|name| !stated.iter().any(|known| known == name)).collect()
    }
}
