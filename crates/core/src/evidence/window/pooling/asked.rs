//! The glaze that is asked about, in its family, and what could be tried on it.

use std::sync::Arc;

use glost_chemistry::material::{Library, Material};
use glost_chemistry::read::folded;

use super::super::ladder::{Lowering, with_step};
use super::super::look::{Believed, FamilyPlace, Step};
use super::super::lots::{Lots, lots_of};
use super::super::next::{LADDER_PERCENT, LadderStep};
use super::{Member, Pool, Spoken, member_of};

/// The asked glaze in its family.
pub(in super::super) struct Place {
    pub(super) place: FamilyPlace,
    pub(super) member: Member,
    pub(super) believed: Believed,
    pub(super) ladder: Vec<LadderStep>,
}

/// The material that a potter reaches for, by what it is: the one of the plain name where its
/// analysis is such, else the first that is.
fn usual_material(library: &Library, lowering: Lowering) -> Option<String> {
    let such = |material: &&Arc<Material>| Lowering::of(material) == Some(lowering);
    let plain = match lowering {
        Lowering::Silica => "silica",
        Lowering::Kaolin => "kaolin",
    };
    let found = library.find(plain).filter(such).or_else(|| library.iter().find(such));
    found.map(|material| material.name.clone())
}

impl Pool<'_> {
    /// The asked glaze's place, and of which lots its next pieces are made.
    pub(in super::super) fn asked_place(&mut self) -> (Place, Lots) {
        let asked = self.asked;
        let tile = folded(&asked.name);
        let spoken = match self.step_of(&asked.name) {
            Some(_) => self.of_glaze(&asked.name, None).ok(),
            None if self.tiles.contains_key(&tile) => self.of_tile(&tile).ok().map(|tile| Spoken {
                recipe: Some(asked.clone()),
                ..tile
            }),
            None => None,
        };
        let spoken = spoken.unwrap_or_else(|| Spoken {
            base: asked.name.clone(),
            member: Member::Base,
            step: None,
            version: None,
            recipe: Some(asked.clone()),
            lots_from: Some(asked.clone()),
        });
        let family = self.family(&spoken);
        let place = self.place(family, &spoken).unwrap_or(FamilyPlace {
            family,
            slope: None,
            coordinate: 0.0,
        });
        let lots = lots_of(spoken.lots_from.as_ref(), &[], spoken.step.as_ref());
        let believed = self.at_place(place, spoken.recipe.as_ref());
        let ladder = if spoken.member == Member::Base {
            self.ladder(&spoken)
        } else {
            Vec::new()
        };
        (
            Place {
                place,
                member: spoken.member,
                believed,
                ladder,
            },
            lots,
        )
    }

    /// The steps of silica and of kaolin that could be tried on the asked glaze.
    fn ladder(&mut self, base: &Spoken) -> Vec<LadderStep> {
        let mut steps = Vec::new();
        for lowering in [Lowering::Silica, Lowering::Kaolin] {
            let Some(material) = usual_material(self.book.library, lowering) else {
                continue;
            };
            for percent in LADDER_PERCENT.into_iter().filter(|percent| *percent > 0.0) {
                let step = Step {
                    material: material.clone(),
                    percent,
                };
                let recipe = base
                    .recipe
                    .as_ref()
                    .and_then(|glaze| with_step(glaze, &step, self.book.library));
                let spoken = Spoken {
                    member: member_of(Some(&step)),
                    step: Some(step.clone()),
                    recipe,
                    ..base.clone()
                };
                let family = self.base_family(&spoken);
                if let Some(place) = self.place(family, &spoken) {
                    steps.push(LadderStep {
                        step,
                        lowering,
                        place,
                        believed: self.at_place(place, spoken.recipe.as_ref()),
                    });
                }
            }
        }
        steps
    }
}
