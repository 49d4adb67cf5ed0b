//! A plan of tiles in JSON.

use glost_core::tiles::blend::{BaseBatch, CannotWeigh, Crossing, EndBatch, LabTile, ShareOf, Tile, TilePremix};
use serde::{Serialize, Serializer};

use super::Answer;
use crate::Said;
use crate::by_hand::Line;
use crate::wire::{Amounts, FindingJson, Signed};

#[derive(Serialize, schemars::JsonSchema)]
struct TileJson<'a> {
    code: &'a str,
    shares: &'a [f64],
    added: Option<AddedJson<'a>>,
    water_millilitres: Option<f64>,
    parts: Amounts,
    additions: Amounts,
    grams: Amounts,
    millilitres: Option<&'a [f64]>,
    drawn: Option<&'a [f64]>,
    unity: Option<Amounts>,
    rounding: Option<f64>,
    findings: Vec<FindingJson<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    additions_of_equal_totals: Option<Amounts>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct AddedJson<'a> {
    material: &'a str,
    percent: f64,
}

#[derive(Serialize, schemars::JsonSchema)]
struct CannotWeighJson<'a> {
    tile: &'a str,
    material: &'a str,
    grams: f64,
    error_percent: f64,
}

#[derive(Serialize, schemars::JsonSchema)]
struct EndBatchJson<'a> {
    glaze: &'a str,
    dry: f64,
    millilitres: Option<f64>,
    grams: Amounts,
    additions: Amounts,
    water_millilitres: Option<f64>,
    density: Option<f64>,
    powder_density: f64,
    usual_grains: &'a [String],
    cannot_weigh: Vec<CannotWeighJson<'a>>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct WayJson {
    way: Said,
    all: usize,
    additions: usize,
}

#[derive(Serialize, schemars::JsonSchema)]
struct BaseBatchJson<'a> {
    ends: &'a [usize],
    dry: f64,
    grams: Amounts,
    water_millilitres: f64,
    slurry_grams: f64,
    split_grams: &'a [f64],
}

#[derive(Serialize, schemars::JsonSchema)]
struct SyringeJson {
    holds_millilitres: f64,
    mark_millilitres: f64,
}

#[derive(Serialize, schemars::JsonSchema)]
struct CannotDrawJson<'a> {
    tile: &'a str,
    end: usize,
    millilitres: f64,
}

#[derive(Serialize, schemars::JsonSchema)]
struct PremixUseJson<'a> {
    tile: &'a str,
    grams: f64,
    rest_of_with: f64,
}

#[derive(Serialize, schemars::JsonSchema)]
struct PremixJson<'a> {
    material: &'a str,
    with: &'a str,
    percent: f64,
    grams: f64,
    with_grams: f64,
    error_percent: f64,
    tiles: Vec<PremixUseJson<'a>>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct LargerTestJson<'a> {
    material: &'a str,
    dry: f64,
}

#[derive(Serialize, schemars::JsonSchema)]
struct LabJson<'a> {
    tile: &'a str,
    food_contact: &'static str,
    share_of: &'static str,
    weight_percent: Amounts,
}

#[derive(Serialize, schemars::JsonSchema)]
struct CrossingJson<'a> {
    before: &'a str,
    after: &'a str,
    subject: &'a str,
    range: Said,
    goes: &'static str,
}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    kind: &'a str,
    ends: &'a [String],
    tiles: Vec<TileJson<'a>>,
    end_batches: Vec<EndBatchJson<'a>>,
    cannot_weigh: Vec<CannotWeighJson<'a>>,
    density: Option<f64>,
    shape: &'static str,
    rows: &'a [usize],
    way: Said,
    weighings: Vec<WayJson>,
    base_batches: Vec<BaseBatchJson<'a>>,
    syringe: SyringeJson,
    draw_order: &'a [usize],
    cannot_draw: Vec<CannotDrawJson<'a>>,
    premixes: Vec<PremixJson<'a>>,
    larger_tests: Vec<LargerTestJson<'a>>,
    lab: Vec<LabJson<'a>>,
    crossings: Vec<CrossingJson<'a>>,
    handling: Vec<Said>,
    students: Option<&'a [Vec<String>]>,
    notes: &'a [String],
    cautions: Vec<Said>,
    assumptions: Vec<Said>,
    signed: &'a Signed,
    #[serde(skip_serializing_if = "Option::is_none")]
    steps: Option<&'a [Line]>,
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let plan = &self.plan;
        let tiles = plan.tiles.iter().enumerate();
        AnswerJson {
            kind: &plan.kind,
            ends: &plan.ends,
            tiles: tiles
                .map(|(index, tile)| tile_json(tile, self.equal_totals.get(index)))
                .collect(),
            end_batches: plan.end_batches.iter().map(end_batch_json).collect(),
            cannot_weigh: cannot_weigh(&plan.cannot_weigh),
            density: self.density,
            shape: plan.shape.word(),
            rows: &plan.rows,
            way: Said::Way(plan.way),
            weighings: self.ways_json(),
            base_batches: plan.base_batches.iter().map(base_batch_json).collect(),
            syringe: SyringeJson {
                holds_millilitres: plan.syringe.holds_millilitres,
                mark_millilitres: plan.syringe.mark_millilitres,
            },
            draw_order: &plan.draw_order,
            cannot_draw: self.cannot_draw_json(),
            premixes: plan.premixes.iter().map(premix_json).collect(),
            larger_tests: self.larger_tests_json(),
            lab: plan.lab.iter().map(lab_json).collect(),
            crossings: plan.crossings.iter().map(crossing_json).collect(),
            handling: plan.handling.iter().cloned().map(Said::Hazard).collect(),
            students: self.students.as_deref(),
            notes: &plan.notes,
            cautions: plan.cautions.iter().map(Said::from).collect(),
            assumptions: plan.assumptions.iter().map(Said::from).collect(),
            signed: &self.signed,
            steps: self.steps.as_deref(),
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);

