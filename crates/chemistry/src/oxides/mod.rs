//! Elements, formulas, oxides and what firing does to them.

mod analysis;
mod composition;
mod element;
mod firing;
mod formula;
mod oxide;
mod shown;

pub use analysis::{AnalysisKey, Basis};
pub use composition::{OxideGrams, OxideMoles};
pub use element::Element;
pub use firing::{FiredFormula, Written, fire};
pub use formula::{Formula, FormulaError};
pub use oxide::{OXIDE_COUNT, Oxide};
