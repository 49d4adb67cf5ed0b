//! A note whose glaze, clay, tile and batch were looked up.

use super::{Settled, Slip};
use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::{Glaze, GlazeNotes};
use glost_core::evidence::notes::{Belongs, Note, OVER_KEY, RecipeStanding, Version};
use glost_core::tiles::blend::{find_plan, find_tile};
use glost_studio::NotFound;

use super::Noticed;
use super::books::Known;
use crate::booked::{Booked, booked};
use crate::lost_plan::lost_plan;
use crate::{Desk, Said};

/// A lot lasts at least so long in a small studio: a guess.
const LOT_STAYS_OPEN_DAYS: i64 = 60;

/// What of a note couldn't be looked up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Part {
    Glaze,
    Clay,
    Tile,
    Over,
}

impl Part {
    /// The key of a note that names it.
    pub(super) fn key(self) -> &'static str {
        match self {
            Part::Glaze => "glaze",
            Part::Clay => "clay",
            Part::Tile => "tile",
            Part::Over => "over",
        }
    }
}

/// Why a note can't be made.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Unnamed {
    pub(super) part: Part,
    /// At least one.
    pub(super) complaints: Vec<Diagnostic>,
}

/// Why there is no note.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum NoNote {
    /// A name that is none.
    Unnamed(Unnamed),
    /// Something typed that can't be.
    Slip(Slip),
}

impl From<Unnamed> for NoNote {
    fn from(unnamed: Unnamed) -> NoNote {
        NoNote::Unnamed(unnamed)
    }
}

impl From<Slip> for NoNote {
    fn from(slip: Slip) -> NoNote {
        NoNote::Slip(slip)
    }
}

impl From<NoNote> for crate::Failure {
    fn from(why: NoNote) -> crate::Failure {
        match why {
            NoNote::Unnamed(unnamed) => unnamed.into(),
            NoNote::Slip(slip) => super::slip(slip).into(),
        }
    }
}

impl From<Unnamed> for crate::Failure {
    fn from(unnamed: Unnamed) -> crate::Failure {
        unnamed.complaints.into()
    }
}

/// A note whose names were looked up.
pub(super) struct Named {
    pub(super) note: Note,
    /// The version it belongs to, where the glaze has a recipe.
    pub(super) version: Option<Belongs>,
    pub(super) standing: RecipeStanding,
    /// An older version that the pieces may be of.
    pub(super) older: Option<Version>,
    pub(super) assumptions: Vec<Said>,
    /// What to take care of.
    pub(super) cautions: Vec<Said>,
    pub(super) recipe: Option<Glaze>,
}

impl Named {
    pub(super) fn find(desk: &Desk, settled: Settled, known: Known, unlisted: bool) -> Result<Named, NoNote> {
        let mut named = Named {
            note: settled.note,
            version: None,
            standing: RecipeStanding::NoRecipe,
            older: None,
            assumptions: Vec::new(),
            cautions: Vec::new(),
            recipe: None,
        };
        let (is_known, before) = (known.lots.is_some(), known.noted_before);
        known.apply(&mut named.note, &mut named.assumptions)?;
        named.find_glaze(desk, unlisted)?;
        named.find_tile(desk, unlisted, before)?;
        named.find_over(desk, unlisted)?;
        if let (Some(number), Some(glaze)) = (&named.note.batch, &named.note.glaze)
            && !is_known
            && named.note.kiln_id().is_none()
            && let Booked::Amiss(amiss) = booked(desk.workplace(), number, glaze)
        {
            named.notice(Noticed::Batch(amiss));
        }
        named.find_clay(desk, unlisted)?;
        if !is_known {
            named.take_open_lots(desk);
        }
        named.look_for_photo(desk);
        if named.note.test().is_some() {
            named.cautions.push(Said::Note(Noticed::TestCare));
        }
        named.assumptions.extend(settled.assumptions.iter().map(Said::from));
        Ok(named)
    }

    fn notice(&mut self, noticed: Noticed) {
        self.assumptions.push(Said::Note(noticed));
    }

    fn find_glaze(&mut self, desk: &Desk, unlisted: bool) -> Result<(), Unnamed> {
        let Some(name) = self.note.glaze.clone() else {
            return Ok(());
        };
        match desk.workplace().look_for_glaze(&name) {
            // A tile is noted as one: its plan tells what it is.
            Ok(found) if found.tile.is_some() && self.note.tile.is_none() => {
                self.note.tile = found.tile;
                self.note.glaze = None;
            }
            Ok(found) => {
                self.note.glaze = Some(found.glaze.name.clone());
                self.fill_in(&found.glaze.about);
                self.recipe = Some(found.glaze);
            }
            Err(nothing) if unlisted && nothing.unknown => self.notice(Noticed::NoFile { glaze: name }),
            // What was seen stands, whatever is wrong with a file.
            Err(NotFound {
                complaints,
                known: Some(known),
                ..
            }) => {
                self.note.glaze = Some(known.name.clone());
                self.fill_in(&known.about);
                self.notice(Noticed::NotWorkedOut {
                    glaze: known.name,
                    why: complaints.first().map(ToString::to_string).unwrap_or_default(),
                });
            }
            Err(nothing) => return Err(unnamed(Part::Glaze, nothing)),
        }
        Ok(())
    }

