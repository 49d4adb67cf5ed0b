//! A recipe for a target chemistry, from chosen materials or from the shelf.

mod formula;

use std::sync::Arc;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::distance::{ChemistryDistance, Nearness, own_tolerance, summed_tolerance};
use glost_chemistry::glaze::{Additions, Analysis, Glaze};
use glost_chemistry::material::{Library, Material};
use glost_chemistry::oxides::{Oxide, OxideMoles};
use glost_chemistry::quantity::Grams;
use glost_core::recipes::aims::SumTerm;
use glost_core::recipes::swap::{
    Candidate, Comparison, ReachQuestion, SwapTrouble, allowed_for_target, reach, reach_by_rule,
};
use glost_core::studio::StudioSettings;
use glost_script::Scene;
use glost_studio::Origin;
use serde::ser::SerializeMap;
use serde::{Serialize, Serializer};

use crate::looked::{in_order, look_at, scene_beside};
use crate::rulebook::{OwnedRules, Rulebook, scene};
use crate::wire::{Amounts, Offer};
use crate::{Desk, Failure, Words, lookup, trouble};

pub use formula::{SumAsked, UnityAsked};

/// How many proposals are shown, unless said.
pub const SHOW: &str = "3";
/// Base for the weighed column, unless said.
pub const DRY: &str = "100 g";
/// Name of a recipe for a target that no glaze stands behind.
const UNNAMED: &str = "new recipe";
/// Below so much raw clay a bucket settles hard, per cent of the dry batch
/// (common practice, no source).
const LEAST_CLAY_PERCENT: f64 = 5.0;

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// What is to be met.
    pub target: Target,
    /// The materials to choose from; none: the shelf, by the rules for newcomers.
    pub with: Vec<String>,
    /// How many of them at most.
    pub at_most: Option<usize>,
    /// How many proposals to show.
    pub show: usize,
    /// Base for the weighed column.
    pub dry: Grams,
    /// What the stock is held against, where a base is asked for.
    pub batch: Option<Grams>,
}

