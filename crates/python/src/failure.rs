//! What went wrong, as Python is told it.

use glost_chemistry::diagnostic::Diagnostic;
use glost_desk::Failure;
use pyo3::exceptions::PyRuntimeError;
use pyo3::prelude::*;
use serde_json::{Value, json};

/// The exit code that the command would have, and what is wrong, the heaviest first.
fn parts(failure: Failure) -> (u8, Vec<Diagnostic>) {
    match failure {
        Failure::Wrong(diagnostics) => (2, diagnostics),
        Failure::BrokeBounds(diagnostic) | Failure::Tampered(diagnostic) => (3, vec![diagnostic]),
        Failure::OurFault(diagnostic) => (4, vec![diagnostic]),
    }
}

/// A failure as JSON: `{"exit_code", "errors": [{"code", "message", "file", "line",
/// "column", "help", "text"}]}`, for the Python part to raise.
pub(crate) fn json_of(failure: Failure) -> String {
    let (exit_code, diagnostics) = parts(failure);
    let errors: Vec<Value> = diagnostics
        .iter()
        .map(|diagnostic| {
            let mut error = glost_page::diagnostic::json(diagnostic)["error"].take();
            error["text"] = Value::from(glost_page::diagnostic::text(diagnostic));
            error
        })
        .collect();
    json!({"exit_code": exit_code, "errors": errors}).to_string()
}

/// A failure as the exception that the Python part reads.
pub(crate) fn raised(failure: Failure) -> PyErr {
    PyRuntimeError::new_err(json_of(failure))
}

impl From<Asked> for PyErr {
    fn from(asked: Asked) -> PyErr {
        raised(asked.0)
    }
}

/// A failure on its way out.
pub(crate) struct Asked(pub(crate) Failure);

impl<F: Into<Failure>> From<F> for Asked {
    fn from(failure: F) -> Asked {
        Asked(failure.into())
    }
}
