//! A proposal is looked at before it is shown: what the checks say, whether the shelf
//! can give it, what it does to bucket, kiln and colour.

use std::sync::Arc;

use glost_chemistry::glaze::{Glaze, GlazeNotes};
use glost_chemistry::quantity::Grams;
use glost_core::recipes::swap::{ClayOut, CompanyMove, Proposal};
use glost_core::rules::{Finding, Level, Rules};
use glost_core::workshop::hazards::Caution;
use glost_script::{Scene, on_script_thread};
use glost_studio::FoundGlaze;
use serde::Serialize;

use crate::pieces::Pieces;
use crate::rulebook::{Rulebook, scene};
use crate::wire::Offer;
use crate::{Desk, Failure, Said};

/// What the stock is held against, unless a batch is said.
const USUAL_BATCH_GRAMS: f64 = 1000.0;
/// What one more newcomer, and one more caution, cost in the order of proposals, in
/// tolerances of distance (common practice, no source).
const PRICE_OF_A_NEWCOMER: f64 = 0.5;
const PRICE_OF_A_CAUTION: f64 = 0.5;

/// What is said of a proposal beside its numbers.
#[derive(Debug, Clone, PartialEq)]
pub enum ProposalSaid {
    /// Its raw clay leaves the band.
    Clay(ClayOut),
    /// What keeps it afloat falls, in parts of kaolin.
    Suspending {
        /// Before.
        before_parts: f64,
        /// After.
        after_parts: f64,
    },
    /// A base on which a colour hangs moves.
    Company(CompanyMove),
    /// The shelf can't give what a batch takes.
    Short(Short),
}

/// The same as bare data, where nobody chose words.
#[derive(Serialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum ProposalJson<'a> {
    RawClay {
        parts: f64,
        bound: f64,
    },
    Suspending {
        before_parts: f64,
        after_parts: f64,
    },
    Company {
        colour: &'static str,
        base: &'static str,
        before: f64,
        after: f64,
    },
    Short {
        material: &'a str,
        needed_grams: f64,
        stock_grams: f64,
    },
}

impl<'a> From<&'a ProposalSaid> for ProposalJson<'a> {
    fn from(said: &'a ProposalSaid) -> ProposalJson<'a> {
        match said {
            ProposalSaid::Clay(out) => ProposalJson::RawClay {
                parts: out.parts,
                bound: out.bound_parts,
            },
            ProposalSaid::Suspending {
                before_parts,
                after_parts,
            } => ProposalJson::Suspending {
                before_parts: *before_parts,
                after_parts: *after_parts,
            },
            ProposalSaid::Company(moved) => ProposalJson::Company {
                colour: moved.colour.formula(),
                base: moved.base.formula(),
                before: moved.before_moles,
                after: moved.after_moles,
            },
            ProposalSaid::Short(short) => ProposalJson::Short {
                material: &short.material,
                needed_grams: short.needed_grams,
                stock_grams: short.stock_grams,
            },
        }
    }
}

/// A material of which a batch takes more than there is, and that can't be bought.
#[derive(Debug, Clone, PartialEq)]
pub struct Short {
    /// Its name.
    pub material: String,
    /// Grams that the batch takes.
    pub needed_grams: f64,
    /// Grams in stock.
    pub stock_grams: f64,
    /// The base of that batch, grams.
    pub batch_grams: f64,
}

/// A finding on a proposal.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen {
    /// What the check says.
    pub finding: Finding,
    /// Whether the old recipe hadn't it.
    pub new: bool,
}

/// What a look at a proposal found.
#[derive(Debug, Clone, Default)]
pub struct Look {
    /// What the checks say, in their order.
    pub findings: Vec<Seen>,
    /// What the shelf can't give.
    pub short: Vec<Short>,
}

impl Look {
    /// New findings of a level, in the checks' order.
    pub fn new_at(&self, level: Level) -> impl Iterator<Item = &Finding> {
        let seen = self.findings.iter();
        seen.filter(move |seen| seen.new && seen.finding.level == level)
            .map(|seen| &seen.finding)
    }
}

/// Looks at proposals as the old recipe was looked at.
pub(crate) struct Looker<'a> {
    rules: &'a dyn Rules,
    before: Vec<Finding>,
    batch_grams: f64,
}

