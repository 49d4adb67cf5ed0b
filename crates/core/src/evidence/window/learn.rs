//! A clay's window learnt from its witnesses, and what it says about a glaze.

use super::look::{Believed, Edge, Witness};
use super::posterior::{Failing, LearntEdge};
use super::settings::{ClayKnowledge, WindowSettings};
use super::zone::{Zone, zone};

/// What the pieces on one clay at one firing say.
#[derive(Debug, Clone, PartialEq)]
pub struct Window {
    /// What is taken for granted.
    pub settings: WindowSettings,
    /// What is known of the clay.
    pub clay: ClayKnowledge,
    /// Whose pieces were looked at.
    pub witnesses: Vec<Witness>,
    /// Where glazes start to craze.
    pub craze: LearntEdge,
    /// Below what they shiver.
    pub shiver: LearntEdge,
}

/// A glaze that is asked about.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Question {
    /// Its expansion.
    pub believed: Believed,
    /// The place of its own pieces among the witnesses.
    pub own: Option<usize>,
}

/// What the window says about a glaze at one edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Verdict {
    /// The chance, 0 to 1, that a piece fails within three years.
    pub chance: f64,
    /// In words.
    pub zone: Zone,
}

impl Window {
    /// Learns from pieces on one clay at one firing.
    pub fn learn(settings: &WindowSettings, clay: ClayKnowledge, witnesses: Vec<Witness>) -> Window {
        let failing = |edge: Edge| Failing {
            edge,
            between_pieces: settings.between_pieces,
            ageing: (edge == Edge::Craze).then(|| settings.ageing_on(&clay).clone()),
        };
        Window {
            craze: LearntEdge::learn(failing(Edge::Craze), settings.threshold_on(&clay), &witnesses),
            shiver: LearntEdge::learn(failing(Edge::Shiver), settings.floor_on(&clay), &witnesses),
            settings: settings.clone(),
            clay,
            witnesses,
        }
    }

    /// One of its edges.
    pub fn edge(&self, edge: Edge) -> &LearntEdge {
        match edge {
            Edge::Craze => &self.craze,
            Edge::Shiver => &self.shiver,
        }
    }

    /// What it says about a glaze.
    pub fn verdict(&self, edge: Edge, question: &Question) -> Verdict {
        let own = question.own.and_then(|index| self.witnesses.get(index));
        let chance = match own {
            Some(witness) => self.edge(edge).chance_of(witness),
            None => self.edge(edge).chance(question.believed.belief),
        };
        Verdict {
            chance,
            zone: zone(
                chance,
                edge,
                &question.believed,
                question.own,
                &self.witnesses,
                &self.settings,
            ),
        }
    }

    /// The chance, 0 to 1, that a piece of a glaze that nobody fired yet crazes within three
    /// years; its expansion and one standard deviation in 1e-6/K.
    pub fn p_craze(&self, expansion: f64, sd: f64) -> f64 {
        self.craze.chance(super::settings::Belief::new(expansion, sd))
    }

    /// The expansion, 1e-6/K, at which that chance reaches a level between 0 and 1.
    pub fn expansion_at(&self, level: f64, sd: f64) -> Option<f64> {
        self.craze.expansion_at(level, sd)
    }
}
