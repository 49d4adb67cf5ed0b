//! The words of a ladder: the least addition that holds, how old its pieces are, the next
//! tile.

use glost_core::tiles::mixture::{LadderLesson, LowersCrazing, Outcomes, Why};

use crate::number;

use super::ResultsPage;

/// Beyond this many tops of the first ladder it is another glaze.
const ANOTHER_GLAZE: f64 = 1.5;

impl ResultsPage<'_> {
    /// An addition as it stands on a tile: `+ 6 % silica`; of a table's ends `6 % silica`.
    fn addition(&self, percent: f64) -> String {
        let percent = number::plain((1e6 * percent).round() / 1e6);
        match &self.lowering {
            Some(lowering) => match (&lowering.addition, self.ends.get(lowering.end)) {
                (Some(material), _) => format!("+ {percent} % {material}"),
                (None, Some(end)) => format!("{percent} % {end}"),
                (None, None) => format!("{percent} %"),
            },
            None => format!("{percent} %"),
        }
    }

    pub(crate) fn ladder_headline(&self, lesson: &LadderLesson) -> String {
        let Some(least) = &lesson.least else {
            if lesson.top.percent <= 0.0 {
                return format!(
                    "Nothing was added on any tile yet: which addition holds they can't tell. The chance that none is needed \
                     is {}.",
                    chance(lesson.top.chance)
                );
            }
            let top = self.addition(lesson.top.percent);
            return format!(
                "No addition up to {top} is shown to hold; the chance there is {}.",
                chance(lesson.top.chance)
            );
        };
        let called = self.addition(least.percent);
        let Some(age) = self.age.filter(|age| !age.enough()) else {
            return format!(
                "The least addition that holds: {called}. Fewer than 1 in 10 {} over many firings, with a chance of {}.",
                self.fail(),
                chance(least.chance)
            );
        };
        let (failed, of) = self.seen_from(lesson, least.percent);
        let when = match age.youngest_days {
            Some(days) => format!("at {} days", number::plain(days)),
            None => "so far (their age is not told)".to_owned(),
        };
        if failed == 0.0 {
            format!("No crazing seen {when} from {called} up: 0 of {of} pieces.")
        } else {
            format!("Little crazing seen {when} from {called} up: {failed} of {of} pieces.")
        }
    }

    /// What pieces do that have the fault.
    fn fail(&self) -> String {
        match self.age {
            Some(_) => "pieces craze".to_owned(),
            None => format!("pieces are {}", self.value),
        }
    }

    /// Pieces that failed, and all, of the tiles with this addition or more.
    fn seen_from(&self, lesson: &LadderLesson, percent: f64) -> (f64, f64) {
        let Outcomes::Counts(tiles) = &self.outcomes else {
            return (0.0, 0.0);
        };
        let above = tiles.iter().zip(&lesson.rungs);
        above
            .filter(|(_, rung)| rung.percent >= percent - 1e-9)
            .fold((0.0, 0.0), |(yes, of), (tile, _)| (yes + tile.yes, of + tile.of))
    }

    pub(crate) fn by_that_age(&self) -> String {
        let Some(least) = self.ladder().and_then(|lesson| lesson.least.as_ref()) else {
            return String::new();
        };
        format!(
            "By these tiles, with {} fewer than 1 in 10 pieces would craze by that age over many firings (chance {}).",
            self.addition(least.percent),
            chance(least.chance)
        )
    }

    pub(crate) fn next_rung(&self) -> String {
        let (Some(lesson), Some(tile)) = (self.ladder(), self.lesson.next.first()) else {
            return String::new();
        };
        let percent = lesson.next_percent.unwrap_or(lesson.top.percent);
        let because = match tile.why {
            Some(Why::Lowers) => "less may hold as well",
            Some(Why::Settles) => "it settles which addition holds",
            Some(Why::Further) => "nothing up to the top is likely to hold",
            _ => "no other says as much",
        };
        let again = if tile.why == Some(Why::Again) { " once more" } else { "" };
        let first = self.first_top(lesson);
        let another = if first > 0.0 && percent > ANOTHER_GLAZE * first + 1e-9 {
            " That is another glaze by then."
        } else {
            ""
        };
        format!(
            "Next tile, in another firing: {}{again}: {because} ({} of 100 pieces expected to fail there, {} to {}).{another}",
            self.addition(percent),
            self.number(tile.value),
            self.number(tile.low),
            self.number(tile.high)
        )
    }

    /// The top of the first ladder: of the tiles before any that was advised, which are of
    /// the first tile's firing where firings are known.
    fn first_top(&self, lesson: &LadderLesson) -> f64 {
        let firings = &lesson.question.firings;
        let first = firings.first();
        let rungs = lesson.rungs.iter().enumerate();
        rungs
            .filter(|(place, _)| firings.get(*place) == first)
            .map(|(_, rung)| rung.percent)
            .fold(0.0, f64::max)
    }

    /// What more of it does besides; common practice, no source.
    pub(crate) fn besides(&self) -> &'static str {
        match self.lowering.as_ref().and_then(|lowering| lowering.material) {
            Some(LowersCrazing::Silica) => {
                "More silica may dull the glaze, underfire it or make it shiver (common practice, no source)."
            }
            Some(LowersCrazing::Kaolin) => {
                "More kaolin may dull the glaze, underfire it, make it crawl or shiver (common practice, no source)."
            }
            Some(LowersCrazing::BoronFrit) => {
                "More of the frit melts sooner: the glaze may run, and go cloudy (common practice, no source)."
            }
            None => "More of it may dull the glaze, underfire it or make it shiver: look at that on every tile.",
        }
    }
}

/// A chance in whole per cent, never quite 0 or 100.
pub(crate) fn chance(chance: f64) -> String {
    match 100.0 * chance {
        percent if percent < 1.0 => "under 1 %".to_owned(),
        percent if percent > 99.0 => "over 99 %".to_owned(),
        percent => format!("{percent:.0} %"),
    }
}
