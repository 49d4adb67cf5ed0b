//! `glost adjust`.

mod ladders;
mod sure;
mod ways;

use glost_chemistry::glaze::Portion;
use glost_core::recipes::adjust::{Binding, Least, Miss, TwoWays};
use glost_desk::adjust::{Adjusted, Answer, Outcome, Recipe};

use crate::Shown;
use crate::layout::{Align, Style, Table, assumed, indented, paragraph};
use crate::number;
use crate::words::adjust;
use crate::words::chemistry::assumptions;

/// What no curve of a melt can tell (common practice, no source).
const CANNOT_KNOW: &str = "tiles first. The curve is of a melt: the raw batch must dissolve first (a 15 minute hold, finer silica), glazes melt by eutectics, colour and crystals follow the cooling, and iron thins a melt once it turns to FeO.";

impl Shown for Answer {
    fn text(&self, style: Style) -> String {
        match self {
            Answer::Recipe(adjusted) => adjusted_text(adjusted, style),
            Answer::Ladders(ladders) => ladders::text(ladders, style),
        }
    }
}

fn adjusted_text(answer: &Adjusted, style: Style) -> String {
    let recipe = answer.outcome.recipe();
    let mut text = style.bold(paragraph(&headline(answer), 0).trim_end());
    text.push_str("\n\n");
    text.push_str(&unasked(answer));
    if let Some(recipe) = recipe {
        if matches!(answer.outcome, Outcome::Impossible { .. }) {
            text.push_str("The nearest recipe:\n");
        }
        text.push_str(&table(answer, recipe));
        text.push('\n');
        text.push_str(&details(answer, recipe));
    }
    if let Outcome::Refused { reasons } = &answer.outcome {
        for reason in reasons {
            let told = format!("outside its domain: {}.", crate::melt_words::refusal(reason));
            text.push_str(&indented("Why: ", &told));
        }
        text.push_str(&indented(
            "Next: ",
            "work on tiles: a ladder of a boron frit, fired at the new cone.",
        ));
    }
    if let Some(fit) = &answer.fit {
        text.push_str(&ways::text(fit));
    }
    text
}

fn headline(answer: &Adjusted) -> String {
    match &answer.outcome {
        Outcome::Possible {
            objective, certified, ..
        } => possible(answer, *objective, *certified),
        Outcome::Refused { .. } => format!("No recipe: the melt curve doesn't reach {}.", answer.old.name),
        Outcome::Impossible {
            surest: Some(surest), ..
        } => sure::at_most(*surest),
        Outcome::Impossible {
            clash, other_clashes, ..
        } => {
            let more = match other_clashes {
                0 => String::new(),
                1 => " There is another clash besides.".to_owned(),
                more => format!(" There are {more} other clashes besides."),
            };
            format!(
                "Impossible: no recipe from these materials meets {}.{more}",
                clash.join(" and ")
            )
        }
    }
}

fn possible(answer: &Adjusted, objective: f64, certified: bool) -> String {
    let sure = if certified {
        "no recipe does it better"
    } else if answer.melts {
        "the best found; the melt curve is an estimate"
    } else {
        "the best found; expansion is an estimate"
    };
    let name = &answer.old.name;
    let (first, meets) = outlook(answer);
    if answer.least == Least::Cost {
        let currency = answer.currency.as_deref().unwrap_or("of your currency");
        return format!("{first}{name}: {objective:.2} {currency} per kg dry {meets} ({sure}).");
    }
    if objective < 1e-9 {
        return format!("{name} meets every aim as it is.");
    }
    let steps: Vec<String> = answer
        .changes
        .iter()
        .take(3)
        .map(|(name, change)| format!("{name} {change:+.1}"))
        .collect();
    format!("{first}{name}: {} {meets} ({sure}).", steps.join(", "))
}

