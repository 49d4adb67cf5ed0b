//! The blank result sheet: as a table to type into, and as a page to write on.

use super::BlendPage;
use super::labels::shares_words;
use crate::sheet;

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
    pub fn result_sheet(&self, name: Option<&str>) -> String {
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
    pub(super) fn html_results(&self) -> String {
        let mut body = String::from("<section class=\"ticket\">\n<h1>What the tiles look like</h1>\n");
        body.push_str(&sheet::blanks(&["Looked at on", "Age"]));
        body.push_str(&sheet::blanks(&["Clay", "Firing", "Cone bent"]));
        body.push_str(&sheet::paragraph(
            "Grades: 0 none to 5 most of what the column names. Crazed: look with ink and a lens, at 1 day, 30 days and 6 months; copy this sheet for each look.",
        ));
        body.push_str("<table class=\"small\">\n<tr><th>tile</th><th>shares</th><th>gloss</th><th>colour</th><th>crazed</th><th>shivered</th><th>thickness</th><th>what else</th></tr>\n");
        for tile in &self.plan.tiles {
            body.push_str(&format!(
                "<tr style=\"height: 8.4mm\"><td><b>{}</b></td><td>{}</td><td></td><td></td><td></td><td></td><td></td><td style=\"width: 60mm\"></td></tr>\n",
                sheet::escape(&tile.code),
                shares_words(&tile.shares)
            ));
        }
        body.push_str("</table>\n");
        body.push_str(&sheet::paragraph(
            "Typed into a table with headings (on, tile, crazed, grade gloss ...), glost note --sheet FILE.csv keeps them.",
        ));
        body.push_str("</section>\n");
        body
    }
}
