//! Checks compiled, for glazes by the thousand.
//!
//! The engine walks a script's text node by node, with a value that may be anything, a look
//! for the function that is meant and a step counted at each. Here the same text becomes a
//! tree whose names are places (variables, options, properties) and whose values are borrowed
//! from the glaze. What comes out is the engine's to the letter, or nothing comes out:
//!
//! - A script with anything in it that isn't known here is left to the engine as a whole.
//! - Where something odd happens on the way (a kind that doesn't fit, an error, a sum that
//!   overflows, a text that grows, a bound that comes near), what was found so far is thrown
//!   away, and the engine runs the script on that glaze: its answer counts, and its error.
//!
//! That can be done because a check changes nothing: it looks, and says what it found.
//!
//! **What is known.** `let`, `=`, `+=`, `-=`, `*=` on variables and on the keys of a finding's
//! table; `if`, `switch` on texts, `for` over lines of a recipe and lists, `break`,
//! `continue`, `return`; the script's own functions, unless they call themselves; numbers,
//! texts, templates, lists that are written out, tables with a finding's keys, constants;
//! operators but `**`, `??`, `in`, `..`; properties ([`properties`]), functions and methods
//! ([`calls`]), `within` with ranges that are written out, and what is said of the glaze.
//! Not known: `while`, `loop`, closures, `try`, `throw`, libraries, `print`, lists and tables
//! that grow, other glazes, pieces and clays by name, the optimiser.
//!
//! **To add a function or a property** write its line in [`calls::NATIVES`] or in
//! [`properties`]; the tests beside them hold each against the engine.
//!
//! **Bounds.** Nothing here goes on for ever: a loop goes through something that is there.
//! Steps are counted by function and turn of a loop, never fewer than the engine's; the run
//! that might break a bound is the engine's. The clock isn't read: a step counts as a
//! nanosecond of what the command may take, which is more than it lasts.

mod calls;
mod compiler;
mod expressions;
mod operators;
mod program;
mod properties;
mod quiet;
mod saying;
mod switches;
mod value;
mod walk;

use std::sync::atomic::{AtomicU32, Ordering};
use std::sync::{Arc, LazyLock};
use std::time::Duration;

use glost_chemistry::oxides::{OXIDE_COUNT, Oxide};
use glost_core::rules::Finding;

use crate::bounds::{self, Bounds, Metered};
use crate::command;
use crate::kinds::Kind;
use crate::scene::Scene;
use crate::script::Script;
use crate::values::{GlazeValue, OptionsValue};

use program::Program;
use properties::Seen;
use value::Constant;
use walk::{Told, Walk};

/// A script that was left to the engine so often is its own from then on.
const LEFT_MOST: u32 = 200;
/// Bounds below these are looked after by the engine alone.
const MEMORY_LEAST_BYTES: usize = 1 << 20;
const TIME_LEAST: Duration = Duration::from_millis(50);

/// A compiled check.
#[derive(Debug)]
pub(crate) struct Compiled {
    program: Program,
    /// On how many glazes it was left to the engine.
    left: AtomicU32,
}

/// The names of oxides as findings share them.
fn oxide_names() -> &'static [Arc<str>; OXIDE_COUNT] {
    static NAMES: LazyLock<[Arc<str>; OXIDE_COUNT]> = LazyLock::new(|| Oxide::ALL.map(|oxide| oxide.formula().into()));
    &NAMES
}

impl Compiled {
    /// `None` where the script is none for here.
    pub(crate) fn of(script: &Script) -> Option<Compiled> {
        if script.about.kind != Kind::CHECK {
            return None;
        }
        let _metered = Metered::start(Bounds::default());
        let program = compiler::compile(script)?;
        let left = AtomicU32::new(0);
        Some(Compiled { program, left })
    }

    pub(crate) fn left_to_the_engine(&self) -> usize {
        self.left.load(Ordering::Relaxed) as usize
    }

    /// Adds what the script finds on a glaze; false where the engine has to look, and nothing
    /// was added.
    pub(crate) fn find(
        &self,
        script: &Script,
        glaze: &GlazeValue,
        scene: &Scene,
        option: &Options,
        findings: &mut Vec<Finding>,
    ) -> bool {
        let bounds = scene.bounds_of_a_run();
        let narrow = bounds.memory_bytes < MEMORY_LEAST_BYTES || bounds.time < TIME_LEAST;
        if narrow || self.left.load(Ordering::Relaxed) > LEFT_MOST || command::left().is_none() {
            return false;
        }
        let before = findings.len();
        let mut tell = |told: Told| {
            let [value, low, high] = told.amounts;
            findings.push(Finding {
                script: script.told.script.clone(),
                level: told.level,
                subject: told.subject,
                value,
                low,
                high,
                message: told.message.into(),
                source: script.told.source.clone(),
                line: told.line,
                signed: Some(option.own.signed.clone()),
                accepted: None,
                broke: None,
            });
        };
        let seen = Seen {
            glaze,
            scene,
            options: &option.values,
        };
        let room = (bounds.operations, bounds.output_bytes);
        let mut walk = Walk::new(&self.program, seen, room, &mut tell);
        let done = walk.run().is_ok();
        bounds::took(bounds.operations - walk.steps_left);
        if !done {
            findings.truncate(before);
            self.left.fetch_add(1, Ordering::Relaxed);
        }
        done
    }
}

/// A script's options under their settings, read once for all glazes.
#[derive(Debug, Clone)]
pub(crate) struct Options {
    own: OptionsValue,
    values: Vec<Constant>,
}

impl Options {
    /// `None` where one of them is of a kind that isn't known here.
    pub(crate) fn of(own: &OptionsValue) -> Option<Options> {
        let values = own.values.values().map(Constant::of).collect::<Option<_>>()?;
        Some(Options {
            own: own.clone(),
            values,
        })
    }
}

#[cfg(test)]
mod tests;
