//! The tester that `test_*` functions are handed: it runs the script itself
//! on chemistry given inline, on a recipe, or on a glaze of the studio.

use std::sync::Arc;

use indexmap::IndexMap;
use rhai::{Array, Dynamic, EvalAltResult, Map, NativeCallContext};

use crate::failure::Cause;
use crate::options;
use crate::scene::{self, Request, Scene};
use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;
use crate::trouble::{Trouble, trouble};

use super::claims;
use super::findings::{self, FindingsValue};
use super::given::{glaze_from, request, studio_from};
use super::{GlazeValue, OptionsValue, StudioValue, no_such_name};

type Raised = Box<EvalAltResult>;

/// The tester, with what it was told to set and ask. All that it runs takes
/// one value: a script's own functions of two would come before its methods.
#[derive(Debug, Clone, Default)]
pub(crate) struct TesterValue {
    set: Arc<Map>,
    asked: Arc<Map>,
    /// The studio that a check sees; else that of the test.
    among: Option<Arc<Scene>>,
}

/// Runs the script's own `check` on a glaze.
fn check(context: &NativeCallContext, tester: &TesterValue, given: &Dynamic) -> Result<FindingsValue, Raised> {
    match &tester.among {
        None => check_here(context, given, &tester.set),
        Some(studio) => in_scene(studio, || check_here(context, given, &tester.set)),
    }
}

fn check_here(context: &NativeCallContext, given: &Dynamic, set: &Map) -> Result<FindingsValue, Raised> {
    let glaze = glaze_from(given)?;
    let option = own_options(set)?;
    let before = scene::present(|run| std::mem::take(&mut run.findings))?;
    let outcome = context.call_fn::<Dynamic>("check", (glaze, option));
    let found = scene::present(|run| std::mem::replace(&mut run.findings, before))?;
    let answer = match outcome {
        Ok(answer) => answer,
        Err(error) => return unknown_becomes_a_finding(error),
    };
    crate::kind::nothing_back("check", &answer)?;
    Ok(FindingsValue(found.into()))
}

/// A check that meets a powder of unknown analysis says *not checked*, as it
/// does when it runs for real.
fn unknown_becomes_a_finding(error: Raised) -> Result<FindingsValue, Raised> {
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
        (None, Some(name)) => Ok(FindingsValue(
            [crate::checking::not_checked(
                &script,
                &script.signed(Vec::new()),
                &name,
                &broken.diagnostic.message,
                None,
            )]
            .into(),
        )),
        _ => Err(error),
    }
}

/// Does something where the run looks at another scene.
fn in_scene<R>(scene: &Arc<Scene>, work: impl FnOnce() -> Result<R, Raised>) -> Result<R, Raised> {
    let before = scene::present(|run| std::mem::replace(&mut run.scene, scene.clone()))?;
    let outcome = work();
    scene::present(|run| run.scene = before)?;
    outcome
}

/// The script's options, some of them set in the test.
fn own_options(set: &Map) -> Result<OptionsValue, Raised> {
    let script = scene::present(|run| run.script.clone())?;
    let mut values: IndexMap<String, Dynamic> = options::defaults(&script.about.options);
    for (name, value) in set {
        let value = options::checked(&script.about.options, name, value).map_err(|why| {
            Trouble::new(why.code, why.message.clone())
                .maybe_help(why.help.clone())
                .raise()
        })?;
        values.insert(name.to_string(), value);
    }
    Ok(OptionsValue {
        values: Arc::new(values),
        signed: script.signed(Vec::new()),
    })
}

fn with_request<R>(request: Request, work: impl FnOnce() -> Result<R, Raised>) -> Result<R, Raised> {
    let before = scene::present(|run| std::mem::replace(&mut run.request, Arc::new(request)))?;
    let outcome = work();
    scene::present(|run| run.request = before)?;
    outcome
}

fn swap(context: &NativeCallContext, tester: &TesterValue, given: &Dynamic) -> Result<Dynamic, Raised> {
    let (glaze, option) = (glaze_from(given)?, own_options(&tester.set)?);
    let answer = with_request(request(&tester.asked)?, || {
        context.call_fn::<Dynamic>("swap", (glaze, option))
    })?;
    let scene = scene::scene()?;
    let found = super::recipes(&answer)?;
    Ok(Dynamic::from(
        found
            .into_iter()
            .map(|glaze| Dynamic::from(GlazeValue::new(glaze, &scene)))
            .collect::<Array>(),
    ))
}

fn blend(context: &NativeCallContext, tester: &TesterValue, ends: &Array) -> Result<Dynamic, Raised> {
    let ends: Array = ends
        .iter()
        .map(|end| glaze_from(end).map(Dynamic::from))
        .collect::<Result<_, _>>()?;
    let request = request(&tester.asked)?;
    let option = own_options(&tester.set)?;
    let count = ends.len();
    let answer = with_request(request, || context.call_fn::<Dynamic>("blend", (ends, option)))?;
    let planned = crate::blending::planned(&answer, count)?;
    let shares = |tile: &crate::blending::TileShares| -> Dynamic {
        Dynamic::from(tile.shares.iter().map(|share| Dynamic::from(*share)).collect::<Array>())
    };
    Ok(Dynamic::from(planned.tiles().map(shares).collect::<Array>()))
}

