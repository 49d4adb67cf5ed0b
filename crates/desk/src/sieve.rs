//! Mesh numbers and openings of sieves.

use glost_chemistry::diagnostic::{Diagnostic, is_no};
use glost_chemistry::quantity::parse_number;
use glost_core::workshop::slurry;
use serde::{Serialize, Serializer};

use crate::{Desk, Failure, Words};

/// Openings that are asked for, micrometres.
const OPENINGS: std::ops::RangeInclusive<f64> = 1.0..=100_000.0;
/// Mesh numbers that are asked for.
const MESHES: std::ops::RangeInclusive<u32> = 1..=10_000;

/// What is asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Question {
    /// The whole table.
    Table,
    /// A mesh number.
    Mesh(u32),
    /// An opening in micrometres.
    Opening(f64),
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        words.text("sieve").map_or(Ok(Question::Table), asked)
    }

    fn ask(&self, _: &Desk) -> Result<Answer, Failure> {
        Ok(self.answer())
    }

    fn at_once(&self) -> Option<Result<Answer, Failure>> {
        Some(Ok(self.answer()))
    }
}

impl Question {
    /// The answer, which needs no studio.
    pub fn answer(&self) -> Answer {
        let (sieve, odd_mesh, opening) = match *self {
            Question::Table => (None, None, None),
            Question::Mesh(mesh) => {
                let sieve = slurry::Sieve::with_mesh(mesh);
                (sieve, sieve.is_none().then_some(mesh), None)
            }
            Question::Opening(size) => (slurry::Sieve::nearest_opening(size), None, Some(size)),
        };
        let same = |size: f64| sieve.is_some_and(|sieve| sieve.micrometres == size);
        Answer {
            sieve: sieve.map(Sieve),
            standard: "ASTM E11",
            exact: sieve.is_some() && odd_mesh.is_none() && opening.is_none_or(same),
            table: slurry::Sieve::all().iter().copied().map(Sieve).collect(),
            odd_mesh,
            opening,
        }
    }
}

/// A sieve, where one is asked for, and the whole table.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Answer {
    /// The sieve asked for, or the nearest.
    #[serde(flatten)]
    pub sieve: Option<Sieve>,
    /// Where mesh, opening and wire come from.
    pub standard: &'static str,
    /// Whether it is what was asked for.
    pub exact: bool,
    /// All sieves, the coarsest first.
    pub table: Vec<Sieve>,
    /// A mesh number that the standard doesn't have.
    #[serde(skip)]
    pub odd_mesh: Option<u32>,
    /// An opening asked for, in micrometres.
    #[serde(skip)]
    pub opening: Option<f64>,
}

impl crate::Answer for Answer {}

/// One sieve of the table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sieve(pub slurry::Sieve);

#[derive(Serialize, schemars::JsonSchema)]
struct SieveJson {
    mesh: u32,
    micrometres: f64,
    wire_micrometres: f64,
    openings_per_inch: f64,
    openings_per_cm: f64,
    openings_per_cm2: f64,
    standing: &'static str,
}

impl Serialize for Sieve {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let sieve = &self.0;
        SieveJson {
            mesh: sieve.mesh,
            micrometres: sieve.micrometres,
            wire_micrometres: sieve.wire_micrometres,
            openings_per_inch: sieve.openings_per_inch(),
            openings_per_cm: sieve.openings_per_centimetre(),
            openings_per_cm2: sieve.openings_per_square_centimetre(),
            standing: if sieve.found_in_print {
                "found in print"
            } else {
                "from memory, cross-checked"
            },
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Sieve: SieveJson);

/// The opening of a sieve that is named in words, micrometres, where the standard has it.
pub(crate) fn opening_of(text: &str) -> Option<f64> {
    // Words such as `100 mesh, twice` begin with the sieve.
    let first = text.split([',', ';']).next().unwrap_or(text);
    match asked(first).ok()? {
        Question::Mesh(mesh) => slurry::Sieve::with_mesh(mesh).map(|sieve| sieve.micrometres),
        Question::Opening(micrometres) => Some(micrometres),
        Question::Table => None,
    }
}

fn asked(text: &str) -> Result<Question, Diagnostic> {
    let wrong = || {
        Diagnostic::error("bad-option", is_no(text, "mesh number and no opening"))
            .help("write a mesh number such as 100, or an opening such as \"150 um\" or \"0.15 mm\"")
    };
    let lower = text.trim().to_lowercase().replace(['µ', 'μ'], "u");
    let units = [("micrometres", 1.0), ("microns", 1.0), ("um", 1.0), ("mm", 1000.0)];
    let opening = units
        .iter()
        .find_map(|(unit, factor)| Some((lower.strip_suffix(unit)?.trim().to_owned(), *factor)));
    if let Some((number, factor)) = opening {
        let size = parse_number(&number).map_err(|_| wrong())?.value * factor;
        return OPENINGS
            .contains(&size)
            .then_some(Question::Opening(size))
            .ok_or_else(wrong);
    }
    let bare = lower.trim_start_matches("no.").trim_end_matches("mesh").trim();
    let mesh: u32 = bare.parse().map_err(|_| wrong())?;
    MESHES.contains(&mesh).then_some(Question::Mesh(mesh)).ok_or_else(wrong)
}
