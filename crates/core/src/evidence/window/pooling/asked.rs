//! The glaze that is asked about, in its family, and what could be tried on it.

use std::sync::Arc;

use glost_chemistry::material::{Library, Material};
use glost_chemistry::read::folded;

use super::super::belief::GlazeBelief;
use super::super::ladder::{Lowering, with_step};
use super::super::look::{Believed, FamilyPlace, Step};
use super::super::lots::{Lots, lots_of};
use super::super::next::{LADDER_PERCENT, LadderStep};
use super::super::said::FitSaid;
use super::{Member, Pool, Spoken, member_of};

/// The asked glaze in its family.
pub(in super::super) struct Place {
    pub(super) place: FamilyPlace,
    pub(super) member: Member,
    pub(super) believed: Believed,
    pub(super) ladder: Vec<LadderStep>,
}

/// Where a glaze stands among what was gathered, which it leaves as it is.
#[derive(Debug)]
pub(in super::super) struct Standing {
    /// Its family; one more than there are where nobody looked at it.
    pub(in super::super) place: FamilyPlace,
    pub(in super::super) believed: Believed,
    /// Its own pieces among the witnesses.
    pub(in super::super) own: Option<usize>,
    pub(in super::super) lot: usize,
    /// Whether some of its pieces crazed in a torture test.
    pub(in super::super) failed_test: bool,
    /// What is said of it beside what is said of all.
    pub(in super::super) said: Vec<FitSaid>,
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
    /// Where the asked glaze stands by itself, with what is believed of it; `None` where it is
    /// a step or a tile of another, which has to join that one's family.
    pub(in super::super) fn standing(&self, belief: &GlazeBelief) -> Option<Standing> {
        let asked = self.asked;
        if self.step_of(&asked.name).is_some() || self.tile(&self.own_name).is_some() {
            return None;
        }
        let known = self.kept.by_base.get(&(self.own_name.clone(), Member::Base)).copied();
        let family = known.unwrap_or(self.kept.families.len());
        let place = FamilyPlace {
            family,
            slope: None,
            coordinate: 0.0,
        };
        let Some(gathered) = self.kept.families.get(family) else {
            let recommended = self.recommended(asked, belief);
            let more = recommended.as_ref().map(|(_, said)| said);
            let said = belief.said.iter().chain(more);
            return Some(Standing {
                place,
                believed: recommended.as_ref().map_or(belief.believed, |(believed, _)| *believed),
                own: None,
                lot: 0,
                failed_test: false,
                said: said.filter(|said| !self.kept.said.contains(said)).cloned().collect(),
            });
        };
        let lots = lots_of(Some(asked), &[], None);
        let lot = gathered.lots.iter().position(|known| **known == lots);
        let key = (family, Member::Base);
        let tested = self.kept.tested.get(&key);
        Some(Standing {
            place,
            believed: gathered.family.believed,
            own: self.kept.by_member.get(&key).copied(),
            lot: lot.unwrap_or(gathered.lots.len()),
            failed_test: tested.is_some_and(|all| all.iter().any(|tested| tested.crazed > 0)),
            said: Vec::new(),
        })
    }

    /// The asked glaze's place, and of which lots its next pieces are made.
    pub(in super::super) fn asked_place(&mut self) -> (Place, Lots) {
        let asked = self.asked;
        let tile = folded(&asked.name);
        let spoken = match self.step_of(&asked.name) {
            Some(_) => self.of_glaze(&asked.name, None).ok(),
            None if self.tile(&tile).is_some() => self.of_tile(&tile).ok().map(|tile| Spoken {
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
