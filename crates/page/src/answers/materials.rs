//! `glost materials`.

use std::sync::Arc;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::material::{FreeSilica, Material};
use glost_desk::materials::Answer;

use crate::layout::{Align, Style, Table, indented, paragraph};
use crate::number;
use crate::print::{File, Printed};
use crate::words::chemistry::assumptions;
use crate::words::say;
use crate::words::tables::counted;
use crate::{Csv, Shown};

impl Shown for Answer {
    fn csv(&self) -> Option<Csv> {
        Csv::of_json(self, "materials")
    }

    fn text(&self, style: Style) -> String {
        match self {
            Answer::All(materials) => list_text(materials, style),
            Answer::One(material) => material_text(material, style),
            Answer::Label(bag) => super::bag::text(bag, style),
        }
    }

    fn printed(&self) -> Result<Printed, Diagnostic> {
        let bag = match self {
            Answer::Label(bag) => bag,
            Answer::All(_) | Answer::One(_) => return Ok(Printed::default()),
        };
        Ok(Printed {
            files: bag
                .out
                .iter()
                .map(|out| File {
                    path: out.clone(),
                    text: say(&bag.entry()),
                })
                .collect(),
            ..Printed::default()
        })
    }
}

/// Materials as a table.
fn list_text(materials: &[Arc<Material>], style: Style) -> String {
    let own = materials.iter().filter(|material| !material.shipped).count();
    let head = if own == 0 {
        format!(
            "{} come with Glost; none are your own yet.",
            counted(materials.len(), "material", "materials")
        )
    } else {
        format!(
            "{} of your own, {} that come with Glost.",
            counted(own, "material", "materials"),
            materials.len() - own
        )
    };
    let mut text = style.bold(&head);
    text.push_str("\n\n");
    let mut table = Table::new(&[Align::Left, Align::Left, Align::Left, Align::Left]);
    table.row(["material", "kind", "stock", "mark"]);
    for material in materials {
        let stock = match (material.stock, material.buyable, material.shipped) {
            (Some(stock), _, _) if stock.grams() > 0.0 => format!("{} kg", number::plain(stock.grams() / 1000.0)),
            (_, true, false) => "to buy".to_owned(),
            (Some(_), false, _) => "none".to_owned(),
            _ => String::new(),
        };
        let mut marks = Vec::new();
        if material.toxic {
            marks.push("toxic");
        }
        if material.soluble {
            marks.push("soluble");
        }
        if material.fired.is_none() {
            marks.push("analysis unknown");
        }
        if !material.cautions.is_empty() {
            marks.push("odd sheet");
        }
        let mut name = material.name.clone();
        if name.chars().count() > 40 {
            name = name.chars().take(39).chain(['…']).collect();
        }
        table.row([name, material.kind.word().to_owned(), stock, marks.join(", ")]);
    }
    text.push_str(&table.text());
    text.push('\n');
    text.push_str(&paragraph(
        "`glost materials NAME` shows one. Toxic or not: the supplier's safety data sheet rules.",
        0,
    ));
    text
}

/// One material for a terminal.
fn material_text(material: &Material, style: Style) -> String {
    let mut text = style.bold(paragraph(&headline(material), 0).trim_end());
    text.push_str("\n\n");
    if let Some(fired) = &material.fired {
        let mut table = Table::new(&[Align::Left, Align::Right]);
        table.row(["of 100 g as supplied", "g"]);
        for (oxide, grams) in fired.oxides.iter() {
            table.row([oxide.to_string(), number::percent(grams)]);
        }
        if fired.loss_grams != 0.0 {
            table.row(["lost in firing".to_owned(), number::percent(fired.loss_grams)]);
        }
        if fired.moisture_grams != 0.0 {
            table.row(["moisture".to_owned(), number::percent(fired.moisture_grams)]);
        }
        text.push_str(&table.text());
        text.push('\n');
    } else {
        text.push_str("Nobody tells what is in it. It can be weighed, blended, labelled and\njudged by its results; its chemistry can't be computed.\n\n");
    }
    if !material.mixed_from.is_empty() {
        let parts: Vec<String> = material
            .mixed_from
            .iter()
            .map(|(name, percent)| format!("{name} {}", number::parts(*percent)))
            .collect();
        text.push_str(&indented("Mixed from: ", &parts.join(", ")));
    }
    if !material.other_names.is_empty() {
        text.push_str(&indented("Also called: ", &material.other_names.join(", ")));
    }
    for hazard in &material.hazards {
        text.push_str(&indented("Hazard: ", &hazard.text));
    }
    if let Some(of) = &material.hazards_of {
        let told = format!("so of the {of} that comes with Glost: assumed, since its own sheet names none.");
        text.push_str(&indented("Hazards: ", &told));
    }
    if let Some(silica) = material.free_silica_percent.filter(|silica| *silica > 0.0) {
        text.push_str(&indented(
            "Dust: ",
            &format!(
                "about {} % crystalline silica{}: respirator, wet cleaning; its safety data sheet rules.",
                number::plain(silica),
                material
                    .free_silica_assumed
                    .as_ref()
                    .map_or_else(String::new, silica_assumed)
            ),
        ));
    }
    for caution in &material.cautions {
        text.push_str(&indented("Odd: ", &caution.message));
    }
    text.push_str(&lots(material));
    text.push_str(&indented("Source: ", &material.provenance));
    if let Some(fired) = &material.fired {
        text.push_str(&crate::layout::assumed(&assumptions(&fired.assumptions)));
    }
    text
}

/// Why its crystalline silica is taken to be so.
fn silica_assumed(why: &FreeSilica) -> String {
    match why {
        FreeSilica::LikeNamesake(name) => format!(" (assumed, as in {name}: its own sheet doesn't say)"),
        FreeSilica::NearlyPure => {
            " (assumed, since it is silica and little else, unless its sheet says amorphous: then `free_silica: 0`)"
                .to_owned()
        }
    }
}

/// The open lots, each with its stock.
fn lots(material: &Material) -> String {
    let each: Vec<String> = material
        .open_lots
        .iter()
        .map(|open| {
            let taken = if material.lot.as_ref() == Some(&open.lot) {
                ", taken from unless another is asked for"
            } else {
                ""
            };
            let kg = number::plain(open.stock.grams() / 1000.0);
            format!("{} ({kg} kg{taken})", open.lot)
        })
        .collect();
    if each.is_empty() {
        return String::new();
    }
    indented("Lots: ", &format!("{}.", each.join("; ")))
}

fn headline(material: &Material) -> String {
    let mut facts = vec![material.kind.word().to_owned()];
    if let (Some(lot), []) = (&material.lot, material.open_lots.as_slice()) {
        facts.push(format!("lot {lot}"));
    }
    if let Some(stock) = material.stock {
        facts.push(format!("{} kg in stock", number::plain(stock.grams() / 1000.0)));
    }
    if let Some(price) = &material.price {
        facts.push(format!("{:.2} {}/kg", price.per_kg, price.currency));
    }
    if material.toxic {
        facts.push("toxic".to_owned());
    }
    if material.soluble {
        facts.push("soluble in water".to_owned());
    }
    format!("{}: {}.", material.name, facts.join(", "))
}
