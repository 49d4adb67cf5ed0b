//! Swaps: recipes that a script proposes.

use std::sync::Arc;

use glost_core::glaze::Glaze;

use crate::failure::ScriptFailure;
use crate::kind::Kind;
use crate::running::{call, option_values};
use crate::scene::{Request, Scene};
use crate::script::Script;
use crate::values::{GlazeValue, recipes};

impl Script {
    /// The recipes that a swap script proposes, best first.
    ///
    /// # Errors
    /// A script of another kind, options that can't be, a failure on the way.
    pub fn swap(
        self: &Arc<Script>,
        glaze: &Arc<Glaze>,
        request: Request,
        scene: &Arc<Scene>,
        settings: &[(String, String)],
    ) -> Result<Vec<Arc<Glaze>>, ScriptFailure> {
        if self.about.kind != Kind::Swap {
            return Err(self.wrong_kind(self.about.kind, "swap"));
        }
        let option = option_values(self, settings)?;
        let value = GlazeValue::new(glaze.clone(), scene);
        call(self, scene, request, "swap", (value, option), recipes).map(|(found, _)| found)
    }
}
