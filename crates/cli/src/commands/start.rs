//! `glost start`: what the call leaves open is asked for at the terminal.

use std::io::{self, BufRead, IsTerminal};
use std::sync::mpsc;
use std::time::Duration;

use glost_desk::Words;
use glost_desk::bad_option;
use glost_desk::start::{DRY, Item, Question, missing, nothing_said, recipe};
use glost_page::layout::Style;

use crate::args::Common;
use crate::door;
use crate::outcome::{Failure, Outcome};

/// How long to wait for a first answer on a pipe.
const PATIENCE: Duration = Duration::from_secs(2);

pub(super) fn run(words: &Words, common: &Common, style: Style) -> Outcome {
    // Nobody is asked anything for a batch that can't be made.
    words.or("dry", DRY).weight("dry")?;
    let mut words = words.clone();
    match Asking::of(&words) {
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
        Item::Powder => "Which powder do you buy? (its name on the bag; or `recipe FILE` for a recipe in a text file)",
        Item::Clay => "Which clay? (its name on the bag)",
        Item::Firing => "How hot is the glaze firing? (1060 C, or cone 6)",
        Item::Water => "How much water for a kilo of powder? (5 3/4 cups, or 0.7 l)",
        Item::Scales => "What do your scales read to, and up to what weight? (0.1 g up to 2 kg)",
    }
}

/// Who answers what the call leaves open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Asking {
    /// Someone at a terminal: a wrong answer is asked for again.
    Terminal,
    /// Lines that come in on stdin, an answer each: a wrong one ends the call.
    Lines,
    /// No one.
    Nobody,
}

impl Asking {
    fn of(words: &Words) -> Asking {
        if io::stdin().is_terminal() && io::stderr().is_terminal() {
            return Asking::Terminal;
        }
        if missing(words).is_err() && !io::stdin().is_terminal() && lines_come() {
            return Asking::Lines;
        }
        Asking::Nobody
    }
}

/// Whether anything comes in on stdin. A pipe that nobody writes to is not
/// waited for; the thread that listens to it ends with the process.
fn lines_come() -> bool {
    let (tell, hear) = mpsc::channel();
    std::thread::spawn(move || {
        let comes = io::stdin().lock().fill_buf().is_ok_and(|bytes| !bytes.is_empty());
        // Nobody hears it where it came too late.
        let _ = tell.send(comes);
    });
    hear.recv_timeout(PATIENCE).unwrap_or(false)
}

/// An answer from its option, else asked for until it can be read.
fn answer(item: Item, asking: Asking, words: &mut Words) -> Result<(), Failure> {
    if item.is_given(words) {
        return given(item, words);
    }
    loop {
        if asking == Asking::Terminal {
            crate::complain(&format!("{} ", question(item)));
        }
        let mut line = String::new();
        if io::stdin().lock().read_line(&mut line).unwrap_or(0) == 0 {
            return Err(nothing_said(item).into());
        }
        let line = line.trim();
        match item.check(line) {
            Ok(()) => return take(item, line, words),
            Err(bad) if asking == Asking::Lines => return Err(bad_option(item.option(), bad).into()),
            Err(bad) => {
                let help = bad.help.map_or_else(String::new, |help| format!(" ({help})"));
                crate::complain(&format!("  {}{help}\n", bad.message));
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
