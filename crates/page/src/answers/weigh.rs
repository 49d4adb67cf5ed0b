//! `glost weigh`.

use glost_chemistry::diagnostic::Diagnostic;
use glost_core::workshop::label::LabelKind;
use glost_core::workshop::scales::{WayOut, to_step};
use glost_desk::weigh::{Answer, Coarse, Rounding};

use super::by_hand;
use super::weigh_stock::{lot_lines, stock_lines};
use crate::layout::{Align, Style, Table, assumed, indented, paragraph};
use crate::number;
use crate::print::{Printed, ticket_sheet};
use crate::words::ticket::{about_line, batch_line, sieve_line, volume, water_words};
use crate::words::{say, say_all};
use crate::{Csv, Shown};

impl Shown for Answer {
    fn csv(&self) -> Option<Csv> {
        Csv::of_json(self, "lines")
    }

    fn text(&self, style: Style) -> String {
        let mut text = batch_line(self);
        text.push_str(&style.bold(paragraph(&headline(self), 0).trim_end()));
        text.push('\n');
        text.push_str(&about_line(self).map_or_else(String::new, |about| paragraph(&about, 0)));
        text.push('\n');
        text.push_str(&weighings(self));
        text.push('\n');
        text.push_str(&water(self));
        text.push_str(&sieve(self));
        text.push_str(&filled(self));
        text.push_str(&indented(
            "If interrupted: ",
            "tick each box as its powder goes in. A tick missing? Weigh the bowl: the running total it comes to is the last line done.",
        ));
        text.push('\n');
        if let Some(steps) = &self.steps {
            text.push_str(&by_hand::lines(steps, "on the scales"));
            text.push('\n');
        }
        for line in &self.cannot_weigh {
            text.push_str(&ways_out(self, line));
        }
        for line in &self.weighed_roughly {
            text.push_str(&indented(
                "Roughly: ",
                &format!("{} is weighed to {:.1} % of itself.", line.material, line.error_percent),
            ));
        }
        text.push_str(&rounding(self));
        text.push_str(&cost(self));
        text.push_str(&lot_lines(self));
        text.push_str(&stock_lines(self));
        for caution in &self.cautions {
            text.push_str(&indented("Caution: ", &format!("{}.", say(caution))));
        }
        text.push_str(&assumed(&say_all(&self.assumptions)));
        text.push_str(&indented(
            "Test: ",
            "a tile from this batch beside one from the last, before it joins the floor bucket.",
        ));
        text
    }

    fn printed(&self) -> Result<Printed, Diagnostic> {
        let Some(file) = &self.page else {
            return Ok(Printed::default());
        };
        let said = format!("Page: {}, to open in a browser and print.\n", file.path.display());
        Printed::pages(file, &ticket_sheet::pages(self), said)
    }
}

fn headline(answer: &Answer) -> String {
    let count: usize = answer.lines.iter().map(|line| line.weighings.len()).sum();
    let count = if count == 1 {
        "1 weighing".to_owned()
    } else {
        format!("{count} weighings")
    };
    format!(
        "{}: {} g dry in {count}, {} of water; makes {} at {:.2} g/ml.",
        answer.glaze,
        weight(answer, answer.dry_grams),
        volume(answer.water_millilitres),
        volume(answer.volume_millilitres),
        answer.density
    )
}

fn weight(answer: &Answer, grams: f64) -> String {
    number::grams(grams, answer.step.grams())
}

/// What to weigh, a line a weighing.
pub(super) fn weighings(answer: &Answer) -> String {
    let lots = answer.lines.iter().any(|line| line.lot.is_some());
    let mut table = Table::new(&[Align::Left, Align::Left, Align::Right, Align::Right, Align::Left]);
    table.row(["", "", "weigh, g", "running", if lots { "lot" } else { "" }]);
    for line in &answer.lines {
        let several = line.weighings.len() > 1;
        let mut running = line.running - line.grams;
        for (index, grams) in line.weighings.iter().enumerate() {
            running = to_step(running + grams, answer.step.grams());
            let mut name = line.material.clone();
            if several {
                name.push_str(&format!(", {} of {}", index + 1, line.weighings.len()));
            }
            if line.addition {
                name.push_str(" (on top)");
            }
            table.row([
                "[ ]".to_owned(),
                shortened(&name),
                weight(answer, *grams),
                weight(answer, running),
                line.lot.as_deref().map_or_else(String::new, shortened),
            ]);
        }
    }
    table.text()
}

fn water(answer: &Answer) -> String {
    let first = 10.0 * (answer.water_first_millilitres / 10.0).round();
    indented(
        "Water: ",
        &format!(
            "{}: {} first, powder into it, let it soak; the rest to rinse sieve and bowl. Expect {} at {:.2} g/ml ({:.2} to {:.2} for a powder of {:.2} +/- {} g/ml); the weighed jar decides.",
            water_words(answer),
            volume(first),
            volume(answer.volume_millilitres),
            answer.density,
            answer.density_low,
            answer.density_high,
            answer.powder_density,
            number::plain(answer.powder_density_plus_minus),
        ),
    )
}

