//! One file for each command.

mod adjust;
mod affected;
mod blend;
mod check;
mod formula;
mod init;
mod label;
mod matching;
mod materials;
mod read;
mod script;
mod start;
mod swap;
mod unity;

use std::path::PathBuf;
use std::sync::Arc;

use glost_core::diagnostic::Diagnostic;
use glost_core::material::{Library, Material};
use glost_core::quantity::Grams;
use glost_page::layout::Style;
use glost_studio::{FoundGlaze, Workplace};

use crate::args::{Arguments, Command, Common};
use crate::outcome::{Failure, Outcome};
use crate::trouble;

pub(crate) fn run(arguments: &Arguments, style: Style) -> Outcome {
    let common = &arguments.common;
    match &arguments.command {
        Command::Formula(options) => formula::run(options, style),
        Command::Init(options) => init::run(options, style),
        Command::Start(options) => start::run(options, style),
        Command::Label(options) => label::run(options, &open(common)?, style),
        Command::Unity(options) => unity::run(options, &open(common)?, style),
        Command::Check(options) => check::run(options, &open(common)?, style),
        Command::Swap(options) => swap::run(options, &open(common)?, style),
        Command::Match(options) => matching::run(options, &open(common)?, style),
        Command::Adjust(options) => adjust::run(options, &open(common)?, style),
        Command::Affected(options) => affected::run(options, common, &open(common)?, style),
        Command::Blend(options) => blend::run(options, &open(common)?, style),
        Command::Read(options) => read::run(options, &open(common)?, style),
        Command::Materials(options) => materials::run(options, &open(common)?, style),
        Command::Script(options) => script::run(options, &open(common)?, style),
    }
}

fn open(common: &Common) -> Result<Workplace, Failure> {
    let here = std::env::current_dir().unwrap_or_else(|_| PathBuf::from("."));
    Ok(Workplace::open(common.studio.as_deref(), &common.materials, &here)?)
}

/// A glaze by file or name; where it comes from is told on stderr.
fn glaze(workplace: &Workplace, name: &str) -> Result<FoundGlaze, Failure> {
    if let Some(notice) = workplace.notice() {
        crate::complain(&format!("{notice}\n"));
    }
    Ok(workplace.glaze(name)?)
}

/// A material named in the call.
fn material(library: &Library, option: &str, name: &str) -> Result<Arc<Material>, Diagnostic> {
    library.find(name).cloned().ok_or_else(|| {
        Diagnostic::error(
            "unknown-material",
            format!("--{option}: no material is called `{name}`"),
        )
        .maybe_help(library.suggestion(name))
    })
}

/// A weight named in the call, above zero.
fn weight(option: &str, text: &str) -> Result<Grams, Diagnostic> {
    let weight = Grams::parse(text).map_err(|bad| trouble::option(option, bad))?;
    if weight.grams() <= 0.0 {
        return Err(Diagnostic::error(
            "bad-option",
            format!("--{option}: `{text}` weighs nothing"),
        ));
    }
    Ok(weight)
}