/// What stands against its melting, to be said first; and how it meets its aims then.
fn outlook(answer: &Adjusted) -> (String, &'static str) {
    let about = &answer.old.about;
    let peak = about.peak.map(|peak| format!("{:.0} C", peak.celsius()));
    let cone = about.cone.as_ref().map(|cone| format!("cone {cone}"));
    // With an aim on the melt it is fired elsewhere.
    let fired = cone.or(peak).filter(|_| !answer.melts);
    let said = answer.outlook.iter();
    let said: Vec<String> = said.map(|one| adjust::outlook(*one, fired.as_deref())).collect();
    if said.is_empty() {
        return (String::new(), "meets every aim");
    }
    (format!("{} ", said.join(" ")), "meets every aim on paper")
}

fn table(answer: &Adjusted, recipe: &Recipe) -> String {
    let proposal = &recipe.offer.proposal;
    let step = answer.step.grams();
    let mut table = Table::new(&[Align::Left, Align::Right, Align::Right, Align::Right]);
    let batch = format!("{} g batch", number::grams(answer.dry.grams(), 1.0));
    table.row(["".to_owned(), "old".to_owned(), "new".to_owned(), batch]);
    for portion in &proposal.glaze.base {
        let name = &portion.material.name;
        let before = answer
            .old
            .base
            .iter()
            .find(|old| old.material.name == *name)
            .map_or(0.0, |old| old.percent);
        if before == 0.0 && portion.percent < 1e-9 {
            continue;
        }
        let grams = proposal
            .weighed
            .base
            .iter()
            .find(|line| line.material == *name && line.is_wanted());
        let grams = grams.map_or_else(|| "-".to_owned(), |line| format!("{} g", number::weighed(line, step)));
        table.row([name.clone(), share(before), share(portion.percent), grams]);
    }
    additions(answer, recipe, &mut table);
    table.text()
}

/// What comes on top, before and after.
fn additions(answer: &Adjusted, recipe: &Recipe, table: &mut Table) {
    let proposal = &recipe.offer.proposal;
    let of = |portions: &[Portion], name: &str| {
        let same = portions.iter().find(|portion| portion.material.name == name);
        same.map_or(0.0, |portion| portion.percent)
    };
    let mut names: Vec<&str> = Vec::new();
    for portion in answer.old.additions.iter().chain(&proposal.glaze.additions) {
        if portion.percent > 1e-9 && !names.contains(&portion.material.name.as_str()) {
            names.push(&portion.material.name);
        }
    }
    for name in names {
        let mut lines = proposal.weighed.additions.iter();
        let line = lines.find(|line| line.material == name && line.is_wanted());
        let grams = line.map_or_else(
            || "-".to_owned(),
            |line| format!("{} g", number::weighed(line, answer.step.grams())),
        );
        let (before, after) = (of(&answer.old.additions, name), of(&proposal.glaze.additions, name));
        table.row([format!("+ {name}"), share(before), share(after), grams]);
    }
}

/// A share of a recipe; nothing is a dash.
fn share(percent: f64) -> String {
    if percent < 1e-9 {
        "-".to_owned()
    } else {
        number::parts(percent)
    }
}

/// What moves though nobody asked, before the table.
fn unasked(answer: &Adjusted) -> String {
    let Outcome::Possible { unasked, .. } = &answer.outcome else {
        return String::new();
    };
    if unasked.is_empty() {
        return String::new();
    }
    let moved: Vec<String> = unasked
        .iter()
        .map(|moved| super::swap::moved_words(moved.oxide, moved.before_moles, moved.after_moles))
        .collect();
    indented("Not asked, but moves: ", &format!("{}.", moved.join(", "))) + "\n"
}

