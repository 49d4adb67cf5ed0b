//! Blending wet: batches of the ends, volumes for each tile, and the way with the
//! fewest weighings.
//!
//! The convention: every end holds the same dry base in the same volume, its
//! additions on top. Then equal volumes carry equal base, and a tile's additions
//! per cent of base are exactly the shares of its ends'.

use crate::workshop::hazards::{Caution, handling};
use crate::workshop::scales::Scales;
use crate::workshop::scales::{WeighedLine, to_step};
use crate::workshop::wetting::{Assumption, powder_density};
use glost_chemistry::glaze::Glaze;
use glost_chemistry::material::Material;
use glost_chemistry::quantity::PowderDensity;
use serde::Serialize;

use super::ends::same_base;
use super::tiles::Shares;
use super::weights::{CannotWeigh, ExactLine, as_weighed, beyond_scales, exact_lines, rounded};

/// How much more of each end is made than the tiles take (common practice).
pub const SPARE: f64 = 1.15;
/// How much of its final volume a base batch is mixed to before it is split, so
/// that there is room to bring every end to its mark with water.
const SPLIT_FILL: f64 = 0.9;

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
    /// Grams of its additions alone.
    pub additions: Vec<WeighedLine>,
    /// Water that brings it to its volume, ml; the mark decides.
    pub water_millilitres: Option<f64>,
    /// The density it then has, g/ml.
    pub density: Option<f64>,
    /// The density of its dry powder.
    pub powder_density: PowderDensity,
    /// Materials of it that give no density of their own.
    pub usual_grains: Vec<String>,
    /// What these scales can't weigh of it; of an end split from a batch of base,
    /// its additions alone.
    pub cannot_weigh: Vec<CannotWeigh>,
}

/// Ends with one base, mixed once and split.
#[derive(Debug, Clone, PartialEq)]
pub struct BaseBatch {
    /// Which ends, by place.
    pub ends: Vec<usize>,
    /// Grams of dry base in all.
    pub dry_grams: f64,
    /// Grams to weigh.
    pub grams: Vec<WeighedLine>,
    /// Water to mix it with before it is split, ml.
    pub water_millilitres: f64,
    /// What the slurry then weighs, g: weigh it, evaporation and all, and split that.
    pub slurry_grams: f64,
    /// Grams of slurry for each of the ends, to the scales' step.
    pub split_grams: Vec<f64>,
    /// What these scales can't weigh of it.
    pub cannot_weigh: Vec<CannotWeigh>,
}

/// The batches of a wet plan.
#[derive(Debug, Clone)]
pub(super) struct Batches {
    pub(super) ends: Vec<EndBatch>,
    pub(super) bases: Vec<BaseBatch>,
    /// What each end holds once weighed on these scales.
    pub(super) as_weighed: Vec<Vec<ExactLine>>,
}

/// How a plan is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Way {
    /// Each tile weighed dry.
    Dry,
    /// Each end weighed, tiles blended by volume.
    Ends,
    /// Ends of one base split from one batch, tiles blended by volume.
    Split,
}

/// How many times something goes onto the scales.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Weighings {
    /// The way.
    pub way: Way,
    /// All weighings.
    pub all: usize,
    /// Those of additions.
    pub additions: usize,
}

/// What a wet plan rests on.
#[derive(Debug, Clone, Copy)]
pub(super) struct WetOrder<'a> {
    pub(super) ends: &'a [Glaze],
    pub(super) tiles: &'a [(String, Shares)],
    pub(super) dry_grams: f64,
    pub(super) volume_millilitres: Option<f64>,
    pub(super) density: f64,
    pub(super) scales: &'a Scales,
}

