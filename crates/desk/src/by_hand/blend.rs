//! A plan of tiles by hand: each end's share of each material, or each end's slurry.

use glost_chemistry::glaze::Glaze;
use glost_core::tiles::blend::{BaseBatch, BlendPlan, EndBatch, SPARE, Tile, Way};

use super::{Line, Step, Sum};

/// A plan and what it was made from.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Planned<'a> {
    pub(crate) plan: &'a BlendPlan,
    pub(crate) ends: &'a [Glaze],
    /// Grams of base a tile.
    pub(crate) dry_grams: f64,
    /// Slurry a tile, where blended wet, ml.
    pub(crate) volume_millilitres: Option<f64>,
    /// Density of its slurry, g/ml.
    pub(crate) density: f64,
}

/// The sum of a plan.
pub(crate) fn of_plan(planned: Planned<'_>) -> Vec<Line> {
    let tiles = planned.plan.tiles.iter();
    match planned.volume_millilitres.filter(|_| planned.plan.way != Way::Dry) {
        None => tiles.flat_map(|tile| dry(planned, tile)).collect(),
        Some(volume) => {
            let mut lines: Vec<Line> = tiles.flat_map(|tile| wet(tile, volume)).collect();
            let per_millilitre = base_per_millilitre(planned);
            let base = per_millilitre.value;
            lines.push(per_millilitre);
            for (index, batch) in planned.plan.end_batches.iter().enumerate() {
                lines.extend(of_end(planned, index, batch, volume, base));
            }
            lines.extend(
                planned
                    .plan
                    .base_batches
                    .iter()
                    .flat_map(|batch| split(planned.plan, batch)),
            );
            lines
        }
    }
}

/// A tile weighed dry: what each end brings of each material, then grams.
fn dry(planned: Planned<'_>, tile: &Tile) -> Vec<Line> {
    let mut lines = Vec::new();
    for weighed in &tile.grams {
        let name = || weighed.material.clone();
        let own = tile
            .glaze
            .portions()
            .filter(|portion| portion.material.name == weighed.material);
        let percent: f64 = own.map(|portion| portion.percent).sum();
        let brought = planned.ends.iter().zip(&tile.shares).flat_map(|(end, share)| {
            let held = end
                .portions()
                .filter(|portion| portion.material.name == weighed.material);
            held.filter(|portion| *share > 0.0 && portion.percent > 0.0)
                .map(|portion| Sum::times([*share, portion.percent]))
        });
        let (tile, material) = (tile.code.clone(), name());
        let in_tile = Line::new(Step::PercentInTile { tile, material }, Sum::plus(brought), percent);
        let grams = Sum::Number(percent).over(100.0).by(planned.dry_grams);
        let step = match &in_tile.step {
            Step::PercentInTile { tile, material } => Step::GramsOfTile {
                tile: tile.clone(),
                material: material.clone(),
            },
            _ => continue,
        };
        lines.extend([in_tile, Line::between(step, grams).taken(weighed.grams)]);
    }
    lines
}

/// A tile blended wet: each end's share of its slurry.
fn wet(tile: &Tile, volume: f64) -> Vec<Line> {
    let volumes = tile.millilitres.iter().flatten().zip(tile.drawn.iter().flatten());
    let shares = tile.shares.iter().zip(volumes).enumerate();
    shares
        .filter(|(_, (share, _))| **share > 0.0)
        .map(|(index, (share, (millilitres, drawn)))| {
            let step = Step::SlurryOfTile {
                tile: tile.code.clone(),
                end: index + 1,
            };
            Line::new(step, Sum::times([*share, volume]), *millilitres).taken(*drawn)
        })
        .collect()
}

/// Solids by Brongniart of the end that holds the least base in a millilitre.
fn base_per_millilitre(planned: Planned<'_>) -> Line {
    let on_top = |end: &Glaze| -> f64 { end.additions.iter().map(|portion| portion.percent).sum() };
    let held = |(end, batch): (&Glaze, &EndBatch)| {
        let powder = batch.powder_density.value();
        let solids = Sum::Number(planned.density)
            .less(1.0)
            .by(powder)
            .over(Sum::Number(powder).less(1.0));
        let sum = solids.over(Sum::plus([Sum::Number(1.0), Sum::Number(on_top(end)).over(100.0)]));
        Line::between(Step::BasePerMillilitre, sum)
    };
    let each = planned.ends.iter().zip(&planned.plan.end_batches).map(held);
    let least = each.min_by(|one, other| one.value.total_cmp(&other.value));
    least.unwrap_or_else(|| Line::between(Step::BasePerMillilitre, Sum::Number(0.0)))
}

/// A base that several ends share, split by weighed slurry.
fn split(plan: &BlendPlan, batch: &BaseBatch) -> Vec<Line> {
    let slurry = Line::new(
        Step::SlurryToSplit,
        Sum::plus([batch.dry_grams, batch.water_millilitres]),
        batch.slurry_grams,
    );
    let ends = batch
        .ends
        .iter()
        .zip(&batch.split_grams)
        .filter_map(|(index, weighed)| {
            let own = plan.end_batches.get(*index)?.dry_grams;
            let sum = Sum::times([batch.slurry_grams, own]).over(batch.dry_grams);
            Some(Line::between(Step::SplitOfEnd { end: index + 1 }, sum).taken(*weighed))
        });
    std::iter::once(slurry).chain(ends).collect()
}

/// An end for all tiles: how much slurry, its powder, its water, its density.
fn of_end(planned: Planned<'_>, index: usize, batch: &EndBatch, volume: f64, base: f64) -> Vec<Line> {
    let end = index + 1;
    let Some((glaze, (millilitres, (water, density)))) = planned
        .ends
        .get(index)
        .zip(batch.millilitres.zip(batch.water_millilitres.zip(batch.density)))
    else {
        return Vec::new();
    };
    let shares = planned
        .plan
        .tiles
        .iter()
        .filter_map(|tile| tile.shares.get(index))
        .copied();
    let tiles = Line::between(Step::TilesOfEnd { end }, Sum::plus(shares.filter(|share| *share > 0.0)));
    let slurry = Sum::times([tiles.value, volume, SPARE]);
    let percents = glaze
        .portions()
        .map(|portion| portion.percent)
        .filter(|percent| *percent > 0.0);
    let powder = Line::between(
        Step::PowderOfEnd { end },
        Sum::plus(percents).over(100.0).by(batch.dry_grams),
    );
    let dry = Line::between(Step::BaseOfEnd { end }, Sum::times([millilitres, base])).taken(batch.dry_grams);
    let grams = powder.value;
    let fills = Sum::Number(millilitres).less(Sum::Number(grams).over(batch.powder_density.value()));
    vec![
        tiles,
        Line::new(Step::SlurryOfEnd { end }, slurry, millilitres),
        dry,
        powder,
        Line::new(Step::WaterOfEnd { end }, fills, water),
        Line::new(
            Step::DensityOfEnd { end },
            Sum::plus([grams, water]).over(millilitres),
            density,
        ),
    ]
}
