//! Does this glaze fit this clay? Everything that bears on the answer, in one piece.

use crate::evidence::notes::{Task, TodaysRecipes, due};
use crate::evidence::ware::{Clay, GlazeStress, stress_on};
use glost_chemistry::glass::{Expansion, ExpansionModel};
use glost_chemistry::glaze::Glaze;
use glost_chemistry::oxides::{Oxide, OxideMoles};
use glost_chemistry::quantity::Date;

use super::belief::GlazeBelief;
use super::evidence::{Evidence, EvidenceLine, Notebook};
use super::learn::{Question, Verdict, Window};
use super::look::{Edge, Known, Witness};
use super::next::{Candidate, ladder};
use super::place::{FitPlace, place_in_window};
use super::zone::{Zone, rests_on_counts};

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
    /// Crazing.
    pub craze: Verdict,
    /// Shivering.
    pub shiver: Verdict,
    /// Steps of a silica ladder, the most telling first.
    pub next: Vec<Candidate>,
    /// When to look at its own pieces again, the soonest first.
    pub look_again: Vec<LookAgain>,
    /// The stress in the glaze, where the clay's expansion was measured.
    pub stress: Option<GlazeStress>,
    /// Sentences that go with it.
    pub assumptions: Vec<String>,
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

/// As `glost due` says.
fn look_again(book: &Notebook<'_>, evidence: &Evidence, today: Date) -> Vec<LookAgain> {
    let own = |line: usize| {
        let of_it =
            |known: &EvidenceLine| known.line == line && known.witness.is_some() && known.witness == evidence.own;
        evidence.lines.iter().any(of_it)
    };
    due(book.notes, book.versions, &TodaysRecipes::default(), today)
        .into_iter()
        .filter_map(|due| match due.task {
            Task::Look { story, at_days, .. } if story.looks.iter().any(|note| own(note.line)) => Some(LookAgain {
                on: due.on,
                at_days,
                line: story.latest().line,
                batch: story.latest().batch.clone(),
                overdue: due.on < today,
            }),
            _ => None,
        })
        .collect()
}

/// Answers for a glaze on a clay. `firing`: as the call names it; `today`: for what is due,
/// where that matters.
pub fn fit(book: &Notebook<'_>, glaze: &Glaze, clay: &Clay, firing: Option<&str>, today: Option<Date>) -> FitAnswer {
    let FitPlace {
        belief,
        evidence,
        clay_said,
        window,
        craze,
        shiver,
    } = place_in_window(book, glaze, clay, firing);
    let question = Question {
        believed: belief.believed,
        own: evidence.own,
    };
    let moles = belief.moles.as_ref();
    let mut answer = FitAnswer {
        glaze: glaze.name.clone(),
        clay: clay.name.clone(),
        expansion: moles.and_then(|moles| ExpansionModel::default().predict(moles)),
        craze,
        shiver,
        next: if holds_lead(moles) {
            Vec::new()
        } else {
            ladder(&window, &question, moles)
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

    /// Whether there is lead in it: nothing to fire is proposed then.
    pub fn holds_lead(&self) -> bool {
        holds_lead(self.belief.moles.as_ref())
    }

    /// Whether the answer is no.
    pub fn says_no(&self) -> bool {
        [self.craze, self.shiver]
            .iter()
            .any(|verdict| verdict.zone == Zone::Expected)
    }

    /// Whether nothing was computed: pieces and priors alone speak.
    pub fn rests_on_counts(&self) -> bool {
        rests_on_counts(&self.belief.believed, &self.evidence.witnesses)
    }

    fn takes_for_granted(&self, glaze: &Glaze, clay_said: Vec<String>) -> Vec<String> {
        let window = &self.window;
        let settings = &window.settings;
        let prior = window.craze.prior();
        let mut said = self.evidence.said.clone();
        let mut add = |sentence: String| {
            if !said.contains(&sentence) {
                said.push(sentence);
            }
        };
        self.belief.said.iter().cloned().for_each(&mut add);
        if self.belief.moles.is_some() {
            glaze.material_assumptions().into_iter().for_each(&mut add);
        }
        clay_said.into_iter().for_each(&mut add);
        add(match window.clay.expansion_per_million_per_kelvin {
            Some(expansion) => format!(
                "before any piece was looked at: glazes craze on this clay from {:.1} +/- {} up, its own {expansion:.1} \
                 less {} (common practice, no source)",
                prior.mean, prior.sd, settings.below_clay.mean
            ),
            None => format!(
                "before any piece was looked at: glazes craze on this clay from {} +/- {} up (common practice, no source)",
                prior.mean, prior.sd
            ),
        });
        if self.belief.believed.known == Known::Unknown {
            add(format!(
                "nobody tells the expansion of {}: taken as {} +/- {}",
                self.glaze, settings.unknown.mean, settings.unknown.sd
            ));
        }
        add(self.ageing_sentence());
        self.stress
            .iter()
            .flat_map(|stress| stress.assumptions.iter().cloned())
            .for_each(&mut add);
        settings.departures.iter().cloned().for_each(&mut add);
        said
    }

    fn ageing_sentence(&self) -> String {
        let window = &self.window;
        let ageing = window.settings.ageing_on(&window.clay);
        let percent = |days: f64| 100.0 * ageing.share_by(days);
        let kind = match window.clay.absorption_percent {
            Some(_) if window.settings.is_dense(&window.clay) => "a dense clay",
            Some(_) => "a porous clay",
            None => "a clay whose absorption isn't known, taken as porous,",
        };
        format!(
            "of the pieces that craze within three years on {kind} {:.0} % have done so straight from the kiln, \
             {:.0} % by 30 days, {:.0} % by 180: an assumption, no table is published",
            percent(0.0),
            percent(30.0),
            percent(180.0)
        )
    }
}
