//! `glost materials --label`: what a poor label most likely means.

use glost_core::intake::bag::Mended;
use serde_json::{Value, json};

use crate::amounts;
use crate::layout::{Align, Style, Table, indented, paragraph};
use crate::number;

/// As JSON.
pub fn mended_json(mended: &Mended, written: Option<&str>) -> Value {
    json!({
        "name": mended.name,
        "analysis": amounts::map(mended.oxides.iter().cloned()),
        "basis": mended.basis.words(),
        "loss_on_ignition": mended.loss_percent,
        "reasons": mended.reasons,
        "assumed": mended.assumed,
        "stand_in": mended.stand_in,
        "entry": mended.entry,
        "written": written,
    })
}

/// For a terminal: the reasons, the figures, the entry to copy.
pub fn mended_text(mended: &Mended, written: Option<&str>, style: Style) -> String {
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
        text.push_str(&indented("Why: ", reason));
    }
    if let Some(assumed) = &mended.assumed {
        text.push_str(&indented("Assumed in every result: ", assumed));
    }
    match written {
        Some(file) => text.push_str(&format!("\nWritten to {file}.\n")),
        None => {
            text.push_str("\nThe entry for materials/ (`--out FILE` writes it):\n\n");
            text.push_str(&mended.entry);
            text.push('\n');
        }
    }
    text.push_str(&indented(
        "Next: ",
        "ask the supplier for a sheet with the loss on ignition; weigh a spoonful before and after a biscuit firing to check it.",
    ));
    text
}
