//! `glost blend`: a plan of test tiles.

mod class;
pub(crate) mod drawing;
mod flagged;
mod labels;
mod making;
pub(crate) mod map;
mod results;
mod saved;
mod sheets;
mod text;

pub(crate) use labels::shares_words;
pub use saved::{Saved, saved_words};

use glost_chemistry::glaze::Glaze;
use glost_core::tiles::blend::{BlendPlan, Tile, Way, additions_of_equal_totals};
use serde_json::{Value, json};

use crate::amounts;
use crate::check::finding_json;

/// A plan of test tiles.
#[derive(Debug, Clone)]
pub struct BlendPage<'a> {
    /// The plan.
    pub plan: &'a BlendPlan,
    /// The glazes at its ends.
    pub ends: &'a [Glaze],
    /// Grams of base a tile.
    pub dry_grams: f64,
    /// Millilitres a tile, where blended wet.
    pub volume_millilitres: Option<f64>,
    /// Density to bring all ends to, g/ml, where they are blended by volume.
    pub density: Option<f64>,
    /// The step of the scales in grams.
    pub step_grams: f64,
    /// How many students share the tiles.
    pub students: Option<usize>,
}

impl BlendPage<'_> {
    /// The contract's JSON.
    pub fn json(&self) -> Value {
        let plan = self.plan;
        let mut value = json!({
            "kind": plan.kind,
            "ends": plan.ends,
            "tiles": plan.tiles.iter().map(|tile| self.tile_json(tile)).collect::<Vec<_>>(),
            "end_batches": plan.end_batches.iter().map(|batch| json!({
                "glaze": batch.glaze,
                "dry": batch.dry_grams,
                "millilitres": batch.millilitres,
                "grams": amounts::weights(&batch.grams),
                "additions": amounts::weights(&batch.additions),
                "water_millilitres": batch.water_millilitres,
                "density": batch.density,
                "cannot_weigh": batch.cannot_weigh.iter().map(cannot_weigh_json).collect::<Vec<_>>(),
            })).collect::<Vec<_>>(),
            "cannot_weigh": plan.cannot_weigh.iter().map(cannot_weigh_json).collect::<Vec<_>>(),
            "density": self.density,
            "shape": plan.shape.word(),
            "rows": plan.rows,
            "way": plan.way.words(),
            "weighings": plan.ways.iter().map(|way| json!({
                "way": way.way.words(),
                "all": way.all,
                "additions": way.additions,
            })).collect::<Vec<_>>(),
        });
        if let Value::Object(map) = &mut value {
            map.extend(self.making_json());
            map.insert("notes".to_owned(), json!(plan.notes));
            map.insert("cautions".to_owned(), json!(plan.cautions));
            map.insert("assumptions".to_owned(), json!(plan.assumptions));
        }
        value
    }

    /// How it is made, and what to look at.
    fn making_json(&self) -> serde_json::Map<String, Value> {
        let plan = self.plan;
        let value = json!({
            "base_batches": plan.base_batches.iter().map(|batch| json!({
                "ends": batch.ends,
                "dry": batch.dry_grams,
                "grams": amounts::weights(&batch.grams),
                "water_millilitres": batch.water_millilitres,
                "slurry_grams": batch.slurry_grams,
                "split_grams": batch.split_grams,
            })).collect::<Vec<_>>(),
            "syringe": {
                "holds_millilitres": plan.syringe.holds_millilitres,
                "mark_millilitres": plan.syringe.mark_millilitres,
            },
            "draw_order": plan.draw_order,
            "cannot_draw": plan.cannot_draw.iter().map(|volume| json!({
                "tile": volume.code,
                "end": volume.end,
                "millilitres": volume.millilitres,
            })).collect::<Vec<_>>(),
            "premixes": plan.premixes.iter().map(|premix| json!({
                "material": premix.material,
                "with": premix.carrier,
                "percent": premix.percent,
                "grams": premix.little_grams,
                "with_grams": premix.carrier_grams,
                "error_percent": premix.error_percent,
                "tiles": premix.uses.iter().map(|own| json!({
                    "tile": own.code, "grams": own.premix_grams, "rest_of_with": own.carrier_grams,
                })).collect::<Vec<_>>(),
            })).collect::<Vec<_>>(),
            "larger_tests": plan.larger_tests.iter().map(|test| json!({
                "material": test.material, "dry": test.base_grams,
            })).collect::<Vec<_>>(),
            "lab": plan.lab.iter().map(|tile| json!({
                "tile": tile.code,
                "food_contact": "not tested",
                "weight_percent": amounts::map(tile.metals.iter().map(|metal| (metal.0.to_string(), metal.2))),
            })).collect::<Vec<_>>(),
            "crossings": plan.crossings.iter().map(|crossing| json!({
                "before": crossing.before, "after": crossing.after, "subject": crossing.subject,
                "range": crossing.range, "goes": if crossing.goes_out { "out" } else { "in" },
            })).collect::<Vec<_>>(),
            "handling": plan.handling.iter().map(crate::words::hazards::caution).collect::<Vec<_>>(),
            "students": self.students.map(|students| class::shares(plan, students)),
        });
        match value {
            Value::Object(map) => map,
            _ => serde_json::Map::new(),
        }
    }

    fn tile_json(&self, tile: &Tile) -> Value {
        let mut value = json!({
            "code": tile.code,
            "shares": tile.shares,
            "parts": amounts::portions(&tile.glaze.base),
            "additions": amounts::portions(&tile.glaze.additions),
            "grams": amounts::weights(&tile.grams),
            "millilitres": tile.millilitres,
            "drawn": tile.drawn,
            "unity": tile.unity.as_ref().map(amounts::moles),
            "rounding": tile.rounding,
            "findings": tile.findings.iter().map(finding_json).collect::<Vec<_>>(),
        });
        if let (Value::Object(map), true) = (&mut value, self.is_wet()) {
            let other = additions_of_equal_totals(self.ends, &tile.shares);
            map.insert("additions_of_equal_totals".to_owned(), amounts::map(other));
        }
        value
    }

    fn is_wet(&self) -> bool {
        self.plan.way != Way::Dry
    }
}

fn cannot_weigh_json(trouble: &glost_core::tiles::blend::CannotWeigh) -> Value {
    json!({
        "tile": trouble.code,
        "material": trouble.material,
        "grams": trouble.grams,
        "error_percent": trouble.error_percent,
    })
}
