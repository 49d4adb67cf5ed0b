//! `materials.solve`: the optimiser as scripts ask it.
//!
//! Without aims it is a swap or a reweighing: the nearest chemistry. With aims,
//! limits or another objective each nearest recipe is adjusted from there.

use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, of_typed, suggestion, under};
use glost_chemistry::glaze::{Glaze, NoAnalysis};
use glost_chemistry::material::Material;
use glost_core::recipes::adjust::{AdjustAnswer, AdjustQuestion, AdjustTrouble, Asked, Least, adjust};
use glost_core::recipes::aims::{Phrase, parse_phrase};
use glost_core::recipes::swap::{Candidate, SwapQuestion, SwapTrouble, allowed, closest};
use glost_core::rules::LimitSet;
use rhai::{Array, Dynamic, EvalAltResult, ImmutableString, Map};

use crate::bounds;
use crate::failure::Cause;
use crate::language::number;
use crate::scene::{self, Scene};
use crate::trouble::{Trouble, trouble};

use super::fitting::fitting;
use super::materials::{MaterialValue, find};
use super::{GlazeValue, ProposalValue, unknown_analysis};

type Raised = Box<EvalAltResult>;

/// Steps that one question to the optimiser counts for.
const SOLVE_STEPS: u64 = 2_000;
const KEYS: [&str; 10] = [
    "match", "without", "with", "never", "within", "aims", "distance", "at_most", "show", "least",
];
/// Newcomers at most where the rule decides who may come.
const MOST_BY_RULE: usize = 2;
const OBJECTIVES: [&str; 4] = ["change", "weights", "cost", "distance"];

/// What there is to find, read from the script's table.
struct Question {
    glaze: GlazeValue,
    out: Vec<Arc<Material>>,
    with: Vec<Arc<Material>>,
    at_most: Option<usize>,
    show: usize,
    aims: Vec<Asked>,
    least: Option<Least>,
}

/// The recipes found; an empty list where none meets the aims, with the reason
/// kept for `materials.why`.
pub(super) fn solve(question: &Map) -> Result<Array, Raised> {
    bounds::charge_or_end(SOLVE_STEPS)?;
    let question = read(question)?;
    let scene = scene::scene()?;
    scene::present(|run| {
        run.why = None;
        run.solved.questions += 1;
    })?;
    let plain = question.aims.is_empty() && question.least.is_none();
    let starts = starts(&question, &scene)?;
    if plain {
        return proposals(starts, &scene);
    }
    let (mut found, mut why) = (Vec::new(), None);
    for start in starts {
        bounds::charge_or_end(SOLVE_STEPS)?;
        match adjusted(&question, &start, &scene)? {
            Ok(better) => found.push(better),
            Err(clash) => why = why.or(Some(clash)),
        }
    }
    found.sort_by(|a: &(f64, Candidate), b| a.0.total_cmp(&b.0));
    found.truncate(question.show);
    if found.is_empty() {
        scene::present(|run| run.why = why)?;
    }
    proposals(found.into_iter().map(|(_, one)| one).collect(), &scene)
}

fn proposals(found: Vec<Candidate>, scene: &Scene) -> Result<Array, Raised> {
    scene::present(|run| run.solved.recipes += found.len())?;
    let each = found.into_iter();
    Ok(each
        .map(|candidate| Dynamic::from(ProposalValue::new(candidate, scene)))
        .collect())
}

/// The recipes to start from: the old one where nothing is gone, else the
/// nearest ones without what is gone.
fn starts(question: &Question, scene: &Scene) -> Result<Vec<Candidate>, Raised> {
    let old = question.glaze.recipe();
    let plain = question.aims.is_empty() && question.least.is_none();
    if question.out.is_empty() && !plain {
        return Ok(vec![Candidate {
            glaze: Glaze::clone(old),
            distance: 0.0,
            newcomers: question.with.clone(),
        }]);
    }
    let answer = closest(&SwapQuestion {
        glaze: old,
        library: &scene.library,
        fluxes: &scene.fluxes,
        out: question.out.clone(),
        with: question.with.clone(),
        at_most: question.at_most,
        // Where aims decide, a recipe a little farther off may be the better start.
        show: if plain {
            question.show
        } else {
            question.show.saturating_mul(3)
        },
        shipped_may_come: scene.shipped_may_come,
    });
    answer.map_err(|why| no_swap(&why))
}

