//! Where a glaze lies in a clay's window, without what to do next: what scripts ask.

use crate::evidence::ware::Clay;
use glost_chemistry::glaze::{Glaze, Use};

use super::belief::{GlazeBelief, clay_knowledge, glaze_belief};
use super::evidence::{Evidence, Notebook, gather};
use super::kiln::{Kiln, bare_cone};
use super::learn::{Question, Verdict, Window};
use super::look::Edge;
use super::said::FitSaid;

/// How a glaze is asked about.
#[derive(Debug, Clone, Copy, Default)]
pub struct Asking<'a> {
    /// The firing that the call names, one of the notebook's.
    pub firing: Option<&'a Kiln>,
    /// That firing as the call says it.
    pub called: Option<&'a str>,
    /// The use as the call names it; else the glaze's own, else decorative.
    pub usage: Option<Use>,
}

impl Asking<'_> {
    /// The use that a glaze is judged for.
    pub fn usage_of(&self, glaze: &Glaze) -> Use {
        self.usage.or(glaze.about.usage).unwrap_or(Use::Decorative)
    }
}

/// A glaze's place in the window of a clay at one firing.
#[derive(Debug, Clone)]
pub struct FitPlace {
    /// What is believed of the glaze before its pieces are looked at.
    pub belief: GlazeBelief,
    /// What the notebook says about this clay at this firing.
    pub evidence: Evidence,
    /// What is said of the clay's own numbers.
    pub clay_said: Vec<FitSaid>,
    /// The window learnt from it.
    pub window: Window,
    /// What it is judged for.
    pub usage: Use,
    /// Crazing.
    pub craze: Verdict,
    /// Shivering.
    pub shiver: Verdict,
}

/// Learns the window and places a glaze in it.
pub fn place_in_window(book: &Notebook<'_>, glaze: &Glaze, clay: &Clay, asking: &Asking<'_>) -> FitPlace {
    let (knowledge, clay_said) = clay_knowledge(clay);
    let mut evidence = gather(book, glaze, &clay.name, &knowledge, asking.firing);
    if let (Some(asked), Some(kiln @ Kiln::Cone(cone))) = (asking.called, asking.firing)
        && bare_cone(asked) != *cone
    {
        evidence.said.push(FitSaid::CountsAs {
            asked: asked.trim().to_owned(),
            kiln: kiln.clone(),
        });
    }
    let mut belief = glaze_belief(glaze, book.fluxes, book.settings);
    belief.believed = evidence.believed;
    let families = std::mem::take(&mut evidence.families);
    let window = Window::learn_with(
        book.settings,
        knowledge,
        families,
        evidence.witnesses.clone(),
        book.learnt,
    );
    let usage = asking.usage_of(glaze);
    let question = Question {
        believed: belief.believed,
        own: evidence.own,
        place: Some(evidence.place),
        lot: evidence.present_lot,
        usage,
        failed_test: evidence.failed_test(),
    };
    FitPlace {
        craze: window.verdict(Edge::Craze, &question),
        shiver: window.verdict(Edge::Shiver, &question),
        usage,
        belief,
        evidence,
        clay_said,
        window,
    }
}
