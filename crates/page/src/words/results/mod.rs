//! The words of what tiles taught.

mod ladder;
mod sentences;

use std::ops::Deref;

use glost_core::tiles::mixture::{Best, Fault, Outcomes};
use glost_desk::results::Taught;

pub(crate) use ladder::chance;
pub(super) use sentences::{taught_word, tiles_said};

/// What the tiles taught, laid out.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ResultsPage<'a>(pub(crate) &'a Taught);

impl Deref for ResultsPage<'_> {
    type Target = Taught;

    fn deref(&self) -> &Taught {
        self.0
    }
}

impl ResultsPage<'_> {
    pub(crate) fn unit(&self) -> &'static str {
        if self.is_chance() { " % of pieces" } else { "" }
    }

    /// Decimals that the results' range is worth: 1 for grades from 0 to 5.
    pub(crate) fn decimals(&self) -> usize {
        let range = if self.range() > 0.0 { self.range() } else { 1.0 };
        let decimals = (30.0 / range).log10().ceil().clamp(0.0, 8.0);
        decimals as usize
    }

    /// The ends as tables name them: by number where a name is long.
    pub(crate) fn short_names(&self) -> Vec<String> {
        const MOST: usize = 14;
        if self.ends.iter().all(|end| end.chars().count() <= MOST) {
            return self.ends.clone();
        }
        (1..=self.ends.len()).map(|place| format!("end {place}")).collect()
    }

    /// A believed result within the grades' own scale, where they have one.
    pub(crate) fn on_scale(&self, value: f64) -> f64 {
        if self.surfaces().is_some_and(|lesson| lesson.on_scale) {
            value.clamp(0.0, 5.0)
        } else {
            value
        }
    }

    /// A result; a chance in per cent.
    pub(crate) fn number(&self, value: f64) -> String {
        if self.is_chance() {
            return format!("{:.0}", 100.0 * value);
        }
        without_minus_zero(format!("{value:.*}", self.decimals()))
    }

    /// A result with one decimal more.
    pub(crate) fn fine(&self, value: f64) -> String {
        let decimals = if self.is_chance() { 2 } else { self.decimals() + 1 };
        without_minus_zero(format!("{value:.decimals$}"))
    }

    /// A fitted result with its band.
    pub(crate) fn said(&self, best: &Best) -> String {
        let band = best.band.map_or_else(String::new, |(low, high)| {
            format!(
                " ({} to {})",
                self.number(self.on_scale(low)),
                self.number(self.on_scale(high))
            )
        });
        format!("{}{}{band}", self.number(self.on_scale(best.value)), self.unit())
    }

    /// A tile's blend and what was seen.
    pub(crate) fn made(&self, place: usize) -> (&[f64], String) {
        let seen = match &self.outcomes {
            Outcomes::Grades(tiles) => self.number(tiles[place].value),
            Outcomes::Counts(tiles) => {
                let tile = &tiles[place];
                let said = if Fault::of(&self.value).is_some() {
                    &self.value
                } else {
                    "yes"
                };
                format!("{} of {} {said}", tile.yes, tile.of)
            }
        };
        (self.shares(place), seen)
    }

    /// What a tile is called.
    pub(crate) fn name(&self, place: usize) -> &str {
        self.names.get(place).map_or("", String::as_str)
    }

    /// A blend in per cent of its ends, those that it holds.
    pub(crate) fn blend(&self, shares: &[f64]) -> String {
        let alone = shares.iter().zip(&self.ends).find(|(share, _)| **share >= 0.995);
        if let Some((_, end)) = alone {
            return format!("{end}{ALONE}");
        }
        let held: Vec<String> = shares
            .iter()
            .zip(&self.ends)
            .filter(|(share, _)| **share >= 0.005)
            .map(|(share, end)| format!("{} {end}", share_words(*share)))
            .collect();
        held.join(", ")
    }
}

/// A share in per cent, to the half.
pub(crate) fn share_words(share: f64) -> String {
    let halves = (200.0 * share).round() / 2.0;
    let whole = (100.0 * share).round();
    // A lattice of fortieths falls between whole per cents.
    if (200.0 * share - 2.0 * halves).abs() < 0.05 {
        format!("{} %", crate::number::plain(halves))
    } else {
        format!("{whole:.0} %")
    }
}

/// What is said after an end that nothing is mixed with.
pub(super) const ALONE: &str = " alone";

pub(crate) fn cut(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    text.chars().take(most - 1).chain(['…']).collect()
}

fn without_minus_zero(text: String) -> String {
    if text.starts_with('-') && text.chars().all(|sign| matches!(sign, '-' | '0' | '.')) {
        return text[1..].to_owned();
    }
    text
}
