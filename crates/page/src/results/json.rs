//! The answer for a program: the contract's keys and what else is known.

use glost_core::tiles::mixture::{Best, Fitted, MixtureFit};
use serde_json::{Value, json};

use crate::amounts;

use super::ResultsPage;

impl ResultsPage<'_> {
    /// The contract's JSON; shares come in the order of the ends.
    pub fn json(&self) -> Value {
        let best = &self.lesson.best;
        let (coefficients, errors) = self.coefficients();
        let terms = self.terms();
        let listed: Vec<Value> = terms
            .iter()
            .enumerate()
            .map(|(place, term)| {
                json!({
                    "term": term.name(self.ends),
                    "value": coefficients[place],
                    "standard_error": errors.map(|errors| errors[place]),
                })
            })
            .collect();
        let mut answer = json!({
            "model": self.model_name(),
            "result": self.value,
            "ends": self.ends,
            "tiles": self.tile_count(),
            "coefficients": listed,
        });
        let fields = match &self.lesson.fitted {
            Fitted::Grades(fit) => grades_json(fit),
            Fitted::Chances(fit) => json!({
                "r_squared": null,
                "deviance_explained": fit.deviance_explained,
                "leave_one_out_error": fit.leave_one_out,
            }),
        };
        let tried: Vec<Value> = self
            .lesson
            .tried
            .iter()
            .map(|tried| json!({"model": tried.model.name(), "leave_one_out_error": tried.left_out.as_ref().ok().copied().flatten()}))
            .collect();
        let rest = json!({
            "tried": tried,
            "best": best_json(best),
            "best_within_tiles": self.lesson.nearer.as_ref().map(best_json),
            "recipe": self.recipe.map(|recipe| json!({
                "parts": amounts::portions(&recipe.glaze.base),
                "additions": amounts::portions(&recipe.glaze.additions),
                "dry_grams": recipe.dry_grams,
                "grams": amounts::weights(&recipe.weighed.base),
                "additions_grams": amounts::weights(&recipe.weighed.additions),
            })),
            "next": self.lesson.next.iter().map(|tile| json!({
                "shares": tile.shares,
                "value": tile.value,
                "low": tile.low,
                "high": tile.high,
                "gain": tile.gain,
                "why": self.why(tile),
            })).collect::<Vec<_>>(),
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

fn best_json(best: &Best) -> Value {
    json!({
        "shares": best.shares,
        "value": best.value,
        "low": best.band.map(|band| band.0),
        "high": best.band.map(|band| band.1),
        "model": best.model.name(),
        "within_tiles": best.spanned,
        "reached": best.reached,
    })
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