fn sieve(answer: &Answer) -> String {
    let said = answer.sieve.as_ref().map(sieve_line);
    said.map_or_else(String::new, |said| indented("Sieve: ", &said))
}

/// What goes into each bottle, and its label.
fn filled(answer: &Answer) -> String {
    answer.into.as_ref().map_or_else(String::new, |into| {
        let (many, each) = match into.count {
            1 => ("", ""),
            _ => ("s", " in each, stirred between"),
        };
        let batch = answer.batch.as_deref().unwrap_or("B");
        let a_bucket = into.one == LabelKind::Bucket.word() && into.count == 1;
        let (kind, prints) = if a_bucket {
            (LabelKind::Bucket, "its label")
        } else {
            (LabelKind::Bottle, "their labels")
        };
        indented(
            "Fill: ",
            &format!(
                "{} {}{many}, {}{each}: `glost label {:?} --batch {batch} --kind {}` prints {prints}.",
                into.count,
                into.one,
                volume(into.each_millilitres),
                answer.glaze,
                kind.word()
            ),
        )
    })
}

fn rounding(answer: &Answer) -> String {
    let what = match &answer.rounding {
        None => return String::new(),
        Some(Rounding::Nothing) => "nothing that matters".to_owned(),
        Some(Rounding::Moves(moved)) => {
            let each: Vec<String> = moved.iter().map(|(oxide, by)| format!("{oxide} {by:+.3}")).collect();
            let moved = if each.is_empty() {
                "little of each".to_owned()
            } else {
                each.join(", ")
            };
            format!("{moved} in the unity formula")
        }
    };
    let step = number::plain(answer.step.grams());
    indented("As weighed: ", &format!("rounding to {step} g moves {what}."))
}

fn ways_out(answer: &Answer, line: &Coarse) -> String {
    let mut text = indented(
        "Can't weigh: ",
        &format!(
            "{} {} g on {} g scales is {} % off.",
            line.material,
            number::plain(line.grams),
            number::plain(answer.step.grams()),
            off(line.error_percent)
        ),
    );
    text.push_str(&way_out_text(&line.material, &line.ways_out, answer.step.grams()));
    text
}

fn cost(answer: &Answer) -> String {
    let cost = &answer.cost;
    let unknown = if cost.unknown.is_empty() {
        String::new()
    } else {
        format!(" Price not known: {}.", cost.unknown.join(", "))
    };
    let (Some(amount), Some(currency)) = (cost.amount, &cost.currency) else {
        return indented("Cost: ", &format!("not known.{unknown}"));
    };
    let more = if cost.unknown.is_empty() { "" } else { " and more" };
    let dearest = match &cost.dearest {
        Some((name, dearest)) if answer.lines.len() > 1 => format!("; most of it {name}, {dearest:.2}"),
        _ => String::new(),
    };
    indented(
        "Cost: ",
        &format!(
            "{amount:.2} {currency}{more}: {:.2} a kg dry, {:.2} a litre{dearest}.{unknown}",
            1000.0 * amount / answer.dry_grams,
            1000.0 * amount / answer.volume_millilitres,
        ),
    )
}

/// The three ways out in words; `step` in grams.
pub(crate) fn way_out_text(material: &str, way: &WayOut, step: f64) -> String {
    let mut ways = vec![format!(
        "a bigger batch: {} g of base or more brings it to 5 %",
        number::plain((way.smallest_base_grams / 10.0).ceil() * 10.0)
    )];
    if let Some(premix) = &way.premix {
        ways.push(format!(
            "a {} % pre-mix: grind {} g of {material} wet with {} g of the base, dry it; {} g of it holds what is wanted (leave {} g of base out), to {} %",
            number::plain(premix.percent),
            number::grams(premix.little_grams, step),
            number::grams(premix.base_grams, step),
            number::grams(to_step(premix.use_grams, step), step),
            number::plain(to_step(premix.base_in_use_grams, step)),
            off(premix.error_percent)
        ));
    }
    if let Some(strong) = &way.strong {
        ways.push(format!(
            "by volume: {} g of {material} in {} g of base ({} %, to {} %), then 1 part of its slurry to {} parts of plain slurry of the same density",
            number::grams(strong.little_grams, step),
            number::grams(to_step(strong.base_grams, step), step),
            number::percent(strong.percent),
            off(strong.error_percent),
            number::plain(strong.plain_parts)
        ));
    }
    ways.iter().map(|way| indented("  or ", &format!("{way}."))).collect()
}

/// A percentage that something is off by.
pub(crate) fn off(percent: f64) -> String {
    if percent < 10.0 {
        format!("{percent:.1}")
    } else {
        format!("{percent:.0}")
    }
}

pub(crate) fn shortened(name: &str) -> String {
    const MOST: usize = 36;
    if name.chars().count() > MOST {
        name.chars().take(MOST - 1).chain(['…']).collect()
    } else {
        name.to_owned()
    }
}
