//! The page to take to the kiln: what stands in it, and room for what is seen there.

use glost_core::evidence::firings::{Entry, Firing};
use glost_desk::kiln::Told;

use crate::flow::Flow;
use crate::ruled::{Cell, Column, table};
use crate::sheet::{Pages, Setting};
use crate::words::kiln::{firing as name_of, put};
use crate::words::say;

/// The load's columns with their widths in mm.
const COLUMNS: [Column<'_>; 6] = [
    ("shelf", 22.0),
    ("what", 54.0),
    ("clay", 36.0),
    ("pieces", 15.0),
    ("mark, coat", 25.0),
    ("as opened", 34.0),
];
/// No row is lower, mm: room for a hand that writes.
const ROW_MM: f64 = 9.0;
/// Rows of an empty list.
const EMPTY_ROWS: usize = 16;
const TITLE: &str = "The kiln";

/// A page for each load that waits to be opened; else an empty one.
pub(crate) fn pages(firings: &[Told]) -> Pages {
    let waiting: Vec<&Told> = firings
        .iter()
        .filter(|told| told.firing.stands() && told.firing.opened.is_none())
        .collect();
    let mut flow = Flow::new();
    for told in &waiting {
        flow.next_page();
        load(&mut flow, told);
    }
    if waiting.is_empty() {
        empty(&mut flow);
    }
    Pages {
        title: TITLE.to_owned(),
        setting: Setting::AnyPaper,
        drawings: flow.finish(),
    }
}

fn load(flow: &mut Flow, told: &Told) {
    let firing = &told.firing;
    flow.title(&format!("Kiln: {}", name_of(firing)));
    flow.paragraph(&about(firing));
    let rows: Vec<Vec<Cell>> = firing.load.iter().map(row).collect();
    table(flow, &COLUMNS, &rows, ROW_MM);
    to_write(flow);
    let cautions: Vec<String> = told.cautions.iter().map(|said| format!("{}.", say(said))).collect();
    flow.warning(&cautions);
    flow.paragraph(&format!(
        "Typed in later: glost kiln opened {} --bent CONE --peak \"1222 C\" --soak \"15 min\"",
        firing.id
    ));
}

fn about(firing: &Firing) -> String {
    let pieces = match firing.pieces() {
        1 => "1 piece".to_owned(),
        pieces => format!("{pieces} pieces"),
    };
    let mut said = vec![format!("{}, loaded {}", firing.kind.word(), firing.on), pieces];
    said.extend(firing.atmosphere.clone());
    said.extend(firing.text.clone());
    said.join("; ")
}

fn row(entry: &Entry) -> Vec<Cell> {
    let text = |text: &Option<String>| Cell::Text(text.clone().unwrap_or_default());
    let over = entry
        .over
        .as_ref()
        .map_or_else(String::new, |over| format!("{over} over "));
    let of_piece: Vec<String> = entry
        .mark
        .iter()
        .chain(&entry.coat)
        .chain(&entry.text)
        .cloned()
        .collect();
    vec![
        text(&entry.shelf),
        Cell::Bold(format!("{over}{}", put(&entry.put))),
        text(&entry.clay),
        Cell::Text(entry.pieces.to_string()),
        Cell::Text(of_piece.join(", ")),
        Cell::Blank,
    ]
}

/// What is seen at the kiln.
fn to_write(flow: &mut Flow) {
    flow.blanks(&["Cones bent: top", "middle", "bottom"]);
    flow.blanks(&["Peak", "Held", "Cooled"]);
    flow.blanks(&["Opened on", "By"]);
}

fn empty(flow: &mut Flow) {
    flow.title(TITLE);
    flow.blanks(&["Firing", "Cone meant"]);
    flow.blanks(&["Loaded on", "By"]);
    let rows: Vec<Vec<Cell>> = (0..EMPTY_ROWS)
        .map(|_| COLUMNS.iter().map(|_| Cell::Blank).collect())
        .collect();
    table(flow, &COLUMNS, &rows, ROW_MM);
    to_write(flow);
    flow.paragraph(
        "Vent to outdoors, nobody stays in the room, open it below 100 C. Typed in later: glost kiln load --firing NAME --cone CONE --put \"BATCH or GLAZE = PIECES on CLAY at SHELF\", then glost kiln opened.",
    );
}
