//! `glost weigh`.

use glost_chemistry::glaze::Glaze;
use glost_core::workshop::batches::Booking;
use glost_core::workshop::scales::{WayOut, to_step};
use glost_core::workshop::slurry::Sieve;
use glost_core::workshop::ticket::{Coarse, Ticket, TicketLine};
use serde_json::{Map, Value, json};

use crate::layout::{Align, Style, Table, assumed, indented, paragraph};
use crate::number;

/// The sieve named on a ticket: 80 to 120 mesh is what the books say (C. F. Binns;
/// G. J. Cox 1914).
const USUAL_MESH: u32 = 80;
/// A change of the unity formula smaller than this isn't worth a line.
const SMALLEST_CHANGE: f64 = 0.005;
/// Below this distance a weighed recipe counts as the asked one.
const SMALLEST_DISTANCE: f64 = 0.5;

/// A ticket to print.
#[derive(Debug, Clone, Copy)]
pub struct WeighPage<'a> {
    /// The glaze.
    pub glaze: &'a Glaze,
    /// The ticket.
    pub ticket: &'a Ticket,
    /// The step of the scales in grams.
    pub step_grams: f64,
    /// The most they carry, in grams.
    pub up_to_grams: Option<f64>,
    /// The studio's cup.
    pub cup_millilitres: f64,
    /// The batch's number, where it has one.
    pub batch: Option<&'a str>,
    /// How it was booked, where it was.
    pub booked: Option<&'a Booking>,
}

