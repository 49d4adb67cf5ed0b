//! The graded tiles that an answer rests on.

use glost_chemistry::read::folded;
use glost_core::tiles::blend::{SavedPlan, SavedTile, find_plan, plan_notes};
use glost_core::tiles::mixture::{EndsDiffer, TileReading, TileTable, ends_differ, join_ladders, planned_tiles};
use glost_studio::Workplace;

use crate::lost_plan::lost_plan;
use crate::{Failure, Said};

use super::{Tiles, TilesSaid, read_tiles};

/// All plans of a studio, and which of them are asked about.
#[derive(Debug, Default)]
pub(super) struct Plans {
    all: Vec<SavedPlan>,
    /// The named ones, by their place, the first named first.
    named: Vec<usize>,
}

impl Plans {
    pub(super) fn of(tiles: &Tiles, workplace: &Workplace) -> Result<Plans, Failure> {
        let Tiles::Plans { plans: names, .. } = tiles else {
            return Ok(Plans::default());
        };
        let (all, complaints) = workplace.plans();
        let mut plans = Plans { all, named: Vec::new() };
        for name in names {
            let plan = find_plan(&plans.all, name).map_err(|why| {
                // One that can't be read may be the one that is meant.
                let file = format!("{}.json", name.to_lowercase());
                let broken = complaints.iter().find(|complaint| {
                    let place = complaint.place.as_ref();
                    place.is_some_and(|place| place.file.to_lowercase().ends_with(&file))
                });
                // A notebook that can't be read is told by whoever reads on.
                let lost = || lost_plan(name, &workplace.notes().ok()?.0);
                broken.cloned().or_else(lost).unwrap_or(why)
            })?;
            let place = plans.all.iter().position(|other| other.name == plan.name);
            plans.named.extend(place.filter(|place| !plans.named.contains(place)));
        }
        let same_ends = |one: &SavedPlan, other: &SavedPlan| {
            let both = one.ends.iter().zip(&other.ends);
            one.ends.len() == other.ends.len() && both.into_iter().all(|(one, other)| folded(one) == folded(other))
        };
        let first = plans.named().next();
        if first.is_some_and(|first| plans.named().any(|other| !same_ends(first, other))) {
            // Ladders of one addition are one; other plans of different ends are refused later.
            join_ladders(&mut plans.all, &plans.named);
        }
        Ok(plans)
    }

    pub(super) fn named(&self) -> impl Iterator<Item = &SavedPlan> {
        self.named.iter().filter_map(|place| self.all.get(*place))
    }

    /// Whether the tiles come from a table.
    pub(super) fn is_empty(&self) -> bool {
        self.named.is_empty()
    }
}

/// The graded tiles, and what is said of reading them.
pub(super) fn read(tiles: &Tiles, workplace: &Workplace, plans: &Plans) -> Result<(TileTable, Vec<Said>), Failure> {
    let grade = match tiles {
        Tiles::Table {
            data,
            shares,
            value,
            fired_together,
        } => {
            let source = workplace.text(&data.to_string_lossy())?;
            let table = read_tiles(&source, shares, value, fired_together.as_deref())?;
            let said = table.assumptions.iter().cloned().map(read_so).collect();
            return Ok((table, said));
        }
        Tiles::Plans { grade, .. } => grade.as_deref(),
    };
    let (notes, complaints) = workplace.notes()?;
    let noted: Vec<_> = plans.named().map(|plan| plan_notes(&plans.all, plan, &notes)).collect();
    let table = planned_tiles(&noted, grade)?;
    let mut said: Vec<Said> = table.assumptions.iter().cloned().map(read_so).collect();
    let tiles: Vec<&SavedTile> = plans.named().flat_map(|plan| &plan.tiles).collect();
    if let EndsDiffer::Several(additions) = ends_differ(&tiles) {
        said.push(Said::Tiles(TilesSaid::RiseTogether(additions)));
    }
    if !complaints.is_empty() {
        said.push(Said::Tiles(TilesSaid::LinesUnread(complaints.len())));
    }
    Ok((table, said))
}

fn read_so(reading: TileReading) -> Said {
    Said::Tiles(TilesSaid::Read(reading))
}
