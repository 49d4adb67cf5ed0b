//! A recipe as a few lines of plain text, in the form that notebook pages are read in.

use glost_chemistry::glaze::{Glaze, Portion};

use glost_core::workshop::label::Stamp;

/// The recipe's short text: a title, then a line for each material with its
/// share of the base in per cent (thousandths kept), additions with a `+`; the
/// colon keeps names that end in a sign, as `frit X`, from their amounts.
/// Reading it as a notebook page gives the recipe back.
pub fn short_text(glaze: &Glaze, stamp: &Stamp) -> String {
    let mut title = glaze.name.clone();
    if let Some(version) = &stamp.version {
        title.push_str(&format!(" {version}"));
    }
    if let Some(cone) = &glaze.about.cone {
        title.push_str(&format!(", cone {cone}"));
    }
    let base = glaze.base.iter().map(|portion| line("", portion, ""));
    let additions = glaze.additions.iter().map(|portion| line("+ ", portion, " %"));
    let lines: Vec<String> = std::iter::once(title).chain(base).chain(additions).collect();
    lines.join("\n")
}

fn line(before: &str, portion: &Portion, after: &str) -> String {
    let amount = format!("{:.3}", portion.percent);
    let amount = amount.trim_end_matches('0').trim_end_matches('.');
    format!("{before}{}: {amount}{after}", portion.material.name)
}
