//! What everything that was made and graded in a studio says about a glaze that wasn't.

mod features;
mod learn;
mod made;
mod next;
mod process;

pub use features::{Features, Unlike, features};
pub use learn::{Expectation, LeftOut, Neighbour, Studio, WholeStudio, learn};
pub use made::{Graded, GradedBook, Made, graded};
pub use next::{Candidate, Teaching};
