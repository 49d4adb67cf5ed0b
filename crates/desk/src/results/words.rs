//! What is said of tiles, as data: the headline and what keeps the call from being sure.

use glost_core::tiles::mixture::{Goal, LadderLesson, Learned, SurfaceLesson, TileReading};
use serde::Serialize;

use super::Taught;

/// From these odds on, the tiles don't show that the blend matters.
const FLAT_ODDS: f64 = 10.0;

/// What was taken for granted of tiles and their best blend.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum TilesSaid {
    /// Of reading them.
    Read(TileReading),
    /// Additions rise together: which of them does it can't be told.
    RiseTogether(Vec<String>),
    /// So many lines of the notebook could not be read in full.
    LinesUnread(usize),
    /// The ends are the studio's glazes of these names.
    EndsAreGlazes,
    /// Nothing to weigh: no material has this name any more.
    NoSuchMaterial(String),
    /// Nothing to weigh: of this metal nothing is made here.
    Locked {
        /// The metal.
        metal: &'static str,
        /// The material that brings it.
        material: String,
    },
}

/// One sentence of an answer.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum TaughtWord {
    /// What to make.
    Headline,
    /// The tiles don't show that the blend matters.
    NoMatter,
    /// The chance that the blend beats the best tile made; no tile of it was made.
    Better(f64),
    /// No tile of it was made.
    NoTileYet,
    /// Nothing is believed to reach what is wanted.
    NotReached,
    /// The same by one model.
    NotReachedByModel,
    /// The band is as wide as what the tiles range over.
    CannotTell,
    /// There are no tiles to spare for a band.
    NoBand,
    /// No tiles lie around the blend.
    Beyond,
    /// The same by one model, with the best among the tiles.
    BeyondByModel,
    /// What the pieces' age leaves open.
    Age,
    /// How few crazed by that age.
    ByThatAge,
    /// All pieces of all tiles failed.
    AllFailed,
    /// No piece failed.
    NoneFailed,
    /// The ladder's next tile.
    NextRung,
    /// What more of the addition does besides.
    Besides,
}

impl Taught {
    /// The headline, then what goes with it.
    pub fn words(&self) -> Vec<TaughtWord> {
        let mut words = vec![TaughtWord::Headline];
        match &self.lesson.learned {
            Learned::Ladder(lesson) => self.ladder_words(lesson, &mut words),
            Learned::Surfaces(lesson) => self.surface_words(lesson, &mut words),
            Learned::OneModel => self.model_words(&mut words),
        }
        words
    }

    fn surface_words(&self, lesson: &SurfaceLesson, words: &mut Vec<TaughtWord>) {
        let best = &self.lesson.best;
        let made = self.is_made(&best.shares);
        // Tiles that are alike, or one alone, call no blend best.
        if lesson.alike {
            words.extend((!best.reached).then_some(TaughtWord::NotReached));
            words.extend(self.age_word());
            return;
        }
        if lesson.flat_odds >= FLAT_ODDS {
            words.push(TaughtWord::NoMatter);
        }
        if !made {
            words.push(lesson.beats_made.map_or(TaughtWord::NoTileYet, TaughtWord::Better));
        }
        if !best.reached {
            words.push(TaughtWord::NotReached);
        }
        if self.is_wide() {
            words.push(TaughtWord::CannotTell);
        }
        if !best.spanned {
            words.push(TaughtWord::Beyond);
        }
        words.extend(self.age_word());
    }

    /// Whether the band at the best blend is as wide as what the tiles range over.
    fn is_wide(&self) -> bool {
        let band = self.lesson.best.band;
        band.is_some_and(|(low, high)| high - low >= self.range())
    }

    fn age_word(&self) -> Option<TaughtWord> {
        let open = self.age.is_some_and(|age| !age.enough()) && self.goal == Goal::Least;
        open.then_some(TaughtWord::Age)
    }

    fn model_words(&self, words: &mut Vec<TaughtWord>) {
        let best = &self.lesson.best;
        if !best.reached {
            words.push(TaughtWord::NotReachedByModel);
        }
        if best.band.is_none() {
            words.push(TaughtWord::NoBand);
        } else if self.is_wide() {
            words.push(TaughtWord::CannotTell);
        }
        if !best.spanned {
            words.push(TaughtWord::BeyondByModel);
        }
    }

    fn ladder_words(&self, lesson: &LadderLesson, words: &mut Vec<TaughtWord>) {
        if lesson.least.is_some() && self.age.is_some_and(|age| !age.enough()) {
            words.push(TaughtWord::ByThatAge);
        }
        words.extend(lesson.alike.map(|failed| {
            if failed {
                TaughtWord::AllFailed
            } else {
                TaughtWord::NoneFailed
            }
        }));
        words.extend(self.age_word());
        if !self.lesson.next.is_empty() {
            words.push(TaughtWord::NextRung);
        }
        words.push(TaughtWord::Besides);
    }
}
