//! Checks: findings on a glaze.

use std::sync::{Arc, LazyLock, OnceLock};

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::Glaze;
use glost_core::rules::{Finding, Level, Signature};
use rhai::Dynamic;

use crate::command;
use crate::cones::Suits;
use crate::failure::{FailureKind, ScriptFailure};
use crate::kinds::{Kind, nothing_back};
use crate::limiting::{self, Held};
use crate::running::{Asked, call, option_values};
use crate::scene::Scene;
use crate::script::Script;
use crate::values::{GlazeValue, OptionsValue};

/// What a check said of a glaze.
#[derive(Debug, Clone, Default)]
pub struct Checked {
    /// What it found; one finding at least.
    pub findings: Vec<Finding>,
    /// What it printed.
    pub printed: Vec<String>,
    /// Why it could not run to its end; its findings then hold a *not checked*.
    pub failure: Option<ScriptFailure>,
    /// Scripts among several that broke their bounds: theirs is a *not checked* too.
    pub out_of_bounds: Vec<Diagnostic>,
}

impl Script {
    /// Runs a check, or holds a glaze against limits: one finding at least.
    ///
    /// A check that goes wrong while it runs gives *not checked* with the
    /// reason: never silence.
    ///
    /// # Errors
    /// A script of another kind, options that can't be, or bounds broken.
    pub fn check(
        self: &Arc<Script>,
        glaze: &Arc<Glaze>,
        scene: &Arc<Scene>,
        settings: &[(String, String)],
    ) -> Result<Checked, ScriptFailure> {
        let option = self.check_options(settings)?;
        let suits = self.about.suits(&glaze.about);
        self.check_value(&GlazeValue::new(glaze.clone(), scene), scene, &option, suits, None)
    }

    /// As [`Script::check`], among others: a check that breaks its bounds is *not checked* too,
    /// with the failure beside it, unless the time of the whole command is used up.
    ///
    /// # Errors
    /// As [`Script::check`].
    pub fn check_among_others(
        self: &Arc<Script>,
        glaze: &Arc<Glaze>,
        scene: &Arc<Scene>,
        settings: &[(String, String)],
    ) -> Result<Checked, ScriptFailure> {
        let option = self.check_options(settings)?;
        let checked = self.check(glaze, scene, settings);
        checked.or_else(|failure| self.out_of_bounds(failure, glaze, &option.signed))
    }

    /// *Not checked* for bounds that one script broke of its own.
    pub(crate) fn out_of_bounds(
        self: &Arc<Script>,
        failure: ScriptFailure,
        glaze: &Glaze,
        signed: &Arc<Signature>,
    ) -> Result<Checked, ScriptFailure> {
        if failure.kind != FailureKind::BrokeBounds || command::left().is_none() {
            return Err(failure);
        }
        let out_of_bounds = vec![failure.diagnostic.clone()];
        Ok(Checked {
            out_of_bounds,
            ..self.broken_off(failure, glaze, signed)
        })
    }

    /// The options of a check or limits with what a user set.
    pub(crate) fn check_options(&self, settings: &[(String, String)]) -> Result<OptionsValue, ScriptFailure> {
        if self.about.kind.finds() {
            option_values(self, settings)
        } else {
            Err(self.wrong_kind(self.about.kind, "check or limits"))
        }
    }

    /// [`Script::check`] with the options at hand, on a glaze that other checks may look at too;
    /// `known` keeps ranges that are the same for every glaze.
    pub(crate) fn check_value(
        self: &Arc<Script>,
        value: &GlazeValue,
        scene: &Arc<Scene>,
        option: &OptionsValue,
        suits: Suits,
        known: Option<&OnceLock<Arc<Held>>>,
    ) -> Result<Checked, ScriptFailure> {
        if suits != Suits::Yes {
            return Ok(not_meant_for(self, value.recipe(), &option.signed));
        }
        if self.about.kind == Kind::LIMITS {
            let checked = limiting::check(self, value, scene, option, known)?;
            return Ok(self.weighed(checked));
        }
        if !self.about.only_with.may_be_in(value) {
            return Ok(Checked {
                findings: vec![nothing_found(self, &option.signed)],
                ..Checked::default()
            });
        }
        let outcome = call(
            self,
            scene,
            Asked::under(option),
            "check",
            (value.clone(), option.clone()),
            |answer: &Dynamic| nothing_back(Kind::CHECK, answer),
        );
        match outcome {
            Ok(((), left)) => {
                let mut findings = left.run.findings;
                if findings.is_empty() {
                    findings.push(nothing_found(self, &option.signed));
                }
                Ok(self.weighed(Checked {
                    findings,
                    printed: left.run.printed,
                    ..Checked::default()
                }))
            }
            Err(failure) => self.failed(failure, value.recipe(), &option.signed),
        }
    }

