//! The answer for a program: the contract's keys and what else is known.

use glost_core::tiles::mixture::{
    Best, Fitted, Goal, Holding, LadderLesson, Learned, MixtureFit, MixtureModel, NextTile, Outcomes, SURE, Term, Why,
};
use serde_json::{Value, json};

use crate::amounts;

use super::ResultsPage;

impl ResultsPage<'_> {
    /// The contract's JSON; shares come in the order of the ends.
    pub fn json(&self) -> Value {
        let best = &self.lesson.best;
        let listed: Vec<Value> = self.coefficients().map_or_else(Vec::new, |fitted| {
            let term = |(place, term): (usize, &Term)| {
                json!({
                    "term": term.name(self.ends),
                    "value": fitted.values[place],
                    "standard_error": fitted.errors.map(|errors| errors[place]),
                })
            };
            fitted.terms.iter().enumerate().map(term).collect()
        });
        let mut answer = json!({
            "model": self.model_name(),
            "result": self.value,
            "ends": self.ends,
            "tiles": self.tile_count(),
            "coefficients": listed,
        });
        let fields = match &self.lesson.fitted {
            Ok(Fitted::Grades(fit)) => grades_json(fit),
            Ok(Fitted::Chances(fit)) => json!({
                "r_squared": null,
                "deviance_explained": fit.deviance_explained,
                "leave_one_out_error": fit.leave_one_out,
            }),
            Err(_) => json!({"r_squared": null, "leave_one_out_error": null}),
        };
        let tried: Vec<Value> = self
            .lesson
            .tried
            .iter()
            .map(|tried| json!({"model": tried.model.name(), "leave_one_out_error": tried.left_out.as_ref().ok().copied().flatten()}))
            .collect();
        let rest = json!({
            "tried": tried,
            "best": self.best_json(best),
            "best_made": self.best_made_json(),
            "flat_odds": self.surfaces().map(|lesson| lesson.flat_odds),
            "scatter": self.surfaces().and_then(|lesson| lesson.scatter),
            "holds": self.holds_json(),
            "ladder": self.ladder().map(|lesson| self.ladder_json(lesson)),
            "age": self.age.map(|age| json!({
                "youngest_days": age.youngest_days,
                "enough_days": age.enough_days(),
                "enough": age.enough(),
            })),
            "words": self.words(),
            "best_within_tiles": self.lesson.nearer.as_ref().map(|nearer| self.best_json(nearer)),
            "recipe": self.recipe.map(|recipe| json!({
                "parts": amounts::portions(&recipe.glaze.base),
                "additions": amounts::portions(&recipe.glaze.additions),
                "dry_grams": recipe.dry_grams,
                "grams": amounts::weights(&recipe.weighed.base),
                "additions_grams": amounts::weights(&recipe.weighed.additions),
            })),
            "next": self.lesson.next.iter().map(|tile| self.next_json(tile)).collect::<Vec<_>>(),
            "assumptions": self.assumptions,
        });
        for part in [fields, rest] {
            if let (Value::Object(answer), Value::Object(part)) = (&mut answer, part) {
                answer.extend(part);
            }
        }
        answer
    }
}

impl ResultsPage<'_> {
    fn best_json(&self, best: &Best) -> Value {
        let mut json = json!({
            "shares": best.shares,
            "value": best.value,
            "low": best.band.map(|band| band.0),
            "high": best.band.map(|band| band.1),
            "model": best.model.map(MixtureModel::name),
            "within_tiles": best.spanned,
            "reached": best.reached,
            "beats_made": self.surfaces().and_then(|lesson| lesson.beats_made),
        });
        let chance = match &self.lesson.learned {
            Learned::Ladder(lesson) => Some(lesson.least.as_ref().unwrap_or(&lesson.top).chance),
            Learned::Surfaces(lesson) => lesson.under_tenth,
            Learned::OneModel => None,
        };
        if let Some(chance) = chance {
            json["holds"] = chance.into();
        }
        json
    }

    fn best_made_json(&self) -> Value {
        let place = self.lesson.best_made;
        let (shares, measured) = match self.outcomes {
            Outcomes::Grades(tiles) => (&tiles[place].shares, tiles[place].value),
            Outcomes::Counts(tiles) => (&tiles[place].shares, tiles[place].yes / tiles[place].of),
        };
        let value = match &self.lesson.learned {
            Learned::Surfaces(lesson) => lesson.made_value,
            Learned::Ladder(_) | Learned::OneModel => self.lesson.value_at(shares).0,
        };
        json!({"shares": shares, "value": value, "tile": self.names.get(place), "measured": measured})
    }

    /// The blend that fewer than one piece in ten fails at, where the tiles show it.
    fn holds_json(&self) -> Value {
        match &self.lesson.learned {
            Learned::Ladder(lesson) => lesson.least.as_ref().map_or(Value::Null, holding_json),
            Learned::Surfaces(lesson) => match lesson.under_tenth {
                Some(chance) if self.goal == Goal::Least && chance >= SURE => {
                    json!({"shares": self.lesson.best.shares, "chance": chance})
                }
                _ => Value::Null,
            },
            Learned::OneModel => Value::Null,
        }
    }

    fn ladder_json(&self, lesson: &LadderLesson) -> Value {
        let lowering = self.lowering.as_ref();
        let tiles = lesson.rungs.iter().enumerate().map(|(place, rung)| {
            json!({
                "tile": self.names.get(place), "addition": rung.percent, "chance": rung.chance,
                "value": rung.failing.mean, "low": rung.failing.low, "high": rung.failing.high,
            })
        });
        json!({
            "lowers": lowering.and_then(|lowering| self.ends.get(lowering.end)),
            "addition": lowering.and_then(|lowering| lowering.addition.as_deref()),
            "step": lesson.step_percent,
            "top": holding_json(&lesson.top),
            "tiles": tiles.collect::<Vec<_>>(),
        })
    }

    fn next_json(&self, tile: &NextTile) -> Value {
        let mut json = json!({
            "shares": tile.shares,
            "value": tile.value,
            "low": tile.low,
            "high": tile.high,
            "gain": tile.gain,
            "why": tile.why.map_or_else(|| self.why(tile), why_word),
        });
        if let Some(lesson) = self.ladder() {
            json["addition"] = json!(lesson.next_percent);
            json["another_firing"] = true.into();
        }
        json
    }
}

fn holding_json(holding: &Holding) -> Value {
    json!({"shares": holding.shares, "chance": holding.chance, "addition": holding.percent})
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

fn grades_json(fit: &MixtureFit) -> Value {
    json!({
        "r_squared": fit.r_squared,
        "leave_one_out_error": fit.leave_one_out,
        "residual_sum_of_squares": fit.residual_squares,
        "residual_degrees_of_freedom": fit.spare,
        "residual_deviation": fit.residual_deviation(),
        "lack_of_fit": fit.lack_of_fit.map(|lack| json!({
            "f": lack.f,
            "p": lack.p,
            "repeat_deviation": lack.repeat_deviation,
            "repeat_degrees_of_freedom": lack.repeats,
            "degrees_of_freedom": lack.misses,
        })),
    })
}
