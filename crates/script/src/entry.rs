//! The entry function of a script, called again and again: what the engine found out on
//! the way (which function a call means) is kept from one call to the next.

use std::fmt;
use std::sync::{Mutex, PoisonError};

use rhai::{AST, Caches, Dynamic, Engine, EvalAltResult, FuncArgs, GlobalRuntimeState, Position, Scope};

use crate::kinds::Kind;

/// What is handed over, by the names that the call below reads.
const HANDED: [&str; 3] = ["handed_0", "handed_1", "handed_2"];

/// The call of an entry function.
pub(crate) struct Entry {
    call: AST,
    /// What earlier calls left, one for each thread that is under way.
    warm: Mutex<Vec<Warm>>,
}

struct Warm {
    state: GlobalRuntimeState,
    caches: Caches,
}

impl fmt::Debug for Entry {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an entry")
    }
}

impl Entry {
    /// The call of a kind's entry function; `None` where the engine can't read it, and the
    /// slow way serves.
    pub(crate) fn of(kind: Kind, engine: &Engine) -> Option<Entry> {
        let handed = HANDED.get(..kind.parameters().len())?;
        let mut scope = Scope::new();
        for name in handed {
            scope.push(*name, Dynamic::UNIT);
        }
        let call = format!("{}({})", kind.word(), handed.join(", "));
        Some(Entry {
            call: engine.compile_with_scope(&scope, call).ok()?,
            warm: Mutex::default(),
        })
    }

    fn keep(&self) -> std::sync::MutexGuard<'_, Vec<Warm>> {
        self.warm.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Calls it. What a call that goes wrong leaves isn't used again.
    pub(crate) fn call(
        &self,
        engine: &Engine,
        script: &AST,
        arguments: impl FuncArgs,
    ) -> Result<Dynamic, Box<EvalAltResult>> {
        let mut values: Vec<Dynamic> = Vec::with_capacity(HANDED.len());
        arguments.parse(&mut values);
        let mut scope = Scope::new();
        for (name, value) in HANDED.into_iter().zip(values) {
            scope.push_dynamic(name, value);
        }
        let known = self.keep().pop();
        let mut warm = known.unwrap_or_else(|| Warm::new(engine, script));
        #[allow(deprecated)] // not deprecated, but marked so as the engine's own unstable door
        let answer = engine.eval_statements_raw(&mut warm.state, &mut warm.caches, &mut scope, self.call.statements());
        let answer = answer.map_err(in_the_script)?;
        self.keep().push(warm);
        Ok(answer)
    }
}

/// An error as the script's own: the call above stands in no file, so its place is none.
#[allow(clippy::boxed_local, reason = "the engine hands its errors in boxes")]
fn in_the_script(error: Box<EvalAltResult>) -> Box<EvalAltResult> {
    let mut inner = match *error {
        EvalAltResult::ErrorInFunctionCall(_, _, inner, _) => inner,
        other => Box::new(other),
    };
    // No function's body begins where a text does.
    if inner.position() == Position::new(1, 1) {
        inner.clear_position();
    }
    inner
}

impl Warm {
    fn new(engine: &Engine, script: &AST) -> Warm {
        let mut state = engine.new_global_runtime_state();
        state.lib.push(script.shared_lib().clone());
        state.source = script.source().map(Into::into);
        Warm {
            state,
            caches: Caches::new(),
        }
    }
}
