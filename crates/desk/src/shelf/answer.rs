//! The answer: what to keep, and every glaze made of it.

use std::sync::Arc;

use glost_chemistry::glaze::Glaze;
use glost_chemistry::material::Material;
use glost_core::recipes::fewest::{AsItIs, Fewest, Kept, Next};
use glost_core::workshop::cost::Cost;
use glost_studio::FoundGlaze;
use serde::{Serialize, Serializer};

use super::order::{ToOrder, YearTaken, to_order};
use super::{Least, Question};
use crate::wire::{Amounts, Offer};

/// The fewest materials that keep every glaze near.
#[derive(Debug, Clone)]
pub struct Answer {
    /// What was asked.
    pub asked: Question,
    /// The materials to keep.
    pub keep: Vec<String>,
    /// The others.
    pub drop: Vec<String>,
    /// Those kept because additions and ready-made powders hold them.
    pub held: Vec<String>,
    /// No set of fewer than this does it.
    pub at_least: usize,
    /// Whether `keep` is proven to be least.
    pub proven: bool,
    /// How much was tried.
    pub steps: u64,
    /// Every glaze.
    pub glazes: Vec<GlazeKept>,
    /// What is next to it.
    pub next: Vec<Next>,
    /// Materials that either of which does.
    pub twins: Vec<(String, String)>,
    /// Glazes with a new recipe, in the order to test them.
    pub retest: Vec<String>,
    /// What isn't there.
    pub order: Vec<ToOrder>,
    /// What a year costs, where cost was to be least.
    pub spent: Option<Spent>,
}

/// A glaze made of what is kept.
#[derive(Debug, Clone)]
pub struct GlazeKept {
    /// Its name.
    pub glaze: String,
    /// Its base and additions, as they are made now.
    pub made: Glaze,
    /// How.
    pub how: How,
    /// The new recipe beside the old one.
    pub offer: Option<Offer>,
    /// The code of its tile, where there is a new recipe.
    pub tile: Option<String>,
}

/// How a glaze is made of what is kept.
#[derive(Debug, Clone, PartialEq)]
pub enum How {
    /// As before.
    Unchanged,
    /// By a new recipe.
    New,
    /// As before, its chemistry being unknown.
    AsItIs(AsItIs),
    /// Not at all.
    Lost,
}

/// What a year like the last costs in materials, before and after.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Spent {
    /// With the recipes as they are; null where no price is known.
    pub before: Option<f64>,
    /// With the new ones.
    pub after: Option<f64>,
    /// The currency.
    pub currency: Option<String>,
    /// Materials whose price nobody tells: they count for nothing on both sides.
    pub unknown: Vec<String>,
    /// Whether no batch was booked: a kilogram of each glaze counts.
    pub a_kilogram_each: bool,
}

impl Answer {
    pub(super) fn of(
        asked: &Question,
        least: &Fewest,
        offers: Vec<Option<Offer>>,
        found: &[FoundGlaze],
        year: &YearTaken,
    ) -> Answer {
        let names = |materials: &[Arc<Material>]| {
            materials
                .iter()
                .map(|material| material.name.clone())
                .collect::<Vec<String>>()
        };
        let mut glazes: Vec<GlazeKept> = found
            .iter()
            .zip(&least.glazes)
            .zip(offers)
            .map(|((found, kept), offer)| glaze(found, &kept.kept, offer))
            .collect();
        let mut changed: Vec<usize> = (0..glazes.len())
            .filter(|&index| glazes[index].how == How::New)
            .collect();
        changed.sort_by(|&a, &b| glazes[b].distance().total_cmp(&glazes[a].distance()));
        for (number, &index) in changed.iter().enumerate() {
            glazes[index].tile = Some(format!("R{}", number + 1));
        }
        let made: Vec<&Glaze> = glazes.iter().map(|glaze| &glaze.made).collect();
        Answer {
            asked: asked.clone(),
            keep: names(&least.keep),
            drop: names(&least.drop),
            held: names(&least.held),
            at_least: least.at_least,
            proven: least.proven,
            steps: least.steps,
            next: least.next.clone(),
            twins: least
                .twins
                .iter()
                .map(|(one, other)| (one.name.clone(), other.name.clone()))
                .collect(),
            retest: changed.iter().map(|&index| glazes[index].glaze.clone()).collect(),
            order: to_order(least, &made, year),
            spent: (asked.least == Least::Cost).then(|| spent(found, &made, year)),
            glazes,
        }
    }

    /// Glazes that nothing near is to be had for.
    pub fn lost(&self) -> impl Iterator<Item = &GlazeKept> {
        self.glazes.iter().filter(|glaze| glaze.how == How::Lost)
    }
}

fn glaze(found: &FoundGlaze, kept: &Kept, offer: Option<Offer>) -> GlazeKept {
    let (how, made) = match kept {
        Kept::Unchanged => (How::Unchanged, &found.glaze),
        Kept::New(candidate) => (How::New, &candidate.glaze),
        Kept::AsItIs(why) => (How::AsItIs(why.clone()), &found.glaze),
        Kept::Lost(nearest) => (
            How::Lost,
            nearest.as_ref().map_or(&found.glaze, |candidate| &candidate.glaze),
        ),
    };
    GlazeKept {
        glaze: found.glaze.name.clone(),
        made: made.clone(),
        how,
        offer,
        tile: None,
    }
}

