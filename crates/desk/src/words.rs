//! A call as it was typed: names and the words given for them.
//!
//! The terminal's door fills it from its arguments, a page from a request's body;
//! what they mean is read by [`Question::from_words`](crate::Question::from_words).

use glost_chemistry::diagnostic::{Diagnostic, of_typed};
use glost_chemistry::glaze::{UnknownWord, Use};
use glost_chemistry::quantity::{Grams, Millilitres, NumberTrouble, SaidVolume, SlurryDensity};
use indexmap::IndexMap;

use crate::PageFile;

/// Names of options (and of what has no option, as `glaze`) with the values
/// given for each, in order.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Words {
    given: IndexMap<String, Vec<String>>,
}

impl Words {
    /// With one more value for a name.
    #[must_use]
    pub fn with(mut self, name: &str, value: impl Into<String>) -> Words {
        self.push(name, value);
        self
    }

    /// Adds a value for a name.
    pub fn push(&mut self, name: &str, value: impl Into<String>) {
        self.given.entry(name.to_owned()).or_default().push(value.into());
    }

    /// The last value given.
    pub fn text(&self, name: &str) -> Option<&str> {
        self.given
            .get(name)
            .and_then(|values| values.last())
            .map(String::as_str)
    }

    /// What was given for a name, else what counts unless said.
    pub fn or<'a>(&'a self, name: &str, unless_said: &'a str) -> Given<'a> {
        Given {
            text: self.text(name).unwrap_or(unless_said),
        }
    }

    /// The last value given, owned.
    pub fn owned(&self, name: &str) -> Option<String> {
        self.text(name).map(str::to_owned)
    }

    /// All values given, in order.
    pub fn list(&self, name: &str) -> &[String] {
        self.given.get(name).map_or(&[], Vec::as_slice)
    }

    /// Whether a switch is on.
    pub fn flag(&self, name: &str) -> bool {
        self.text(name) == Some("true")
    }

    /// A value that has to be there.
    ///
    /// # Errors
    /// It isn't.
    pub fn required(&self, name: &str) -> Result<&str, Diagnostic> {
        self.text(name).ok_or_else(|| {
            Diagnostic::error("bad-call", of_typed(name, "is missing")).help(format!("say which: {name}"))
        })
    }

    /// What it is for: the option `use`.
    ///
    /// # Errors
    /// No use, with the nearest.
    pub fn usage(&self) -> Result<Option<Use>, Diagnostic> {
        let read = |word: &str| {
            word.parse().map_err(|unknown: UnknownWord| {
                Diagnostic::error("bad-option", format!("--use: `{word}` is no use")).maybe_help(unknown.help)
            })
        };
        self.text("use").map(read).transpose()
    }

    /// A file of pages to be made.
    ///
    /// # Errors
    /// Its ending is neither .html nor .svg.
    pub fn page(&self, name: &str) -> Result<Option<PageFile>, Diagnostic> {
        self.text(name).map(PageFile::of).transpose()
    }

    /// A value read by `parse`.
    ///
    /// # Errors
    /// What `parse` says of it, under the option's name.
    pub fn read<T>(
        &self,
        name: &str,
        parse: impl FnOnce(&str) -> Result<T, NumberTrouble>,
    ) -> Result<Option<T>, Diagnostic> {
        self.text(name)
            .map(|text| parse(text).map_err(|bad| bad_option(name, bad)))
            .transpose()
    }

    /// A whole number.
    ///
    /// # Errors
    /// It isn't one.
    pub fn count(&self, name: &str) -> Result<Option<usize>, Diagnostic> {
        self.text(name).map(|text| count(name, text)).transpose()
    }

    /// One of a few words that stand for something; the first unless said.
    ///
    /// # Errors
    /// None of them.
    pub fn choice<T: Copy>(&self, name: &str, first: (&str, T), others: &[(&str, T)]) -> Result<T, Diagnostic> {
        let Some(text) = self.text(name) else {
            return Ok(first.1);
        };
        let all = || std::iter::once(&first).chain(others);
        all()
            .find(|(word, _)| *word == text)
            .map(|choice| choice.1)
            .ok_or_else(|| {
                let words: Vec<&str> = all().map(|(word, _)| *word).collect();
                Diagnostic::error("bad-option", format!("--{name}: `{text}` is no choice here"))
                    .help(format!("there are: {}", words.join(", ")))
            })
    }

