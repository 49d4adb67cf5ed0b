//! A blend plan: every tile's recipe, weights, volumes and chemistry.

use crate::chemistry::OxideMoles;
use crate::glaze::{Additions, Analysis, FluxList, Glaze};
use crate::rules::{Finding, Rules};
use crate::studio::Scales;
use crate::weigh::{MOST_WEIGHING_ERROR, WeighedLine};

use super::ends::unlike_ends;
use super::shape::Shape;
use super::tiles::{Shares, blended};

/// How a plan is to be made.
#[derive(Debug, Clone)]
pub struct PlanOrder<'a> {
    /// `line` or the name of a design.
    pub kind: String,
    /// The glazes at the ends.
    pub ends: Vec<Glaze>,
    /// Codes and shares of the tiles, in order.
    pub tiles: Vec<(String, Shares)>,
    /// How they lie beside each other.
    pub shape: Shape,
    /// Tiles in each row of the map.
    pub rows: Vec<usize>,
    /// Sentences of the design that go with the plan.
    pub notes: Vec<String>,
    /// Grams of base for one tile.
    pub dry_grams: f64,
    /// Millilitres of slurry for one tile, where blended wet.
    pub volume_millilitres: Option<f64>,
    /// Density that the ends' slurries are brought to, g/ml.
    pub slurry_grams_per_millilitre: f64,
    /// What counts as flux.
    pub fluxes: &'a FluxList,
    /// What the weights are shown on.
    pub scales: Scales,
}

/// One tile.
#[derive(Debug, Clone)]
pub struct Tile {
    /// The code for its back.
    pub code: String,
    /// Shares of the ends.
    pub shares: Shares,
    /// Its recipe.
    pub glaze: Glaze,
    /// Grams to weigh, base and additions together, to the scales' step.
    pub grams: Vec<WeighedLine>,
    /// Millilitres of each end's slurry.
    pub millilitres: Option<Vec<f64>>,
    /// Its unity formula; `None` where an analysis is unknown.
    pub unity: Option<OxideMoles>,
    /// What checks say about it.
    pub findings: Vec<Finding>,
}

/// How much of one end the whole plan takes.
#[derive(Debug, Clone)]
pub struct EndBatch {
    /// The end's name.
    pub glaze: String,
    /// Grams of base for all tiles, with 15 % to spare.
    pub dry_grams: f64,
    /// Millilitres for all tiles with the same spare, where blended wet.
    pub millilitres: Option<f64>,
    /// Grams to weigh for that batch, base and additions.
    pub grams: Vec<WeighedLine>,
}

/// A weight that the scales can't show well enough.
#[derive(Debug, Clone, PartialEq)]
pub struct CannotWeigh {
    /// The tile's code.
    pub code: String,
    /// The material.
    pub material: String,
    /// The grams wanted.
    pub grams: f64,
    /// Half a step over the weight, in per cent.
    pub error_percent: f64,
}

/// A whole plan.
#[derive(Debug, Clone)]
pub struct BlendPlan {
    /// `line` or the name of a design.
    pub kind: String,
    /// Names of the ends.
    pub ends: Vec<String>,
    /// The tiles in reading order.
    pub tiles: Vec<Tile>,
    /// How they lie beside each other.
    pub shape: Shape,
    /// Tiles in each row of the map.
    pub rows: Vec<usize>,
    /// What the design says about the plan.
    pub notes: Vec<String>,
    /// What to know before making it.
    pub cautions: Vec<String>,
    /// Batches of the ends, for blending wet.
    pub end_batches: Vec<EndBatch>,
    /// Weights beyond the scales.
    pub cannot_weigh: Vec<CannotWeigh>,
    /// Sentences that go with the plan.
    pub assumptions: Vec<String>,
}

/// Density of a glaze's powder in g/ml where nobody measured it, +/- 0.1
/// (common practice, no source).
pub const POWDER_GRAMS_PER_MILLILITRE: f64 = 2.6;

/// How much more of each end is made than the tiles take (common practice).
pub const SPARE: f64 = 1.15;

