//! Aims as they are typed: `SiO2 >= 3.0`, `Al2O3 in 0.35..0.45`,
//! `SiO2:Al2O3 in 7..10`, `K2O:Na2O >= 1`, `CaO + MgO <= 0.8`, `hold CaO`,
//! `hold colour`, `colour x 1.5`, `expansion <= 6.2`, `loss on ignition <= 8`,
//! `cost <= 2.10`, `distance <= 2`, `whiting <= 15 %`, `whiting + dolomite <= 20 %`,
//! `raw clay in 10..25 %`, `use ash >= 5 kg in 20 kg`, `no barium carbonate`,
//! `keep kaolin`, `cone 6`, `melt 1240 C`, `melt: same`, `limits: NAME`, `fit: CLAY`.

use std::sync::Arc;

use crate::rules::{LimitSet, Range, Subject};
use glost_chemistry::diagnostic::{Diagnostic, Mark, Source, is_no, none_called, suggestion};
use glost_chemistry::glaze::FluxList;
use glost_chemistry::material::{Library, Material};
use glost_chemistry::oxides::{Oxide, OxideMoles};
use glost_chemistry::quantity::{Celsius, Cone, ConeFamily, FiringPeak, Grams, parse_number};

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
    Keep {
        /// As typed.
        phrase: String,
        /// It.
        material: Arc<Material>,
    },
    /// An oxide stays within its tolerance.
    Hold {
        /// As typed.
        phrase: String,
        /// It.
        oxide: Oxide,
    },
    /// Every colouring oxide that is there, so many times, within its tolerance.
    Colour {
        /// As typed.
        phrase: String,
        /// 1 holds the colour.
        times: f64,
    },
    /// The melt, by the melt curve.
    Melt {
        /// As typed.
        phrase: String,
        /// How.
        asked: MeltAsked,
    },
}

/// How the melt is asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MeltAsked {
    /// As the old glaze's at its own cone, at this one.
    Cone(Cone, Option<ConeFamily>),
    /// 10^3 Pa s at this temperature.
    At(Celsius),
    /// The same, boron as it is and silica and alumina moving in step.
    ConeInStep(Cone, Option<ConeFamily>),
    /// As it is, silica and alumina moving in step.
    Same,
}

/// Multiples of a colour that can be asked for.
const MOST_COLOUR: f64 = 20.0;

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

/// The aims of a set of limits on a glaze of this unity formula. A range that means
/// "if it is used" brings in nothing that the glaze lacks: then only its most counts.
pub fn aims_of_limits(limits: &LimitSet, phrase: &str, unity: &OxideMoles, fluxes: &FluxList) -> Vec<Aim> {
    let lacks = |range: &Range| range.optional && range.subject.value(unity, fluxes).is_none_or(|value| value <= 0.0);
    limits
        .ranges
        .iter()
        .map(|range| Aim {
            phrase: phrase.to_owned(),
            quantity: Quantity::Chemistry(range.subject.clone()),
            low: range.low.filter(|_| !lacks(range)),
            high: range.high,
            wanted: None,
        })
        .collect()
}

pub(super) struct Reader<'a> {
    pub(super) text: &'a str,
    source: Source,
    pub(super) library: &'a Library,
}

