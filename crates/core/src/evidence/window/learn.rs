//! A clay's window learnt from its witnesses, and what it says about a glaze.

use std::cell::OnceCell;
use std::sync::{Arc, OnceLock};

use glost_chemistry::glaze::Use;

use super::look::{Believed, Edge, Family, FamilyPlace, Witness};
use super::posterior::{LearntEdge, Pieces};
use super::settings::{Belief, ClayKnowledge, WindowSettings};
use super::tables::LearntTables;
use super::zone::{Judged, Zone};

/// What the pieces on one clay at one firing say; it serves every glaze that is asked about.
#[derive(Debug, Clone)]
pub struct Window {
    /// What is taken for granted.
    pub settings: WindowSettings,
    /// What is known of the clay.
    pub clay: ClayKnowledge,
    /// The families of those whose pieces were looked at.
    pub families: Vec<Family>,
    /// Whose pieces were looked at.
    pub witnesses: Arc<Vec<Witness>>,
    /// Where glazes start to craze.
    pub craze: LearntEdge,
    /// Below what they shiver.
    pub shiver: LearntEdge,
    pieces: OnceLock<u64>,
}

/// A glaze that is asked about.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Question {
    /// Its expansion, where nobody looked at its family.
    pub believed: Believed,
    /// The place of its own pieces among the witnesses.
    pub own: Option<usize>,
    /// Its place in a family of which pieces were looked at.
    pub place: Option<FamilyPlace>,
    /// Of which lot its next pieces are made; a lot that no look names is a new one.
    pub lot: usize,
    /// What it is for.
    pub usage: Use,
    /// Whether pieces of it failed a torture test.
    pub failed_test: bool,
}

/// What the window says about a glaze at one edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Verdict {
    /// The chance, 0 to 1, that a piece of a future batch fails within three years.
    pub chance: f64,
    /// In words.
    pub zone: Zone,
}

impl Window {
    /// Learns from pieces on one clay at one firing. Places of witnesses name families of
    /// the list.
    pub fn learn(
        settings: &WindowSettings,
        clay: ClayKnowledge,
        families: Vec<Family>,
        witnesses: Vec<Witness>,
    ) -> Window {
        Window::learn_with(settings, clay, families, witnesses.into(), &LearntTables::default())
    }

    /// As [`Window::learn`], with what was worked out for other glazes on the same clay.
    pub fn learn_with(
        settings: &WindowSettings,
        clay: ClayKnowledge,
        families: Vec<Family>,
        witnesses: Arc<Vec<Witness>>,
        tables: &LearntTables,
    ) -> Window {
        let fall = settings.fall_on(&clay);
        let (line, floor) = (settings.threshold_on(&clay), settings.floor_on(&clay));
        Window {
            craze: LearntEdge::learn(Edge::Craze, settings, line, Some(fall), &families, &witnesses, tables),
            shiver: LearntEdge::learn(Edge::Shiver, settings, floor, None, &families, &witnesses, tables),
            settings: settings.clone(),
            clay,
            families,
            witnesses,
            pieces: OnceLock::new(),
        }
    }

    /// How many pieces it was learnt from, of all glazes.
    pub fn pieces_looked_at(&self) -> u64 {
        let of = |witness: &Witness| witness.counted(Edge::Craze).0.max(witness.counted(Edge::Shiver).0);
        *self.pieces.get_or_init(|| self.witnesses.iter().map(of).sum())
    }

    /// One of its edges.
    pub fn edge(&self, edge: Edge) -> &LearntEdge {
        match edge {
            Edge::Craze => &self.craze,
            Edge::Shiver => &self.shiver,
        }
    }

    /// The chance, 0 to 1, that a piece of a future batch fails within three years.
    pub fn chance(&self, edge: Edge, question: &Question) -> f64 {
        let learnt = self.edge(edge);
        match question.place {
            Some(place) if learnt.has_looks(place.family) => learnt.chance_of(&Pieces {
                place,
                lot: question.lot,
            }),
            _ => learnt.chance(question.believed.belief),
        }
    }

    /// What it says about a glaze.
    pub fn verdict(&self, edge: Edge, question: &Question) -> Verdict {
        let chance = self.chance(edge, question);
        Verdict {
            chance,
            zone: self.judged(edge, question, |level| chance >= level),
        }
    }

    /// The same in words alone, which the chances of other glazes mostly settle.
    pub fn zone(&self, edge: Edge, question: &Question) -> Zone {
        let learnt = self.edge(edge);
        let own_family = question.place.filter(|place| learnt.has_looks(place.family));
        let chance = OnceCell::new();
        self.judged(edge, question, |level| match own_family {
            Some(_) => *chance.get_or_init(|| self.chance(edge, question)) >= level,
            None => learnt.reaches(level, question.believed.belief),
        })
    }

    fn judged(&self, edge: Edge, question: &Question, reaches: impl Fn(f64) -> bool) -> Zone {
        let judged = Judged {
            edge,
            usage: question.usage,
            clay: &self.clay,
            failed_test: question.failed_test && edge == Edge::Craze,
            settings: &self.settings,
        };
        let own = question.own.and_then(|index| self.witnesses.get(index));
        judged.zone(reaches, own)
    }

    /// The chance, 0 to 1, that a piece of a glaze that nobody fired yet crazes within three
    /// years; its expansion and one standard deviation in 1e-6/K.
    pub fn p_craze(&self, expansion: f64, sd: f64) -> f64 {
        self.craze.chance(Belief::new(expansion, sd))
    }

    /// The expansion, 1e-6/K, at which that chance reaches a level between 0 and 1.
    pub fn expansion_at(&self, level: f64, sd: f64) -> Option<f64> {
        self.craze.expansion_at(level, sd)
    }
}
