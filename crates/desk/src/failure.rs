//! Why there is no answer.

use std::fmt::Display;

use glost_chemistry::diagnostic::Diagnostic;
use glost_script::{FailureKind, ScriptFailure};

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq)]
pub enum Failure {
    /// The input or the call is wrong: exit code 2.
    Wrong(Vec<Diagnostic>),
    /// A script broke its bounds: exit code 3.
    BrokeBounds(Diagnostic),
    /// A package differs from its lock: exit code 3.
    Tampered(Diagnostic),
    /// Something in Glost itself went wrong: exit code 4.
    OurFault(Diagnostic),
}

impl Failure {
    /// An inner fault: `doing` says where it happened and `what` did, in the line
    /// that a report needs.
    pub fn our_fault(doing: &str, what: impl Display) -> Failure {
        let version = env!("CARGO_PKG_VERSION");
        Failure::OurFault(
            Diagnostic::error("our-fault", format!("{doing} failed inside Glost: {what}")).help(format!(
                "this is our fault, not yours; please report this line: glost {version}, {doing}: {what}"
            )),
        )
    }

    /// The exit code that says so.
    pub fn exit_code(&self) -> u8 {
        match self {
            Failure::Wrong(_) => 2,
            Failure::BrokeBounds(_) | Failure::Tampered(_) => 3,
            Failure::OurFault(_) => 4,
        }
    }

    /// What is wrong, the first thing first.
    pub fn diagnostics(&self) -> &[Diagnostic] {
        match self {
            Failure::Wrong(diagnostics) => diagnostics,
            Failure::BrokeBounds(diagnostic) | Failure::Tampered(diagnostic) | Failure::OurFault(diagnostic) => {
                std::slice::from_ref(diagnostic)
            }
        }
    }
}

impl From<Diagnostic> for Failure {
    fn from(diagnostic: Diagnostic) -> Failure {
        Failure::Wrong(vec![diagnostic])
    }
}

impl From<Vec<Diagnostic>> for Failure {
    fn from(diagnostics: Vec<Diagnostic>) -> Failure {
        Failure::Wrong(diagnostics)
    }
}

impl From<ScriptFailure> for Failure {
    fn from(failure: ScriptFailure) -> Failure {
        match failure.kind {
            FailureKind::BrokeBounds => Failure::BrokeBounds(failure.diagnostic),
            FailureKind::DoesNotLoad | FailureKind::Failed => Failure::Wrong(vec![failure.diagnostic]),
        }
    }
}
