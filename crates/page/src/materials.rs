//! `glost materials`.

use glost_chemistry::material::Material;
use serde_json::{Value, json};

use crate::amounts;
use crate::layout::{Align, Style, Table, indented, paragraph};
use crate::number;

/// Materials as a list.
pub fn list_json(materials: &[&Material]) -> Value {
    json!({"materials": materials.iter().map(|material| material_json(material)).collect::<Vec<_>>()})
}

/// One material as JSON.
pub fn material_json(material: &Material) -> Value {
    let fired = material.fired.as_ref();
    json!({
        "name": material.name,
        "other_names": material.other_names,
        "kind": material.kind.word(),
        "fired_oxides": fired.map(|fired| amounts::grams(&fired.oxides)),
        "loss_on_ignition": fired.map(|fired| fired.loss_grams),
        "moisture": fired.map(|fired| fired.moisture_grams),
        "mixed_from": amounts::map(material.mixed_from.iter().cloned()),
        "density": material.density_grams_per_millilitre,
        "free_silica": material.free_silica_percent,
        "soluble": material.soluble,
        "toxic": material.toxic,
        "hazards": material.hazards,
        "price": material.price.as_ref().map(|price| json!({"per_kg": price.per_kg, "currency": price.currency})),
        "stock_grams": material.stock.map(|stock| stock.grams()),
        "buyable": material.buyable,
        "lot": material.lot,
        "source": material.provenance,
        "shipped": material.shipped,
        "cautions": material.cautions.iter().map(|caution| caution.message.clone()).collect::<Vec<_>>(),
        "assumptions": fired.map(|fired| fired.assumptions.clone()).unwrap_or_default(),
    })
}

/// Materials as a table.
pub fn list_text(materials: &[&Material], style: Style) -> String {
    let own = materials.iter().filter(|material| !material.shipped).count();
    let head = if own == 0 {
        format!("{} materials come with Glost; none are your own yet.", materials.len())
    } else {
        format!(
            "{own} materials of your own, {} that come with Glost.",
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
pub fn material_text(material: &Material, style: Style) -> String {
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
        text.push_str(&indented("Hazard: ", hazard));
    }
    if let Some(silica) = material.free_silica_percent.filter(|silica| *silica > 0.0) {
        text.push_str(&indented(
            "Dust: ",
            &format!(
                "about {} % crystalline silica: respirator, wet cleaning; its safety data sheet rules.",
                number::plain(silica)
            ),
        ));
    }
    for caution in &material.cautions {
        text.push_str(&indented("Odd: ", &caution.message));
    }
    text.push_str(&indented("Source: ", &material.provenance));
    if let Some(fired) = &material.fired {
        text.push_str(&crate::layout::assumed(&fired.assumptions));
    }
    text
}

fn headline(material: &Material) -> String {
    let mut facts = vec![material.kind.word().to_owned()];
    if let Some(lot) = &material.lot {
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
