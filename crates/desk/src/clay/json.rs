//! One clay in JSON; absorptions in wt % of the dry bar.

use glost_chemistry::glaze::Use;
use glost_core::evidence::ware::{
    Absorption, AbsorptionFrom, AbsorptionGroup, BarLengths, Clay, ClayExpansion, Measured, NextFiring, Suitability,
};
use serde::{Serialize, Serializer};

use super::{ClayWords, OneClay};
use crate::Said;
use crate::wire::Stress;

#[derive(Serialize, schemars::JsonSchema)]
struct MeasuredJson {
    value: f64,
    plus_minus: f64,
    from_scales: f64,
    from_spread: Option<f64>,
    lowest: f64,
    highest: f64,
    bars: usize,
}

impl From<Measured> for MeasuredJson {
    fn from(measured: Measured) -> MeasuredJson {
        MeasuredJson {
            value: measured.value,
            plus_minus: measured.plus_minus(),
            from_scales: measured.from_scales,
            from_spread: measured.from_spread,
            lowest: measured.lowest,
            highest: measured.highest,
            bars: measured.bars,
        }
    }
}

#[derive(Serialize, schemars::JsonSchema)]
struct BarJson {
    dry: f64,
    soaked: Option<f64>,
    boiled: Option<f64>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct AbsorptionJson {
    percent: f64,
    from: &'static str,
    cold: Option<MeasuredJson>,
    boiled: Option<MeasuredJson>,
    saturation: Option<MeasuredJson>,
    scales_step_grams: Option<f64>,
    bars: Vec<BarJson>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct GroupJson {
    group: &'static str,
    range: &'static str,
    also: Option<&'static str>,
    comparison_only: bool,
    note: Said,
}

#[derive(Serialize, schemars::JsonSchema)]
struct ShrinkageJson {
    total_percent: f64,
    plus_minus: f64,
    drying_percent: Option<f64>,
    firing_percent: Option<f64>,
    wet_for_100_mm_fired: f64,
}

#[derive(Serialize, schemars::JsonSchema)]
struct PointJson {
    c: f64,
    percent: f64,
}

#[derive(Serialize, schemars::JsonSchema)]
struct ExpansionJson<'a> {
    value: f64,
    unit: &'static str,
    counted_over_c: (u32, u32),
    given_over_c: Option<(f64, f64)>,
    as_given: Option<&'a str>,
    as_given_value: Option<f64>,
    measured: bool,
    misses_quartz: bool,
    misses: Said,
    dilatometer: Option<Vec<PointJson>>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct UseJson {
    #[serde(rename = "use")]
    usage: &'static str,
    standing: &'static str,
    words: Said,
    source: Said,
}

#[derive(Serialize, schemars::JsonSchema)]
struct ConeJson {
    cone: &'static str,
    celsius: f64,
}

#[derive(Serialize, schemars::JsonSchema)]
struct NextJson {
    words: Said,
    cones: Vec<ConeJson>,
    own_frost_test: Said,
}

#[derive(Serialize, schemars::JsonSchema)]
struct ClayJson<'a> {
    clay: &'a str,
    cone: Option<&'a str>,
    peak_c: Option<f64>,
    #[serde(rename = "use")]
    usage: Option<&'static str>,
    source: Option<&'a str>,
    absorption: Option<AbsorptionJson>,
    tile_group: Option<GroupJson>,
    shrinkage: Option<ShrinkageJson>,
    expansion: Option<ExpansionJson<'a>>,
    glaze: Option<&'a str>,
    stress_mpa: Option<Stress<'a>>,
    suitability: Vec<UseJson>,
    next: NextJson,
    no_promise: Said,
    assumptions: Vec<Said>,
}

impl Serialize for OneClay {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let report = &self.report;
        let clay = &report.clay;
        let weighed = report.weighed.as_ref();
        let glaze = self.glaze.as_ref();
        ClayJson {
            clay: &clay.name,
            cone: clay.cone.as_deref(),
            peak_c: clay.peak.map(|peak| peak.celsius()),
            usage: clay.usage.map(Use::word),
            source: clay.provenance.as_deref(),
            absorption: report
                .absorption
                .map(|(percent, from)| absorption_json(percent, from, weighed)),
            tile_group: report.group.map(|group| group_json(group, report.group_beside)),
            shrinkage: clay.shrinkage.as_ref().map(shrinkage_json),
            expansion: report
                .expansion
                .as_ref()
                .map(|expansion| expansion_json(expansion, clay)),
            glaze: glaze.map(|on_it| on_it.glaze.as_str()),
            stress_mpa: glaze.and_then(|on_it| on_it.stress.as_ref()).map(Stress),
            suitability: self.suitability.iter().map(use_json).collect(),
            next: next_json(&report.next),
            no_promise: Said::Clay(ClayWords::NoPromise),
            assumptions: report
                .assumptions
                .iter()
                .map(|said| Said::Clay(ClayWords::Assumed(said.clone())))
                .collect(),
        }
        .serialize(to)
    }
}