impl Answer {
    fn ways_json(&self) -> Vec<WayJson> {
        let ways = self.plan.ways.iter();
        ways.map(|way| WayJson {
            way: Said::Way(way.way),
            all: way.all,
            additions: way.additions,
        })
        .collect()
    }

    fn cannot_draw_json(&self) -> Vec<CannotDrawJson<'_>> {
        let volumes = self.plan.cannot_draw.iter();
        volumes
            .map(|volume| CannotDrawJson {
                tile: &volume.code,
                end: volume.end,
                millilitres: volume.millilitres,
            })
            .collect()
    }

    fn larger_tests_json(&self) -> Vec<LargerTestJson<'_>> {
        let tests = self.plan.larger_tests.iter();
        tests
            .map(|test| LargerTestJson {
                material: &test.material,
                dry: test.base_grams,
            })
            .collect()
    }
}

fn tile_json<'a>(tile: &'a Tile, equal_totals: Option<&Vec<(String, f64)>>) -> TileJson<'a> {
    TileJson {
        code: &tile.code,
        shares: &tile.shares,
        added: tile.added.as_ref().map(|added| AddedJson {
            material: &added.material,
            percent: added.percent,
        }),
        water_millilitres: tile.water_millilitres,
        parts: Amounts::portions(&tile.glaze.base),
        additions: Amounts::portions(&tile.glaze.additions),
        grams: Amounts::weights(&tile.grams),
        millilitres: tile.millilitres.as_deref(),
        drawn: tile.drawn.as_deref(),
        unity: tile.unity.as_ref().map(Amounts::moles),
        rounding: tile.rounding,
        findings: tile.findings.iter().map(FindingJson).collect(),
        additions_of_equal_totals: equal_totals.map(|other| Amounts(other.clone())),
    }
}

fn cannot_weigh(troubles: &[CannotWeigh]) -> Vec<CannotWeighJson<'_>> {
    let troubles = troubles.iter();
    troubles
        .map(|trouble| CannotWeighJson {
            tile: &trouble.code,
            material: &trouble.material,
            grams: trouble.grams,
            error_percent: trouble.error_percent,
        })
        .collect()
}

fn end_batch_json(batch: &EndBatch) -> EndBatchJson<'_> {
    EndBatchJson {
        glaze: &batch.glaze,
        dry: batch.dry_grams,
        millilitres: batch.millilitres,
        grams: Amounts::weights(&batch.grams),
        additions: Amounts::weights(&batch.additions),
        water_millilitres: batch.water_millilitres,
        density: batch.density,
        powder_density: batch.powder_density.value(),
        usual_grains: &batch.usual_grains,
        cannot_weigh: cannot_weigh(&batch.cannot_weigh),
    }
}

fn base_batch_json(batch: &BaseBatch) -> BaseBatchJson<'_> {
    BaseBatchJson {
        ends: &batch.ends,
        dry: batch.dry_grams,
        grams: Amounts::weights(&batch.grams),
        water_millilitres: batch.water_millilitres,
        slurry_grams: batch.slurry_grams,
        split_grams: &batch.split_grams,
    }
}

fn premix_json(premix: &TilePremix) -> PremixJson<'_> {
    let uses = premix.uses.iter();
    PremixJson {
        material: &premix.material,
        with: &premix.carrier,
        percent: premix.percent,
        grams: premix.little_grams,
        with_grams: premix.carrier_grams,
        error_percent: premix.error_percent,
        tiles: uses
            .map(|own| PremixUseJson {
                tile: &own.code,
                grams: own.premix_grams,
                rest_of_with: own.carrier_grams,
            })
            .collect(),
    }
}

fn lab_json(tile: &LabTile) -> LabJson<'_> {
    let metals = tile.metals.iter();
    LabJson {
        tile: &tile.code,
        food_contact: "not tested",
        share_of: match tile.share_of {
            ShareOf::Fired => "fired glaze",
            ShareOf::Batch => "dry batch",
        },
        weight_percent: Amounts(metals.map(|metal| (metal.0.to_string(), metal.2)).collect()),
    }
}

fn crossing_json(crossing: &Crossing) -> CrossingJson<'_> {
    CrossingJson {
        before: &crossing.before,
        after: &crossing.after,
        subject: &crossing.subject,
        range: Said::Range {
            low: crossing.low,
            high: crossing.high,
        },
        goes: if crossing.goes_out { "out" } else { "in" },
    }
}
