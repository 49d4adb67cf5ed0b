//! `glost cost`.

use glost_chemistry::glaze::Glaze;
use glost_core::workshop::cost::{Extent, GlazeCost, Total};
use serde_json::{Value, json};

use crate::layout::{Align, Style, Table, assumed, indented, paragraph};
use crate::number;
use crate::weigh::{shortened, volume};

/// A cost to print.
#[derive(Debug, Clone, Copy)]
pub struct CostPage<'a> {
    /// The glaze.
    pub glaze: &'a Glaze,
    /// What it was called by: a name or a file.
    pub called: &'a str,
    /// What it costs.
    pub cost: &'a GlazeCost,
}

impl CostPage<'_> {
    /// Amounts are the least where `unknown` names materials, null where no price is known.
    pub fn json(&self) -> Value {
        let cost = self.cost;
        let recipe = &cost.recipe;
        let on_ware = &cost.on_ware;
        json!({
            "glaze": self.glaze.name,
            "currency": recipe.currency,
            "per_kg": cost.per_kg,
            "base_per_kg": cost.base.per_kg(),
            "per_litre": cost.per_litre,
            "per_square_metre": cost.per_square_metre,
            "per_piece": cost.per_piece,
            "at_least": !recipe.is_whole(),
            "unknown": recipe.unknown.iter().map(ToString::to_string).collect::<Vec<_>>(),
            "dearest": cost.dearest.as_ref().map(|(name, share)| json!({ "material": name, "share": share })),
            "lines": recipe.lines.iter().map(|line| json!({
                "material": line.material,
                "percent_of_dry": 100.0 * line.grams / recipe.grams(),
                "price_per_kg": line.price_per_kg,
                "in_a_kg": line.amount.map(|amount| 1000.0 * amount / recipe.grams()),
                "share": line.amount.zip(recipe.amount).filter(|pair| pair.1 > 0.0).map(|(amount, whole)| amount / whole),
            })).collect::<Vec<_>>(),
            "coverage_kg_per_square_metre": on_ware.coverage_kg,
            "piece_grams": on_ware.piece_grams,
            "loss_percent": on_ware.loss_percent,
            "density": cost.density,
            "dry_grams_per_litre": cost.dry_grams_per_litre,
            "total": cost.total.as_ref().map(total_json),
            "assumptions": self.assumptions(),
        })
    }

    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
        let mut text = style.bold(paragraph(&self.headline(), 0).trim_end());
        text.push_str("\n\n");
        text.push_str(&self.lines());
        text.push('\n');
        if let Some(total) = &self.cost.total {
            text.push_str(&self.total(total));
        }
        text.push_str(&self.unknown());
        text.push_str(&self.dearest());
        text.push_str(&self.layer());
        text.push_str(&self.cheaper());
        text.push_str(&indented(
            "Counted: ",
            "materials only. Kiln, labour and pieces that fail come on top, and mostly cost more.",
        ));
        text.push_str(&assumed(&self.assumptions()));
        text
    }

    fn assumptions(&self) -> Vec<String> {
        let cost = self.cost;
        cost.on_ware
            .assumptions
            .iter()
            .chain(&cost.assumptions)
            .cloned()
            .collect()
    }

    fn currency(&self) -> &str {
        self.cost.recipe.currency.as_deref().unwrap_or_default()
    }

    /// `at least ` where a price is missing.
    fn at_least(&self) -> &'static str {
        if self.cost.recipe.is_whole() { "" } else { "at least " }
    }

    fn headline(&self) -> String {
        let cost = self.cost;
        let Some(kilo) = cost.per_kg else {
            let of_it = self.cost.recipe.currency.as_ref();
            return format!(
                "{}: what it costs can't be told, no price{} is known.",
                self.glaze.name,
                of_it.map_or_else(String::new, |currency| format!(" in {currency}"))
            );
        };
        let mut line = format!(
            "{}: {}{} {} a kg dry",
            self.glaze.name,
            self.at_least(),
            money(kilo),
            self.currency()
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

    fn lines(&self) -> String {
        let recipe = &self.cost.recipe;
        let grams = recipe.grams();
        let mut table = Table::new(&[Align::Left, Align::Right, Align::Right, Align::Right, Align::Right]);
        let currency = self.cost.recipe.currency.as_deref().unwrap_or("price");
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

    fn total(&self, total: &Total) -> String {
        let what = match total.extent {
            Extent::Area(area) => format!("For {} m2: ", number::plain(area.square_metres())),
            Extent::Pieces(1.0) => "For 1 piece: ".to_owned(),
            Extent::Pieces(count) => format!("For {} pieces: ", number::plain(count)),
        };
        let amount = total.amount.map_or_else(String::new, |amount| {
            format!("; {}{} {}", self.at_least(), money(amount), self.currency())
        });
        indented(
            &what,
            &format!(
                "{} dry, {} of slurry at {:.2} g/ml{amount}.",
                weight(total.dry_grams),
                volume(total.volume_millilitres),
                self.cost.density
            ),
        )
    }

    fn unknown(&self) -> String {
        let unknown = &self.cost.recipe.unknown;
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
                    "{}. Write `price: 8 EUR per 5 kg` into its entry in materials/.",
                    without.join(", ")
                ),
            ));
        }
        for one in unknown {
            if let Some(currency) = &one.other_currency {
                text.push_str(&indented(
                    "Not added: ",
                    &format!(
                        "{} is priced in {currency}, the rest in {}. Write its price in {} to count it.",
                        one.material,
                        self.currency(),
                        self.currency()
                    ),
                ));
            }
        }
        text
    }

    fn dearest(&self) -> String {
        let cost = self.cost;
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
        if let ([_, ..], Some(base)) = (&self.glaze.additions[..], cost.base.per_kg()) {
            let least = if cost.base.is_whole() { "" } else { "at least " };
            text.push_str(&indented(
                "Base alone: ",
                &format!("{least}{} {} a kg dry.", money(base), self.currency()),
            ));
        }
        text
    }

    fn layer(&self) -> String {
        let on_ware = &self.cost.on_ware;
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
                self.cost.density,
                weight(self.cost.dry_grams_per_litre)
            ),
        )
    }

    fn cheaper(&self) -> String {
        if self.cost.recipe.lines.len() < 2
            || !self.cost.recipe.is_whole()
            || !self.glaze.unknown_materials().is_empty()
        {
            return String::new();
        }
        indented(
            "Cheaper: ",
            &format!(
                "glost adjust \"{}\" \"distance <= 2\" --least cost, near the same chemistry.",
                self.called
            ),
        )
    }
}

fn total_json(total: &Total) -> Value {
    let (area, pieces) = match total.extent {
        Extent::Area(area) => (Some(area.square_metres()), None),
        Extent::Pieces(pieces) => (None, Some(pieces)),
    };
    json!({
        "square_metres": area,
        "pieces": pieces,
        "dry_grams": total.dry_grams,
        "volume_millilitres": total.volume_millilitres,
        "amount": total.amount,
    })
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
