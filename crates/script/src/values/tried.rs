//! How a test runs the script itself, kind by kind: on chemistry given inline, on a
//! recipe, or on a glaze of the studio.

use std::sync::Arc;

use glost_core::rules::Finding;
use rhai::{Array, Dynamic, EvalAltResult, NativeCallContext};

use crate::failure::Cause;
use crate::kinds::{Kind, nothing_back};
use crate::scene::{self, Request};
use crate::trouble::trouble;

use super::findings::FindingsValue;
use super::given::{glaze_from, studio_from};
use super::{GlazeValue, StudioValue, TesterValue};

type Raised = Box<EvalAltResult>;

/// A glaze as a test gives it.
pub(crate) fn glaze(given: &Dynamic) -> Result<GlazeValue, Raised> {
    glaze_from(given)
}

/// Runs the script's own `check` on a glaze.
pub(crate) fn check(context: &NativeCallContext, tester: &TesterValue, given: &Dynamic) -> Result<Dynamic, Raised> {
    let found = tester.in_its_scene(|| check_here(context, tester, given))?;
    Ok(Dynamic::from(found))
}

fn check_here(context: &NativeCallContext, tester: &TesterValue, given: &Dynamic) -> Result<FindingsValue, Raised> {
    let glaze = glaze_from(given)?;
    let option = tester.own_options()?;
    let script = scene::present(|run| run.script.clone())?;
    if !script.about.only_with.may_be_in(&glaze) {
        return Ok(FindingsValue(Arc::new([])));
    }
    let before = scene::present(|run| std::mem::take(&mut run.findings))?;
    let outcome = context.call_fn::<Dynamic>("check", (glaze, option));
    let mut found = scene::present(|run| std::mem::replace(&mut run.findings, before))?;
    let answer = match outcome {
        Ok(answer) => answer,
        Err(error) => {
            found.push(unknown_becomes_a_finding(error)?);
            return Ok(FindingsValue(found.into()));
        }
    };
    nothing_back(Kind::CHECK, &answer)?;
    Ok(FindingsValue(found.into()))
}

/// A check that meets a powder of unknown analysis says *not checked*, as it
/// does when it runs for real.
fn unknown_becomes_a_finding(error: Raised) -> Result<Finding, Raised> {
    let script = scene::present(|run| run.script.clone())?;
    let broken = crate::trouble::while_running(&error, &script.source);
    match (
        broken.bound,
        broken
            .cause
            .as_ref()
            .and_then(Cause::unknown_material)
            .map(str::to_owned),
    ) {
        (None, Some(name)) => Ok(crate::checking::not_checked(
            &script,
            &script.signed(Vec::new()),
            &name,
            &broken.diagnostic.message,
            None,
        )),
        _ => Err(error),
    }
}

fn with_request<R>(request: Request, work: impl FnOnce() -> Result<R, Raised>) -> Result<R, Raised> {
    let before = scene::present(|run| std::mem::replace(&mut run.request, Arc::new(request)))?;
    let outcome = work();
    scene::present(|run| run.request = before)?;
    outcome
}

pub(crate) fn swap(context: &NativeCallContext, tester: &TesterValue, given: &Dynamic) -> Result<Dynamic, Raised> {
    let (glaze, option) = (tester.given(given)?, tester.own_options()?);
    let found = tester.in_its_scene(|| {
        with_request(tester.request()?, || {
            super::recipes(&context.call_fn::<Dynamic>("swap", (glaze, option))?)
        })
    })?;
    let scene = scene::scene()?;
    Ok(Dynamic::from(
        found
            .into_iter()
            .map(|one| Dynamic::from(GlazeValue::proposed(one.glaze, &scene, one.why)))
            .collect::<Array>(),
    ))
}

pub(crate) fn blend(context: &NativeCallContext, tester: &TesterValue, given: &Dynamic) -> Result<Dynamic, Raised> {
    let wrong = || trouble("wrong-kind", "`t.blend` takes a list of glazes");
    let ends = given.read_lock::<Array>().ok_or_else(wrong)?;
    let ends: Array = ends
        .iter()
        .map(|end| tester.given(end).map(Dynamic::from))
        .collect::<Result<_, _>>()?;
    let request = tester.in_its_scene(|| tester.request())?;
    let option = tester.own_options()?;
    let count = ends.len();
    let answer =
        tester.in_its_scene(|| with_request(request, || context.call_fn::<Dynamic>("blend", (ends, option))))?;
    let planned = crate::blending::planned(&answer, count)?;
    let shares = |tile: &crate::blending::TileShares| -> Dynamic {
        Dynamic::from(tile.shares.iter().map(|share| Dynamic::from(*share)).collect::<Array>())
    };
    Ok(Dynamic::from(planned.tiles().map(shares).collect::<Array>()))
}

/// Runs the script's own `run` over glazes, and tables, given inline.
pub(crate) fn run(context: &NativeCallContext, tester: &TesterValue, given: &Dynamic) -> Result<Dynamic, Raised> {
    let script = scene::present(|run| run.script.clone())?;
    let inner = tester.in_its_scene(|| studio_from(given, &script.about.tables))?;
    let option = tester.own_options()?;
    let (before, earlier) = scene::present(|run| {
        (
            std::mem::replace(&mut run.scene, Arc::new(inner)),
            std::mem::take(&mut run.report),
        )
    })?;
    let answer = context.call_fn::<Dynamic>("run", (StudioValue, option));
    let report = scene::present(|run| {
        run.scene = before;
        std::mem::replace(&mut run.report, earlier)
    })?;
    nothing_back(Kind::RUN, &answer?)?;
    Ok(Dynamic::from(super::reporting::as_table(&report)))
}

pub(crate) fn limits(context: &NativeCallContext, tester: &TesterValue, given: &Dynamic) -> Result<Dynamic, Raised> {
    let (glaze, option) = (tester.given(given)?, tester.own_options()?);
    let answer = tester.in_its_scene(|| context.call_fn::<Dynamic>("limits", (glaze, option)))?;
    crate::limiting::ranges(&answer)?;
    Ok(answer)
}
