//! The answer for a person: what to make, how sure it is, what to make next.

use glost_core::tiles::mixture::{Best, Fitted, Goal, Outcomes};
use glost_core::workshop::scales::WeighedLine;

use crate::layout::{Style, assumed, indented, paragraph};
use crate::number;

use super::{ALONE, ResultsPage};

impl ResultsPage<'_> {
    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
        let mut text = style.bold(paragraph(&self.headline(), 0).trim_end());
        text.push('\n');
        for doubt in self.doubts() {
            text.push_str(&paragraph(&doubt, 0));
        }
        text.push('\n');
        text.push_str(&self.recipe_lines());
        text.push_str(&self.best_made());
        text.push('\n');
        if self.short_names() != self.ends {
            for (index, end) in self.ends.iter().enumerate() {
                text.push_str(&indented(&format!("end {}: ", index + 1), end));
            }
            text.push('\n');
        }
        text.push_str(&self.coefficient_table());
        text.push('\n');
        text.push_str(&self.fit_sentences());
        text.push_str(&self.next_table());
        text.push_str(&assumed(self.assumptions));
        text.push_str(&indented(
            "Test: ",
            "make the best blend again in another firing before you mix a bucket of it.",
        ));
        text
    }

    pub(super) fn headline(&self) -> String {
        let best = &self.lesson.best;
        let value = self.value;
        let blend = self.blend(&best.shares);
        let said = self.said(best);
        let wanted = match (self.goal, self.is_chance()) {
            (Goal::Most, false) => format!("Most {value}"),
            (Goal::Least, false) => format!("Least {value}"),
            (Goal::Value(wanted), false) => format!("{} nearest {}", capital(value), self.number(wanted)),
            (Goal::Most, true) => format!("Yes for {value} most often"),
            (Goal::Least, true) => format!("Yes for {value} least often"),
            (Goal::Value(wanted), true) => {
                format!("Yes for {value} nearest {}{}", self.number(wanted), self.unit())
            }
        };
        let about = if blend.ends_with(ALONE) { "" } else { "about " };
        format!("{wanted} at {about}{blend}: {said}.")
    }

    /// A fitted result with its band.
    pub(super) fn said(&self, best: &Best) -> String {
        let band = best.band.map_or_else(String::new, |(low, high)| {
            format!(" ({} to {})", self.number(low), self.number(high))
        });
        format!("{}{}{band}", self.number(best.value), self.unit())
    }

    /// What keeps the call from being sure.
    pub(super) fn doubts(&self) -> Vec<String> {
        let best = &self.lesson.best;
        let mut doubts = Vec::new();
        if !best.reached {
            doubts.push(format!(
                "No blend of these ends reaches what is wanted, by the {} model; this comes nearest.",
                best.model.name()
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
        if let Fitted::Grades(fit) = &self.lesson.fitted
            && fit.model != best.model
        {
            doubts.push(format!(
                "A {} model predicts left-out tiles best, but so few tiles can't rule out a bend: the best blend and its band are from the {} model.",
                fit.model.name(),
                best.model.name()
            ));
        }
        doubts
    }

    pub(super) fn best_made(&self) -> String {
        let place = self.lesson.best_made;
        let made = match self.outcomes {
            Outcomes::Grades(tiles) => tiles.get(place).map(|tile| (&tile.shares, self.number(tile.value))),
            Outcomes::Counts(tiles) => tiles
                .get(place)
                .map(|tile| (&tile.shares, format!("{} of {} yes", tile.yes, tile.of))),
        };
        let name = self.names.get(place).map(String::as_str).unwrap_or_default();
        made.map_or_else(String::new, |(shares, value)| {
            paragraph(
                &format!("Best tile made so far: {name} ({}): {value}.", self.blend(shares)),
                0,
            )
        })
    }

    /// The best blend to weigh out.
    pub(super) fn recipe_lines(&self) -> String {
        let Some(recipe) = self.recipe else {
            return String::new();
        };
        let listed = |lines: &[WeighedLine]| -> String {
            let lines = lines.iter().filter(|line| line.grams > 0.0);
            let lines: Vec<String> = lines
                .map(|line| format!("{} {} g", line.material, number::grams(line.grams, recipe.step_grams)))
                .collect();
            lines.join(", ")
        };
        let on_top = listed(&recipe.weighed.additions);
        let on_top = if on_top.is_empty() {
            on_top
        } else {
            format!("; on top {on_top}")
        };
        let dry = number::plain(recipe.dry_grams);
        let base = listed(&recipe.weighed.base);
        paragraph(&format!("To weigh for {dry} g of base: {base}{on_top}."), 2)
    }
}

fn capital(word: &str) -> String {
    let mut signs = word.chars();
    signs
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(signs).collect())
}