impl Reader<'_> {
    pub(super) fn error(&self, message: impl Into<String>, part: &str) -> Diagnostic {
        let at = self.text.find(part).unwrap_or(0);
        let column = self.text.get(..at).unwrap_or("").chars().count() + 1;
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
            return Ok(Phrase::Keep {
                phrase: text.to_owned(),
                material: self.material(name.trim())?,
            });
        }
        if let Some(name) = text.strip_prefix("hold ") {
            return self.hold(name.trim());
        }
        if let Some(times) = self.times_of_colour(text) {
            return self.colour(times);
        }
        if let Some(name) = text.strip_prefix("no ") {
            let material = self.material(name.trim())?;
            return Ok(Phrase::Aim(self.aim(Quantity::Share(vec![material]), None, Some(0.0))));
        }
        if let Some(asked) = self.melt(text)? {
            return Ok(Phrase::Melt {
                phrase: text.to_owned(),
                asked,
            });
        }
        if let Some(rest) = text.strip_prefix("use ") {
            return self.share_of_a_batch(rest.trim());
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

    /// `CaO`, or `colour`.
    fn hold(&self, name: &str) -> Result<Phrase, Diagnostic> {
        let phrase = self.text.trim().to_owned();
        if ["colour", "color"].contains(&name) {
            return Ok(Phrase::Colour { phrase, times: 1.0 });
        }
        match Oxide::from_formula(name) {
            Some(oxide) => Ok(Phrase::Hold { phrase, oxide }),
            None => Err(self.error(is_no(name, "oxide to hold"), name).maybe_help(suggestion(
                name,
                Oxide::ALL.map(Oxide::formula).into_iter().chain(["colour"]),
            ))),
        }
    }

    /// What stands behind `colour x`; `None` for another phrase.
    fn times_of_colour<'t>(&self, text: &'t str) -> Option<&'t str> {
        let rest = text.strip_prefix("colour ").or_else(|| text.strip_prefix("color "))?;
        let signs = ['x', '*', '\u{d7}'];
        rest.trim_start().strip_prefix(signs).map(str::trim)
    }

    fn colour(&self, times: &str) -> Result<Phrase, Diagnostic> {
        let value = parse_number(times)
            .map_err(|bad| self.error(bad.message, times).maybe_help(bad.help))?
            .value;
        if !(value > 0.0 && value <= MOST_COLOUR) {
            return Err(self
                .error(format!("a colour can't be taken {value} times"), times)
                .help(format!("more than 0, at most {MOST_COLOUR}: \"colour x 1.5\"")));
        }
        Ok(Phrase::Colour {
            phrase: self.text.trim().to_owned(),
            times: value,
        })
    }

    /// `cone 6`, `melt 1240 C`, `melt: same`; `None` for another phrase.
    fn melt(&self, text: &str) -> Result<Option<MeltAsked>, Diagnostic> {
        if let Some(rest) = text.strip_prefix("cone ") {
            let peak = FiringPeak::parse(rest).map_err(|bad| self.error(bad.message, rest).maybe_help(bad.help))?;
            return Ok(Some(match peak {
                FiringPeak::Cone(cone, family) => MeltAsked::Cone(cone, family),
                FiringPeak::Temperature(_) => {
                    return Err(self
                        .error("a temperature is no cone", rest)
                        .help(format!("write \"melt {rest}\", or a cone: \"cone 6\"")));
                }
            }));
        }
        let Some(rest) = text.strip_prefix("melt:").or_else(|| text.strip_prefix("melt ")) else {
            return Ok(None);
        };
        let rest = rest.trim();
        if rest == "same" {
            return Ok(Some(MeltAsked::Same));
        }
        let celsius = Celsius::parse(rest).map_err(|bad| {
            self.error(bad.message, rest)
                .help("write \"melt 1240 C\", \"melt: same\" or \"cone 6\"")
        })?;
        Ok(Some(MeltAsked::At(celsius)))
    }

    /// `wood ash >= 5 kg in 20 kg`: a share of the base.
    fn share_of_a_batch(&self, text: &str) -> Result<Phrase, Diagnostic> {
        let wrong = || {
            self.error("this says no share of a batch", text)
                .help("write it such as \"use wood ash >= 5 kg in 20 kg\"")
        };
        let (least, (name, amounts)) = [(">=", true), ("<=", false), ("\u{2265}", true), ("\u{2264}", false)]
            .into_iter()
            .find_map(|(sign, least)| Some((least, text.split_once(sign)?)))
            .ok_or_else(wrong)?;
        let (part, whole) = amounts.rsplit_once(" in ").ok_or_else(wrong)?;
        let weight = |text: &str| -> Result<f64, Diagnostic> {
            let text = text.trim();
            Grams::parse(text)
                .map(Grams::grams)
                .map_err(|bad| self.error(bad.message, text).maybe_help(bad.help))
        };
        let (part_grams, whole_grams) = (weight(part)?, weight(whole)?);
        if whole_grams <= 0.0 || part_grams > whole_grams {
            return Err(self.error("the part is more than the whole", amounts.trim()));
        }
        let percent = Some(100.0 * part_grams / whole_grams);
        let share = Quantity::Share(vec![self.material(name.trim())?]);
        Ok(Phrase::Aim(if least {
            self.aim(share, percent, None)
        } else {
            self.aim(share, None, percent)
        }))
    }

    fn aim(&self, quantity: Quantity, low: Option<f64>, high: Option<f64>) -> Aim {
        Aim {
            phrase: self.text.trim().to_owned(),
            quantity,
            low,
            high,
            wanted: None,
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
            self.no_ratio_of_nothing(&quantity, &[low, high], text)?;
            return Ok(Phrase::Aim(self.aim(quantity, low, high)));
        }
        let Some((name, range)) = text.rsplit_once(" in ") else {
            return Err(self.error("this says no bound", text).help(
                "write it such as \"SiO2 >= 3.0\", \"Al2O3 in 0.35..0.45\", \"hold CaO\", \"no barium carbonate\" or \"keep kaolin\"",
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
        self.no_ratio_of_nothing(&quantity, &[Some(high)], range.trim())?;
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

    /// A ratio of 0 asks for none of the oxide above, or for nothing at all.
    fn no_ratio_of_nothing(&self, quantity: &Quantity, bounds: &[Option<f64>], part: &str) -> Result<(), Diagnostic> {
        let ratio = matches!(
            quantity,
            Quantity::Ratio(..) | Quantity::Chemistry(Subject::SilicaToAlumina)
        );
        if ratio && bounds.contains(&Some(0.0)) {
            return Err(self
                .error("a ratio of 0 asks for nothing that can be weighed", part)
                .help("bound the oxide itself, such as \"K2O <= 0.05\", or write a ratio above 0"));
        }
        Ok(())
    }

    fn number(&self, text: &str, quantity: &Quantity) -> Result<f64, Diagnostic> {
        let bare = if quantity.in_percent() {
            text.trim_end_matches('%').trim()
        } else {
            text
        };
        let value = parse_number(bare)
            .map_err(|bad| self.error(bad.message, text).maybe_help(bad.help))?
            .value;
        if value < 0.0 && !matches!(quantity, Quantity::LossOnIgnition) {
            return Err(self.error(format!("{quantity} can't be negative"), text));
        }
        let most = match quantity {
            Quantity::Share(_) | Quantity::LossOnIgnition | Quantity::RawClay => 100.0,
            Quantity::Expansion => 30.0,
            _ => 1e6,
        };
        if value > most {
            return Err(self
                .error(format!("{quantity} can't be {value}"), text)
                .help(format!("at most {most}")));
        }
        Ok(value)
    }

    pub(super) fn material(&self, name: &str) -> Result<Arc<Material>, Diagnostic> {
        self.library.find(name).cloned().ok_or_else(|| {
            self.error(none_called("material", name), name)
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
            Ok(Phrase::Aim(aim)) => (aim.quantity.to_string(), aim.low, aim.high),
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
        assert_eq!(bounds("K2O:Na2O >= 1"), ("K2O:Na2O".into(), Some(1.0), None));
        assert_eq!(bounds("R2O : RO <= 0.4"), ("R2O:RO".into(), None, Some(0.4)));
        assert_eq!(bounds("CaO+MgO <= 0.8"), ("CaO + MgO".into(), None, Some(0.8)));
        assert_eq!(bounds("SiO2:B2O3 >= 9"), ("SiO2:B2O3".into(), Some(9.0), None));
        assert_eq!(
            bounds("whiting + barium carbonate <= 20 %"),
            ("whiting + barium carbonate".into(), None, Some(20.0))
        );
        assert_eq!(
            bounds("raw clay in 10..25 %"),
            ("raw clay".into(), Some(10.0), Some(25.0))
        );
        assert_eq!(
            bounds("use whiting >= 5 kg in 20 kg"),
            ("whiting".into(), Some(25.0), None)
        );
        assert!(matches!(
            parse_phrase("hold CaO", &library),
            Ok(Phrase::Hold { oxide: Oxide::CaO, .. })
        ));
        assert!(matches!(parse_phrase("hold colour", &library), Ok(Phrase::Colour { times, .. }) if times == 1.0));
        assert!(matches!(parse_phrase("colour x 1.5", &library), Ok(Phrase::Colour { times, .. }) if times == 1.5));
        assert!(matches!(parse_phrase("limits: cone-6", &library), Ok(Phrase::Limits(name)) if name == "cone-6"));
        assert!(
            matches!(parse_phrase("fit: buff", &library), Ok(Phrase::Fit { clay, chance_percent: None }) if clay == "buff")
        );
        assert!(
            matches!(parse_phrase("fit: buff at 5 %", &library), Ok(Phrase::Fit { clay, chance_percent: Some(chance) }) if clay == "buff" && chance == 5.0)
        );
        assert!(matches!(
            parse_phrase("keep Whiting", &library),
            Ok(Phrase::Keep { .. })
        ));
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
            "cone 60",
            "cone 1240 C",
            "melt soon",
            "hold Si02",
            "colour x 0",
            "colour x much",
            "use whiting >= 5 kg",
            "use whiting >= 30 kg in 20 kg",
            "CaO:CaO >= 1",
            "CaO + whiting <= 3",
            "K2O: >= 1",
            "K2O:Na2O = 0",
            "SiO2:Al2O3 in 0..0",
            "SiO2:Al2O3 <= 0",
        ] {
            assert!(parse_phrase(text, &library).is_err(), "{text}");
        }
    }
}
