//! Limits: ranges as data, and a glaze held against them.

use std::sync::{Arc, OnceLock};

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::Glaze;
use glost_core::rules::{Finding, Level, LimitSet, Range, Subject};
use rhai::{Dynamic, EvalAltResult, Map};

use crate::checking::{Checked, not_meant_for};
use crate::failure::{FailureKind, ScriptFailure};
use crate::kinds::Kind;
use crate::language::number_text;
use crate::running::{Asked, call, option_values};
use crate::scene::Scene;
use crate::script::Script;
use crate::sort::Sort;
use crate::trouble::Trouble;
use crate::values::{GlazeValue, OptionsValue};

/// The ranges of a table, in the order of a unity formula.
pub(crate) fn ranges(answer: &Dynamic) -> Result<Vec<Range>, Box<EvalAltResult>> {
    let table = answer.read_lock::<Map>().ok_or_else(|| {
        Trouble::new(
            "stray-value",
            format!(
                "`limits` gives back a table of ranges, this is {}",
                Sort::words_for_type(answer.type_name())
            ),
        )
        .help("such as `#{ SiO2: [3, 5], \"SiO2:Al2O3\": [7, 12] }`")
        .raise()
    })?;
    let mut ranges = Vec::new();
    for (name, range) in table.iter() {
        let subject = crate::values::subject(name)?;
        let (low, high, optional) = crate::values::low_and_high(range).ok_or_else(|| crate::values::bad_range(name))?;
        ranges.push(Range {
            subject,
            low,
            high,
            optional,
        });
    }
    let order: Vec<&str> = Subject::names().collect();
    ranges.sort_by_key(|range| order.iter().position(|name| *name == range.subject.name()));
    Ok(ranges)
}

impl Script {
    /// The ranges that a limits script gives for a glaze.
    ///
    /// # Errors
    /// A script of another kind, options that can't be, a failure on the way.
    pub fn limits(
        self: &Arc<Script>,
        glaze: &Arc<Glaze>,
        scene: &Arc<Scene>,
        settings: &[(String, String)],
    ) -> Result<LimitSet, ScriptFailure> {
        if self.about.kind != Kind::LIMITS {
            return Err(self.wrong_kind(self.about.kind, "limits"));
        }
        let option = option_values(self, settings)?;
        let (set, printed) = limits(self, &GlazeValue::new(glaze.clone(), scene), scene, &option)?;
        scene.printed.keep(printed);
        Ok(set)
    }
}

fn limits(
    script: &Arc<Script>,
    value: &GlazeValue,
    scene: &Arc<Scene>,
    option: &OptionsValue,
) -> Result<(LimitSet, Vec<String>), ScriptFailure> {
    let arguments = (value.clone(), option.clone());
    let (ranges, left) = call(script, scene, Asked::under(option), "limits", arguments, ranges)?;
    let set = LimitSet {
        name: script.name.clone(),
        title: script.about.title.clone(),
        source: script.about.source.clone(),
        ranges,
        signed: Some(option.signed.clone()),
    };
    Ok((set, left.run.printed))
}

/// Holds a glaze against limits: a caution for each range that is missed.
pub(crate) fn check(
    script: &Arc<Script>,
    glaze: &GlazeValue,
    scene: &Arc<Scene>,
    option: &OptionsValue,
    known: Option<&OnceLock<Arc<LimitSet>>>,
) -> Result<Checked, ScriptFailure> {
    let (set, printed) = match known.and_then(OnceLock::get) {
        Some(set) => (set.clone(), Vec::new()),
        None => match limits(script, glaze, scene, option) {
            Ok((set, printed)) => (Arc::new(set), printed),
            Err(failure) => return script.failed(failure, glaze.recipe(), &option.signed),
        },
    };
    // One that prints speaks of each glaze, whatever its ranges hang on.
    if let Some(known) = known.filter(|_| script.looks_at_no_glaze() && printed.is_empty()) {
        known.get_or_init(|| set.clone());
    }
    let chemistry = match glaze.chemistry() {
        Ok(chemistry) => chemistry,
        Err(why) => {
            let broken = crate::trouble::while_running(&why, &script.source);
            return script.failed(broken.into(), glaze.recipe(), &option.signed);
        }
    };
    if set.ranges.is_empty() {
        return Ok(not_meant_for(script, glaze.recipe(), &option.signed));
    }
    // As the list's author counted, and no iron among them.
    let fluxes = &script.about.fluxes;
    let Some(unity) = &fluxes.unity(&chemistry.moles) else {
        let diagnostic = Diagnostic::error(
            "no-flux",
            "a glaze without flux has no unity formula to hold against limits",
        );
        let failure = ScriptFailure {
            kind: FailureKind::Failed,
            diagnostic,
            cause: None,
        };
        return script.failed(failure, glaze.recipe(), &option.signed);
    };
    let finding =
        |level: Level, subject: &str, value: Option<f64>, range: (Option<f64>, Option<f64>), message: String| Finding {
            script: script.told.script.clone(),
            level,
            subject: subject.into(),
            value,
            low: range.0,
            high: range.1,
            message: message.into(),
            source: script.told.source.clone(),
            line: None,
            signed: Some(option.signed.clone()),
            accepted: None,
        };
    let mut findings = Vec::new();
    for range in &set.ranges {
        let value = range.subject.value(unity, fluxes);
        if value.is_some_and(|value| range.holds(value)) {
            continue;
        }
        let name = range.subject.name();
        let message = format!(
            "{name} {}, {}",
            value.map_or("can't be told".to_owned(), |value| shown_beside(value, range)),
            where_it_lies(range, value)
        );
        findings.push(finding(Level::Caution, name, value, (range.low, range.high), message));
    }
    if findings.is_empty() {
        let message = format!("inside all {} ranges", set.ranges.len());
        findings.push(finding(Level::NothingFound, &set.title, None, (None, None), message));
    }
    Ok(Checked {
        findings,
        printed,
        ..Checked::default()
    })
}

/// The value with as many decimals as it takes to tell it from its bounds.
fn shown_beside(value: f64, range: &Range) -> String {
    let fewest = if value.abs() < 0.1 { 3 } else { 2 };
    let bounds = [range.low, range.high];
    let told_apart = |decimals: &usize| {
        let text = format!("{value:.*}", *decimals);
        !bounds
            .iter()
            .flatten()
            .any(|bound| text.parse() == Ok(*bound) && value != *bound)
    };
    let decimals = (fewest..9).find(told_apart).unwrap_or(9);
    format!("{value:.decimals$}")
}

fn where_it_lies(range: &Range, value: Option<f64>) -> String {
    match (range.low, range.high, value) {
        (Some(low), _, Some(value)) if value < low => format!("below {}", number_text(low)),
        (_, Some(high), Some(value)) if value > high => format!("above {}", number_text(high)),
        (Some(low), Some(high), _) => format!("should lie in {} to {}", number_text(low), number_text(high)),
        (Some(low), None, _) => format!("should be {} at least", number_text(low)),
        (None, Some(high), _) => format!("should be {} at most", number_text(high)),
        (None, None, _) => "anywhere".to_owned(),
    }
}
