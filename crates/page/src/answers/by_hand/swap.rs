//! How far a new recipe is from the old one, figure by figure.

use glost_desk::by_hand::SwapSteps;

use crate::layout::{Align, Table, paragraph};
use crate::number::figures;

use super::unity;

/// The new recipe's formula, then the distance row by row.
pub(in crate::answers) fn swap(steps: &SwapSteps) -> String {
    let mut text = unity(&steps.unity);
    text.push('\n');
    text.push_str(&paragraph(
        &format!(
            "4: how far it is from the old formula. Each row is off by (new x {} - old) / tolerance; {} is the scale at which they are least off together. What soda and potash do to each other, strontium and barium, and the sum of the fluxes are rows of their own.",
            figures(steps.scale),
            figures(steps.scale)
        ),
        0,
    ));
    let numbers = [Align::Point; 5];
    let mut table = Table::new(&[&[Align::Left], &numbers[..]].concat());
    table.row(["row", "old", "new", "tolerance", "off", "squared"]);
    for row in &steps.rows {
        let names: Vec<String> = row.oxides.iter().map(ToString::to_string).collect();
        let name = if names.len() > MOST_NAMED {
            "all fluxes".to_owned()
        } else {
            names.join(" + ")
        };
        table.row([
            name,
            format!("{:.4}", row.old),
            format!("{:.4}", row.new),
            format!("{:.4}", row.tolerance),
            format!("{:.3}", row.off),
            format!("{:.3}", row.squared),
        ]);
    }
    text.push_str(&table.text());
    text.push_str(&paragraph(
        &format!(
            "The squares add up to {}; the root of that is the distance, {} tolerances.",
            figures(steps.sum_of_squares),
            figures(steps.distance)
        ),
        0,
    ));
    text
}

/// A row of more oxides than this is that of the fluxes.
const MOST_NAMED: usize = 2;
