//! The least change (or cost) of a recipe that meets stated aims.

mod answer;
mod fit;
mod ladders;
mod melt;
mod sure;

use glost_chemistry::diagnostic::{Diagnostic, of_typed};
use glost_chemistry::glass::ExpansionModel;
use glost_chemistry::glaze::{Glaze, NoAnalysis, Portion};
use glost_chemistry::oxides::Oxide;
use glost_chemistry::quantity::{Grams, parse_percent, plain};
use glost_core::recipes::adjust::{
    AdjustAnswer, AdjustQuestion, AdjustTrouble, Asked, Least, MeltTrouble, outlook, sources_of,
};
use glost_core::recipes::aims::{Phrase, Quantity, parse_phrase};
use glost_core::recipes::swap::{Comparison, Proposal};
use glost_core::rules::Rules;
use glost_core::workshop::scales::{WeighedLine, to_step};
use glost_studio::FoundGlaze;

use crate::looked::{look_at, scene_beside, scene_beside_pieces};
use crate::rulebook::{Rulebook, scene_of};
use crate::wire::Offer;
use crate::{Desk, Failure, Words, lookup, trouble};

pub use answer::{Adjusted, Answer, Outcome, Recipe};
pub use fit::{Chances, FitWays, LADDER_TILES, LadderTile, SideEffect, WorkedWay};
pub use ladders::{Ladder, LadderSaid, Ladders};
pub use melt::InStep;
pub use sure::Sure;

use fit::FitAsked;

/// Base for the weighed column, unless said.
pub const DRY: &str = "100 g";
/// What is made least, unless said.
pub const LEAST: &str = "change";

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The glaze's name or file.
    pub glaze: String,
    /// What the recipe should meet, a phrase each. They name materials, so they
    /// are read where the glaze's library is known.
    pub aims: Vec<String>,
    /// Materials that may come in.
    pub with: Vec<String>,
    /// The firing whose pieces count, where a clay's window is the aim.
    pub firing: Option<String>,
    /// What is made least.
    pub least: Least,
    /// How sure each aim should be while the sheets vary, above 0.5 and below 1.
    pub sure: Option<f64>,
    /// Base for the weighed column.
    pub dry: Grams,
    /// What the stock is held against, where a base is asked for.
    pub batch: Option<Grams>,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        Ok(Question {
            dry: words.or("dry", DRY).weight("dry")?,
            batch: words.weight("dry")?,
            glaze: words.required("glaze")?.to_owned(),
            aims: words.list("aims").to_vec(),
            with: words.list("with").to_vec(),
            firing: words.owned("firing"),
            sure: words.text("sure").map(chance).transpose()?,
            least: words.choice(
                "least",
                (LEAST, Least::Change),
                &[("weights", Least::Weights), ("cost", Least::Cost)],
            )?,
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let found = desk.glaze(&self.glaze)?;
        match ladders::of(self, desk, &found)? {
            Some(ladders) => Ok(Answer::Ladders(Box::new(ladders))),
            None => {
                let (found, held) = without_unknown_additions(found);
                Ok(Answer::Recipe(Box::new(recipe(self, desk, &found, &held)?)))
            }
        }
    }
}

/// The glaze without additions whose analysis nobody tells, and those: they are held
/// at their per cents, and their chemistry isn't counted.
fn without_unknown_additions(mut found: FoundGlaze) -> (FoundGlaze, Vec<Portion>) {
    let additions = std::mem::take(&mut found.glaze.additions);
    let (known, held) = additions
        .into_iter()
        .partition(|addition| addition.material.fired.is_some());
    found.glaze.additions = known;
    (found, held)
}

/// What new recipes are worth beside the old one.
struct Worth<'a> {
    found: &'a FoundGlaze,
    comparison: Comparison<'a>,
    dry: Grams,
    /// Additions that ride along as weights.
    held: &'a [Portion],
}

impl<'a> Worth<'a> {
    fn beside(found: &'a FoundGlaze, dry: Grams, held: &'a [Portion]) -> Result<Worth<'a>, Failure> {
        let comparison = Comparison::with(&found.glaze, &found.settings.fluxes)
            .map_err(|bad| trouble::no_analysis(found, &bad))?
            .ok_or_else(|| trouble::no_flux(found))?;
        Ok(Worth {
            found,
            comparison,
            dry,
            held,
        })
    }

    fn proposal(&self, glaze: &Glaze) -> Result<Proposal, Failure> {
        let scales = &self.found.settings.scales;
        let proposal = self.comparison.propose(glaze.clone(), self.dry.grams(), scales);
        let mut proposal = proposal
            .map_err(|bad| trouble::no_analysis(self.found, &bad))?
            .ok_or_else(|| trouble::no_flux(self.found))?;
        for held in self.held {
            proposal.glaze.additions.push(held.clone());
            proposal.weighed.additions.push(WeighedLine {
                material: held.material.name.clone(),
                grams: to_step(held.percent / 100.0 * self.dry.grams(), scales.reads_to.grams()),
                exact_grams: held.percent / 100.0 * self.dry.grams(),
            });
        }
        Ok(proposal)
    }

    fn offer(&self, glaze: &Glaze) -> Result<Offer, Failure> {
        Ok(Offer::of(self.proposal(glaze)?, self.dry))
    }

    fn recipe(&self, glaze: &Glaze) -> Result<Box<Recipe>, Failure> {
        let offer = self.offer(glaze)?;
        Ok(Box::new(Recipe {
            expansion: ExpansionModel::default().value(&offer.proposal.analysis.moles),
            offer,
        }))
    }
}

