//! What goes into a kiln, looked up.

use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, suggestion};
use glost_chemistry::glaze::Atmosphere;
use glost_chemistry::material::Material;
use glost_chemistry::quantity::Date;
use glost_core::evidence::firings::{Entry, FiringKind, Put};
use glost_core::tiles::blend::{SavedPlan, SavedTile, find_tile};
use glost_core::workshop::batches::{Booking, Journal, NotOne};
use glost_core::workshop::hazards::InKiln;

use super::{KilnSaid, SaidEntry};
use crate::{Desk, Failure};

/// Names that a complaint lists.
const MOST_NAMED: usize = 12;

/// Where the names of a load are looked up.
pub(super) struct Lookup<'a> {
    desk: &'a Desk,
    batches: Journal,
    plans: Vec<SavedPlan>,
    kind: FiringKind,
    on: Date,
    unlisted: bool,
}

/// An entry with what its firing has to know.
pub(super) struct Found {
    pub(super) entry: Entry,
    /// The glaze's name.
    pub(super) name: String,
    /// What it is made of, in whatever unit.
    pub(super) lines: Vec<(Arc<Material>, f64)>,
    /// The cone that its file or booking names.
    pub(super) cone: Option<String>,
    /// The atmosphere that its file says.
    pub(super) atmosphere: Option<Atmosphere>,
    pub(super) said: Vec<KilnSaid>,
}

impl Found {
    /// As the cautions ask for it.
    pub(super) fn in_kiln(&self) -> InKiln<'_> {
        InKiln {
            name: self.name.clone(),
            lines: self
                .lines
                .iter()
                .map(|(material, weight)| (&**material, *weight))
                .collect(),
        }
    }
}

