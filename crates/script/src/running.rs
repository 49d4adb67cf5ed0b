//! Calls one function of a script inside its bounds.

use std::sync::{Arc, LazyLock};

use glost_chemistry::diagnostic::Diagnostic;
use glost_core::rules::Signature;
use rhai::{CallFnOptions, Dynamic, EvalAltResult, FuncArgs, Scope};

use crate::bounds::{self, Bound, Metered};
use crate::editing::endless_loop;
use crate::failure::ScriptFailure;
use crate::options;
use crate::report::Report;
use crate::scene::{Request, Run, Scene, Solved, UnderWay};
use crate::script::{Script, at_function};
use crate::thread::on_script_thread;
use crate::trouble::{Broken, while_running};
use crate::values::OptionsValue;

/// What a run left behind beside its answer.
pub(crate) struct Left {
    pub(crate) run: Run,
}

/// What is asked of a run beside its arguments.
pub(crate) struct Asked {
    pub(crate) request: Arc<Request>,
    /// What its answers are signed with.
    pub(crate) signed: Arc<Signature>,
}

impl Asked {
    /// Nothing but an answer under these options.
    pub(crate) fn under(option: &OptionsValue) -> Asked {
        static NONE: LazyLock<Arc<Request>> = LazyLock::new(Arc::default);
        Asked {
            request: NONE.clone(),
            signed: option.signed.clone(),
        }
    }

    /// A request under these options.
    pub(crate) fn that(request: Request, option: &OptionsValue) -> Asked {
        Asked {
            request: Arc::new(request),
            signed: option.signed.clone(),
        }
    }
}

/// The options of a script with what a user set.
pub(crate) fn option_values(script: &Script, settings: &[(String, String)]) -> Result<OptionsValue, ScriptFailure> {
    let in_force = options::with_settings(&script.about.options, settings).map_err(ScriptFailure::does_not_load)?;
    Ok(OptionsValue {
        values: Arc::new(in_force.values),
        signed: script.signed(in_force.set),
    })
}

/// Calls a function and hands its answer to `read` while the run is still on,
/// so that what `read` complains about has a place too.
pub(crate) fn call<A: FuncArgs + Send, R: Send>(
    script: &Arc<Script>,
    scene: &Arc<Scene>,
    asked: Asked,
    function: &str,
    arguments: A,
    read: impl FnOnce(&Dynamic) -> Result<R, Box<EvalAltResult>> + Send,
) -> Result<(R, Left), ScriptFailure> {
    let outcome = on_script_thread(|| {
        let _metered = Metered::start(scene.bounds_of_a_run());
        let under_way = UnderWay::begin(Run {
            script: script.clone(),
            scene: scene.clone(),
            request: asked.request,
            signed: asked.signed,
            findings: Vec::new(),
            printed: Vec::new(),
            failures: Vec::new(),
            claims: 0,
            why: None,
            caught: Vec::new(),
            solved: Solved::default(),
            report: Report::default(),
        });
        let answer = enter(script, function, arguments).and_then(|answer| {
            let answer = answer.flatten();
            // A broken bound stays broken, even where the script caught the error.
            bounds::charge_or_end(0)?;
            read(&answer)
        });
        // While the run is still on, which knows what was caught and thrown on.
        let answer = answer.map_err(|error| while_running(&error, &script.source));
        let run = under_way.end();
        match (answer, run) {
            (Ok(read), Some(run)) => Ok((read, Left { run })),
            (Err(broken), run) => {
                // What it printed on its way tells how it came there; what it found stands.
                let (printed, found) = run.map(|run| (run.printed, run.findings)).unzip();
                scene.printed.keep(printed.into_iter().flatten());
                let broken = place_in_function(broken, function, script);
                Err(ScriptFailure {
                    found: Arc::new(found.into_iter().flatten().collect()),
                    ..broken.into()
                })
            }
            (Ok(_), None) => Err(gave_up("the run was lost", function, script).into()),
        }
    });
    match outcome {
        Ok(outcome) => outcome,
        Err(why) => Err(gave_up(&why, function, script).into()),
    }
}

/// Calls a function of the script; its entry function by a way that stays warm.
fn enter<A: FuncArgs>(script: &Script, function: &str, arguments: A) -> Result<Dynamic, Box<EvalAltResult>> {
    match &script.entry {
        Some(entry) if function == script.about.kind.word() => entry.call(&script.engine, &script.ast, arguments),
        _ => script.engine.call_fn_with_options::<Dynamic>(
            CallFnOptions::new().eval_ast(false),
            &mut Scope::new(),
            &script.ast,
            function,
            arguments,
        ),
    }
}

fn gave_up(why: &str, function: &str, script: &Script) -> Broken {
    let diagnostic = Diagnostic::error(
        "script-engine",
        format!("the script engine gave up on this script: {why}"),
    );
    Broken {
        bound: Some(Bound::Engine),
        diagnostic: at_function(diagnostic, function, &script.source),
        cause: None,
    }
}

/// `loop`, `while`.
const ENDLESS_WIDTH: usize = 4;

/// What has no place of its own is put on the loop that nothing ends, else on the function.
fn place_in_function(broken: Broken, function: &str, script: &Script) -> Broken {
    if broken.diagnostic.place.is_some() {
        return broken;
    }
    let endless = match broken.bound {
        Some(Bound::Operations | Bound::Time | Bound::Command) => endless_loop(&script.source, function),
        _ => None,
    };
    Broken {
        diagnostic: match endless {
            Some(mark) => broken.diagnostic.at(&script.source, mark, ENDLESS_WIDTH),
            None => at_function(broken.diagnostic, function, &script.source),
        },
        ..broken
    }
}
