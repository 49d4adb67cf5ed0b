//! What every question about making a glaze asks: how wet, and why not at all.

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::quantity::{GramsPerMillilitre, SaidWaterPerKilo, SlurryDensity, plain};
use glost_core::workshop::scales::{MOST_WEIGHINGS, Scales};
use glost_core::workshop::wetting::{NoTicket, WaterAim};
use glost_studio::FoundGlaze;

use crate::Words;

/// Water that makes a glaze, millilitres to a kilogram of powder.
const WATERS: std::ops::RangeInclusive<f64> = 50.0..=20_000.0;

/// How wet a call asks for.
#[derive(Debug, Clone, PartialEq)]
pub enum AskedWater {
    /// The density to mix to.
    Density(SlurryDensity),
    /// Water per dry weight.
    PerKilo {
        /// As said.
        water: SaidWaterPerKilo,
        /// As typed, for a complaint.
        typed: String,
    },
}

impl AskedWater {
    pub(crate) fn from_words(words: &Words) -> Result<Option<AskedWater>, Diagnostic> {
        if let Some(density) = words.slurry_density("density")? {
            return Ok(Some(AskedWater::Density(density)));
        }
        let water = words.read("water", SaidWaterPerKilo::parse)?;
        let typed = words.owned("water");
        Ok(water
            .zip(typed)
            .map(|(water, typed)| AskedWater::PerKilo { water, typed }))
    }
}

/// How wet: the call, else the glaze.
pub(crate) fn water(asked: Option<&AskedWater>, found: &FoundGlaze) -> Result<WaterAim, Diagnostic> {
    match asked {
        Some(AskedWater::Density(density)) => return Ok(WaterAim::Density(density.density())),
        Some(AskedWater::PerKilo { water, typed }) => {
            let water = water.with_cup(found.settings.cup);
            if !WATERS.contains(&water.millilitres_per_kg) {
                return Err(
                    Diagnostic::error("bad-option", format!("--water: `{typed}` makes no glaze"))
                        .help("most glazes take 0.6 to 1.5 l per kg of powder"),
                );
            }
            return Ok(WaterAim::PerKilo(water));
        }
        None => {}
    }
    let about = &found.glaze.about;
    let density = about.density_grams_per_millilitre.and_then(GramsPerMillilitre::new);
    Ok(match (about.water, density) {
        (Some(water), _) => WaterAim::PerKilo(water),
        (None, Some(density)) => WaterAim::Density(density),
        (None, None) => WaterAim::Unsaid,
    })
}

/// Why nothing can be weighed or costed.
pub(crate) fn no_ticket(found: &FoundGlaze, why: &NoTicket, scales: &Scales) -> Diagnostic {
    let step = scales.reads_to.grams();
    let at_parts = |diagnostic: Diagnostic| diagnostic.at(&found.file.source, found.file.parts_mark, "parts".len());
    match why {
        NoTicket::LessThanAStep(grams) => Diagnostic::error(
            "batch-too-small",
            format!(
                "{} g of base is less than one step of the scales ({} g)",
                plain(*grams),
                plain(step)
            ),
        )
        .help("make a bigger batch, or name finer scales with --scales \"0.01 g to 100 g\""),
        NoTicket::TooMuch(grams) => Diagnostic::error(
            "batch-too-big",
            format!("{:.3e} kg of powder is more than a studio mixes", grams / 1000.0),
        )
        .help("is the unit right? the most is 10 000 kg"),
        NoTicket::TooManyWeighings(material) => {
            let most = scales.up_to.map_or(0.0, |most| most.grams());
            Diagnostic::error(
                "too-many-weighings",
                format!(
                    "{material} would take more than {MOST_WEIGHINGS} weighings on scales that carry {} g",
                    plain(most)
                ),
            )
            .help("make several smaller batches, or name other scales with --scales \"1 g to 15 kg\"")
        }
        NoTicket::Density(_, most) => Diagnostic::error(
            "density-out-of-reach",
            format!("{} can't be mixed to that density", found.glaze.name),
        )
        .help(format!(
            "between 1.0 (water) and {most:.2} g/ml for this powder; most glazes are 1.3 to 1.7"
        )),
        NoTicket::Locked(metal, material) => at_parts(Diagnostic::error(
            "locked",
            format!(
                "{} holds {metal}, from {material}: no ticket is made of it",
                found.glaze.name
            ),
        ))
        .help(format!(
            "recipes with {metal} are shown for arithmetic only (`glost unity`); match its chemistry without it"
        )),
        NoTicket::Nothing => at_parts(Diagnostic::error("nothing-to-weigh", "there is nothing in it to weigh"))
            .help("give its parts amounts above zero"),
    }
}
