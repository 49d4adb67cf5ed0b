//! The ways to make a glaze fit a clay: beside the least change of all, one for
//! each kind of change, with what it does besides and a ladder to test it.

use glost_chemistry::glass::MeltCurve;
use glost_chemistry::glaze::{Glaze, silica_to_alumina};
use glost_chemistry::oxides::Oxide;
use glost_core::evidence::window::FitAim;
use glost_core::recipes::adjust::{MOST_RISE_PERCENT, Route, Way};
use glost_core::recipes::swap::Proposal;
use glost_core::tiles::blend::{blended, line};
use serde_json::{Value, json};

use crate::answers::proposal_json;
use crate::layout::{Align, Table, indented};
use crate::number;

/// Tiles of a ladder from the old recipe to the new.
const LADDER_TILES: usize = 4;

/// A recipe this little lower than a glaze that was looked at is no step down, 1e-6/K.
const TRIED_WITHIN: f64 = 0.1;

/// What a clay's window asked, and the ways to meet it.
pub struct FitWays<'a> {
    /// The clay's window as an aim.
    pub aim: &'a FitAim,
    /// The recipe before.
    pub old: &'a Glaze,
    /// The old glaze, analysed.
    pub before: Proposal,
    /// The ways, least change first, each worked out.
    pub ways: Vec<(Way, Proposal)>,
    /// Ways that move too much to be a change of this recipe.
    pub too_far: Vec<Way>,
}

fn expansion(proposal: &Proposal) -> Option<f64> {
    proposal.expansion.as_ref().map(|expansion| expansion.after)
}

/// The silica of a recipe as a material, in parts.
fn silica(glaze: &Glaze) -> String {
    let own = glaze
        .base
        .iter()
        .filter(|portion| Route::of(&portion.material) == Some(Route::Silica));
    number::parts(own.fold(0.0, |sum, portion| sum + portion.percent))
}

