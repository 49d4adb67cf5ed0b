//! What went wrong, as Python is told it.

use glost_desk::Failure;
use pyo3::exceptions::PyRuntimeError;
use pyo3::prelude::*;
use serde_json::{Value, json};

/// A failure on its way out: an exception whose text is `{"exit_code", "errors": [{"code",
/// "message", "file", "line", "column", "help", "text"}]}`, for the Python part to raise.
pub(crate) struct Told(pub(crate) Failure);

impl<F: Into<Failure>> From<F> for Told {
    fn from(failure: F) -> Told {
        Told(failure.into())
    }
}

impl From<Told> for PyErr {
    fn from(Told(failure): Told) -> PyErr {
        let (exit_code, diagnostics) = glost_cli::what_is_wrong(failure);
        let errors: Vec<Value> = diagnostics
            .iter()
            .map(|diagnostic| {
                let mut error = glost_page::diagnostic::json(diagnostic)["error"].take();
                error["text"] = Value::from(glost_page::diagnostic::text(diagnostic));
                error
            })
            .collect();
        PyRuntimeError::new_err(json!({"exit_code": exit_code, "errors": errors}).to_string())
    }
}
