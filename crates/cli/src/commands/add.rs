//! `glost add`: what it must know and the call doesn't say is asked for.

use glost_chemistry::diagnostic::Diagnostic;
use glost_desk::Words;
use glost_desk::add::{Question, must_know};
use glost_page::layout::Style;

use crate::args::Common;
use crate::asking::Asking;
use crate::door;
use crate::outcome::Outcome;

pub(super) fn run(words: &Words, common: &Common, style: Style) -> Outcome {
    let mut words = words.clone();
    if let Some(option) = must_know(&words)?.filter(|option| words.text(option).is_none()) {
        let said = Asking::who(true).line(question(option));
        let said = said.filter(|said| !said.is_empty()).ok_or_else(|| unsaid(option))?;
        words.push(option, said);
    }
    door::answer::<Question>(&words, common, style)
}

/// How a question reads.
fn question(option: &str) -> &'static str {
    if option == "recipe" {
        "What is in it? (feldspar A 38, silica 26, ...; or the name of a text file)"
    } else {
        "What is in it? (figures as on its sheet: SiO2 67.0, Al2O3 18.0, loss 0.4; a formula: CaCO3; or unknown)"
    }
}

fn unsaid(option: &str) -> Diagnostic {
    let example = if option == "recipe" {
        "--recipe \"feldspar A 38, silica 26, whiting 18, kaolin 12\""
    } else {
        "--analysis \"SiO2 67.0, Al2O3 18.0, K2O 10.5, Na2O 3.0, loss 0.4\" (or \"CaCO3\", or unknown)"
    };
    Diagnostic::error(
        "missing-answers",
        "what is in it was not said, and there is nobody to ask; nothing was written",
    )
    .help(format!("add {example}"))
}
