//! The window: what a studio's own pieces say about where glazes craze and shiver on a clay.
//!
//! The error of a predicted expansion is larger than the mismatch that decides crazing, and a
//! clay's own number is rarely known. But on one clay at one firing the error that all glazes
//! share cancels: a limit learnt from a graded series parts crazed from uncrazed glazes
//! (C. B. Knecht, J. Am. Ceram. Soc. 1940, doi 10.1111/j.1151-2916.1940.tb14200.x). So pieces
//! that were looked at teach a threshold in units of the default expansion model.
//!
//! The model, in 1e-6/K; every number is one of [`WindowSettings`]:
//! * the threshold is Normal(6.5, 1.2), or Normal(clay - 0.3, 0.8) where the clay's expansion
//!   is known;
//! * a glaze's true expansion is Normal(computed, 0.37), Normal(printed, 0.6), or
//!   Normal(6.5, 1.5) where nobody tells;
//! * a piece crazes sooner or later with chance Phi((true - threshold) / 0.12), and has done
//!   so by an age with the share of [`Ageing`];
//! * k crazed of n is binomial, one true expansion a glaze integrated out over all its looks;
//! * the floor of shivering is worked the same way apart, without ageing.

mod ageing;
mod aim;
mod answer;
mod belief;
mod contradiction;
mod evidence;
mod kiln;
mod learn;
mod look;
mod next;
mod place;
mod posterior;
mod settings;
mod settings_file;
mod zone;

pub use ageing::Ageing;
pub use aim::{FitAim, NoFitAim, fit_aim};
pub use answer::{FitAnswer, LookAgain, fit};
pub use belief::{GlazeBelief, clay_knowledge, glaze_belief};
pub use evidence::{Evidence, EvidenceLine, Notebook, gather};
pub use kiln::Kiln;
pub use learn::{Question, Verdict, Window};
pub use look::{Believed, Edge, Known, Look, Witness};
pub use next::{Candidate, LADDER_PERCENT, ladder};
pub use place::{FitPlace, place_in_window};
pub use posterior::{Band90, LearntEdge};
pub use settings::{Belief, ClayKnowledge, WindowSettings};
pub(crate) use settings_file::read_window_settings;
pub use zone::{Zone, rests_on_counts};
