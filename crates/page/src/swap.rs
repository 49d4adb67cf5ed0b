//! `glost swap`.

use glost_chemistry::distance::{NOTICEABLE, in_words};
use glost_chemistry::glaze::{Glaze, Portion};
use glost_chemistry::oxides::Oxide;
use glost_core::recipes::swap::{AlkaliSplit, ExpansionMove, Proposal};
use serde_json::{Value, json};

use crate::amounts;
use crate::layout::{Align, Style, Table, assumed, indented, paragraph};
use crate::number;

/// Proposals for a glaze whose material is gone.
#[derive(Debug, Clone)]
pub struct SwapPage<'a> {
    /// The old glaze.
    pub old: &'a Glaze,
    /// Its unity formula.
    pub old_unity: &'a glost_chemistry::oxides::OxideMoles,
    /// Names of what is out.
    pub out: Vec<String>,
    /// Proposals, best first.
    pub proposals: Vec<Proposal>,
    /// The same newcomers one for one.
    pub one_for_one: Vec<(String, Proposal)>,
    /// Grams of base in the weighed column.
    pub dry_grams: f64,
    /// The step of the scales in grams.
    pub step_grams: f64,
    /// Whether the newcomers were named by the caller.
    pub named: bool,
    /// The split of potash and soda, where none of the newcomers can make it.
    pub split: Option<AlkaliSplit>,
}

/// Where no recipe meets what the script asks for, in text.
pub fn no_recipe_text(glaze: &str, out: &[&str], why: &str, style: Style) -> String {
    let first = format!("No recipe for {glaze} without {}.", out.join(" and "));
    let mut text = style.bold(paragraph(&first, 0).trim_end());
    text.push_str("\n\n");
    text.push_str(&indented("Why: ", &format!("{why}.")));
    text.push_str(&indented(
        "Next: ",
        "widen what the script asks for (`--set`), name a newcomer with --with, or see `glost swap` by its usual script.",
    ));
    text
}

/// The same as JSON.
pub fn no_recipe_json(out: &[&str], why: &str) -> Value {
    json!({"out": out, "proposals": [], "one_for_one": [], "why": why})
}

