//! The blank result sheet: as a table to type into, and as a page to write on.

use super::BlendPage;
use crate::flow::Flow;
use crate::ruled::{Cell, table};

/// The headings, as `glost note --sheet` reads them.
const HEADINGS: [&str; 13] = [
    "on",
    "tile",
    "clay",
    "firing",
    "cone",
    "age_days",
    "pieces",
    "crazed",
    "shivered",
    "grade gloss",
    "grade colour",
    "thickness_mm",
    "text",
];

impl BlendPage<'_> {
    /// A blank table, a row for each tile; `name` is the saved plan's.
    pub(super) fn result_sheet(&self, name: Option<&str>) -> String {
        let mut text = format!("{}\n", HEADINGS.join(","));
        for tile in &self.plan.tiles {
            let code = match name {
                Some(name) => format!("{name}/{}", tile.code),
                None => tile.code.clone(),
            };
            let cells = HEADINGS.map(|heading| if heading == "tile" { code.as_str() } else { "" });
            text.push_str(&format!("{}\n", cells.join(",")));
        }
        text
    }

    /// A page with room for what is seen.
    pub(super) fn draw_results(&self, flow: &mut Flow) {
        flow.next_page();
        flow.title("What the tiles look like");
        flow.blanks(&["Looked at on", "Age"]);
        flow.blanks(&["Clay", "Firing", "Cone bent"]);
        flow.paragraph(
            "Grades: 0 none to 5 most of what the column names. Crazed: look with ink and a lens, at 1 day, 30 days and 6 months; copy this sheet for each look.",
        );
        let columns = [
            ("tile", 16.0),
            ("shares", 34.0),
            ("gloss", 15.0),
            ("colour", 16.0),
            ("crazed", 17.0),
            ("shivered", 20.0),
            ("mm", 12.0),
            ("what else", 54.0),
        ];
        let rows: Vec<Vec<Cell>> = self
            .plan
            .tiles
            .iter()
            .map(|tile| {
                let mut row = vec![
                    Cell::Bold(tile.code.clone()),
                    Cell::Text(self.tile_words(tile).replace('/', " / ")),
                ];
                row.extend((2..columns.len()).map(|_| Cell::Blank));
                row
            })
            .collect();
        table(flow, &columns, &rows, 8.2);
        flow.paragraph(
            "Typed into a table: glost blend ... --sheet FILE.csv makes it, glost note --sheet FILE.csv keeps it.",
        );
    }
}
