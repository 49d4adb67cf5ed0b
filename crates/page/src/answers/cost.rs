//! `glost cost`.

use glost_core::workshop::cost::{Extent, Total};
use glost_desk::cost::Answer;

use super::weigh::shortened;
use crate::layout::{Align, Style, Table, assumed, indented, paragraph};
use crate::number;
use crate::words::say_all;
use crate::words::ticket::volume;
use crate::{Csv, Shown};

impl Shown for Answer {
    fn csv(&self) -> Option<Csv> {
        Csv::of_json(self, "lines")
    }

    fn text(&self, style: Style) -> String {
        let mut text = style.bold(paragraph(&headline(self), 0).trim_end());
        text.push_str("\n\n");
        text.push_str(&lines(self));
        text.push('\n');
        if let Some(total) = &self.cost.total {
            text.push_str(&total_words(self, total));
        }
        text.push_str(&unknown(self));
        text.push_str(&dearest(self));
        text.push_str(&layer(self));
        text.push_str(&cheaper(self));
        text.push_str(&indented(
            "Counted: ",
            "materials only. Kiln, labour and pieces that fail come on top, and mostly cost more.",
        ));
        text.push_str(&assumed(&say_all(&self.assumptions)));
        text
    }
}

fn currency(answer: &Answer) -> &str {
    answer.cost.recipe.currency.as_deref().unwrap_or("")
}

/// `at least ` where a price is missing.
fn at_least(answer: &Answer) -> &'static str {
    if answer.cost.recipe.is_whole() { "" } else { "at least " }
}

fn headline(answer: &Answer) -> String {
    let cost = &answer.cost;
    let Some(kilo) = cost.per_kg else {
        let of_it = answer.cost.recipe.currency.as_ref();
        return format!(
            "{}: what it costs can't be told, no price{} is known.",
            answer.glaze,
            of_it.map_or_else(String::new, |currency| format!(" in {currency}"))
        );
    };
    let mut line = format!(
        "{}: {}{} {} a kg dry",
        answer.glaze,
        at_least(answer),
        money(kilo),
        currency(answer)
    );
    for (amount, what) in [
        (cost.per_litre, "litre"),
        (cost.per_square_metre, "square metre"),
        (cost.per_piece, "piece"),
    ] {
        if let Some(amount) = amount {
            line.push_str(&format!(", {} a {what}", money(amount)));
        }
    }
    line + "."
}

fn lines(answer: &Answer) -> String {
    let recipe = &answer.cost.recipe;
    let grams = recipe.grams();
    let mut table = Table::new(&[Align::Left, Align::Right, Align::Right, Align::Right, Align::Right]);
    let currency = answer.cost.recipe.currency.as_deref().unwrap_or("price");
    table.row([
        "",
        "% of dry",
        &format!("{currency}/kg"),
        &format!("{currency} in a kg"),
        "share",
    ]);
    for line in &recipe.lines {
        let share = line.amount.zip(recipe.amount).filter(|pair| pair.1 > 0.0);
        table.row([
            shortened(&line.material),
            number::parts(100.0 * line.grams / grams),
            line.price_per_kg.map_or_else(|| "?".to_owned(), money),
            line.amount
                .map_or_else(|| "?".to_owned(), |amount| money(1000.0 * amount / grams)),
            share.map_or_else(
                || "?".to_owned(),
                |(amount, whole)| format!("{:.0} %", 100.0 * amount / whole),
            ),
        ]);
    }
    table.text()
}

fn total_words(answer: &Answer, total: &Total) -> String {
    let what = match total.extent {
        Extent::Area(area) => format!("For {} m2: ", number::plain(area.square_metres())),
        Extent::Pieces(1.0) => "For 1 piece: ".to_owned(),
        Extent::Pieces(count) => format!("For {} pieces: ", number::plain(count)),
    };
    let amount = total.amount.map_or_else(String::new, |amount| {
        format!("; {}{} {}", at_least(answer), money(amount), currency(answer))
    });
    indented(
        &what,
        &format!(
            "{} dry, {} of slurry at {:.2} g/ml{amount}.",
            weight(total.dry_grams),
            volume(total.volume_millilitres),
            answer.cost.density
        ),
    )
}

