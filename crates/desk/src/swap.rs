//! What to weigh when a material is gone: new recipes, the fired chemistry held.

use std::sync::Arc;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::distance::Nearness;
use glost_chemistry::glaze::Glaze;
use glost_chemistry::material::Material;
use glost_chemistry::oxides::OxideMoles;
use glost_chemistry::quantity::Grams;
use glost_core::recipes::swap::{AlkaliSplit, Comparison, Proposal, StandIn, alkali_split, one_for_one, stand_ins};
use glost_script::{Cause, Request, Swapped};
use glost_studio::{FoundGlaze, Origin};
use serde::{Serialize, Serializer};

use crate::by_hand::SwapSteps;
use crate::looked::{in_order, in_own_order, look_at, scene_beside, while_checks_load};
use crate::rulebook::{Rulebook, scene_of};
use crate::wire::{Amounts, Offer};
use crate::{Desk, Failure, Words, lookup, trouble};

/// Proposals or newcomers that can be asked for at most.
const MOST_ASKED: usize = 100;
/// The script that proposes, unless said.
pub const SCRIPT: &str = "swap/closest";
/// How many proposals are shown, unless said.
pub const SHOW: &str = "3";
/// Proposals looked at for each one shown, where nobody is named.
const LOOKED_AT: usize = 5;
/// Base for the weighed column, unless said.
pub const DRY: &str = "100 g";

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The glaze's name or file.
    pub glaze: String,
    /// Materials that are gone.
    pub out: Vec<String>,
    /// The only newcomers to allow; none: by rule.
    pub with: Vec<String>,
    /// How many newcomers at most.
    pub at_most: Option<usize>,
    /// The swap script.
    pub script: String,
    /// How many proposals to show.
    pub show: usize,
    /// Base for the weighed column.
    pub dry: Grams,
    /// What the stock is held against, where a base is asked for.
    pub batch: Option<Grams>,
    /// Options of the script, `name=value`.
    pub set: Vec<String>,
    /// Whether the sum is shown as one does it by hand.
    pub steps: bool,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        let dry = words.or("dry", DRY).weight("dry")?;
        let show = words.or("show", SHOW).count("show")?;
        if !(1..=MOST_ASKED).contains(&show) {
            return Err(Diagnostic::error(
                "bad-option",
                format!("--show: from 1 to {MOST_ASKED} proposals"),
            ));
        }
        let at_most = words.count("at-most")?;
        if at_most.is_some_and(|most| most > MOST_ASKED) {
            return Err(Diagnostic::error(
                "bad-option",
                format!("--at-most: up to {MOST_ASKED} newcomers"),
            ));
        }
        Ok(Question {
            glaze: words.required("glaze")?.to_owned(),
            out: words.list("out").to_vec(),
            with: words.list("with").to_vec(),
            at_most,
            script: words.text("script").unwrap_or(SCRIPT).to_owned(),
            show,
            dry,
            batch: words.weight("dry")?,
            set: words.list("set").to_vec(),
            steps: words.flag("steps"),
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        if self.with.is_empty() {
            desk.looks_over_materials();
        }
        answer(self, desk)
    }
}

/// Proposals for a glaze whose material is gone.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
pub struct Answer {
    /// Names of what is out.
    pub out: Vec<String>,
    /// Proposals, best first.
    pub proposals: Vec<Offer>,
    /// The same newcomers one for one.
    pub one_for_one: Vec<OneForOne>,
    /// Opacifiers that stand in for one that is missing, by weight.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub stand_ins: Vec<Opacifier>,
    /// Why no recipe meets what the script asks for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
    /// The old glaze.
    #[serde(skip)]
    pub old: Glaze,
    /// Its unity formula.
    #[serde(skip)]
    pub old_unity: OxideMoles,
    /// What the weighed column is for.
    #[serde(skip)]
    pub dry: Grams,
    /// The step of the scales.
    #[serde(skip)]
    pub step: Grams,
    /// Whether the newcomers were named by the caller.
    #[serde(skip)]
    pub named: bool,
    /// The split of potash and soda, where none of the newcomers can make it.
    #[serde(skip)]
    pub split: Option<AlkaliSplit>,
    /// The first proposal's sum as one does it by hand, where it is asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub steps: Option<SwapSteps>,
}

