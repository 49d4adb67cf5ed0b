//! The scripts as the rules that plans and other scripts ask for.

use std::fmt;
use std::sync::Arc;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::Glaze;
use glost_core::rules::{Finding, Level, LimitSet, Rules};

use crate::scene::{LimitsDoor, Scene};
use crate::store::{ScriptStore, StudioOptions};

/// Limits by name for scripts that ask the optimiser.
struct Door {
    store: Arc<ScriptStore>,
    options: StudioOptions,
}

impl fmt::Debug for Door {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("limits by name")
    }
}

impl LimitsDoor for Door {
    fn ranges(&self, name: &str, glaze: &Arc<Glaze>, scene: &Arc<Scene>) -> Result<LimitSet, Diagnostic> {
        let script = self.store.find(name)?;
        script
            .limits(glaze, scene, self.options.of(&script.name))
            .map_err(|failure| failure.diagnostic)
    }
}

/// A way for scripts to the limits of a store, with what the studio sets.
pub fn limits_door(store: &Arc<ScriptStore>, options: &StudioOptions) -> Arc<dyn LimitsDoor> {
    Arc::new(Door {
        store: store.clone(),
        options: options.clone(),
    })
}

/// The rules that core's plans ask for, from scripts.
pub struct ScriptRules<'a> {
    /// The scripts.
    pub store: &'a ScriptStore,
    /// The scene they see.
    pub scene: Arc<Scene>,
    /// What the studio sets.
    pub options: StudioOptions,
}

impl Rules for ScriptRules<'_> {
    fn ranges(&self, name: &str, glaze: &Glaze) -> Result<LimitSet, Diagnostic> {
        let script = self.store.find(name)?;
        script
            .limits(&Arc::new(glaze.clone()), &self.scene, self.options.of(&script.name))
            .map_err(|failure| failure.diagnostic)
    }

    fn findings(&self, glaze: &Glaze) -> Vec<Finding> {
        match self
            .store
            .run_checks(&Arc::new(glaze.clone()), &self.scene, &self.options)
        {
            Ok(checked) => checked.findings,
            Err(failure) => {
                let place = failure.diagnostic.place.as_ref();
                vec![Finding {
                    script: place.map_or_else(|| "scripts".into(), |place| place.file.clone()),
                    level: Level::NotChecked,
                    subject: glaze.name.as_str().into(),
                    value: None,
                    low: None,
                    high: None,
                    message: failure.diagnostic.message.as_str().into(),
                    source: "".into(),
                    line: place.map(|place| place.mark.line),
                    signed: None,
                    accepted: None,
                    broke: Some(Arc::new(failure.diagnostic.clone())),
                }]
            }
        }
    }
}