fn unknown(answer: &Answer) -> String {
    let unknown = &answer.cost.recipe.unknown;
    let without: Vec<&str> = unknown
        .iter()
        .filter(|one| one.other_currency.is_none())
        .map(|one| one.material.as_str())
        .collect();
    let mut text = String::new();
    if !without.is_empty() {
        text.push_str(&indented(
            "Price not known: ",
            &format!(
                "{}. `glost set MATERIAL \"price=8 EUR per 5 kg\"` says it of one of yours; one that comes with Glost is \
                 yours first by `glost add material NAME --analysis ... --price \"8 EUR per 5 kg\"`.",
                without.join(", ")
            ),
        ));
    }
    let mut others: Vec<&str> = Vec::new();
    for other in unknown.iter().filter_map(|one| one.other_currency.as_deref()) {
        if !others.contains(&other) {
            others.push(other);
        }
    }
    for other in others {
        let so_priced = unknown
            .iter()
            .filter(|one| one.other_currency.as_deref() == Some(other));
        let names: Vec<&str> = so_priced.map(|one| one.material.as_str()).collect();
        let (are, its) = if names.len() == 1 {
            ("is", "its price")
        } else {
            ("are", "their prices")
        };
        text.push_str(&indented(
            "Not added: ",
            &format!(
                "{} {are} priced in {other}, the sum is in {}. Write {its} in {} to count it.",
                names.join(", "),
                currency(answer),
                currency(answer)
            ),
        ));
    }
    text
}

fn dearest(answer: &Answer) -> String {
    let cost = &answer.cost;
    let priced = cost.recipe.lines.iter().filter(|line| line.amount.is_some()).count();
    let mut text = String::new();
    if let Some((name, share)) = cost.dearest.as_ref().filter(|_| priced > 1) {
        let line = cost.recipe.lines.iter().find(|line| line.material == *name);
        let weight = line.map_or(0.0, |line| 100.0 * line.grams / cost.recipe.grams());
        let of_what = if cost.recipe.is_whole() {
            "the cost"
        } else {
            "what is known of the cost"
        };
        text.push_str(&indented(
            "Dearest: ",
            &format!(
                "{name}, {:.0} % of {of_what} and {} % of the weight.",
                100.0 * share,
                number::percent(weight)
            ),
        ));
    }
    if let (true, Some(base)) = (answer.has_additions, answer.base_per_kg) {
        let least = if cost.base.is_whole() { "" } else { "at least " };
        text.push_str(&indented(
            "Base alone: ",
            &format!("{least}{} {} a kg dry.", money(base), currency(answer)),
        ));
    }
    text
}

fn layer(answer: &Answer) -> String {
    let on_ware = &answer.cost.on_ware;
    let mut takes = Vec::new();
    if let Some((mixed, layer)) = on_ware.grams_per_square_metre().zip(on_ware.coverage_kg) {
        takes.push(format!(
            "{} for a square metre ({} on it)",
            weight(mixed),
            weight(1000.0 * layer)
        ));
    }
    if let Some((mixed, layer)) = on_ware.grams_per_piece().zip(on_ware.piece_grams) {
        takes.push(format!("{} for a piece ({} on it)", weight(mixed), weight(layer)));
    }
    indented(
        "To mix: ",
        &format!(
            "{}, {} % lost; a litre at {:.2} g/ml holds {}.",
            takes.join(", "),
            number::plain(on_ware.loss_percent),
            answer.cost.density,
            weight(answer.cost.dry_grams_per_litre)
        ),
    )
}

fn cheaper(answer: &Answer) -> String {
    if answer.cost.recipe.lines.len() < 2 || !answer.cost.recipe.is_whole() || !answer.is_known {
        return String::new();
    }
    indented(
        "Cheaper: ",
        &format!(
            "glost adjust \"{}\" \"distance <= 2\" --least cost, near the same chemistry.",
            answer.called
        ),
    )
}

/// Money to the cent; small amounts to a tenth or a hundredth of one.
pub(crate) fn money(amount: f64) -> String {
    if amount == 0.0 || amount >= 0.0995 {
        format!("{:.2}", (100.0 * amount + 1e-9).round() / 100.0)
    } else if amount >= 0.00095 {
        format!("{amount:.3}")
    } else {
        format!("{amount:.4}")
    }
}

/// Kilograms from a kilogram on, else grams.
pub(crate) fn weight(grams: f64) -> String {
    if grams >= 999.5 {
        format!("{:.2} kg", (grams / 10.0 + 1e-9).round() / 100.0)
    } else if grams >= 9.95 {
        format!("{grams:.0} g")
    } else {
        format!("{grams:.1} g")
    }
}
