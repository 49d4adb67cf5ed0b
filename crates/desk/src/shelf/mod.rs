//! The fewest materials that keep every glaze of the studio near what it is.

mod answer;
mod order;

use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, is_no, of_typed};
use glost_chemistry::distance::NEAR;
use glost_chemistry::glaze::Glaze;
use glost_chemistry::material::Material;
use glost_chemistry::quantity::{Grams, NumberTrouble, parse_number};
use glost_core::recipes::fewest::{Fewest, FewestQuestion, FewestTrouble, Kept, MOST_MATERIALS, Year, fewest};
use glost_core::recipes::swap::Comparison;
use glost_studio::{FoundGlaze, Origin};

use crate::looked::{look_at, scene_beside};
use crate::rulebook::Rulebook;
use crate::wire::Offer;
use crate::{Desk, Failure, Words, lookup};

pub use answer::{Answer, GlazeKept, How, Spent};
pub use order::ToOrder;

/// Base for the weighed recipes.
const TILE_GRAMS: f64 = 100.0;
/// Other sets looked for.
const SHOW: usize = 5;
/// Steps after which the best so far is given: half a minute or so.
pub const STEPS: usize = 6_000_000;
/// Farther than this a glaze is another one, whatever is asked.
const MOST_WITHIN: f64 = 50.0;

/// What is to be least.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Least {
    /// The number of materials.
    Materials,
    /// What the last year's batches would have cost; then the number of materials.
    Cost,
}

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The glazes that are to stay near; none: all.
    pub glazes: Vec<String>,
    /// How far one may move, in tolerances of the chemistry distance.
    pub within: f64,
    /// Materials to keep whatever happens.
    pub keep: Vec<String>,
    /// Materials to do without.
    pub drop: Vec<String>,
    /// Whether raw clay stays in its band.
    pub clay_band: bool,
    /// What is to be least.
    pub least: Least,
    /// How much may be tried.
    pub steps: usize,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        let steps = words.count("steps")?.unwrap_or(STEPS);
        if steps == 0 {
            return Err(Diagnostic::error("bad-option", "--steps: 1 at least"));
        }
        Ok(Question {
            glazes: words.list("glazes").to_vec(),
            within: words.read("within", within)?.unwrap_or(NEAR),
            keep: words.list("keep").to_vec(),
            drop: words.list("drop").to_vec(),
            clay_band: words.choice("clay-band", ("on", true), &[("off", false)])?,
            least: words.choice("least", ("materials", Least::Materials), &[("cost", Least::Cost)])?,
            steps,
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        desk.tell_where();
        let found = self.found(desk)?;
        desk.looks_over_materials();
        let library = found[0].library.clone();
        let keep = lookup::materials(&library, "keep", &self.keep)?;
        let drop = lookup::materials(&library, "drop", &self.drop)?;
        let glazes: Vec<&Glaze> = found.iter().map(|found| &found.glaze).collect();
        on_the_shelf(&glazes, &keep, &found[0].origin)?;
        let year = order::last_year(desk, &glazes)?;
        let settings = desk.workplace().settings();
        let price = |material: &Material| order::price(material, settings.currency.as_deref());
        let cheapest = match self.least {
            Least::Materials => None,
            Least::Cost => Some(Year {
                kilograms: order::kilograms_that_count(&year, &glazes, &price)?,
                price: &price,
            }),
        };
        let question = FewestQuestion {
            glazes,
            library: &library,
            fluxes: found.iter().map(|found| &found.settings.fluxes).collect(),
            keep,
            drop,
            within: self.within,
            clay_band: self.clay_band,
            cheapest,
            show: SHOW,
            work: self.steps as u64,
        };
        let least = fewest(&question).map_err(|why| trouble(&why))?;
        let offers = offers(desk, &found, &least)?;
        Ok(Answer::of(self, &least, offers, &found, &year))
    }
}

