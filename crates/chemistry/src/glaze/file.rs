//! A glaze as its file gives it, names not yet looked up.

use super::accepted::{Accepted, accepted};
use super::iron::IronCount;
use super::usage::{Atmosphere, OneOf, Use, Ware};
use crate::assumption::{Assumption, RecipeAssumption};
use crate::diagnostic::{Diagnostic, Mark, Source, of_typed, suggestion, under};
use crate::quantity::{
    Celsius, DecimalComma, Grams, Millilitres, NumberTrouble, SlurryDensity, WaterPerKilo, decimal_comma, unit_grams,
};
use crate::read::{Fields, Node, NumberRange, Text, Value, amounts, kind_of, number_of, parse};

/// The keys that a glaze file may have, in their usual order.
pub const GLAZE_KEYS: [&str; 19] = [
    "glaze",
    "parts",
    "additions",
    "cone",
    "peak",
    "firing",
    "atmosphere",
    "iron",
    "ware",
    "clay",
    "body",
    "use",
    "water",
    "density",
    "sieve",
    "crackle",
    "recommended",
    "accepted",
    "notes",
];

/// The uses a glaze or a clay may be meant for.
pub const USES: [&str; 5] = [
    Use::Tableware.word(),
    Use::WallTile.word(),
    Use::Floor.word(),
    Use::Outdoor.word(),
    Use::Decorative.word(),
];
/// The atmospheres of a firing.
pub const ATMOSPHERES: [&str; 3] = [
    Atmosphere::Oxidation.word(),
    Atmosphere::Reduction.word(),
    Atmosphere::Neutral.word(),
];

/// One line of a recipe as typed.
#[derive(Debug, Clone)]
pub struct RecipeLine {
    /// The material's name with its place.
    pub name: Text,
    /// Parts by weight (base), or per cent of the base (additions).
    pub amount: f64,
}

/// What is known about how a glaze is made and used.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct GlazeNotes {
    /// Cone, as text: `04` is not 4.
    pub cone: Option<String>,
    /// Peak temperature.
    pub peak: Option<Celsius>,
    /// Name of a firing.
    pub firing: Option<String>,
    /// The atmosphere it is fired in.
    pub atmosphere: Option<Atmosphere>,
    /// How its iron is counted, where it says.
    pub iron: Option<IronCount>,
    /// Onto what it goes, where it says.
    pub ware: Option<Ware>,
    /// Name of the clay.
    pub clay: Option<String>,
    /// What it is for.
    pub usage: Option<Use>,
    /// Water per dry weight.
    pub water: Option<WaterPerKilo>,
    /// Density to mix to, g/ml.
    pub density_grams_per_millilitre: Option<f64>,
    /// The sieve that it goes through, as the studio says it: `100 mesh, twice`.
    pub sieve: Option<String>,
    /// Whether crazing is what is wanted: `crackle: wanted`.
    pub crackle_wanted: bool,
    /// Clays whose maker recommends this glaze for them.
    pub recommended_for: Vec<String>,
    /// Findings that were accepted.
    pub accepted: Vec<Accepted>,
    /// Free text.
    pub notes: Option<String>,
}

/// A glaze file as read.
#[derive(Debug, Clone)]
pub struct GlazeFile {
    /// The file's text, for places.
    pub source: Source,
    /// The glaze's name.
    pub name: Text,
    /// Where `parts` stands.
    pub parts_mark: Mark,
    /// The base, parts by weight of any total.
    pub parts: Vec<RecipeLine>,
    /// Per cent on the base.
    pub additions: Vec<RecipeLine>,
    /// Everything else.
    pub about: GlazeNotes,
    /// How amounts were read.
    pub assumptions: Vec<Assumption>,
}

/// Reads a glaze file. `cup` is the studio's cup.
///
/// # Errors
/// The first thing in it that can't be used, with its place.
pub fn read_glaze(source: &Source, cup: Millilitres) -> Result<GlazeFile, Diagnostic> {
    let root = parse(source)?;
    let fields = Fields::new(source, &root, "a glaze file", &GLAZE_KEYS)?;
    fields.required(
        "glaze",
        "this file",
        "start it with the glaze's name: `glaze: Lamplight clear`",
    )?;
    let name = fields.text("glaze")?.unwrap_or(Text {
        text: String::new(),
        mark: root.mark,
    });
    let parts_node = fields.required(
        "parts",
        "the glaze",
        "list the base: `parts: { feldspar: 38, silica: 26, ... }`",
    )?;
    let mut amounts = Amounts {
        source,
        assumptions: Vec::new(),
    };
    let parts = amounts.base(parts_node)?;
    let additions = match fields.get("additions") {
        None
        | Some(Node {
            value: Value::Nothing, ..
        }) => Vec::new(),
        Some(node) => amounts.additions(node)?,
    };
    let mut assumptions = amounts.assumptions;
    for key in ["peak", "water", "density"] {
        if let Some(text) = fields.text(key)? {
            assumptions.extend(decimal_comma(&text.text).map(|comma| read_with_comma(key, comma)));
        }
    }
    Ok(GlazeFile {
        source: source.clone(),
        parts_mark: fields.key_mark("parts").unwrap_or(parts_node.mark),
        name,
        parts,
        additions,
        about: about(source, &fields, cup)?,
        assumptions,
    })
}