fn details(answer: &Adjusted, recipe: &Recipe) -> String {
    let proposal = &recipe.offer.proposal;
    let mut text = String::new();
    if let Outcome::Impossible { misses, .. } = &answer.outcome {
        text.push_str(&missed(misses));
    }
    let moved: Vec<String> = proposal
        .cannot_match
        .iter()
        .map(|oxide| super::swap::moved_words(*oxide, answer.old_unity.get(*oxide), proposal.unity.get(*oxide)))
        .collect();
    let moved = if moved.is_empty() {
        "nothing beyond its tolerance".to_owned()
    } else {
        moved.join(", ")
    };
    let expansion = recipe.expansion.map_or_else(String::new, |value| {
        format!("; expansion now about {value:.1} x 1e-6/K")
    });
    text.push_str(&indented("What moves: ", &format!("{moved}{expansion}.")));
    if let Outcome::Possible { binding, .. } = &answer.outcome {
        text.push_str(&held_back(answer, binding));
    }
    text.push_str(&super::looked::text(&recipe.offer));
    text.push_str(&super::ranges_text(proposal));
    text.push_str(&super::too_little(&proposal.weighed, answer.dry, answer.step.grams()));
    text.push_str(&super::beside_the_chemistry(proposal));
    text.push_str(&super::swap::melt_text(proposal));
    text.push_str(&super::swap::tint_text(proposal));
    text.push_str(&sure::text(answer, recipe));
    text.push_str(&held_as_weights(answer));
    text.push_str(&in_step(answer));
    if answer.melts {
        text.push_str(&indented("Can't know: ", CANNOT_KNOW));
    }
    text.push_str(&assumed(&assumptions(&proposal.analysis.assumptions)));
    text.push_str(&indented(
        "Test: ",
        "old and new on one tile set, with a three-step blend between them, on your own clay in your own firing.",
    ));
    text
}

/// Additions whose analysis nobody tells.
fn held_as_weights(answer: &Adjusted) -> String {
    let held: Vec<String> = answer
        .held
        .iter()
        .map(|portion| format!("{} at {} %", portion.material.name, number::parts(portion.percent)))
        .collect();
    if held.is_empty() {
        return String::new();
    }
    let told = format!(
        "{}: nobody tells what is in it, so it stays by weight and its chemistry isn't counted.",
        held.join(", ")
    );
    indented("Held: ", &told)
}

/// The other way to a cone.
fn in_step(answer: &Adjusted) -> String {
    let Some(other) = &answer.in_step else {
        return String::new();
    };
    let why = match other.why {
        TwoWays::FarCones => "more than four cones is a long way",
        TwoWays::Matt => "a matt may lose its surface to boron",
        TwoWays::Crystalline => "crystals grow by what boron changes",
        TwoWays::Iron => "so much iron melts by itself once it turns to FeO",
    };
    let proposal = &other.recipe.offer.proposal;
    let parts: Vec<String> = proposal
        .glaze
        .base
        .iter()
        .filter(|portion| portion.percent > 1e-9)
        .map(|portion| format!("{} {}", portion.material.name, number::parts(portion.percent)))
        .collect();
    let moved: Vec<String> = proposal
        .cannot_match
        .iter()
        .map(|oxide| super::swap::moved_words(*oxide, answer.old_unity.get(*oxide), proposal.unity.get(*oxide)))
        .collect();
    let told = format!(
        "boron as it is, silica and alumina in step: {} ({}). Shown because {why}; make both on one strip of tiles.",
        parts.join(", "),
        moved.join(", ")
    );
    indented("Or: ", &told)
}

fn missed(misses: &[Miss]) -> String {
    let told = misses
        .iter()
        .filter(|miss| number::unity(miss.reached) != number::unity(miss.bound));
    told.map(|miss| {
        let told = format!(
            "{}: {} {} instead of {}; that bound would have to give way to there.",
            miss.aim,
            miss.quantity,
            number::unity(miss.reached),
            number::plain(miss.bound)
        );
        indented("Misses: ", &told)
    })
    .collect()
}

fn held_back(answer: &Adjusted, binding: &[Binding]) -> String {
    let unit = match answer.least {
        Least::Cost => "of cost per kg",
        Least::Change | Least::Weights | Least::Distance => "of change",
    };
    let told = binding.iter().map(|binding| {
        let told = format!(
            "{}: each {} given up would save {} {unit}.",
            binding.aim,
            binding.per,
            number::distance(binding.price)
        );
        indented("Held back by: ", &told)
    });
    told.collect()
}