impl WetOrder<'_> {
    /// Grams of base in a millilitre of every end's slurry: as much as the end that holds
    /// least can take at this density, so that equal volumes hold equal base. Solids by
    /// Brongniart: (density - 1) * D / (D - 1), with each end's own powder.
    fn base_grams_per_millilitre(&self) -> f64 {
        let held = |end: &Glaze| {
            let powder = powder_density(end).0.value();
            let solids = (self.density - 1.0) * powder / (powder - 1.0);
            solids / (1.0 + additions_percent(end) / 100.0)
        };
        let least = self.ends.iter().map(held).fold(f64::INFINITY, f64::min);
        if least.is_finite() { least } else { 0.0 }
    }

    /// Tiles' worth of an end.
    fn tiles_of(&self, end: usize) -> f64 {
        self.tiles.iter().filter_map(|(_, shares)| shares.get(end)).sum()
    }

    /// Grams of base and millilitres of each end. The largest base is brought up to
    /// a round figure, the others in proportion: the same base in the same volume.
    fn amounts(&self) -> Vec<(f64, Option<f64>)> {
        let tiles: Vec<f64> = (0..self.ends.len()).map(|end| self.tiles_of(end)).collect();
        let most = tiles.iter().copied().fold(0.0, f64::max);
        match self.volume_millilitres {
            None => tiles
                .iter()
                .map(|tiles| (tiles * self.dry_grams * SPARE, None))
                .collect(),
            Some(volume) => {
                let largest = most * volume * SPARE * self.base_grams_per_millilitre();
                let per_tile = if most > 0.0 { round_up(largest) / most } else { 0.0 };
                tiles
                    .iter()
                    .map(|tiles| (tiles * per_tile, Some(tiles * volume * SPARE)))
                    .collect()
            }
        }
    }

    /// All batches; base is split only where `split` says so.
    pub(super) fn batches(&self, split: bool) -> Batches {
        let mut ends = self.end_batches();
        let bases = if split { self.base_batches() } else { Vec::new() };
        let step = self.scales.reads_to.grams();
        let weighed = |lines: Vec<ExactLine>| as_weighed(lines, step);
        let mut weighed_ends: Vec<Vec<ExactLine>> = self
            .ends
            .iter()
            .zip(&ends)
            .map(|(end, batch)| weighed(exact_lines(end, batch.dry_grams)))
            .collect();
        for base in &bases {
            let total: f64 = base.split_grams.iter().sum();
            for (index, split) in base.ends.iter().zip(&base.split_grams) {
                let (Some(end), Some(batch)) = (self.ends.get(*index), ends.get_mut(*index)) else {
                    continue;
                };
                let colours = exact_lines(&additions_of(end), batch.dry_grams);
                batch.cannot_weigh = beyond_scales(&batch.glaze, &colours, self.scales);
                let mut lines = weighed(exact_lines(&base_of(end), base.dry_grams));
                for line in &mut lines {
                    line.grams *= split / total;
                }
                lines.extend(weighed(colours));
                weighed_ends[*index] = lines;
            }
        }
        Batches {
            ends,
            bases,
            as_weighed: weighed_ends,
        }
    }

    fn end_batches(&self) -> Vec<EndBatch> {
        let amounts = self.amounts();
        self.ends
            .iter()
            .zip(amounts)
            .map(|(end, (dry_grams, millilitres))| {
                let lines = exact_lines(end, dry_grams);
                let powder: f64 = lines.iter().map(|line| line.grams).sum();
                let (own_density, assumption) = powder_density(end);
                let water = millilitres.map(|volume| volume - powder / own_density.value());
                EndBatch {
                    glaze: end.name.clone(),
                    dry_grams,
                    millilitres,
                    grams: rounded(&lines, self.scales),
                    additions: rounded(&exact_lines(&additions_of(end), dry_grams), self.scales),
                    water_millilitres: water,
                    density: millilitres
                        .zip(water)
                        .filter(|(volume, _)| *volume > 0.0)
                        .map(|(volume, water)| (powder + water) / volume),
                    powder_density: own_density,
                    usual_grains: match assumption {
                        Some(Assumption::UsualGrains(names)) => names,
                        _ => Vec::new(),
                    },
                    cannot_weigh: beyond_scales(&end.name, &lines, self.scales),
                }
            })
            .collect()
    }

    /// Dust and handling of everything that is weighed: blended wet with its spare, tile by
    /// tile without.
    pub(super) fn handling(&self) -> Vec<Caution> {
        let spare = if self.volume_millilitres.is_some() { 1.0 } else { SPARE };
        let lines: Vec<ExactLine> = self
            .ends
            .iter()
            .zip(self.amounts())
            .flat_map(|(end, (grams, _))| exact_lines(end, grams / spare))
            .collect();
        let batch: Vec<(&Material, f64)> = merged(&lines);
        handling(&batch)
    }

    /// Batches of base that are worth splitting: fewer weighings than apart.
    fn base_batches(&self) -> Vec<BaseBatch> {
        let amounts = self.amounts();
        groups(self.ends)
            .into_iter()
            .filter(|ends| worth_splitting(self.ends, ends))
            .filter_map(|ends| {
                let first = self.ends.get(*ends.first()?)?;
                let base: Vec<f64> = ends.iter().map(|end| amounts[*end].0).collect();
                let volume: f64 = ends.iter().map(|end| amounts[*end].1).sum::<Option<f64>>()?;
                let dry_grams: f64 = base.iter().sum();
                let alone = base_of(first);
                let lines = exact_lines(&alone, dry_grams);
                let water = SPLIT_FILL * volume - dry_grams / powder_density(&alone).0.value();
                let slurry_grams = dry_grams + water;
                let step = self.scales.reads_to.grams();
                (water > 0.0).then(|| BaseBatch {
                    dry_grams,
                    grams: rounded(&lines, self.scales),
                    cannot_weigh: beyond_scales("base", &lines, self.scales),
                    water_millilitres: water,
                    slurry_grams,
                    split_grams: base
                        .iter()
                        .map(|grams| to_step(slurry_grams * grams / dry_grams, step))
                        .collect(),
                    ends,
                })
            })
            .collect()
    }

    /// The ways with their weighings, the fewest first; splitting only where some
    /// base is worth it.
    pub(super) fn ways(&self, tiles: &[usize], tile_additions: usize) -> Vec<Weighings> {
        let lines = |end: &Glaze| exact_lines(end, 100.0).len();
        let colours = |end: &Glaze| end.additions.iter().filter(|portion| portion.percent > 0.0).count();
        let additions: usize = self.ends.iter().map(colours).sum();
        let apart: usize = self.ends.iter().map(lines).sum();
        let mut ways = vec![
            Weighings {
                way: Way::Dry,
                all: tiles.iter().sum(),
                additions: tile_additions,
            },
            Weighings {
                way: Way::Ends,
                all: apart,
                additions,
            },
        ];
        let saved: usize = groups(self.ends)
            .iter()
            .filter(|ends| worth_splitting(self.ends, ends))
            .map(|ends| {
                let base = base_lines(self.ends, ends);
                ends.len() * base - (base + ends.len())
            })
            .sum();
        if saved > 0 {
            ways.push(Weighings {
                way: Way::Split,
                all: apart.saturating_sub(saved),
                additions,
            });
        }
        ways.sort_by_key(|way| way.all);
        ways
    }

    /// The order to draw the ends in: those with the least colour first, so that
    /// what a syringe carries over shows least.
    pub(super) fn draw_order(&self) -> Vec<usize> {
        let mut order: Vec<usize> = (0..self.ends.len()).collect();
        let colour = |end: &usize| self.ends.get(*end).map_or(0.0, additions_percent);
        order.sort_by(|a, b| colour(a).total_cmp(&colour(b)).then(a.cmp(b)));
        order
    }
}

