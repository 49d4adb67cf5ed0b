//! `glost swap`.

use glost_chemistry::distance::Nearness;
use glost_chemistry::glaze::Portion;
use glost_chemistry::oxides::Oxide;
use glost_chemistry::quantity::Grams;
use glost_core::recipes::swap::{ExpansionMove, Proposal};
use glost_core::workshop::scales::{MOST_WEIGHING_ERROR, Weighed, WeighedLine};
use glost_desk::swap::Answer;
use glost_desk::wire::Offer;

use crate::layout::capital;
use crate::layout::{Align, Style, Table, assumed, indented, paragraph};
use crate::number;
use crate::words::say;
use crate::{Csv, Shown};

impl Shown for Answer {
    fn csv(&self) -> Option<Csv> {
        Csv::of_json(self, "proposals")
    }

    fn text(&self, style: Style) -> String {
        if let Some(why) = &self.why {
            return no_recipe(self, why, style);
        }
        let Some(best) = self.proposals.first() else {
            return "No recipe was found.\n".to_owned();
        };
        let mut text = style.bold(paragraph(&headline(self, &best.proposal), 0).trim_end());
        text.push_str("\n\n");
        text.push_str(&table(self, &best.proposal));
        text.push('\n');
        if let Some(steps) = &self.steps {
            text.push_str(&super::by_hand::swap(steps));
            text.push('\n');
        }
        text.push_str(&indented("What moves: ", &what_moves(self, &best.proposal)));
        text.push_str(&super::looked::text(best));
        text.push_str(&why_not_nearer(self));
        text.push_str(&expansion_text(best.proposal.expansion.as_ref()));
        text.push_str(&melt_text(&best.proposal));
        text.push_str(&tint_text(&best.proposal));
        text.push_str(&ranges_text(&best.proposal));
        text.push_str(&too_little(&best.proposal.weighed, self.dry, self.step.grams()));
        text.push_str(&beside_the_chemistry(&best.proposal));
        text.push_str(&opacifiers(self));
        text.push_str(&others(self));
        text.push_str(&assumed(&best.assumptions().iter().map(say).collect::<Vec<_>>()));
        let beside = if self.one_for_one.is_empty() {
            "old and new"
        } else {
            "old, one for one and new"
        };
        text.push_str(&indented(
            "Test: ",
            &format!("{beside} on one tile set, and a three-step blend old to new, on your own clay in your own firing. Ask how finely a new material is ground. If it is sold for food, the old leach test does not carry over."),
        ));
        text
    }
}

fn no_recipe(answer: &Answer, why: &str, style: Style) -> String {
    let first = format!(
        "No recipe for {} without {}.",
        answer.old.name,
        answer.out.join(" and ")
    );
    let mut text = style.bold(paragraph(&first, 0).trim_end());
    text.push_str("\n\n");
    text.push_str(&indented("Why: ", &format!("{}.", why.trim_end_matches('.'))));
    text.push_str(&indented(
        "Next: ",
        "widen what the script asks for (`--set`), name a newcomer with --with, or see `glost swap` by its usual script.",
    ));
    text
}

/// The same newcomers one for one, and the proposals after the first.
fn others(answer: &Answer) -> String {
    let mut text = String::new();
    // One that is far is no advice.
    let mut near = answer.one_for_one.iter();
    if let Some(plain) = near.find(|plain| plain.proposal.nearness() != Nearness::Far) {
        let told = format!(
            "with {}: {}; {} ({}).",
            plain.with,
            largest_move(answer, &plain.proposal),
            plain.proposal.nearness().word(),
            number::distance(plain.proposal.distance)
        );
        text.push_str(&indented("One for one instead: ", &told));
    }
    for (index, offer) in answer.proposals.iter().skip(1).enumerate() {
        let lead = if index == 0 { "Next: " } else { "      " };
        text.push_str(&indented(lead, &next(answer, offer)));
        if let Some(why) = &offer.why {
            text.push_str(&indented("      Why: ", &format!("{}.", why.trim_end_matches('.'))));
        }
    }
    text
}

