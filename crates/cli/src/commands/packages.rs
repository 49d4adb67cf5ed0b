//! `glost script add`, `update`, `remove`, `pack`: looked at, asked, done.

use std::io::{BufRead, stdin};

use glost_desk::scripts::packages::{Deed, Question};
use glost_desk::{Question as _, Words};
use glost_page::Shown;
use glost_page::layout::Style;

use crate::args::Common;
use crate::door;
use crate::outcome::Outcome;

pub(super) fn run(deed: &str, words: &Words, common: &Common, style: Style) -> Outcome {
    let desk = door::open_to_mend(common)?;
    let question = Question::from_words(&words.clone().with("deed", deed))?;
    let asks = matches!(question.deed, Deed::Add | Deed::Update) && !question.sure;
    if !asks {
        return door::ask_read(&question, &desk, common.format, style);
    }
    let looked = question.ask(&desk);
    door::tell(&desk);
    let looked = looked?;
    crate::complain(&looked.text(Style::default()));
    crate::complain("Take it in? (y/n) ");
    let mut line = String::new();
    // A stdin that can't be read says no.
    let read = stdin().lock().read_line(&mut line).is_ok();
    let sure = read && ["y", "yes"].contains(&line.trim().to_lowercase().as_str());
    // Whoever says yes has seen which tests don't hold.
    let question = Question {
        sure,
        failing: true,
        told: true,
        ..question
    };
    door::ask_read(&question, &desk, common.format, style)
}
