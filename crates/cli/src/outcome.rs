//! What a command ends with, and its exit code.

use glost_chemistry::diagnostic::Diagnostic;
use glost_script::ScriptFailure;
use serde_json::Value;

/// What goes to stdout.
#[derive(Debug)]
pub(crate) struct Answer {
    pub(crate) text: String,
    /// The text is a page, a script or a schema: not a sign of it is moved.
    pub(crate) verbatim: bool,
    /// As it is printed.
    pub(crate) json: String,
    /// The answer is no: exit 1.
    pub(crate) says_no: bool,
    /// It left out what it should have read: exit 2.
    pub(crate) is_incomplete: bool,
    /// A script broke its bounds, the others answered: exit 3.
    pub(crate) broke_bounds: bool,
}

impl Answer {
    pub(crate) fn yes(text: String, json: Value) -> Answer {
        Answer {
            text,
            verbatim: false,
            json: pretty(&json),
            says_no: false,
            is_incomplete: false,
            broke_bounds: false,
        }
    }
}

/// JSON as it is printed.
pub(crate) fn pretty(json: &Value) -> String {
    serde_json::to_string_pretty(json).unwrap_or_default()
}

/// Why there is no answer to print.
#[derive(Debug)]
pub(crate) enum Failure {
    /// The input or the call is wrong: exit 2.
    Wrong(Vec<Diagnostic>),
    /// A script broke its bounds: exit 3.
    BrokeBounds(Diagnostic),
    /// Something in Glost itself went wrong: exit 4.
    OurFault(Diagnostic),
    /// All is written already; only the exit code is left.
    Written(u8),
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

impl Failure {
    pub(crate) fn exit_code(&self) -> u8 {
        match self {
            Failure::Wrong(_) => 2,
            Failure::BrokeBounds(_) => 3,
            Failure::OurFault(_) => 4,
            Failure::Written(code) => *code,
        }
    }

    pub(crate) fn diagnostics(&self) -> &[Diagnostic] {
        match self {
            Failure::Wrong(diagnostics) => diagnostics,
            Failure::BrokeBounds(diagnostic) | Failure::OurFault(diagnostic) => std::slice::from_ref(diagnostic),
            Failure::Written(_) => &[],
        }
    }
}

impl From<glost_desk::Failure> for Failure {
    fn from(failure: glost_desk::Failure) -> Failure {
        match failure {
            glost_desk::Failure::Wrong(diagnostics) => Failure::Wrong(diagnostics),
            // Both end with exit code 3: what is run isn't what was trusted.
            glost_desk::Failure::BrokeBounds(diagnostic) | glost_desk::Failure::Tampered(diagnostic) => {
                Failure::BrokeBounds(diagnostic)
            }
            glost_desk::Failure::OurFault(diagnostic) => Failure::OurFault(diagnostic),
        }
    }
}

impl From<ScriptFailure> for Failure {
    fn from(failure: ScriptFailure) -> Failure {
        glost_desk::Failure::from(failure).into()
    }
}

pub(crate) type Outcome = Result<Answer, Failure>;
