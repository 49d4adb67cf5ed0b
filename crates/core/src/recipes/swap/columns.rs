//! The columns of a swap: what each allowed material brings per gram.

use std::sync::Arc;

use glost_chemistry::glaze::{Glaze, Portion};
use glost_chemistry::material::Material;
use glost_chemistry::oxides::OxideMoles;

use super::question::SwapQuestion;
use glost_chemistry::distance::ChemistryDistance;

/// Where a column's amount goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Role {
    Base,
    Addition,
}

/// A material in a role, with its rows of the distance per gram.
pub(super) struct Column {
    /// Number of the newcomer; `None` for a material that stays.
    pub(super) newcomer: Option<usize>,
    pub(super) material: Arc<Material>,
    pub(super) role: Role,
    pub(super) rows: Vec<f64>,
    pub(super) brings_flux: bool,
}

/// The columns of one question.
pub(super) struct Problem<'a> {
    pub(super) glaze: &'a Glaze,
    pub(super) out: &'a [Arc<Material>],
    pub(super) by_rule: bool,
    pub(super) held_additions: Vec<Portion>,
    pub(super) newcomers: Vec<Arc<Material>>,
    pub(super) columns: Vec<Column>,
    /// Rows of the target, those that are zero everywhere left out.
    pub(super) target: Vec<f64>,
}

impl<'a> Problem<'a> {
    pub(super) fn new(
        question: &'a SwapQuestion<'_>,
        yardstick: &ChemistryDistance,
        newcomers: Vec<Arc<Material>>,
    ) -> Problem<'a> {
        Problem::within(
            question.glaze,
            &question.out,
            yardstick,
            question.with.is_empty(),
            newcomers,
        )
    }

    pub(super) fn within(
        glaze: &'a Glaze,
        out: &'a [Arc<Material>],
        yardstick: &ChemistryDistance,
        by_rule: bool,
        newcomers: Vec<Arc<Material>>,
    ) -> Problem<'a> {
        let gone = |portion: &&Portion| out.iter().any(|out| out.name == portion.material.name);
        let held_additions: Vec<Portion> = glaze
            .additions
            .iter()
            .filter(|portion| !gone(portion))
            .cloned()
            .collect();
        let carried = carried(&held_additions);
        let with_carried = |material: &Material| {
            let mut moles = moles_per_gram(material);
            moles.add_scaled(1.0, &carried);
            moles
        };
        let mut columns = Vec::new();
        for portion in glaze.base.iter().filter(|portion| !gone(portion)) {
            let moles = with_carried(&portion.material);
            columns.push(Column {
                newcomer: None,
                material: portion.material.clone(),
                role: Role::Base,
                rows: yardstick.rows(&moles),
                brings_flux: yardstick.has_flux(&moles),
            });
        }
        // A recipe from nothing is all newcomers.
        let in_base = glaze.base.is_empty() || glaze.base.iter().any(|portion| gone(&portion));
        let on_top = glaze
            .additions
            .iter()
            .any(|portion| gone(&portion) && portion.percent > 0.0);
        for (index, material) in newcomers.iter().enumerate() {
            let column = |role, moles: OxideMoles| Column {
                newcomer: Some(index),
                material: material.clone(),
                role,
                rows: yardstick.rows(&moles),
                brings_flux: yardstick.has_flux(&moles),
            };
            if in_base {
                columns.push(column(Role::Base, with_carried(material)));
            }
            if on_top {
                columns.push(column(Role::Addition, moles_per_gram(material)));
            }
        }
        let mut problem = Problem {
            glaze,
            out,
            by_rule,
            held_additions,
            newcomers,
            columns,
            target: yardstick.target_rows().to_vec(),
        };
        problem.drop_empty_rows();
        problem
    }

    /// Rows that are zero in the target and in every column say nothing.
    fn drop_empty_rows(&mut self) {
        let used: Vec<bool> = (0..self.target.len())
            .map(|row| self.target[row] != 0.0 || self.columns.iter().any(|column| column.rows[row] != 0.0))
            .collect();
        let keep = |rows: &[f64]| -> Vec<f64> {
            rows.iter()
                .zip(&used)
                .filter(|(_, used)| **used)
                .map(|(row, _)| *row)
                .collect()
        };
        self.target = keep(&self.target);
        for column in &mut self.columns {
            column.rows = keep(&column.rows);
        }
    }
}

/// Moles that the held additions bring per gram of base.
fn carried(held: &[Portion]) -> OxideMoles {
    let mut moles = OxideMoles::ZERO;
    for addition in held {
        moles.add_scaled(addition.percent / 100.0, &moles_per_gram(&addition.material));
    }
    moles
}

pub(super) fn moles_per_gram(material: &Material) -> OxideMoles {
    material
        .fired
        .as_ref()
        .map_or(OxideMoles::ZERO, |fired| fired.oxides.to_moles().scaled(0.01))
}