fn base_of(end: &Glaze) -> Glaze {
    Glaze {
        additions: Vec::new(),
        ..end.clone()
    }
}

fn additions_of(end: &Glaze) -> Glaze {
    Glaze {
        base: Vec::new(),
        ..end.clone()
    }
}

/// Each material once.
fn merged(lines: &[ExactLine]) -> Vec<(&Material, f64)> {
    let mut merged: Vec<(&Material, f64)> = Vec::new();
    for line in lines {
        match merged.iter_mut().find(|known| known.0.name == line.material.name) {
            Some(same) => same.1 += line.grams,
            None => merged.push((&line.material, line.grams)),
        }
    }
    merged
}

fn additions_percent(end: &Glaze) -> f64 {
    end.additions.iter().map(|portion| portion.percent).sum()
}

/// Ends by their base, in order.
fn groups(ends: &[Glaze]) -> Vec<Vec<usize>> {
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for (index, end) in ends.iter().enumerate() {
        match groups.iter_mut().find(|group| same_base(&ends[group[0]], end)) {
            Some(group) => group.push(index),
            None => groups.push(vec![index]),
        }
    }
    groups
}

fn base_lines(ends: &[Glaze], group: &[usize]) -> usize {
    let first = group.first().and_then(|end| ends.get(*end));
    first.map_or(0, |end| end.base.iter().filter(|portion| portion.percent > 0.0).count())
}