/// Tin for zircon and the other way, by weight.
fn opacifiers(answer: &Answer) -> String {
    let mut text = String::new();
    for opacifier in &answer.stand_ins {
        let stand_in = &opacifier.stand_in;
        let (least, most) = stand_in.percent;
        let pink = if stand_in.chrome {
            ", and chrome is pink beside tin, green beside zircon"
        } else {
            ""
        };
        let (with, out) = (&stand_in.with.name, &stand_in.out.name);
        let told = format!(
            "{with} does by weight what no chemistry tells: {least:.1} to {most:.1} % on top for {out} (1 of tin for \
             1.5 to 2 of zircon, common practice). The white and the melt differ{pink}: a ladder of tiles first."
        );
        text.push_str(&indented("Stand-in: ", &told));
    }
    text
}

fn why_not_nearer(answer: &Answer) -> String {
    let Some(split) = &answer.split else {
        return String::new();
    };
    let own: Vec<String> = split
        .newcomers
        .iter()
        .map(|(name, ratio)| format!("{name} {}", ratio_text(*ratio)))
        .collect();
    let told = format!(
        "{} has K2O : Na2O {}, {}; no mix of these makes the old split.",
        answer.out.join(" and "),
        ratio_text(split.gone),
        own.join(", ")
    );
    indented("Why not nearer: ", &told)
}

fn headline(answer: &Answer, best: &Proposal) -> String {
    let names: Vec<&str> = best.newcomers.iter().map(|newcomer| newcomer.name.as_str()).collect();
    let distance = number::distance(best.distance);
    if names.is_empty() {
        let gone = answer.out.join(" and ");
        return match best.nearness() {
            Nearness::Far => format!(
                "Nothing that is allowed makes up for {gone}: without it the glaze moves far ({distance} tolerances)."
            ),
            word => format!(
                "Leave {gone} out and weigh the rest anew: {word} ({distance} tolerances). Test before you sell."
            ),
        };
    }
    let what = names.join(" and ");
    let come = if names.len() == 1 { "comes" } else { "come" };
    match best.nearness() {
        Nearness::Near => format!(
            "Use {}: near the old glaze ({distance} tolerances). Test before you sell.",
            what
        ),
        Nearness::Noticeable => {
            format!(
                "{} {come} nearest, with a noticeable change ({distance} tolerances). Test before you trust it.",
                capital(&what)
            )
        }
        _ => format!(
            "No good swap: even with {} the glaze moves far ({distance} tolerances). Take it as a new glaze.",
            what
        ),
    }
}

fn table(answer: &Answer, best: &Proposal) -> String {
    let batch = format!("{} g batch", number::grams(answer.dry.grams(), 1.0));
    let mut table = Table::new(&[Align::Left, Align::Right, Align::Right, Align::Right]);
    table.row(["".to_owned(), "old".to_owned(), "new".to_owned(), batch]);
    let mut rows = |old: &[Portion], new: &[Portion], weighed: &[WeighedLine], lead: &str| {
        let mut names: Vec<&str> = old.iter().map(|portion| portion.material.name.as_str()).collect();
        for portion in new.iter().filter(|portion| portion.percent > 0.0) {
            if !names.contains(&portion.material.name.as_str()) {
                let place = names
                    .iter()
                    .position(|name| answer.out.iter().any(|out| out == name))
                    .map_or(names.len(), |at| at + 1);
                names.insert(place, &portion.material.name);
            }
        }
        let share = |portions: &[Portion], name: &str| {
            let found = portions
                .iter()
                .find(|portion| portion.material.name == name && portion.percent > 0.0);
            found.map_or_else(|| "-".to_owned(), |portion| number::parts(portion.percent))
        };
        for name in names {
            let grams = weighed.iter().find(|line| line.material == name && line.is_wanted());
            let grams = grams.map_or_else(
                || "-".to_owned(),
                |line| format!("{} g", number::weighed(line, answer.step.grams())),
            );
            table.row([format!("{lead}{name}"), share(old, name), share(new, name), grams]);
        }
    };
    rows(&answer.old.base, &best.glaze.base, &best.weighed.base, "");
    rows(
        &answer.old.additions,
        &best.glaze.additions,
        &best.weighed.additions,
        "+ ",
    );
    table.text()
}

