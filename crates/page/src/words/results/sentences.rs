//! The headline, and what keeps the call from being sure.

use glost_core::tiles::mixture::{Fault, Goal, Learned, NoLesson, TileReading};
use glost_desk::results::{Taught, TaughtWord, TilesSaid};

use crate::number;

use super::{ALONE, ResultsPage};
use crate::layout::capital;

impl ResultsPage<'_> {
    pub(crate) fn headline(&self) -> String {
        match &self.lesson.learned {
            Learned::Ladder(lesson) => self.ladder_headline(lesson),
            Learned::Surfaces(lesson) if lesson.alike => self.alike_headline(),
            Learned::Surfaces(_) if !self.may_be_better() => self.made_headline(),
            Learned::Surfaces(_) | Learned::OneModel => self.believed_headline(),
        }
    }

    fn wanted(&self) -> String {
        let value = &self.value;
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
        let name = self.name(place);
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
        let value = &self.value;
        let fault = Fault::of(&self.value).is_some();
        let all = match &self.lesson.fitted {
            Err(NoLesson::AllSaid(true)) if fault => format!("All pieces of all tiles {value}"),
            Err(NoLesson::AllSaid(false)) if fault => format!("No piece of any tile {value}"),
            Err(NoLesson::AllSaid(true)) => format!("All pieces of all tiles: {value}"),
            Err(NoLesson::AllSaid(false)) => format!("No piece of any tile: {value}"),
            _ if self.tile_count() == 1 => {
                let place = self.lesson.best_made;
                format!(
                    "One tile looked at, {}: {value} {}",
                    self.name(place),
                    self.made(place).1
                )
            }
            _ => format!("All tiles alike: {value} {}", self.made(self.lesson.best_made).1),
        };
        format!("{all}. Nothing tells their blends apart yet.")
    }

    /// One sentence.
    pub(crate) fn word(&self, word: TaughtWord) -> String {
        let fixed = match word {
            TaughtWord::Headline => return self.headline(),
            TaughtWord::Better(chance) => return self.better(chance),
            TaughtWord::NotReachedByModel => return self.not_reached_by_model(),
            TaughtWord::BeyondByModel => return self.beyond_by_model(),
            TaughtWord::Age => return self.age_words(),
            TaughtWord::ByThatAge => return self.by_that_age(),
            TaughtWord::NextRung => return self.next_rung(),
            TaughtWord::Besides => self.besides(),
            TaughtWord::NoMatter => "These tiles don't show yet that the blend matters.",
            TaughtWord::NoTileYet => "No tile of it yet: make it before you trust it.",
            TaughtWord::NotReached => "No blend of these ends is believed to reach what is wanted; this comes nearest.",
            TaughtWord::CannotTell => {
                "The tiles can't tell yet: the band at the best blend is as wide as what the tiles range over. Make the next tiles first."
            }
            TaughtWord::NoBand => {
                "No band and no errors: there are as many terms as tiles, and none to spare to judge them by. Make some again."
            }
            TaughtWord::Beyond => "No tiles lie around that blend: it is read beyond them.",
            TaughtWord::AllFailed => "All pieces of all tiles failed.",
            TaughtWord::NoneFailed => "No piece of any tile failed: how little is enough, they can't tell yet.",
        };
        fixed.to_owned()
    }

    fn better(&self, chance: f64) -> String {
        let best = &self.lesson.best;
        let name = self.name(self.lesson.best_made);
        let believed = if self.may_be_better() {
            String::new()
        } else {
            format!(
                " {}: {} as believed.",
                capital(&self.about(&best.shares)),
                self.said(best)
            )
        };
        format!(
            "Chance that it is better than tile {name}: {:.0} %.{believed} No tile of it yet: make it before you trust it.",
            100.0 * chance
        )
    }

    fn not_reached_by_model(&self) -> String {
        let model = self.model_name().unwrap_or_else(|| "fitted".to_owned());
        format!("No blend of these ends reaches what is wanted, by the {model} model; this comes nearest.")
    }

    fn beyond_by_model(&self) -> String {
        let nearer = self.lesson.nearer.as_ref().map_or_else(String::new, |nearer| {
            format!(
                " Among the tiles: {}: {}.",
                self.blend(&nearer.shares),
                self.said(nearer)
            )
        });
        format!(
            "No tiles lie around that blend: it is read beyond them. Make a tile there before you trust it.{nearer}"
        )
    }

    /// What the pieces' age leaves open, where a fault that comes late was counted.
    fn age_words(&self) -> String {
        let Some(age) = self.age else { return String::new() };
        let clay = if age.dense {
            "On a dense clay crazing comes for half a year"
        } else {
            "On a porous clay, or one of which nobody knows, crazing comes for a year and longer"
        };
        let seen = match age.youngest_days {
            Some(days) => format!("seen at {} days", number::plain(days)),
            None => "their age is not told".to_owned(),
        };
        format!(
            "{clay} ({seen}): look again at {} days.",
            number::plain(age.enough_days())
        )
    }
}

