//! Wet buckets: how much powder is in one, what to add, and sieves.
//!
//! Water counts as 1 g/ml throughout (see [`glost_chemistry::quantity::GramsPerMillilitre`]).

mod cautions;
mod dose;
mod rescue;
mod share;
mod sieve;
mod slip;
mod sums;
mod survey;
mod thickness;

pub use cautions::{Caution, cautions};
pub use dose::{Dose, DoseAmount};
pub use rescue::{Held, Rescue, rescue};
pub use share::{RecipeShare, everything_else, recipe_share, share_on_the_rest};
pub use sieve::Sieve;
pub use slip::{Slip, Suspicion, grams_after, slips};
pub use sums::{DoseSum, Sums, sums};
pub use survey::{Amount, Bucket, Jar, Survey, SurveyTrouble, dry_grams, survey};
pub use thickness::{Thickness, ToItsOwn, to_its_own};
