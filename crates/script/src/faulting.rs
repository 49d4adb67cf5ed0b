//! Faults: causes of what is seen on a piece.

use std::sync::Arc;

use glost_chemistry::glaze::Glaze;
use glost_core::rules::{FaultCause, Spot};

use crate::failure::ScriptFailure;
use crate::kinds::Kind;
use crate::running::{Asked, call, option_values};
use crate::scene::Scene;
use crate::script::Script;
use crate::values::{GlazeValue, SeenValue, causes};

/// Up to this weight a script hardly believes a cause.
const HARDLY: f64 = 0.1;

impl Script {
    /// The causes that a fault script gives for what is seen: those to look at first come
    /// first, and of these the weightiest.
    ///
    /// # Errors
    /// A script of another kind, options that can't be, a failure on the way.
    pub fn fault(
        self: &Arc<Script>,
        glaze: &Arc<Glaze>,
        fault: &str,
        spot: Option<Spot>,
        scene: &Arc<Scene>,
        settings: &[(String, String)],
    ) -> Result<Vec<FaultCause>, ScriptFailure> {
        if self.about.kind != Kind::FAULT {
            return Err(self.wrong_kind(self.about.kind, Kind::FAULT.word()));
        }
        let option = option_values(self, settings)?;
        let seen = SeenValue {
            fault: fault.into(),
            spot,
        };
        let signed = option.signed.clone();
        let asked = Asked::under(&option);
        let arguments = (GlazeValue::new(glaze.clone(), scene), seen, option);
        let (found, left) = call(self, scene, asked, Kind::FAULT.word(), arguments, causes)?;
        scene.printed.keep(left.run.printed);
        let mut found: Vec<FaultCause> = found
            .into_iter()
            .map(|cause| FaultCause {
                stage: cause.stage,
                cause: cause.cause,
                weight: cause.weight,
                number: cause.number,
                of: cause.of,
                test: cause.test,
                series: cause.series,
                source: cause.source.unwrap_or_else(|| self.about.source.clone()),
                signed: signed.clone(),
            })
            // What isn't in the recipe isn't to be halved or left out of it.
            .filter(|cause| cause.weight > 0.0 && (cause.weight > HARDLY || cause.number != Some(0.0)))
            .collect();
        found.sort_by(|a, b| a.stage.cmp(&b.stage).then(b.weight.total_cmp(&a.weight)));
        Ok(found)
    }
}
