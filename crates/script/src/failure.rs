//! How a script can fail its user.

use glost_chemistry::diagnostic::Diagnostic;

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

/// A script that could not do its work.
#[derive(Debug, Clone)]
pub struct ScriptFailure {
    /// What sort of failure.
    pub kind: FailureKind,
    /// What is wrong, where, and what to do.
    pub diagnostic: Diagnostic,
    /// The material whose analysis nobody tells, where that is the reason.
    pub unknown_material: Option<String>,
}

impl ScriptFailure {
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
            unknown_material: None,
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
            unknown_material: broken.unknown_material,
        }
    }
}
