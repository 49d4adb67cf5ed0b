//! A blend plan: every tile's recipe, weights, volumes and chemistry.

use crate::rules::{Finding, LimitSet, Rules};
use crate::workshop::scales::Scales;
use crate::workshop::scales::WeighedLine;
use crate::workshop::wetting::{WaterAim, powder_density, water_per_gram};
use glost_chemistry::Assumption;
use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::{Additions, Analysis, FluxList, Glaze};
use glost_chemistry::oxides::OxideMoles;
use glost_chemistry::quantity::GramsPerMillilitre;

use super::ends::{Added, UnlikeEnds, added, unlike_ends};
use super::flags::{Crossing, LabTile, crossings, expansion_finding, lab_tile, limit_findings};
use super::premix::{LargerTest, TilePremix, premixes};
use super::shape::Shape;
use super::syringe::Syringe;
use super::tiles::{Shares, blended};
use super::weights::{CannotWeigh, as_weighed, beyond_scales, drawn_lines, exact_lines, rounded, rounding_distance};
use super::wet::{BaseBatch, Batches, EndBatch, Way, Weighings, WetOrder};

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
    /// What the slurry is measured with.
    pub syringe: Syringe,
    /// Name of the limits that tiles are held against.
    pub limits: Option<String>,
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
    /// On a ladder of one addition, how much of it.
    pub added: Option<Added>,
    /// Grams to weigh, base and additions together, to the scales' step.
    pub grams: Vec<WeighedLine>,
    /// Water for a cup weighed dry, where the first end says how wet it is mixed.
    pub water_millilitres: Option<f64>,
    /// Millilitres of each end's slurry, unrounded.
    pub millilitres: Option<Vec<f64>>,
    /// The same to the syringe's marks.
    pub drawn: Option<Vec<f64>>,
    /// Its unity formula; `None` where an analysis is unknown.
    pub unity: Option<OxideMoles>,
    /// How far rounding to scales or marks moves it, in tolerances.
    pub rounding: Option<f64>,
    /// What checks say about it.
    pub findings: Vec<Finding>,
}

/// A volume too small for the syringe.
#[derive(Debug, Clone, PartialEq)]
pub struct CannotDraw {
    /// The tile's code.
    pub code: String,
    /// The end, by place.
    pub end: usize,
    /// The millilitres wanted.
    pub millilitres: f64,
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
    /// How it is made: the way with the fewest weighings of those asked for.
    pub way: Way,
    /// Weighings of every way there is, the fewest first.
    pub ways: Vec<Weighings>,
    /// Batches of the ends, for blending wet.
    pub end_batches: Vec<EndBatch>,
    /// Batches of base to split, where that is the way.
    pub base_batches: Vec<BaseBatch>,
    /// Ends by place, in the order to draw them.
    pub draw_order: Vec<usize>,
    /// What the slurry is measured with.
    pub syringe: Syringe,
    /// Volumes too small for the syringe.
    pub cannot_draw: Vec<CannotDraw>,
    /// Weights of tiles beyond the scales.
    pub cannot_weigh: Vec<CannotWeigh>,
    /// Pre-mixes that let every tile be weighed dry.
    pub premixes: Vec<TilePremix>,
    /// What no pre-mix helps.
    pub larger_tests: Vec<LargerTest>,
    /// Tiles with metals for the laboratory, the most first.
    pub lab: Vec<LabTile>,
    /// Where rows cross the chosen limits.
    pub crossings: Vec<Crossing>,
    /// What the design says about the plan.
    pub notes: Vec<String>,
    /// How its ends are fired or used unlike.
    pub cautions: Vec<UnlikeEnds>,
    /// Dust and handling, by what the whole plan weighs.
    pub handling: Vec<crate::workshop::hazards::Caution>,
    /// What goes with the plan.
    pub assumptions: Vec<Assumption>,
}

/// What goes with the numbers of all tiles: as of one glaze with everything that is in any.
fn assumptions_of_all(tiles: &[Tile]) -> Vec<Assumption> {
    let Some(first) = tiles.first() else {
        return Vec::new();
    };
    let mut all = Glaze {
        base: tiles.iter().flat_map(|tile| tile.glaze.base.clone()).collect(),
        additions: tiles.iter().flat_map(|tile| tile.glaze.additions.clone()).collect(),
        ..first.glaze.clone()
    };
    for said in tiles.iter().flat_map(|tile| &tile.glaze.assumptions) {
        if !all.assumptions.contains(said) {
            all.assumptions.push(said.clone());
        }
    }
    all.material_assumptions()
}

