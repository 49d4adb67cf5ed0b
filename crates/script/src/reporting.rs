//! Runs: sentences and tables over a whole studio.

use std::sync::Arc;

use crate::bounds::Bounds;
use crate::command;
use crate::failure::ScriptFailure;
use crate::kinds::{Kind, nothing_back};
use crate::report::Report;
use crate::running::{Asked, call, option_values};
use crate::scene::Scene;
use crate::script::Script;
use crate::values::StudioValue;

impl Script {
    /// What a `run` script puts out, and what it printed.
    ///
    /// # Errors
    /// A script of another kind, options that can't be, a failure on the way:
    /// nothing half done is given back.
    pub fn report(
        self: &Arc<Script>,
        scene: &Arc<Scene>,
        settings: &[(String, String)],
    ) -> Result<(Report, Vec<String>), ScriptFailure> {
        if self.about.kind != Kind::RUN {
            return Err(self.wrong_kind(self.about.kind, "run"));
        }
        let option = option_values(self, settings)?;
        let notes = scene
            .notebook
            .as_ref()
            .map_or(0, |notebook| notebook.standing().count());
        let rows: usize = scene.tables.iter().map(|table| table.rows.len()).sum();
        let glazes = scene.glazes.len();
        let usual = || Bounds::for_studio(glazes).walking(notes + rows).fitting(glazes, notes);
        let bounds = scene.bounds.unwrap_or_else(usual);
        command::add(bounds.time.saturating_sub(Bounds::default().time));
        let scene = Arc::new(Scene {
            bounds: Some(bounds),
            ..Scene::clone(scene)
        });
        let ((), left) = call(
            self,
            &scene,
            Asked::under(&option),
            "run",
            (StudioValue, option),
            |answer| nothing_back(Kind::RUN, answer),
        )?;
        Ok((left.run.report, left.run.printed))
    }
}
