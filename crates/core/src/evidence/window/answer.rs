//! Does this glaze fit this clay? Everything that bears on the answer, in one piece.

use std::borrow::Cow;
use std::collections::HashSet;

use crate::evidence::notes::{Note, Task, TodaysRecipes, due_of};
use crate::evidence::ware::{Clay, GlazeStress, StressSaid, stress_on};
use glost_chemistry::Assumption;
use glost_chemistry::glass::{Expansion, ExpansionModel};
use glost_chemistry::glaze::{Glaze, Use};
use glost_chemistry::oxides::{Oxide, OxideMoles};
use glost_chemistry::quantity::Date;
use glost_chemistry::read::{folded, folding};

use super::belief::GlazeBelief;
use super::evidence::{Evidence, EvidenceLine, Notebook};
use super::learn::{Verdict, Window};
use super::look::{Edge, Known, Witness};
use super::next::{Candidate, candidates};
use super::place::{Asking, WholePlace, whole_place};
use super::said::FitSaid;
use super::zone::rests_on_counts;

/// Whether a glaze fits a clay, as far as pieces and chemistry say.
#[derive(Debug, Clone)]
pub struct FitAnswer {
    /// The glaze's name.
    pub glaze: String,
    /// The clay's name.
    pub clay: String,
    /// What is believed of the glaze before its pieces are looked at.
    pub belief: GlazeBelief,
    /// Its expansion as a glass of exactly this composition, where it is computed.
    pub expansion: Option<Expansion>,
    /// What the notebook says about this clay at this firing.
    pub evidence: Evidence,
    /// The window learnt from it.
    pub window: Window,
    /// What it is judged for.
    pub usage: Use,
    /// Whether its file says that crackle is wanted.
    pub crackle_wanted: bool,
    /// Crazing.
    pub craze: Verdict,
    /// Shivering.
    pub shiver: Verdict,
    /// Another batch, steps of ladders and older pieces, the most telling first.
    pub next: Vec<Candidate>,
    /// When to look at its own pieces again, the soonest first.
    pub look_again: Vec<LookAgain>,
    /// The stress in the glaze, where the clay's expansion was measured.
    pub stress: Option<GlazeStress>,
    /// What goes with it.
    pub assumptions: Vec<FitSaid>,
}

/// Pieces of the glaze to be looked at again.
#[derive(Debug, Clone, PartialEq)]
pub struct LookAgain {
    /// The day.
    pub on: Date,
    /// Their age then, days.
    pub at_days: f64,
    /// The line of their last note.
    pub line: usize,
    /// Their batch.
    pub batch: Option<String>,
    /// Whether that day lies before today.
    pub overdue: bool,
}

fn holds_lead(moles: Option<&OxideMoles>) -> bool {
    moles.is_some_and(|moles| moles.get(Oxide::PbO) > 0.0)
}

fn glaze_of(note: &Note) -> Option<Cow<'_, str>> {
    note.glaze.as_deref().map(folding)
}

/// As `glost due` says.
fn look_again(book: &Notebook<'_>, evidence: &Evidence, today: Date) -> Vec<LookAgain> {
    let of_it = |known: &&EvidenceLine| known.witness.is_some() && known.witness == evidence.own;
    let own: HashSet<usize> = evidence.lines.iter().filter(of_it).map(|known| known.line).collect();
    // Pieces of one story are of one glaze.
    let own_notes = own.iter().filter_map(|line| book.notes.at(*line));
    let glazes: HashSet<Option<Cow<'_, str>>> = own_notes.map(glaze_of).collect();
    let notes = book.notes.standing().filter(|note| glazes.contains(&glaze_of(note)));
    due_of(notes, book.versions, &TodaysRecipes::default(), today)
        .into_iter()
        .filter_map(|due| match due.task {
            Task::Look { story, at_days, .. } if story.looks.iter().any(|note| own.contains(&note.line)) => {
                Some(LookAgain {
                    on: due.on,
                    at_days,
                    line: story.latest().line,
                    batch: story.latest().batch.clone(),
                    overdue: due.on < today,
                })
            }
            _ => None,
        })
        .collect()
}

/// Answers for a glaze on a clay. `today`: for what is due, where that matters.
pub fn fit(book: &Notebook<'_>, glaze: &Glaze, clay: &Clay, asking: &Asking<'_>, today: Option<Date>) -> FitAnswer {
    let WholePlace {
        belief,
        evidence,
        clay_said,
        window,
        question,
    } = whole_place(book, glaze, clay, asking);
    let moles = belief.moles.as_ref();
    let mut answer = FitAnswer {
        glaze: glaze.name.clone(),
        clay: clay.name.clone(),
        expansion: moles.and_then(|moles| ExpansionModel::default().predict(moles)),
        usage: question.usage,
        crackle_wanted: glaze.about.crackle_wanted,
        craze: window.verdict(Edge::Craze, &question),
        shiver: window.verdict(Edge::Shiver, &question),
        next: if holds_lead(moles) {
            Vec::new()
        } else {
            candidates(&window, &evidence, today)
        },
        look_again: today.map_or_else(Vec::new, |today| look_again(book, &evidence, today)),
        stress: moles.and_then(|moles| stress_on(moles, clay)),
        assumptions: Vec::new(),
        belief,
        evidence,
        window,
    };
    answer.assumptions = answer.takes_for_granted(glaze, clay_said);
    answer
}

