//! What is taken for granted of fit, and what contradicts itself, as data.

use glost_chemistry::diagnostic::nearest;
use glost_chemistry::{Assumption, OutsideModel};
use serde::Serialize;

use crate::evidence::notes::StoryOdd;
use crate::evidence::ware::{ExpansionSaid, StressSaid};

use super::kiln::Kiln;
use super::look::Edge;
use super::settings::Belief;

/// One thing that is said beside a glaze's fit on a clay.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum FitSaid {
    /// Of the clay's own numbers.
    Clay(ExpansionSaid),
    /// Of the stress in the glaze.
    Stress(StressSaid),
    /// What the models of chemistry or a material's sheet say of themselves.
    Chemistry(Assumption),
    /// What the studio set otherwise.
    Departure(Departure),
    /// So many looks name no clay and were left out.
    Homeless(usize),
    /// Notes alike with earlier ones count once.
    Twins {
        /// How many.
        count: usize,
        /// The line that the first is alike with.
        earlier: usize,
        /// The first one's line.
        first: usize,
    },
    /// A firing asked for by its name counts with all others to its cone.
    CountsAs {
        /// As asked.
        asked: String,
        /// What it counts with.
        kiln: Kiln,
    },
    /// No note on the clay is of the firing that was asked for.
    NoNoteOf(Kiln),
    /// The glaze's file names a cone only, and all notes of it are of one firing.
    ConeOnly(Kiln),
    /// No note is of the file's firing; others were taken.
    OtherFiring {
        /// The file's.
        wanted: Kiln,
        /// Theirs.
        taken: Kiln,
    },
    /// The file names no firing; all notes on the clay are of one.
    OnlyFiring(Kiln),
    /// The notes say no firing, and the glazes' files several.
    SeveralFirings(Vec<Kiln>),
    /// A note says no age.
    NoAge(usize),
    /// A recipe has changed since a version.
    Changed {
        /// The glaze.
        glaze: String,
        /// The version.
        version: String,
    },
    /// Nothing records what the versions of a glaze were.
    NoVersions {
        /// The glaze.
        glaze: String,
        /// The version that notes name.
        version: String,
    },
    /// Notes without a version count for today's recipe.
    Unversioned(Vec<String>),
    /// No file tells what a glaze is.
    Untold {
        /// As noted.
        glaze: String,
        /// A name that is near.
        near: Option<String>,
    },
    /// Its maker recommends a powder for this clay.
    Recommended {
        /// The glaze.
        glaze: String,
        /// How far below the line it is taken to lie, 1e-6/K.
        below: Belief,
    },
    /// A glaze lies outside what the expansion model has seen.
    OutsideModel {
        /// The glaze.
        glaze: String,
        /// In which ways.
        reasons: Vec<OutsideModel>,
        /// Whether the wider band counts.
        counted: bool,
    },
    /// A glaze holds lead.
    Lead(String),
    /// A powder's expansion is as printed.
    AsPrinted {
        /// The glaze.
        glaze: String,
        /// As printed.
        printed: String,
        /// One standard deviation, 1e-6/K.
        sd: f64,
    },
    /// What was believed of the clay before any piece was looked at.
    BeforeAnyPiece {
        /// Where glazes begin to craze, 1e-6/K.
        line: Belief,
        /// The clay's own expansion and how far below it that lies, 1e-6/K.
        below_clay: Option<(f64, f64)>,
    },
    /// Nobody tells a glaze's expansion.
    UnknownExpansion {
        /// The glaze.
        glaze: String,
        /// What it is taken as, 1e-6/K.
        taken: Belief,
    },
    /// How the craze line falls with age.
    Ageing {
        /// Whether the clay is dense; `None` where its absorption isn't known.
        dense: Option<bool>,
        /// By so much within three years, 1e-6/K.
        fall: Belief,
        /// How much of it by 30 and by 180 days, per cent.
        percent_by: (f64, f64),
        /// What the pieces taught of it, 1e-6/K.
        learnt: f64,
    },
    /// A glaze crazed more than its expansion accounts for.
    LoweredBound {
        /// The glaze.
        glaze: String,
        /// By how much the bound is lowered, 1e-6/K.
        by: f64,
    },
    /// No piece on the clay was looked at at this firing.
    NoPiece(String),
    /// What can't all be true of one batch.
    Odd(StoryOdd),
    /// Two lines note one batch under two recipes.
    TwoRecipes(usize, usize),
    /// One glaze failed although another further out held.
    WrongOrder {
        /// Which edge.
        edge: Edge,
        /// The glaze that failed.
        failing: String,
        /// How many of its pieces, and of how many.
        failed: (u64, u64),
        /// The glaze that held.
        held: String,
        /// How much further out it lies, 1e-6/K.
        gap: f64,
    },
}

impl FitSaid {
    /// A name that no file tells of may be a slip of one more, too.
    pub(super) fn may_mean(&mut self, other: &str) {
        if let FitSaid::Untold { glaze, near } = self {
            let names = near.as_deref().into_iter().chain([other]);
            let nearer = nearest(glaze, names).map(str::to_owned);
            *near = nearer;
        }
    }
}

/// What a studio set otherwise than usual under `fit:`.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Departure {
    /// A value with its deviation.
    Belief {
        /// The key.
        key: String,
        /// As set.
        own: Belief,
        /// As usual.
        usual: Belief,
    },
    /// A number.
    Number {
        /// The key.
        key: String,
        /// As set.
        own: f64,
        /// As usual.
        usual: f64,
    },
    /// How many pieces have to have held, and for how many days.
    Tested {
        /// As set.
        own: (u32, f64),
        /// As usual.
        usual: (u32, f64),
    },
    /// A switch or a table, by its key.
    Set(&'static str),
}
