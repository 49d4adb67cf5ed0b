//! What a glazed piece is for, in which atmosphere it is fired, onto what its glaze goes: each
//! one of a few words of a file.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::diagnostic::suggestion;

/// One of a few things that files name by a word.
pub trait OneOf: Copy + PartialEq + 'static {
    /// All of them, in the order in which they are listed.
    const EACH: &'static [Self];

    /// As files write it.
    fn word(self) -> &'static str;

    /// By exactly this word.
    fn of_word(word: &str) -> Option<Self> {
        Self::EACH.iter().copied().find(|one| one.word() == word)
    }

    /// The words, in order.
    fn words() -> Vec<&'static str> {
        Self::EACH.iter().map(|one| one.word()).collect()
    }
}

/// A word that names none of them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnknownWord {
    /// As typed.
    pub typed: String,
    /// The nearest of them, or all.
    pub help: Option<String>,
}

impl UnknownWord {
    fn among<T: OneOf>(typed: &str) -> UnknownWord {
        UnknownWord {
            typed: typed.to_owned(),
            help: suggestion(typed, T::words()),
        }
    }
}

/// A use that a glaze or a clay may be meant for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Use {
    /// Plates, cups, bowls.
    Tableware,
    /// Tiles on a wall, indoors.
    WallTile,
    /// Tiles on a floor.
    Floor,
    /// Where it freezes and rains.
    Outdoor,
    /// Neither eaten from nor walked on.
    Decorative,
}

impl Use {
    /// All of them, in the order of [`USES`](super::USES).
    pub const ALL: [Use; 5] = [Use::Tableware, Use::WallTile, Use::Floor, Use::Outdoor, Use::Decorative];

    /// As files write it.
    pub const fn word(self) -> &'static str {
        match self {
            Use::Tableware => "tableware",
            Use::WallTile => "wall tile",
            Use::Floor => "floor",
            Use::Outdoor => "outdoor",
            Use::Decorative => "decorative",
        }
    }

    /// From a file's word, without case.
    pub fn from_word(word: &str) -> Option<Use> {
        by_word(word)
    }
}

/// What the air in the kiln does to oxides.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Atmosphere {
    /// Air to spare.
    Oxidation,
    /// Less air than the fuel needs: oxygen is taken from the ware.
    Reduction,
    /// As much as it needs.
    Neutral,
}

impl Atmosphere {
    /// All of them, in the order of [`ATMOSPHERES`](super::ATMOSPHERES).
    pub const ALL: [Atmosphere; 3] = [Atmosphere::Oxidation, Atmosphere::Reduction, Atmosphere::Neutral];

    /// As files write it.
    pub const fn word(self) -> &'static str {
        match self {
            Atmosphere::Oxidation => "oxidation",
            Atmosphere::Reduction => "reduction",
            Atmosphere::Neutral => "neutral",
        }
    }
}

/// Onto what a glaze goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ware {
    /// Unfired: ware and glaze are fired once, and the glaze must shrink with it.
    Raw,
    /// Biscuit.
    Biscuit,
}

impl Ware {
    /// The words used in files.
    pub const WORDS: [&'static str; 2] = [Ware::Raw.word(), Ware::Biscuit.word()];

    /// The word used in files.
    pub const fn word(self) -> &'static str {
        match self {
            Ware::Raw => "raw",
            Ware::Biscuit => "biscuit",
        }
    }
}

fn by_word<T: OneOf>(word: &str) -> Option<T> {
    let word = word.trim();
    T::EACH
        .iter()
        .copied()
        .find(|one| one.word().eq_ignore_ascii_case(word))
}

/// The words of an enum in files, as text that is read and as data.
macro_rules! one_of {
    ($name:ident, $each:expr) => {
        impl OneOf for $name {
            const EACH: &'static [$name] = $each;

            fn word(self) -> &'static str {
                $name::word(self)
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(self.word())
            }
        }

        /// Without case.
        impl FromStr for $name {
            type Err = UnknownWord;

            fn from_str(word: &str) -> Result<$name, UnknownWord> {
                by_word(word).ok_or_else(|| UnknownWord::among::<$name>(word))
            }
        }

        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
                to.serialize_str(self.word())
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(from: D) -> Result<$name, D::Error> {
                let word = String::deserialize(from)?;
                word.parse().map_err(serde::de::Error::custom)
            }
        }
    };
}

one_of!(Use, &Use::ALL);
one_of!(Atmosphere, &Atmosphere::ALL);
one_of!(Ware, &[Ware::Raw, Ware::Biscuit]);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_and_uses_are_one_list() {
        assert_eq!(Use::ALL.map(Use::word), super::super::USES);
        assert_eq!(Use::ALL.map(|usage| Use::from_word(usage.word())), Use::ALL.map(Some));
        assert_eq!(Use::from_word("sculpture"), None);
        assert_eq!(Atmosphere::ALL.map(Atmosphere::word), super::super::ATMOSPHERES);
        assert_eq!(Ware::words(), Ware::WORDS);
    }

    #[test]
    fn a_word_is_read_without_case_and_the_nearest_is_named() {
        assert_eq!("Reduction".parse(), Ok(Atmosphere::Reduction));
        assert_eq!(Atmosphere::of_word("Reduction"), None, "files write it small");
        let unknown = "reducton".parse::<Atmosphere>().unwrap_err();
        assert_eq!(unknown.help.as_deref(), Some("did you mean `reduction`?"));
        assert_eq!(
            unknown.to_string(),
            "`reducton` is unknown here (did you mean `reduction`?)"
        );
    }
}