    /// A weight above zero.
    ///
    /// # Errors
    /// No weight, or none at all.
    pub fn weight(&self, name: &str) -> Result<Option<Grams>, Diagnostic> {
        self.text(name).map(|text| weight(name, text)).transpose()
    }

    /// A volume above zero.
    ///
    /// # Errors
    /// No volume, or none at all.
    pub fn volume(&self, name: &str, cup: Millilitres) -> Result<Option<Millilitres>, Diagnostic> {
        let Some(text) = self.text(name) else { return Ok(None) };
        let volume = Millilitres::parse(text, cup).map_err(|bad| bad_option(name, bad))?;
        if volume.millilitres() <= 0.0 {
            let message = format!("--{name}: `{text}` is nothing");
            return Err(Diagnostic::error("bad-option", message));
        }
        Ok(Some(volume))
    }

    /// A volume above zero, before it is known whose cup counts.
    ///
    /// # Errors
    /// No volume, or none at all.
    pub fn said_volume(&self, name: &str) -> Result<Option<SaidVolume>, Diagnostic> {
        self.text(name).map(|text| said_volume(name, text)).transpose()
    }

    /// Words to be kept: on one line, without control characters.
    pub fn one_line(&self, name: &str) -> Option<String> {
        one_line(self.text(name)?)
    }

    /// The density of a slurry.
    ///
    /// # Errors
    /// No density, or none that a glaze slurry has.
    pub fn slurry_density(&self, name: &str) -> Result<Option<SlurryDensity>, Diagnostic> {
        let Some(text) = self.text(name) else { return Ok(None) };
        let density = SlurryDensity::parse(text).map_err(|bad| bad_option(name, bad))?;
        Ok(Some(density))
    }
}

/// A value that is there, given or unless said.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Given<'a> {
    text: &'a str,
}

impl<'a> Given<'a> {
    /// As typed.
    pub fn text(self) -> &'a str {
        self.text
    }

    /// A weight above zero.
    ///
    /// # Errors
    /// As [`Words::weight`].
    pub fn weight(self, name: &str) -> Result<Grams, Diagnostic> {
        weight(name, self.text)
    }

    /// A whole number.
    ///
    /// # Errors
    /// As [`Words::count`].
    pub fn count(self, name: &str) -> Result<usize, Diagnostic> {
        count(name, self.text)
    }
}

/// One volume above zero.
pub(crate) fn said_volume(name: &str, text: &str) -> Result<SaidVolume, Diagnostic> {
    let volume = SaidVolume::parse(text).map_err(|bad| bad_option(name, bad))?;
    if volume.is_nothing() {
        let message = format!("--{name}: `{text}` is nothing");
        return Err(Diagnostic::error("bad-option", message));
    }
    Ok(volume)
}

fn weight(name: &str, text: &str) -> Result<Grams, Diagnostic> {
    let weight = Grams::parse(text).map_err(|bad| bad_option(name, bad))?;
    if weight.grams() <= 0.0 {
        let message = format!("--{name}: `{text}` weighs nothing");
        return Err(Diagnostic::error("bad-option", message));
    }
    Ok(weight)
}

/// A whole number.
pub(crate) fn count(name: &str, text: &str) -> Result<usize, Diagnostic> {
    text.trim().parse().map_err(|_| {
        Diagnostic::error("bad-option", format!("--{name}: `{text}` is no whole number"))
            .help(format!("write it such as --{name} 3"))
    })
}

/// A value of an option that can't be read.
pub fn bad_option(name: &str, trouble: NumberTrouble) -> Diagnostic {
    Diagnostic::error("bad-option", format!("--{name}: {}", trouble.message)).maybe_help(trouble.help)
}

/// Words on one line, without control characters; `None` where nothing is left.
pub(crate) fn one_line(text: &str) -> Option<String> {
    let plain = text.replace(char::is_control, " ");
    let words: Vec<&str> = plain.split_whitespace().collect();
    (!words.is_empty()).then(|| words.join(" "))
}
