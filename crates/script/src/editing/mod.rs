//! What an editor is told about a script that is being written: what may stand where
//! somebody writes, what a name means, where it was made. Nothing runs, and nothing is
//! parsed as a whole: a text that is being written mostly doesn't.

mod about_place;
mod complete;
mod define;
mod explain;
mod lints;
mod odd;
mod sorts;
pub(crate) mod tokens;

use glost_chemistry::diagnostic::{Mark, Source};

pub use complete::complete;
pub use define::{declared_at, define};
pub use explain::explain;
pub(crate) use lints::{endless_loop, reads_parameter};
pub use lints::{lints, lints_beside_tests};

/// What sort of thing is offered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// Read without brackets.
    Property,
    /// Called on a value.
    Method,
    /// Called by itself.
    Function,
    /// A name made in the text, or always there.
    Name,
    /// A library.
    Library,
    /// A key of a table.
    Key,
    /// A word or a name out of several.
    Word,
    /// A word of the language.
    Keyword,
}

/// One thing that may stand where somebody writes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Offer {
    /// What is written.
    pub name: String,
    /// What sort of thing it is.
    pub what: What,
    /// How it is used, in a few words: `glaze.unity -> oxides`.
    pub shape: String,
    /// One line about it; empty where there is none.
    pub about: String,
}

impl Offer {
    /// An offer without more to say.
    pub fn plain(name: impl Into<String>, what: What) -> Offer {
        Offer {
            name: name.into(),
            what,
            shape: String::new(),
            about: String::new(),
        }
    }
}

/// Names that the studio knows and a script doesn't.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Named {
    /// Of materials.
    Materials,
    /// Of glazes.
    Glazes,
    /// Of clays.
    Clays,
    /// Of libraries, `lib/cones`.
    Libraries,
}

/// What may stand at a place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Offers {
    /// Where what is being written begins: it is replaced.
    pub from: Mark,
    /// What may stand there.
    pub offers: Vec<Offer>,
    /// Names of the studio that may stand there too.
    pub named: Option<Named>,
}

/// What a name means.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Explained {
    /// What is known of it.
    Known {
        /// How it is used.
        shape: String,
        /// What it is.
        about: String,
        /// An example; empty where there is none.
        example: String,
    },
    /// A name that the studio knows.
    Named(Named, String),
}

/// Where a name was made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Defined {
    /// In the same text.
    Here(Mark, usize),
    /// In a library, where the function or the library begins.
    Library(String, Mark, usize),
    /// A name that the studio knows.
    Named(Named, String),
}

/// The text of a library by its name, where there is one.
pub type Libraries<'a> = &'a dyn Fn(&str) -> Option<Source>;
