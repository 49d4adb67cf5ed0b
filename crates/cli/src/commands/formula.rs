use glost_chemistry::diagnostic::{Diagnostic, Mark, Source};
use glost_chemistry::oxides::{Formula, fire};
use glost_page::formula::FormulaPage;
use glost_page::layout::Style;

use crate::args::FormulaOptions;
use crate::outcome::{Answer, Outcome};
use glost_desk::trouble;

pub(super) fn run(options: &FormulaOptions, style: Style) -> Outcome {
    let text = options.formula.trim();
    let formula = Formula::parse(text).map_err(|bad| trouble::formula(text, bad))?;
    let fired = fire(&formula).map_err(|symbol| {
        Diagnostic::error("unknown-oxide", format!("Glost knows no fired oxide of {symbol}")).at(
            &Source::from_text("formula", text),
            Mark { line: 1, column: 1 },
            text.chars().count(),
        )
    })?;
    let page = FormulaPage {
        formula: text,
        fired: &fired,
    };
    Ok(Answer::yes(page.text(style), page.json()))
}
