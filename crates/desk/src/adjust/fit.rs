//! `fit: CLAY` as an aim: what a clay's own pieces ask, and the distinct ways to
//! meet it, each with what it does besides and a ladder to test it.

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glass::MeltCurve;
use glost_chemistry::glaze::{Glaze, silica_to_alumina};
use glost_chemistry::oxides::Oxide;
use glost_core::evidence::ware::Clay;
use glost_core::evidence::window::{Asking, FitAim, NoFitAim, fit_aim};
use glost_core::recipes::adjust::{AdjustQuestion, Asked, MOST_RISE_PERCENT, Route, Way, ways};
use glost_core::recipes::aims::{Phrase, parse_phrase};
use glost_core::recipes::swap::{Proposal, allowed};
use glost_core::tiles::blend::{blended, line};
use glost_studio::{FoundGlaze, Origin};
use serde::{Serialize, Serializer};

use crate::pieces::Pieces;
use crate::wire::{Amounts, Offer};
use crate::{Desk, Failure, Said};

use super::{Question, Recipe, Worth, why_not};

/// The chance of crazing that is aimed at where nothing is said, per cent: the
/// edge of the zone *held*.
const USUAL_CHANCE_PERCENT: f64 = 10.0;
/// Tiles of a ladder from the old recipe to the new.
pub const LADDER_TILES: usize = 4;
/// A recipe this little lower than a glaze that was looked at is no step down, 1e-6/K.
const TRIED_WITHIN: f64 = 0.1;
/// Moves besides the expansion that are worth a word (ours): of SiO2:Al2O3, of the
/// melt in deg C, of silica and boron in moles of the unity formula, of soluble per cent.
const RATIO_MOVES: f64 = 0.2;
const MELT_MOVES_CELSIUS: f64 = 5.0;
const SILICA_MOVES: f64 = 0.1;
const BORON_MOVES: f64 = 0.02;
const SOLUBLE_MOVES_PERCENT: f64 = 0.05;

/// What a call asks of a clay's window.
pub(super) struct FitAsked {
    aim: FitAim,
}

/// The one `fit:` phrase of the call: the clay and the chance, 0 to 1.
pub(super) fn phrase(question: &Question, found: &FoundGlaze) -> Result<Option<(String, f64)>, Diagnostic> {
    let mut asked = None;
    for text in &question.aims {
        if !text.trim_start().starts_with("fit:") {
            continue;
        }
        if asked.is_some() {
            return Err(
                Diagnostic::error("bad-aim", "a glaze can be fitted to one clay at a time")
                    .help("ask once for each clay, and take the recipe that suits both"),
            );
        }
        if let Phrase::Fit { clay, chance_percent } = parse_phrase(text, &found.library)? {
            asked = Some((clay, chance_percent.unwrap_or(USUAL_CHANCE_PERCENT) / 100.0));
        }
    }
    Ok(asked)
}

/// The notebook, and a clay that it may know.
pub(super) fn pieces_on(clay: &str, desk: &Desk, found: &FoundGlaze) -> Result<(Pieces, Clay), Failure> {
    let pieces = Pieces::open(desk)?;
    let clay = pieces.clay(Some(clay), desk, &found.glaze)?;
    Ok((pieces, clay))
}

impl FitAsked {
    /// The window that the call asks for, learnt, and the notebook that it was learnt from;
    /// `None` where it asks for none.
    pub(super) fn of(
        question: &Question,
        desk: &Desk,
        found: &FoundGlaze,
    ) -> Result<Option<(FitAsked, Pieces)>, Failure> {
        let Some((clay, chance)) = phrase(question, found)? else {
            return Ok(None);
        };
        let (pieces, clay) = pieces_on(&clay, desk, found)?;
        let book = pieces.notebook(&found.settings);
        let firing = pieces.firing(desk, question.firing.as_deref())?;
        let asking = Asking {
            firing: firing.as_ref(),
            called: question.firing.as_deref(),
            usage: None,
        };
        match fit_aim(&book, &found.glaze, &clay, &asking, chance, Some(pieces.today)) {
            Ok(aim) => Ok(Some((FitAsked { aim }, pieces))),
            Err(NoFitAim::NoChemistry) => Err(Diagnostic::error(
                "no-chemistry",
                format!(
                    "the expansion of {} can't be computed: it holds nothing that the model knows",
                    found.glaze.name
                ),
            )
            .help("`glost fit` answers from its pieces alone")
            .into()),
            Err(NoFitAim::NoRoom) => Err(Diagnostic::error(
                "no-room",
                format!(
                    "what is known of {} leaves no room between crazing and shivering",
                    clay.name
                ),
            )
            .help("look at more pieces on it (`glost due`), or aim at an expansion: \"expansion <= 6.2\"")
            .into()),
        }
    }

