//! The headline, and what keeps the call from being sure.

use glost_core::tiles::mixture::{Goal, Learned, NoLesson, SurfaceLesson};

use crate::number;

use super::text::capital;
use super::{ALONE, ResultsPage};

/// From this chance on, the blend believed best is the headline; else the best tile made.
const SURELY_BETTER: f64 = 0.8;
/// From these odds on, the tiles don't show that the blend matters.
const FLAT_ODDS: f64 = 10.0;
/// Shares that differ by less are one blend.
const SAME_BLEND: f64 = 0.0051;

impl ResultsPage<'_> {
    pub(super) fn headline(&self) -> String {
        match &self.lesson.learned {
            Learned::Ladder(lesson) => self.ladder_headline(lesson),
            Learned::Surfaces(lesson) if lesson.alike => self.alike_headline(),
            Learned::Surfaces(_) if !self.may_be_better() => self.made_headline(),
            Learned::Surfaces(_) | Learned::OneModel => self.believed_headline(),
        }
    }

    /// Whether the blend believed best is so sure to beat the best tile made, or is wanted
    /// for a value, that it goes first.
    pub(super) fn may_be_better(&self) -> bool {
        let beats = self.surfaces().and_then(|lesson| lesson.beats_made);
        beats.is_none_or(|chance| chance >= SURELY_BETTER)
    }

    /// Whether a tile of this blend was made.
    pub(super) fn is_made(&self, blend: &[f64]) -> bool {
        let same = |shares: &[f64]| {
            shares
                .iter()
                .zip(blend)
                .all(|(one, other)| (one - other).abs() <= SAME_BLEND)
        };
        (0..self.tile_count()).any(|place| same(self.made(place).0))
    }

    fn wanted(&self) -> String {
        let value = self.value;
        match (self.goal, self.is_chance()) {
            (Goal::Most, false) => format!("Most {value}"),
            (Goal::Least, false) => format!("Least {value}"),
            (Goal::Value(wanted), false) => format!("{} nearest {}", capital(value), self.number(wanted)),
            (Goal::Most, true) => format!("Most {value}"),
            (Goal::Least, true) => format!("Fewest {value}"),
            (Goal::Value(wanted), true) => format!("{} nearest {}{}", capital(value), self.number(wanted), self.unit()),
        }
    }

    fn about(&self, shares: &[f64]) -> String {
        let blend = self.blend(shares);
        let about = if blend.ends_with(ALONE) { "" } else { "about " };
        format!("{about}{blend}")
    }

    fn believed_headline(&self) -> String {
        let best = &self.lesson.best;
        format!(
            "{} at {}: {}.",
            self.wanted(),
            self.about(&best.shares),
            self.said(best)
        )
    }

    fn made_headline(&self) -> String {
        let place = self.lesson.best_made;
        let name = self.names.get(place).map(String::as_str).unwrap_or_default();
        let (shares, value) = self.made(place);
        let best = &self.lesson.best;
        let made = format!(
            "{}: {name} ({}) is the best made, {value}",
            self.wanted(),
            self.blend(shares)
        );
        if self.is_made(&best.shares) {
            return format!("{made}.");
        }
        format!("{made}; {} may be better.", self.about(&best.shares))
    }

    fn alike_headline(&self) -> String {
        let value = self.value;
        let all = match &self.lesson.fitted {
            Err(NoLesson::AllSaid(true)) => format!("All pieces of all tiles: {value}"),
            Err(NoLesson::AllSaid(false)) => format!("No piece of any tile: {value}"),
            _ => format!("All tiles alike: {value} {}", self.made(self.lesson.best_made).1),
        };
        format!("{all}. Nothing tells their blends apart yet.")
    }

    /// The headline, then what goes with it.
    pub(super) fn words(&self) -> Vec<String> {
        let mut words = vec![self.headline()];
        match &self.lesson.learned {
            Learned::Ladder(lesson) => words.extend(self.ladder_words(lesson)),
            Learned::Surfaces(lesson) => words.extend(self.surface_words(lesson)),
            Learned::OneModel => words.extend(self.doubts()),
        }
        words
    }

    fn surface_words(&self, lesson: &SurfaceLesson) -> Vec<String> {
        let best = &self.lesson.best;
        let mut words = Vec::new();
        let made = self.is_made(&best.shares);
        if !lesson.alike && lesson.flat_odds >= FLAT_ODDS {
            words.push("These tiles don't show yet that the blend matters.".to_owned());
        }
        if let Some(beats) = lesson.beats_made.filter(|_| !made) {
            let place = self.lesson.best_made;
            let name = self.names.get(place).map(String::as_str).unwrap_or_default();
            let believed = if self.may_be_better() || lesson.alike {
                String::new()
            } else {
                format!(
                    " {}: {} as believed.",
                    capital(&self.about(&best.shares)),
                    self.said(best)
                )
            };
            words.push(format!(
                "Chance that it is better than tile {name}: {:.0} %.{believed} No tile of it yet: make it before you trust it.",
                100.0 * beats
            ));
        } else if !made {
            words.push("No tile of it yet: make it before you trust it.".to_owned());
        }
        if !best.reached {
            words.push("No blend of these ends is believed to reach what is wanted; this comes nearest.".to_owned());
        }
        if let Some((low, high)) = best.band
            && high - low >= self.range()
            && !lesson.alike
        {
            words.push(
                "The tiles can't tell yet: the band at the best blend is as wide as what the tiles range over. Make the next tiles first."
                    .to_owned(),
            );
        }
        if !best.spanned {
            words.push("No tiles lie around that blend: it is read beyond them.".to_owned());
        }
        words.extend(self.age_words());
        words
    }

    /// What the pieces' age leaves open, where a fault that comes late was counted.
    pub(super) fn age_words(&self) -> Option<String> {
        let age = self.age.filter(|age| !age.enough() && self.goal == Goal::Least)?;
        let clay = if age.dense {
            "On a dense clay crazing comes for half a year"
        } else {
            "On a porous clay, or one of which nobody knows, crazing comes for a year and longer"
        };
        let seen = match age.youngest_days {
            Some(days) => format!("seen at {} days", number::plain(days)),
            None => "their age is not told".to_owned(),
        };
        Some(format!(
            "{clay} ({seen}): look again at {} days.",
            number::plain(age.enough_days())
        ))
    }

    /// What keeps one model's call from being sure.
    fn doubts(&self) -> Vec<String> {
        let best = &self.lesson.best;
        let mut doubts = Vec::new();
        if !best.reached {
            doubts.push(format!(
                "No blend of these ends reaches what is wanted, by the {} model; this comes nearest.",
                self.model_name().unwrap_or_default()
            ));
        }
        match best.band {
            None => doubts.push(
                "No band and no errors: there are as many terms as tiles, and none to spare to judge them by. Make some again."
                    .to_owned(),
            ),
            Some((low, high)) if high - low >= self.range() => doubts.push(
                "The tiles can't tell yet: the band at the best blend is as wide as what the tiles range over. Make the next tiles first."
                    .to_owned(),
            ),
            Some(_) => {}
        }
        if !best.spanned {
            let nearer = self.lesson.nearer.as_ref().map_or_else(String::new, |nearer| {
                format!(
                    " Among the tiles: {}: {}.",
                    self.blend(&nearer.shares),
                    self.said(nearer)
                )
            });
            doubts.push(format!(
                "No tiles lie around that blend: it is read beyond them. Make a tile there before you trust it.{nearer}"
            ));
        }
        doubts
    }
}