    /// What the call leaves open is as the glaze's file says.
    fn fill_in(&mut self, about: &GlazeNotes) {
        if let (None, Some(clay)) = (&self.note.clay, &about.clay) {
            self.note.clay = Some(clay.clone());
            self.notice(Noticed::ClayOfGlaze { clay: clay.clone() });
        }
        let open = self.note.firing.is_none() && self.note.cone.is_none();
        if open && (about.firing.is_some() || about.cone.is_some()) {
            self.note.firing.clone_from(&about.firing);
            self.note.cone.clone_from(&about.cone);
            self.notice(Noticed::FiringOfGlaze {
                firing: about.firing.clone(),
                cone: about.cone.clone(),
            });
        }
    }

    /// A tile that a saved plan knows is noted under the plan's name too: another
    /// plan may have a tile of that code tomorrow. Where no plan is kept any code
    /// goes, and is said; so does one that an earlier note of the same pieces names.
    fn find_tile(&mut self, desk: &Desk, unlisted: bool, noted_before: bool) -> Result<(), Unnamed> {
        let Some(code) = self.note.tile.clone() else {
            return Ok(());
        };
        let (plans, complaints) = desk.workplace().plans();
        desk.tell(complaints);
        let of_a_plan = code.contains('/');
        if plans.is_empty() && (unlisted || noted_before || !of_a_plan) {
            self.notice(Noticed::NoPlan { tile: code });
            return Ok(());
        }
        match find_tile(&plans, &code) {
            Ok((plan, tile)) => {
                self.note.tile = Some(plan.whole_code(tile));
                if let (None, Some(clay)) = (&self.note.clay, &plan.clay) {
                    self.note.clay = Some(clay.clone());
                    self.notice(Noticed::ClayOfPlan { clay: clay.clone() });
                }
                Ok(())
            }
            Err(_) if unlisted => Ok(()),
            Err(_) if noted_before => {
                self.notice(Noticed::NoPlan { tile: code });
                Ok(())
            }
            Err(error) => {
                let plan = code.rsplit_once('/').map(|(plan, _)| plan.trim());
                // A plan that is here has only no such tile.
                let plan = plan.filter(|plan| find_plan(&plans, plan).is_err());
                // A notebook that can't be read is told by whoever reads on.
                let notes = desk.workplace().notes().ok();
                let lost = plan.and_then(|plan| lost_plan(plan, &notes?.0));
                let error = lost.unwrap_or(error);
                let help = format!(
                    "{} (--unlisted notes it although no plan has it)",
                    error.help.as_deref().unwrap_or("")
                );
                Err(Unnamed {
                    part: Part::Tile,
                    complaints: vec![error.help(help)],
                })
            }
        }
    }

    /// Pieces that nobody booked a batch of, fresh enough to be of the lots that are open now.
    fn take_open_lots(&mut self, desk: &Desk) {
        let fired = self.note.fired_on();
        let fresh = match (fired, desk.today()) {
            (Some(fired), Ok(today)) => today.days_since(fired) <= LOT_STAYS_OPEN_DAYS,
            _ => true,
        };
        let Some(recipe) = self.recipe.as_ref().filter(|_| fresh && self.note.version.is_none()) else {
            return;
        };
        let mut lots: Vec<(String, String)> = Vec::new();
        for portion in recipe.portions().filter(|portion| portion.percent > 0.0) {
            let material = &portion.material;
            if let (Some(lot), false) = (&material.lot, lots.iter().any(|(known, _)| *known == material.name)) {
                lots.push((material.name.clone(), lot.clone()));
            }
        }
        self.note.lots.clone_from(&lots);
        // Those of a recipe stand in its version, which is told where it is new.
        if let [_] = lots.as_slice() {
            self.notice(Noticed::OpenLots { lots });
        }
    }

    /// The glaze over the first must be one, too. No chemistry is claimed of the two.
    fn find_over(&mut self, desk: &Desk, unlisted: bool) -> Result<(), Unnamed> {
        let Some(name) = self.note.over().map(str::to_owned) else {
            return Ok(());
        };
        let over = match desk.workplace().look_for_glaze(&name) {
            Ok(found) => found.glaze.name,
            Err(nothing) if unlisted && nothing.unknown => name,
            Err(nothing) => return Err(unnamed(Part::Over, nothing)),
        };
        self.note.with_text(OVER_KEY, &over);
        self.notice(Noticed::Over { over });
        Ok(())
    }

    fn look_for_photo(&mut self, desk: &Desk) {
        if let Some(photo) = self.note.photo.clone()
            && desk.workplace().file_at(&photo).is_none()
        {
            self.notice(Noticed::NoPhoto { photo });
        }
    }

    fn find_clay(&mut self, desk: &Desk, unlisted: bool) -> Result<(), Unnamed> {
        let Some(name) = &self.note.clay else {
            return Ok(());
        };
        match desk.workplace().look_for_clay(name) {
            Ok(found) => self.note.clay = Some(found.clay.name),
            Err(nothing) if unlisted && nothing.unknown => {}
            Err(nothing) => return Err(unnamed(Part::Clay, nothing)),
        }
        Ok(())
    }
}

/// The complaint about a name with the way to note it all the same.
fn unnamed(part: Part, nothing: NotFound) -> Unnamed {
    let NotFound {
        unknown,
        mut complaints,
        ..
    } = nothing;
    if let Some(first) = complaints.first_mut().filter(|_| unknown) {
        let help = first.help.as_deref().unwrap_or("");
        first.help = Some(format!("{help} (--unlisted notes it although no file names it)"));
    }
    Unnamed { part, complaints }
}