impl WeighPage<'_> {
    /// The contract's JSON.
    pub fn json(&self) -> Value {
        let ticket = self.ticket;
        json!({
            "glaze": self.glaze.name,
            "lines": ticket.lines.iter().map(line_json).collect::<Vec<_>>(),
            "base_grams": ticket.base_grams,
            "dry_grams": ticket.dry_grams,
            "water_millilitres": ticket.water_millilitres,
            "water_first_millilitres": ticket.first_water_millilitres,
            "volume_millilitres": ticket.volume_millilitres,
            "density": ticket.density,
            "density_low": ticket.density_between.0,
            "density_high": ticket.density_between.1,
            "powder_density": ticket.powder_density.value(),
            "powder_density_plus_minus": ticket.powder_density.plus_minus(),
            "unity_change": unity_change(ticket),
            "distance": ticket.distance,
            "cannot_weigh": ticket.cannot_weigh.iter().map(coarse_json).collect::<Vec<_>>(),
            "weighed_roughly": ticket.roughly.iter().map(coarse_json).collect::<Vec<_>>(),
            "cautions": ticket.cautions,
            "cost": {
                "amount": ticket.cost.amount,
                "currency": ticket.cost.currency,
                "unknown": ticket.cost.unknown.iter().map(ToString::to_string).collect::<Vec<_>>(),
            },
            "assumptions": ticket.assumptions,
            "batch": self.batch,
            "booked": self.booked.is_some(),
            "stock": self.stock_json(),
            "stock_not_stated": self.stock_not_stated(),
        })
    }

    /// For a terminal or a printer.
    pub fn text(&self, style: Style) -> String {
        let ticket = self.ticket;
        let mut text = self.batch_line();
        text.push_str(&style.bold(paragraph(&self.headline(), 0).trim_end()));
        text.push_str("\n\n");
        text.push_str(&self.weighings());
        text.push('\n');
        text.push_str(&self.water());
        text.push_str(&self.sieve());
        text.push_str(&indented(
            "If interrupted: ",
            "tick each box as its powder goes in. A tick missing? Weigh the bowl: the running total it comes to is the last line done.",
        ));
        text.push('\n');
        for line in &ticket.cannot_weigh {
            text.push_str(&self.ways_out(line));
        }
        for line in &ticket.roughly {
            text.push_str(&indented(
                "Roughly: ",
                &format!("{} is weighed to {:.1} % of itself.", line.material, line.error_percent),
            ));
        }
        text.push_str(&self.rounding());
        text.push_str(&self.cost());
        text.push_str(&self.stock_lines());
        for caution in &ticket.cautions {
            text.push_str(&indented("Caution: ", &format!("{caution}.")));
        }
        text.push_str(&assumed(&ticket.assumptions));
        text.push_str(&indented(
            "Test: ",
            "a tile from this batch beside one from the last, before it joins the floor bucket.",
        ));
        text
    }

    fn headline(&self) -> String {
        let ticket = self.ticket;
        let count: usize = ticket.lines.iter().map(|line| line.weighings.len()).sum();
        let count = if count == 1 {
            "1 weighing".to_owned()
        } else {
            format!("{count} weighings")
        };
        format!(
            "{}: {} g dry in {count}, {} of water; makes {} at {:.2} g/ml.",
            self.glaze.name,
            self.grams(ticket.dry_grams),
            volume(ticket.water_millilitres),
            volume(ticket.volume_millilitres),
            ticket.density
        )
    }

    fn grams(&self, grams: f64) -> String {
        number::grams(grams, self.step_grams)
    }

    fn weighings(&self) -> String {
        let lots = self.ticket.lines.iter().any(|line| line.material.lot.is_some());
        let mut table = Table::new(&[Align::Left, Align::Left, Align::Right, Align::Right, Align::Left]);
        table.row(["", "", "weigh, g", "running", if lots { "lot" } else { "" }]);
        for line in &self.ticket.lines {
            let several = line.weighings.len() > 1;
            let mut running = line.running - line.grams;
            for (index, grams) in line.weighings.iter().enumerate() {
                running = to_step(running + grams, self.step_grams);
                let mut name = line.material.name.clone();
                if several {
                    name.push_str(&format!(", {} of {}", index + 1, line.weighings.len()));
                }
                if line.is_addition {
                    name.push_str(" (on top)");
                }
                table.row([
                    "[ ]".to_owned(),
                    shortened(&name),
                    self.grams(*grams),
                    self.grams(running),
                    line.material.lot.clone().map(|lot| shortened(&lot)).unwrap_or_default(),
                ]);
            }
        }
        table.text()
    }

    /// All the water, in cups too where one would count them.
    pub(crate) fn water_words(&self) -> String {
        let millilitres = self.ticket.water_millilitres;
        let cups = millilitres / self.cup_millilitres;
        let in_cups = if cups <= 40.0 {
            format!(
                " ({} cups of {} ml)",
                quarters(cups),
                number::plain(self.cup_millilitres)
            )
        } else {
            String::new()
        };
        format!("{}{in_cups}", volume(millilitres))
    }

    fn water(&self) -> String {
        let ticket = self.ticket;
        let first = 10.0 * (ticket.first_water_millilitres / 10.0).round();
        indented(
            "Water: ",
            &format!(
                "{}: {} first, powder into it, let it soak; the rest to rinse sieve and bowl. Expect {} at {:.2} g/ml ({:.2} to {:.2} for a powder of {:.2} +/- {} g/ml); the weighed jar decides.",
                self.water_words(),
                volume(first),
                volume(ticket.volume_millilitres),
                ticket.density,
                ticket.density_between.0,
                ticket.density_between.1,
                ticket.powder_density.value(),
                number::plain(ticket.powder_density.plus_minus()),
            ),
        )
    }

    fn sieve(&self) -> String {
        Sieve::with_mesh(USUAL_MESH).map_or_else(String::new, |sieve| {
            indented(
                "Sieve: ",
                &format!(
                    "{} mesh ({} micrometres) or the one you always use (common practice: 80 to 120).",
                    sieve.mesh,
                    number::plain(sieve.micrometres)
                ),
            )
        })
    }

    fn rounding(&self) -> String {
        let Some(change) = &self.ticket.unity_change else {
            return String::new();
        };
        let moved: Vec<String> = change
            .iter()
            .filter(|(_, by)| by.abs() >= SMALLEST_CHANGE)
            .map(|(oxide, by)| format!("{oxide} {by:+.3}"))
            .collect();
        if self.ticket.distance.is_none_or(|distance| distance < SMALLEST_DISTANCE) && moved.is_empty() {
            return indented(
                "As weighed: ",
                &format!(
                    "rounding to {} g moves nothing that matters.",
                    number::plain(self.step_grams)
                ),
            );
        }
        let moved = if moved.is_empty() {
            "little of each".to_owned()
        } else {
            moved.join(", ")
        };
        indented(
            "As weighed: ",
            &format!(
                "rounding to {} g moves {moved} in the unity formula.",
                number::plain(self.step_grams)
            ),
        )
    }

    fn ways_out(&self, line: &Coarse) -> String {
        let mut text = indented(
            "Can't weigh: ",
            &format!(
                "{} {} g on {} g scales is {} % off.",
                line.material,
                number::plain(line.grams),
                number::plain(self.step_grams),
                off(line.error_percent)
            ),
        );
        text.push_str(&way_out_text(&line.material, &line.way_out, self.step_grams));
        text
    }

    fn cost(&self) -> String {
        let cost = &self.ticket.cost;
        let unknown = if cost.unknown.is_empty() {
            String::new()
        } else {
            {
                let names: Vec<String> = cost.unknown.iter().map(ToString::to_string).collect();
                format!(" Price not known: {}.", names.join(", "))
            }
        };
        let (Some(amount), Some(currency)) = (cost.amount, &cost.currency) else {
            return indented("Cost: ", &format!("not known.{unknown}"));
        };
        let more = if cost.unknown.is_empty() { "" } else { " and more" };
        let dearest = match &cost.dearest {
            Some((name, dearest)) if self.ticket.lines.len() > 1 => format!("; most of it {name}, {dearest:.2}"),
            _ => String::new(),
        };
        indented(
            "Cost: ",
            &format!(
                "{amount:.2} {currency}{more}: {:.2} a kg dry, {:.2} a litre{dearest}.{unknown}",
                1000.0 * amount / self.ticket.dry_grams,
                1000.0 * amount / self.ticket.volume_millilitres,
            ),
        )
    }
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

