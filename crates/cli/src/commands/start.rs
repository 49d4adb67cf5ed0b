//! `glost start`: what the call leaves open is asked for at the terminal.

use glost_desk::Words;
use glost_desk::bad_option;
use glost_desk::start::{DRY, Item, Question, missing, nothing_said, recipe};
use glost_page::layout::Style;

use crate::args::Common;
use crate::asking::Asking;
use crate::door;
use crate::outcome::{Failure, Outcome};

pub(super) fn run(words: &Words, common: &Common, style: Style) -> Outcome {
    // Nobody is asked anything for a batch that can't be made.
    words.or("dry", DRY).weight("dry")?;
    let mut words = words.clone();
    match Asking::who(missing(&words).is_err()) {
        Asking::Nobody => {}
        asking => {
            for item in Item::ALL {
                answer(item, asking, &mut words)?;
            }
        }
    }
    door::answer_anywhere::<Question>(&words, common, style)
}

/// How a question reads.
fn question(item: Item) -> &'static str {
    match item {
        Item::Powder => "Which powder do you buy? (its name; or `recipe FILE`)",
        Item::Clay => "Which clay? (its name on the bag)",
        Item::Firing => "How hot is the glaze firing? (1060 C, or cone 6)",
        Item::Water => "How much water for a kilo of powder? (5 3/4 cups, or 0.7 l)",
        Item::Scales => "What do your scales read to, and up to what weight? (0.1 g up to 2 kg)",
    }
}

/// An answer from its option, else asked for until it can be read.
fn answer(item: Item, asking: Asking, words: &mut Words) -> Result<(), Failure> {
    if item.is_given(words) {
        return given(item, words);
    }
    loop {
        let line = asking.line(question(item)).ok_or_else(|| nothing_said(item))?;
        match item.check(&line) {
            Ok(()) => return take(item, &line, words),
            Err(bad) if asking == Asking::Lines => return Err(bad_option(item.option(), bad).into()),
            Err(bad) => {
                crate::complain(&format!("  {bad}\n"));
            }
        }
    }
}

/// What the call says is read before the next question is asked.
fn given(item: Item, words: &Words) -> Result<(), Failure> {
    match (words.text("recipe"), words.text(item.option())) {
        (Some(file), _) if item == Item::Powder => {
            recipe(file)?;
        }
        (_, Some(text)) => item.check(text).map_err(|bad| bad_option(item.option(), bad))?,
        (_, None) => {}
    }
    Ok(())
}

/// Takes an answer; a recipe in a file is read at once.
fn take(item: Item, line: &str, words: &mut Words) -> Result<(), Failure> {
    match line
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
        .strip_prefix("recipe ")
    {
        Some(file) if item == Item::Powder => {
            recipe(file.trim())?;
            words.push("recipe", file.trim());
        }
        _ => words.push(item.option(), line),
    }
    Ok(())
}
