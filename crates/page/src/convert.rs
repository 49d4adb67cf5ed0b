//! `glost convert`.

use glost_chemistry::oxides::Oxide;
use glost_core::recipes::convert::{Conversion, OtherForm, Side};
use serde_json::{Value, json};

use crate::amounts;
use crate::layout::{Align, Style, Table, assumed, indented, paragraph};
use crate::number;

/// A metal in another form, to print.
#[derive(Debug, Clone, Copy)]
pub struct ConvertPage<'a> {
    /// The sum.
    pub conversion: &'a Conversion,
    /// Whether amounts are per cent on the base, rather than grams.
    pub in_percent: bool,
    /// The two names as typed.
    pub typed: [&'a str; 2],
}

impl ConvertPage<'_> {
    /// Amounts in full, `oxides` per 100 g as supplied.
    pub fn json(&self) -> Value {
        let conversion = self.conversion;
        json!({
            "from": self.side_json(&conversion.from),
            "to": self.side_json(&conversion.to),
            "factor": conversion.factor,
            "oxide": conversion.from.oxide.formula(),
            "stands_in": conversion.stands_in().then(|| conversion.to.oxide.formula()),
            "loss_change": conversion.loss_change,
            "along": conversion.along.iter().map(|(oxide, before, after)| json!({
                "oxide": oxide.formula(), "before": before, "after": after,
            })).collect::<Vec<_>>(),
            "other_forms": conversion.other_forms.iter().map(|other| json!({
                "material": other.material.name,
                "formula": other.material.formula,
                "in_place_of": if other.is_from { "from" } else { "to" },
                "amount": other.amount,
            })).collect::<Vec<_>>(),
            "notes": conversion.notes,
            "assumptions": self.assumptions(),
        })
    }

    fn side_json(&self, side: &Side) -> Value {
        json!({
            "material": side.material.name,
            "amount": side.amount,
            "unit": self.unit(),
            "formula": side.material.formula,
            "oxides": amounts::grams(&side.fired.oxides),
            "loss_on_ignition": side.fired.loss_grams,
        })
    }

    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
        let conversion = self.conversion;
        let (from, to) = (&conversion.from, &conversion.to);
        let held = if conversion.stands_in() {
            format!("as many moles of {} as there were of {}", to.oxide, from.oxide)
        } else {
            format!("as much {} once fired", to.oxide)
        };
        let head = format!(
            "{} {} {}: weigh {} {} instead, {held} (times {:.3}).",
            number::plain(from.amount),
            self.unit(),
            from.material.name,
            self.amount(to.amount),
            to.material.name,
            conversion.factor
        );
        let mut text = style.bold(paragraph(&head, 0).trim_end());
        text.push_str("\n\n");
        text.push_str(&self.analyses());
        text.push('\n');
        text.push_str(&self.loss());
        for (oxide, before, after) in &conversion.along {
            text.push_str(&indented(
                "Comes along: ",
                &format!(
                    "{oxide} {} before, {} after; `glost swap` makes up for it over the whole recipe.",
                    self.amount(*before),
                    self.amount(*after)
                ),
            ));
        }
        for other in &conversion.other_forms {
            text.push_str(&self.other_form(other));
        }
        for note in &conversion.notes {
            text.push_str(&indented("Note: ", &format!("{note}.")));
        }
        text.push_str(&assumed(&self.assumptions()));
        text.push_str(&indented(
            "Test: ",
            "old and new on one tile set, before it goes into the bucket.",
        ));
        text
    }

    fn assumptions(&self) -> Vec<String> {
        let conversion = self.conversion;
        let mut said = Vec::new();
        for (typed, side) in self.typed.iter().zip([&conversion.from, &conversion.to]) {
            if !typed.eq_ignore_ascii_case(&side.material.name) {
                said.push(format!("{typed} is read as {}", side.material.name));
            }
        }
        said.extend(conversion.assumptions.iter().cloned());
        if self.in_percent {
            said.push(
                "per cent on a base of 100, as an addition; inside the base count parts by weight, and the total moves"
                    .to_owned(),
            );
            if conversion.to.amount > 100.0 {
                said.push("more than 100 %: as a share of a base that can't be mixed".to_owned());
            }
        }
        said
    }

    fn unit(&self) -> &'static str {
        if self.in_percent { "%" } else { "g" }
    }

    fn amount(&self, amount: f64) -> String {
        format!("{} {}", figures(amount), self.unit())
    }

    fn analyses(&self) -> String {
        let sides = [&self.conversion.from, &self.conversion.to];
        let mut table = Table::new(&[Align::Left, Align::Right, Align::Right]);
        let row = |name: &str, cell: &dyn Fn(&Side) -> String| [name.to_owned(), cell(sides[0]), cell(sides[1])];
        table.row(row("wt % as supplied", &|side| column(&side.material.name)));
        let oxides = Oxide::ALL
            .into_iter()
            .filter(|&oxide| sides.iter().any(|side| side.fired.oxides.get(oxide) > 0.0));
        for oxide in oxides {
            table.row(row(oxide.formula(), &|side| match side.fired.oxides.get(oxide) {
                0.0 => "-".to_owned(),
                grams => format!("{grams:.2}"),
            }));
        }
        table.row(row("lost on ignition", &|side| format!("{:.2}", side.fired.loss_grams)));
        table.text()
    }

    fn loss(&self) -> String {
        let conversion = self.conversion;
        let lost = |side: &Side| side.amount * side.fired.loss_grams / 100.0;
        let said = |amount: f64| {
            if amount < 0.0 {
                format!("a gain of {}", self.amount(-amount))
            } else {
                self.amount(amount)
            }
        };
        let of_what = if self.in_percent { ", on the base" } else { "" };
        indented(
            "Lost on ignition: ",
            &format!(
                "{} with the old, {} with the new{of_what}.",
                said(lost(&conversion.from)),
                said(lost(&conversion.to))
            ),
        )
    }

    fn other_form(&self, other: &OtherForm) -> String {
        let conversion = self.conversion;
        let formula = other
            .material
            .formula
            .as_ref()
            .map_or_else(String::new, |formula| format!(" ({formula})"));
        let side = if other.is_from {
            &conversion.from
        } else {
            &conversion.to
        };
        let weigh = if other.is_from {
            format!("{} {}", self.amount(other.amount), conversion.to.material.name)
        } else {
            self.amount(other.amount)
        };
        indented(
            "If not: ",
            &format!(
                "where your {} is {}{formula}, weigh {weigh}.",
                side.material.name, other.material.name
            ),
        )
    }
}

/// A name with room for two of them beside the oxides.
fn column(name: &str) -> String {
    const MOST: usize = 28;
    if name.chars().count() > MOST {
        name.chars().take(MOST - 1).chain(['…']).collect()
    } else {
        name.to_owned()
    }
}

/// Three figures at least; nothing present reads as 0.
fn figures(amount: f64) -> String {
    let size = amount.abs();
    if size == 0.0 {
        "0".to_owned()
    } else if size < 0.0095 {
        number::plain(amount)
    } else if size < 0.095 {
        format!("{amount:.3}")
    } else if size < 99.5 {
        format!("{amount:.2}")
    } else {
        format!("{amount:.1}")
    }
}
