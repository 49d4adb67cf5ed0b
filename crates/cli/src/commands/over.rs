//! `glost check --over`: the findings of many glazes, written as they are made.

use std::io::stdin;

use glost_desk::check::over::{NoMore, Question};
use glost_desk::check::part::Part;
use glost_page::over::LineFormat;

use crate::args::{Common, Format};
use crate::door;
use crate::lines::Lines;
use crate::outcome::{Failure, Outcome};
use glost_desk::Words;

pub(super) fn run(words: &Words, common: &Common) -> Outcome {
    let desk = door::open(common)?;
    let question = Question::from_words(words).map_err(glost_desk::Failure::from)?;
    let opened = question.open(&desk, || Box::new(stdin()));
    door::tell(&desk);
    let over = opened?;
    let format = match common.format {
        Format::Json => LineFormat::JsonLines,
        Format::Text | Format::Csv => LineFormat::Csv,
    };
    let mut lines = Lines::begin(format);
    let has_headings = question.part.is_none_or(Part::is_first);
    let begun = if has_headings { lines.headings() } else { Ok(()) };
    let ended = match begun {
        Ok(()) => over.run(&format, |batch| lines.take(batch)),
        Err(NoMore::NobodyReads) => Ok(false),
        Err(NoMore::Failed(failure)) => Err(failure),
    };
    Err(match ended {
        Ok(whole) => Failure::Written(lines.finish(whole)),
        Err(failure) => lines.failed(failure.into()),
    })
}