/// Works a plan out.
///
/// # Errors
/// Limits that can't be had.
pub fn plan(order: &PlanOrder<'_>, rules: Option<&dyn Rules>) -> Result<BlendPlan, Diagnostic> {
    let limits = limits(order, rules)?;
    let mut tiles: Vec<Tile> = order
        .tiles
        .iter()
        .map(|(code, shares)| tile(order, code, shares, rules, limits.as_ref()))
        .collect();
    let assumptions = assumptions_of_all(&tiles);
    let cannot_weigh: Vec<CannotWeigh> = tiles
        .iter()
        .flat_map(|tile| beyond_scales(&tile.code, &exact_lines(&tile.glaze, order.dry_grams), &order.scales))
        .collect();
    let (premixes, larger_tests) = premixes(&tiles, &cannot_weigh, order.dry_grams, &order.scales);
    let mut lab: Vec<LabTile> = tiles
        .iter()
        .filter_map(|tile| lab_tile(&tile.code, &tile.glaze))
        .collect();
    lab.sort_by(|a, b| b.total().total_cmp(&a.total()));
    let wet = wet_order(order);
    let ways = wet.ways(
        &tiles.iter().map(|tile| tile.grams.len()).collect::<Vec<_>>(),
        tiles.iter().map(additions_weighed).sum(),
    );
    let way = if order.volume_millilitres.is_none() {
        Way::Dry
    } else {
        let wet_ways = ways.iter().find(|weighings| weighings.way != Way::Dry);
        wet_ways.map_or(Way::Ends, |weighings| weighings.way)
    };
    let batches = wet.batches(way == Way::Split);
    for tile in &mut tiles {
        tile.rounding = rounding(order, tile, &batches);
    }
    Ok(BlendPlan {
        kind: order.kind.clone(),
        ends: order.ends.iter().map(|end| end.name.clone()).collect(),
        end_batches: batches.ends,
        base_batches: batches.bases,
        draw_order: wet.draw_order(),
        way,
        ways,
        syringe: order.syringe,
        cannot_draw: tiles.iter().flat_map(|tile| cannot_draw(tile, order.syringe)).collect(),
        crossings: limits.map_or_else(Vec::new, |limits| {
            let unities: Vec<(String, Option<OxideMoles>)> = tiles
                .iter()
                .map(|tile| (tile.code.clone(), tile.unity.clone()))
                .collect();
            crossings(&order.rows, &unities, order.fluxes, &limits)
        }),
        tiles,
        shape: order.shape,
        rows: order.rows.clone(),
        cannot_weigh,
        premixes,
        larger_tests,
        lab,
        notes: order.notes.clone(),
        cautions: unlike_ends(&order.ends),
        handling: wet.handling(),
        assumptions,
    })
}

/// The chosen limits, as they hold for the first end.
fn limits(order: &PlanOrder<'_>, rules: Option<&dyn Rules>) -> Result<Option<LimitSet>, Diagnostic> {
    match (&order.limits, rules, order.ends.first()) {
        (Some(name), Some(rules), Some(end)) => rules.ranges(name, end).map(Some),
        _ => Ok(None),
    }
}

fn wet_order<'a>(order: &'a PlanOrder<'_>) -> WetOrder<'a> {
    WetOrder {
        ends: &order.ends,
        tiles: &order.tiles,
        dry_grams: order.dry_grams,
        volume_millilitres: order.volume_millilitres,
        density: order.slurry_grams_per_millilitre,
        scales: &order.scales,
    }
}

fn additions_weighed(tile: &Tile) -> usize {
    let additions = tile.glaze.additions.iter();
    additions.filter(|portion| portion.percent > 0.0).count()
}

fn tile(
    order: &PlanOrder<'_>,
    code: &str,
    shares: &Shares,
    rules: Option<&dyn Rules>,
    limits: Option<&LimitSet>,
) -> Tile {
    let glaze = blended(&format!("tile {code}"), &order.ends, shares);
    let lines = exact_lines(&glaze, order.dry_grams);
    let analysis = Analysis::of(&glaze, order.fluxes, Additions::In).ok();
    let moles = analysis.as_ref().map(|analysis| analysis.moles.clone());
    let unity = analysis.and_then(|analysis| analysis.unity);
    let millilitres: Option<Vec<f64>> = order
        .volume_millilitres
        .map(|volume| shares.iter().map(|share| share * volume).collect());
    let drawn = millilitres.as_ref().map(|volumes| order.syringe.drawn(volumes));
    let mut findings = rules.map_or_else(Vec::new, |rules| rules.findings(&glaze));
    if let (Some(unity), Some(limits)) = (&unity, limits) {
        findings.extend(limit_findings(unity, order.fluxes, limits));
    }
    findings.extend(moles.as_ref().and_then(expansion_finding));
    Tile {
        code: code.to_owned(),
        shares: shares.clone(),
        added: added(&order.ends, &glaze),
        water_millilitres: cup_water(order, &glaze),
        grams: rounded(&lines, &order.scales),
        millilitres,
        drawn,
        unity,
        rounding: None,
        findings,
        glaze,
    }
}

/// Water for a tile's cup, by what the first end's file says of water or density.
fn cup_water(order: &PlanOrder<'_>, glaze: &Glaze) -> Option<f64> {
    let about = order.ends.first().map(|end| &end.about)?;
    let aim = match (about.water, about.density_grams_per_millilitre) {
        (Some(water), _) => WaterAim::PerKilo(water),
        (None, Some(density)) => WaterAim::Density(GramsPerMillilitre::new(density)?),
        (None, None) => return None,
    };
    let powder: f64 = exact_lines(glaze, order.dry_grams).iter().map(|line| line.grams).sum();
    let (density, _) = powder_density(glaze);
    // A density that can't be mixed is told when the file is read or the ticket written.
    let per_gram = water_per_gram(aim, density).ok()?;
    order.volume_millilitres.is_none().then_some(powder * per_gram)
}

/// How far the tile as weighed, and drawn, lies from the tile asked for.
fn rounding(order: &PlanOrder<'_>, tile: &Tile, batches: &Batches) -> Option<f64> {
    let lines = match &tile.drawn {
        None => as_weighed(exact_lines(&tile.glaze, order.dry_grams), order.scales.reads_to.grams()),
        Some(drawn) => {
            let whole: Vec<Option<f64>> = batches.ends.iter().map(|batch| batch.millilitres).collect();
            drawn_lines(&batches.as_weighed, &whole, drawn)
        }
    };
    rounding_distance(tile.unity.as_ref()?, &lines, order.fluxes)
}

fn cannot_draw(tile: &Tile, syringe: Syringe) -> Vec<CannotDraw> {
    let volumes = tile.millilitres.iter().flatten().enumerate();
    volumes
        .filter(|(_, volume)| syringe.too_little(**volume))
        .map(|(end, volume)| CannotDraw {
            code: tile.code.clone(),
            end,
            millilitres: *volume,
        })
        .collect()
}