fn recipe(question: &Question, desk: &Desk, found: &FoundGlaze, held: &[Portion]) -> Result<Adjusted, Failure> {
    let with = lookup::as_named(&found.library, "with", &question.with)?;
    let worth = Worth::beside(found, question.dry, held)?;
    let (fit, pieces) = FitAsked::of(question, desk, found)?.unzip();
    let asked = AdjustQuestion {
        glaze: &found.glaze,
        fluxes: &found.settings.fluxes,
        aims: aims(question, desk, found, fit.as_ref())?,
        with,
        least: question.least,
        distance_from: None,
        sure: question.sure,
    };
    held_can_stay(&asked.aims, found, held)?;
    let mut old = found.glaze.clone();
    old.additions.extend(held.iter().cloned());
    let mut outcome = outcome(&asked, found, &worth)?;
    let mut in_step = melt::in_step(&asked, found, &worth)?;
    let recipes = outcome
        .recipe_mut()
        .into_iter()
        .chain(in_step.as_mut().map(|other| &mut *other.recipe));
    let scene = match pieces {
        Some(_) => scene_beside_pieces(desk, found, pieces),
        None => scene_beside(desk, found)?,
    };
    let rules = Rulebook::open(desk.workplace(), &found.settings)?.rules(scene);
    for recipe in recipes {
        let offer = std::slice::from_mut(&mut recipe.offer);
        look_at(&rules.as_rules(), Some(&old), question.batch, offer)?;
    }
    let fit = fit
        .map(|fit| fit.ways(&asked, found, &worth, outcome.recipe()))
        .transpose()?;
    Ok(Adjusted {
        outlook: outcome.recipe().map_or_else(Vec::new, |recipe| {
            let moles = &recipe.offer.proposal.analysis.moles;
            outlook(
                &old.about,
                melt::asked_melt(&asked),
                (worth.comparison.old_moles(), moles),
                &found.settings.fluxes,
            )
        }),
        changes: outcome
            .recipe()
            .map_or_else(Vec::new, |recipe| recipe.changes_from(&old)),
        outcome,
        fit,
        melts: melt::asked_for(&asked),
        in_step,
        held: held.to_vec(),
        old_unity: worth.comparison.target().clone(),
        old,
        least: question.least,
        currency: found.settings.currency.clone(),
        dry: question.dry,
        step: found.settings.scales.reads_to,
    })
}

/// An aim can't move what is held by weight.
fn held_can_stay(aims: &[Asked], found: &FoundGlaze, held: &[Portion]) -> Result<(), Diagnostic> {
    for asked in aims {
        let Asked::Phrase(Phrase::Aim(aim)) = asked else {
            continue;
        };
        let Quantity::Share(materials) = &aim.quantity else {
            continue;
        };
        let named = |portion: &&Portion| materials.iter().any(|named| named.name == portion.material.name);
        if let Some(portion) = held.iter().find(named) {
            let (name, percent) = (&portion.material.name, plain(portion.percent));
            let message = format!(
                "`{}`: nobody tells what is in {name}, so it is held at its {percent} % and no aim moves it",
                aim.phrase
            );
            return Err(Diagnostic::error("held-by-weight", message).help(format!(
                "change it in the recipe: glost set \"{}\" \"additions.{name}=...\"; or give its analysis from its maker",
                found.glaze.name
            )));
        }
    }
    Ok(())
}

fn outcome(asked: &AdjustQuestion<'_>, found: &FoundGlaze, worth: &Worth<'_>) -> Result<Outcome, Failure> {
    let answer = match melt::best(asked, found) {
        Err(AdjustTrouble::Melt(MeltTrouble::Refused(reasons))) => return Ok(Outcome::Refused { reasons }),
        answer => answer.map_err(|bad| why_not(found, bad))?,
    };
    Ok(match answer {
        AdjustAnswer::Possible {
            glaze,
            objective,
            certified,
            binding,
            unasked,
            sure,
        } => Outcome::Possible {
            recipe: worth.recipe(&glaze)?,
            objective,
            certified,
            binding,
            unasked,
            sure: sure.map(|surety| Sure::beside(*surety, worth)).transpose()?,
        },
        AdjustAnswer::Impossible {
            clash,
            other_clashes,
            nearest,
            misses,
            certified,
            surest,
        } => Outcome::Impossible {
            clash,
            other_clashes,
            nearest: nearest.map(|glaze| worth.recipe(&glaze)).transpose()?,
            misses,
            certified,
            surest,
        },
    })
}