/// Millilitres to the nearest that a jug shows.
pub(crate) fn volume(millilitres: f64) -> String {
    if millilitres >= 9_950.0 {
        format!("{:.1} l", millilitres / 1000.0)
    } else if millilitres >= 995.0 {
        format!("{:.2} l", millilitres / 1000.0)
    } else if millilitres >= 9.95 {
        format!("{millilitres:.0} ml")
    } else {
        format!("{millilitres:.1} ml")
    }
}

/// Cups in quarters: `5 3/4`.
fn quarters(cups: f64) -> String {
    let quarters = (4.0 * cups).round();
    let (whole, rest) = ((quarters / 4.0).floor(), quarters % 4.0);
    let part = ["", "1/4", "1/2", "3/4"]
        .get(rest as usize)
        .copied()
        .unwrap_or_default();
    match (whole > 0.0, part) {
        (true, "") => format!("{whole}"),
        (true, part) => format!("{whole} {part}"),
        (false, "") => "under 1/4".to_owned(),
        (false, part) => part.to_owned(),
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

fn unity_change(ticket: &Ticket) -> Value {
    let mut map = Map::new();
    for (oxide, by) in ticket.unity_change.iter().flatten() {
        map.insert(oxide.to_string(), json!(by));
    }
    Value::Object(map)
}

fn line_json(line: &TicketLine) -> Value {
    json!({
        "material": line.material.name,
        "grams": line.grams,
        "running": line.running,
        "weighings": line.weighings,
        "addition": line.is_addition,
        "lot": line.material.lot,
    })
}

fn coarse_json(line: &Coarse) -> Value {
    json!({
        "material": line.material,
        "grams": line.grams,
        "error_percent": line.error_percent,
        "ways_out": way_out_json(&line.way_out),
    })
}

pub(crate) fn way_out_json(way: &WayOut) -> Value {
    json!({
        "smallest_base_grams": way.smallest_base_grams,
        "pre_mix": way.premix.map(|premix| json!({
            "percent": premix.percent,
            "material_grams": premix.little_grams,
            "base_grams": premix.base_grams,
            "use_grams": premix.use_grams,
            "base_in_use_grams": premix.base_in_use_grams,
            "error_percent": premix.error_percent,
        })),
        "by_volume": way.strong.map(|strong| json!({
            "percent": strong.percent,
            "base_grams": strong.base_grams,
            "material_grams": strong.little_grams,
            "error_percent": strong.error_percent,
            "plain_parts": strong.plain_parts,
        })),
    })
}