/// A start adjusted to the aims, with its objective; or why it can't be.
fn adjusted(question: &Question, start: &Candidate, scene: &Scene) -> Result<Result<(f64, Candidate), String>, Raised> {
    let old = question.glaze.recipe();
    let answer = adjust(&AdjustQuestion {
        glaze: &start.glaze,
        fluxes: &scene.fluxes,
        aims: question.aims.clone(),
        with: start.newcomers.clone(),
        least: question.least.unwrap_or_default(),
        distance_from: Some(old),
        sure: None,
    });
    match answer.map_err(no_adjustment)? {
        AdjustAnswer::Possible { glaze, objective, .. } => {
            let mut glaze = *glaze;
            glaze.base.retain(|portion| portion.percent > 1e-9);
            let value = GlazeValue::new(Arc::new(glaze.clone()), scene);
            let newcomers: Vec<Arc<Material>> = glaze
                .portions()
                .filter(|portion| portion.percent > 0.0 && !old.holds(&portion.material))
                .map(|portion| portion.material.clone())
                .collect();
            if question.at_most.is_some_and(|most| newcomers.len() > most) {
                return Ok(Err(format!(
                    "it takes more than {} newcomers",
                    question.at_most.unwrap_or(0)
                )));
            }
            let distance = question.glaze.distance(&value)?;
            Ok(Ok((
                objective,
                Candidate {
                    glaze,
                    distance,
                    newcomers,
                },
            )))
        }
        AdjustAnswer::Impossible { clash, misses, .. } => Ok(Err(reason(&clash, &misses))),
    }
}

fn reason(clash: &[String], misses: &[glost_core::recipes::adjust::Miss]) -> String {
    let what = match clash {
        [] => "no recipe from these materials meets all of it".to_owned(),
        [one] => format!("no recipe from these materials meets `{one}`"),
        many => format!(
            "no recipe from these materials meets {} together",
            many.iter()
                .map(|phrase| format!("`{phrase}`"))
                .collect::<Vec<_>>()
                .join(" and ")
        ),
    };
    let near: Vec<String> = misses
        .iter()
        .map(|miss| format!("{} {}", miss.quantity, crate::language::short_number(miss.reached)))
        .collect();
    if near.is_empty() {
        what
    } else {
        format!("{what}; the nearest has {}", near.join(", "))
    }
}

fn read(question: &Map) -> Result<Question, Raised> {
    if let Some(odd) = question.keys().find(|key| !KEYS.contains(&key.as_str())) {
        return Err(Trouble::new("unknown-key", format!("`solve` takes no `{odd}`"))
            .maybe_help(suggestion(odd, KEYS))
            .raise());
    }
    let glaze = question
        .get("match")
        .and_then(|value| value.read_lock::<GlazeValue>().map(|glaze| glaze.clone()))
        .ok_or_else(|| trouble("missing-key", "`solve` needs a glaze: `match: glaze`"))?;
    let least = match given(question, "least") {
        None => None,
        Some(word) => Some(objective(&crate::language::in_text(word))?),
    };
    let (out, mut with) = (named(question, "without")?, named(question, "with")?);
    let mut at_most = count(question, "at_most", 0.0)?;
    let never = named(question, "never")?;
    if !never.is_empty() {
        if with.is_empty() && !out.is_empty() {
            with = who_may_come(&glaze, &out)?;
            at_most = at_most.or(Some(MOST_BY_RULE));
        }
        let before = with.len();
        with.retain(|one| never.iter().all(|other| other.name != one.name));
        // An empty list would leave it to the rule again.
        if with.is_empty() && before > 0 {
            return Err(no_swap(&SwapTrouble::NothingToSwapTo));
        }
    }
    Ok(Question {
        out,
        with,
        at_most,
        show: count(question, "show", 1.0)?.unwrap_or(3),
        aims: aims(question, &glaze)?,
        least,
        glaze,
    })
}

