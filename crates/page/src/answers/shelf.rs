//! `glost shelf`.

use glost_chemistry::glaze::Glaze;
use glost_core::recipes::fewest::{AsItIs, Next};
use glost_core::rules::Level;
use glost_desk::shelf::{Answer, GlazeKept, How, Spent, ToOrder};
use glost_desk::wire::Offer;

use super::cost::weight;
use crate::layout::{Style, in_a_row, indented, paragraph};
use crate::number;
use crate::words::finding::told as told_by;
use crate::{Csv, Shown, csv_number};

impl Shown for Answer {
    fn csv(&self) -> Option<Csv> {
        let headings = ["glaze", "tile", "how", "distance", "role", "material", "percent"];
        Some(Csv::of(&headings, self.glazes.iter().flat_map(lines_of)))
    }

    fn text(&self, style: Style) -> String {
        let mut text = style.bold(paragraph(&headline(self), 0).trim_end());
        text.push_str("\n\n");
        text.push_str(&indented("Keep: ", &format!("{}.", in_a_row(&self.keep))));
        if !self.held.is_empty() {
            let told = format!(
                "{} (additions, and what stands in glazes as it is).",
                in_a_row(&self.held)
            );
            text.push_str(&indented("Kept anyway: ", &told));
        }
        if !self.drop.is_empty() {
            text.push_str(&indented("Do without: ", &format!("{}.", in_a_row(&self.drop))));
        }
        for (one, other) in &self.twins {
            text.push_str(&indented("Twins: ", &format!("{one} and {other}: either does.")));
        }
        text.push_str(&self.spent.as_ref().map_or_else(String::new, cost));
        text.push_str(&recipes(self, style));
        text.push_str(&unchanged(self));
        text.push_str(&nexts(self));
        text.push_str(&orders(&self.order));
        if !self.retest.is_empty() {
            text.push_str(&indented(
                "Test: ",
                "each old recipe beside its new one on one tile, on its own clay in its own firing, in the order above. Near is a guess about chemistry: grind, settling and colour differ. No leach test carries over.",
            ));
        }
        text
    }
}

/// A row a material of each glaze as it is to be made; one without where it can't be.
fn lines_of(kept: &GlazeKept) -> Vec<Vec<String>> {
    let made = kept.offer.as_ref().map_or(&kept.made, |offer| &offer.proposal.glaze);
    let how = match kept.how {
        How::Unchanged => "unchanged",
        How::New => "new",
        How::AsItIs(_) => "as it is",
        How::Lost => "lost",
    };
    let distance = kept.offer.as_ref().map(|offer| offer.proposal.distance);
    let tile = kept.tile.as_deref().unwrap_or("").to_owned();
    let head = [kept.glaze.clone(), tile, how.to_owned(), csv_number(distance)];
    if matches!(kept.how, How::Lost) {
        return vec![
            head.into_iter()
                .chain([String::new(), String::new(), String::new()])
                .collect(),
        ];
    }
    let parts = made.base.iter().map(|portion| ("base", portion));
    let lines = parts.chain(made.additions.iter().map(|portion| ("addition", portion)));
    lines
        .map(|(role, portion)| {
            let cells = [
                role.to_owned(),
                portion.material.name.clone(),
                csv_number(Some(portion.percent)),
            ];
            head.iter().cloned().chain(cells).collect()
        })
        .collect()
}

fn glazes(count: usize) -> String {
    format!("{count} {}", if count == 1 { "glaze" } else { "glazes" })
}

fn headline(answer: &Answer) -> String {
    let all = answer.keep.len() + answer.drop.len();
    let lost = answer.lost().count();
    let counted = answer.glazes.len() - lost;
    let near = if lost > 0 {
        format!("{} of {} stay near", counted, glazes(answer.glazes.len()))
    } else {
        format!(
            "{} near",
            if counted == 1 {
                "the glaze stays".to_owned()
            } else {
                format!("all {counted} glazes stay")
            }
        )
    };
    let cheapest = if answer.spent.is_some() {
        ", each as cheap as it can be"
    } else {
        ""
    };
    let proof = if answer.proven {
        let fewer = answer.keep.len().saturating_sub(1);
        if answer.spent.is_some() || answer.keep.is_empty() {
            String::new()
        } else {
            format!(" No set of {fewer} does it.")
        }
    } else {
        format!(
            " That is the best found: {} at least are needed, and whether fewer than {} do was not settled in {} steps.",
            answer.at_least,
            answer.keep.len(),
            answer.steps
        )
    };
    format!(
        "Keep {} of {all} materials: {near}{cheapest}.{proof}",
        answer.keep.len()
    )
}

fn cost(spent: &Spent) -> String {
    let year = if spent.a_kilogram_each {
        "a kilogram of each glaze (no batch was booked in the last year)"
    } else {
        "the last year's batches"
    };
    let currency = spent.currency.as_deref().unwrap_or("");
    let told = match (spent.before, spent.after) {
        (Some(before), Some(after)) => format!("{year}: {before:.2} {currency} before, {after:.2} {currency} after."),
        _ => format!("{year}: no price is known."),
    };
    let mut text = indented("Cost: ", &told);
    if !spent.unknown.is_empty() {
        text.push_str(&indented("No price: ", &format!("{}.", spent.unknown.join(", "))));
    }
    text
}

