//! The answer for a program: the contract's keys and what else is known. Shares come in
//! the order of the ends.

use std::sync::Arc;

use glost_core::tiles::mixture::{Best, Fitted, Goal, Holding, LackOfFit, Learned, MixtureModel, NextTile, Outcomes};
use glost_core::tiles::mixture::{SURE, Why};
use serde::{Serialize, Serializer};

use crate::Said;
use crate::wire::Amounts;

use super::{Answer, BestRecipe, Taught};

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        AnswerJson::of(&self.taught).serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    model: Option<String>,
    result: &'a str,
    ends: &'a [String],
    tiles: usize,
    coefficients: Vec<TermJson>,
    #[serde(flatten)]
    fitted: FittedJson,
    tried: Vec<TriedJson>,
    best: BestJson<'a>,
    best_made: MadeJson<'a>,
    flat_odds: Option<f64>,
    scatter: Option<f64>,
    holds: Option<HoldsJson<'a>>,
    ladder: Option<LadderJson<'a>>,
    age: Option<AgeJson>,
    words: Vec<Said>,
    best_within_tiles: Option<BestJson<'a>>,
    recipe: Option<RecipeJson>,
    next: Vec<NextJson<'a>>,
    assumptions: &'a [Said],
}

impl<'a> AnswerJson<'a> {
    fn of(taught: &'a Arc<Taught>) -> AnswerJson<'a> {
        let lesson = &taught.lesson;
        let tried = lesson.tried.iter().map(|tried| TriedJson {
            model: tried.model.name(),
            // A model that can't be fitted has no error.
            leave_one_out_error: tried.left_out.as_ref().ok().copied().flatten(),
        });
        AnswerJson {
            model: taught.model_name(),
            result: &taught.value,
            ends: &taught.ends,
            tiles: taught.tile_count(),
            coefficients: terms(taught),
            fitted: FittedJson::of(taught),
            tried: tried.collect(),
            best: BestJson::of(taught, &lesson.best),
            best_made: MadeJson::of(taught),
            flat_odds: taught.surfaces().map(|lesson| lesson.flat_odds),
            scatter: taught.surfaces().and_then(|lesson| lesson.scatter),
            holds: holds(taught),
            ladder: LadderJson::of(taught),
            age: taught.age.map(|age| AgeJson {
                youngest_days: age.youngest_days,
                enough_days: age.enough_days(),
                enough: age.enough(),
            }),
            words: taught
                .words()
                .into_iter()
                .map(|word| Said::Taught(Arc::clone(taught), word))
                .collect(),
            best_within_tiles: lesson.nearer.as_ref().map(|nearer| BestJson::of(taught, nearer)),
            recipe: taught.recipe.as_ref().map(RecipeJson::of),
            next: lesson.next.iter().map(|tile| NextJson::of(taught, tile)).collect(),
            assumptions: &taught.assumptions,
        }
    }
}

#[derive(Serialize, schemars::JsonSchema)]
struct TermJson {
    term: String,
    value: f64,
    standard_error: Option<f64>,
}

fn terms(taught: &Taught) -> Vec<TermJson> {
    taught.coefficients().map_or_else(Vec::new, |fitted| {
        let terms = fitted.terms.iter().enumerate();
        let term = |(place, term): (usize, &glost_core::tiles::mixture::Term)| TermJson {
            term: term.name(&taught.ends),
            value: fitted.values[place],
            standard_error: fitted.errors.map(|errors| errors[place]),
        };
        terms.map(term).collect()
    })
}

#[derive(Serialize, schemars::JsonSchema)]
#[serde(untagged)]
enum FittedJson {
    Grades {
        r_squared: f64,
        leave_one_out_error: Option<f64>,
        residual_sum_of_squares: f64,
        residual_degrees_of_freedom: usize,
        residual_deviation: Option<f64>,
        lack_of_fit: Option<LackJson>,
    },
    Chances {
        r_squared: Option<f64>,
        deviance_explained: f64,
        leave_one_out_error: f64,
    },
    None {
        r_squared: Option<f64>,
        leave_one_out_error: Option<f64>,
    },
}

impl FittedJson {
    fn of(taught: &Taught) -> FittedJson {
        match &taught.lesson.fitted {
            Ok(Fitted::Grades(fit)) => FittedJson::Grades {
                r_squared: fit.r_squared,
                leave_one_out_error: fit.leave_one_out,
                residual_sum_of_squares: fit.residual_squares,
                residual_degrees_of_freedom: fit.spare,
                residual_deviation: fit.residual_deviation(),
                lack_of_fit: fit.lack_of_fit.as_ref().map(LackJson::of),
            },
            Ok(Fitted::Chances(fit)) => FittedJson::Chances {
                r_squared: None,
                deviance_explained: fit.deviance_explained,
                leave_one_out_error: fit.leave_one_out,
            },
            Err(_) => FittedJson::None {
                r_squared: None,
                leave_one_out_error: None,
            },
        }
    }
}

#[derive(Serialize, schemars::JsonSchema)]
struct LackJson {
    f: Option<f64>,
    p: Option<f64>,
    repeat_deviation: f64,
    repeat_degrees_of_freedom: usize,
    degrees_of_freedom: usize,
}

impl LackJson {
    fn of(lack: &LackOfFit) -> LackJson {
        LackJson {
            f: lack.f,
            p: lack.p,
            repeat_deviation: lack.repeat_deviation,
            repeat_degrees_of_freedom: lack.repeats,
            degrees_of_freedom: lack.misses,
        }
    }
}

#[derive(Serialize, schemars::JsonSchema)]
struct TriedJson {
    model: &'static str,
    leave_one_out_error: Option<f64>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct BestJson<'a> {
    shares: &'a [f64],
    value: f64,
    low: Option<f64>,
    high: Option<f64>,
    model: Option<&'static str>,
    within_tiles: bool,
    reached: bool,
    beats_made: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    holds: Option<f64>,
}

impl<'a> BestJson<'a> {
    fn of(taught: &Taught, best: &'a Best) -> BestJson<'a> {
        BestJson {
            shares: &best.shares,
            value: best.value,
            low: best.band.map(|band| band.0),
            high: best.band.map(|band| band.1),
            model: best.model.map(MixtureModel::name),
            within_tiles: best.spanned,
            reached: best.reached,
            beats_made: taught.surfaces().and_then(|lesson| lesson.beats_made),
            holds: match &taught.lesson.learned {
                Learned::Ladder(lesson) => Some(lesson.least.as_ref().unwrap_or(&lesson.top).chance),
                Learned::Surfaces(lesson) => lesson.under_tenth,
                Learned::OneModel => None,
            },
        }
    }
}

#[derive(Serialize, schemars::JsonSchema)]
struct MadeJson<'a> {
    shares: &'a [f64],
    value: f64,
    tile: Option<&'a String>,
    measured: f64,
}

impl<'a> MadeJson<'a> {
    fn of(taught: &'a Taught) -> MadeJson<'a> {
        let place = taught.lesson.best_made;
        let shares = taught.shares(place);
        MadeJson {
            shares,
            value: match &taught.lesson.learned {
                Learned::Surfaces(lesson) => lesson.made_value,
                Learned::Ladder(_) | Learned::OneModel => taught.lesson.value_at(shares).0,
            },
            tile: taught.names.get(place),
            measured: match &taught.outcomes {
                Outcomes::Grades(tiles) => tiles[place].value,
                Outcomes::Counts(tiles) => tiles[place].yes / tiles[place].of,
            },
        }
    }
}

#[derive(Serialize, schemars::JsonSchema)]
struct HoldsJson<'a> {
    shares: &'a [f64],
    chance: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    addition: Option<f64>,
}

impl<'a> HoldsJson<'a> {
    fn of(holding: &'a Holding) -> HoldsJson<'a> {
        HoldsJson {
            shares: &holding.shares,
            chance: holding.chance,
            addition: Some(holding.percent),
        }
    }
}

/// The blend that fewer than one piece in ten fails at, where the tiles show it.
fn holds(taught: &Taught) -> Option<HoldsJson<'_>> {
    match &taught.lesson.learned {
        Learned::Ladder(lesson) => lesson.least.as_ref().map(HoldsJson::of),
        Learned::Surfaces(lesson) => {
            let chance = lesson.under_tenth.filter(|chance| *chance >= SURE)?;
            (taught.goal == Goal::Least).then_some(HoldsJson {
                shares: &taught.lesson.best.shares,
                chance,
                addition: None,
            })
        }
        Learned::OneModel => None,
    }
}

#[derive(Serialize, schemars::JsonSchema)]
struct LadderJson<'a> {
    lowers: Option<&'a String>,
    addition: Option<&'a str>,
    step: f64,
    top: HoldsJson<'a>,
    tiles: Vec<RungJson<'a>>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct RungJson<'a> {
    tile: Option<&'a String>,
    addition: f64,
    chance: f64,
    value: f64,
    low: f64,
    high: f64,
}

impl<'a> LadderJson<'a> {
    fn of(taught: &'a Taught) -> Option<LadderJson<'a>> {
        let lesson = taught.ladder()?;
        let lowering = taught.lowering.as_ref();
        let tiles = lesson.rungs.iter().enumerate().map(|(place, rung)| RungJson {
            tile: taught.names.get(place),
            addition: rung.percent,
            chance: rung.chance,
            value: rung.failing.mean,
            low: rung.failing.low,
            high: rung.failing.high,
        });
        Some(LadderJson {
            lowers: lowering.and_then(|lowering| taught.ends.get(lowering.end)),
            addition: lowering.and_then(|lowering| lowering.addition.as_deref()),
            step: lesson.step_percent,
            top: HoldsJson::of(&lesson.top),
            tiles: tiles.collect(),
        })
    }
}

#[derive(Serialize, schemars::JsonSchema)]
struct AgeJson {
    youngest_days: Option<f64>,
    enough_days: f64,
    enough: bool,
}

#[derive(Serialize, schemars::JsonSchema)]
struct RecipeJson {
    parts: Amounts,
    additions: Amounts,
    dry_grams: f64,
    grams: Amounts,
    additions_grams: Amounts,
}

impl RecipeJson {
    fn of(recipe: &BestRecipe) -> RecipeJson {
        RecipeJson {
            parts: Amounts::portions(&recipe.glaze.base),
            additions: Amounts::portions(&recipe.glaze.additions),
            dry_grams: recipe.dry_grams,
            grams: Amounts::weights(&recipe.weighed.base),
            additions_grams: Amounts::weights(&recipe.weighed.additions),
        }
    }
}

#[derive(Serialize, schemars::JsonSchema)]
struct NextJson<'a> {
    shares: &'a [f64],
    value: f64,
    low: f64,
    high: f64,
    gain: f64,
    why: &'static str,
    planned: Option<&'a str>,
    #[serde(flatten)]
    rung: Option<NextRungJson>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct NextRungJson {
    addition: Option<f64>,
    another_firing: bool,
}

impl<'a> NextJson<'a> {
    fn of(taught: &'a Taught, tile: &'a NextTile) -> NextJson<'a> {
        NextJson {
            shares: &tile.shares,
            value: tile.value,
            low: tile.low,
            high: tile.high,
            gain: tile.gain,
            why: tile.why.map_or_else(|| taught.model_why(tile).word(), why_word),
            planned: taught.waits(&tile.shares).map(|waiting| waiting.name.as_str()),
            rung: taught.ladder().map(|lesson| NextRungJson {
                addition: lesson.next_percent,
                another_firing: true,
            }),
        }
    }
}

/// Why a tile is advised, in a word.
fn why_word(why: Why) -> &'static str {
    match why {
        Why::New => "new",
        Why::Again => "again",
        Why::Lowers => "lowers",
        Why::Settles => "settles",
        Why::Further => "further",
    }
}