    fn weighed(&self, mut checked: Checked) -> Checked {
        self.weigh(&mut checked.findings);
        checked
    }

    /// Its cautions weigh what the studio says; a *fail* and a *not checked* stay.
    pub(crate) fn weigh(&self, findings: &mut [Finding]) {
        if let Some(level) = self.level {
            let cautions = findings.iter_mut().filter(|found| found.level == Level::Caution);
            cautions.for_each(|found| found.level = level);
        }
    }

    /// *Not checked* for what went wrong; broken bounds go on as an error.
    pub(crate) fn failed(
        self: &Arc<Script>,
        failure: ScriptFailure,
        glaze: &Glaze,
        signed: &Arc<Signature>,
    ) -> Result<Checked, ScriptFailure> {
        if failure.kind != FailureKind::Failed {
            return Err(failure);
        }
        Ok(self.broken_off(failure, glaze, signed))
    }

    /// What a check says that broke off: what it had found stands, and it is *not checked*.
    fn broken_off(self: &Arc<Script>, mut failure: ScriptFailure, glaze: &Glaze, signed: &Arc<Signature>) -> Checked {
        let place = failure.diagnostic.place.as_ref();
        let subject = failure.unknown_material().unwrap_or(&glaze.name).to_owned();
        let message = match (failure.unknown_material(), place) {
            (None, Some(place)) => format!(
                "the check broke off: {} ({}:{}:{})",
                failure.diagnostic.message, place.file, place.mark.line, place.mark.column
            ),
            _ => failure.diagnostic.message.clone(),
        };
        let line = place.map(|place| place.mark.line);
        let unknown = failure.unknown_material().is_some();
        let finding = Finding {
            broke: (!unknown).then(|| Arc::new(failure.diagnostic.clone())),
            ..not_checked(self, signed, &subject, &message, line)
        };
        let mut findings = Arc::unwrap_or_clone(std::mem::take(&mut failure.found));
        findings.push(finding);
        self.weighed(Checked {
            findings,
            failure: (!unknown).then_some(failure),
            ..Checked::default()
        })
    }

    pub(crate) fn wrong_kind(&self, found: Kind, wanted: &str) -> ScriptFailure {
        let fault = Diagnostic::error(
            "wrong-script-kind",
            format!(
                "`{}` is a script of kind `{}`, here one of kind {wanted} is needed",
                self.name,
                found.word()
            ),
        );
        ScriptFailure::does_not_load(fault.help("`glost script list` shows what there is"))
    }
}

/// A finding of a script without any numbers.
pub(crate) fn plain(
    script: &Script,
    signed: &Arc<Signature>,
    level: Level,
    subject: Arc<str>,
    message: Arc<str>,
) -> Finding {
    Finding {
        script: script.told.script.clone(),
        level,
        subject,
        value: None,
        low: None,
        high: None,
        message: message.into(),
        source: script.told.source.clone(),
        line: None,
        signed: Some(signed.clone()),
        accepted: None,
        broke: None,
    }
}

pub(crate) fn not_checked(
    script: &Script,
    signed: &Arc<Signature>,
    subject: &str,
    message: &str,
    line: Option<usize>,
) -> Finding {
    Finding {
        line,
        ..plain(script, signed, Level::NotChecked, subject.into(), message.into())
    }
}

/// *Not checked*: the script's numbers are for other firings than this glaze's.
pub(crate) fn not_meant_for(script: &Script, glaze: &Glaze, signed: &Arc<Signature>) -> Checked {
    let about = &glaze.about;
    let own = match (script.about.suits(about), &about.cone, about.peak, about.atmosphere) {
        (Suits::NoCone, ..) => "this glaze says neither cone nor peak".to_owned(),
        (Suits::OtherAtmosphere, _, _, Some(own)) => format!("this glaze is fired in {own}"),
        (_, Some(cone), ..) => format!("this glaze is for cone {cone}"),
        (_, None, Some(peak), _) => format!("this glaze is fired to {:.0} C", peak.celsius()),
        _ => "not for this glaze".to_owned(),
    };
    let meant = script.about.meant_for();
    let message = if meant.is_empty() {
        format!("it gives no ranges for this glaze: {own}")
    } else {
        format!("its numbers are for {meant}; {own}")
    };
    Checked {
        findings: vec![not_checked(script, signed, &script.about.title, &message, None)],
        ..Checked::default()
    }
}

/// The check ran and has nothing to say.
pub(crate) fn nothing_found(script: &Script, signed: &Arc<Signature>) -> Finding {
    static NOTHING: LazyLock<Arc<str>> = LazyLock::new(|| "nothing found".into());
    let title = script.told.title.clone();
    plain(script, signed, Level::NothingFound, title, NOTHING.clone())
}
