//! `glost label`.

use glost_chemistry::diagnostic::Diagnostic;
use glost_core::workshop::label::LabelKind;
use glost_desk::label::{Answer, LabelGrid, Labels, OneLabel, Sheet};

use crate::Shown;
use crate::layout::{Style, columns, indented, paragraph, width};
use crate::print::label_sheet::LabelSheet;
use crate::print::{File, Printed};
use crate::words::label::{DUST, facts, fired, five_lines, food, hazard, marks, title};

impl Shown for Answer {
    fn text(&self, style: Style) -> String {
        match self {
            Answer::Grids(grids) => grids_text(grids),
            Answer::Labels(labels) => {
                let each: Vec<String> = labels.labels.iter().map(|one| label_text(one, style)).collect();
                each.join("\n")
            }
        }
    }

    fn printed(&self) -> Result<Printed, Diagnostic> {
        match self {
            Answer::Grids(_) => Ok(Printed::default()),
            Answer::Labels(labels) => match &labels.sheet {
                Some(sheet) => printed(labels, sheet),
                None => Ok(Printed::default()),
            },
        }
    }
}

/// Labels on their sheets, into the file that is asked for or in place of the text.
fn printed(labels: &Labels, sheet: &Sheet) -> Result<Printed, Diagnostic> {
    let sheets = LabelSheet {
        labels: &labels.labels,
        sheet,
    }
    .print()?;
    let mut printed = Printed {
        json: vec![("printed", sheets.json())],
        ..Printed::default()
    };
    if let Some(file) = &labels.page {
        printed.files.push(File {
            path: file.path.clone(),
            text: sheets.pages.file(file.format)?,
        });
        printed.said = format!("\nPage: {}, to open in a browser and print.\n", file.path.display());
    } else {
        printed.said = "\nNot printed: --page labels.html writes the page.\n".to_owned();
    }
    printed.said.push_str(&sheets.text());
    if labels.html {
        let html = sheets.pages.html();
        printed.json.push(("html", html.clone().into()));
        printed.instead = Some(html);
    }
    Ok(printed)
}

/// The sheets of labels that come along.
fn grids_text(grids: &[LabelGrid]) -> String {
    let mut text = "Sheets of labels that come along (width x height of a label):\n".to_owned();
    for grid in grids {
        text.push_str(&format!("  {grid}, {} across\n", grid.across));
    }
    text.push_str(&indented(
        "Your own: ",
        "--grid \"63.5 x 38.1 mm, 3 across, 7 down, A4, left 7.2 mm, top 15.1 mm, pitch 66 x 38.1 mm\"; left, top and pitch as measured on the sheet, or left out for labels in the middle, side by side.",
    ));
    text
}

/// For a terminal, or to copy by hand.
pub(super) fn label_text(one: &OneLabel, style: Style) -> String {
    if one.kind == LabelKind::Tile {
        return tile_text(one, style);
    }
    let label = &one.label;
    if one.kind == LabelKind::Bottle {
        return bottle_text(one, style);
    }
    let mut text = style.bold(&title(one));
    text.push('\n');
    if one.kind == LabelKind::Bag {
        text.push_str("Dry powder\n");
    }
    for line in facts(one) {
        text.push_str(&paragraph(&line, 2));
    }
    text.push('\n');
    text.push_str(&beside(&marks(one)));
    if one.kind != LabelKind::Bag {
        text.push_str("Density measured ________ g/ml   Sieve ______\n");
    }
    text.push('\n');
    for told in label.contents.hazards() {
        text.push_str(&indented("! ", &hazard(&told)));
    }
    text.push_str(&paragraph(DUST, 0));
    text.push('\n');
    text.push_str(&paragraph(&food(one), 0));
    text
}

/// Five lines to print, or to copy by hand onto tape.
fn bottle_text(one: &OneLabel, style: Style) -> String {
    let [drink, rest @ ..] = five_lines(one);
    let mut text = style.bold(&drink);
    text.push('\n');
    for line in rest {
        text.push_str(&paragraph(&line, 0));
    }
    for told in one.label.contents.hazards() {
        text.push_str(&indented("! ", &hazard(&told)));
    }
    text.push_str(&paragraph(&food(one), 0));
    text
}

fn tile_text(one: &OneLabel, style: Style) -> String {
    let stamp = &one.stamp;
    let code = stamp.code.as_deref().unwrap_or("______");
    let mut text = style.bold(code);
    text.push('\n');
    let version = stamp
        .version
        .as_ref()
        .map_or_else(String::new, |version| format!(" {version}"));
    text.push_str(&paragraph(&format!("{}{}", title(one), version), 2));
    text.push_str(&paragraph(&fired(one), 2));
    let day = stamp.day.map_or_else(|| "_".repeat(12), |day| day.to_string());
    text.push_str(&format!("Date {day}\n"));
    text
}

/// Blanks to fill in beside each other, as many on a line as fit the terminal.
fn beside(marks: &[String]) -> String {
    let mut lines: Vec<String> = Vec::new();
    for mark in marks {
        match lines.last_mut() {
            Some(line) if columns(line) + 2 + columns(mark) <= width() => {
                line.push_str("  ");
                line.push_str(mark);
            }
            _ => lines.push(mark.clone()),
        }
    }
    lines.iter().map(|line| format!("{line}\n")).collect()
}