    /// As an aim.
    pub(super) fn asked(&self, phrase: &str) -> Asked {
        Asked::Fit {
            phrase: phrase.to_owned(),
            low: self.aim.least,
            high: Some(self.aim.most),
        }
    }

    /// The distinct ways to meet it, each worked out, beside the recipe that was found.
    pub(super) fn ways(
        self,
        question: &AdjustQuestion<'_>,
        found: &FoundGlaze,
        worth: &Worth<'_>,
        recipe: Option<&Recipe>,
    ) -> Result<FitWays, Failure> {
        let newcomers = if question.with.is_empty() {
            allowed(&found.glaze, &[], &found.library, found.origin == Origin::Shipped)
        } else {
            Vec::new()
        };
        let all: Vec<Way> = ways(question, &newcomers).map_err(|bad| why_not(found, bad))?;
        let (near, too_far): (Vec<Way>, Vec<Way>) =
            all.into_iter().partition(|way| way.rise_percent <= MOST_RISE_PERCENT);
        let before = worth.proposal(&found.glaze)?;
        let chances = |proposal: &Proposal| Chances::of(&self.aim, proposal);
        let after = recipe.and_then(|recipe| chances(&recipe.offer.proposal));
        let lowest = lowest_tried(&self.aim);
        Ok(FitWays {
            untried_below: lowest.filter(|lowest| after.is_some_and(|after| after.expansion < lowest - TRIED_WITHIN)),
            after,
            ways: near
                .into_iter()
                .map(|way| {
                    let offer = worth.offer(&way.glaze)?;
                    Ok(WorkedWay {
                        chances: chances(&offer.proposal),
                        side_effects: side_effects(way.route, &before, &offer.proposal),
                        ladder: ladder(&found.glaze, &way.glaze),
                        before_parts: share_of(&found.glaze, &way.material.name),
                        silica_parts: silica(&way.glaze),
                        offer,
                        way,
                    })
                })
                .collect::<Result<_, Failure>>()?,
            too_far,
            aim: self.aim,
        })
    }
}

/// The expansion of a recipe, 1e-6/K, and the chances, 0 to 1, of a piece of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chances {
    /// The expansion.
    pub expansion: f64,
    /// That it crazes.
    pub craze: f64,
    /// That it shivers.
    pub shiver: f64,
}

impl Chances {
    fn of(aim: &FitAim, proposal: &Proposal) -> Option<Chances> {
        let expansion = proposal.expansion.as_ref()?.after;
        let (craze, shiver) = aim.chances(expansion);
        Some(Chances {
            expansion,
            craze,
            shiver,
        })
    }
}

/// What a clay's window asked, and the ways to meet it.
#[derive(Debug, Clone)]
pub struct FitWays {
    /// The clay's window as an aim.
    pub aim: FitAim,
    /// What the recipe that was found, or the nearest, comes to.
    pub after: Option<Chances>,
    /// The least expansion that was looked at on this clay, 1e-6/K, where that
    /// recipe goes below it.
    pub untried_below: Option<f64>,
    /// The ways, least change first, each worked out.
    pub ways: Vec<WorkedWay>,
    /// Ways that move too much to be a change of this recipe.
    pub too_far: Vec<Way>,
}

/// A way with its recipe, worked out.
#[derive(Debug, Clone)]
pub struct WorkedWay {
    /// The way.
    pub way: Way,
    /// Its recipe.
    pub offer: Offer,
    /// What it comes to.
    pub chances: Option<Chances>,
    /// What moves besides the expansion.
    pub side_effects: Vec<SideEffect>,
    /// Tiles from the old recipe to the new.
    pub ladder: Vec<LadderTile>,
    /// What rises stood at so many parts of the base.
    pub before_parts: f64,
    /// The silica of the new recipe as a material, in parts.
    pub silica_parts: f64,
}

/// What a way moves besides the expansion.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum SideEffect {
    /// What such a change is known to do.
    OfRoute(#[serde(serialize_with = "name_of")] Route),
    /// SiO2:Al2O3, before and after.
    SilicaToAlumina(f64, f64),
    /// SiO2 in the unity formula, before and after.
    Silica(f64, f64),
    /// It melts so many deg C later (sooner: below zero).
    MeltsLater(f64),
    /// Boron in the unity formula, before and after.
    Boron(f64, f64),
    /// So many per cent more that dissolves.
    Dissolves(f64),
}

fn name_of<S: Serializer>(route: &Route, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_str(route.name())
}

/// A tile between the old recipe and the new.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
pub struct LadderTile {
    /// Shares of the old and the new, summing to 1.
    pub shares: Vec<f64>,
    /// Parts of its base.
    pub parts: Amounts,
}

/// The answer's key `fit`.
#[derive(Serialize, schemars::JsonSchema)]
pub(super) struct FitJson<'a> {
    clay: &'a str,
    chance: f64,
    expansion_most: f64,
    expansion_least: Option<f64>,
    p_craze_before: f64,
    p_shiver_before: f64,
    p_craze: Option<f64>,
    p_shiver: Option<f64>,
    assumptions: Vec<Said>,
}

