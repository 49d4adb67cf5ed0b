//! Glost for Python: the desk's questions as functions over JSON, and the command.
//!
//! The package's Python part (`python/glost`) turns dictionaries into JSON and back and
//! gives the functions their names and types; here a question's JSON becomes the words of
//! a call, as at the terminal's door, and the answer goes out as the contract's JSON.
//! Nothing is decided here.

mod asked;
mod failure;
mod handed;
mod screen;
mod studio;

use std::ffi::OsString;
use std::path::PathBuf;

use pyo3::prelude::*;

/// Answers one call of the command as at a terminal: prints it, gives the exit code.
///
/// `typed` begins with the program's name; `program` is how the command is called again,
/// its file first.
#[pyfunction]
fn command(py: Python<'_>, typed: Vec<OsString>, program: Vec<OsString>) -> u8 {
    let mut program = program.into_iter();
    let again = program.next().map(|file| glost_cli::Program {
        file: PathBuf::from(file),
        before: program.collect(),
    });
    py.detach(|| glost_cli::run(typed, again))
}

#[pymodule]
fn _glost(module: &Bound<'_, PyModule>) -> PyResult<()> {
    glost_page::words::install();
    module.add("__version__", env!("CARGO_PKG_VERSION"))?;
    module.add("COMMANDS", asked::COMMANDS)?;
    module.add_class::<studio::Studio>()?;
    module.add_function(wrap_pyfunction!(command, module)?)
}