fn read_with_comma(of: &str, comma: DecimalComma) -> Assumption {
    Assumption::Recipe(RecipeAssumption::DecimalComma {
        of: of.to_owned(),
        comma,
    })
}

/// A sieve as a studio says it: a mesh number or an opening, in its own words.
///
/// # Errors
/// No number in it, or more than a short line.
pub fn sieve_words(text: &str) -> Result<String, NumberTrouble> {
    const MOST_SIGNS: usize = 60;
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if words.chars().count() <= MOST_SIGNS && words.contains(|sign: char| sign.is_ascii_digit()) {
        return Ok(words);
    }
    Err(NumberTrouble {
        message: of_typed(words, "names no sieve"),
        help: Some("write its mesh number or its opening: \"100 mesh\", \"150 um\"".to_owned()),
    })
}

fn about(source: &Source, fields: &Fields<'_>, cup: Millilitres) -> Result<GlazeNotes, Diagnostic> {
    let plain = |key: &str| -> Result<Option<String>, Diagnostic> { Ok(fields.text(key)?.map(|text| text.text)) };
    if let (Some(_), Some(mark)) = (fields.get("clay"), fields.key_mark("body")) {
        return Err(Diagnostic::error("duplicate-key", "`clay` and `body` mean the same")
            .at(source, mark, 4)
            .help("keep one of them"));
    }
    Ok(GlazeNotes {
        cone: plain("cone")?,
        peak: quantity(source, fields, "peak", Celsius::parse)?,
        firing: plain("firing")?,
        atmosphere: one_of(source, fields, "atmosphere")?,
        iron: quantity(source, fields, "iron", IronCount::parse)?,
        ware: one_of(source, fields, "ware")?,
        clay: plain("clay")?.or(plain("body")?),
        usage: one_of(source, fields, "use")?,
        water: quantity(source, fields, "water", |text| WaterPerKilo::parse(text, cup))?,
        density_grams_per_millilitre: fields
            .number(
                "density",
                NumberRange {
                    least: *SlurryDensity::RANGE.start(),
                    most: *SlurryDensity::RANGE.end(),
                },
            )?
            .map(|number| number.value),
        sieve: quantity(source, fields, "sieve", sieve_words)?,
        crackle_wanted: one_word(source, fields, "crackle", &["wanted"])?.is_some(),
        recommended_for: fields.texts("recommended")?.into_iter().map(|text| text.text).collect(),
        accepted: accepted(source, fields)?,
        notes: plain("notes")?,
    })
}

/// A quantity with a unit, where given.
pub fn quantity<T>(
    source: &Source,
    fields: &Fields<'_>,
    key: &str,
    read: impl Fn(&str) -> Result<T, NumberTrouble>,
) -> Result<Option<T>, Diagnostic> {
    let Some(text) = fields.text(key)? else {
        return Ok(None);
    };
    read(&text.text).map(Some).map_err(|trouble| {
        Diagnostic::error("not-a-quantity", under(key, trouble.message))
            .at(source, text.mark, text.text.chars().count())
            .maybe_help(trouble.help)
    })
}

/// One of a few things that files name by a word, where given.
///
/// # Errors
/// A word that names none of them, with the nearest.
pub fn one_of<T: OneOf>(source: &Source, fields: &Fields<'_>, key: &str) -> Result<Option<T>, Diagnostic> {
    let word = one_word(source, fields, key, &T::words())?;
    Ok(word.as_deref().and_then(T::of_word))
}

/// One of a few words, where given.
///
/// # Errors
/// Another word, with the nearest.
pub fn one_word(source: &Source, fields: &Fields<'_>, key: &str, words: &[&str]) -> Result<Option<String>, Diagnostic> {
    let Some(text) = fields.text(key)? else {
        return Ok(None);
    };
    if words.contains(&text.text.as_str()) {
        return Ok(Some(text.text));
    }
    Err(Diagnostic::error(
        "unknown-word",
        format!("`{}` is not one of the words for `{key}`", text.text),
    )
    .at(source, text.mark, text.text.chars().count())
    .maybe_help(suggestion(&text.text, words.iter().copied())))
}

struct Amounts<'a> {
    source: &'a Source,
    assumptions: Vec<Assumption>,
}

enum Amount {
    Parts(f64),
    Grams(f64),
    Percent(f64),
}

