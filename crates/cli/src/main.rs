//! The `glost` command: arguments, wiring, exit codes.
//!
//! Exit codes: 0 done; 1 the answer is no; 2 the input or the call is wrong;
//! 3 a script broke its bounds; 4 something in Glost itself went wrong.

mod args;
mod asking;
mod clock;
mod commands;
mod door;
mod lines;
mod outcome;

use std::io::{self, IsTerminal, Write};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::process::ExitCode;
use std::sync::{Arc, Mutex, PoisonError};

use clap::error::ErrorKind;
use clap::{CommandFactory, FromArgMatches};
use glost_chemistry::diagnostic::Diagnostic;
use glost_page::layout::Style;
use glost_script::CountingAllocator;
use serde_json::Value;

use args::{Arguments, Format};
use outcome::{Failure, Outcome};

/// Counts what scripts take up; the bounds on memory need it.
#[global_allocator]
static ALLOCATOR: CountingAllocator = CountingAllocator;

/// Complaints shown in text before the rest is only counted.
const MOST_COMPLAINTS: usize = 8;

fn main() -> ExitCode {
    glost_page::words::install();
    let mut command = Arguments::command();
    let read = command
        .try_get_matches_from_mut(std::env::args_os())
        .and_then(|matches| Ok((Arguments::from_arg_matches(&matches)?, door::words(&command, &matches))))
        .map_err(|error| error.format(&mut command));
    let (arguments, words) = match read {
        Ok(read) => read,
        Err(error) => return misused(&error),
    };
    let format = arguments.common.format;
    let outcome = caught(|| commands::run(&arguments, &words, style()));
    ExitCode::from(finish(outcome, format))
}

/// What a run ends with; where it gives up in a panic, that is told as our fault
/// and not as the language tells it.
fn caught(run: impl FnOnce() -> Outcome) -> Outcome {
    let place = Arc::new(Mutex::new(String::new()));
    let noted = place.clone();
    std::panic::set_hook(Box::new(move |panic| {
        let mut place = noted.lock().unwrap_or_else(PoisonError::into_inner);
        if place.is_empty() {
            *place = panic.to_string();
        }
    }));
    // Nothing of what the run worked on is looked at afterwards.
    let outcome = catch_unwind(AssertUnwindSafe(run));
    let _ = std::panic::take_hook();
    outcome.unwrap_or_else(|_| {
        let told = place.lock().unwrap_or_else(PoisonError::into_inner);
        let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
        Err(glost_desk::Failure::our_fault("this command", told).into())
    })
}

fn style() -> Style {
    let plain = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
    Style {
        colour: !plain && io::stdout().is_terminal(),
    }
}

/// A call that can't be read, or a question for help.
fn misused(error: &clap::Error) -> ExitCode {
    let asked = matches!(error.kind(), ErrorKind::DisplayHelp | ErrorKind::DisplayVersion);
    if asked {
        return ExitCode::from(print(&error.render().to_string(), 0));
    }
    let bare = error.kind() == ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand;
    let diagnostic = if bare {
        Diagnostic::error("bad-call", "a command is missing").help("see `glost --help`")
    } else {
        misuse(&error.render().to_string())
    };
    if wants_json() {
        return ExitCode::from(print(&lines(&glost_page::diagnostic::json(&diagnostic)), 2));
    }
    if bare {
        complain(&error.render().to_string());
    } else {
        complain(&glost_page::diagnostic::text(&diagnostic));
    }
    ExitCode::from(2)
}

/// Whether the call asks for JSON, as far as it can be read.
fn wants_json() -> bool {
    let words: Vec<_> = std::env::args_os().skip(1).collect();
    words.iter().any(|word| word == "--format=json")
        || words.windows(2).any(|pair| pair[0] == "--format" && pair[1] == "json")
}

/// What the reader of arguments says, as one of our complaints: its first
/// paragraph is what is wrong, the others are what to do.
fn misuse(rendered: &str) -> Diagnostic {
    let mut paragraphs = rendered.split("\n\n").map(|paragraph| {
        let lines: Vec<&str> = paragraph
            .lines()
            .map(str::trim)
            .filter(|line| !line.is_empty())
            .collect();
        lines.join(" ")
    });
    let message = paragraphs.next().unwrap_or_default();
    let help: Vec<String> = paragraphs
        .filter(|paragraph| !paragraph.is_empty() && !paragraph.starts_with("For more information"))
        .map(|paragraph| paragraph.trim_start_matches("tip: ").to_owned())
        .chain(std::iter::once("see `glost --help`".to_owned()))
        .collect();
    Diagnostic::error("bad-call", message.trim_start_matches("error: ")).help(help.join("; "))
}

fn finish(outcome: Outcome, format: Format) -> u8 {
    match outcome {
        Ok(answer) => {
            let code = u8::from(answer.says_no);
            match format {
                Format::Text | Format::Csv => print(&answer.text, code),
                Format::Json => print(&lines(&answer.json), code),
            }
        }
        Err(failure) => report(&failure, format),
    }
}

fn report(failure: &Failure, format: Format) -> u8 {
    let code = failure.exit_code();
    let diagnostics = failure.diagnostics();
    if format == Format::Json
        && let Some(first) = diagnostics.first()
    {
        return print(&lines(&glost_page::diagnostic::json(first)), code);
    }
    let shown: Vec<String> = diagnostics
        .iter()
        .take(MOST_COMPLAINTS)
        .map(glost_page::diagnostic::text)
        .collect();
    let mut text = shown.join("\n");
    if diagnostics.len() > MOST_COMPLAINTS {
        text.push_str(&format!(
            "\nand {} more like these\n",
            diagnostics.len() - MOST_COMPLAINTS
        ));
    }
    complain(&text);
    code
}

fn lines(json: &Value) -> String {
    serde_json::to_string_pretty(json)
        .map(|text| text + "\n")
        .unwrap_or_default()
}

/// Prints to stdout. A reader who has gone away is no error; a full disk is.
fn print(text: &str, code: u8) -> u8 {
    let mut stdout = io::stdout().lock();
    match stdout.write_all(text.as_bytes()).and_then(|()| stdout.flush()) {
        Ok(()) => code,
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => code,
        Err(error) => {
            complain(&format!("error: the answer can't be written: {error}\n"));
            2
        }
    }
}

/// Prints to stderr; if even that is gone there is nobody to tell.
pub(crate) fn complain(text: &str) {
    let _ = io::stderr().lock().write_all(text.as_bytes());
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_command_that_breaks_off_is_our_fault_with_a_line_to_report() {
        let outcome = caught(|| panic!("no kiln here"));
        let failure = outcome.err().unwrap();
        assert_eq!(failure.exit_code(), 4);
        let told = glost_page::diagnostic::text(&failure.diagnostics()[0]);
        assert!(told.contains("this is our fault, not yours"), "{told}");
        assert!(told.contains("main.rs:") && told.contains("no kiln here"), "{told}");
    }
}
