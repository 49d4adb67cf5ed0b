//! Sums in numbers, as one does them by hand.

mod swap;
mod unity;

use glost_desk::by_hand::Line;

use crate::layout::{Align, Table, paragraph};
use crate::number::figures;
use crate::words::by_hand::step;

pub(super) use swap::swap;
pub(super) use unity::unity;

/// A sum line by line; `taken` heads what scales or syringe make of it.
pub(super) fn lines(lines: &[Line], taken: &str) -> String {
    let rounded = lines.iter().any(|line| line.rounded.is_some());
    let mut align = vec![Align::Left, Align::Left, Align::Right];
    let mut head = vec!["", "sum", "is"];
    if rounded {
        align.push(Align::Right);
        head.push(taken);
    }
    let mut table = Table::new(&align);
    table.row(head);
    for line in lines {
        let mut row = vec![step(&line.step), line.sum.written(&figures, " x "), figures(line.value)];
        if rounded {
            row.push(line.rounded.map_or_else(String::new, figures));
        }
        table.row(row);
    }
    let mut text = paragraph("By hand, each figure to six digits:", 0);
    text.push_str(&table.text());
    text
}