crate::wire::written_as!(OneClay: ClayJson<'_>);

fn absorption_json(percent: f64, from: AbsorptionFrom, weighed: Option<&Absorption>) -> AbsorptionJson {
    let of = |pick: fn(&Absorption) -> Option<Measured>| weighed.and_then(pick).map(MeasuredJson::from);
    let bars = weighed.map_or(&[][..], |weighed| &weighed.bars).iter();
    AbsorptionJson {
        percent,
        from: from.word(),
        cold: of(|weighed| weighed.cold),
        boiled: of(|weighed| weighed.boiled),
        saturation: of(|weighed| weighed.saturation),
        scales_step_grams: weighed.map(|weighed| weighed.step_grams),
        bars: bars
            .map(|bar| BarJson {
                dry: bar.dry.grams(),
                soaked: bar.soaked.map(|weight| weight.grams()),
                boiled: bar.boiled.map(|weight| weight.grams()),
            })
            .collect(),
    }
}

fn group_json(group: AbsorptionGroup, beside: Option<AbsorptionGroup>) -> GroupJson {
    GroupJson {
        group: group.name(),
        range: group.range(),
        also: beside.map(AbsorptionGroup::name),
        comparison_only: true,
        note: Said::Clay(ClayWords::GroupIsComparison),
    }
}

fn shrinkage_json(bar: &BarLengths) -> ShrinkageJson {
    ShrinkageJson {
        total_percent: bar.total_percent(),
        plus_minus: bar.plus_minus_percent(),
        drying_percent: bar.drying_percent(),
        firing_percent: bar.firing_percent(),
        wet_for_100_mm_fired: bar.wet_for_fired(100.0),
    }
}

fn expansion_json<'a>(expansion: &ClayExpansion, clay: &'a Clay) -> ExpansionJson<'a> {
    let printed = clay.expansion.as_ref();
    ExpansionJson {
        value: expansion.per_million_per_kelvin,
        unit: "1e-6/K",
        counted_over_c: (20, 400),
        given_over_c: expansion.given_over_celsius,
        as_given: printed.map(|printed| printed.printed.as_str()),
        as_given_value: printed.map(|printed| printed.per_million_per_kelvin),
        measured: expansion.measured,
        misses_quartz: expansion.misses_quartz(),
        misses: Said::Clay(ClayWords::misses(expansion)),
        dilatometer: clay.dilatometer.as_ref().map(|curve| {
            let points = curve.points().iter();
            points
                .map(|point| PointJson {
                    c: point.celsius,
                    percent: point.percent,
                })
                .collect()
        }),
    }
}

fn use_json(found: &Suitability) -> UseJson {
    UseJson {
        usage: found.usage.word(),
        standing: found.standing.words(),
        words: Said::Clay(ClayWords::Why(found.why)),
        source: Said::Clay(ClayWords::SourceOf(found.why)),
    }
}

fn next_json(next: &NextFiring) -> NextJson {
    let cones = next.cones.iter();
    NextJson {
        words: Said::Clay(ClayWords::Next(next.clone())),
        cones: cones
            .map(|(cone, celsius)| ConeJson {
                cone,
                celsius: *celsius,
            })
            .collect(),
        own_frost_test: Said::Clay(ClayWords::OwnFrostTest),
    }
}
