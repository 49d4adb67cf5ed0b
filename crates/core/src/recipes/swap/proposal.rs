//! What a new recipe is worth: its chemistry beside the old one's.

use std::sync::Arc;

use crate::workshop::scales::Scales;
use crate::workshop::scales::{Weighed, weigh_out};
use glost_chemistry::glass::{ExpansionModel, MeltCurve, MeltShift};
use glost_chemistry::glaze::{Additions, Analysis, FluxList, Glaze, NoAnalysis};
use glost_chemistry::material::Material;
use glost_chemistry::oxides::{Oxide, OxideMoles};

use super::beside::{ClayOut, CompanyMove, clay_out, company_moves, suspending_falls};
use super::newcomers::fluorine_in_batch;
use super::ties::SameChemistry;
use glost_chemistry::distance::{ChemistryDistance, Nearness};

/// Colourants that drown a tint, from this wt % of the fired glaze (ours).
const STRONG: [Oxide; 6] = [
    Oxide::CoO,
    Oxide::CuO,
    Oxide::Cr2O3,
    Oxide::NiO,
    Oxide::V2O5,
    Oxide::MnO,
];
const STRONG_FROM_PERCENT: f64 = 0.05;
/// A glaze with less iron than this, wt %, may show a tint of this much, wt % (common
/// practice, no source).
const PALE_BELOW_IRON_PERCENT: f64 = 1.5;
const TINT_FROM_PERCENT: f64 = 0.03;

/// A recipe beside the glaze that it stands in for.
#[derive(Debug, Clone)]
pub struct Proposal {
    /// The new recipe, unrounded.
    pub glaze: Glaze,
    /// Its analysis.
    pub analysis: Analysis,
    /// Its unity formula.
    pub unity: OxideMoles,
    /// New less old, in moles of the unity formula; oxides that move.
    pub difference: Vec<(Oxide, f64)>,
    /// Chemistry distance in tolerances, at the scale that makes it least.
    pub distance: f64,
    /// The same of what was asked about alone: what makes the reading.
    pub asked_distance: f64,
    /// Oxides off by more than their own tolerance.
    pub cannot_match: Vec<Oxide>,
    /// The oxide that is off by most of its own tolerances; `None` where nothing is.
    pub most_off: Option<Oxide>,
    /// Materials that the old recipe lacks.
    pub newcomers: Vec<Arc<Material>>,
    /// Raw clay, new less old, in wt % of the dry batch.
    pub clay_change_percent: f64,
    /// Soluble materials, new less old, in wt % of the dry batch.
    pub soluble_change_percent: f64,
    /// Loss on ignition, new less old, in wt %.
    pub loss_change_percent: f64,
    /// Expansion by the default model before and after, with the band of their
    /// difference; `None` where the model has no answer.
    pub expansion: Option<ExpansionMove>,
    /// Iron and titania that may tint a pale glaze: new less old, wt % of the fired glaze.
    pub tints: Vec<(Oxide, f64)>,
    /// Base oxides on which its colours hang and that move.
    pub company: Vec<CompanyMove>,
    /// What keeps it afloat, before and after in parts of kaolin, where that falls by
    /// more than a third.
    pub suspending: Option<(f64, f64)>,
    /// Where its raw clay leaves the band.
    pub clay_out: Option<ClayOut>,
    /// F in wt % of the dry batch, where that is more than goes unnoticed.
    pub fluorine_percent: Option<f64>,
    /// How the melt moves; `None` where the melt curve tells neither.
    pub melt: Option<MeltShift>,
    /// Where the weights are not unique: each base material's least and most
    /// share, in parts of the present total. Empty where they are unique.
    pub ranges: Vec<(String, f64, f64)>,
    /// The recipe rounded to the scales.
    pub weighed: Weighed,
}

impl Proposal {
    /// How its distance reads.
    pub fn nearness(&self) -> Nearness {
        Nearness::of(self.asked_distance)
    }
}

/// How the expansion moves from the old glaze to the new, 1e-6/K.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExpansionMove {
    /// Of the old glaze.
    pub before: f64,
    /// Of the new.
    pub after: f64,
    /// 90 % half-width of the difference.
    pub plus_minus_90: f64,
}

/// Compares recipes with one old glaze.
#[derive(Debug, Clone)]
pub struct Comparison<'a> {
    old: Option<&'a Glaze>,
    fluxes: &'a FluxList,
    yardstick: ChemistryDistance,
    old_moles: OxideMoles,
    old_loss_percent: f64,
}