/// The materials that may come into a glaze for those that are gone, where nobody is named.
pub(super) fn who_may_come(glaze: &GlazeValue, out: &[Arc<Material>]) -> Result<Vec<Arc<Material>>, Raised> {
    let scene = scene::scene()?;
    Ok(allowed(glaze.recipe(), out, &scene.library, scene.shipped_may_come))
}

/// As [`who_may_come`], by names or materials: one, or a list.
pub(super) fn candidates(glaze: &GlazeValue, out: &Dynamic) -> Result<Array, Raised> {
    let mut question = Map::new();
    question.insert("without".into(), out.clone());
    let out = named(&question, "without")?;
    let found = who_may_come(glaze, &out)?;
    Ok(found.into_iter().map(|one| Dynamic::from(MaterialValue(one))).collect())
}

fn objective(word: &str) -> Result<Least, Raised> {
    match word {
        "change" => Ok(Least::Change),
        "weights" => Ok(Least::Weights),
        "cost" => Ok(Least::Cost),
        "distance" => Ok(Least::Distance),
        other => Err(Trouble::new("wrong-value", format!("`least` can't be `{other}`"))
            .help("change, weights, cost or distance")
            .maybe_help(suggestion(other, OBJECTIVES))
            .raise()),
    }
}

/// A key's value; `()` counts as not given.
fn given<'a>(question: &'a Map, key: &str) -> Option<&'a Dynamic> {
    question.get(key).filter(|value| !value.is_unit())
}

fn aims(question: &Map, glaze: &GlazeValue) -> Result<Vec<Asked>, Raised> {
    let mut asked = Vec::new();
    if let Some(most) = given(question, "distance") {
        let most = number(most).filter(|most| *most >= 0.0);
        let most = most.ok_or_else(|| trouble("wrong-kind", "`distance` should be a number of tolerances"))?;
        asked.push(phrase(&format!("distance <= {most}"), glaze)?);
    }
    for text in texts(question, "within")? {
        asked.push(limits(&text, glaze)?);
    }
    for text in texts(question, "aims")? {
        asked.push(phrase(&text, glaze)?);
    }
    Ok(asked)
}

/// One text or a list of them.
fn texts(question: &Map, key: &str) -> Result<Vec<String>, Raised> {
    let Some(value) = given(question, key) else {
        return Ok(Vec::new());
    };
    let wrong = || trouble("wrong-kind", of_typed(key, "should be a text, or a list of texts"));
    if let Some(text) = value.read_lock::<ImmutableString>() {
        return Ok(vec![text.to_string()]);
    }
    let list = value.read_lock::<Array>().ok_or_else(wrong)?;
    list.iter()
        .map(|item| {
            item.read_lock::<ImmutableString>()
                .map(|text| text.to_string())
                .ok_or_else(wrong)
        })
        .collect()
}

fn raised(why: Diagnostic) -> Raised {
    Trouble::new(why.code, why.message).maybe_help(why.help).raise()
}

fn phrase(text: &str, glaze: &GlazeValue) -> Result<Asked, Raised> {
    let scene = scene::scene()?;
    match parse_phrase(text, &scene.library) {
        Ok(Phrase::Limits(name)) => limits(&name, glaze),
        Ok(Phrase::Fit { clay, chance_percent }) => fitting(text, &clay, chance_percent, glaze),
        Ok(phrase) => Ok(Asked::Phrase(phrase)),
        Err(why) => Err(raised(Diagnostic {
            message: format!("the aim \"{text}\": {}", why.message),
            ..why
        })),
    }
}

/// A limits script by its name, run for this glaze in its own run.
fn limits(name: &str, glaze: &GlazeValue) -> Result<Asked, Raised> {
    let scene = scene::scene()?;
    let Some(door) = &scene.limits else {
        return Err(
            Trouble::new("no-limits", format!("the limits `{name}` can't be looked up here"))
                .help("name the ranges in `aims`")
                .raise(),
        );
    };
    let set: LimitSet = door.ranges(name, glaze.recipe(), &scene).map_err(raised)?;
    Ok(Asked::Limits(format!("limits: {name}"), set))
}