impl FitWays<'_> {
    /// Extra keys of the answer.
    pub fn json(&self, found: Option<&Proposal>, dry_grams: f64) -> (Value, Value) {
        let now = &self.aim.now;
        let after = found.and_then(expansion).map(|expansion| self.aim.chances(expansion));
        let fit = json!({
            "clay": now.clay,
            "chance": self.aim.level,
            "expansion_most": self.aim.most,
            "expansion_least": self.aim.least,
            "p_craze_before": now.craze.chance,
            "p_shiver_before": now.shiver.chance,
            "p_craze": after.map(|chances| chances.0),
            "p_shiver": after.map(|chances| chances.1),
            "assumptions": self.said(),
        });
        let ways = self.ways.iter().map(|(way, proposal)| {
            let chances = expansion(proposal).map(|expansion| self.aim.chances(expansion));
            json!({
                "way": way.route.name(),
                "material": way.material.name,
                "objective": way.objective,
                "expansion": expansion(proposal),
                "p_craze": chances.map(|chances| chances.0),
                "p_shiver": chances.map(|chances| chances.1),
                "proposal": proposal_json(proposal, dry_grams),
                "side_effects": self.side_effects(way, proposal),
                "ladder": self.ladder(&way.glaze),
            })
        });
        (fit, Value::Array(ways.collect()))
    }

    fn said(&self) -> Vec<String> {
        let mut said = self.aim.said.clone();
        for sentence in &self.aim.now.assumptions {
            if !said.contains(sentence) {
                said.push(sentence.clone());
            }
        }
        said
    }

    /// Tiles from the old recipe to the new.
    fn ladder(&self, new: &Glaze) -> Vec<Value> {
        let ends = [self.old.clone(), new.clone()];
        let tiles = line(LADDER_TILES).unwrap_or_default();
        tiles
            .iter()
            .map(|shares| {
                let tile = blended("", &ends, shares);
                let parts: serde_json::Map<String, Value> = tile
                    .base
                    .iter()
                    .filter(|portion| portion.percent > 1e-9)
                    .map(|portion| (portion.material.name.clone(), json!(portion.percent)))
                    .collect();
                json!({ "shares": shares, "parts": parts })
            })
            .collect()
    }

    /// What moves besides the expansion.
    fn side_effects(&self, way: &Way, proposal: &Proposal) -> Vec<String> {
        let mut effects = vec![way.route.side_effect().to_owned()];
        let ratio = |proposal: &Proposal| silica_to_alumina(&proposal.unity);
        if let (Some(before), Some(after)) = (ratio(&self.before), ratio(proposal))
            && (after - before).abs() >= 0.2
        {
            effects.push(format!("SiO2:Al2O3 {before:.1} -> {after:.1}"));
        }
        let melt = MeltCurve::shift(&self.before.analysis.moles, &proposal.analysis.moles);
        if let Some(shift) = melt
            && shift.celsius.abs() >= 5.0
        {
            let way = if shift.celsius > 0.0 { "later" } else { "sooner" };
            effects.push(format!("melts about {:.0} C {way}", shift.celsius.abs()));
        }
        let boron = |proposal: &Proposal| proposal.unity.get(Oxide::B2O3);
        if (boron(proposal) - boron(&self.before)).abs() >= 0.02 {
            effects.push(format!(
                "boron {} -> {}",
                number::unity(boron(&self.before)),
                number::unity(boron(proposal))
            ));
        }
        if proposal.soluble_change_percent > 0.05 {
            effects.push(format!("{:+.1} % that dissolves", proposal.soluble_change_percent));
        }
        effects
    }

    /// The least expansion of the glazes that were looked at on this clay, 1e-6/K.
    fn lowest_tried(&self) -> Option<f64> {
        let witnesses = self.aim.now.evidence.witnesses.iter();
        witnesses
            .filter_map(|witness| witness.believed.expansion())
            .min_by(f64::total_cmp)
    }

    /// Below the answer.
    pub fn text(&self, found: Option<&Proposal>) -> String {
        let now = &self.aim.now;
        let mut text = String::new();
        if let Some(after) = found.and_then(expansion) {
            let (craze, shiver) = self.aim.chances(after);
            let told = format!(
                "now {} that a piece crazes within three years on {}; so changed {}. Shivering: {}. The aim: at most {:.0} %.",
                number::chance(now.craze.chance),
                now.clay,
                number::chance(craze),
                number::chance(shiver),
                100.0 * self.aim.level
            );
            text.push_str(&indented("Fit: ", &told));
            if let Some(lowest) = self.lowest_tried()
                && after < lowest - TRIED_WITHIN
            {
                text.push_str(&indented(
                    "Untried: ",
                    &format!(
                        "the lowest glaze that was looked at on {} comes to {lowest:.1}: go below it in steps, and look \
                         at rims and edges for shivering (slivers are sharp).",
                        now.clay
                    ),
                ));
            }
        }
        if self.ways.is_empty() {
            text.push_str(&indented(
                "Ways: ",
                "none by one kind of change from what is at hand; name a material with --with to try it.",
            ));
        } else {
            text.push_str("\nDistinct ways: one material rises, silica with it, all else gives way.\n");
            text.push_str(&self.table());
            for (way, proposal) in &self.ways {
                let lead = format!("{}: ", way.route.name());
                text.push_str(&indented(
                    &lead,
                    &format!("{}.", self.side_effects(way, proposal).join("; ")),
                ));
            }
            text.push_str(&indented(
                "Ladder: ",
                &format!(
                    "test the way you choose with {LADDER_TILES} tiles from old to new (--format json lists their parts), \
                     5 pieces each, looked at after a day, 30 and 180 days: `glost note` keeps them, `glost fit` learns from them."
                ),
            ));
        }
        if !self.too_far.is_empty() {
            let left_out: Vec<String> = self
                .too_far
                .iter()
                .map(|way| format!("{} ({:+.0} {})", way.route.name(), way.rise_percent, way.material.name))
                .collect();
            let told = format!(
                "{}: more than {MOST_RISE_PERCENT:.0} parts is another glaze.",
                left_out.join(", ")
            );
            text.push_str(&indented("Left out: ", &told));
        }
        for sentence in &self.aim.said {
            text.push_str(&indented("Assumed: ", &format!("{sentence}.")));
        }
        text
    }

    fn table(&self) -> String {
        let mut table = Table::new(&[
            Align::Left,
            Align::Left,
            Align::Right,
            Align::Right,
            Align::Right,
            Align::Right,
        ]);
        table.row(["way", "what rises", "from", "to", "silica to", "crazes"]);
        for (way, proposal) in &self.ways {
            let same = self
                .old
                .base
                .iter()
                .filter(|portion| portion.material.name == way.material.name);
            let before = same.fold(0.0, |sum, portion| sum + portion.percent);
            let craze = expansion(proposal).map_or_else(
                || "-".to_owned(),
                |expansion| format!("{:.0} %", 100.0 * self.aim.chances(expansion).0),
            );
            table.row([
                way.route.name().to_owned(),
                way.material.name.clone(),
                number::parts(before),
                number::parts(before + way.rise_percent),
                silica(&way.glaze),
                craze,
            ]);
        }
        table.text()
    }
}
