//! Which end of a ladder lessens a fault, and how old its pieces are.

use glost_chemistry::diagnostic::{Diagnostic, of_typed, suggestion};
use glost_chemistry::read::folded;
use glost_core::tiles::blend::SavedTile;
use glost_core::tiles::mixture::{
    EndsDiffer, Fault, Goal, LadderQuestion, Lesson, LowersCrazing, Outcomes, PlanLadder, TileLook, TileTable,
    ends_differ, lowers_crazing,
};
use glost_studio::Workplace;

use super::Question;

/// The largest addition a ladder is continued to, per cent of the base.
const MOST_ADDITION: f64 = 1000.0;

/// The end whose rise lessens a fault.
#[derive(Debug, Clone, PartialEq)]
pub struct LessensBy {
    /// By its place.
    pub end: usize,
    /// What is added on top of the other end, where the plan is a ladder of it.
    pub addition: Option<String>,
    /// What it is, where it is known.
    pub material: Option<LowersCrazing>,
}

/// How old the pieces were that a call of no crazing rests on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AgeSeen {
    /// Days; `None` where some age isn't told.
    pub youngest_days: Option<f64>,
    /// Whether the clay is known to be dense.
    pub dense: bool,
}

impl AgeSeen {
    /// From when on crazing that hasn't come is not expected any more, in days: sooner on
    /// dense clays than on porous ones, or those of which nobody knows (common practice,
    /// no source).
    pub fn enough_days(&self) -> f64 {
        if self.dense { 180.0 } else { 365.0 }
    }

    /// Whether they were old enough.
    pub fn enough(&self) -> bool {
        self.youngest_days.is_some_and(|days| days >= self.enough_days())
    }
}

/// The end whose rise lessens a fault, and how that is known.
pub(super) struct Lowering {
    end: usize,
    /// The ladder of the plan, where it is one.
    ladder: Option<PlanLadder>,
    material: Option<LowersCrazing>,
}

impl Lowering {
    pub(super) fn question(&self, table: &TileTable) -> LadderQuestion {
        let (foot, whole) = match &self.ladder {
            Some(ladder) => (ladder.percent_at_foot, ladder.percent_at_whole),
            None => (0.0, 100.0),
        };
        LadderQuestion {
            lowering: self.end,
            percent_at_foot: foot,
            percent_at_whole: whole,
            most_percent: if self.ladder.is_some() { MOST_ADDITION } else { 100.0 },
            firings: table.firings(),
        }
    }

    pub(super) fn words(&self) -> LessensBy {
        LessensBy {
            end: self.end,
            addition: self.ladder.as_ref().map(|ladder| ladder.material.clone()),
            material: self.material,
        }
    }
}

/// Which end lessens the fault: as the call says, else as a saved ladder's addition does.
pub(super) fn lowering(
    asked: &Question,
    workplace: &Workplace,
    tiles: &[&SavedTile],
    table: &TileTable,
    goal: Goal,
) -> Result<Option<Lowering>, Diagnostic> {
    let ladder = match ends_differ(tiles) {
        EndsDiffer::Ladder(ladder) => Some(ladder),
        EndsDiffer::Several(_) | EndsDiffer::Otherwise => None,
    };
    let material = ladder
        .as_ref()
        .and_then(|ladder| workplace.library().find(&ladder.material))
        .and_then(|material| lowers_crazing(material));
    let Some(named) = asked.lowers.as_deref() else {
        let alone = goal == Goal::Least && asked.model.is_none() && table.counts(Fault::Crazed);
        return Ok(ladder.filter(|_| alone && material.is_some()).map(|ladder| Lowering {
            end: ladder.rising,
            ladder: Some(ladder),
            material,
        }));
    };
    let bad = |message: String| Diagnostic::error("bad-option", format!("--lowers: {message}"));
    let is = |name: &str| folded(name) == folded(named);
    let rising = ladder
        .as_ref()
        .filter(|ladder| is(&ladder.material))
        .map(|ladder| ladder.rising);
    let Some(end) = table.ends.iter().position(|end| is(end)).or(rising) else {
        let names = table.ends.iter().map(String::as_str);
        return Err(bad(of_typed(named, "is none of the ends"))
            .help(suggestion(named, names).unwrap_or_else(|| format!("the ends are: {}", table.ends.join(", ")))));
    };
    if table.ends.len() != 2 {
        return Err(bad(format!("a ladder has two ends, not {}", table.ends.len()))
            .help("leave --lowers out: with more ends the tiles themselves say which way lessens it"));
    }
    if !matches!(table.outcomes, Outcomes::Counts(_)) {
        return Err(bad(of_typed(&table.value, "is graded, not counted"))
            .help("a ladder is learned from counts of pieces, such as 2/5; leave --lowers out for grades"));
    }
    if goal != Goal::Least {
        return Err(bad("it looks for the least addition that holds".to_owned()).help("leave --goal out, or say least"));
    }
    if asked.model.is_some() {
        return Err(bad("a ladder has a law of its own".to_owned()).help("leave --model out, or --lowers"));
    }
    Ok(Some(Lowering {
        end,
        ladder: ladder.filter(|ladder| ladder.rising == end),
        material,
    }))
}

/// How old the pieces are that a call rests on, and how old they have to be.
pub(super) fn age(workplace: &Workplace, table: &TileTable, lesson: &Lesson) -> Option<AgeSeen> {
    if !table.counts(Fault::Crazed) {
        return None;
    }
    let bearing = lesson.tiles_borne_on();
    let looks: Vec<_> = bearing.iter().filter_map(|place| table.looks.get(*place)).collect();
    let settings = &workplace.settings().fit;
    let dense = |look: &TileLook| {
        let found = look.clay.as_deref().and_then(|name| workplace.clay(name).ok());
        let absorption = found.and_then(|found| found.clay.absorption());
        absorption.is_some_and(|percent| percent <= settings.dense_up_to_percent)
    };
    Some(AgeSeen {
        youngest_days: looks
            .iter()
            .map(|look| look.age_days)
            .collect::<Option<Vec<f64>>>()
            .and_then(|ages| ages.into_iter().reduce(f64::min)),
        dense: !looks.is_empty() && looks.iter().all(|look| dense(look)),
    })
}
