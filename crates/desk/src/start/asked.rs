//! The five questions of the first day.

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::quantity::{NumberTrouble, WaterPerKilo};
use glost_core::intake::start::{Firing, parse_firing, parse_name, parse_water};
use glost_core::workshop::scales::{Scales, parse_scales};

use super::CUP;
use crate::Words;
use crate::words::bad_option;

/// What was answered.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// The powder, or a recipe.
    pub glazing: Glazing,
    /// The clay, as on its bag.
    pub clay: String,
    /// The glaze firing.
    pub firing: Firing,
    /// Water for a kilo of powder.
    pub water: WaterPerKilo,
    /// The scales.
    pub scales: Scales,
}

/// What is weighed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Glazing {
    /// A powder bought ready-made, as on its bag.
    Powder(String),
    /// A file with a recipe of one's own.
    Recipe(String),
}

/// One of the five.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Item {
    /// Which powder, or which recipe.
    Powder,
    /// Which clay.
    Clay,
    /// How hot.
    Firing,
    /// How much water.
    Water,
    /// Which scales.
    Scales,
}

impl Item {
    /// All of them, in the order that they are asked.
    pub const ALL: [Item; 5] = [Item::Powder, Item::Clay, Item::Firing, Item::Water, Item::Scales];

    /// The option that answers it.
    pub const fn option(self) -> &'static str {
        match self {
            Item::Powder => "powder",
            Item::Clay => "clay",
            Item::Firing => "firing",
            Item::Water => "water",
            Item::Scales => "scales",
        }
    }

    const fn example(self) -> &'static str {
        match self {
            Item::Powder => "--powder \"bought clear\" (or --recipe FILE)",
            Item::Clay => "--clay \"white earthenware\"",
            Item::Firing => "--firing \"1060 C\"",
            Item::Water => "--water \"5 3/4 cups\"",
            Item::Scales => "--scales \"0.1 g\"",
        }
    }

    /// Whether it is answered.
    pub fn is_given(self, words: &Words) -> bool {
        let other = self == Item::Powder && words.text("recipe").is_some();
        other || words.text(self.option()).is_some()
    }

    /// Whether an answer can be read.
    ///
    /// # Errors
    /// Why it can't.
    pub fn check(self, text: &str) -> Result<(), NumberTrouble> {
        match self {
            Item::Powder | Item::Clay => parse_name(text).map(|_| ()),
            Item::Firing => parse_firing(text).map(|_| ()),
            Item::Water => parse_water(text, CUP).map(|_| ()),
            Item::Scales => parse_scales(text).map(|_| ()),
        }
    }
}

/// What is missing, where nobody can be asked.
///
/// # Errors
/// An answer is missing.
pub fn missing(words: &Words) -> Result<(), Diagnostic> {
    let open = Item::ALL.iter().filter(|item| !item.is_given(words));
    let missing: Vec<&str> = open.map(|item| item.example()).collect();
    let answers = match missing.len() {
        0 => return Ok(()),
        1 => "one answer is",
        _ => "some answers are",
    };
    Err(Diagnostic::error(
        "missing-answers",
        format!("{answers} missing, and there is no terminal to ask at"),
    )
    .help(format!("add {}", missing.join(" "))))
}

/// Nobody answered when asked.
pub fn nothing_said(item: Item) -> Diagnostic {
    Diagnostic::error(
        "missing-answers",
        "the questions were not answered; nothing was written",
    )
    .help(format!("run it again, or add {}", item.example()))
}

impl Asked {
    pub(super) fn from_words(words: &Words) -> Result<Asked, Diagnostic> {
        missing(words)?;
        let glazing = match words.owned("recipe") {
            Some(file) => Glazing::Recipe(file),
            None => Glazing::Powder(read(words, Item::Powder, parse_name)?),
        };
        Ok(Asked {
            glazing,
            clay: read(words, Item::Clay, parse_name)?,
            firing: read(words, Item::Firing, parse_firing)?,
            water: read(words, Item::Water, |text| parse_water(text, CUP))?,
            scales: read(words, Item::Scales, parse_scales)?,
        })
    }
}

fn read<T>(words: &Words, item: Item, parse: impl Fn(&str) -> Result<T, NumberTrouble>) -> Result<T, Diagnostic> {
    let text = words.required(item.option())?;
    parse(text).map_err(|bad| bad_option(item.option(), bad))
}