impl FitAnswer {
    /// The glaze's own pieces.
    pub fn own(&self) -> Option<&Witness> {
        self.evidence.own.and_then(|index| self.evidence.witnesses.get(index))
    }

    /// How many of its own pieces were looked at, and how many failed.
    pub fn counted(&self, edge: Edge) -> (u64, u64) {
        self.own().map_or((0, 0), |own| own.counted(edge))
    }

    /// How many of its own pieces were seen to fail at any look.
    pub fn ever_failed(&self, edge: Edge) -> u64 {
        self.own().map_or(0, |own| own.ever_failed(edge))
    }

    /// Whether there is lead in it: nothing to fire is proposed then.
    pub fn holds_lead(&self) -> bool {
        holds_lead(self.belief.moles.as_ref())
    }

    /// Whether the answer is no for the use it is judged for.
    pub fn says_no(&self) -> bool {
        let careful = matches!(self.usage, Use::Tableware | Use::Outdoor);
        let crazing = self.craze.zone.says_no(Edge::Craze, self.usage) || self.evidence.failed_test();
        let crackle = self.crackle_wanted && !careful;
        (crazing && !crackle) || self.shiver.zone.says_no(Edge::Shiver, self.usage) || self.evidence.dunted > 0
    }

    /// The age in days of the oldest of its own pieces that were looked at for crazing.
    pub fn oldest_days(&self) -> Option<f64> {
        let own = self.own()?;
        let ages = own.latest(Edge::Craze).into_iter().map(|look| look.age_days);
        ages.max_by(f64::total_cmp)
    }

    /// The age in days of the oldest of its own pieces, where the line stood higher than it
    /// will at three years.
    pub fn line_today_days(&self) -> Option<f64> {
        let days = self.oldest_days()?;
        (self.window.settings.ageing.fallen_by(days) < 1.0).then_some(days)
    }

    /// How many buckets those batches came from: one bucket may go into several firings.
    pub fn mixings(&self, edge: Edge) -> usize {
        let lines = &self.evidence.lines;
        let looks = self.own().map_or_else(Vec::new, |own| own.latest(edge));
        let mixed = looks.into_iter().map(|look| {
            let line = lines.iter().find(|line| line.line == look.line);
            let batch = line.and_then(|line| line.batch.as_deref()).map(folded);
            (batch.or_else(|| look.batch.clone()), look.lot)
        });
        mixed.collect::<HashSet<_>>().len()
    }

    /// How many batches of its own were looked at for an edge: one mixing in one firing each.
    pub fn batches(&self, edge: Edge) -> usize {
        self.own().map_or(0, |own| own.latest(edge).len())
    }

    /// Whether nothing was computed: pieces and priors alone speak.
    pub fn rests_on_counts(&self) -> bool {
        rests_on_counts(&self.belief.believed, &self.evidence.witnesses)
    }

    fn takes_for_granted(&self, glaze: &Glaze, clay_said: Vec<FitSaid>) -> Vec<FitSaid> {
        let window = &self.window;
        let settings = &window.settings;
        let prior = window.craze.prior();
        let mut said = self.evidence.said.clone();
        let mut add = |one: FitSaid| {
            if !said.contains(&one) {
                said.push(one);
            }
        };
        self.belief.said.iter().cloned().for_each(&mut add);
        if self.belief.moles.is_some() {
            let materials = glaze.material_assumptions().into_iter();
            materials.map(FitSaid::Chemistry).for_each(&mut add);
        }
        clay_said.into_iter().for_each(&mut add);
        let clay = window.clay.expansion_per_million_per_kelvin;
        add(FitSaid::BeforeAnyPiece {
            line: prior,
            below_clay: clay.map(|expansion| (expansion, settings.below_clay.mean)),
        });
        if self.belief.believed.known == Known::Unknown {
            add(FitSaid::UnknownExpansion {
                glaze: self.glaze.clone(),
                taken: settings.unknown,
            });
        }
        add(self.ageing());
        self.stress
            .iter()
            .flat_map(|stress| stress.assumptions.iter().cloned())
            .map(|said| match said {
                // What the model says of itself stands once.
                StressSaid::Model(said) => FitSaid::Chemistry(Assumption::Model(said)),
                other => FitSaid::Stress(other),
            })
            .for_each(&mut add);
        let departures = settings.departures.iter().cloned();
        departures.map(FitSaid::Departure).for_each(&mut add);
        said
    }

    fn ageing(&self) -> FitSaid {
        let window = &self.window;
        let percent = |days: f64| 100.0 * window.settings.ageing.fallen_by(days);
        let absorption = window.clay.absorption_percent;
        FitSaid::Ageing {
            dense: absorption.map(|_| window.settings.is_dense(&window.clay)),
            fall: window.settings.fall_on(&window.clay),
            percent_by: (percent(30.0), percent(180.0)),
            learnt: window.craze.mean_fall(),
        }
    }
}
