//! A proposed recipe in JSON.

use std::sync::Arc;

use glost_chemistry::quantity::Grams;
use glost_core::recipes::swap::{ExpansionMove, Proposal};
use glost_core::rules::Signature;
use indexmap::IndexMap;
use serde::{Serialize, Serializer};

use super::{Amounts, FindingJson, Signed};
use crate::Said;
use crate::looked::{Look, Seen};

/// A recipe that is offered, with the batch it was weighed for.
#[derive(Debug, Clone)]
pub struct Offer {
    /// The recipe and what it is worth.
    pub proposal: Proposal,
    /// Grams of base it is weighed for.
    pub dry_grams: f64,
    /// What a look at it found.
    pub look: Look,
    /// Why the script proposes it, in the script's words.
    pub why: Option<String>,
    /// The script that proposes it; `None` where no script did.
    pub signed: Option<Arc<Signature>>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct SeenJson<'a> {
    #[serde(flatten)]
    finding: FindingJson<'a>,
    new: bool,
}

impl<'a> From<&'a Seen> for SeenJson<'a> {
    fn from(seen: &'a Seen) -> SeenJson<'a> {
        SeenJson {
            finding: FindingJson(&seen.finding),
            new: seen.new,
        }
    }
}

#[derive(Serialize, schemars::JsonSchema)]
struct WeighedJson {
    dry: f64,
    parts: Amounts,
    additions: Amounts,
    unity: Option<Amounts>,
    distance: Option<f64>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct ExpansionJson {
    before: f64,
    after: f64,
    plus_minus: f64,
    unit: &'static str,
}

impl From<ExpansionMove> for ExpansionJson {
    fn from(moved: ExpansionMove) -> ExpansionJson {
        ExpansionJson {
            before: moved.before,
            after: moved.after,
            plus_minus: moved.plus_minus_90,
            unit: "1e-6/K",
        }
    }
}

/// The keys of a recipe; its expansion is a move, or a number where the contract
/// has one.
#[derive(Serialize, schemars::JsonSchema)]
pub(crate) struct OfferJson<'a, E> {
    parts: Amounts,
    weighed: WeighedJson,
    additions: Amounts,
    unity: Amounts,
    difference: Amounts,
    distance: f64,
    reads: &'static str,
    expansion: E,
    melt_change: Option<f64>,
    cannot_match: Vec<&'static str>,
    ranges: IndexMap<&'a str, (f64, f64)>,
    newcomers: Vec<&'a str>,
    clay_change: f64,
    soluble_change: f64,
    loss_on_ignition_change: f64,
    findings: Vec<SeenJson<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    why: Option<&'a str>,
    signed: Option<Signed>,
    says: Vec<Said>,
    assumptions: Vec<Said>,
}

impl Offer {
    /// A proposal that nobody looked at yet.
    pub fn of(proposal: Proposal, dry: Grams) -> Offer {
        Offer {
            proposal,
            dry_grams: dry.grams(),
            look: Look::default(),
            why: None,
            signed: None,
        }
    }

    /// What the recipe rests on: the newcomers' sheets first.
    pub fn assumptions(&self) -> Vec<Said> {
        let sheets = self.proposal.newcomers.iter().map(|newcomer| Said::AsOnSheet {
            material: newcomer.name.clone(),
            provenance: newcomer.provenance.to_string(),
            lot: newcomer.lot.clone(),
        });
        sheets
            .chain(self.proposal.analysis.assumptions.iter().map(Said::from))
            .collect()
    }

    /// Its keys, with this under `expansion`.
    pub(crate) fn shape<E>(&self, expansion: E) -> OfferJson<'_, E> {
        let Offer {
            proposal,
            dry_grams,
            look,
            why,
            signed,
        } = self;
        let weighed = WeighedJson {
            dry: *dry_grams,
            parts: Amounts::weights(&proposal.weighed.base),
            additions: Amounts::weights(&proposal.weighed.additions),
            unity: proposal.weighed.unity.as_ref().map(Amounts::moles),
            distance: proposal.weighed.distance,
        };
        let ranges = proposal.ranges.iter();
        OfferJson {
            parts: Amounts::portions(&proposal.glaze.base),
            weighed,
            additions: Amounts::portions(&proposal.glaze.additions),
            unity: Amounts::moles(&proposal.unity),
            difference: Amounts::oxides(&proposal.difference),
            distance: proposal.distance,
            reads: proposal.nearness().word(),
            expansion,
            melt_change: proposal.melt.as_ref().map(|melt| melt.celsius),
            cannot_match: proposal.cannot_match.iter().map(|oxide| oxide.formula()).collect(),
            ranges: ranges.map(|(name, low, high)| (name.as_str(), (*low, *high))).collect(),
            newcomers: proposal
                .newcomers
                .iter()
                .map(|material| material.name.as_str())
                .collect(),
            clay_change: proposal.clay_change_percent,
            soluble_change: proposal.soluble_change_percent,
            loss_on_ignition_change: proposal.loss_change_percent,
            findings: look.findings.iter().map(SeenJson::from).collect(),
            why: why.as_deref(),
            signed: signed.clone().map(Signed),
            says: self.said(),
            assumptions: self.assumptions(),
        }
    }
}

impl Serialize for Offer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        self.shape(self.proposal.expansion.map(ExpansionJson::from))
            .serialize(to)
    }
}

crate::wire::written_as!(Offer: OfferJson<'_, Option<ExpansionJson>>);
