//! Learning from test tiles: mixture models, the best blend, the next tiles to make.
//!
//! A tile is shares of the ends of a plan and what came out of the kiln. Grades are fitted
//! by ordinary least squares, yes and no by a logistic model; the reported coefficients are
//! never shrunk, averaged or renormalised. The advice on the next tiles rests on a spread
//! of surfaces (`belief`), which is kept apart.

mod belief;
mod best;
mod choose;
mod contour;
mod distribution;
mod fit;
mod least_squares;
mod lesson;
mod logistic;
mod model;
mod next;
mod planned;
mod recipe;
mod region;
mod tiles;

pub use best::Goal;
pub use choose::Tried;
pub use contour::{ContourMap, CurvePoint, OfThree, contours, curve, round_levels};
pub use distribution::{f_upper, t_quantile, t_two_sided};
pub use fit::{COVERAGE, Graded, LackOfFit, MixtureFit, NoFit, Tangle};
pub use lesson::{Best, Fitted, Lesson, NoLesson, Outcomes, Question, learn};
pub use logistic::{Counted, END_LOG_ODDS, LogisticFit, chance};
pub use model::{MixtureModel, Term};
pub use next::NextTile;
pub use planned::planned_tiles;
pub use recipe::{BlendRecipe, recipe_at};
pub use tiles::{MOST_ENDS, MOST_TILES, TileTable, read_tiles};
