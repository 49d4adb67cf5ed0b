//! An open studio that is asked again and again.

use std::path::PathBuf;
use std::sync::{Mutex, PoisonError};

use glost_chemistry::diagnostic::Diagnostic;
use glost_desk::{Aside, Desk, Failure, Place};
use pyo3::prelude::*;
use serde_json::{Map, Value};

use crate::asked;
use crate::failure::Told;
use crate::handed::taken_out;
use crate::screen;

/// A studio as it was when it was opened.
#[pyclass(frozen, module = "glost._glost")]
pub(crate) struct Studio {
    place: Place,
    desk: Mutex<Desk>,
}

#[pymethods]
impl Studio {
    /// Opens the studio in a folder (`None`: the nearest one from where the process stands
    /// upward, else the shipped materials and the example studio), with further files of
    /// materials on top.
    #[new]
    #[pyo3(signature = (folder, materials))]
    fn new(py: Python<'_>, folder: Option<PathBuf>, materials: Vec<PathBuf>) -> PyResult<Studio> {
        let here = std::env::current_dir()?;
        let place = Place {
            studio: folder,
            materials,
            here,
        };
        let desk = py.detach(|| opened(&place))?;
        Ok(Studio {
            place,
            desk: Mutex::new(desk),
        })
    }

    /// Reads everything anew.
    fn reload(&self, py: Python<'_>) -> PyResult<()> {
        let desk = py.detach(|| opened(&self.place))?;
        *self.desk.lock().unwrap_or_else(PoisonError::into_inner) = desk;
        Ok(())
    }

    /// The answer to a question and what is told aside, as JSON and lines.
    fn ask(&self, py: Python<'_>, command: &str, question: &str) -> PyResult<(String, Vec<String>)> {
        let answered = py.detach(|| {
            let desk = self.desk.lock().unwrap_or_else(PoisonError::into_inner);
            let answer = answer(&desk, command, question);
            (answer, told(&desk))
        });
        Ok((answered.0.map_err(Told)?, answered.1))
    }

    /// The findings over a table of glazes (CSV text, or a file's path), a line of JSON
    /// each, with the complaints about rows that can't be read and what is told aside.
    fn screen(
        &self,
        py: Python<'_>,
        table: Option<String>,
        question: &str,
    ) -> PyResult<(String, Vec<String>, Vec<String>)> {
        let screened = py.detach(|| {
            let desk = self.desk.lock().unwrap_or_else(PoisonError::into_inner);
            let screened = parsed(question).and_then(|question| screen::over(&desk, table, &question));
            (screened, told(&desk))
        });
        let (lines, complaints) = screened.0.map_err(Told)?;
        Ok((lines, complaints, screened.1))
    }
}

fn opened(place: &Place) -> Result<Desk, Told> {
    Ok(Desk::open_settled(place.clone(), glost_cli::today)?)
}

fn answer(desk: &Desk, command: &str, question: &str) -> Result<String, Failure> {
    let (question, recipes) = taken_out(parsed(question)?)?;
    desk.workplace().hand_in(recipes);
    asked::answer(command, &question, desk)
}

fn parsed(question: &str) -> Result<Map<String, Value>, Failure> {
    serde_json::from_str(question)
        .map_err(|why| Diagnostic::error("bad-call", format!("a question is a dict of names: {why}")).into())
}

/// What was told aside, as lines.
fn told(desk: &Desk) -> Vec<String> {
    let said = |aside| match aside {
        Aside::NoStudio(line) | Aside::Printed(line) => line,
        Aside::Complaint(complaint) => glost_page::diagnostic::text(&complaint).trim_end().to_owned(),
    };
    desk.take_asides().into_iter().map(said).collect()
}