/// The chance that `--sure` asks for, 0 to 1.
fn chance(text: &str) -> Result<f64, Diagnostic> {
    let wrong = |message: String| {
        Diagnostic::error("bad-option", format!("--sure: {message}"))
            .help("above 50 % and at most 99.9 %: --sure \"90 %\"")
    };
    let percent = parse_percent(text).map_err(|bad| wrong(bad.message))?;
    if percent > 50.0 && percent <= 99.9 {
        Ok(percent / 100.0)
    } else {
        Err(wrong(format!("{percent} % can't be asked for")))
    }
}

/// The aims as typed values, limit sets looked up among the scripts.
fn aims(question: &Question, desk: &Desk, found: &FoundGlaze, fit: Option<&FitAsked>) -> Result<Vec<Asked>, Failure> {
    let mut asked = Vec::new();
    let mut rules = None;
    for (index, text) in question.aims.iter().enumerate() {
        if question.aims[..index].contains(text) {
            return Err(Diagnostic::error("bad-aim", format!("the aim `{text}` is given twice")).into());
        }
        match parse_phrase(text, &found.library)? {
            Phrase::Limits(name) => {
                let rules = match &mut rules {
                    Some(rules) => rules,
                    none => none.insert(Rulebook::open(desk.workplace(), &found.settings)?.rules(scene_of(found))),
                };
                let ranges = rules.as_rules().ranges(&name, &found.glaze)?;
                asked.push(Asked::Limits(text.clone(), ranges));
            }
            Phrase::Fit { .. } => asked.extend(fit.map(|fit| fit.asked(text))),
            phrase => asked.push(Asked::Phrase(phrase)),
        }
    }
    Ok(asked)
}

fn why_not(found: &FoundGlaze, bad: AdjustTrouble) -> Diagnostic {
    match bad {
        AdjustTrouble::UnknownAnalysis(names) => trouble::no_analysis(found, &NoAnalysis::Unknown(names)),
        AdjustTrouble::NoPrice(name) => {
            Diagnostic::error("no-price", of_typed(name, "has no price: the cost can't be told"))
                .help("add `price: 1.60 EUR/kg` to it in materials/")
        }
        AdjustTrouble::NoAims => Diagnostic::error("no-aims", "adjust to what? No aim is given")
            .help("add one such as \"SiO2 >= 3.0\", or ask for --least cost"),
        AdjustTrouble::NotThere(diagnostic) => diagnostic,
        AdjustTrouble::NoSource { aim, oxides } => no_source(found, &aim, &oxides),
        AdjustTrouble::NothingToHold { aim, there } => {
            let there: Vec<&str> = there.into_iter().map(Oxide::formula).collect();
            Diagnostic::error(
                "nothing-to-hold",
                format!("`{aim}`: {} has none of it", found.glaze.name),
            )
            .help(format!("it has {}", there.join(", ")))
        }
        AdjustTrouble::Melt(trouble) => melt::trouble(found, &trouble),
        AdjustTrouble::NoChance(aim) => {
            Diagnostic::error("no-chance", format!("--sure: no chance can be worked out for `{aim}`"))
                .help("ask for it without --sure; chances are for oxides, ratios, shares, loss and cost")
        }
        AdjustTrouble::NoFlux => trouble::no_flux(found),
        AdjustTrouble::Unsolvable(_) => {
            Diagnostic::error("unsolvable", "the amounts in this recipe are beyond what can be solved")
                .help("look for a figure that is thousands of times too large or too small")
        }
    }
}

/// Nobody in sight brings what an aim wants: who could.
fn no_source(found: &FoundGlaze, aim: &str, oxides: &[Oxide]) -> Diagnostic {
    let wanted: Vec<&str> = oxides.iter().map(|oxide| oxide.formula()).collect();
    let error = Diagnostic::error(
        "no-source",
        format!("`{aim}`: no material here brings {}", wanted.join(" or ")),
    );
    let could: Vec<String> = sources_of(oxides, &found.library)
        .iter()
        .map(|material| format!("--with \"{}\"", material.name))
        .collect();
    if could.is_empty() {
        error.help("nothing in materials/ does; describe one there")
    } else {
        error.help(format!("add {}", could.join(" or ")))
    }
}