fn worth_splitting(ends: &[Glaze], group: &[usize]) -> bool {
    let base = base_lines(ends, group);
    group.len() > 1 && base + group.len() < group.len() * base
}

/// Up to a figure one can read off: at most 5 % more.
fn round_up(grams: f64) -> f64 {
    if grams <= 0.0 {
        return grams;
    }
    let grain = 10f64.powf(grams.log10().floor() - 1.0) / 2.0;
    (grams / grain - 1e-9).ceil() * grain
}

/// A tile's additions in per cent of its base, had every end been mixed to the
/// same total dry weight in the same volume instead of the same base.
pub fn additions_of_equal_totals(ends: &[Glaze], shares: &[f64]) -> Vec<(String, f64)> {
    let mut additions: Vec<(String, f64)> = Vec::new();
    let mut base = 0.0;
    for (end, share) in ends.iter().zip(shares) {
        let own_base = share / (1.0 + additions_percent(end) / 100.0);
        base += own_base;
        for portion in &end.additions {
            let grams = own_base * portion.percent;
            match additions.iter_mut().find(|known| known.0 == portion.material.name) {
                Some(known) => known.1 += grams,
                None => additions.push((portion.material.name.clone(), grams)),
            }
        }
    }
    if base > 0.0 {
        for addition in &mut additions {
            addition.1 /= base;
        }
    }
    additions
}

#[cfg(test)]
mod tests {
    use super::*;
    use glost_chemistry::diagnostic::Source;
    use glost_chemistry::glaze::read_glaze;
    use glost_chemistry::material::{Library, read_materials};
    use glost_chemistry::quantity::Millilitres;

    fn ends(recipes: [&str; 2]) -> Vec<Glaze> {
        let shelf = "materials: [{ name: silica, formula: SiO2, source: x }, { name: whiting, formula: CaCO3, source: x }, \
                     { name: spar, formula: KAlSi3O8, source: x }, { name: cobalt oxide, formula: CoO, source: x }, \
                     { name: iron oxide, formula: Fe2O3, source: x }]";
        let mut library = Library::default();
        library.add_layer(read_materials(&Source::from_text("m.yaml", shelf)).0, false);
        let glaze = |recipe: &str| {
            read_glaze(
                &Source::from_text("g.yaml", &format!("glaze: A\n{recipe}\n")),
                Millilitres::METRIC_CUP,
            )
            .map_err(|error| vec![error])
            .and_then(|file| file.resolve(&library))
            .unwrap_or_else(|why| panic!("{why:?}"))
        };
        recipes.map(glaze).to_vec()
    }

    /// Two colours of one base of three materials: four weighings each apart, or three of the
    /// base, two of its slurry and the two colours.
    #[test]
    fn one_base_is_split_where_that_saves_a_weighing() {
        const BASE: &str = "parts: { spar: 40, silica: 30, whiting: 30 }";
        let cobalt = format!("{BASE}\nadditions: {{ cobalt oxide: 1 }}");
        let iron = format!("{BASE}\nadditions: {{ iron oxide: 5 }}");
        let ways = |ends: &[Glaze]| -> Vec<(Way, usize)> {
            let order = WetOrder {
                ends,
                tiles: &[],
                dry_grams: 100.0,
                volume_millilitres: None,
                density: 1.45,
                scales: &Scales::default(),
            };
            order.ways(&[5, 5, 5], 6).iter().map(|way| (way.way, way.all)).collect()
        };
        assert_eq!(
            ways(&ends([&cobalt, &iron])),
            [(Way::Split, 7), (Way::Ends, 8), (Way::Dry, 15)]
        );
        let apart = ends([&cobalt, "parts: { spar: 50, silica: 20, whiting: 30 }"]);
        assert_eq!(ways(&apart), [(Way::Ends, 7), (Way::Dry, 15)]);
    }
}