/// Runs the script's own `run` over glazes, and tables, given inline.
fn run(context: &NativeCallContext, tester: &TesterValue, given: &Dynamic) -> Result<Map, Raised> {
    let script = scene::present(|run| run.script.clone())?;
    let inner = studio_from(given, &script.about.tables)?;
    let option = own_options(&tester.set)?;
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
    crate::kind::nothing_back("run", &answer?)?;
    Ok(super::reporting::as_table(&report))
}

fn limits(context: &NativeCallContext, tester: &TesterValue, given: &Dynamic) -> Result<Map, Raised> {
    let (glaze, option) = (glaze_from(given)?, own_options(&tester.set)?);
    let answer = context.call_fn::<Dynamic>("limits", (glaze, option))?;
    crate::limiting::ranges(&answer)?;
    answer
        .try_cast::<Map>()
        .ok_or_else(|| trouble("stray-value", "`limits` should give back a table of ranges"))
}

pub(super) fn register(shelf: &mut Shelf) {
    shelf.module.set_custom_type::<TesterValue>(Sort::Tester.words());
    running(shelf);
    claims::register(shelf);
    findings::register(shelf);
    shelf.silent(
        "index$get$",
        |_: &mut TesterValue, name: &str| -> Result<Dynamic, Raised> {
            Err(no_such_name(
                Sort::Tester,
                name,
                crate::reference::names_of(Sort::Tester),
            ))
        },
    );
}

fn running(shelf: &mut Shelf) {
    const OWNER: Sort = Sort::Tester;
    shelf.add(
        Entry::method(
            OWNER,
            "glaze",
            "given",
            Sort::Glaze,
            "A glaze from a table of oxides in moles, a recipe `#{ parts: #{ ... } }`, or a name in the studio.",
        )
        .example("t.glaze(#{ Na2O: 0.3, CaO: 0.7, Al2O3: 0.4, SiO2: 3, cone: \"6\" })"),
        |_: &mut TesterValue, given: Dynamic| glaze_from(&given),
    );
    shelf.add(
        Entry::method(
            OWNER,
            "with",
            "option",
            Sort::Tester,
            "A tester that sets some options: `#{ name: value }`.",
        )
        .example("t.with(#{ alkali_most: 0.25 }).check(glaze)"),
        |tester: &mut TesterValue, set: Map| TesterValue {
            set: Arc::new(set),
            ..tester.clone()
        },
    );
    shelf.add(
        Entry::method(
            OWNER,
            "asked",
            "request",
            Sort::Tester,
            "A tester that asks for something: `#{ out: [...], with: [...], at_most: 2, show: 3, steps: 5, rows: 4, columns: 3, add: [\"silica 0..9 %\"] }`.",
        )
        .example("t.asked(#{ steps: 5 }).blend(ends)"),
        |tester: &mut TesterValue, asked: Map| TesterValue {
            asked: Arc::new(asked),
            ..tester.clone()
        },
    );
    shelf.add(
        Entry::method(
            OWNER,
            "among",
            "studio",
            Sort::Tester,
            "A tester whose checks see a studio given as for `t.run`: its glazes, and its `clays` and `notes` with the keys of their files.",
        )
        .example("t.among(#{ clays: [#{ clay: \"buff\", absorption: 2 }], notes: [#{ glaze: \"a\", clay: \"buff\", age_days: 400, pieces: 20, crazed: 0 }] }).check(glaze)"),
        |tester: &mut TesterValue, studio: Dynamic| -> Result<TesterValue, Raised> {
            Ok(TesterValue {
                among: Some(Arc::new(studio_from(&studio, &[])?)),
                ..tester.clone()
            })
        },
    );
    shelf.add(
        Entry::method(
            OWNER,
            "check",
            "glaze",
            Sort::Findings,
            "What this script's `check` finds on a glaze, given as for `t.glaze`.",
        ),
        |context: NativeCallContext, tester: &mut TesterValue, given: Dynamic| check(&context, tester, &given),
    );
    shelf.add(
        Entry::method(
            OWNER,
            "limits",
            "glaze",
            Sort::Table,
            "The ranges that this script's `limits` gives for a glaze.",
        ),
        |context: NativeCallContext, tester: &mut TesterValue, given: Dynamic| limits(&context, tester, &given),
    );
    shelf.add(
        Entry::method(
            OWNER,
            "swap",
            "glaze",
            Sort::List(&Sort::Glaze),
            "The recipes that this script's `swap` gives; say with `t.asked` what is gone.",
        ),
        |context: NativeCallContext, tester: &mut TesterValue, given: Dynamic| swap(&context, tester, &given),
    );
    shelf.add(
        Entry::method(
            OWNER,
            "blend",
            "ends",
            Sort::List(&Sort::Any),
            "The shares of each tile that this script's `blend` plans.",
        ),
        |context: NativeCallContext, tester: &mut TesterValue, ends: Array| blend(&context, tester, &ends),
    );
    shelf.add(
        Entry::method(
            OWNER,
            "run",
            "studio",
            Sort::Table,
            "What this script's `run` puts out over a list of glazes, or `#{ glazes: [...], tables: #{ name: [#{ column: value }] }, materials: #{ name: #{ price: \"8 EUR per 5 kg\", stock: 500 } } }`: `said` and `tables`, each with `title` and `rows`.",
        ),
        |context: NativeCallContext, tester: &mut TesterValue, given: Dynamic| run(&context, tester, &given),
    );
}
