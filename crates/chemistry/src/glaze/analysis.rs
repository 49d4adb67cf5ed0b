//! The fired analysis of a recipe, and how sure its materials let it be.

use crate::assumption::Assumption;
use crate::material::Deviation;
use crate::oxides::{OXIDE_COUNT, Oxide, OxideGrams, OxideMoles};

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
    /// What goes with the numbers.
    pub assumptions: Vec<Assumption>,
}

/// Why a recipe can't be analysed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoAnalysis {
    /// These materials' analyses are unknown.
    Unknown(Vec<String>),
    /// Nothing is left after firing.
    NothingLeft,
}

/// The fired chemistry of a recipe alone: an [`Analysis`] without bands and
/// sentences, for whoever screens many glazes. [`Analysis::of`] goes through
/// here, so the numbers are the same to the bit.
#[derive(Debug, Clone, PartialEq)]
pub struct FiredChemistry {
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
}

impl FiredChemistry {
    /// Fires a recipe.
    ///
    /// # Errors
    /// A material of unknown analysis, or nothing left after firing.
    pub fn of(glaze: &Glaze, fluxes: &FluxList, additions: Additions) -> Result<FiredChemistry, NoAnalysis> {
        let on_top: &[Portion] = match additions {
            Additions::In => &glaze.additions,
            Additions::Out => &[],
        };
        let mut grams = OxideGrams::ZERO;
        let (mut loss, mut dry) = (0.0, 0.0);
        let mut unknown = Vec::new();
        for portion in glaze.base.iter().chain(on_top).filter(|portion| portion.percent > 0.0) {
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
        Ok(FiredChemistry {
            unity: fluxes.unity(&moles),
            loss_on_ignition_percent: 100.0 * loss / dry,
            silica_to_alumina: silica_to_alumina(&moles),
            alkali_share: alkali_share(&moles, fluxes),
            grams,
            moles,
        })
    }

    /// Fired oxides in mol %, summing to 100.
    pub fn mole_percent(&self) -> OxideMoles {
        // Of nothing there is nothing in per cent either.
        self.moles.percent().unwrap_or(OxideMoles::ZERO)
    }

    /// Fired oxides in wt %, summing to 100.
    pub fn weight_percent(&self) -> OxideGrams {
        // Of nothing there is nothing in per cent either.
        self.grams.percent().unwrap_or(OxideGrams::ZERO)
    }
}

impl Analysis {
    /// Analyses a recipe.
    ///
    /// # Errors
    /// A material of unknown analysis, or nothing left after firing.
    pub fn of(glaze: &Glaze, fluxes: &FluxList, additions: Additions) -> Result<Analysis, NoAnalysis> {
        let fired = FiredChemistry::of(glaze, fluxes, additions)?;
        let counted: Vec<&Portion> = match additions {
            Additions::In => glaze.portions().collect(),
            Additions::Out => glaze.base.iter().collect(),
        };
        Ok(Analysis {
            unity_bands: unity_bands(&counted, &fired.moles, fluxes),
            assumptions: match additions {
                Additions::In => glaze.material_assumptions(),
                Additions::Out => Glaze {
                    additions: Vec::new(),
                    ..glaze.clone()
                }
                .material_assumptions(),
            },
            unity: fired.unity,
            loss_on_ignition_percent: fired.loss_on_ignition_percent,
            silica_to_alumina: fired.silica_to_alumina,
            alkali_share: fired.alkali_share,
            grams: fired.grams,
            moles: fired.moles,
        })
    }

    /// Fired oxides in mol %, summing to 100.
    pub fn mole_percent(&self) -> OxideMoles {
        // Of nothing there is nothing in per cent either.
        self.moles.percent().unwrap_or(OxideMoles::ZERO)
    }

    /// Fired oxides in wt %, summing to 100.
    pub fn weight_percent(&self) -> OxideGrams {
        // Of nothing there is nothing in per cent either.
        self.grams.percent().unwrap_or(OxideGrams::ZERO)
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
        let flux_step = fluxes.weight(moved.oxide) * step;
        for oxide in Oxide::ALL {
            let own = if oxide == moved.oxide { step } else { 0.0 };
            let change = (own - moles.get(oxide) / flux * flux_step) / flux;
            variance[oxide.index()] += change * change;
        }
    }
    let widths = Oxide::ALL.map(|oxide| (oxide, DEVIATIONS_FOR_90_PERCENT * variance[oxide.index()].sqrt()));
    OxideMoles::worked_out(widths)
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostic::Source;
    use crate::glaze::read_glaze;
    use crate::material::{Library, read_materials};
    use crate::quantity::Millilitres;

