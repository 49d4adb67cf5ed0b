//! The fired analysis of a recipe, and how sure its materials let it be.

use crate::chemistry::{OXIDE_COUNT, Oxide, OxideGrams, OxideMoles};
use crate::material::Deviation;

use super::recipe::{Glaze, Portion};
use super::unity::{FluxList, alkali_share, silica_to_alumina};

/// 90 % of a normal distribution lies within this many standard deviations.
const DEVIATIONS_FOR_90_PERCENT: f64 = 1.644_853_626_951_472_2;

/// Whether additions are counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Additions {
    /// Counted with the base.
    #[default]
    In,
    /// Left out of every number.
    Out,
}

/// What a recipe is once it is fired.
#[derive(Debug, Clone, PartialEq)]
pub struct Analysis {
    /// Fired oxides in grams for 100 g of base (with additions on top).
    pub grams: OxideGrams,
    /// The same in moles.
    pub moles: OxideMoles,
    /// The unity formula; `None` where there is no flux.
    pub unity: Option<OxideMoles>,
    /// Loss on ignition, wt % of the dry batch (moisture is not loss).
    pub loss_on_ignition_percent: f64,
    /// SiO2 : Al2O3 by moles.
    pub silica_to_alumina: Option<f64>,
    /// Li2O, Na2O and K2O as a share of all fluxes, 0 to 1.
    pub alkali_share: Option<f64>,
    /// 90 % half-widths of the unity formula, from analysis tolerances alone;
    /// zero for an oxide without any.
    pub unity_bands: OxideMoles,
    /// Sentences that go with the numbers.
    pub assumptions: Vec<String>,
}

/// Why a recipe can't be analysed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoAnalysis {
    /// These materials' analyses are unknown.
    Unknown(Vec<String>),
    /// Nothing is left after firing.
    NothingLeft,
}

impl Analysis {
    /// Analyses a recipe.
    ///
    /// # Errors
    /// A material of unknown analysis, or nothing left after firing.
    pub fn of(glaze: &Glaze, fluxes: &FluxList, additions: Additions) -> Result<Analysis, NoAnalysis> {
        let counted: Vec<&Portion> = match additions {
            Additions::In => glaze.portions().collect(),
            Additions::Out => glaze.base.iter().collect(),
        };
        let mut grams = OxideGrams::ZERO;
        let (mut loss, mut dry) = (0.0, 0.0);
        let mut unknown = Vec::new();
        for portion in counted.iter().filter(|portion| portion.percent > 0.0) {
            let Some(fired) = &portion.material.fired else {
                unknown.push(portion.material.name.clone());
                continue;
            };
            grams.add_scaled(portion.percent / 100.0, &fired.oxides);
            loss += portion.percent * fired.loss_grams / 100.0;
            dry += portion.percent * (1.0 - fired.moisture_grams / 100.0);
        }
        if !unknown.is_empty() {
            return Err(NoAnalysis::Unknown(unknown));
        }
        if grams.total() <= 0.0 {
            return Err(NoAnalysis::NothingLeft);
        }
        let moles = grams.to_moles();
        Ok(Analysis {
            unity: fluxes.unity(&moles),
            loss_on_ignition_percent: 100.0 * loss / dry,
            silica_to_alumina: silica_to_alumina(&moles),
            alkali_share: alkali_share(&moles, fluxes),
            unity_bands: unity_bands(&counted, &moles, fluxes),
            assumptions: match additions {
                Additions::In => glaze.material_assumptions(),
                Additions::Out => Glaze {
                    additions: Vec::new(),
                    ..glaze.clone()
                }
                .material_assumptions(),
            },
            grams,
            moles,
        })
    }

    /// Fired oxides in mol %, summing to 100.
    pub fn mole_percent(&self) -> OxideMoles {
        self.moles.percent().unwrap_or_default()
    }

    /// Fired oxides in wt %, summing to 100.
    pub fn weight_percent(&self) -> OxideGrams {
        self.grams.percent().unwrap_or_default()
    }
}

/// First-order 90 % half-widths of the unity formula for a fixed recipe:
/// du_i = (dm_i - u_i df) / flux for each line of each sheet, the lines independent.
fn unity_bands(portions: &[&Portion], moles: &OxideMoles, fluxes: &FluxList) -> OxideMoles {
    let flux = fluxes.moles(moles);
    if flux <= 0.0 {
        return OxideMoles::ZERO;
    }
    let mut variance = [0.0_f64; OXIDE_COUNT];
    for moved in deviations(portions) {
        let step = moved.grams / moved.oxide.grams_per_mole();
        let flux_step = if fluxes.contains(moved.oxide) { step } else { 0.0 };
        for oxide in Oxide::ALL {
            let own = if oxide == moved.oxide { step } else { 0.0 };
            let change = (own - moles.get(oxide) / flux * flux_step) / flux;
            variance[oxide.index()] += change * change;
        }
    }
    let widths = Oxide::ALL.map(|oxide| (oxide, DEVIATIONS_FOR_90_PERCENT * variance[oxide.index()].sqrt()));
    OxideMoles::new(widths).unwrap_or_default()
}

/// The deviations in a batch for 100 g of base; one line of a sheet that comes
/// in by several ways is one deviation.
fn deviations(portions: &[&Portion]) -> Vec<Deviation> {
    let mut found: Vec<Deviation> = Vec::new();
    for portion in portions {
        for deviation in portion.material.fired.iter().flat_map(|fired| &fired.tolerance) {
            let here = deviation.scaled(portion.percent / 100.0);
            match found.iter_mut().find(|other| other.moves_with(&here)) {
                Some(same) => same.grams += here.grams,
                None => found.push(here),
            }
        }
    }
    found
}