/// An opacifier in the place of another.
#[derive(Debug, Clone)]
pub struct Opacifier {
    /// Which, and how much of it.
    pub stand_in: StandIn,
    /// The recipe with the middle of that.
    pub offer: Offer,
}

#[derive(Serialize, schemars::JsonSchema)]
struct OpacifierJson<'a> {
    out: &'a str,
    with: &'a str,
    percent: (f64, f64),
    proposal: &'a Offer,
}

impl Serialize for Opacifier {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        OpacifierJson {
            out: &self.stand_in.out.name,
            with: &self.stand_in.with.name,
            percent: self.stand_in.percent,
            proposal: &self.offer,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Opacifier: OpacifierJson<'_>);

/// A newcomer weighed as the old material was.
#[derive(Debug, Clone)]
pub struct OneForOne {
    /// The newcomer.
    pub with: String,
    /// What that makes.
    pub proposal: Proposal,
}

#[derive(Serialize, schemars::JsonSchema)]
struct OneForOneJson<'a> {
    with: &'a str,
    parts: Amounts,
    additions: Amounts,
    unity: Amounts,
    difference: Amounts,
    distance: f64,
}

impl Serialize for OneForOne {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        OneForOneJson {
            with: &self.with,
            parts: Amounts::portions(&self.proposal.glaze.base),
            additions: Amounts::portions(&self.proposal.glaze.additions),
            unity: Amounts::moles(&self.proposal.unity),
            difference: Amounts::oxides(&self.proposal.difference),
            distance: self.proposal.distance,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(OneForOne: OneForOneJson<'_>);

impl crate::Answer for Answer {
    /// The best proposal is too far to be called an answer, or there is none.
    fn says_no(&self) -> bool {
        let best = self.proposals.first();
        best.is_none_or(|best| best.proposal.nearness() == Nearness::Far)
    }
}

fn answer(question: &Question, desk: &Desk) -> Result<Answer, Failure> {
    let found = desk.glaze(&question.glaze)?;
    let out = lookup::materials(&found.library, "out", &question.out)
        .map_err(|error| trouble::not_called_so(&found, &question.out, error))?;
    let with = lookup::materials(&found.library, "with", &question.with)?;
    if let Some(absent) = out.iter().find(|material| !found.glaze.holds(material)) {
        return Err(trouble::not_in_recipe(&found, &absent.name).into());
    }
    can_come_in(&with, &out)?;
    let comparison = Comparison::with(&found.glaze, &found.settings.fluxes)
        .map_err(|bad| trouble::no_analysis(&found, &bad))?
        .ok_or_else(|| trouble::no_flux(&found))?;
    let mut answer = Answer {
        out: out.iter().map(|material| material.name.clone()).collect(),
        proposals: Vec::new(),
        one_for_one: Vec::new(),
        stand_ins: Vec::new(),
        why: None,
        old: found.glaze.clone(),
        old_unity: comparison.target().clone(),
        dry: question.dry,
        step: found.settings.scales.reads_to,
        named: !with.is_empty(),
        split: None,
        steps: None,
    };
    let book = Rulebook::open(desk.workplace(), &found.settings)?;
    let proposed = while_checks_load(&book, &found.glaze.about, || {
        recipes(question, desk, &book, &found, &out, &with)
    });
    let recipes = match proposed? {
        Ok(recipes) => recipes,
        Err(why) => {
            answer.why = Some(why);
            return Ok(answer);
        }
    };
    // A recipe without flux has no unity formula to set beside the old one: it is no proposal.
    let worth = |glaze: &Glaze| -> Result<Option<Proposal>, Failure> {
        let proposal = comparison.propose(glaze.clone(), question.dry.grams(), &found.settings.scales);
        Ok(proposal.map_err(|bad| trouble::no_analysis(&found, &bad))?)
    };
    for recipe in &recipes.recipes {
        let offers = worth(&recipe.glaze)?.map(|proposal| Offer {
            why: recipe.why.clone(),
            signed: Some(recipes.signed.clone()),
            ..Offer::of(proposal, question.dry)
        });
        answer.proposals.extend(offers);
    }
    if answer.proposals.is_empty() {
        return Err(trouble::no_flux_left(&found).into());
    }
    let rules = book.rules(scene_beside(desk, &found)?);
    look_at(
        &rules.as_rules(),
        Some(&found.glaze),
        question.batch,
        &mut answer.proposals,
    )?;
    match (with.is_empty(), question.script == SCRIPT) {
        (true, true) => in_order(&mut answer.proposals),
        (true, false) => in_own_order(&mut answer.proposals),
        (false, _) => {}
    }
    answer.proposals.truncate(question.show);
    answer.steps = answer.proposals.first().filter(|_| question.steps).map(|best| {
        let proposal = &best.proposal;
        SwapSteps::of(
            &proposal.glaze,
            &proposal.unity,
            comparison.yardstick(),
            &found.settings.fluxes,
        )
    });
    let shipped_may_come = found.origin == Origin::Shipped;
    for stand_in in stand_ins(&found.glaze, &out, &found.library, shipped_may_come) {
        let offer = worth(&stand_in.glaze)?.map(|proposal| Offer::of(proposal, question.dry));
        answer
            .stand_ins
            .extend(offer.map(|offer| Opacifier { stand_in, offer }));
    }
    if let [gone] = out.as_slice() {
        let singles = single_newcomers(&answer.proposals, &with);
        for newcomer in &singles {
            let plain = worth(&one_for_one(&found.glaze, gone, newcomer))?;
            answer.one_for_one.extend(plain.map(|proposal| OneForOne {
                with: newcomer.name.clone(),
                proposal,
            }));
        }
        answer
            .one_for_one
            .sort_by(|a, b| a.proposal.distance.total_cmp(&b.proposal.distance));
        answer.split = alkali_split(gone, &singles);
    }
    Ok(answer)
}

/// Newcomers that are named must be there and known.
fn can_come_in(with: &[Arc<Material>], out: &[Arc<Material>]) -> Result<(), Diagnostic> {
    let gone = |material: &&Arc<Material>| out.iter().any(|out| out.name == material.name);
    if let Some(gone) = with.iter().find(gone) {
        let message = format!("--with: `{}` can't come in, it is what --out takes away", gone.name);
        return Err(Diagnostic::error("not-a-newcomer", message).help("name another material"));
    }
    if let Some(unknown) = with.iter().find(|material| material.fired.is_none()) {
        let message = format!(
            "--with: nobody tells what is in `{}`, so nothing can be worked out with it",
            unknown.name
        );
        return Err(Diagnostic::error("unknown-analysis", message)
            .help("with an analysis from its maker in materials/ it can be; or blend it in and judge by results"));
    }
    Ok(())
}

/// The recipes that the swap script proposes, or its reason why there are none.
fn recipes(
    question: &Question,
    desk: &Desk,
    book: &Rulebook,
    found: &FoundGlaze,
    out: &[Arc<Material>],
    with: &[Arc<Material>],
) -> Result<Result<Swapped, String>, Failure> {
    let script = book.script(desk.workplace(), &question.script)?;
    let settings = book.settings_of(&script, &question.set)?;
    let request = Request {
        out: out.to_vec(),
        with: with.to_vec(),
        at_most: question.at_most,
        show: if with.is_empty() {
            question.show.saturating_mul(LOOKED_AT)
        } else {
            question.show
        },
        ..Request::default()
    };
    let nothing = || Failure::from(trouble::nothing_to_swap_to(found, !with.is_empty()));
    let scene = book.with_limits(scene_of(found));
    let proposed = script.swap(&Arc::new(found.glaze.clone()), request, &scene, &settings);
    desk.printed(book.printed.take());
    match proposed {
        Ok(recipes) => Ok(Ok(recipes)),
        // The engine's answer to the script is the user's answer too, not a fault in the script.
        Err(mut failure) => match failure.cause {
            Some(Cause::NothingToSwapTo) => Err(nothing()),
            Some(Cause::NoRecipe) => Ok(Err(failure.diagnostic.message)),
            Some(Cause::TooManySets) => {
                failure.diagnostic.place = None;
                Err(failure.into())
            }
            _ => Err(failure.into()),
        },
    }
}

/// Newcomers to show one for one: the named ones, else those proposed.
fn single_newcomers(offers: &[Offer], with: &[Arc<Material>]) -> Vec<Arc<Material>> {
    let mut found: Vec<Arc<Material>> = Vec::new();
    let proposed = offers.iter().flat_map(|offer| &offer.proposal.newcomers);
    for material in proposed.chain(with) {
        if !found.iter().any(|known| known.name == material.name) {
            found.push(material.clone());
        }
    }
    found
}
