//! `glost materials --label`: what a poor label most likely means.

use glost_desk::Said;
use glost_desk::materials::Bag;

use crate::layout::{Align, Style, Table, indented, paragraph};
use crate::number;
use crate::words::say;

/// For a terminal: the reasons, the figures, the entry to copy.
pub(super) fn text(bag: &Bag, style: Style) -> String {
    let mended = &bag.mended;
    let head = match &mended.stand_in {
        Some(typical) => format!("{}: no figures on the label; {typical} stands in.", mended.name),
        None => format!(
            "{}: basis {}, loss on ignition {} %.",
            mended.name,
            mended.basis.words(),
            number::plain((mended.loss_percent * 10.0).round() / 10.0)
        ),
    };
    let mut text = style.bold(paragraph(&head, 0).trim_end());
    text.push_str("\n\n");
    let mut table = Table::new(&[Align::Left, Align::Right]);
    table.row(["oxide", "wt %"]);
    for (name, percent) in &mended.oxides {
        table.row([name.clone(), number::percent(*percent)]);
    }
    text.push_str(&table.text());
    text.push('\n');
    for reason in &mended.reasons {
        text.push_str(&indented("Why: ", &say(&Said::BagReason(reason.clone()))));
    }
    if let Some(assumed) = mended.assumed.clone().map(Said::BagGuess) {
        text.push_str(&indented("Assumed in every result: ", &say(&assumed)));
    }
    match &bag.out {
        Some(file) => text.push_str(&format!("\nWritten to {}.\n", file.display())),
        None => {
            text.push_str("\nThe entry for materials/ (`--out FILE` writes it):\n\n");
            text.push_str(&say(&bag.entry()));
            text.push('\n');
        }
    }
    text.push_str(&indented(
        "Next: ",
        "ask the supplier for a sheet with the loss on ignition; weigh a spoonful before and after a biscuit firing to check it.",
    ));
    text
}