impl Amounts<'_> {
    fn error(&self, message: impl Into<String>, node: &Node) -> Diagnostic {
        Diagnostic::error("bad-amount", message).at(self.source, node.mark, node.width())
    }

    fn amount(&mut self, name: &str, node: &Node) -> Result<Amount, Diagnostic> {
        let Value::Text(text) = &node.value else {
            return Err(self
                .error(
                    format!("`{name}` should have an amount, this is {}", kind_of(node)),
                    node,
                )
                .help("write how much of it, such as 38 or 0.8"));
        };
        let text = text.trim();
        if let Some(percent) = text.strip_suffix('%') {
            return Ok(Amount::Percent(self.number(name, percent.trim(), node)?));
        }
        let unit = text.trim_start_matches(|sign: char| sign.is_ascii_digit() || " .,/½¼¾⅓⅔⅛".contains(sign));
        let ends = |sign: char| sign.is_whitespace() || sign.is_ascii_digit();
        let first_unit = unit.split_once(ends).map_or(unit, |(first, _)| first);
        if unit_grams(first_unit).is_some() {
            return match Grams::parse(text) {
                Ok(weight) => {
                    let comma = decimal_comma(text);
                    self.assumptions.extend(comma.map(|comma| read_with_comma(name, comma)));
                    Ok(Amount::Grams(weight.grams()))
                }
                Err(trouble) => Err(self.error(trouble.message, node).maybe_help(trouble.help)),
            };
        }
        Ok(Amount::Parts(self.number(name, text, node)?))
    }

    /// The number `text` at the place of `node`, from 0 up.
    fn number(&mut self, name: &str, text: &str, node: &Node) -> Result<f64, Diagnostic> {
        let alone = Node {
            value: Value::Text(text.to_owned()),
            mark: node.mark,
        };
        let number = number_of(self.source, &alone, name, NumberRange::AMOUNT)?;
        self.assumptions
            .extend(number.note.map(|comma| read_with_comma(name, comma)));
        Ok(number.value)
    }

    fn lines(&mut self, node: &Node, key: &str) -> Result<Vec<(Text, Amount, Node)>, Diagnostic> {
        let mut lines = Vec::new();
        for (key, value) in amounts(self.source, node, key)? {
            let amount = self.amount(&key.text, value)?;
            lines.push((
                Text {
                    text: key.text.clone(),
                    mark: key.mark,
                },
                amount,
                value.clone(),
            ));
        }
        Ok(lines)
    }

    fn base(&mut self, node: &Node) -> Result<Vec<RecipeLine>, Diagnostic> {
        let lines = self.lines(node, "parts")?;
        if lines.is_empty() {
            return Err(self
                .error("the glaze has no parts", node)
                .help("list the base: `parts: { feldspar: 38, silica: 26, ... }`"));
        }
        let weighed = lines.iter().filter(|line| matches!(line.1, Amount::Grams(_))).count();
        if weighed != 0 && weighed != lines.len() {
            let odd = lines
                .iter()
                .find(|line| !matches!(line.1, Amount::Grams(_)))
                .map_or(node, |line| &line.2);
            return Err(self
                .error("some parts have a unit of weight and some have none", odd)
                .help("give all of them a unit, or none"));
        }
        let read: Vec<RecipeLine> = lines
            .into_iter()
            .map(|(name, amount, _)| match amount {
                Amount::Parts(amount) | Amount::Grams(amount) | Amount::Percent(amount) => RecipeLine { name, amount },
            })
            .collect();
        // Shares are amounts times 100 over the total, which must not overflow.
        if !(100.0 / read.iter().map(|line| line.amount).sum::<f64>()).is_finite() {
            return Err(self
                .error("the parts add up to nothing", node)
                .help("give at least one of them an amount above zero"));
        }
        if weighed > 0 {
            self.assumptions
                .push(Assumption::Recipe(RecipeAssumption::PartsAsWeights));
        }
        Ok(read)
    }

    fn additions(&mut self, node: &Node) -> Result<Vec<RecipeLine>, Diagnostic> {
        let mut read = Vec::new();
        for (name, amount, value) in self.lines(node, "additions")? {
            match amount {
                Amount::Parts(amount) | Amount::Percent(amount) if (0.0..=1000.0).contains(&amount) => {
                    read.push(RecipeLine { name, amount })
                }
                Amount::Parts(_) | Amount::Percent(_) => {
                    return Err(self
                        .error(
                            under(&name.text, "an addition is 0 to 1000 per cent on the base"),
                            &value,
                        )
                        .help("write it among the parts, or is the decimal point in its place?"));
                }
                Amount::Grams(_) => {
                    return Err(self
                        .error(
                            under(&name.text, "an addition is per cent on the base of 100, not a weight"),
                            &value,
                        )
                        .help("100 x its weight / the weight of the base; 8 g on 1 kg of base is 0.8"));
                }
            }
        }
        Ok(read)
    }
}

#[cfg(test)]
mod tests;
