//! Glazes: recipes as files give them, with their materials found, and fired.

mod accepted;
mod analysis;
mod file;
mod iron;
mod recipe;
mod unity;
mod usage;
mod write;

pub use accepted::{ACCEPTED_KEYS, Accepted, rule_and_subject};
pub use analysis::{Additions, Analysis, FiredChemistry, NoAnalysis};
pub use file::{ATMOSPHERES, GLAZE_KEYS, GlazeFile, GlazeNotes, RecipeLine, USES, read_glaze};
pub use file::{one_of, one_word, quantity, sieve_words};
pub use iron::IronCount;
pub use recipe::{Glaze, Portion};
pub use unity::{FluxList, alkali_share, silica_to_alumina};
pub use usage::{Atmosphere, OneOf, UnknownWord, Use, Ware};
pub use write::write_glaze;