fn moved(answer: &Answer, proposal: &Proposal) -> Vec<String> {
    proposal
        .cannot_match
        .iter()
        .map(|oxide| step(answer, *oxide, proposal))
        .collect()
}

fn step(answer: &Answer, oxide: Oxide, proposal: &Proposal) -> String {
    let (old, new) = (answer.old_unity.get(oxide), proposal.unity.get(oxide));
    moved_words(oxide, old, new)
}

/// An oxide from one amount to another, in moles of the unity formula.
pub(super) fn moved_words(oxide: Oxide, old: f64, new: f64) -> String {
    let (mut before, mut after) = (number::unity_of(oxide, old), number::unity_of(oxide, new));
    if before == after {
        (before, after) = (format!("{old:.5}"), format!("{new:.5}"));
    }
    format!("{oxide} {before} -> {after}")
}

fn what_moves(answer: &Answer, proposal: &Proposal) -> String {
    let moved = moved(answer, proposal);
    if moved.is_empty() {
        if proposal.distance < 0.005 {
            return "nothing.".to_owned();
        }
        let largest = largest_move(answer, proposal);
        return format!("nothing beyond its tolerance (most: {largest}).");
    }
    let mut sentence = format!("{}. The rest holds.", moved.join(", "));
    if proposal
        .cannot_match
        .iter()
        .any(|oxide| matches!(oxide, Oxide::K2O | Oxide::Na2O | Oxide::Li2O | Oxide::SrO | Oxide::BaO))
    {
        sentence.push_str(" Where one flux stands in for another, colour, melt and expansion move all the same.");
    }
    sentence
}

/// The oxide that moves most for its tolerance.
fn largest_move(answer: &Answer, proposal: &Proposal) -> String {
    let most = proposal.most_off;
    most.map_or_else(|| "nothing".to_owned(), |oxide| step(answer, oxide, proposal))
}

fn next(answer: &Answer, offer: &Offer) -> String {
    let proposal = &offer.proposal;
    let names: Vec<&str> = proposal
        .newcomers
        .iter()
        .map(|newcomer| newcomer.name.as_str())
        .collect();
    let what = if names.is_empty() {
        "nothing new, other amounts".to_owned()
    } else {
        names.join(" and ")
    };
    let from = if answer.named || names.is_empty() {
        ""
    } else {
        " from your list"
    };
    let moved = moved(answer, proposal);
    let moved = if moved.is_empty() {
        largest_move(answer, proposal)
    } else {
        moved.join(", ")
    };
    format!(
        "{what}{from}, {moved}: {} ({}){}.",
        proposal.nearness().word(),
        number::distance(proposal.distance),
        super::looked::in_a_line(offer)
    )
}

/// The range of each weight, where the fired chemistry leaves it open.
pub(super) fn ranges_text(proposal: &Proposal) -> String {
    if proposal.ranges.is_empty() {
        return String::new();
    }
    let told: Vec<String> = proposal
        .ranges
        .iter()
        .map(|(name, low, high)| format!("{name} {} to {}", number::parts(*low), number::parts(*high)))
        .collect();
    indented(
        "Not unique: ",
        &format!("the same chemistry comes from {}.", told.join(", ")),
    )
}

fn ratio_text(ratio: f64) -> String {
    if ratio.is_finite() {
        format!("{ratio:.2}")
    } else {
        "without soda".to_owned()
    }
}

/// Half of the last decimal that an expansion is shown with.
const SHOWN_MOVE: f64 = 0.005;

/// The move of the expansion, and whether it says anything.
fn expansion_text(expansion: Option<&ExpansionMove>) -> String {
    let Some(ExpansionMove {
        before,
        after,
        plus_minus_90,
    }) = expansion
    else {
        return String::new();
    };
    let verdict = if (after - before).abs() < SHOWN_MOVE && *plus_minus_90 < SHOWN_MOVE {
        "unchanged".to_owned()
    } else if (after - before).abs() <= *plus_minus_90 {
        format!("smaller than its error ({plus_minus_90:.2}), so no direction is claimed")
    } else if after > before {
        format!("more than its error ({plus_minus_90:.2}): nearer to crazing")
    } else {
        format!("more than its error ({plus_minus_90:.2}): nearer to shivering")
    };
    indented(
        "Expansion: ",
        &format!("{before:.2} -> {after:.2} x 1e-6/K by the default model, {verdict}."),
    )
}

