//! The answer for a person: what to make, how sure it is, what to make next.

use glost_core::workshop::scales::WeighedLine;

use crate::layout::{Style, assumed, indented, paragraph};
use crate::number;
use crate::words::say;

use crate::words::results::ResultsPage;

impl ResultsPage<'_> {
    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
        let mut text = style.bold(paragraph(&self.headline(), 0).trim_end());
        text.push('\n');
        for word in self.words().into_iter().skip(1) {
            text.push_str(&paragraph(&self.word(word), 0));
        }
        let made = match self.ladder() {
            Some(lesson) => self.ladder_table(lesson),
            None => self.best_made(),
        };
        let to_make = self.recipe_lines() + made.as_str();
        if !to_make.is_empty() {
            text.push('\n');
            text.push_str(&to_make);
        }
        if self.ladder().is_none() && self.short_names() != self.ends {
            text.push('\n');
            for (index, end) in self.ends.iter().enumerate() {
                text.push_str(&indented(&format!("end {}: ", index + 1), end));
            }
        }
        // Log-odds are for those who ask.
        if self.details || (self.surfaces().is_none() && !self.is_chance()) {
            text.push('\n');
            text.push_str(&self.coefficient_table());
            text.push('\n');
            text.push_str(&self.fit_sentences());
        }
        text.push_str(&self.next_table());
        text.push_str(&assumed(&self.assumptions.iter().map(say).collect::<Vec<_>>()));
        text.push_str(&indented("Test: ", self.test()));
        text
    }

    fn test(&self) -> &'static str {
        let alike = self.surfaces().is_some_and(|lesson| lesson.alike);
        match self.ladder() {
            Some(lesson) if lesson.least.is_some() => {
                "now five of the real shape, in another firing, before you mix a bucket of it."
            }
            Some(_) => "make the next tile before you mix a bucket of any of them.",
            None if alike => "make the next tiles before you mix a bucket of any of them.",
            None => "make the best blend again in another firing before you mix a bucket of it.",
        }
    }

    pub(super) fn best_made(&self) -> String {
        let place = self.lesson.best_made;
        if self.surfaces().is_some() && !self.may_be_better() {
            // The headline named it.
            return String::new();
        }
        let name = self.name(place);
        let (shares, value) = self.made(place);
        let sentence = format!("Best tile made so far: {name} ({}): {value}.", self.blend(shares));
        paragraph(&sentence, 0)
    }

    /// The best blend to weigh out.
    pub(super) fn recipe_lines(&self) -> String {
        let alike = self.surfaces().is_some_and(|lesson| lesson.alike);
        let Some(recipe) = self.recipe.as_ref().filter(|_| !alike) else {
            return String::new();
        };
        let listed = |lines: &[WeighedLine]| -> String {
            let lines = lines.iter().filter(|line| line.is_wanted());
            let lines: Vec<String> = lines
                .map(|line| format!("{} {} g", line.material, number::weighed(line, recipe.step_grams)))
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
        let which = if self.surfaces().is_some() && !self.may_be_better() && !self.is_made(&self.lesson.best.shares) {
            "To weigh the blend that may be better"
        } else {
            "To weigh"
        };
        paragraph(&format!("{which}, for {dry} g of base: {base}{on_top}."), 2)
    }
}
