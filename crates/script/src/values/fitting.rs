//! The aim `fit: CLAY` in `materials.solve`: the bounds that a clay's own pieces give.

use glost_core::evidence::window::{Asking, NoFitAim, fit_aim};
use glost_core::recipes::adjust::Asked;
use rhai::EvalAltResult;

use crate::scene;
use crate::tongue::words_of;
use crate::trouble::Trouble;

use super::GlazeValue;
use super::clay::find_clay;

/// Bounds on the expansion; `chance_percent` is the chance of crazing allowed, else the edge of
/// the zone *held*. What was taken for granted is printed beside the script's answer.
pub(super) fn fitting(
    phrase: &str,
    clay: &str,
    chance_percent: Option<f64>,
    glaze: &GlazeValue,
) -> Result<Asked, Box<EvalAltResult>> {
    let scene = scene::scene()?;
    let Some(notebook) = &scene.notebook else {
        return Err(Trouble::new("no-window", format!("no pieces on `{clay}` speak here"))
            .help("aim at an expansion, such as \"expansion <= 6.2\"; `glost fit` tells what pieces say")
            .raise());
    };
    let clay = find_clay(clay)?;
    let level = chance_percent.map_or(notebook.settings.held_below, |percent| percent / 100.0);
    let book = notebook.as_asked(&scene.fluxes);
    match fit_aim(
        &book,
        glaze.recipe(),
        &clay.0,
        &Asking::default(),
        level,
        notebook.today,
    ) {
        Ok(aim) => {
            for said in &aim.said {
                scene::print(&words_of(said));
            }
            Ok(Asked::Fit {
                phrase: phrase.to_owned(),
                low: aim.least,
                high: Some(aim.most),
            })
        }
        Err(NoFitAim::NoChemistry) => Err(Trouble::new(
            "no-chemistry",
            format!("the expansion of `{}` can't be computed", glaze.name()),
        )
        .help("`glaze.fit(clay)` answers from its pieces alone")
        .raise()),
        Err(NoFitAim::NoRoom) => Err(Trouble::new(
            "no-room",
            format!(
                "what is known of `{}` leaves no room between crazing and shivering",
                clay.0.name
            ),
        )
        .help("look at more pieces on it, or aim at an expansion: \"expansion <= 6.2\"")
        .raise()),
    }
}
