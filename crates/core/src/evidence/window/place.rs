//! Where a glaze lies in a clay's window, without what to do next: what scripts ask.

use crate::evidence::ware::Clay;
use glost_chemistry::glaze::Glaze;

use super::belief::{GlazeBelief, clay_knowledge, glaze_belief};
use super::evidence::{Evidence, Notebook, gather};
use super::learn::{Question, Verdict, Window};
use super::look::Edge;

/// A glaze's place in the window of a clay at one firing.
#[derive(Debug, Clone)]
pub struct FitPlace {
    /// What is believed of the glaze before its pieces are looked at.
    pub belief: GlazeBelief,
    /// What the notebook says about this clay at this firing.
    pub evidence: Evidence,
    /// What is said of the clay's own numbers.
    pub clay_said: Vec<String>,
    /// The window learnt from it.
    pub window: Window,
    /// Crazing.
    pub craze: Verdict,
    /// Shivering.
    pub shiver: Verdict,
}

/// Learns the window and places a glaze in it. `firing`: as the call names it.
pub fn place_in_window(book: &Notebook<'_>, glaze: &Glaze, clay: &Clay, firing: Option<&str>) -> FitPlace {
    let evidence = gather(book, glaze, &clay.name, firing);
    let belief = glaze_belief(glaze, book.fluxes, book.settings);
    let (knowledge, clay_said) = clay_knowledge(clay);
    let window = Window::learn(book.settings, knowledge, evidence.witnesses.clone());
    let question = Question {
        believed: belief.believed,
        own: evidence.own,
    };
    FitPlace {
        craze: window.verdict(Edge::Craze, &question),
        shiver: window.verdict(Edge::Shiver, &question),
        belief,
        evidence,
        clay_said,
        window,
    }
}