/// One sentence of what tiles taught.
pub(crate) fn taught_word(taught: &Taught, word: TaughtWord) -> String {
    ResultsPage(taught).word(word)
}

/// What was taken for granted of tiles.
pub(crate) fn tiles_said(said: &TilesSaid) -> String {
    match said {
        TilesSaid::Read(reading) => read_so(reading),
        TilesSaid::RiseTogether(additions) => format!(
            "{} rise together in this plan: which of them does it, its tiles can't tell",
            additions.join(" and ")
        ),
        TilesSaid::LinesUnread(count) => format!(
            "{count} {} of the notebook could not be read in full: see `glost notes`",
            if *count == 1 { "line" } else { "lines" }
        ),
        TilesSaid::EndsAreGlazes => "the ends are the studio's glazes of these names, as they are today".to_owned(),
        TilesSaid::NoSuchMaterial(name) => format!("no recipe to weigh: no material is called {name} any more"),
        TilesSaid::Locked { metal, material } => format!("no recipe to weigh: {material} holds {metal}"),
    }
}

fn read_so(reading: &TileReading) -> String {
    match reading {
        TileReading::PerCent => "the shares sum to 100: read as per cent".to_owned(),
        TileReading::AsWritten { sum, lines } => {
            let sum = format!("{sum:.4}");
            let sum = sum.trim_end_matches('0').trim_end_matches('.');
            format!("shares that sum to {sum} are taken as written ({})", lines_of(lines))
        }
        TileReading::WithoutValue { value, lines } => {
            format!("left out, without a value for `{value}`: {}", lines_of(lines))
        }
        TileReading::NoAndYes(name) => format!("`{name}` is 0 and 1 throughout: read as no and yes"),
        TileReading::Number(comma) => comma.to_string(),
        TileReading::LatestOf { tile, notes, on } => {
            format!("{tile}: noted {notes} times; the latest counts, of {on}, the others are kept")
        }
        TileReading::Unclear(lines) => {
            let lines: Vec<String> = lines.iter().map(usize::to_string).collect();
            format!(
                "left out: notes that name a code of several plans (lines {}); say PLAN/CODE in a note",
                lines.join(", ")
            )
        }
        TileReading::NotNoted { property, tiles } => {
            format!("left out, without a note of {property}: {}", first_of(tiles, 12))
        }
    }
}

fn lines_of(lines: &[usize]) -> String {
    let numbers: Vec<String> = lines.iter().map(usize::to_string).collect();
    let word = if lines.len() == 1 { "line" } else { "lines" };
    format!("{word} {}", first_of(&numbers, 8))
}

/// The first few, and how many more there are.
fn first_of(names: &[String], most: usize) -> String {
    let shown = names.iter().take(most).cloned().collect::<Vec<_>>().join(", ");
    match names.len().saturating_sub(most) {
        0 => shown,
        more => format!("{shown} and {more} more"),
    }
}