/// What is to be met.
#[derive(Debug, Clone, PartialEq)]
pub enum Target {
    /// A glaze, by name or file.
    Glaze(String),
    /// A unity formula as it was typed.
    Unity(UnityAsked),
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        let dry = words.or("dry", DRY).weight("dry")?;
        let show = words.or("show", SHOW).count("show")?;
        let at_most = words.count("at-most")?;
        if show == 0 || at_most == Some(0) {
            return Err(Diagnostic::error("bad-option", "--show and --at-most are 1 at least"));
        }
        Ok(Question {
            target: match words.text("unity") {
                Some(formula) => Target::Unity(UnityAsked::parse(formula)?),
                None => Target::Glaze(words.required("glaze")?.to_owned()),
            },
            with: words.list("with").to_vec(),
            at_most,
            show,
            dry,
            batch: words.weight("dry")?,
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let bench = Bench::of(&self.target, desk)?;
        if self.with.is_empty() {
            desk.looks_over_materials();
        }
        let with = lookup::as_named(&bench.library, "with", &self.with)?;
        let fired = |material: &Material| material.fired.as_ref().is_some_and(|fired| fired.oxides.total() > 0.0);
        let left_out = with.iter().filter(|material| !fired(material));
        let left_out = left_out.map(|material| material.name.clone()).collect();
        let comparison = Comparison::with_target(bench.distance.clone(), &bench.settings.fluxes);
        let mut proposals = Vec::new();
        for candidate in self.candidates(&bench, with)? {
            let proposal = comparison.propose(candidate.glaze, self.dry.grams(), &bench.settings.scales);
            let proposal = proposal.map_err(|why| Failure::our_fault("reaching a target", format!("{why:?}")))?;
            // A recipe without flux has no unity formula to set beside the target: it is no proposal.
            proposals.extend(proposal.map(|proposal| Offer::of(proposal, self.dry)));
        }
        look_at(
            &bench.rules(desk)?.as_rules(),
            bench.old.as_ref(),
            self.batch,
            &mut proposals,
        )?;
        if self.with.is_empty() {
            in_order(&mut proposals);
        }
        let clay = |best: &Offer| best.proposal.glaze.raw_clay_percent();
        Ok(Answer {
            low_clay_percent: proposals.first().map(clay).filter(|clay| *clay < LEAST_CLAY_PERCENT),
            step: bench.settings.scales.reads_to,
            target: bench.distance.target().clone(),
            free: bench.free,
            sums: bench.sums,
            proposals,
            left_out,
            name: bench.old.map(|old| old.name),
            from_the_shelf: self.with.is_empty(),
            dry: self.dry,
        })
    }
}

impl Question {
    fn candidates(&self, bench: &Bench, with: Vec<Arc<Material>>) -> Result<Vec<Candidate>, Failure> {
        let asked = |with: Vec<Arc<Material>>| ReachQuestion {
            distance: &bench.distance,
            with,
            at_most: self.at_most,
            show: self.show,
            name: bench
                .old
                .as_ref()
                .map_or_else(|| UNNAMED.to_owned(), |old| old.name.clone()),
        };
        let found = if self.with.is_empty() {
            let shelf = allowed_for_target(&bench.distance, &bench.library, bench.origin == Origin::Shipped);
            reach_by_rule(&asked(shelf), bench.old.as_ref())
        } else {
            reach(&asked(with))
        };
        Ok(found.map_err(|bad| nothing(&bad, self.with.is_empty()))?)
    }
}

/// Recipes for a target.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
pub struct Answer {
    /// The target's unity formula.
    #[serde(serialize_with = "moles")]
    #[schemars(with = "serde_json::Value")]
    pub target: OxideMoles,
    /// Proposals, best first.
    pub proposals: Vec<Offer>,
    /// Oxides that nobody asked about: they make no reading.
    #[serde(serialize_with = "formulas")]
    #[schemars(with = "Vec<String>")]
    pub free: Vec<Oxide>,
    /// Sums that were asked for, whatever their split.
    #[serde(serialize_with = "by_name")]
    #[schemars(with = "serde_json::Value")]
    pub sums: Vec<SumAsked>,
    /// Materials that can't be counted: nothing is known to stay of them.
    pub left_out: Vec<String>,
    /// The glaze that is the target; `None` for a unity formula that was typed.
    #[serde(skip)]
    pub name: Option<String>,
    /// Whether nobody was named: the shelf by the rules for newcomers.
    #[serde(skip)]
    pub from_the_shelf: bool,
    /// Raw clay of the best recipe in per cent, where it is too little for a bucket.
    #[serde(skip)]
    pub low_clay_percent: Option<f64>,
    /// What the weighed column is for.
    #[serde(skip)]
    pub dry: Grams,
    /// The step of the scales.
    #[serde(skip)]
    pub step: Grams,
}

/// A sum that a recipe misses by more than its tolerance, moles of the unity formula.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MissedSum {
    /// `KNaO`, `R2O`, `RO`.
    pub term: SumTerm,
    /// What was asked for.
    pub wanted_moles: f64,
    /// What the recipe has.
    pub reached_moles: f64,
}

impl Answer {
    /// Sums that a recipe misses.
    pub fn missed_sums(&self, offer: &Offer) -> Vec<MissedSum> {
        let reached = |sum: &SumAsked| MissedSum {
            term: sum.term,
            wanted_moles: sum.moles,
            reached_moles: offer.proposal.unity.sum_of(&sum.oxides),
        };
        let off = |missed: &MissedSum| (missed.reached_moles - missed.wanted_moles).abs();
        let sums = self.sums.iter().map(reached);
        sums.filter(|sum| off(sum) > summed_tolerance(sum.wanted_moles))
            .collect()
    }

