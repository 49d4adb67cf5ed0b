//! What one step of each material does.

use std::sync::Arc;

use glost_chemistry::glass::{Expansion, ExpansionDifference, ExpansionModel, MeltCurve, MeltShift};
use glost_chemistry::glaze::{Additions, FiredChemistry, FluxList, Glaze, NoAnalysis, Portion};
use glost_chemistry::material::{Kind, Material};
use glost_chemistry::oxides::Oxide;

/// Where a material stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// In the base.
    Base,
    /// On top of it.
    Addition,
    /// Not in the recipe: it comes into the base.
    NewInBase,
    /// Not in the recipe: a colourant, stain or gum, it comes on top.
    NewOnTop,
}

/// What a step of one material does. Changes are new less old.
#[derive(Debug, Clone)]
pub struct Effect {
    /// The material.
    pub material: Arc<Material>,
    /// Where it stands.
    pub place: Place,
    /// How much of it there is: share of the base of 100, or per cent on top.
    pub percent: f64,
    /// The glaze after the step; `None` where there is less of it than the step takes away.
    pub after: Option<FiredChemistry>,
    /// Change of the unity formula; `None` where either has none.
    pub unity_change: Option<Vec<(Oxide, f64)>>,
    /// Change of SiO2 : Al2O3.
    pub ratio_change: Option<f64>,
    /// Change of the default model's expansion, with the difference's own band.
    pub expansion: Option<ExpansionDifference>,
    /// How the melt moves; its error is unmeasured. `None` where the curve gives no number, or
    /// the material brings what the curve has to leave out.
    pub melt_shift: Option<MeltShift>,
    /// Change of the loss on ignition, wt % of the dry batch.
    pub loss_change: Option<f64>,
}

/// A glaze and what steps of its materials do.
#[derive(Debug, Clone)]
pub struct Sensitivity {
    /// The glaze as it is.
    pub before: FiredChemistry,
    /// Its expansion by the default model; `None` where the model knows none of its oxides.
    pub before_expansion: Option<Expansion>,
    /// The step, parts on 100 of base.
    pub step: f64,
    /// One row a material: base, additions, newcomers.
    pub effects: Vec<Effect>,
}

/// What `step` parts (on 100 of base) more of each material do; less, where it is negative.
///
/// # Errors
/// The glaze, or a newcomer, can't be analysed.
pub fn sensitivity(
    glaze: &Glaze,
    fluxes: &FluxList,
    step: f64,
    newcomers: &[Arc<Material>],
) -> Result<Sensitivity, NoAnalysis> {
    let before = FiredChemistry::of(glaze, fluxes, Additions::In)?;
    let base = glaze.base.iter().map(|portion| (portion.clone(), Place::Base));
    let additions = glaze.additions.iter().map(|portion| (portion.clone(), Place::Addition));
    let new = newcomers
        .iter()
        .filter(|material| !glaze.holds(material))
        .map(|material| {
            let on_top = matches!(material.kind, Kind::Colourant | Kind::Stain | Kind::Gum);
            let portion = Portion {
                material: material.clone(),
                percent: 0.0,
            };
            (portion, if on_top { Place::NewOnTop } else { Place::NewInBase })
        });
    let effects = base
        .chain(additions)
        .filter(|(portion, _)| portion.percent > 0.0)
        .chain(new)
        .map(|(portion, place)| effect(glaze, fluxes, &before, step, portion, place))
        .collect::<Result<Vec<_>, _>>()?;
    Ok(Sensitivity {
        before_expansion: ExpansionModel::default().predict(&before.moles),
        before,
        step,
        effects,
    })
}

fn effect(
    glaze: &Glaze,
    fluxes: &FluxList,
    before: &FiredChemistry,
    step: f64,
    portion: Portion,
    place: Place,
) -> Result<Effect, NoAnalysis> {
    let after = if portion.percent + step < 0.0 {
        None
    } else {
        let stepped = stepped(glaze, &portion.material, place, step);
        match FiredChemistry::of(&stepped, fluxes, Additions::In) {
            Ok(after) => Some(after),
            Err(NoAnalysis::NothingLeft) => None,
            Err(unknown) => return Err(unknown),
        }
    };
    let changed = |change: fn(&FiredChemistry) -> Option<f64>| Some(change(after.as_ref()?)? - change(before)?);
    Ok(Effect {
        unity_change: after.as_ref().and_then(|after| unity_change(before, after)),
        ratio_change: changed(|fired| fired.silica_to_alumina),
        expansion: after
            .as_ref()
            .and_then(|after| ExpansionModel::default().difference(&before.moles, &after.moles)),
        melt_shift: after
            .as_ref()
            .and_then(|after| MeltCurve::shift(&before.moles, &after.moles))
            .filter(|shift| !brings_any(&portion.material, &shift.left_out)),
        loss_change: changed(|fired| Some(fired.loss_on_ignition_percent)),
        material: portion.material,
        place,
        percent: portion.percent,
        after,
    })
}

fn brings_any(material: &Material, oxides: &[Oxide]) -> bool {
    let fired = material.fired.as_ref();
    fired.is_some_and(|fired| oxides.iter().any(|oxide| fired.oxides.get(*oxide) > 0.0))
}

fn unity_change(before: &FiredChemistry, after: &FiredChemistry) -> Option<Vec<(Oxide, f64)>> {
    let (old, new) = (before.unity.as_ref()?, after.unity.as_ref()?);
    let there = |oxide: &Oxide| old.get(*oxide) > 0.0 || new.get(*oxide) > 0.0;
    let present = Oxide::ALL.into_iter().filter(there);
    Some(present.map(|oxide| (oxide, new.get(oxide) - old.get(oxide))).collect())
}

/// The glaze with `step` more of a material, its base in shares of 100 again.
pub(super) fn stepped(glaze: &Glaze, material: &Arc<Material>, place: Place, step: f64) -> Glaze {
    let mut stepped = glaze.clone();
    let in_base = matches!(place, Place::Base | Place::NewInBase);
    let lines = if in_base {
        &mut stepped.base
    } else {
        &mut stepped.additions
    };
    match lines
        .iter_mut()
        .find(|portion| Arc::ptr_eq(&portion.material, material))
    {
        Some(portion) => portion.percent += step,
        None => lines.push(Portion {
            material: material.clone(),
            percent: step,
        }),
    }
    if in_base {
        let total: f64 = stepped.base.iter().map(|portion| portion.percent).sum();
        for portion in &mut stepped.base {
            portion.percent *= 100.0 / total;
        }
    }
    stepped
}
