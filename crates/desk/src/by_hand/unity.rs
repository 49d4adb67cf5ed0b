//! From a recipe to its unity formula, figure by figure.

use glost_chemistry::glaze::{Additions, FluxList, Glaze};
use glost_chemistry::oxides::{Oxide, OxideGrams, OxideMoles};
use serde::Serialize;

/// From a recipe to its unity formula.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct UnitySteps {
    /// What each material brings, as the recipe lists them.
    pub materials: Vec<Brought>,
    /// Each oxide, from grams to its place in the formula.
    pub oxides: Vec<OxideStep>,
    /// The sum of the fluxes, moles; zero where there is none.
    pub flux_moles: f64,
}

/// One material's oxides.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Brought {
    /// The material.
    pub material: String,
    /// Its per cent of the base; of an addition, on top.
    pub percent: f64,
    /// Its oxides.
    pub oxides: Vec<BroughtOxide>,
}

/// An oxide that a material brings: percent / 100 x its percent of the material.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, schemars::JsonSchema)]
pub struct BroughtOxide {
    /// The oxide.
    #[schemars(with = "String")]
    pub oxide: Oxide,
    /// Grams of it left after firing from 100 g of the material as it is weighed.
    pub percent_of_material: f64,
    /// Grams of it in a batch with 100 g of base.
    pub grams: f64,
}

/// An oxide's way: grams / grams per mole, then / the sum of the fluxes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, schemars::JsonSchema)]
pub struct OxideStep {
    /// The oxide.
    #[schemars(with = "String")]
    pub oxide: Oxide,
    /// Grams from all materials.
    pub grams: f64,
    /// Its molar mass.
    pub grams_per_mole: f64,
    /// Moles.
    pub moles: f64,
    /// For how many moles of flux a mole of it counts: 1, 0, or up to 2 for Fe2O3 that
    /// is counted as FeO.
    pub counts_as_flux: f64,
    /// Moles for 1 mole of flux; none where there is no flux.
    pub unity: Option<f64>,
}

impl UnitySteps {
    /// The sum for a recipe.
    ///
    /// A material of unknown analysis brings nothing here; who asks has its error from the
    /// analysis itself.
    pub fn of(glaze: &Glaze, fluxes: &FluxList, additions: Additions) -> UnitySteps {
        let on_top = match additions {
            Additions::In => glaze.additions.as_slice(),
            Additions::Out => &[],
        };
        let counted = glaze.base.iter().chain(on_top);
        let materials: Vec<Brought> = counted
            .filter(|portion| portion.percent > 0.0)
            .filter_map(|portion| {
                let fired = portion.material.fired.as_ref()?;
                Some(brought(&portion.material.name, portion.percent, &fired.oxides))
            })
            .collect();
        let steps: Vec<OxideStep> = Oxide::ALL
            .into_iter()
            .map(|oxide| moles_of(oxide, &materials, fluxes))
            .filter(|step| step.grams > 0.0)
            .collect();
        let flux_moles: f64 = steps.iter().map(|step| step.moles * step.counts_as_flux).sum();
        let unity = |moles: f64| (flux_moles > 0.0).then(|| moles / flux_moles);
        UnitySteps {
            materials,
            oxides: steps
                .into_iter()
                .map(|step| OxideStep {
                    unity: unity(step.moles),
                    ..step
                })
                .collect(),
            flux_moles,
        }
    }

    /// The formula that the sum ends in; `None` where there is no flux.
    pub fn unity(&self) -> Option<OxideMoles> {
        let amounts: Option<Vec<(Oxide, f64)>> =
            self.oxides.iter().map(|step| Some((step.oxide, step.unity?))).collect();
        amounts.filter(|_| self.flux_moles > 0.0).map(OxideMoles::worked_out)
    }
}

fn brought(material: &str, percent: f64, oxides: &OxideGrams) -> Brought {
    Brought {
        material: material.to_owned(),
        percent,
        oxides: oxides
            .iter()
            .filter(|(_, grams)| *grams > 0.0)
            .map(|(oxide, percent_of_material)| BroughtOxide {
                oxide,
                percent_of_material,
                grams: percent / 100.0 * percent_of_material,
            })
            .collect(),
    }
}

/// An oxide's grams from all materials and its moles; its place in the formula comes later.
fn moles_of(oxide: Oxide, materials: &[Brought], fluxes: &FluxList) -> OxideStep {
    let own = materials.iter().flat_map(|material| &material.oxides);
    let grams: f64 = own.filter(|line| line.oxide == oxide).map(|line| line.grams).sum();
    OxideStep {
        oxide,
        grams,
        grams_per_mole: oxide.grams_per_mole(),
        moles: grams / oxide.grams_per_mole(),
        counts_as_flux: fluxes.weight(oxide),
        unity: None,
    }
}
