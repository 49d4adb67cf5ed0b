//! What to do where a powder crazes and nobody tells its recipe.

use glost_desk::Said;
use glost_desk::adjust::{Ladder, LadderSaid, Ladders};

use crate::layout::{Style, indented, paragraph};
use crate::number;
use crate::words::say;

/// For a terminal.
pub(super) fn text(ladders: &Ladders, style: Style) -> String {
    let answer = &ladders.answer;
    let headline = format!(
        "No recipe to change: nobody tells what is in {}. Its pieces can still find the cure on {} ({} now).",
        answer.glaze,
        answer.clay,
        number::chance(answer.craze.chance)
    );
    let mut text = style.bold(paragraph(&headline, 0).trim_end());
    text.push_str("\n\n");
    let word = |said: LadderSaid| say(&Said::Ladder(said));
    for ladder in Ladder::ALL {
        text.push_str(&indented(
            &format!("{}: ", ladder.name()),
            &format!(
                "{}: {}. Besides: {}.",
                word(LadderSaid::Steps(ladder)),
                word(LadderSaid::Does(ladder)),
                word(LadderSaid::Besides(ladder))
            ),
        ));
        if let Some(command) = ladder.command(&answer.glaze) {
            text.push_str(&format!("    {}\n", word(command)));
        }
    }
    text.push_str(
        "\nWhat each does is common practice, no source. One change at a time, five pieces\n\
         a step, looked at after a day, 30 and 180 days: `glost note` keeps what you\n\
         see, `glost fit` learns from it.\n",
    );
    text
}