/// Iron and titania that may tint a pale glaze.
pub(crate) fn tint_text(proposal: &Proposal) -> String {
    if proposal.tints.is_empty() {
        return String::new();
    }
    let name = |oxide: Oxide| match oxide {
        Oxide::TiO2 => "titania",
        _ => "iron",
    };
    let moved: Vec<String> = proposal
        .tints
        .iter()
        .map(|(oxide, change)| format!("{} {change:+.2} %", name(*oxide)))
        .collect();
    let rises = proposal.tints.iter().any(|tint| tint.1 > 0.0);
    let how = if rises {
        "a white may look warmer, a pale colour greyer"
    } else {
        "a white may look cooler, a pale colour cleaner"
    };
    indented("Colour: ", &format!("{} of the fired glaze: {how}.", moved.join(", ")))
}

/// Shifts of the melt below this are not said, C.
const MELT_SAID_FROM_CELSIUS: f64 = 10.0;

/// How the melt moves, where it moves enough to be felt.
pub(crate) fn melt_text(proposal: &Proposal) -> String {
    let Some(melt) = proposal.melt.as_ref() else {
        return String::new();
    };
    if melt.celsius.abs() <= MELT_SAID_FROM_CELSIUS {
        return String::new();
    }
    let (when, how) = if melt.celsius < 0.0 {
        ("sooner", "softer, it runs sooner")
    } else {
        ("later", "stiffer, it wants more heat")
    };
    let left_out: Vec<&str> = melt.left_out.iter().map(|oxide| oxide.formula()).collect();
    let without = if left_out.is_empty() {
        String::new()
    } else {
        format!(" ({} left out on both sides)", left_out.join(", "))
    };
    indented(
        "Melt: ",
        &format!(
            "about {:.0} C {when}{without}, by the melt curve (10^3 Pa s): {how}.",
            melt.celsius.abs()
        ),
    )
}

/// What the scales can't show of a batch of so much base, and what to do then.
pub(super) fn too_little(weighed: &Weighed, dry: Grams, step: f64) -> String {
    let lines = weighed.base.iter().chain(&weighed.additions);
    let off: Vec<&WeighedLine> = lines.filter(|line| line.is_off()).collect();
    let Some(least) = off.iter().map(|line| line.exact_grams).min_by(f64::total_cmp) else {
        return String::new();
    };
    let each: Vec<String> = off
        .iter()
        .map(|line| format!("{} {} g", line.material, number::weighed(line, step)))
        .collect();
    let enough = dry.grams() * 0.5 * step / MOST_WEIGHING_ERROR / least;
    indented(
        "Too little to weigh: ",
        &format!(
            "{} on {} g scales (more than 5 % off). Weigh {} g of base or more, or take it from a pre-mix: `glost weigh` \
             works one out.",
            each.join(", "),
            number::plain(step),
            number::plain((enough / 10.0).ceil() * 10.0)
        ),
    )
}

/// Clay, soluble matter and loss, where they change enough to be felt.
pub(super) fn beside_the_chemistry(proposal: &Proposal) -> String {
    let mut said = Vec::new();
    if proposal.clay_change_percent.abs() >= 2.0 {
        let sense = if proposal.clay_change_percent < 0.0 {
            "settles faster, dusts more"
        } else {
            "shrinks more, may crawl"
        };
        said.push(format!(
            "raw clay {:+.0} points ({sense})",
            proposal.clay_change_percent
        ));
    }
    if proposal.soluble_change_percent.abs() >= 0.5 {
        said.push(format!(
            "soluble material {:+.1} points (the slurry will behave differently)",
            proposal.soluble_change_percent
        ));
    }
    if proposal.loss_change_percent.abs() >= 2.0 {
        said.push(format!(
            "loss on ignition {:+.1} points (bubbles, shrinkage)",
            proposal.loss_change_percent
        ));
    }
    if said.is_empty() {
        String::new()
    } else {
        indented("In the bucket: ", &format!("{}.", said.join("; ")))
    }
}
