//! `glost results`.

mod ladder;
mod map;
mod tables;
mod text;

use glost_chemistry::diagnostic::Diagnostic;
use glost_desk::results::Answer;

use crate::layout::Style;
use crate::print::Printed;
use crate::words::results::ResultsPage;
use crate::{Csv, Shown};

impl Shown for Answer {
    fn csv(&self) -> Option<Csv> {
        Csv::of_json(self, "next")
    }

    fn text(&self, style: Style) -> String {
        ResultsPage(&self.taught).text(style)
    }

    fn printed(&self) -> Result<Printed, Diagnostic> {
        let Some(file) = &self.page else {
            return Ok(Printed::default());
        };
        let ends = self.taught.ends.len();
        let pages = ResultsPage(&self.taught).pages().ok_or_else(|| {
            Diagnostic::error(
                "no-map",
                format!("a map is drawn for two or three ends, not for {ends}"),
            )
            .help("nothing was written; leave --page out")
        })?;
        Printed::pages(file, &pages, format!("Map: {}.\n", file.path.display()))
    }
}
