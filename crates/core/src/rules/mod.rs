//! Rules as data: findings, limit sets, and the door to whoever holds them.

mod accepted;
mod fault;
mod finding;
mod limits;
mod signature;

pub use accepted::{Acceptance, Aspect, Circumstances, NotAccepted, WhyNot, accept, findings_of};
pub use fault::{FaultCause, Spot, Stage};
pub use finding::{Finding, Level, Message};
pub use limits::{LimitSet, Range, Subject};
pub use signature::{OptionValue, Signature, Whose};

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::Glaze;

/// Rules that live in scripts, for plans that need them: limits inside an
/// adjustment, findings on a tile.
pub trait Rules {
    /// A limit set by its script's name, for this glaze.
    ///
    /// # Errors
    /// No such script, or one that doesn't load or breaks.
    fn ranges(&self, name: &str, glaze: &Glaze) -> Result<LimitSet, Diagnostic>;

    /// What every check that applies finds on a glaze.
    fn findings(&self, glaze: &Glaze) -> Vec<Finding>;
}
