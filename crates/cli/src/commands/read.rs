//! `glost read`: a page from a file or stdin, and questions about what is open on it.

use std::io::{self, BufRead, IsTerminal, Read, Write};

use glost_chemistry::diagnostic::{Diagnostic, Source};
use glost_core::intake::notebook::ReadingLine;
use glost_desk::read::{Question, Unsaid};
use glost_desk::{Desk, Question as _, Words};
use glost_page::layout::Style;
use glost_page::words::open_line;
use glost_studio::MOST_TEXT_BYTES;

use crate::args::{Common, ReadOptions};
use crate::asking::Asking;
use crate::door;
use crate::outcome::{Failure, Outcome};

pub(super) fn run(options: &ReadOptions, words: &Words, common: &Common, style: Style) -> Outcome {
    let desk = door::open(common)?;
    let mut words = words.clone();
    if options.file == "-" {
        words.push("page", from_stdin()?.text.to_string());
    } else if io::stdin().is_terminal() && io::stderr().is_terminal() {
        words.push("page", settled(&words, &desk)?);
        if options.out.is_some() {
            ask_how_it_is_made(&mut words, &desk)?;
        }
    }
    door::ask::<Question>(&words, &desk, common.format, style)
}

/// A page from stdin.
fn from_stdin() -> Result<Source, Diagnostic> {
    let mut bytes = Vec::new();
    let read = io::stdin().lock().take(MOST_TEXT_BYTES + 1).read_to_end(&mut bytes);
    if let Err(error) = read {
        return Err(Diagnostic::error(
            "cannot-read",
            format!("the page can't be read: {error}"),
        ));
    }
    if bytes.len() as u64 > MOST_TEXT_BYTES {
        return Err(Diagnostic::error("file-too-large", "the page is too large"));
    }
    Source::from_bytes("stdin", &bytes)
}

/// Asks about each open line, one after the other; gives the page as it stands then.
fn settled(words: &Words, desk: &Desk) -> Result<String, Failure> {
    let mut question = Question::from_words(words)?;
    question.out = None;
    let mut asked: Vec<String> = Vec::new();
    loop {
        let read = question.ask(desk)?;
        let text = read.page.text.to_string();
        let Some(line) = read.next_open(&asked) else {
            return Ok(text);
        };
        let Some(answer) = asked_about(line) else {
            return Ok(text);
        };
        asked.push(line.text.clone());
        if !answer.is_empty() && text.contains(&line.text) {
            question.instead.push(glost_desk::read::Instead {
                old: line.text.clone(),
                new: answer,
            });
        }
    }
}

/// Asks for what the page and the call leave open; an empty answer leaves it so.
fn ask_how_it_is_made(words: &mut Words, desk: &Desk) -> Result<(), Failure> {
    let mut question = Question::from_words(words)?;
    question.out = None;
    for unsaid in question.ask(desk)?.unsaid() {
        let asked = match unsaid {
            Unsaid::Firing => "How hot is it fired? (cone 6, or 1060 C; empty: not said)",
            Unsaid::Clay => "On which clay? (empty: not said)",
            Unsaid::Water => "How much water for a kilo of powder? (0.9 l, or 5 3/4 cups; empty: not said)",
        };
        while let Some(said) = Asking::Terminal.line(asked).filter(|said| !said.is_empty()) {
            let tried = words.clone().with(unsaid.option(), said);
            let mut question = Question::from_words(&tried).map_err(Failure::from);
            if let Ok(question) = &mut question {
                question.out = None;
            }
            match question.and_then(|question| Ok(question.ask(desk)?)) {
                Ok(_) => {
                    *words = tried;
                    break;
                }
                Err(failure) => {
                    let why = failure.diagnostics().first().map_or("", |first| first.message.as_str());
                    crate::complain(&format!("  {why}\n"));
                }
            }
        }
    }
    Ok(())
}

/// What is typed about an open line; `None` where nobody answers any more.
fn asked_about(line: &ReadingLine) -> Option<String> {
    crate::complain(&open_line(line));
    let _ = io::stderr().flush();
    let mut answer = String::new();
    let read = io::stdin().lock().read_line(&mut answer);
    // No more input, or none that can be read: whoever sat there has gone.
    matches!(read, Ok(bytes) if bytes > 0).then(|| answer.trim().to_owned())
}
