//! What an editor is given about a place in a document.

use std::path::PathBuf;
use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, Mark};
use glost_chemistry::material::Material;
use glost_script::Offer;

use crate::scripts::{Card, OptionCard};

/// What is wrong with a document, and with files that it needs.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Complaints {
    /// At places of the document.
    pub own: Vec<Diagnostic>,
    /// At places of other files, whose paths are whole.
    pub elsewhere: Vec<(PathBuf, Diagnostic)>,
}

/// What may stand at a place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Offers {
    /// Where what is being written begins: it is replaced.
    pub from: Mark,
    /// What may stand there.
    pub offers: Vec<Offer>,
}

/// What a name means.
#[derive(Debug, Clone)]
pub enum Explained {
    /// Something that scripts or files are written with.
    Words {
        /// How it is used.
        shape: String,
        /// What it is.
        about: String,
        /// An example; empty where there is none.
        example: String,
    },
    /// A material.
    Material(Arc<Material>),
    /// A script.
    Script(Box<Card>),
    /// An option of a script.
    Option(OptionCard),
}

/// Where something was made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Made {
    /// The file, its path whole.
    pub file: PathBuf,
    /// Where in it.
    pub mark: Mark,
    /// How many characters it has.
    pub width: usize,
}
