//! Learning from test tiles: mixture models, the best blend, the next tiles to make.
//!
//! A tile is shares of the ends of a plan and what came out of the kiln. Grades are fitted
//! by ordinary least squares, yes and no by a logistic model; the reported coefficients are
//! never shrunk, averaged or renormalised. The advice rests on several spreads of surfaces,
//! weighed (`surfaces`, `probit`), or on a ladder's law (`ladder`), which are kept apart; a
//! call that names one model is advised by that one alone (`by_model`).

mod advice;
mod belief;
mod bell;
mod best;
mod by_belief;
mod by_model;
mod choose;
mod contour;
mod dense;
mod distribution;
mod fit;
mod gradient;
mod ladder;
mod ladder_next;
mod ladder_plan;
mod least_squares;
mod lesson;
mod logistic;
mod model;
mod next;
mod outlook;
#[cfg(test)]
mod outside_checks;
mod places;
mod planned;
mod probit;
mod probit_advice;
mod recipe;
mod region;
mod surfaces;
mod table;
mod tile_reading;

pub use advice::Why;
pub use best::Goal;
pub use choose::Tried;
pub use contour::{ContourMap, CurvePoint, OfThree, contours, curve, round_levels};
pub use distribution::{f_upper, t_quantile, t_two_sided};
pub use fit::{COVERAGE, Graded, LackOfFit, MixtureFit, NoFit, Tangle};
pub use ladder::{FailingShare, HOLDS_BELOW, SURE};
pub use ladder_plan::{EndsDiffer, LowersCrazing, PlanLadder, ends_differ, join_ladders, lowers_crazing};
pub use lesson::{
    Best, Fitted, Holding, LadderLesson, LadderQuestion, Learned, Lesson, NoLesson, Outcomes, Question, RungSeen,
    SurfaceLesson, learn,
};
pub use logistic::{Counted, END_LOG_ODDS, LogisticFit, chance};
pub use model::{MixtureModel, Term};
pub use next::NextTile;
pub use planned::planned_tiles;
pub use recipe::{BlendRecipe, recipe_at};
pub use table::{Fault, FiredTogether, TileLook, TileTable, WaitingTile};
pub use tile_reading::TileReading;
