//! Limits: ranges as data, and a glaze held against them.

use std::sync::{Arc, OnceLock};

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::Glaze;
use glost_chemistry::quantity::push_fixed;
use glost_core::rules::{Finding, Level, LimitSet, Range, Subject};
use rhai::{Dynamic, EvalAltResult, Map};

use crate::checking::{Checked, not_meant_for, plain};
use crate::editing::tokens::{Token, tokens};
use crate::failure::{FailureKind, ScriptFailure};
use crate::kinds::Kind;
use crate::language::push_number;
use crate::running::{Asked, call, option_values};
use crate::scene::Scene;
use crate::script::Script;
use crate::sort::Sort;
use crate::trouble::Trouble;
use crate::values::{GlazeValue, OptionsValue, range};

/// The ranges of a table, in the order of a unity formula.
pub(crate) fn ranges(answer: &Dynamic) -> Result<Vec<Range>, Box<EvalAltResult>> {
    ranges_or(answer, &mut None)
}

/// As [`ranges`], with the name of the first that is none.
fn ranges_or(answer: &Dynamic, wrong: &mut Option<String>) -> Result<Vec<Range>, Box<EvalAltResult>> {
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
    for (name, ends) in table.iter() {
        ranges.push(range(name, ends).inspect_err(|_| *wrong = Some(name.to_string()))?);
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
    let mut wrong = None;
    let read = |answer: &Dynamic| ranges_or(answer, &mut wrong);
    let outcome = call(script, scene, Asked::under(option), "limits", arguments, read);
    let (ranges, left) = outcome.map_err(|failure| match &wrong {
        Some(name) => at_the_range(script, name, failure),
        None => failure,
    })?;
    let set = LimitSet {
        name: script.name.clone(),
        title: script.about.title.clone(),
        source: script.about.source.clone(),
        ranges,
        signed: Some(option.signed.clone()),
    };
    Ok((set, left.run.printed))
}

/// A failure at the range that it is about, where the function writes out one by that name.
fn at_the_range(script: &Script, name: &str, failure: ScriptFailure) -> ScriptFailure {
    let all = tokens(&script.source);
    let own = body_of(&all, "limits");
    let is_it = |pair: &&[Token]| (pair[0].word().or(pair[0].text()) == Some(name)) && pair[1].is(':');
    let ranges = own.windows(3).filter(|three| is_it(&&three[..2]) && three[2].is('['));
    let named = own.windows(2).filter(is_it);
    let mut found: Vec<&[Token]> = ranges.collect();
    if found.is_empty() {
        found = named.collect();
    }
    let [pair] = found[..] else { return failure };
    let width = pair[0].to.column.saturating_sub(pair[0].from.column);
    ScriptFailure {
        diagnostic: failure.diagnostic.at(&script.source, pair[0].from, width),
        ..failure
    }
}

/// What stands in a function's braces.
fn body_of<'a>(all: &'a [Token], name: &str) -> &'a [Token] {
    let is_it = |pair: &[Token]| pair[0].is_word("fn") && pair[1].is_word(name);
    let Some(at) = all.windows(2).position(is_it) else {
        return &[];
    };
    let mut depth = 0_usize;
    let ends = |token: &Token| {
        match token.sign() {
            Some('{') => depth += 1,
            Some('}') => depth = depth.saturating_sub(1),
            _ => return false,
        }
        depth == 0
    };
    let end = all[at..].iter().position(ends).map_or(all.len(), |end| at + end);
    &all[at..end]
}

/// Ranges with what findings say of them, made once where they hang on no glaze.
#[derive(Debug)]
pub(crate) struct Held {
    set: LimitSet,
    /// What each range is about, as findings share it.
    names: Vec<Arc<str>>,
    title: Arc<str>,
    inside: Arc<str>,
}

impl Held {
    fn of(set: LimitSet) -> Held {
        Held {
            names: set.ranges.iter().map(|range| range.subject.name().into()).collect(),
            title: set.title.as_str().into(),
            inside: format!("inside all {} ranges", set.ranges.len()).into(),
            set,
        }
    }
}

