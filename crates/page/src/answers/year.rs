//! `glost year`: a year of the studio, in words and on a page.

use glost_chemistry::diagnostic::Diagnostic;
use glost_desk::year::{Answer, Fired, LotSeen, Mixed, PlanMade, RanOut, Spent, WareSeen};

use crate::flow::Flow;
use crate::layout::{Align, Style, Table, indented, paragraph};
use crate::print::Printed;
use crate::sheet::{Pages, Setting};
use crate::{Csv, Shown};

impl Shown for Answer {
    fn csv(&self) -> Option<Csv> {
        Csv::of_json(self, "glazes")
    }

    fn text(&self, style: Style) -> String {
        let mut text = style.bold(paragraph(&headline(self), 0).trim_end());
        text.push('\n');
        if !self.batches.is_empty() {
            text.push_str(&format!("\n{}", mixed(&self.batches, &self.spent)));
        }
        text.push('\n');
        for (lead, sentences) in sections(self) {
            for sentence in sentences {
                text.push_str(&indented(&format!("{lead}: "), &sentence));
            }
        }
        text
    }

    fn printed(&self) -> Result<Printed, Diagnostic> {
        let Some(page) = &self.page else {
            return Ok(Printed::default());
        };
        let mut flow = Flow::new();
        flow.title(&format!("The year {}", self.year));
        flow.paragraph(&headline(self));
        if !self.batches.is_empty() {
            flow.heading("Mixed");
            for glaze in &self.batches {
                flow.paragraph(&of_glaze(glaze, &self.spent));
            }
        }
        for (lead, sentences) in sections(self) {
            if !sentences.is_empty() {
                flow.heading(lead);
                sentences.iter().for_each(|sentence| flow.paragraph(sentence));
            }
        }
        let pages = Pages {
            title: format!("The year {}", self.year),
            setting: Setting::AnyPaper,
            drawings: flow.finish(),
        };
        Printed::pages(page, &pages, format!("Page: {}\n", page.path.display()))
    }
}

/// So many of a thing: `1 batch`, `3 batches`.
fn count(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

fn headline(answer: &Answer) -> String {
    let so_far = if answer.so_far { " so far" } else { "" };
    if answer.is_empty() {
        return format!("{}{so_far}: nothing is on record.", answer.year);
    }
    let tiles: usize = answer.plans.iter().map(|plan| plan.tiles).sum();
    format!(
        "{}{so_far}: {} of {:.1} kg, {}, {}.",
        answer.year,
        count(answer.batch_count(), "batch", "batches"),
        answer.kilograms(),
        count(answer.firings.count, "firing", "firings"),
        count(tiles, "test tile", "test tiles"),
    )
}

fn money(amount: f64, spent: &Spent) -> String {
    format!("{amount:.2} {}", spent.currency.as_deref().unwrap_or(""))
        .trim_end()
        .to_owned()
}

fn mixed(batches: &[Mixed], spent: &Spent) -> String {
    let mut table = Table::new(&[Align::Left, Align::Right, Align::Right, Align::Right]);
    table.row(["glaze", "batches", "kg", "cost"]);
    for glaze in batches {
        table.row([
            glaze.glaze.clone(),
            glaze.batches.to_string(),
            format!("{:.1}", glaze.kilograms),
            glaze.cost.map_or_else(String::new, |cost| money(cost, spent)),
        ]);
    }
    table.text()
}

fn of_glaze(glaze: &Mixed, spent: &Spent) -> String {
    let cost = glaze
        .cost
        .map_or_else(String::new, |cost| format!(", {}", money(cost, spent)));
    format!(
        "{}: {}, {:.1} kg{cost}.",
        glaze.glaze,
        count(glaze.batches, "batch", "batches"),
        glaze.kilograms
    )
}

/// What is told below the batches, each with its heading.
fn sections(answer: &Answer) -> Vec<(&'static str, Vec<String>)> {
    vec![
        ("Cost", cost(&answer.spent)),
        ("Fired", fired(&answer.firings)),
        ("Seen", answer.ware.iter().map(ware).collect()),
        ("Lots", answer.lots.iter().map(lot).collect()),
        ("Ran out", answer.ran_out.iter().map(ran_out).collect()),
        ("Tiles", answer.plans.iter().map(plan).collect()),
    ]
}

fn cost(spent: &Spent) -> Vec<String> {
    let unknown = match spent.unknown.as_slice() {
        [] => String::new(),
        names => format!(" at least; no price of {}", names.join(", ")),
    };
    let told = spent
        .amount
        .map(|amount| format!("{} in materials at today's prices{unknown}.", money(amount, spent)));
    told.into_iter().collect()
}

fn fired(firings: &Fired) -> Vec<String> {
    if firings.count == 0 {
        return Vec::new();
    }
    let mut told = format!(
        "{} ({} biscuit, {} glost)",
        count(firings.count, "firing", "firings"),
        firings.biscuit,
        firings.glost
    );
    if firings.pieces > 0 {
        told.push_str(&format!(", {} pieces", firings.pieces));
    }
    if firings.missed > 0 {
        told.push_str(&format!("; {} a cone or more off what was meant", firings.missed));
    }
    if firings.not_opened > 0 {
        told.push_str(&format!("; {} never noted as opened", firings.not_opened));
    }
    vec![told + "."]
}

fn ware(seen: &WareSeen) -> String {
    let on = seen
        .clay
        .as_deref()
        .map_or_else(String::new, |clay| format!(" on {clay}"));
    let mut faults = Vec::new();
    for (number, word) in [
        (seen.crazed, "crazed"),
        (seen.shivered, "shivered"),
        (seen.dunted, "dunted"),
    ] {
        if number > 0 {
            faults.push(format!("{number} {word}"));
        }
    }
    let told = if faults.is_empty() {
        "none crazed".to_owned()
    } else {
        faults.join(", ")
    };
    format!("{}{on}: {told} of {} looked at.", seen.glaze, seen.pieces)
}

fn lot(lot: &LotSeen) -> String {
    format!(
        "{} lot {}: {} crazed of {} looked at with it in them.",
        lot.material, lot.lot, lot.crazed, lot.pieces
    )
}

fn ran_out(gone: &RanOut) -> String {
    let short = gone.short.grams();
    let short = if short > 0.0 {
        format!(", {short:.0} g short")
    } else {
        String::new()
    };
    format!("{} on {}, with batch {}{short}.", gone.material, gone.on, gone.batch)
}

fn plan(plan: &PlanMade) -> String {
    let decided: Vec<String> = plan
        .became
        .iter()
        .map(|became| format!("{} became {}", became.tile, became.glaze))
        .collect();
    let decided = match decided.as_slice() {
        [] => "nothing decided yet".to_owned(),
        decided => decided.join(", "),
    };
    format!(
        "{} between {}: {}, {} looked at; {decided}.",
        plan.plan,
        plan.ends.join(" and "),
        count(plan.tiles, "tile", "tiles"),
        plan.noted
    )
}
