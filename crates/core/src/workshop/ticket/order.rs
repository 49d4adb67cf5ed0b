//! The weighing ticket: what to weigh, in which order, into how much water.

use std::sync::Arc;

use crate::workshop::cost::{Cost, cost};
use crate::workshop::scales::Scales;
use crate::workshop::wetting::powder_density;
use glost_chemistry::distance::ChemistryDistance;
use glost_chemistry::glaze::{Additions, Analysis, FluxList, Glaze, Portion};
use glost_chemistry::material::{Kind, Material};
use glost_chemistry::oxides::{Oxide, OxideMoles};
use glost_chemistry::quantity::{Grams, Millilitres, PowderDensity};

use crate::workshop::hazards::{Caution, handling};
use crate::workshop::scales::{
    FINE_WEIGHING_ERROR, MOST_WEIGHING_ERROR, WayOut, to_step, way_out, weigh_out, weighings,
};
use crate::workshop::wetting::{Assumption, NoTicket, WaterAim, mixable, water_per_gram};

/// Share of the water that goes in first; the rest rinses sieve and cup (common practice, no source).
const FIRST_WATER: f64 = 2.0 / 3.0;
/// More dry powder than this is a wrong unit.
const MOST_DRY_GRAMS: f64 = 1e7;

/// How much to make.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum BatchSize {
    /// So much base; additions come on top.
    Dry(Grams),
    /// So much slurry.
    Bucket(Millilitres),
}

/// What a ticket is asked for.
#[derive(Debug, Clone, Copy)]
pub struct TicketOrder<'a> {
    /// The glaze.
    pub glaze: &'a Glaze,
    /// What counts as flux.
    pub fluxes: &'a FluxList,
    /// The scales.
    pub scales: Scales,
    /// How much.
    pub size: BatchSize,
    /// How wet.
    pub water: WaterAim,
    /// The studio's currency.
    pub currency: Option<&'a str>,
}

/// One material to weigh.
#[derive(Debug, Clone)]
pub struct TicketLine {
    /// The material.
    pub material: Arc<Material>,
    /// Grams on the scales.
    pub grams: f64,
    /// Grams in the bowl after it.
    pub running: f64,
    /// The weight in weighings that the scales can carry.
    pub weighings: Vec<f64>,
    /// Whether it comes on top of the base.
    pub is_addition: bool,
}

/// A weight that the scales can't show well enough.
#[derive(Debug, Clone)]
pub struct Coarse {
    /// The material.
    pub material: String,
    /// The grams wanted, unrounded.
    pub grams: f64,
    /// Half a step over the weight, in per cent.
    pub error_percent: f64,
    /// What else to do.
    pub way_out: WayOut,
}

/// A whole ticket.
#[derive(Debug, Clone)]
pub struct Ticket {
    /// What to weigh, in order.
    pub lines: Vec<TicketLine>,
    /// Grams of base weighed.
    pub base_grams: f64,
    /// Grams of all lines.
    pub dry_grams: f64,
    /// Water.
    pub water_millilitres: f64,
    /// The part of it to begin with.
    pub first_water_millilitres: f64,
    /// Slurry.
    pub volume_millilitres: f64,
    /// Its density, g/ml.
    pub density: f64,
    /// Density for the lower and the upper end of the powder's own band.
    pub density_between: (f64, f64),
    /// The powder's grain density.
    pub powder_density: PowderDensity,
    /// Unity formula of what is weighed less that of the recipe; `None` where an
    /// analysis is unknown or there is no flux.
    pub unity_change: Option<Vec<(Oxide, f64)>>,
    /// The chemistry distance between the two.
    pub distance: Option<f64>,
    /// Weights off by more than 5 %.
    pub cannot_weigh: Vec<Coarse>,
    /// Weights off by 2 to 5 %.
    pub roughly: Vec<Coarse>,
    /// Cautions from what is in this batch.
    pub cautions: Vec<Caution>,
    /// What it costs.
    pub cost: Cost,
    /// What is taken for granted of powder and water.
    pub assumptions: Vec<Assumption>,
}

/// Makes a ticket.
///
/// # Errors
/// See [`NoTicket`].
pub fn ticket(order: &TicketOrder<'_>) -> Result<Ticket, NoTicket> {
    let glaze = order.glaze;
    let exact = mixable(glaze)?;
    let (powder, guessed) = powder_density(glaze);
    let water_per_gram = water_per_gram(order.water, powder)?;
    let per_base = exact.iter().map(|line| line.1).sum::<f64>() / 100.0;
    let asked = base_grams(order, per_base, water_per_gram + 1.0 / powder.value())?;
    let weighed = weighed(order, asked);
    let lines = lines(order, &weighed)?;
    let dry_grams = lines.last().map_or(0.0, |line| line.running);
    let water_millilitres = water_per_gram * dry_grams;
    let volume = |powder_density: f64| water_millilitres + dry_grams / powder_density;
    let density = |powder_density: f64| (water_millilitres + dry_grams) / volume(powder_density);
    let batch: Vec<(&Material, f64)> = lines.iter().map(|line| (&*line.material, line.grams)).collect();
    let (cannot_weigh, roughly) = coarse(glaze, asked, order.scales.reads_to.grams());
    Ok(Ticket {
        base_grams: weighed.base_grams,
        dry_grams,
        water_millilitres,
        first_water_millilitres: FIRST_WATER * water_millilitres,
        volume_millilitres: volume(powder.value()),
        density: density(powder.value()),
        density_between: (
            density(powder.value() - powder.plus_minus()),
            density(powder.value() + powder.plus_minus()),
        ),
        powder_density: powder,
        unity_change: weighed.change,
        distance: weighed.distance,
        cannot_weigh,
        roughly,
        cautions: handling(&batch),
        cost: cost(batch.iter().copied(), order.currency),
        assumptions: guessed.into_iter().chain(order.water.assumption()).collect(),
        lines,
    })
}

