//! One clay as JSON.

use glost_core::evidence::ware::{
    Absorption, AbsorptionFrom, AbsorptionGroup, BarLengths, Clay, ClayExpansion, GROUP_IS_COMPARISON, Measured,
    NO_PROMISE, OWN_FROST_TEST, what_expansion_misses,
};
use serde_json::{Value, json};

use super::ClayPage;
use crate::stress::stress_json;

impl ClayPage<'_> {
    /// As JSON; absorptions in wt % of the dry bar.
    pub fn json(&self) -> Value {
        let report = self.report;
        let clay = report.clay;
        let shown = self.shown();
        json!({
            "clay": clay.name,
            "cone": clay.cone,
            "peak_c": clay.peak.map(|peak| peak.celsius()),
            "use": clay.usage,
            "source": clay.provenance,
            "absorption": report.absorption.map(|(percent, from)| absorption_json(percent, from, report.weighed.as_ref())),
            "tile_group": report.group.map(|group| json!({
                "group": group.name(),
                "range": group.range(),
                "also": report.group_beside.map(AbsorptionGroup::name),
                "comparison_only": true,
                "note": GROUP_IS_COMPARISON,
            })),
            "shrinkage": clay.shrinkage.as_ref().map(shrinkage_json),
            "expansion": report.expansion.as_ref().map(|expansion| expansion_json(expansion, clay)),
            "glaze": self.glaze.map(|(name, _)| name),
            "stress_mpa": self.glaze.and_then(|(_, stress)| stress).map(stress_json),
            "suitability": shown.iter().map(|found| json!({
                "use": found.usage,
                "standing": found.standing.words(),
                "words": found.words,
                "source": found.source,
            })).collect::<Vec<_>>(),
            "next": {
                "words": report.next.words,
                "cones": report.next.cones.iter().map(|(cone, celsius)| json!({"cone": cone, "celsius": celsius})).collect::<Vec<_>>(),
                "own_frost_test": OWN_FROST_TEST,
            },
            "no_promise": NO_PROMISE,
            "assumptions": report.assumptions,
        })
    }
}

fn measured_json(measured: Measured) -> Value {
    json!({
        "value": measured.value,
        "plus_minus": measured.plus_minus(),
        "from_scales": measured.from_scales,
        "from_spread": measured.from_spread,
        "lowest": measured.lowest,
        "highest": measured.highest,
        "bars": measured.bars,
    })
}

fn absorption_json(percent: f64, from: AbsorptionFrom, weighed: Option<&Absorption>) -> Value {
    json!({
        "percent": percent,
        "from": from.word(),
        "cold": weighed.and_then(|weighed| weighed.cold).map(measured_json),
        "boiled": weighed.and_then(|weighed| weighed.boiled).map(measured_json),
        "saturation": weighed.and_then(|weighed| weighed.saturation).map(measured_json),
        "scales_step_grams": weighed.map(|weighed| weighed.step_grams),
        "bars": weighed.map_or_else(Vec::new, |weighed| weighed.bars.iter().map(|bar| json!({
            "dry": bar.dry.grams(),
            "soaked": bar.soaked.map(|weight| weight.grams()),
            "boiled": bar.boiled.map(|weight| weight.grams()),
        })).collect()),
    })
}

fn shrinkage_json(bar: &BarLengths) -> Value {
    json!({
        "total_percent": bar.total_percent(),
        "plus_minus": bar.plus_minus_percent(),
        "drying_percent": bar.drying_percent(),
        "firing_percent": bar.firing_percent(),
        "wet_for_100_mm_fired": bar.wet_for_fired(100.0),
    })
}

fn expansion_json(expansion: &ClayExpansion, clay: &Clay) -> Value {
    json!({
        "value": expansion.per_million_per_kelvin,
        "unit": "1e-6/K",
        "counted_over_c": [20, 400],
        "given_over_c": expansion.given_over_celsius.map(|(low, high)| [low, high]),
        "as_given": clay.expansion.as_ref().map(|printed| printed.printed.clone()),
        "as_given_value": clay.expansion.as_ref().map(|printed| printed.per_million_per_kelvin),
        "measured": expansion.measured,
        "misses_quartz": expansion.misses_quartz(),
        "misses": what_expansion_misses(expansion),
        "dilatometer": clay.dilatometer.as_ref().map(|curve| curve.points().iter().map(|point| json!({
            "c": point.celsius,
            "percent": point.percent,
        })).collect::<Vec<_>>()),
    })
}