impl<'a> Looker<'a> {
    /// Beside the old recipe, where there is one; the stock is held against a batch of
    /// this much base, else against a kilogram.
    pub fn beside(rules: &'a dyn Rules, old: Option<&Glaze>, batch: Option<Grams>) -> Looker<'a> {
        Looker {
            before: old.map_or_else(Vec::new, |old| rules.findings(old)),
            rules,
            batch_grams: batch.map_or(USUAL_BATCH_GRAMS, Grams::grams),
        }
    }

    /// Looks at one proposal.
    pub fn look(&self, proposal: &Proposal) -> Look {
        let findings = self.rules.findings(&proposal.glaze).into_iter();
        Look {
            findings: findings
                .map(|finding| Seen {
                    new: self.is_new(&finding),
                    finding,
                })
                .collect(),
            short: short(&proposal.glaze, self.batch_grams),
        }
    }

    /// Whether the old recipe hadn't it, or not as bad.
    fn is_new(&self, finding: &Finding) -> bool {
        let same = |before: &&Finding| before.script == finding.script && before.subject == finding.subject;
        let worst = self.before.iter().filter(same).map(|before| before.level).max();
        finding.level >= Level::Caution && worst.is_none_or(|worst| worst < finding.level)
    }
}

/// What the checks see of a glaze that proposals stand beside: its clay, and the pieces
/// that were looked at on it.
pub(crate) fn scene_beside(desk: &Desk, found: &FoundGlaze) -> Result<Arc<Scene>, Failure> {
    let pieces = Pieces::on(desk, found.glaze.about.clay.as_deref(), false)?;
    Ok(scene_beside_pieces(desk, found, pieces))
}

/// As [`scene_beside`], with a notebook that is read already.
pub(crate) fn scene_beside_pieces(desk: &Desk, found: &FoundGlaze, pieces: Option<Pieces>) -> Arc<Scene> {
    let clay = found.glaze.about.clay.as_deref();
    let notebook = pieces
        .zip(clay)
        .and_then(|(pieces, clay)| pieces.that_speak(desk, found, clay));
    // A clay that only the recipe names may have no file: nothing is lost.
    let clay = clay.and_then(|name| desk.workplace().clay(name).ok());
    let clay = clay.map(|found| found.clay);
    let scene = scene(&found.library, &found.settings, &found.origin, clay, None);
    let notebook = notebook.map(Arc::new);
    desk.put_away(notebook.clone());
    Arc::new(Scene {
        notebook,
        ..Scene::clone(&scene)
    })
}

/// Works something out, and meanwhile loads the checks that will look at what comes of it.
pub(crate) fn while_checks_load<T>(book: &Rulebook, about: &GlazeNotes, work: impl FnOnce() -> T) -> T {
    std::thread::scope(|scope| {
        scope.spawn(|| on_script_thread(|| book.store.load_checks(about)));
        work()
    })
}

/// Looks at every offer on one thread of the scripts.
pub(crate) fn look_at(
    rules: &(dyn Rules + Sync),
    old: Option<&Glaze>,
    batch: Option<Grams>,
    offers: &mut [Offer],
) -> Result<(), Failure> {
    let look = || {
        let looker = Looker::beside(rules, old, batch);
        for offer in offers {
            offer.look = looker.look(&offer.proposal);
        }
    };
    on_script_thread(look).map_err(|why| Failure::our_fault("a look at proposals", why))
}

/// Best first, where nobody named who comes in: no new *fail*, raw clay in its band,
/// stock enough, then distance with a price on newcomers and cautions.
pub(crate) fn in_order(offers: &mut [Offer]) {
    gates_first(offers, |offer| {
        offer.proposal.distance
            + PRICE_OF_A_NEWCOMER * offer.proposal.newcomers.len() as f64
            + PRICE_OF_A_CAUTION * offer.look.new_at(Level::Caution).count() as f64
    });
}

/// The same for proposals whose own order stands: only what bars one puts it behind.
pub(crate) fn in_own_order(offers: &mut [Offer]) {
    gates_first(offers, |_| 0.0);
}

fn gates_first(offers: &mut [Offer], score: impl Fn(&Offer) -> f64) {
    let barred = |offer: &Offer| {
        (
            offer.look.new_at(Level::Fail).count() > 0,
            offer.proposal.clay_out.is_some(),
            !offer.look.short.is_empty(),
        )
    };
    offers.sort_by(|a, b| barred(a).cmp(&barred(b)).then(score(a).total_cmp(&score(b))));
}

/// Materials of a recipe of which a batch takes more than there is, and that can't
/// be bought; one whose stock nobody states is not missed.
fn short(glaze: &Glaze, batch_grams: f64) -> Vec<Short> {
    let portions = glaze.portions().filter(|portion| !portion.material.buyable);
    let short = portions.filter_map(|portion| {
        let needed_grams = portion.percent / 100.0 * batch_grams;
        let stock_grams = portion.material.stock?.grams();
        (stock_grams < needed_grams).then(|| Short {
            material: portion.material.name.clone(),
            needed_grams,
            stock_grams,
            batch_grams,
        })
    });
    short.collect()
}

impl Offer {
    /// What is to be said of it beside its numbers and findings, the gravest first.
    pub fn said(&self) -> Vec<Said> {
        let Offer { proposal, look, .. } = self;
        let mut said: Vec<Said> = proposal
            .fluorine_percent
            .map(|percent| Said::Hazard(Caution::Fluorine(percent)))
            .into_iter()
            .collect();
        let short = look.short.iter().cloned().map(ProposalSaid::Short);
        let clay = proposal.clay_out.map(ProposalSaid::Clay);
        let suspending = proposal
            .suspending
            .map(|(before_parts, after_parts)| ProposalSaid::Suspending {
                before_parts,
                after_parts,
            });
        let company = proposal.company.iter().copied().map(ProposalSaid::Company);
        let all = clay.into_iter().chain(suspending).chain(short).chain(company);
        said.extend(all.map(Said::Proposal));
        said
    }
}