/// Grams of base for the batch: `per_base` grams of powder to a gram of base,
/// `millilitres_per_gram` of slurry to a gram of powder.
fn base_grams(order: &TicketOrder<'_>, per_base: f64, millilitres_per_gram: f64) -> Result<f64, NoTicket> {
    let grams = match order.size {
        BatchSize::Dry(grams) => grams.grams(),
        BatchSize::Bucket(volume) => volume.millilitres() / millilitres_per_gram / per_base,
    };
    if grams < order.scales.reads_to.grams() {
        return Err(NoTicket::LessThanAStep(grams));
    }
    if grams * per_base > MOST_DRY_GRAMS {
        return Err(NoTicket::TooMuch(grams * per_base));
    }
    Ok(grams)
}

/// The recipe on the scales.
struct OnScales {
    /// In the order of the glaze's portions.
    grams: Vec<f64>,
    base_grams: f64,
    change: Option<Vec<(Oxide, f64)>>,
    distance: Option<f64>,
}

fn weighed(order: &TicketOrder<'_>, base_grams: f64) -> OnScales {
    let asked = Analysis::of(order.glaze, order.fluxes, Additions::In)
        .ok()
        .and_then(|analysis| analysis.unity);
    let target = ChemistryDistance::new(asked.as_ref().unwrap_or(&OxideMoles::ZERO), order.fluxes);
    let weighed = weigh_out(order.glaze, order.fluxes, &target, base_grams, &order.scales);
    let change = asked.zip(weighed.unity).map(|(asked, unity)| {
        Oxide::ALL
            .into_iter()
            .filter(|&oxide| asked.get(oxide) > 0.0 || unity.get(oxide) > 0.0)
            .map(|oxide| (oxide, unity.get(oxide) - asked.get(oxide)))
            .collect()
    });
    let base = weighed.base.iter().map(|line| line.grams);
    OnScales {
        base_grams: to_step(base.clone().sum(), order.scales.reads_to.grams()),
        grams: base.chain(weighed.additions.iter().map(|line| line.grams)).collect(),
        distance: change.as_ref().and(weighed.distance),
        change,
    }
}

/// The lines in the order of weighing; a material in base and additions is one line.
fn lines(order: &TicketOrder<'_>, weighed: &OnScales) -> Result<Vec<TicketLine>, NoTicket> {
    let in_base = order.glaze.base.len();
    let mut lines: Vec<TicketLine> = Vec::new();
    for (index, (portion, grams)) in order.glaze.portions().zip(&weighed.grams).enumerate() {
        if portion.percent <= 0.0 {
            continue;
        }
        let same = lines
            .iter_mut()
            .find(|line| line.material.name == portion.material.name);
        match same {
            Some(line) => line.grams += grams,
            None => lines.push(TicketLine {
                material: portion.material.clone(),
                grams: *grams,
                running: 0.0,
                weighings: Vec::new(),
                is_addition: index >= in_base,
            }),
        }
    }
    // Big first, so that the last and smallest fall on a bed of powder; the poisonous
    // together, so that the mask and the gloves go on once; colours last.
    lines.sort_by(|a, b| {
        let key = |line: &TicketLine| turn(&line.material);
        key(a).cmp(&key(b)).then(b.grams.total_cmp(&a.grams))
    });
    let mut running = 0.0;
    for line in &mut lines {
        running = to_step(running + line.grams, order.scales.reads_to.grams());
        line.running = running;
        line.weighings = weighings(line.grams, &order.scales)
            .ok_or_else(|| NoTicket::TooManyWeighings(line.material.name.clone()))?;
    }
    Ok(lines)
}

fn turn(material: &Material) -> u8 {
    let colours = matches!(material.kind, Kind::Colourant | Kind::Stain);
    match (colours, material.toxic) {
        (false, false) => 0,
        (false, true) => 1,
        (true, true) => 2,
        (true, false) => 3,
    }
}

/// Weights off by more than 5 %, and those off by 2 to 5 %.
fn coarse(glaze: &Glaze, base_grams: f64, step: f64) -> (Vec<Coarse>, Vec<Coarse>) {
    let mut merged: Vec<(&Portion, f64)> = Vec::new();
    for portion in glaze.portions().filter(|portion| portion.percent > 0.0) {
        let same = merged
            .iter_mut()
            .find(|known| known.0.material.name == portion.material.name);
        match same {
            Some(known) => known.1 += portion.percent,
            None => merged.push((portion, portion.percent)),
        }
    }
    let (mut cannot, mut roughly) = (Vec::new(), Vec::new());
    for (portion, percent) in merged {
        let grams = percent / 100.0 * base_grams;
        let error = 0.5 * step / grams;
        if error <= FINE_WEIGHING_ERROR {
            continue;
        }
        let line = Coarse {
            material: portion.material.name.clone(),
            grams,
            error_percent: 100.0 * error,
            way_out: way_out(percent, base_grams, step),
        };
        if error > MOST_WEIGHING_ERROR {
            cannot.push(line);
        } else {
            roughly.push(line);
        }
    }
    (cannot, roughly)
}

#[cfg(test)]
mod tests;
