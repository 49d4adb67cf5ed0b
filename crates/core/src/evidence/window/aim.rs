//! What a learnt window asks of a new recipe: the expansion at which the chance
//! of crazing has come down to a chosen level.

use crate::evidence::ware::Clay;
use glost_chemistry::glaze::Glaze;
use glost_chemistry::quantity::Date;

use super::answer::{FitAnswer, fit};
use super::evidence::Notebook;
use super::look::{Edge, Known};
use super::place::Asking;
use super::said::FitSaid;
use super::settings::Belief;

/// How far inside the bound a recipe is asked to lie, 1e-6/K: what the search
/// for it may miss by.
const INSIDE: f64 = 1e-6;

/// Bounds on the expansion of a recipe that is not yet fired.
#[derive(Debug, Clone)]
pub struct FitAim {
    /// The answer for the glaze as it is.
    pub now: FitAnswer,
    /// The chance, 0 to 1, that a piece may craze within three years.
    pub level: f64,
    /// At most so much, 1e-6/K.
    pub most: f64,
    /// At least so much, where the glaze as it is would rather shiver.
    pub least: Option<f64>,
    /// What goes with it.
    pub said: Vec<FitSaid>,
}

/// Why a window gives no aim.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoFitAim {
    /// The glaze's own expansion isn't computed: no recipe can be worked out.
    NoChemistry,
    /// What is known of the clay leaves no room between crazing and shivering.
    NoRoom,
}

/// The bounds for a recipe near `glaze` on `clay`; `level` is a chance between 0 and 1,
/// `today` as for [`fit`].
///
/// A new recipe counts as a glaze whose pieces nobody looked at. Where the
/// glaze's own pieces crazed more than its computed expansion accounts for, the
/// bound is as much lower.
///
/// # Errors
/// See [`NoFitAim`].
pub fn fit_aim(
    book: &Notebook<'_>,
    glaze: &Glaze,
    clay: &Clay,
    asking: &Asking<'_>,
    level: f64,
    today: Option<Date>,
) -> Result<FitAim, NoFitAim> {
    let now = fit(book, glaze, clay, asking, today);
    let believed = now.belief.believed;
    if believed.known != Known::Computed {
        return Err(NoFitAim::NoChemistry);
    }
    let Belief { mean: expansion, sd } = believed.belief;
    let window = &now.window;
    let at = |edge: Edge| window.edge(edge).expansion_at(level, sd).ok_or(NoFitAim::NoRoom);
    let mut said = Vec::new();
    let mut most = at(Edge::Craze)? - INSIDE;
    if now.craze.chance > level && expansion <= most {
        // Its pieces craze as one of this expansion would, so it and its kin
        // count as so much higher.
        let counts_as = window
            .craze
            .expansion_at(now.craze.chance, sd)
            .ok_or(NoFitAim::NoRoom)?;
        most -= (counts_as - expansion).max(0.0);
        said.push(FitSaid::LoweredBound {
            glaze: glaze.name.clone(),
            by: (counts_as - expansion).max(0.0),
        });
    }
    let mut least = None;
    if now.shiver.chance > level && now.craze.chance <= level {
        least = Some(at(Edge::Shiver)? + INSIDE);
    }
    if least.is_some_and(|least| least > most) {
        return Err(NoFitAim::NoRoom);
    }
    if now.evidence.witnesses.is_empty() {
        said.push(FitSaid::NoPiece(clay.name.clone()));
    }
    Ok(FitAim {
        now,
        level,
        most,
        least,
        said,
    })
}

impl FitAim {
    /// The chances, 0 to 1, that a piece of a new recipe of this expansion (1e-6/K)
    /// crazes and that it shivers.
    pub fn chances(&self, expansion: f64) -> (f64, f64) {
        let belief = Belief::new(expansion, self.now.belief.believed.belief.sd);
        let window = &self.now.window;
        (window.craze.chance(belief), window.shiver.chance(belief))
    }
}
