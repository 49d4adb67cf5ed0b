//! Sheets of notes: typed in, and blank ones to type into or to print.

use glost_chemistry::quantity::Date;
use glost_core::evidence::notes::{Draft, Notes, Version, age_words};
use serde_json::{Value, json};

use crate::flow::{Flow, SMALL};
use crate::layout::{Align, Style, Table, assumed, indented, paragraph};
use crate::looking::{HOW_TO_LOOK, note_json};
use crate::sheet::{Pages, Setting};
use crate::svg::{Anchor, Paint, Weight, largest_size};

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
/// Rows shown on a screen.
const SHOWN: usize = 30;

/// A sheet that was just typed in.
#[derive(Debug)]
pub struct SheetPage<'a> {
    /// The file.
    pub file: &'a str,
    /// The notebook with its rows.
    pub notes: &'a Notes,
    /// The line of the first row.
    pub first: usize,
    /// Versions that were recorded for it.
    pub new_versions: &'a [Version],
    /// What was assumed.
    pub assumptions: &'a [String],
}

impl SheetPage<'_> {
    /// As JSON.
    pub fn json(&self) -> Value {
        let notes = self.notes.all().iter().filter(|note| note.line >= self.first);
        let versions = self.new_versions.iter();
        json!({
            "notes": notes.map(|note| Value::Object(note_json(note))).collect::<Vec<_>>(),
            "recorded_versions": versions.map(|version| json!({"glaze": version.glaze, "version": version.version})).collect::<Vec<_>>(),
            "assumptions": self.assumptions,
        })
    }

    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
        let notes: Vec<_> = self.notes.all().iter().filter(|note| note.line >= self.first).collect();
        let last = notes.last().map_or(self.first, |note| note.line);
        let lines = if notes.len() == 1 {
            format!("1 note on line {last}")
        } else {
            format!("{} notes on lines {} to {last}", notes.len(), self.first)
        };
        let mut text = style.bold(&format!("{lines}, from {}.", self.file));
        text.push_str("\n\n");
        let mut table = Table::new(&[
            Align::Right,
            Align::Left,
            Align::Left,
            Align::Left,
            Align::Left,
            Align::Left,
        ]);
        table.row(["line", "glaze or tile", "clay", "age", "crazed", "shivered"]);
        for note in notes.iter().take(SHOWN) {
            let count = |count: Option<u32>| match (count, note.pieces) {
                (Some(count), Some(pieces)) => format!("{count} of {pieces}"),
                _ => "-".to_owned(),
            };
            let glaze = note.glaze.as_deref().map(|name| shortened(name, 22));
            let tile = note.tile.as_deref().map(|code| shortened(code, 10));
            table.row([
                note.line.to_string(),
                [glaze, tile].into_iter().flatten().collect::<Vec<_>>().join(", "),
                note.clay.as_deref().map_or("-".to_owned(), |clay| shortened(clay, 18)),
                note.age_days.map_or("-".to_owned(), age_words),
                count(note.crazed),
                count(note.shivered),
            ]);
        }
        text.push_str(&table.text());
        if notes.len() > SHOWN {
            text.push_str(&format!("and {} more\n", notes.len() - SHOWN));
        }
        text.push('\n');
        for version in self.new_versions {
            text.push_str(&paragraph(
                &format!(
                    "{} {} is recorded: the recipe as it is.",
                    version.glaze, version.version
                ),
                2,
            ));
        }
        text.push_str(&assumed(self.assumptions));
        text.push_str(&indented("Wrong? ", "glost note --void LINE takes one line back."));
        text
    }
}

fn shortened(text: &str, most: usize) -> String {
    if text.chars().count() > most {
        text.chars().take(most - 1).chain(['…']).collect()
    } else {
        text.to_owned()
    }
}

/// A table to type into; what was said already stands in its first row.
pub fn blank_csv(usual: &Draft, today: Date) -> String {
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
    if cell.contains([',', '"', '\n', ';', '\t']) {
        format!("\"{}\"", cell.replace('"', "\"\""))
    } else {
        cell.to_owned()
    }
}

/// A page to print and write on.
pub fn blank_page(usual: &Draft) -> Pages {
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

/// What to say when a blank sheet was written.
pub fn blank_written(file: &str) -> String {
    let what = if file.ends_with(".csv") {
        "Type a row for each look, then:"
    } else {
        "Open it in a browser and print it. Typed into a table later:"
    };
    crate::layout::paragraph(&format!("Written to {file}. {what} glost note --sheet FILE.csv"), 0)
}
