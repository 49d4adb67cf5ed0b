//! `glost note --blank`: sheets to type into or to print.

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::quantity::Date;
use glost_chemistry::read::push_cell;
use glost_desk::note::Draft;
use glost_desk::note::{BlankForm, BlankSheet};
use serde_json::Value;

use crate::flow::{Flow, SMALL};
use crate::layout::paragraph;
use crate::print::{File, Printed};
use crate::sheet::{Pages, Setting};
use crate::svg::{Anchor, Paint, Weight, largest_size};
use crate::words::notes::HOW_TO_LOOK;

/// The headings of a blank sheet.
const HEADINGS: [&str; 15] = [
    "on",
    "glaze",
    "tile",
    "clay",
    "firing",
    "cone",
    "batch",
    "age_days",
    "pieces",
    "crazed",
    "shivered",
    "grade gloss",
    "thickness_mm",
    "photo",
    "text",
];
/// The title of the sheet to print.
const TITLE: &str = "What the pieces look like";
/// Rows to write on: what fits a page.
const PRINTED_ROWS: usize = 14;
/// The height of a row in mm.
const ROW_MM: f64 = 10.5;
/// The columns of the sheet to print, each with its width in mm.
const COLUMNS: [(&str, f64); 9] = [
    ("glaze or tile", 38.0),
    ("clay", 26.0),
    ("batch", 20.0),
    ("made, or age", 22.0),
    ("pieces", 13.0),
    ("crazed", 14.0),
    ("shivered", 15.0),
    ("gloss 0-5", 13.0),
    ("remarks", 25.0),
];
const THIN: Paint = Paint::outline(0.3);

/// The sheet as its file.
pub(super) fn printed(sheet: &BlankSheet) -> Result<Printed, Diagnostic> {
    let text = match sheet.form {
        BlankForm::Table => blank_csv(&sheet.usual, sheet.today),
        BlankForm::Page(format) => blank_page(&sheet.usual).file(format)?,
    };
    Ok(Printed {
        json: vec![("written", Value::from(sheet.file.display().to_string()))],
        files: vec![File {
            path: sheet.file.clone(),
            text,
        }],
        ..Printed::default()
    })
}

/// What is said once it is written.
pub(super) fn text(sheet: &BlankSheet) -> String {
    let what = match sheet.form {
        BlankForm::Table => "Type a row for each look, then:",
        BlankForm::Page(_) => "Open it in a browser and print it. Typed into a table later:",
    };
    let file = sheet.file.display();
    paragraph(&format!("Written to {file}. {what} glost note --sheet FILE.csv"), 0)
}

/// A table to type into; what was said already stands in its first row.
fn blank_csv(usual: &Draft, today: Date) -> String {
    let mut text = HEADINGS.join(",");
    text.push('\n');
    if usual.is_empty() {
        return text;
    }
    let cells = HEADINGS.map(|heading| {
        let said = usual.said(heading).or_else(|| match heading {
            "age_days" => usual.said("age"),
            "thickness_mm" => usual.said("thickness"),
            _ => None,
        });
        match (heading, said) {
            ("on", None) => today.to_string(),
            (_, said) => quoted(said.unwrap_or_default()),
        }
    });
    text.push_str(&cells.join(","));
    text.push('\n');
    text
}

fn quoted(cell: &str) -> String {
    let mut text = String::new();
    push_cell(&mut text, cell);
    text
}

/// A page to print and write on.
fn blank_page(usual: &Draft) -> Pages {
    let mut flow = Flow::new();
    flow.title(TITLE);
    flow.blanks(&["Looked at on", "By"]);
    let known = [
        ("Glaze", "glaze"),
        ("Clay", "clay"),
        ("Firing", "firing"),
        ("Cone", "cone"),
    ];
    let said: Vec<String> = known
        .into_iter()
        .filter_map(|(word, key)| Some(format!("{word}: {}", usual.said(key)?)))
        .collect();
    if !said.is_empty() {
        flow.paragraph(&said.join("; "));
    }
    flow.paragraph(HOW_TO_LOOK);
    flow.picture(ROW_MM * (PRINTED_ROWS + 1) as f64, |page| {
        let foot = ROW_MM * (PRINTED_ROWS + 1) as f64;
        let mut x = 0.0;
        for (heading, width) in COLUMNS {
            page.line(x, 0.0, x, foot, THIN);
            let size = largest_size(heading, width - 2.0, SMALL, Weight::Regular);
            page.text(x + 1.0, ROW_MM - 3.0, size, Anchor::Start, heading);
            x += width;
        }
        page.line(x, 0.0, x, foot, THIN);
        for row in 0..=PRINTED_ROWS + 1 {
            let y = ROW_MM * row as f64;
            page.line(0.0, y, x, y, THIN);
        }
    });
    flow.paragraph(
        "Count every piece, also those that held. Crazed pieces are seconds, not tableware. Shivered: sharp slivers, gloves. Type it in later with glost note --sheet FILE.csv (glost note --blank FILE.csv makes the table).",
    );
    Pages {
        title: TITLE.to_owned(),
        setting: Setting::AnyPaper,
        drawings: flow.finish(),
    }
}