    /// Oxides that nobody asked about and that a recipe brings all the same, in
    /// moles of the unity formula; traces that aren't seen left out.
    pub fn brought_unasked(&self, offer: &Offer) -> Vec<(Oxide, f64)> {
        let brought = self.free.iter().map(|&oxide| (oxide, offer.proposal.unity.get(oxide)));
        brought
            .filter(|(oxide, moles)| *moles > own_tolerance(*oxide, 0.0))
            .collect()
    }
}

impl crate::Answer for Answer {
    /// Even the best is far.
    fn says_no(&self) -> bool {
        let best = self.proposals.first();
        best.is_none_or(|best| best.proposal.nearness() == Nearness::Far)
    }
}

fn moles<S: Serializer>(amounts: &OxideMoles, to: S) -> Result<S::Ok, S::Error> {
    Amounts::moles(amounts).serialize(to)
}

fn formulas<S: Serializer>(oxides: &[Oxide], to: S) -> Result<S::Ok, S::Error> {
    to.collect_seq(oxides.iter().map(|oxide| oxide.formula()))
}

fn by_name<S: Serializer>(sums: &[SumAsked], to: S) -> Result<S::Ok, S::Error> {
    let mut map = to.serialize_map(Some(sums.len()))?;
    for sum in sums {
        map.serialize_entry(&sum.term.to_string(), &sum.moles)?;
    }
    map.end()
}

/// The target worked out, and whose materials and settings serve.
struct Bench {
    /// The glaze that the target was taken from.
    old: Option<Glaze>,
    distance: ChemistryDistance,
    free: Vec<Oxide>,
    sums: Vec<SumAsked>,
    library: Arc<Library>,
    settings: Arc<StudioSettings>,
    origin: Origin,
    scene: Arc<Scene>,
}

impl Bench {
    fn rules(&self, desk: &Desk) -> Result<OwnedRules, Failure> {
        Ok(Rulebook::open(desk.workplace(), &self.settings)?.rules(self.scene.clone()))
    }

    fn of(target: &Target, desk: &Desk) -> Result<Bench, Failure> {
        match target {
            Target::Unity(asked) => {
                let workplace = desk.workplace();
                let settings = workplace.settings().clone();
                let target = asked.target(&settings.fluxes)?;
                let (library, origin) = (workplace.library(), workplace.origin());
                Ok(Bench {
                    scene: scene(library, &settings, &origin, None, None),
                    old: None,
                    distance: target.distance,
                    free: target.free,
                    sums: target.sums,
                    library: library.clone(),
                    settings,
                    origin,
                })
            }
            Target::Glaze(name) => {
                let found = desk.glaze(name)?;
                let analysis = Analysis::of(&found.glaze, &found.settings.fluxes, Additions::In)
                    .map_err(|bad| trouble::no_analysis(&found, &bad))?;
                let unity = analysis.unity.ok_or_else(|| trouble::no_flux(&found))?;
                let scene = scene_beside(desk, &found)?;
                Ok(Bench {
                    scene,
                    distance: ChemistryDistance::new(&unity, &found.settings.fluxes),
                    free: Vec::new(),
                    sums: Vec::new(),
                    old: Some(found.glaze),
                    library: found.library,
                    settings: found.settings,
                    origin: found.origin,
                })
            }
        }
    }
}

fn nothing(bad: &SwapTrouble, from_the_shelf: bool) -> Diagnostic {
    match bad {
        SwapTrouble::NothingToSwapTo if from_the_shelf => {
            Diagnostic::error("nothing-to-match-with", "nothing on the shelf may come in by itself")
                .help("name materials with --with")
        }
        SwapTrouble::NothingToSwapTo => Diagnostic::error(
            "nothing-to-match-with",
            "none of these materials has oxides to match with",
        )
        .help("name materials with a known analysis"),
        _ => Diagnostic::error("unsolvable", "these amounts are beyond what can be solved"),
    }
}
