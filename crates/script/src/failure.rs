//! How a script can fail its user.

use std::sync::Arc;

use glost_chemistry::diagnostic::Diagnostic;
use glost_core::rules::Finding;

use crate::trouble::Broken;
use crate::watchdog::BROKEN_BOUNDS_EXIT_CODE;

/// What sort of failure it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FailureKind {
    /// The script, or the call, is wrong before anything runs.
    DoesNotLoad,
    /// The script broke its bounds.
    BrokeBounds,
    /// Something in the script went wrong while it ran.
    Failed,
}

/// Why a script has no answer, where the reason isn't the script's fault.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Cause {
    /// Nobody tells what is in this material.
    UnknownMaterial(String),
    /// Nothing is to be had that could come in.
    NothingToSwapTo,
    /// So many newcomers that not all sets of them can be tried.
    TooManySets,
    /// No recipe meets what the script asks for.
    NoRecipe,
}

impl Cause {
    /// The material whose analysis nobody tells, where that is the reason.
    pub fn unknown_material(&self) -> Option<&str> {
        match self {
            Cause::UnknownMaterial(name) => Some(name),
            Cause::NothingToSwapTo | Cause::TooManySets | Cause::NoRecipe => None,
        }
    }
}

/// A script that could not do its work.
#[derive(Debug, Clone)]
pub struct ScriptFailure {
    /// What sort of failure.
    pub kind: FailureKind,
    /// What is wrong, where, and what to do.
    pub diagnostic: Diagnostic,
    /// Why, where that is more than a fault of the script.
    pub cause: Option<Cause>,
    /// What a check had found before: it stands.
    pub found: Arc<Vec<Finding>>,
}

impl ScriptFailure {
    /// The material whose analysis nobody tells, where that is the reason.
    pub fn unknown_material(&self) -> Option<&str> {
        self.cause.as_ref().and_then(Cause::unknown_material)
    }

    /// The exit code of a command that can't go on after it.
    pub fn exit_code(&self) -> i32 {
        match self.kind {
            FailureKind::DoesNotLoad | FailureKind::Failed => 2,
            FailureKind::BrokeBounds => BROKEN_BOUNDS_EXIT_CODE,
        }
    }

    pub(crate) fn does_not_load(diagnostic: Diagnostic) -> ScriptFailure {
        ScriptFailure {
            kind: FailureKind::DoesNotLoad,
            diagnostic,
            cause: None,
            found: Arc::default(),
        }
    }
}

impl From<Broken> for ScriptFailure {
    fn from(broken: Broken) -> ScriptFailure {
        ScriptFailure {
            kind: match broken.bound {
                Some(_) => FailureKind::BrokeBounds,
                None => FailureKind::Failed,
            },
            diagnostic: broken.diagnostic,
            cause: broken.cause,
            found: Arc::default(),
        }
    }
}
