//! What was read from a page.

use glost_chemistry::glaze::Glaze;

use super::doubt::Doubt;

/// What a line is to the recipe.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// Part of the base of 100.
    Base,
    /// On top of the base.
    Addition,
    /// Can't be weighed or named yet; it doesn't count.
    Open,
}

impl Role {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Role::Base => "base",
            Role::Addition => "addition",
            Role::Open => "open",
        }
    }
}

/// One material on the page.
#[derive(Debug, Clone)]
pub struct ReadingLine {
    /// Line of the page, from 1.
    pub line: usize,
    /// The words on the page.
    pub text: String,
    /// The name as written, without the amount.
    pub written_name: String,
    /// The material's name, where it was found.
    pub material: Option<String>,
    /// Weight in grams, where the page gives a weight.
    pub grams: Option<f64>,
    /// Per cent of the base, for base and additions; `None` while it is open.
    pub percent: Option<f64>,
    /// What it is to the recipe.
    pub role: Role,
    /// What is uncertain about this line.
    pub doubts: Vec<Doubt>,
    /// Materials that may be meant, for a name that isn't known.
    pub suggestions: Vec<String>,
}

/// What a line that holds no material was taken for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RemarkKind {
    /// The glaze's name.
    Title,
    /// `Base`, `Additions`.
    Heading,
    /// A total.
    Total,
    /// Cone, temperature, atmosphere.
    Firing,
    /// Water.
    Water,
    /// Anything else.
    Note,
}

impl RemarkKind {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            RemarkKind::Title => "title",
            RemarkKind::Heading => "heading",
            RemarkKind::Total => "total",
            RemarkKind::Firing => "firing",
            RemarkKind::Water => "water",
            RemarkKind::Note => "note",
        }
    }
}

/// Words on the page that are no material.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Remark {
    /// Line of the page, from 1.
    pub line: usize,
    /// The words.
    pub text: String,
    /// What they were taken for.
    pub kind: RemarkKind,
}

/// A page, read.
#[derive(Debug, Clone)]
pub struct Reading {
    /// Every material on it, in the order of the page.
    pub lines: Vec<ReadingLine>,
    /// Everything else on it.
    pub remarks: Vec<Remark>,
    /// What is uncertain about the page as a whole.
    pub doubts: Vec<Doubt>,
    /// The weight of the base in grams, where it is given in weights.
    pub base_grams: Option<f64>,
    /// The recipe so far, `None` while no line of a base can be read.
    pub glaze: Option<Glaze>,
}

impl Reading {
    /// The lines that can't be weighed or named yet.
    pub fn open(&self) -> impl Iterator<Item = &ReadingLine> {
        self.lines.iter().filter(|line| line.role == Role::Open)
    }

    /// How many doubts there are, on lines and on the page.
    pub fn doubt_count(&self) -> usize {
        self.doubts.len() + self.lines.iter().map(|line| line.doubts.len()).sum::<usize>()
    }
}