/// Holds a glaze against limits: a caution for each range that is missed.
pub(crate) fn check(
    script: &Arc<Script>,
    glaze: &GlazeValue,
    scene: &Arc<Scene>,
    option: &OptionsValue,
    known: Option<&OnceLock<Arc<Held>>>,
) -> Result<Checked, ScriptFailure> {
    let (held, printed) = match known.and_then(OnceLock::get) {
        Some(held) => (held.clone(), Vec::new()),
        None => match limits(script, glaze, scene, option) {
            Ok((set, printed)) => (Arc::new(Held::of(set)), printed),
            Err(failure) => return script.failed(failure, glaze.recipe(), &option.signed),
        },
    };
    // One that prints speaks of each glaze, whatever its ranges hang on.
    if let Some(known) = known.filter(|_| script.looks_at_no_glaze() && printed.is_empty()) {
        known.get_or_init(|| held.clone());
    }
    let chemistry = match glaze.chemistry() {
        Ok(chemistry) => chemistry,
        Err(why) => {
            let broken = crate::trouble::while_running(&why, &script.source);
            return script.failed(broken.into(), glaze.recipe(), &option.signed);
        }
    };
    if held.set.ranges.is_empty() {
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
            found: Arc::default(),
        };
        return script.failed(failure, glaze.recipe(), &option.signed);
    };
    let mut findings = Vec::new();
    for (range, name) in held.set.ranges.iter().zip(&held.names) {
        let value = range.subject.value(unity, fluxes);
        if value.is_some_and(|value| range.holds(value)) {
            continue;
        }
        let finding = plain(
            script,
            &option.signed,
            Level::Caution,
            name.clone(),
            missed(range, value),
        );
        findings.push(Finding {
            value,
            low: range.low,
            high: range.high,
            ..finding
        });
    }
    if findings.is_empty() {
        let (title, inside) = (held.title.clone(), held.inside.clone());
        findings.push(plain(script, &option.signed, Level::NothingFound, title, inside));
    }
    Ok(Checked {
        findings,
        printed,
        ..Checked::default()
    })
}

/// What is said of a range that is missed: `SiO2 3.51, above 3.5`.
fn missed(range: &Range, value: Option<f64>) -> Arc<str> {
    let mut text = String::with_capacity(64);
    text.push_str(range.subject.name());
    text.push(' ');
    match value {
        Some(value) => push_beside(&mut text, value, range),
        None => text.push_str("can't be told"),
    }
    text.push_str(", ");
    push_where_it_lies(&mut text, range, value);
    text.into()
}

/// Adds the value with as many decimals as it takes to tell it from its bounds.
fn push_beside(text: &mut String, value: f64, range: &Range) {
    let fewest = if value.abs() < 0.1 { 3 } else { 2 };
    // Two that lie further apart are never written alike.
    let near = |bound: &f64| value != *bound && (value - *bound).abs() <= 0.01;
    let before = text.len();
    for decimals in fewest..=9 {
        text.truncate(before);
        push_fixed(text, value, decimals);
        let bounds = [range.low, range.high].into_iter().flatten();
        let shown = &text[before..];
        if !bounds.filter(near).any(|bound| shown.parse() == Ok(bound)) {
            return;
        }
    }
}

fn push_where_it_lies(text: &mut String, range: &Range, value: Option<f64>) {
    let mut say = |before: &str, bound: f64| {
        text.push_str(before);
        push_number(text, bound);
    };
    match (range.low, range.high, value) {
        (Some(low), _, Some(value)) if value < low => say("below ", low),
        (_, Some(high), Some(value)) if value > high => say("above ", high),
        (Some(low), Some(high), _) => {
            say("should lie in ", low);
            say(" to ", high);
        }
        (Some(low), None, _) => {
            say("should be ", low);
            text.push_str(" at least");
        }
        (None, Some(high), _) => {
            say("should be ", high);
            text.push_str(" at most");
        }
        (None, None, _) => text.push_str("anywhere"),
    }
}