impl FitWays {
    /// `found`: whether a recipe meets every aim.
    pub(super) fn json(&self, found: bool) -> FitJson<'_> {
        let now = &self.aim.now;
        let after = self.after.filter(|_| found);
        FitJson {
            clay: &now.clay,
            chance: self.aim.level,
            expansion_most: self.aim.most,
            expansion_least: self.aim.least,
            p_craze_before: now.craze.chance,
            p_shiver_before: now.shiver.chance,
            p_craze: after.map(|after| after.craze),
            p_shiver: after.map(|after| after.shiver),
            assumptions: self.said(),
        }
    }

    fn said(&self) -> Vec<Said> {
        let mut said: Vec<Said> = self.aim.said.iter().map(Said::from).collect();
        for one in self.aim.now.assumptions.iter().map(Said::from) {
            if !said.contains(&one) {
                said.push(one);
            }
        }
        said
    }
}

#[derive(Serialize, schemars::JsonSchema)]
struct WayJson<'a> {
    way: &'a str,
    material: &'a str,
    objective: f64,
    expansion: Option<f64>,
    p_craze: Option<f64>,
    p_shiver: Option<f64>,
    proposal: &'a Offer,
    side_effects: Vec<Said>,
    ladder: &'a [LadderTile],
}

impl Serialize for WorkedWay {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        WayJson {
            way: self.way.route.name(),
            material: &self.way.material.name,
            objective: self.way.objective,
            expansion: self.chances.map(|chances| chances.expansion),
            p_craze: self.chances.map(|chances| chances.craze),
            p_shiver: self.chances.map(|chances| chances.shiver),
            proposal: &self.offer,
            side_effects: self.side_effects.iter().cloned().map(Said::SideEffect).collect(),
            ladder: &self.ladder,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(WorkedWay: WayJson<'_>);

/// The least expansion of the glazes that were looked at on this clay, 1e-6/K.
fn lowest_tried(aim: &FitAim) -> Option<f64> {
    let witnesses = aim.now.evidence.witnesses.iter();
    witnesses
        .filter_map(|witness| witness.believed.expansion())
        .min_by(f64::total_cmp)
}

/// Parts of the base that are this material.
fn share_of(glaze: &Glaze, name: &str) -> f64 {
    let same = glaze.base.iter().filter(|portion| portion.material.name == *name);
    same.fold(0.0, |sum, portion| sum + portion.percent)
}

/// The silica of a recipe as a material, in parts.
fn silica(glaze: &Glaze) -> f64 {
    let own = glaze
        .base
        .iter()
        .filter(|portion| Route::of(&portion.material) == Some(Route::Silica));
    own.fold(0.0, |sum, portion| sum + portion.percent)
}

/// Tiles from the old recipe to the new.
fn ladder(old: &Glaze, new: &Glaze) -> Vec<LadderTile> {
    let ends = [old.clone(), new.clone()];
    // A line of fewer than two tiles would have none.
    let tiles = line(LADDER_TILES).into_iter().flatten();
    tiles
        .map(|shares| {
            let tile = blended("", &ends, &shares);
            let there = tile.base.iter().filter(|portion| portion.percent > 1e-9);
            let parts = there.map(|portion| (portion.material.name.clone(), portion.percent));
            LadderTile {
                parts: Amounts(parts.collect()),
                shares,
            }
        })
        .collect()
}

/// What moves besides the expansion.
fn side_effects(route: Route, old: &Proposal, new: &Proposal) -> Vec<SideEffect> {
    let mut effects = vec![SideEffect::OfRoute(route)];
    let ratio = |proposal: &Proposal| silica_to_alumina(&proposal.unity);
    if let (Some(before), Some(after)) = (ratio(old), ratio(new))
        && (after - before).abs() >= RATIO_MOVES
    {
        effects.push(SideEffect::SilicaToAlumina(before, after));
    }
    let silica = |proposal: &Proposal| proposal.unity.get(Oxide::SiO2);
    if (silica(new) - silica(old)).abs() >= SILICA_MOVES {
        effects.push(SideEffect::Silica(silica(old), silica(new)));
    }
    if let Some(shift) = MeltCurve::shift(&old.analysis.moles, &new.analysis.moles)
        && shift.celsius.abs() >= MELT_MOVES_CELSIUS
    {
        effects.push(SideEffect::MeltsLater(shift.celsius));
    }
    let boron = |proposal: &Proposal| proposal.unity.get(Oxide::B2O3);
    if (boron(new) - boron(old)).abs() >= BORON_MOVES {
        effects.push(SideEffect::Boron(boron(old), boron(new)));
    }
    if new.soluble_change_percent > SOLUBLE_MOVES_PERCENT {
        effects.push(SideEffect::Dissolves(new.soluble_change_percent));
    }
    effects
}
