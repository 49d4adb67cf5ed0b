//! Aims as they are typed: `SiO2 >= 3.0`, `Al2O3 in 0.35..0.45`,
//! `SiO2:Al2O3 in 7..10`, `expansion <= 6.2`, `loss on ignition <= 8`,
//! `cost <= 2.10`, `distance <= 2`, `whiting <= 15 %`, `no barium carbonate`, `keep kaolin`,
//! `limits: NAME`, `fit: CLAY`.

use crate::rules::{LimitSet, Subject};
use glost_chemistry::diagnostic::{Diagnostic, Mark, Source, suggestion};
use glost_chemistry::material::Library;
use glost_chemistry::quantity::parse_number;

use super::aim::{Aim, Quantity};

/// Chances of crazing between which an aim can be set: below, the model's own
/// assumptions are all that is left; above, it is no aim.
const LEAST_CHANCE_PERCENT: f64 = 0.5;
const MOST_CHANCE_PERCENT: f64 = 50.0;

/// A phrase that was understood.
#[derive(Debug, Clone)]
pub enum Phrase {
    /// One aim.
    Aim(Aim),
    /// All ranges of a limit set, by its name.
    Limits(String),
    /// The window of a clay's own pieces.
    Fit {
        /// The clay's name.
        clay: String,
        /// The chance of crazing, and of shivering, allowed, in per cent; `None`: the usual one.
        chance_percent: Option<f64>,
    },
    /// A material keeps at least its present share.
    Keep(std::sync::Arc<glost_chemistry::material::Material>),
}

/// Reads a phrase.
///
/// # Errors
/// What in the phrase can't be understood, with a caret under it.
pub fn parse_phrase(text: &str, library: &Library) -> Result<Phrase, Diagnostic> {
    Reader {
        text,
        source: Source::from_text("aim", text),
        library,
    }
    .read()
}

/// The ranges of a limit set as aims; each repeats the phrase that asked for it.
pub fn aims_of_limits(limits: &LimitSet, phrase: &str) -> Vec<Aim> {
    limits
        .ranges
        .iter()
        .map(|range| Aim {
            phrase: phrase.to_owned(),
            quantity: Quantity::Chemistry(range.subject.clone()),
            low: range.low,
            high: range.high,
        })
        .collect()
}

struct Reader<'a> {
    text: &'a str,
    source: Source,
    library: &'a Library,
}

