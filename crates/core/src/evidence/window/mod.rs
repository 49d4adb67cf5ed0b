//! The window: what a studio's own pieces say about where glazes craze and shiver on a clay.
//!
//! The error of a predicted expansion is larger than the mismatch that decides crazing, and a
//! clay's own number is rarely known. But on one clay at one firing the error that all glazes
//! share cancels: a limit learnt from a graded series parts crazed from uncrazed glazes
//! (C. B. Knecht, J. Am. Ceram. Soc. 1940, doi 10.1111/j.1151-2916.1940.tb14200.x). So pieces
//! that were looked at teach a threshold in units of the default expansion model.
//!
//! The model, in 1e-6/K; every number is one of [`WindowSettings`]:
//! * the craze line of a clay at three years is Normal(6.5, 1.2); by its kind Normal(7.3, 1.0)
//!   earthenware, (6.2, 0.8) stoneware, (5.6, 0.7) porcelain; Normal(clay - 0.3, 0.8) where
//!   its expansion is known;
//! * the line falls with age: at d days it stands D (1 - g(d)) above, g by [`Ageing`], D one
//!   for the clay, Normal(0.8, 0.35) above 0 where it is porous or unknown, Normal(0.25, 0.12)
//!   where it is dense; 15 points over +/- 3 standard deviations;
//! * a family is a base with the tiles made of it and its versions; its true expansion is
//!   Normal(computed, 0.37), Normal(printed, 0.6), or Normal(6.5, 1.5) where nobody tells;
//! * a member lies beta times its coordinate from the base: its computed difference with
//!   Normal(1, 0.25), or the per cent of silica or kaolin in a powder of unknown recipe with
//!   the slopes measured over glasses; 33 points over +/- 4 standard deviations;
//! * each lot shifts it by Normal(0, 0.20), each batch by Normal(0, 0.25);
//! * k crazed of n pieces of a batch are Binomial(n, s Phi(past / 0.12)), s by how they were
//!   looked at; of several looks at a batch the latest counts;
//! * the floor of shivering is worked the same way apart, without ageing, s = 1.

mod ageing;
mod aim;
mod answer;
mod belief;
mod by_age;
mod contradiction;
mod curve;
mod evidence;
mod gathered;
mod grid;
mod kiln;
mod known;
mod ladder;
mod learn;
mod look;
mod lots;
mod mixture;
mod next;
mod place;
mod pooling;
mod posterior;
mod said;
mod settings;
mod settings_file;
mod tables;
mod told;
mod zone;

pub use ageing::Ageing;
pub use aim::{FitAim, NoFitAim, fit_aim};
pub use answer::{FitAnswer, LookAgain, fit};
pub use belief::{GlazeBelief, clay_knowledge, glaze_belief};
pub use by_age::{LineByAge, LookByAge, line_by_age};
pub use evidence::{Evidence, EvidenceLine, Notebook, Tested, WhyNot, any_piece_speaks, gather};
pub use kiln::Kiln;
pub use known::KnownFirings;
pub(crate) use ladder::add_to_name;
pub use ladder::{LadderTile, Lowering, OwnRecipe, step_of_name};
pub use learn::{Question, Verdict, Window};
pub use look::{Believed, Edge, Family, FamilyPlace, Known, Look, Step, Witness};
pub use next::{Candidate, LADDER_PERCENT, LadderStep, OlderPieces, candidates};
pub use place::{Asking, FitPlace, place_in_window};
pub use posterior::{Band90, LearntEdge, Pieces};
pub use said::{Departure, FitSaid};
pub use settings::{Belief, ClayKnowledge, HeldTakes, KAOLIN_SLOPE, SILICA_SLOPE, WindowSettings};
pub(crate) use settings_file::read_window_settings;
pub use tables::LearntTables;
pub use zone::{Zone, rests_on_counts};
