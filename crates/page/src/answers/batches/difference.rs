//! `glost batches diff`: what differs between two batches.

use glost_chemistry::distance::Nearness;
use glost_core::workshop::batches::{About, Difference, What};
use glost_desk::batches::Compared;

use super::{cut, short};
use crate::layout::{Align, Style, Table, assumed, indented, paragraph};
use crate::number;
use crate::words::say_all;

/// Two batches side by side.
pub(super) fn text(compared: &Compared, style: Style) -> String {
    let mut text = style.bold(paragraph(&headline(compared), 0).trim_end());
    text.push('\n');
    if !compared.found.rows.is_empty() {
        text.push('\n');
        text.push_str(&table(compared));
        text.push('\n');
    }
    if let Some(together) = compared.found.together {
        text.push_str(&indented(
            "Together: ",
            &format!(
                "the weights move the fired glaze {} ({} tolerances).",
                moved(together),
                number::distance(together)
            ),
        ));
    }
    text.push_str(&assumed(&say_all(&compared.assumptions())));
    text.push_str(&indented(
        "Not in the book: ",
        "thickness, sieve, how long it soaked, the kiln that day. One tile of each bucket in one firing tells most.",
    ));
    text
}

fn headline(compared: &Compared) -> String {
    let (before, after) = (compared.before.text(), compared.after.text());
    let Some(first) = compared.found.rows.first() else {
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
            effect.map_or_else(String::new, |effect| format!(": {}", Nearness::of(effect).word()))
        ),
        What::Lot { material, lots, .. } => format!(
            "the lot of {material}, {} instead of {}",
            or_none(lots.1.as_deref()),
            or_none(lots.0.as_deref())
        ),
        What::Water(old, new) => format!("water, {new:.0} instead of {old:.0} ml per 100 g dry"),
        What::Density(old, new) => format!("density, {new:.2} instead of {old:.2} g/ml"),
        What::Words {
            about: About::Glaze,
            texts,
        } => {
            return format!(
                "Batch {before} is {}, batch {after} is {}: two glazes.",
                or_none(texts.0.as_deref()),
                or_none(texts.1.as_deref())
            );
        }
        What::Words { about, texts } => {
            format!(
                "{}, {} instead of {}",
                about_word(*about),
                or_none(texts.1.as_deref()),
                or_none(texts.0.as_deref())
            )
        }
    };
    format!("Batch {after} differs from {before} first in {most}.")
}

fn table(compared: &Compared) -> String {
    let mut table = Table::new(&[Align::Left, Align::Right, Align::Right, Align::Left]);
    table.row([
        String::new(),
        short(compared.before.text()),
        short(compared.after.text()),
        "moves the fired glaze".to_owned(),
    ]);
    for row in &compared.found.rows {
        table.row(cells(row));
    }
    table.text()
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
            about_word(*about).to_owned(),
            short(or_none(texts.0.as_deref())),
            short(or_none(texts.1.as_deref())),
            String::new(),
        ],
    }
}

/// A distance as an adverb.
fn moved(distance: f64) -> &'static str {
    match Nearness::of(distance) {
        Nearness::Near => "little",
        Nearness::Noticeable => "noticeably",
        Nearness::Far => "far",
    }
}

fn or_none(text: Option<&str>) -> &str {
    text.unwrap_or("not told")
}

fn about_word(about: About) -> &'static str {
    match about {
        About::Glaze => "glaze",
        About::Version => "version",
        About::Firing => "firing",
        About::Clay => "clay",
        About::By => "by",
    }
}
