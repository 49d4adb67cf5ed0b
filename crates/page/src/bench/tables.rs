//! A table of materials, prices or recipes, brought in from a spreadsheet.

use super::{Html, Seal, fields, prose};
use crate::html;

const HINT: &str = "only where a heading isn’t understood: Quarz=silica, Nr=skip, a line each";

/// The form that brings one along.
pub fn to_bring(seal: &Seal) -> Html {
    let inside: Html = [
        html!(
            "<p class=\"field\"><label for=\"table\">Which file?</label><input id=\"table\" name=\"table\" type=\"file\" \
             accept=\".csv,text/csv\" required><small>CSV, as spreadsheets write it: prices, stocks, materials or recipes, a row each. First you are shown \
             what it would do.</small></p>"
        ),
        fields::lines("as", "What do headings mean?", "", HINT),
    ]
    .into_iter()
    .collect();
    html!(
        "<details class=\"section\"><summary>Bring a table in</summary>{}</details>",
        fields::doing_with_file(seal, "/shelf/bring", inside, "Look at it first")
    )
}

/// What it would do, and the key that does it.
pub fn looked_at(seal: &Seal, kept: &str, taken_as: &str, told: &str) -> Html {
    let inside: Html = [
        fields::hidden("kept", kept),
        fields::lines("as", "What do headings mean?", taken_as, HINT),
    ]
    .into_iter()
    .collect();
    html!(
        "<div role=\"status\">{}</div>{}",
        prose(told),
        fields::doing(seal, "/shelf/brought", inside, "Bring it in")
    )
}

/// What it did.
pub fn taken_in(told: &str) -> Html {
    html!(
        "<p class=\"answer\" role=\"status\">It is in.</p>{}<p><a href=\"/shelf\">The shelf</a> · <a href=\"/glazes\">My glazes</a></p>",
        prose(told)
    )
}