impl Question {
    /// The glazes that are asked for.
    fn found(&self, desk: &Desk) -> Result<Vec<FoundGlaze>, Failure> {
        if !self.glazes.is_empty() {
            let named: Result<Vec<FoundGlaze>, Failure> = self.glazes.iter().map(|name| desk.glaze(name)).collect();
            return named;
        }
        let (found, complaints) = desk.workplace().all_glazes();
        if found.is_empty() {
            return Err(if complaints.is_empty() {
                Diagnostic::error("no-glazes", "there are no glazes here")
                    .help("put recipes into glazes/, one a file")
                    .into()
            } else {
                complaints.into()
            });
        }
        desk.leaves_out(complaints);
        Ok(found)
    }
}

fn within(text: &str) -> Result<f64, NumberTrouble> {
    let value = parse_number(text)?.value;
    if (0.0..=MOST_WITHIN).contains(&value) {
        return Ok(value);
    }
    Err(NumberTrouble {
        message: is_no(text, "distance to stay within"),
        help: Some(format!(
            "it counts tolerances, from 0 to {MOST_WITHIN}: up to 2 reads near, up to 10 noticeable"
        )),
    })
}

/// What is to be kept is a material of the studio's, not one that only ships along.
fn on_the_shelf(glazes: &[&Glaze], keep: &[Arc<Material>], origin: &Origin) -> Result<(), Diagnostic> {
    let strange = |material: &&Arc<Material>| material.shipped && !glazes.iter().any(|glaze| glaze.holds(material));
    match keep.iter().find(strange) {
        Some(strange) if *origin != Origin::Shipped => {
            let message = format!("--keep: `{}` is not on your shelf: no glaze holds it", strange.name);
            Err(Diagnostic::error("not-on-the-shelf", message)
                .help("`glost add material` puts it there, with its own sheet"))
        }
        _ => Ok(()),
    }
}

fn trouble(why: &FewestTrouble) -> Diagnostic {
    match why {
        FewestTrouble::KeptAndDropped(material) => {
            let message = of_typed(material, "is to be kept and to be dropped");
            Diagnostic::error("kept-and-dropped", message).help("say --keep or --drop of it, not both")
        }
        FewestTrouble::DroppedButHeld { material, glaze } => {
            let message = format!("--drop: `{material}` stays, {glaze} holds it as an addition or as it is");
            Diagnostic::error("dropped-but-held", message).help(format!(
                "`glost swap \"{glaze}\" --out \"{material}\"` looks for another; or leave that glaze out with --glazes"
            ))
        }
        FewestTrouble::TooMany(count) => {
            let message =
                format!("{count} materials stand in these glazes, {MOST_MATERIALS} at most can be told apart");
            Diagnostic::error("too-many-materials", message).help("ask of some glazes at a time, with --glazes")
        }
        FewestTrouble::Unsolvable => Diagnostic::error("unsolvable", "these amounts are beyond what can be solved"),
    }
}

/// Each glaze's new recipe beside its old one, looked at by the checks.
fn offers(desk: &Desk, found: &[FoundGlaze], least: &Fewest) -> Result<Vec<Option<Offer>>, Failure> {
    let mut offers = Vec::with_capacity(found.len());
    for (old, kept) in found.iter().zip(&least.glazes) {
        let (Kept::New(candidate) | Kept::Lost(Some(candidate))) = &kept.kept else {
            offers.push(None);
            continue;
        };
        let fault = |why: String| Failure::our_fault("a recipe from fewer materials", why);
        let comparison = Comparison::with(&old.glaze, &old.settings.fluxes).map_err(|why| fault(format!("{why:?}")))?;
        let comparison = comparison.ok_or_else(|| fault("no unity formula".to_owned()))?;
        let dry = Grams::new(TILE_GRAMS).ok_or_else(|| fault("no grams".to_owned()))?;
        let proposal = comparison.propose(candidate.glaze.clone(), dry.grams(), &old.settings.scales);
        let proposal = proposal.map_err(|why| fault(format!("{why:?}")))?;
        let mut offer: Vec<Offer> = proposal.map(|proposal| Offer::of(proposal, dry)).into_iter().collect();
        let book = Rulebook::open(desk.workplace(), &old.settings)?;
        let rules = book.rules(scene_beside(desk, old)?);
        look_at(&rules.as_rules(), Some(&old.glaze), None, &mut offer)?;
        offers.push(offer.pop());
    }
    Ok(offers)
}
