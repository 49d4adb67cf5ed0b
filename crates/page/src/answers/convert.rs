//! `glost convert`.

use glost_chemistry::oxides::Oxide;
use glost_core::recipes::convert::{OtherForm, Side};
use glost_desk::convert::{Answer, DoseUnit};

use crate::Shown;
use crate::layout::{Align, Style, Table, assumed, indented, paragraph};
use crate::number;
use crate::words::say;

impl Shown for Answer {
    fn text(&self, style: Style) -> String {
        let conversion = &self.conversion;
        let (from, to) = (&conversion.from, &conversion.to);
        let held = if conversion.stands_in() {
            format!("as many moles of {} as there were of {}", to.oxide, from.oxide)
        } else {
            format!("as much {} once fired", to.oxide)
        };
        let head = format!(
            "{} {} {}: weigh {} {} instead, {held} (times {:.3}).",
            number::plain(from.amount),
            self.unit.sign(),
            from.material.name,
            told(self, to.amount),
            to.material.name,
            conversion.factor
        );
        let mut text = style.bold(paragraph(&head, 0).trim_end());
        text.push_str("\n\n");
        text.push_str(&analyses(self));
        text.push('\n');
        text.push_str(&loss(self));
        for (oxide, before, after) in &conversion.along {
            text.push_str(&indented(
                "Comes along: ",
                &format!(
                    "{oxide} {} before, {} after; `glost swap` makes up for it over the whole recipe.",
                    told(self, *before),
                    told(self, *after)
                ),
            ));
        }
        for other in &conversion.other_forms {
            text.push_str(&other_form(self, other));
        }
        for note in self.notes() {
            text.push_str(&indented("Note: ", &format!("{}.", say(&note))));
        }
        text.push_str(&assumed(&self.assumptions().iter().map(say).collect::<Vec<_>>()));
        text.push_str(&indented(
            "Test: ",
            "old and new on one tile set, before it goes into the bucket.",
        ));
        text
    }
}

fn told(answer: &Answer, amount: f64) -> String {
    format!("{} {}", figures(amount), answer.unit.sign())
}

fn analyses(answer: &Answer) -> String {
    let sides = [&answer.conversion.from, &answer.conversion.to];
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

fn loss(answer: &Answer) -> String {
    let conversion = &answer.conversion;
    let lost = |side: &Side| side.amount * side.fired.loss_grams / 100.0;
    let said = |amount: f64| {
        if amount < 0.0 {
            format!("a gain of {}", told(answer, -amount))
        } else {
            told(answer, amount)
        }
    };
    let of_what = if answer.unit == DoseUnit::Percent {
        ", on the base"
    } else {
        ""
    };
    indented(
        "Lost on ignition: ",
        &format!(
            "{} with the old, {} with the new{of_what}.",
            said(lost(&conversion.from)),
            said(lost(&conversion.to))
        ),
    )
}

fn other_form(answer: &Answer, other: &OtherForm) -> String {
    let conversion = &answer.conversion;
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
        format!("{} {}", told(answer, other.amount), conversion.to.material.name)
    } else {
        told(answer, other.amount)
    };
    indented(
        "If not: ",
        &format!(
            "where your {} is {}{formula}, weigh {weigh}.",
            side.material.name, other.material.name
        ),
    )
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
