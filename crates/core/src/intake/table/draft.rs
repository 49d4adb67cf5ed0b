//! What tables hold, gathered: glazes, materials, clays, settings, counts, and every
//! question that is left open.

use glost_chemistry::diagnostic::Diagnostic;
use indexmap::IndexMap;

use super::heading::TakenAs;
use super::yaml::Yaml;

/// What was gathered from all tables.
#[derive(Debug, Clone, Default)]
pub struct Gathered {
    /// Glazes by their folded names.
    pub glazes: IndexMap<String, GlazeDraft>,
    /// Materials by their folded names.
    pub materials: IndexMap<String, EntryDraft>,
    /// Clays by their folded names.
    pub clays: IndexMap<String, EntryDraft>,
    /// Keys of `studio.yaml`.
    pub settings: Vec<(String, Yaml)>,
    /// Stocks, prices and the like of materials that are there already.
    pub counts: Vec<Count>,
    /// Every column with what it is taken for.
    pub columns: Vec<ColumnTaken>,
    /// What can't be decided here.
    pub open: Vec<Open>,
    /// Rows below headings, of all tables.
    pub rows: usize,
}

/// A column with what it is taken for.
#[derive(Debug, Clone, PartialEq)]
pub struct ColumnTaken {
    /// The table.
    pub file: String,
    /// The heading as it stands.
    pub column: String,
    /// What it is taken for.
    pub taken: TakenAs,
}

/// Where something stands in a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct At {
    /// The table.
    pub file: String,
    /// The line, from 1.
    pub line: usize,
}

/// A glaze as its rows tell it.
#[derive(Debug, Clone)]
pub struct GlazeDraft {
    /// Its name.
    pub name: String,
    /// Where it begins.
    pub at: At,
    /// The file that it stood in, where that is told.
    pub file: Option<String>,
    /// Its keys beside the recipe.
    pub keys: Vec<(String, Yaml)>,
    /// The lines of its recipe.
    pub lines: Vec<RecipeLine>,
    /// Columns, materials or cells that have to be settled before it can be written.
    pub waits_for: Vec<String>,
    /// Materials that were taken for additions though nothing said so.
    pub on_top: Vec<String>,
}

impl GlazeDraft {
    /// A glaze of which nothing is known but its name.
    pub fn named(name: &str, at: At) -> GlazeDraft {
        GlazeDraft {
            name: name.to_owned(),
            at,
            file: None,
            keys: Vec::new(),
            lines: Vec::new(),
            waits_for: Vec::new(),
            on_top: Vec::new(),
        }
    }

    /// Sets a key, unless it is set already.
    pub fn set(&mut self, key: &str, value: Yaml) {
        if !self.keys.iter().any(|(known, _)| known == key) {
            self.keys.push((key.to_owned(), value));
        }
    }

    /// Notes what it waits for, once.
    pub fn wait_for(&mut self, what: &str) {
        if !self.waits_for.iter().any(|known| known == what) {
            self.waits_for.push(what.to_owned());
        }
    }
}

/// One line of a recipe.
#[derive(Debug, Clone, PartialEq)]
pub struct RecipeLine {
    /// The material.
    pub material: String,
    /// Parts, per cent, or grams where `weighed`.
    pub amount: f64,
    /// As it goes into the file.
    pub text: String,
    /// Whether it has a unit of weight.
    pub weighed: bool,
    /// Whether it comes on top of the base, where that is said.
    pub addition: Option<bool>,
}

/// A material or a clay as its row tells it.
#[derive(Debug, Clone)]
pub struct EntryDraft {
    /// Its name.
    pub name: String,
    /// Where it stands.
    pub at: At,
    /// The file that it stood in, where that is told.
    pub file: Option<String>,
    /// Its keys in the order of the file, its name first.
    pub entries: Vec<(String, Yaml)>,
}

/// A value of a material that is there already.
#[derive(Debug, Clone, PartialEq)]
pub struct Count {
    /// The material.
    pub material: String,
    /// Where it stands.
    pub at: At,
    /// `stock`, `price`, `lot`, `buyable`.
    pub key: String,
    /// Its value.
    pub value: String,
}

/// What a name belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// A glaze.
    Glaze,
    /// A material.
    Material,
    /// A clay.
    Clay,
    /// The studio's settings.
    Settings,
    /// A journal, as the notebook.
    Journal,
}

/// A question that only whoever wrote the table can answer.
#[derive(Debug, Clone, PartialEq)]
pub enum Open {
    /// A column that is no material and no key.
    Column {
        /// The table.
        file: String,
        /// Its heading.
        column: String,
        /// How many of its cells hold something.
        cells: usize,
        /// The first of them.
        example: String,
        /// Whether they are amounts: then the glazes with some of it aren't written.
        amounts: bool,
        /// The nearest name that is known.
        nearest: Option<String>,
    },
    /// A material that isn't known.
    Material {
        /// Where it stands first.
        at: At,
        /// Its name.
        material: String,
        /// How many glazes hold it.
        glazes: usize,
        /// The nearest that is known.
        nearest: Option<String>,
    },
    /// A cell that can't be read.
    Cell {
        /// Where it stands.
        at: At,
        /// Its column.
        column: String,
        /// What it holds.
        text: String,
        /// What is wrong with it.
        why: String,
        /// What to write instead.
        help: Option<String>,
    },
    /// A row without a name.
    NoName {
        /// Where it stands.
        at: At,
    },
    /// Two rows of one name.
    TwoRows {
        /// Where the second stands.
        at: At,
        /// The name.
        name: String,
    },
    /// Two columns of one material, added up.
    TwoColumns {
        /// The table.
        file: String,
        /// The columns.
        columns: Vec<String>,
        /// The material.
        material: String,
        /// How many glazes hold some of both.
        glazes: usize,
    },
    /// Something that can't be used as it is told.
    Unusable {
        /// Where it stands.
        at: At,
        /// What it is.
        what: What,
        /// Its name.
        name: String,
        /// What is wrong with it.
        complaint: Box<Diagnostic>,
    },
    /// A name that the studio has already, with something else under it.
    AlreadyThere {
        /// Where it stands in the table.
        at: At,
        /// What it is.
        what: What,
        /// Its name.
        name: String,
        /// Keys that differ.
        differs: Vec<String>,
    },
    /// A stock or a price of a material without an entry in the studio's own files.
    NoEntry {
        /// Where it stands.
        at: At,
        /// The material.
        material: String,
        /// The nearest that has one.
        nearest: Option<String>,
    },
}