impl Reader<'_> {
    fn error(&self, message: impl Into<String>, part: &str) -> Diagnostic {
        let at = self.text.find(part).unwrap_or(0);
        let column = self.text.get(..at).unwrap_or_default().chars().count() + 1;
        Diagnostic::error("bad-aim", message).at(&self.source, Mark { line: 1, column }, part.chars().count())
    }

    fn read(&self) -> Result<Phrase, Diagnostic> {
        let text = self.text.trim();
        if text.is_empty() {
            return Err(self
                .error("an empty aim", text)
                .help("write one such as \"SiO2 >= 3.0\""));
        }
        if let Some(name) = text.strip_prefix("limits:") {
            let name = name.trim();
            if name.is_empty() {
                return Err(self.error("which limits?", text).help("`glost script list` shows them"));
            }
            return Ok(Phrase::Limits(name.to_owned()));
        }
        if let Some(rest) = text.strip_prefix("fit:") {
            return self.fit(rest.trim());
        }
        if let Some(name) = text.strip_prefix("keep ") {
            return Ok(Phrase::Keep(self.material(name.trim())?));
        }
        if let Some(name) = text.strip_prefix("no ") {
            let material = self.material(name.trim())?;
            return Ok(Phrase::Aim(self.aim(Quantity::Share(material), None, Some(0.0))));
        }
        self.bounded(text)
    }

    /// `white stoneware`, or `white stoneware at 5 %`.
    fn fit(&self, text: &str) -> Result<Phrase, Diagnostic> {
        let (clay, chance) = match text.rsplit_once(" at ") {
            Some((clay, chance)) if chance.trim_end().ends_with('%') => (clay.trim(), Some(chance.trim())),
            _ => (text, None),
        };
        if clay.is_empty() {
            return Err(self
                .error("fit to which clay?", self.text.trim())
                .help("name it: \"fit: white stoneware\""));
        }
        let chance_percent = chance
            .map(|chance| {
                let value = parse_number(chance.trim_end_matches('%').trim())
                    .map_err(|bad| self.error(bad.message, chance).maybe_help(bad.help))?
                    .value;
                if !(LEAST_CHANCE_PERCENT..=MOST_CHANCE_PERCENT).contains(&value) {
                    return Err(self
                        .error(format!("a chance of {value} % can't be aimed at"), chance)
                        .help(format!(
                            "between {LEAST_CHANCE_PERCENT} and {MOST_CHANCE_PERCENT} %; 10 % unless said"
                        )));
                }
                Ok(value)
            })
            .transpose()?;
        Ok(Phrase::Fit {
            clay: clay.to_owned(),
            chance_percent,
        })
    }

    fn aim(&self, quantity: Quantity, low: Option<f64>, high: Option<f64>) -> Aim {
        Aim {
            phrase: self.text.trim().to_owned(),
            quantity,
            low,
            high,
        }
    }

    fn bounded(&self, text: &str) -> Result<Phrase, Diagnostic> {
        for sign in [">=", "<=", "≥", "≤", "=", ">", "<"] {
            let Some((name, bound)) = text.split_once(sign) else {
                continue;
            };
            let quantity = self.quantity(name.trim())?;
            let bound = self.number(bound.trim(), &quantity)?;
            let (low, high) = match sign {
                ">=" | "≥" | ">" => (Some(bound), None),
                "=" => (Some(bound), Some(bound)),
                _ => (None, Some(bound)),
            };
            self.not_far(&quantity, low, name.trim())?;
            return Ok(Phrase::Aim(self.aim(quantity, low, high)));
        }
        let Some((name, range)) = text.rsplit_once(" in ") else {
            return Err(self.error("this says no bound", text).help(
                "write it such as \"SiO2 >= 3.0\", \"Al2O3 in 0.35..0.45\", \"no barium carbonate\" or \"keep kaolin\"",
            ));
        };
        let quantity = self.quantity(name.trim())?;
        let Some((low, high)) = range.split_once("..") else {
            return Err(self
                .error("a range has two ends", range.trim())
                .help("write it such as 0.35..0.45"));
        };
        let (low, high) = (
            self.number(low.trim(), &quantity)?,
            self.number(high.trim().trim_end_matches('%'), &quantity)?,
        );
        self.not_far(&quantity, Some(low).filter(|low| *low > 0.0), range.trim())?;
        if low > high {
            return Err(self
                .error("the range runs backwards", range.trim())
                .help(format!("write {high}..{low}")));
        }
        Ok(Phrase::Aim(self.aim(quantity, Some(low), Some(high))))
    }

    fn not_far(&self, quantity: &Quantity, low: Option<f64>, part: &str) -> Result<(), Diagnostic> {
        if matches!(quantity, Quantity::Distance) && low.is_some() {
            return Err(self
                .error("a distance is bounded from above only", part)
                .help("write it such as \"distance <= 2\""));
        }
        Ok(())
    }

    fn number(&self, text: &str, quantity: &Quantity) -> Result<f64, Diagnostic> {
        let percent = matches!(quantity, Quantity::Share(_) | Quantity::LossOnIgnition);
        let bare = if percent {
            text.trim_end_matches('%').trim()
        } else {
            text
        };
        let value = parse_number(bare)
            .map_err(|bad| self.error(bad.message, text).maybe_help(bad.help))?
            .value;
        if value < 0.0 && !matches!(quantity, Quantity::LossOnIgnition) {
            return Err(self.error(format!("{} can't be negative", quantity.name()), text));
        }
        let most = match quantity {
            Quantity::Share(_) | Quantity::LossOnIgnition => 100.0,
            Quantity::Expansion => 30.0,
            _ => 1e6,
        };
        if value > most {
            return Err(self
                .error(format!("{} can't be {value}", quantity.name()), text)
                .help(format!("at most {most}")));
        }
        Ok(value)
    }

    fn quantity(&self, name: &str) -> Result<Quantity, Diagnostic> {
        if let Some(subject) = Subject::parse(name) {
            return Ok(Quantity::Chemistry(subject));
        }
        match name.to_lowercase().as_str() {
            "expansion" => return Ok(Quantity::Expansion),
            "loss on ignition" | "loss" | "loi" => return Ok(Quantity::LossOnIgnition),
            "cost" | "price" => return Ok(Quantity::Cost),
            "distance" => return Ok(Quantity::Distance),
            _ => {}
        }
        if name.is_empty() {
            return Err(self
                .error("what is this bound on?", self.text.trim())
                .help("start with an oxide, a ratio, expansion, cost or a material"));
        }
        match self.library.find(name) {
            Some(material) => Ok(Quantity::Share(material.clone())),
            None => {
                let words = Subject::names().chain(["expansion", "loss on ignition", "cost", "distance"]);
                Err(self
                    .error(format!("`{name}` is no oxide, ratio or material"), name)
                    .maybe_help(suggestion(name, words).or_else(|| self.library.suggestion(name))))
            }
        }
    }

    fn material(&self, name: &str) -> Result<std::sync::Arc<glost_chemistry::material::Material>, Diagnostic> {
        self.library.find(name).cloned().ok_or_else(|| {
            self.error(format!("no material is called `{name}`"), name)
                .maybe_help(self.library.suggestion(name))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use glost_chemistry::material::read_materials;

    fn library() -> Library {
        let text = "materials:\n  - { name: whiting, formula: CaCO3, source: x }\n  - { name: barium carbonate, formula: BaCO3, source: x }\n";
        let mut library = Library::default();
        library.add_layer(read_materials(&Source::from_text("m", text)).0, false);
        library
    }

    #[test]
    fn the_phrases_of_the_trade_are_understood() {
        let library = library();
        let bounds = |text: &str| match parse_phrase(text, &library) {
            Ok(Phrase::Aim(aim)) => (aim.quantity.name(), aim.low, aim.high),
            other => panic!("{text}: {other:?}"),
        };
        assert_eq!(bounds("SiO2 >= 3.0"), ("SiO2".into(), Some(3.0), None));
        assert_eq!(bounds("Al2O3 in 0.35..0.45"), ("Al2O3".into(), Some(0.35), Some(0.45)));
        assert_eq!(
            bounds("SiO2:Al2O3 in 7..10"),
            ("SiO2:Al2O3".into(), Some(7.0), Some(10.0))
        );
        assert_eq!(bounds("expansion <= 6.2"), ("expansion".into(), None, Some(6.2)));
        assert_eq!(
            bounds("loss on ignition <= 8"),
            ("loss on ignition".into(), None, Some(8.0))
        );
        assert_eq!(bounds("cost <= 2,10"), ("cost".into(), None, Some(2.1)));
        assert_eq!(bounds("whiting <= 15 %"), ("whiting".into(), None, Some(15.0)));
        assert_eq!(
            bounds("no barium carbonate"),
            ("barium carbonate".into(), None, Some(0.0))
        );
        assert!(matches!(parse_phrase("limits: cone-6", &library), Ok(Phrase::Limits(name)) if name == "cone-6"));
        assert!(
            matches!(parse_phrase("fit: buff", &library), Ok(Phrase::Fit { clay, chance_percent: None }) if clay == "buff")
        );
        assert!(
            matches!(parse_phrase("fit: buff at 5 %", &library), Ok(Phrase::Fit { clay, chance_percent: Some(chance) }) if clay == "buff" && chance == 5.0)
        );
        assert!(matches!(parse_phrase("keep Whiting", &library), Ok(Phrase::Keep(_))));
    }

    #[test]
    fn errors_point_into_the_phrase() {
        let library = library();
        let column = |text: &str| {
            parse_phrase(text, &library)
                .err()
                .and_then(|error| error.place)
                .map(|place| place.mark.column)
        };
        assert_eq!(column("Si02 >= 3.0"), Some(1));
        assert_eq!(column("SiO2 >= three"), Some(9));
        assert_eq!(column("Al2O3 in 0.45..0.35"), Some(10));
        assert_eq!(column("no barum carbonate"), Some(4));
        for text in [
            "",
            "SiO2",
            ">= 3",
            "SiO2 in 3",
            "SiO2 >= -1",
            "expansion <= 1e9",
            "SiO2 >= nan",
            "limits:",
            "fit:",
            "fit: buff at 90 %",
            "fit: buff at no %",
        ] {
            assert!(parse_phrase(text, &library).is_err(), "{text}");
        }
    }
}