impl<'a> Lookup<'a> {
    pub(super) fn open(desk: &'a Desk, kind: FiringKind, on: Date, unlisted: bool) -> Result<Lookup<'a>, Failure> {
        let batches = match desk.workplace().batch_book() {
            Some(book) => {
                let read = book.read()?;
                desk.tell(read.cautions);
                read.journal
            }
            None => Journal::default(),
        };
        let (plans, complaints) = desk.workplace().plans();
        desk.tell(complaints);
        Ok(Lookup {
            desk,
            batches,
            plans,
            kind,
            on,
            unlisted,
        })
    }

    /// An entry with its names looked up: a batch before a glaze, a glaze before a tile.
    pub(super) fn entry(&self, said: &SaidEntry) -> Result<Found, Failure> {
        let mut found = match (self.batch(said)?, self.desk.two_glazes(&said.what)) {
            (Some(found), _) => found,
            (None, Some((over, under))) if self.kind != FiringKind::Biscuit => self.over(said, &over, under)?,
            (None, _) => self.no_batch(said)?,
        };
        match &said.clay {
            Some(clay) => found.entry.clay = Some(self.clay(clay)?),
            None => found.said.push(match &found.entry.clay {
                Some(clay) => KilnSaid::ClayFromFile {
                    what: vec![found.entry.put.clone()],
                    clay: clay.clone(),
                },
                None => KilnSaid::NoClay {
                    what: found.entry.put.clone(),
                },
            }),
        }
        Ok(found)
    }

    /// An entry that was written down, with what is known of it today; what is gone since
    /// brings nothing that is known.
    pub(super) fn again(&self, entry: &Entry) -> Option<Found> {
        let what = match &entry.put {
            Put::Batch { number, booking } => booking.as_ref().unwrap_or(number),
            put @ (Put::Glaze(_) | Put::Tile(_) | Put::Ware(_)) => put.name(),
        };
        let over = entry
            .over
            .as_ref()
            .map_or_else(String::new, |over| format!("{over} over "));
        let said = SaidEntry {
            what: format!("{over}{what}"),
            pieces: entry.pieces,
            clay: None,
            shelf: None,
            mark: None,
            coat: None,
        };
        self.entry(&said).ok()
    }

    /// Two glazes on one piece: `CLEAR over 14`.
    fn over(&self, said: &SaidEntry, over: &str, under: String) -> Result<Found, Failure> {
        let of = |what: &str| SaidEntry {
            what: what.to_owned(),
            ..said.clone()
        };
        let over = self.no_batch(&of(over))?;
        let under = of(&under);
        let mut found = match self.batch(&under)? {
            Some(found) => found,
            None => self.no_batch(&under)?,
        };
        found.entry.over = Some(over.name);
        found.lines.extend(over.lines);
        Ok(found)
    }

    fn clay(&self, name: &str) -> Result<String, Failure> {
        match self.desk.workplace().look_for_clay(name) {
            Ok(found) => Ok(found.clay.name),
            Err(nothing) if self.unlisted && nothing.unknown => Ok(name.to_owned()),
            Err(nothing) => {
                let mut complaints = nothing.complaints;
                if let Some(first) = complaints.first_mut().filter(|_| nothing.unknown) {
                    let help = first.help.as_deref().unwrap_or("");
                    first.help = Some(format!("{help} (--unlisted takes it although no file names it)"));
                }
                Err(complaints.into())
            }
        }
    }

    fn batch(&self, said: &SaidEntry) -> Result<Option<Found>, Failure> {
        let batch = match self.batches.only(&said.what) {
            Ok(batch) => batch,
            Err(NotOne::Unknown) => return Ok(None),
            Err(NotOne::Several(batches)) => {
                let ids = batches
                    .iter()
                    .map(|batch| format!("{} ({}, {})", batch.booking.id, batch.booking.glaze, batch.booking.on));
                let message = format!("{} batches are called {}", batches.len(), said.what);
                let help = format!("name one by its id: {}", ids.collect::<Vec<_>>().join(", "));
                return Err(Diagnostic::error("shared-number", message).help(help).into());
            }
        };
        let booking = &batch.booking;
        if !batch.stands() {
            let message = format!("the booking of batch {} was taken back", booking.number.text());
            let help = "book it anew with `glost weigh GLAZE --commit`, or load the glaze by its name";
            return Err(Diagnostic::error("batch-void", message).help(help).into());
        }
        let put = Put::Batch {
            number: booking.number.text().to_owned(),
            booking: Some(booking.id.clone()),
        };
        let later = (booking.on > self.on).then(|| KilnSaid::MixedLater {
            batch: booking.number.text().to_owned(),
            on: booking.on,
        });
        Ok(Some(Found {
            entry: entry(put, said, booking.clay.clone()),
            name: booking.glaze.clone(),
            lines: self.booked_lines(booking),
            cone: booking.cone.clone(),
            atmosphere: self.atmosphere(&booking.glaze),
            said: later.into_iter().collect(),
        }))
    }

    /// The atmosphere that a glaze's file says.
    fn atmosphere(&self, glaze: &str) -> Option<Atmosphere> {
        match self.desk.workplace().look_for_glaze(glaze) {
            Ok(found) => found.glaze.about.atmosphere,
            // Whoever asks for the glaze itself is told what is wrong with its file.
            Err(_) => None,
        }
    }

    fn booked_lines(&self, booking: &Booking) -> Vec<(Arc<Material>, f64)> {
        let library = self.desk.workplace().library();
        let lines = booking.lines.iter();
        lines
            .filter_map(|line| Some((library.find(&line.material)?.clone(), line.grams)))
            .collect()
    }

    fn no_batch(&self, said: &SaidEntry) -> Result<Found, Failure> {
        if self.kind == FiringKind::Biscuit {
            return Ok(Found {
                entry: entry(Put::Ware(said.what.clone()), said, None),
                name: said.what.clone(),
                lines: Vec::new(),
                cone: None,
                atmosphere: None,
                said: Vec::new(),
            });
        }
        let nothing = match self.desk.workplace().look_for_glaze(&said.what) {
            Ok(found) => {
                if let Some(Ok((plan, tile))) = found.tile.as_deref().map(|tile| find_tile(&self.plans, tile)) {
                    return Ok(self.tile(plan, tile, said));
                }
                let portions = found.glaze.portions();
                return Ok(Found {
                    entry: entry(
                        Put::Glaze(found.glaze.name.clone()),
                        said,
                        found.glaze.about.clay.clone(),
                    ),
                    name: found.glaze.name.clone(),
                    lines: portions
                        .map(|portion| (portion.material.clone(), portion.percent))
                        .collect(),
                    cone: found.glaze.about.cone.clone(),
                    atmosphere: found.glaze.about.atmosphere,
                    said: Vec::new(),
                });
            }
            Err(nothing) => nothing,
        };
        match find_tile(&self.plans, &said.what) {
            Ok((plan, tile)) => Ok(self.tile(plan, tile, said)),
            // A plan that is there and has no such tile says so itself.
            Err(error) if said.what.contains('/') && !self.plans.is_empty() => Err(error.into()),
            Err(_) if !nothing.unknown => Err(nothing.complaints.into()),
            Err(_) if self.unlisted => Ok(Found {
                entry: entry(Put::Glaze(said.what.clone()), said, None),
                name: said.what.clone(),
                lines: Vec::new(),
                cone: None,
                atmosphere: None,
                said: Vec::new(),
            }),
            Err(_) => Err(self.nothing_is_called(&said.what).into()),
        }
    }

    fn tile(&self, plan: &SavedPlan, tile: &SavedTile, said: &SaidEntry) -> Found {
        let library = self.desk.workplace().library();
        let amounts = tile.parts.iter().chain(&tile.additions);
        let name = plan.whole_code(tile);
        Found {
            entry: entry(Put::Tile(name.clone()), said, plan.clay.clone()),
            name,
            lines: amounts
                .filter_map(|(name, amount)| Some((library.find(name)?.clone(), *amount)))
                .collect(),
            cone: plan.cone.clone(),
            atmosphere: plan.ends.iter().find_map(|end| self.atmosphere(end)),
            said: Vec::new(),
        }
    }

    fn nothing_is_called(&self, what: &str) -> Diagnostic {
        let (glazes, _) = self.desk.workplace().all_recipes();
        let standing = self.batches.batches.iter().filter(|batch| batch.stands());
        let numbers: Vec<&str> = standing.map(|batch| batch.booking.number.text()).collect();
        let names: Vec<&str> = glazes.iter().map(|found| found.glaze.name.as_str()).collect();
        let near = suggestion(what, names.iter().copied().chain(numbers.iter().copied()));
        let booked = match numbers.len() {
            0 => "no batch is booked yet: `glost weigh GLAZE --dry \"5 kg\" --commit` books one".to_owned(),
            1..=MOST_NAMED => format!("batches booked: {}", numbers.join(", ")),
            _ => "`glost batches` lists those booked".to_owned(),
        };
        let message = format!("no batch is booked as `{what}`, and no glaze and no tile is called so");
        let near = near.map_or_else(String::new, |near| format!("{near}; "));
        Diagnostic::error("unknown-batch", message)
            .help(format!("{near}{booked} (--unlisted takes a glaze that no file names)"))
    }
}

fn entry(put: Put, said: &SaidEntry, clay: Option<String>) -> Entry {
    Entry {
        put,
        over: None,
        clay,
        pieces: said.pieces,
        shelf: said.shelf.clone(),
        coat: said.coat.clone(),
        mark: said.mark.clone(),
        text: None,
    }
}
