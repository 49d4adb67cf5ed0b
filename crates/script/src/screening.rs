//! Many glazes through the same checks: options are read once, and a glaze's
//! chemistry is worked out once for all of them.

use std::sync::{Arc, OnceLock};

use glost_chemistry::glaze::Glaze;
use glost_core::rules::Finding;

use crate::checking::{Checked, nothing_found};
use crate::compiled::{self, Compiled};
use crate::cones::{OwnFiring, Suits};
use crate::failure::ScriptFailure;
use crate::limiting::Held;
use crate::options::Settings;
use crate::scene::Scene;
use crate::script::Script;
use crate::store::Broken;
use crate::values::{GlazeValue, OptionsValue};

/// Checks and limits, ready to run on one glaze after another.
///
/// Best used inside one call of [`on_script_thread`](crate::on_script_thread),
/// which saves a thread for each run.
#[derive(Debug, Clone, Default)]
pub struct Screening {
    checks: Vec<Ready>,
    /// *Not checked* of scripts that don't load.
    broken: Vec<Finding>,
    /// Whether a script for another firing than a glaze's is left out, not told as *not checked*.
    leaves_others_out: bool,
}

/// A script with what is worked out once for all glazes.
#[derive(Debug, Clone)]
struct Ready {
    script: Arc<Script>,
    option: OptionsValue,
    /// Itself compiled, with its options.
    compiled: Option<(Arc<Compiled>, compiled::Options)>,
    /// What it says where there is nothing to say.
    nothing: Finding,
    /// Its ranges, where they hang on no glaze.
    limits: OnceLock<Arc<Held>>,
}

impl Screening {
    /// From scripts with what is set of their options.
    ///
    /// # Errors
    /// A script that is neither check nor limits, or options that can't be.
    pub fn new<'a>(
        scripts: impl IntoIterator<Item = (&'a Arc<Script>, &'a Settings)>,
    ) -> Result<Screening, ScriptFailure> {
        let ready = scripts.into_iter().map(|(script, settings)| {
            let option = script.check_options(settings)?;
            let compiled = script.compiled();
            Ok(Ready {
                script: script.clone(),
                compiled: compiled.and_then(|own| Some((own.clone(), compiled::Options::of(&option)?))),
                nothing: nothing_found(script, &option.signed),
                option,
                limits: OnceLock::new(),
            })
        });
        Ok(Screening {
            checks: ready.collect::<Result<_, ScriptFailure>>()?,
            broken: Vec::new(),
            leaves_others_out: false,
        })
    }

    /// The same for scripts that nobody named: one for another firing than a glaze's is left
    /// out, and one that needs pieces where none speak.
    #[must_use]
    pub fn unasked(self) -> Screening {
        Screening {
            leaves_others_out: true,
            ..self
        }
    }

    /// The same, with scripts that don't load: each glaze is *not checked* by them.
    #[must_use]
    pub fn without<'a>(self, broken: impl IntoIterator<Item = &'a Broken>) -> Screening {
        Screening {
            broken: broken.into_iter().map(Broken::finding).collect(),
            ..self
        }
    }

    /// How often a glaze was too odd for a compiled check, so that the engine looked: its answer
    /// is the one that counts.
    pub fn left_to_the_engine(&self) -> usize {
        let compiled = self.checks.iter().filter_map(|ready| ready.compiled.as_ref());
        compiled.map(|(compiled, _)| compiled.left_to_the_engine()).sum()
    }

    /// Runs all of them on a glaze, as [`Script::check`] does one by one.
    ///
    /// # Errors
    /// The time of the whole command used up; a script that broke bounds of its own is *not
    /// checked*.
    pub fn screen(&self, glaze: &Arc<Glaze>, scene: &Arc<Scene>) -> Result<Checked, ScriptFailure> {
        let value = GlazeValue::new(glaze.clone(), scene);
        let firing = OwnFiring::of(&glaze.about);
        let mut checked = Checked::default();
        checked.findings.reserve(self.checks.len());
        for ready in &self.checks {
            let suits = ready.script.about.suits_firing(&firing);
            let silent = ready.script.about.needs_pieces && scene.notebook.is_none();
            if self.leaves_others_out && (silent || suits != Suits::Yes) {
                continue;
            }
            if suits == Suits::Yes && ready.finds(&value, scene, &mut checked.findings) {
                continue;
            }
            let Ready {
                script, option, limits, ..
            } = ready;
            let one = script
                .check_value(&value, scene, option, suits, Some(limits))
                .or_else(|failure| script.out_of_bounds(failure, glaze, &option.signed))?;
            checked.findings.extend(one.findings);
            checked.printed.extend(one.printed);
            checked.failure = checked.failure.or(one.failure);
            checked.out_of_bounds.extend(one.out_of_bounds);
        }
        checked.findings.extend(self.broken.iter().cloned());
        Ok(checked)
    }
}

impl Ready {
    /// What the script finds, compiled; false where the engine has to look.
    fn finds(&self, glaze: &GlazeValue, scene: &Scene, findings: &mut Vec<Finding>) -> bool {
        let Some((compiled, options)) = &self.compiled else {
            return false;
        };
        let before = findings.len();
        let about = &self.script.about;
        if about.only_with.may_be_in(glaze) && !compiled.find(&self.script, glaze, scene, options, findings) {
            return false;
        }
        if findings.len() == before {
            findings.push(self.nothing.clone());
        }
        self.script.weigh(&mut findings[before..]);
        true
    }
}