    const MATERIALS: &str = "materials:
  - { name: spar, kind: mineral, basis: as supplied, loss_on_ignition: 0.4, source: sheet, tolerance: { SiO2: 0.5, K2O: 0.2 },
      analysis: { SiO2: 66.4, Al2O3: 18.5, K2O: 9.1, Na2O: 4.3, CaO: 1.3 } }
  - { name: damp clay, kind: clay, basis: dried, loss_on_ignition: 13.1, moisture: 7, source: sheet,
      analysis: { SiO2: 48.2, Al2O3: 36.4, K2O: 1.3, Fe2O3: 1.0 } }
  - { name: whiting, kind: textbook, formula: CaCO3, source: stoichiometric }
  - { name: silica, kind: textbook, formula: SiO2, source: stoichiometric }
  - { name: tin oxide, kind: textbook, formula: SnO2, source: stoichiometric }
  - { name: water, kind: textbook, formula: H2O, source: stoichiometric }
  - { name: bought clear, kind: powder, analysis: unknown, source: bag }
";

    fn glaze(recipe: &str) -> Glaze {
        let (entries, mut complaints) = read_materials(&Source::from_text("m.yaml", MATERIALS));
        let mut library = Library::default();
        complaints.extend(library.add_layer(entries, false));
        assert_eq!(complaints, []);
        let source = Source::from_text("g.yaml", &format!("glaze: A\n{recipe}\n"));
        let file = read_glaze(&source, Millilitres::METRIC_CUP).unwrap_or_else(|why| panic!("{why:?}"));
        file.resolve(&library).unwrap_or_else(|why| panic!("{why:?}"))
    }

    /// Whoever screens many glazes reads the numbers that everybody else reads.
    #[test]
    fn fired_chemistry_and_analysis_agree_to_the_bit() {
        let fluxes = FluxList::default();
        let bits = |amounts: &[f64; OXIDE_COUNT]| amounts.map(f64::to_bits);
        for recipe in [
            "parts: { spar: 41.3, silica: 24.1, whiting: 19.9, damp clay: 14.7 }",
            "parts: { spar: 7, silica: 3, whiting: 2 }\nadditions: { tin oxide: 7.5, damp clay: 0.3 }",
            "parts: { silica: 1 }",
            "parts: { silica: 1, bought clear: 2 }",
            "parts: { water: 1 }",
        ] {
            let glaze = glaze(recipe);
            for additions in [Additions::In, Additions::Out] {
                let whole = Analysis::of(&glaze, &fluxes, additions);
                let lean = FiredChemistry::of(&glaze, &fluxes, additions);
                let (whole, lean) = match (whole, lean) {
                    (Ok(whole), Ok(lean)) => (whole, lean),
                    (whole, lean) => {
                        assert_eq!(whole.err(), lean.err(), "{recipe}");
                        continue;
                    }
                };
                assert_eq!(bits(whole.grams.as_slice()), bits(lean.grams.as_slice()), "{recipe}");
                assert_eq!(bits(whole.moles.as_slice()), bits(lean.moles.as_slice()), "{recipe}");
                let unity = |unity: &Option<OxideMoles>| unity.as_ref().map(|unity| bits(unity.as_slice()));
                assert_eq!(unity(&whole.unity), unity(&lean.unity), "{recipe}");
                let single = |loss: f64, ratio: Option<f64>, share: Option<f64>| {
                    (loss.to_bits(), ratio.map(f64::to_bits), share.map(f64::to_bits))
                };
                assert_eq!(
                    single(
                        whole.loss_on_ignition_percent,
                        whole.silica_to_alumina,
                        whole.alkali_share
                    ),
                    single(lean.loss_on_ignition_percent, lean.silica_to_alumina, lean.alkali_share),
                    "{recipe}"
                );
            }
        }
    }

