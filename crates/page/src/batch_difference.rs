//! `glost batches diff`: what differs between two batches.

use glost_chemistry::distance::Nearness;
use glost_core::workshop::batches::{Booking, Difference, Differences, What};
use serde_json::{Value, json};

use crate::batches::{cut, short};
use crate::layout::{Align, Style, Table, assumed, indented, paragraph};
use crate::number;

/// Two batches side by side.
#[derive(Debug)]
pub struct DifferencePage<'a> {
    /// The first batch.
    pub before: &'a Booking,
    /// The second.
    pub after: &'a Booking,
    /// What differs.
    pub differences: &'a Differences,
}

impl DifferencePage<'_> {
    /// As JSON; `effect` and `together` are distances in tolerances.
    pub fn json(&self) -> Value {
        json!({
            "before": self.before.number,
            "after": self.after.number,
            "differences": self.differences.rows.iter().map(row_json).collect::<Vec<_>>(),
            "together": self.differences.together,
            "assumptions": self.differences.assumptions,
        })
    }

    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
        let mut text = style.bold(paragraph(&self.headline(), 0).trim_end());
        text.push('\n');
        if !self.differences.rows.is_empty() {
            text.push('\n');
            text.push_str(&self.table());
            text.push('\n');
        }
        if let Some(together) = self.differences.together {
            text.push_str(&indented(
                "Together: ",
                &format!(
                    "the weights move the fired glaze {} ({} tolerances).",
                    moved(together),
                    number::distance(together)
                ),
            ));
        }
        text.push_str(&assumed(&self.differences.assumptions));
        text.push_str(&indented(
            "Not in the book: ",
            "thickness, sieve, how long it soaked, the kiln that day. One tile of each bucket in one firing tells most.",
        ));
        text
    }

    fn headline(&self) -> String {
        let (before, after) = (self.before.number.text(), self.after.number.text());
        let Some(first) = self.differences.rows.first() else {
            return format!(
                "Batches {before} and {after} were booked alike: weights per 100 of base, lots, water, density."
            );
        };
        let most = match &first.what {
            What::Weight {
                material,
                per_base,
                effect,
            } => format!(
                "{material}, {} instead of {} per 100 of base{}",
                number::parts(per_base.1),
                number::parts(per_base.0),
                effect
                    .map(|effect| format!(": {}", Nearness::of(effect).word()))
                    .unwrap_or_default()
            ),
            What::Lot { material, lots, .. } => format!(
                "the lot of {material}, {} instead of {}",
                or_none(lots.1.as_deref()),
                or_none(lots.0.as_deref())
            ),
            What::Water(old, new) => format!("water, {new:.0} instead of {old:.0} ml per 100 g dry"),
            What::Density(old, new) => format!("density, {new:.2} instead of {old:.2} g/ml"),
            What::Words { about: "glaze", texts } => {
                return format!(
                    "Batch {before} is {}, batch {after} is {}: two glazes.",
                    or_none(texts.0.as_deref()),
                    or_none(texts.1.as_deref())
                );
            }
            What::Words { about, texts } => {
                format!(
                    "{about}, {} instead of {}",
                    or_none(texts.1.as_deref()),
                    or_none(texts.0.as_deref())
                )
            }
        };
        format!("Batch {after} differs from {before} first in {most}.")
    }

    fn table(&self) -> String {
        let mut table = Table::new(&[Align::Left, Align::Right, Align::Right, Align::Left]);
        table.row([
            String::new(),
            short(self.before.number.text()),
            short(self.after.number.text()),
            "moves the fired glaze".to_owned(),
        ]);
        for row in &self.differences.rows {
            table.row(cells(row));
        }
        table.text()
    }
}

fn cells(row: &Difference) -> [String; 4] {
    match &row.what {
        What::Weight {
            material,
            per_base,
            effect,
        } => [
            cut(material, 24),
            number::parts(per_base.0),
            number::parts(per_base.1),
            effect.map_or_else(
                || "not known".to_owned(),
                |effect| format!("{} ({})", moved(effect), number::distance(effect)),
            ),
        ],
        What::Lot { material, lots, .. } => [
            format!("lot of {}", cut(material, 17)),
            short(or_none(lots.0.as_deref())),
            short(or_none(lots.1.as_deref())),
            "not known".to_owned(),
        ],
        What::Water(old, new) => [
            "water, ml per 100 g dry".to_owned(),
            format!("{old:.1}"),
            format!("{new:.1}"),
            String::new(),
        ],
        What::Density(old, new) => [
            "density, g/ml".to_owned(),
            format!("{old:.2}"),
            format!("{new:.2}"),
            String::new(),
        ],
        What::Words { about, texts } => [
            (*about).to_owned(),
            short(or_none(texts.0.as_deref())),
            short(or_none(texts.1.as_deref())),
            String::new(),
        ],
    }
}

/// A distance as an adverb.
fn moved(distance: f64) -> &'static str {
    match Nearness::of(distance).word() {
        "near" => "little",
        "noticeable" => "noticeably",
        _ => "far",
    }
}

fn or_none(text: Option<&str>) -> &str {
    text.unwrap_or("not told")
}

fn row_json(row: &Difference) -> Value {
    match &row.what {
        What::Weight {
            material,
            per_base,
            effect,
        } => json!({
            "what": "weight", "material": material, "before": per_base.0, "after": per_base.1, "effect": effect,
        }),
        What::Lot {
            material,
            lots,
            per_base,
        } => json!({
            "what": "lot", "material": material, "before": lots.0, "after": lots.1, "per_base": per_base,
        }),
        What::Water(old, new) => json!({ "what": "water_millilitres_per_100_grams", "before": old, "after": new }),
        What::Density(old, new) => json!({ "what": "density", "before": old, "after": new }),
        What::Words { about, texts } => json!({ "what": about, "before": texts.0, "after": texts.1 }),
    }
}