impl SwapPage<'_> {
    /// Whether the best proposal is too far to be called an answer.
    pub fn says_no(&self) -> bool {
        self.proposals.first().is_none_or(|best| best.distance > NOTICEABLE)
    }

    /// The contract's JSON.
    pub fn json(&self) -> Value {
        json!({
            "out": self.out,
            "proposals": self.proposals.iter().map(|proposal| proposal_json(proposal, self.dry_grams)).collect::<Vec<_>>(),
            "one_for_one": self.one_for_one.iter().map(|(with, proposal)| json!({
                "with": with,
                "parts": amounts::portions(&proposal.glaze.base),
                "additions": amounts::portions(&proposal.glaze.additions),
                "unity": amounts::moles(&proposal.unity),
                "difference": amounts::pairs(&proposal.difference),
                "distance": proposal.distance,
            })).collect::<Vec<_>>(),
        })
    }

    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
        let Some(best) = self.proposals.first() else {
            return "No recipe was found.\n".to_owned();
        };
        let mut text = style.bold(paragraph(&self.headline(best), 0).trim_end());
        text.push_str("\n\n");
        text.push_str(&self.table(best));
        text.push('\n');
        text.push_str(&indented("What moves: ", &self.what_moves(best)));
        text.push_str(&self.why_not_nearer());
        text.push_str(&expansion_text(best.expansion.as_ref()));
        text.push_str(&ranges_text(best));
        text.push_str(&beside_the_chemistry(best));
        for (with, proposal) in self.one_for_one.iter().take(1) {
            let told = format!(
                "with {with}: {}; {} ({}).",
                self.largest_move(proposal),
                in_words(proposal.distance),
                number::distance(proposal.distance)
            );
            text.push_str(&indented("One for one instead: ", &told));
        }
        for (index, next) in self.proposals.iter().skip(1).enumerate() {
            let lead = if index == 0 { "Next: " } else { "      " };
            text.push_str(&indented(lead, &self.next(next)));
        }
        text.push_str(&assumed(&assumptions(best)));
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

    fn why_not_nearer(&self) -> String {
        let Some(split) = &self.split else { return String::new() };
        let own: Vec<String> = split
            .newcomers
            .iter()
            .map(|(name, ratio)| format!("{name} {}", ratio_text(*ratio)))
            .collect();
        let told = format!(
            "{} has K2O : Na2O {}, {}; no mix of these makes the old split.",
            self.out.join(" and "),
            ratio_text(split.gone),
            own.join(", ")
        );
        indented("Why not nearer: ", &told)
    }

    fn headline(&self, best: &Proposal) -> String {
        let names: Vec<&str> = best.newcomers.iter().map(|newcomer| newcomer.name.as_str()).collect();
        let distance = number::distance(best.distance);
        if names.is_empty() {
            let gone = self.out.join(" and ");
            return match in_words(best.distance) {
                "far" => format!(
                    "Nothing that is allowed makes up for {gone}: without it the glaze moves far ({distance} tolerances)."
                ),
                word => format!(
                    "Leave {gone} out and weigh the rest anew: {word} ({distance} tolerances). Test before you sell."
                ),
            };
        }
        let what = names.join(" and ");
        let come = if names.len() == 1 { "comes" } else { "come" };
        match in_words(best.distance) {
            "near" => format!(
                "Use {}: near the old glaze ({distance} tolerances). Test before you sell.",
                what
            ),
            "noticeable" => {
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

    fn table(&self, best: &Proposal) -> String {
        let batch = format!("{} g batch", number::grams(self.dry_grams, 1.0));
        let mut table = Table::new(&[Align::Left, Align::Right, Align::Right, Align::Right]);
        table.row(["".to_owned(), "old".to_owned(), "new".to_owned(), batch]);
        let mut rows =
            |old: &[Portion], new: &[Portion], weighed: &[glost_core::workshop::scales::WeighedLine], lead: &str| {
                let mut names: Vec<&str> = old.iter().map(|portion| portion.material.name.as_str()).collect();
                for portion in new.iter().filter(|portion| portion.percent > 0.0) {
                    if !names.contains(&portion.material.name.as_str()) {
                        let place = names
                            .iter()
                            .position(|name| self.out.iter().any(|out| out == name))
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
                    let grams = weighed.iter().find(|line| line.material == name && line.grams > 0.0);
                    let grams = grams.map_or_else(
                        || "-".to_owned(),
                        |line| format!("{} g", number::grams(line.grams, self.step_grams)),
                    );
                    table.row([format!("{lead}{name}"), share(old, name), share(new, name), grams]);
                }
            };
        rows(&self.old.base, &best.glaze.base, &best.weighed.base, "");
        rows(
            &self.old.additions,
            &best.glaze.additions,
            &best.weighed.additions,
            "+ ",
        );
        table.text()
    }

    fn moved(&self, proposal: &Proposal) -> Vec<String> {
        proposal
            .cannot_match
            .iter()
            .map(|oxide| self.step(*oxide, proposal))
            .collect()
    }

    fn step(&self, oxide: Oxide, proposal: &Proposal) -> String {
        let (old, new) = (self.old_unity.get(oxide), proposal.unity.get(oxide));
        let (mut before, mut after) = (number::unity(old), number::unity(new));
        if before == after {
            (before, after) = (format!("{old:.4}"), format!("{new:.4}"));
        }
        format!("{oxide} {before} -> {after}")
    }

    fn what_moves(&self, proposal: &Proposal) -> String {
        let moved = self.moved(proposal);
        if moved.is_empty() {
            if proposal.distance < 0.005 {
                return "nothing.".to_owned();
            }
            let largest = self.largest_move(proposal);
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
    fn largest_move(&self, proposal: &Proposal) -> String {
        proposal
            .most_off
            .map_or_else(|| "nothing".to_owned(), |oxide| self.step(oxide, proposal))
    }

    fn next(&self, proposal: &Proposal) -> String {
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
        let from = if self.named || names.is_empty() {
            ""
        } else {
            " from your list"
        };
        let moved = self.moved(proposal);
        let moved = if moved.is_empty() {
            self.largest_move(proposal)
        } else {
            moved.join(", ")
        };
        format!(
            "{what}{from}, {moved}: {} ({}).",
            in_words(proposal.distance),
            number::distance(proposal.distance)
        )
    }
}

fn capital(text: &str) -> String {
    let mut signs = text.chars();
    signs
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(signs).collect())
}

fn ranges(proposal: &Proposal) -> Value {
    let ranges = proposal
        .ranges
        .iter()
        .map(|(name, low, high)| (name.clone(), json!([low, high])));
    Value::Object(ranges.collect())
}

/// The range of each weight, where the fired chemistry leaves it open.
pub(crate) fn ranges_text(proposal: &Proposal) -> String {
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

/// A proposal as the contract's JSON.
pub(crate) fn proposal_json(proposal: &Proposal, dry_grams: f64) -> Value {
    json!({
        "parts": amounts::portions(&proposal.glaze.base),
        "weighed": {
            "dry": dry_grams,
            "parts": amounts::weights(&proposal.weighed.base),
            "additions": amounts::weights(&proposal.weighed.additions),
            "unity": proposal.weighed.unity.as_ref().map(amounts::moles),
            "distance": proposal.weighed.distance,
        },
        "additions": amounts::portions(&proposal.glaze.additions),
        "unity": amounts::moles(&proposal.unity),
        "difference": amounts::pairs(&proposal.difference),
        "distance": proposal.distance,
        "reads": in_words(proposal.distance),
        "expansion": proposal.expansion.map(|moved| json!({
            "before": moved.before, "after": moved.after, "plus_minus": moved.plus_minus_90, "unit": "1e-6/K",
        })),
        "cannot_match": proposal.cannot_match.iter().map(|oxide| oxide.formula()).collect::<Vec<_>>(),
        "ranges": ranges(proposal),
        "newcomers": proposal.newcomers.iter().map(|newcomer| newcomer.name.clone()).collect::<Vec<_>>(),
        "clay_change": proposal.clay_change_percent,
        "soluble_change": proposal.soluble_change_percent,
        "loss_on_ignition_change": proposal.loss_change_percent,
        "assumptions": assumptions(proposal),
    })
}

fn assumptions(proposal: &Proposal) -> Vec<String> {
    let mut said: Vec<String> = proposal
        .newcomers
        .iter()
        .map(|newcomer| {
            let lot = newcomer
                .lot
                .as_ref()
                .map(|lot| format!(", lot {lot}"))
                .unwrap_or_default();
            format!("{} as on its sheet ({}{lot})", newcomer.name, newcomer.provenance)
        })
        .collect();
    said.extend(proposal.analysis.assumptions.iter().cloned());
    said
}

fn ratio_text(ratio: f64) -> String {
    if ratio.is_finite() {
        format!("{ratio:.2}")
    } else {
        "without soda".to_owned()
    }
}

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
    let verdict = if (after - before).abs() <= *plus_minus_90 {
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

/// Clay, soluble matter and loss, where they change enough to be felt.
pub(crate) fn beside_the_chemistry(proposal: &Proposal) -> String {
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