/// What the year's batches cost in the recipes before and after.
fn spent(found: &[FoundGlaze], made: &[&Glaze], year: &YearTaken) -> Spent {
    let currency = found.first().and_then(|found| found.settings.currency.clone());
    let mut unknown: Vec<String> = Vec::new();
    let mut sum = |glazes: &mut dyn Iterator<Item = &Glaze>| -> Option<f64> {
        let mut sum = None;
        for (index, glaze) in glazes.enumerate() {
            let kilograms = if year.any() { year.kilograms[index] } else { 1.0 };
            let cost = Cost::of_glaze(glaze, currency.as_deref());
            if kilograms > 0.0 {
                let strange = cost.unknown.iter().map(|unpriced| unpriced.material.clone());
                unknown.extend(strange);
                sum = cost.per_kg().map(|each| each * kilograms + sum.unwrap_or(0.0)).or(sum);
            }
        }
        sum
    };
    let before = sum(&mut found.iter().map(|found| &found.glaze));
    let after = sum(&mut made.iter().copied());
    unknown.sort();
    unknown.dedup();
    Spent {
        before,
        after,
        currency,
        unknown,
        a_kilogram_each: !year.any(),
    }
}

impl GlazeKept {
    /// How far it is from what it was, in tolerances; infinite where nothing is near.
    pub fn distance(&self) -> f64 {
        match (&self.how, &self.offer) {
            (How::Unchanged | How::AsItIs(_), _) => 0.0,
            (_, Some(offer)) => offer.proposal.distance,
            (_, None) => f64::INFINITY,
        }
    }
}

impl crate::Answer for Answer {
    /// Some glaze can't be kept near.
    fn says_no(&self) -> bool {
        self.lost().next().is_some()
    }
}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    keep: &'a [String],
    drop: &'a [String],
    held: &'a [String],
    fewest: usize,
    at_least: usize,
    proven: bool,
    steps: u64,
    within: f64,
    clay_band: bool,
    glazes: Vec<GlazeJson<'a>>,
    next: Vec<NextJson<'a>>,
    twins: &'a [(String, String)],
    retest_order: &'a [String],
    order: &'a [ToOrder],
    #[serde(skip_serializing_if = "Option::is_none")]
    cost: Option<&'a Spent>,
}

#[derive(Serialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
enum HowJson {
    Unchanged,
    New,
    AsItIs,
    Lost,
}

#[derive(Serialize, schemars::JsonSchema)]
struct GlazeJson<'a> {
    glaze: &'a str,
    how: HowJson,
    distance: Option<f64>,
    parts: Amounts,
    additions: Amounts,
    #[serde(skip_serializing_if = "Option::is_none")]
    tile: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    proposal: Option<&'a Offer>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    unknown: Vec<&'a str>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct LostJson<'a> {
    glaze: &'a str,
    distance: Option<f64>,
}

#[derive(Serialize, schemars::JsonSchema)]
#[serde(tag = "than", rename_all = "snake_case")]
enum NextJson<'a> {
    AsMany {
        with: Vec<&'a str>,
        without: Vec<&'a str>,
    },
    OneMore {
        with: &'a str,
        unchanged: &'a [String],
        nearer: f64,
    },
    OneLess {
        without: &'a str,
        lost: Vec<LostJson<'a>>,
    },
}

fn next(next: &Next) -> NextJson<'_> {
    match next {
        Next::AsMany { with, without } => NextJson::AsMany {
            with: with.iter().map(|material| material.name.as_str()).collect(),
            without: without.iter().map(|material| material.name.as_str()).collect(),
        },
        Next::OneMore {
            with,
            unchanged,
            nearer,
        } => NextJson::OneMore {
            with: &with.name,
            unchanged,
            nearer: *nearer,
        },
        Next::OneLess { without, lost } => NextJson::OneLess {
            without: &without.name,
            lost: lost
                .iter()
                .map(|(glaze, distance)| LostJson {
                    glaze,
                    distance: *distance,
                })
                .collect(),
        },
    }
}

fn of_glaze(glaze: &GlazeKept) -> GlazeJson<'_> {
    let (how, unknown) = match &glaze.how {
        How::Unchanged => (HowJson::Unchanged, Vec::new()),
        How::New => (HowJson::New, Vec::new()),
        How::AsItIs(AsItIs::Unknown(names)) => (HowJson::AsItIs, names.iter().map(String::as_str).collect()),
        How::AsItIs(AsItIs::NoUnity) => (HowJson::AsItIs, Vec::new()),
        How::Lost => (HowJson::Lost, Vec::new()),
    };
    let known = !matches!(glaze.how, How::AsItIs(_));
    GlazeJson {
        glaze: &glaze.glaze,
        how,
        distance: Some(glaze.distance()).filter(|distance| known && distance.is_finite()),
        parts: Amounts::portions(&glaze.made.base),
        additions: Amounts::portions(&glaze.made.additions),
        tile: glaze.tile.as_deref(),
        proposal: glaze.offer.as_ref(),
        unknown,
    }
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        AnswerJson {
            keep: &self.keep,
            drop: &self.drop,
            held: &self.held,
            fewest: self.keep.len(),
            at_least: self.at_least,
            proven: self.proven,
            steps: self.steps,
            within: self.asked.within,
            clay_band: self.asked.clay_band,
            glazes: self.glazes.iter().map(of_glaze).collect(),
            next: self.next.iter().map(next).collect(),
            twins: &self.twins,
            retest_order: &self.retest,
            order: &self.order,
            cost: self.spent.as_ref(),
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);
