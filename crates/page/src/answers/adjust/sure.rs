//! How sure an adjusted recipe is, in words.

use glost_desk::adjust::{Adjusted, Outcome, Recipe};

use crate::layout::indented;
use crate::number;

/// No recipe is as sure as was asked.
pub(super) fn at_most(surest: f64) -> String {
    format!(
        "Impossible so surely: from these materials {} is the most, as far as the sheets go.",
        percent(surest)
    )
}

fn percent(chance: f64) -> String {
    if chance > 0.9995 {
        "above 99.9 %".to_owned()
    } else {
        format!("{:.1} %", 100.0 * chance)
    }
}

pub(super) fn text(answer: &Adjusted, recipe: &Recipe) -> String {
    let Outcome::Possible {
        sure: Some(sure),
        objective,
        ..
    } = &answer.outcome
    else {
        return String::new();
    };
    let (surety, proposal, without) = (&sure.surety, &recipe.offer.proposal, &sure.without.offer.proposal);
    let mut text = String::new();
    for chance in &surety.chances {
        let told = format!(
            "{}: {} without minding the sheets, {} now.",
            chance.aim,
            percent(chance.before),
            percent(chance.after)
        );
        text.push_str(&indented("Holds: ", &told));
    }
    let mut price = format!(
        "distance {} -> {}, change {} -> {}",
        number::distance(without.distance),
        number::distance(proposal.distance),
        number::distance(surety.without_objective),
        number::distance(*objective)
    );
    if let Some((before, with)) = sure.cost_per_kg(recipe) {
        let currency = answer.currency.as_deref().unwrap_or("");
        price.push_str(&format!(", cost {before:.2} -> {with:.2} {currency} per kg"));
    }
    text.push_str(&indented("Price of being sure: ", &format!("{}.", price.trim_end())));
    if let Some((sheet, saves)) = &surety.costliest {
        let told = format!(
            "the sheet of {sheet} (its tolerances alone cost {} of it); a tighter analysis of that pays most.",
            number::distance(*saves)
        );
        text.push_str(&indented("Costs most: ", &told));
    }
    let mut rests = "as far as the sheets go: firing, coat and grind are not in it".to_owned();
    if !surety.unstated.is_empty() {
        rests.push_str(&format!(
            "; 1 % of each oxide taken for {}, whose sheets state no tolerance",
            surety.unstated.join(", ")
        ));
    }
    text.push_str(&indented("Rests on: ", &format!("{rests}.")));
    text
}