impl<'a> Comparison<'a> {
    /// With this glaze; `None` for a glaze without a unity formula.
    ///
    /// # Errors
    /// A material of unknown analysis, or nothing left after firing.
    pub fn with(old: &'a Glaze, fluxes: &'a FluxList) -> Result<Option<Comparison<'a>>, NoAnalysis> {
        let analysis = Analysis::of(old, fluxes, Additions::In)?;
        Ok(analysis.unity.map(|unity| Comparison {
            old: Some(old),
            fluxes,
            yardstick: ChemistryDistance::new(&unity, fluxes),
            old_loss_percent: analysis.loss_on_ignition_percent,
            old_moles: analysis.moles,
        }))
    }

    /// With a target that no recipe stands behind.
    pub fn with_target(yardstick: ChemistryDistance, fluxes: &'a FluxList) -> Comparison<'a> {
        Comparison {
            old: None,
            fluxes,
            old_moles: yardstick.target().clone(),
            yardstick,
            old_loss_percent: 0.0,
        }
    }

    /// The old glaze's unity formula.
    pub fn target(&self) -> &OxideMoles {
        self.yardstick.target()
    }

    /// What the old glaze fires to, moles.
    pub fn old_moles(&self) -> &OxideMoles {
        &self.old_moles
    }

    /// Distances from the old glaze.
    pub fn yardstick(&self) -> &ChemistryDistance {
        &self.yardstick
    }

    /// What a new recipe is worth, weighed for `dry_grams` of base; `None` for
    /// one without a unity formula.
    ///
    /// # Errors
    /// A material of unknown analysis, or nothing left after firing.
    pub fn propose(&self, glaze: Glaze, dry_grams: f64, scales: &Scales) -> Result<Option<Proposal>, NoAnalysis> {
        let analysis = Analysis::of(&glaze, self.fluxes, Additions::In)?;
        let Some(unity) = analysis.unity.clone() else {
            return Ok(None);
        };
        let target = self.yardstick.target();
        let difference = Oxide::ALL
            .into_iter()
            .filter(|oxide| self.yardstick.tolerance_moles(*oxide).is_some())
            .map(|oxide| (oxide, unity.get(oxide) - target.get(oxide)))
            .filter(|(oxide, change)| *change != 0.0 || target.get(*oxide) > 0.0)
            .collect();
        let mut newcomers: Vec<Arc<Material>> = Vec::new();
        for portion in glaze.portions().filter(|portion| portion.percent > 0.0) {
            if !self.old.is_some_and(|old| old.holds(&portion.material))
                && !newcomers.iter().any(|known| known.name == portion.material.name)
            {
                newcomers.push(portion.material.clone());
            }
        }
        Ok(Some(Proposal {
            difference,
            distance: self.yardstick.distance(&analysis.moles),
            asked_distance: self.yardstick.asked_distance(&analysis.moles),
            cannot_match: self.yardstick.missed(&unity),
            most_off: self.yardstick.most_off(&unity),
            newcomers,
            clay_change_percent: glaze.raw_clay_percent() - self.old.map_or(0.0, Glaze::raw_clay_percent),
            soluble_change_percent: glaze.soluble_percent() - self.old.map_or(0.0, Glaze::soluble_percent),
            loss_change_percent: analysis.loss_on_ignition_percent - self.old_loss_percent,
            expansion: self.expansion(&analysis.moles),
            tints: self.tints(&analysis.moles),
            company: self.old.map_or_else(Vec::new, |_| company_moves(target, &unity)),
            suspending: self.old.and_then(|old| suspending_falls(old, &glaze)),
            clay_out: clay_out(self.old, &glaze),
            fluorine_percent: fluorine_in_batch(&glaze),
            melt: self
                .old
                .and_then(|_| MeltCurve::shift(&self.old_moles, &analysis.moles)),
            ranges: self.ranges(&glaze),
            weighed: weigh_out(&glaze, self.fluxes, &self.yardstick, dry_grams, scales),
            unity,
            analysis,
            glaze,
        }))
    }

    /// A shift of iron or titania that the distance's floors let pass and that an eye may see.
    fn tints(&self, moles: &OxideMoles) -> Vec<(Oxide, f64)> {
        let percent = |moles: &OxideMoles| moles.to_grams().percent();
        let (Some(_), Some(old), Some(new)) = (self.old, percent(&self.old_moles), percent(moles)) else {
            return Vec::new();
        };
        let coloured = STRONG.iter().any(|&oxide| new.get(oxide) > STRONG_FROM_PERCENT);
        if coloured || old.get(Oxide::Fe2O3) >= PALE_BELOW_IRON_PERCENT {
            return Vec::new();
        }
        let moved = [Oxide::Fe2O3, Oxide::TiO2].map(|oxide| (oxide, new.get(oxide) - old.get(oxide)));
        moved
            .into_iter()
            .filter(|moved| moved.1.abs() > TINT_FROM_PERCENT)
            .collect()
    }

    fn expansion(&self, moles: &OxideMoles) -> Option<ExpansionMove> {
        if !self.yardstick.tells_all() {
            return None;
        }
        let model = ExpansionModel::default();
        let difference = model.difference(&self.old_moles, moles)?;
        Some(ExpansionMove {
            before: model.value(&self.old_moles)?,
            after: model.value(moles)?,
            plus_minus_90: difference.plus_minus_90,
        })
    }

    /// The range of each base share at the same fired chemistry.
    fn ranges(&self, glaze: &Glaze) -> Vec<(String, f64, f64)> {
        let mut carried = OxideMoles::ZERO;
        let per_gram = |material: &Material| {
            material
                .fired
                .as_ref()
                .map(|fired| fired.oxides.to_moles().scaled(0.01))
        };
        for addition in &glaze.additions {
            if let Some(moles) = per_gram(&addition.material) {
                carried.add_scaled(addition.percent / 100.0, &moles);
            }
        }
        let columns: Vec<Vec<f64>> = glaze
            .base
            .iter()
            .filter_map(|portion| per_gram(&portion.material))
            .map(|mut moles| {
                moles.add_scaled(1.0, &carried);
                self.yardstick.rows(&moles)
            })
            .collect();
        let shares: Vec<f64> = glaze.base.iter().map(|portion| portion.percent).collect();
        if columns.len() != shares.len() {
            return Vec::new();
        }
        let borrowed: Vec<&[f64]> = columns.iter().map(Vec::as_slice).collect();
        let Some(same) = SameChemistry::of(&borrowed, &shares) else {
            return Vec::new();
        };
        let ranges = same.ranges(&shares);
        glaze
            .base
            .iter()
            .zip(ranges)
            .filter(|(_, (low, high))| high - low > 1e-6)
            .map(|(portion, (low, high))| (portion.material.name.clone(), low.max(0.0), high))
            .collect()
    }
}