/// Works a plan out.
pub fn plan(order: &PlanOrder<'_>, rules: Option<&dyn Rules>) -> BlendPlan {
    let mut cannot_weigh = Vec::new();
    let mut assumptions: Vec<String> = Vec::new();
    let mut tiles = Vec::new();
    for (code, shares) in &order.tiles {
        let glaze = blended(&format!("tile {code}"), &order.ends, shares);
        let grams = weights(
            &glaze,
            order.dry_grams,
            &order.scales,
            |material, grams, error_percent| {
                cannot_weigh.push(CannotWeigh {
                    code: code.clone(),
                    material: material.to_owned(),
                    grams,
                    error_percent,
                });
            },
        );
        for sentence in glaze.material_assumptions() {
            if !assumptions.contains(&sentence) {
                assumptions.push(sentence);
            }
        }
        let analysis = Analysis::of(&glaze, order.fluxes, Additions::In).ok();
        tiles.push(Tile {
            code: code.clone(),
            shares: shares.clone(),
            millilitres: order
                .volume_millilitres
                .map(|volume| shares.iter().map(|share| share * volume).collect()),
            unity: analysis.and_then(|analysis| analysis.unity),
            findings: rules.map(|rules| rules.findings(&glaze)).unwrap_or_default(),
            glaze,
            grams,
        });
    }
    BlendPlan {
        kind: order.kind.clone(),
        ends: order.ends.iter().map(|end| end.name.clone()).collect(),
        end_batches: end_batches(order),
        tiles,
        shape: order.shape,
        rows: order.rows.clone(),
        notes: order.notes.clone(),
        cautions: unlike_ends(&order.ends),
        cannot_weigh,
        assumptions,
    }
}

fn weights(
    glaze: &Glaze,
    dry_grams: f64,
    scales: &Scales,
    mut trouble: impl FnMut(&str, f64, f64),
) -> Vec<WeighedLine> {
    let step = scales.reads_to.grams();
    let mut lines: Vec<WeighedLine> = Vec::new();
    for portion in glaze.portions().filter(|portion| portion.percent > 0.0) {
        let exact = portion.percent / 100.0 * dry_grams;
        match lines.iter_mut().find(|line| line.material == portion.material.name) {
            Some(same) => same.grams += exact,
            None => lines.push(WeighedLine {
                material: portion.material.name.clone(),
                grams: exact,
            }),
        }
    }
    for line in &mut lines {
        let error = 0.5 * step / line.grams;
        // A weight of just ten steps is not pushed over the line by the last bit.
        if error > MOST_WEIGHING_ERROR * (1.0 + 1e-9) {
            trouble(&line.material, line.grams, 100.0 * error);
        }
        line.grams = crate::weigh::to_step(line.grams, step);
    }
    lines
}

/// Grams of base in a millilitre of every end's slurry: as much as the end with
/// the most additions can hold at this density, so that equal volumes hold
/// equal base. Solids by Brongniart: (density - 1) * D / (D - 1).
fn base_grams_per_millilitre(order: &PlanOrder<'_>) -> f64 {
    let powder = POWDER_GRAMS_PER_MILLILITRE;
    let solids = (order.slurry_grams_per_millilitre - 1.0) * powder / (powder - 1.0);
    let additions = |end: &Glaze| -> f64 { end.additions.iter().map(|portion| portion.percent).sum() };
    let most = order.ends.iter().map(additions).fold(0.0, f64::max);
    solids / (1.0 + most / 100.0)
}

fn end_batches(order: &PlanOrder<'_>) -> Vec<EndBatch> {
    order
        .ends
        .iter()
        .enumerate()
        .map(|(index, end)| {
            let tiles: f64 = order.tiles.iter().filter_map(|(_, shares)| shares.get(index)).sum();
            let millilitres = order.volume_millilitres.map(|volume| tiles * volume * SPARE);
            let dry_grams = match millilitres {
                Some(volume) => volume * base_grams_per_millilitre(order),
                None => tiles * order.dry_grams * SPARE,
            };
            EndBatch {
                glaze: end.name.clone(),
                dry_grams,
                millilitres,
                grams: weights(end, dry_grams, &order.scales, |_, _, _| {}),
            }
        })
        .collect()
}