    /// First order, by hand: u = moles / flux. A line of the sheet that moves m moles of SiO2 moves
    /// uSiO2 by m / flux; one that moves K2O moves uK2O by m (1 - uK2O) / flux and every other by
    /// m u / flux. Lines are independent; 90 % lies within 1.64485 deviations.
    #[test]
    fn a_unity_formula_is_as_sure_as_its_sheet() {
        let only_spar = Analysis::of(&glaze("parts: { spar: 1 }"), &FluxList::default(), Additions::In).unwrap();
        let (silica, alumina) = (
            66.4 / Oxide::SiO2.grams_per_mole(),
            18.5 / Oxide::Al2O3.grams_per_mole(),
        );
        let (potash, soda) = (9.1 / Oxide::K2O.grams_per_mole(), 4.3 / Oxide::Na2O.grams_per_mole());
        let lime = 1.3 / Oxide::CaO.grams_per_mole();
        let flux = potash + soda + lime;
        let off_silica = 0.5 / Oxide::SiO2.grams_per_mole() / flux;
        let off_potash = 0.2 / Oxide::K2O.grams_per_mole() / flux;
        for (oxide, deviation) in [
            (Oxide::SiO2, off_silica.hypot(silica / flux * off_potash)),
            (Oxide::Al2O3, alumina / flux * off_potash),
            (Oxide::K2O, (1.0 - potash / flux) * off_potash),
            (Oxide::Na2O, soda / flux * off_potash),
            (Oxide::CaO, lime / flux * off_potash),
            (Oxide::MgO, 0.0),
        ] {
            let band = only_spar.unity_bands.get(oxide);
            assert!((band - 1.644_853_627 * deviation).abs() < 1e-9, "{oxide}: {band}");
        }
        // The same sack in base and on top is off once, not twice over independently.
        let twice = glaze("parts: { spar: 1 }\nadditions: { spar: 50 }");
        let twice = Analysis::of(&twice, &FluxList::default(), Additions::In).unwrap();
        for (oxide, band) in only_spar.unity_bands.iter() {
            assert!((twice.unity_bands.get(oxide) - band).abs() < 1e-12, "{oxide}");
        }
        let bare = Analysis::of(&glaze("parts: { silica: 1 }"), &FluxList::default(), Additions::In).unwrap();
        assert_eq!((bare.unity_bands.total(), bare.unity), (0.0, None));
    }

    /// Whiting loses its CO2, 44.009 of 100.086 g a mole. Of 100 g damp clay 7 g are water; its
    /// loss, 13.1 % of the dried, is 13.1 x 0.93 g.
    #[test]
    fn loss_is_counted_on_the_dry_batch() {
        let loss = |recipe: &str, additions| {
            let fired = FiredChemistry::of(&glaze(recipe), &FluxList::default(), additions).unwrap();
            fired.loss_on_ignition_percent
        };
        let near = |found: f64, wanted: f64| assert!((found - wanted).abs() < 1e-3, "{found}, not {wanted}");
        near(loss("parts: { whiting: 1 }", Additions::In), 43.971);
        near(loss("parts: { damp clay: 1 }", Additions::In), 13.1);
        let mixed = "parts: { damp clay: 50, silica: 50 }\nadditions: { whiting: 10 }";
        near(
            loss(mixed, Additions::Out),
            100.0 * 50.0 * 0.131 * 0.93 / (50.0 * 0.93 + 50.0),
        );
        near(
            loss(mixed, Additions::In),
            100.0 * (50.0 * 0.131 * 0.93 + 4.3971) / (50.0 * 0.93 + 50.0 + 10.0),
        );
        let tin = glaze("parts: { silica: 1 }\nadditions: { tin oxide: 25 }");
        let percent = |additions| {
            let fired = FiredChemistry::of(&tin, &FluxList::default(), additions).unwrap();
            (fired.weight_percent().get(Oxide::SnO2), fired.mole_percent().total())
        };
        let (with, without) = (percent(Additions::In), percent(Additions::Out));
        assert!((with.0 - 20.0).abs() < 1e-9 && (with.1 - 100.0).abs() < 1e-9);
        assert_eq!(without.0, 0.0);
        let unknown = Analysis::of(
            &glaze("parts: { bought clear: 0, water: 1 }"),
            &FluxList::default(),
            Additions::In,
        );
        assert_eq!(unknown.unwrap_err(), NoAnalysis::NothingLeft);
    }
}