/// The materials that a list of names (or materials) means; one alone will do.
fn named(question: &Map, key: &str) -> Result<Vec<Arc<Material>>, Raised> {
    let wrong = || trouble("wrong-kind", of_typed(key, "should be a list of materials' names"));
    let one = |item: &Dynamic| -> Result<Arc<Material>, Raised> {
        if let Some(material) = item.read_lock::<MaterialValue>() {
            return Ok(material.0.clone());
        }
        find(&item.read_lock::<ImmutableString>().ok_or_else(wrong)?.clone())
    };
    let Some(value) = given(question, key) else {
        return Ok(Vec::new());
    };
    match value.read_lock::<Array>() {
        Some(list) => list.iter().map(one).collect(),
        None => Ok(vec![one(value)?]),
    }
}

fn count(question: &Map, key: &str, least: f64) -> Result<Option<usize>, Raised> {
    match given(question, key) {
        None => Ok(None),
        Some(value) => match number(value) {
            Some(count) if count.fract() == 0.0 && (least..=100.0).contains(&count) => Ok(Some(count as usize)),
            _ => Err(trouble(
                "wrong-value",
                format!("`{key}` should be a whole number from {least} to 100"),
            )),
        },
    }
}

fn no_adjustment(why: AdjustTrouble) -> Raised {
    match why {
        AdjustTrouble::UnknownAnalysis(names) => unknown_analysis(&NoAnalysis::Unknown(names)),
        AdjustTrouble::NoPrice(name) => {
            Trouble::new("no-price", of_typed(name, "has no price: the cost can't be told"))
                .help("add `price: 1.60 EUR/kg` to it in materials/")
                .raise()
        }
        AdjustTrouble::NoAims => trouble("no-aims", "`solve` is given nothing to aim at"),
        AdjustTrouble::NotThere(why) => raised(Diagnostic {
            help: Some("name it in `with`, or leave the aim out".to_owned()),
            ..why
        }),
        AdjustTrouble::NoSource { aim, oxides } => {
            let wanted: Vec<&str> = oxides.iter().map(|oxide| oxide.formula()).collect();
            Trouble::new(
                "no-source",
                format!("`{aim}`: no material here brings {}", wanted.join(" or ")),
            )
            .help("name one that does in `with`")
            .raise()
        }
        AdjustTrouble::NothingToHold { aim, .. } => trouble("nothing-to-hold", under(aim, "the glaze has none of it")),
        AdjustTrouble::Melt(_) => Trouble::new("no-melt", "the melt of this glaze can't be told at its own firing")
            .help("it needs a cone or a peak, and a chemistry that the melt curve knows")
            .raise(),
        AdjustTrouble::NoChance(aim) => trouble("no-chance", format!("no chance can be worked out for `{aim}`")),
        AdjustTrouble::NoFlux => trouble("no-flux", "a glaze without flux can't be compared"),
        AdjustTrouble::Unsolvable(_) => trouble("unsolvable", "these numbers are beyond what can be solved"),
    }
}

fn no_swap(why: &SwapTrouble) -> Raised {
    match why {
        SwapTrouble::UnknownAnalysis(names) => unknown_analysis(&NoAnalysis::Unknown(names.clone())),
        SwapTrouble::NotInRecipe(name) => trouble("not-in-recipe", of_typed(name, "isn't in the recipe")),
        SwapTrouble::NoFlux => trouble(
            "no-flux",
            "the glaze has no flux, so there is no unity formula to match",
        ),
        SwapTrouble::NothingToSwapTo => Trouble::new("nothing-to-swap-to", "nothing is to be had that could come in")
            .help("mark materials as buyable or in stock, or name newcomers")
            .because(Cause::NothingToSwapTo)
            .raise(),
        SwapTrouble::NotANewcomer(name) => trouble(
            "not-a-newcomer",
            of_typed(name, "can't come in: it is gone itself, or in the recipe already"),
        ),
        SwapTrouble::TooManySets { newcomers, at_most } => Trouble::new(
            "too-many-sets",
            format!("at most {at_most} of {newcomers} newcomers are more combinations than can all be tried"),
        )
        .help("ask for fewer at most, or name fewer newcomers")
        .because(Cause::TooManySets)
        .raise(),
        SwapTrouble::Unsolvable => trouble("unsolvable", "these numbers are beyond what can be solved"),
    }
}