/// The tiles to make: each new recipe in grams, the farthest first.
fn recipes(answer: &Answer, style: Style) -> String {
    let mut text = String::new();
    let of = |name: &String| answer.glazes.iter().find(|glaze| glaze.glaze == *name);
    let changed: Vec<&GlazeKept> = answer.retest.iter().filter_map(of).collect();
    if !changed.is_empty() {
        text.push_str(&format!(
            "\n{}\n",
            style.bold("Tiles, in the order to test (grams of 100 g base)")
        ));
    }
    for glaze in changed {
        let Some(offer) = &glaze.offer else { continue };
        let lead = format!("  {}  ", glaze.tile.as_deref().unwrap_or(""));
        let told = format!(
            "{} ({} off): {}",
            glaze.glaze,
            number::distance(offer.proposal.distance),
            weighed(offer)
        );
        text.push_str(&indented(&lead, &told));
        for level in [Level::Fail, Level::Caution] {
            for finding in offer.look.new_at(level) {
                let lead = format!("      new {}: ", level.words());
                text.push_str(&indented(
                    &lead,
                    &format!("{}.", told_by(finding).trim_end_matches('.')),
                ));
            }
        }
    }
    for glaze in answer.lost() {
        let nearest = glaze.offer.as_ref().map_or_else(
            || "nothing makes a recipe of it".to_owned(),
            |offer| {
                format!(
                    "the nearest is {} off: {}",
                    number::distance(offer.proposal.distance),
                    weighed(offer)
                )
            },
        );
        text.push_str(&indented("Not near: ", &format!("{}; {nearest}", glaze.glaze)));
    }
    text
}

fn weighed(offer: &Offer) -> String {
    let line =
        |line: &glost_core::workshop::scales::WeighedLine| format!("{} {}", line.material, number::weighed(line, 0.1));
    let there = |line: &&glost_core::workshop::scales::WeighedLine| line.is_wanted();
    let weighed = &offer.proposal.weighed;
    let base: Vec<String> = weighed.base.iter().filter(there).map(line).collect();
    let additions: Vec<String> = weighed.additions.iter().filter(there).map(line).collect();
    let mut told = base.join(", ");
    if !additions.is_empty() {
        told.push_str(&format!("; and {}", additions.join(", ")));
    }
    told + "."
}

fn unchanged(answer: &Answer) -> String {
    let of = |wanted: &dyn Fn(&How) -> bool| -> Vec<&str> {
        let fitting = answer.glazes.iter().filter(|glaze| wanted(&glaze.how));
        fitting.map(|glaze| glaze.glaze.as_str()).collect()
    };
    let mut text = String::new();
    let same = of(&|how| *how == How::Unchanged);
    if !same.is_empty() {
        text.push_str(&indented("Unchanged: ", &format!("{}.", same.join(", "))));
    }
    for glaze in &answer.glazes {
        if let How::AsItIs(why) = &glaze.how {
            let why = match why {
                AsItIs::Unknown(names) => format!("nobody tells what is in {}", names.join(" and ")),
                AsItIs::NoUnity => "it has no unity formula".to_owned(),
            };
            text.push_str(&indented(
                "As it is: ",
                &format!("{}, with all its materials: {why}.", name(&glaze.made)),
            ));
        }
    }
    text
}

fn name(glaze: &Glaze) -> &str {
    &glaze.name
}

fn nexts(answer: &Answer) -> String {
    let mut text = String::new();
    let names = |materials: &[std::sync::Arc<glost_chemistry::material::Material>]| {
        let names: Vec<&str> = materials.iter().map(|material| material.name.as_str()).collect();
        names.join(" and ")
    };
    for next in &answer.next {
        text.push_str(&match next {
            Next::AsMany { with, without } => {
                indented("As many: ", &format!("{} instead of {}.", names(with), names(without)))
            }
            Next::OneMore {
                with,
                unchanged,
                nearer,
            } => {
                let kept = match unchanged.as_slice() {
                    [] => String::new(),
                    names => format!("{} can stay unchanged, ", names.join(", ")),
                };
                let told = format!(
                    "with {}: {kept}all distances fall by {} together.",
                    with.name,
                    number::distance(*nearer)
                );
                indented("One more: ", &told)
            }
            Next::OneLess { without, lost } => {
                let lost: Vec<String> = lost
                    .iter()
                    .map(|(glaze, distance)| match distance {
                        Some(distance) => format!("{glaze} ({} off)", number::distance(*distance)),
                        None => format!("{glaze} (no recipe)"),
                    })
                    .collect();
                let told = match lost.as_slice() {
                    [] => "none is lost".to_owned(),
                    lost => format!("{} no longer near", lost.join(", ")),
                };
                indented("One less: ", &format!("without {}: {told}.", without.name))
            }
        });
    }
    text
}

fn orders(order: &[ToOrder]) -> String {
    let there = |line: &ToOrder| {
        let there = match line.stock_grams {
            Some(grams) if grams > 0.0 => format!("{} there", weight(grams)),
            Some(_) => "none there".to_owned(),
            None => "no stock stated".to_owned(),
        };
        match line.year_grams {
            Some(grams) if grams >= LEAST_OF_A_YEAR => format!("{there}, a year takes {}", weight(grams)),
            Some(_) => format!("{there}, the last year took none"),
            None => there,
        }
    };
    // Those of which the same is to be said are said together.
    let mut said: Vec<(String, Vec<&str>)> = Vec::new();
    for line in order {
        let of_it = there(line);
        match said.iter_mut().find(|known| known.0 == of_it) {
            Some((_, names)) => names.push(&line.material),
            None => said.push((of_it, vec![&line.material])),
        }
    }
    if said.is_empty() {
        return String::new();
    }
    let lines: Vec<String> = said
        .iter()
        .map(|(of_it, names)| match names.as_slice() {
            [first, others @ ..] if !others.is_empty() => format!("{first}, {} (of each: {of_it})", others.join(", ")),
            _ => format!("{} ({of_it})", names.join(", ")),
        })
        .collect();
    indented("To order: ", &format!("{}.", lines.join("; ")))
}

/// Less than this in a year is none, g.
const LEAST_OF_A_YEAR: f64 = 0.05;
