//! The `glost` command as a library: arguments, wiring, exit codes. The program `glost`
//! calls it, and so does whatever brings the command along in another shape.
//!
//! Exit codes: 0 done; 1 the answer is no; 2 the input or the call is wrong;
//! 3 a script broke its bounds; 4 something in Glost itself went wrong.

mod args;
mod asked;
mod asking;
mod clock;
mod commands;
mod complete;
mod door;
mod help;
mod lines;
mod lsp;
mod manual;
mod outcome;
mod typed;

use std::borrow::Cow;
use std::ffi::OsString;
use std::io::{self, IsTerminal, Write};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use clap::error::ErrorKind;
use clap::{Command, CommandFactory, FromArgMatches};
use glost_chemistry::diagnostic::Diagnostic;
use glost_desk::Words;
use glost_page::layout::{Style, fitted};
use glost_page::plain::{plain, plain_json};
use glost_script::CountingAllocator;

use args::{Arguments, Format};
use outcome::{Failure, Outcome};

pub use asked::commands;
pub use clock::today;
pub use glost_web::{Command as Asked, Program, Takes};

/// How this same program is called again, where it isn't by its own file.
static PROGRAM: OnceLock<Program> = OnceLock::new();

/// Counts what scripts take up; the bounds on memory need it.
#[global_allocator]
static ALLOCATOR: CountingAllocator = CountingAllocator;

/// Complaints shown in text before the rest is only counted.
const MOST_COMPLAINTS: usize = 8;

/// Answers one call: prints it, and gives the exit code. `typed` begins with the
/// program's name; `program` is how this same program is called again (`None`: by its own
/// file), for what answers in a process of its own.
pub fn run(typed: Vec<OsString>, program: Option<Program>) -> u8 {
    if let Some(program) = program {
        let _ = PROGRAM.set(program);
    }
    CountingAllocator::give_large_back();
    complete::if_asked();
    glost_page::words::install();
    glost_studio::tell_of_waiting(waiting);
    fit_the_terminal();
    let typed = if std::env::var_os(glost_web::AS_IT_IS).is_some() {
        typed
    } else {
        typed::as_meant(typed)
    };
    let mut command = Arguments::command();
    let mut read = read(&mut command, &typed);
    if read.as_ref().is_err_and(shows_help) {
        // Laying the help out takes a while: only whoever sees it waits for it.
        command = help::grouped(Arguments::command());
        read = self::read(&mut command, &typed);
    }
    let (arguments, words) = match read {
        Ok(read) => read,
        Err(error) => return misused(&error, &command, &typed),
    };
    let format = arguments.common.format;
    let outcome = caught(|| commands::run(&arguments, &words, style()));
    finish(outcome, format)
}

/// The exit code of a question that has no answer, and what is wrong, the heaviest first.
pub fn what_is_wrong(failure: glost_desk::Failure) -> (u8, Vec<Diagnostic>) {
    let failure = Failure::from(failure);
    (failure.exit_code(), failure.diagnostics().to_vec())
}

/// Reads a call.
fn read(command: &mut Command, typed: &[OsString]) -> Result<(Arguments, Words), clap::Error> {
    command
        .try_get_matches_from_mut(typed)
        .and_then(|matches| Ok((Arguments::from_arg_matches(&matches)?, door::words(command, &matches))))
        .map_err(|error| error.format(command))
}

fn shows_help(error: &clap::Error) -> bool {
    let kinds = [
        ErrorKind::DisplayHelp,
        ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand,
    ];
    kinds.contains(&error.kind())
}

/// Says why nothing happens while another program writes.
fn waiting(path: &Path) {
    let shown = path.display().to_string();
    let file = plain(&shown, false);
    // Whoever hears nothing waits all the same.
    let _ = writeln!(io::stderr(), "waiting for another program that writes to `{file}` ...");
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

/// Lays text out for the terminal's width: as COLUMNS says, else as the terminal does.
fn fit_the_terminal() {
    let said = std::env::var("COLUMNS")
        .ok()
        .and_then(|columns| columns.trim().parse().ok());
    let asked = || {
        let (columns, _) = terminal_size::terminal_size()?;
        io::stdout().is_terminal().then_some(usize::from(columns.0))
    };
    if let Some(columns) = said.filter(|columns| *columns > 0).or_else(asked) {
        glost_page::layout::set_width(columns);
    }
}

/// Whether complaints go to somebody who reads them at a terminal, or whose width is said.
fn is_read_at_a_terminal() -> bool {
    std::env::var_os("COLUMNS").is_some() || io::stderr().is_terminal()
}

/// A complaint as text: wrapped where somebody reads it, one line where a programme does.
pub(crate) fn complaint(diagnostic: &Diagnostic) -> String {
    if is_read_at_a_terminal() {
        glost_page::diagnostic::wrapped(diagnostic)
    } else {
        glost_page::diagnostic::text(diagnostic)
    }
}

fn style() -> Style {
    let plain = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
    Style {
        colour: !plain && io::stdout().is_terminal(),
    }
}

/// A call that can't be read, or a question for help.
fn misused(error: &clap::Error, command: &Command, typed: &[OsString]) -> u8 {
    let asked = matches!(error.kind(), ErrorKind::DisplayHelp | ErrorKind::DisplayVersion);
    if asked {
        return print(&fitted(&error.render().to_string()), 0);
    }
    let bare = error.kind() == ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand;
    let diagnostic = if bare {
        Diagnostic::error("bad-call", "a command is missing").help("see `glost --help`")
    } else {
        let quoted = matches!(error.kind(), ErrorKind::UnknownArgument | ErrorKind::InvalidSubcommand);
        let quoted = quoted.then(|| typed::with_quotes(command, typed)).flatten();
        quoted.map_or_else(|| misuse(&error.render().to_string()), |call| unquoted(&call))
    };
    if typed::asks_for_json(typed) {
        return print(&lines(outcome::pretty(&glost_page::diagnostic::json(&diagnostic))), 2);
    }
    if bare {
        complain(&error.render().to_string());
    } else {
        complain(&complaint(&diagnostic));
    }
    2
}

/// A name of several words that came as several.
fn unquoted(call: &str) -> Diagnostic {
    Diagnostic::error("bad-call", "a name of several words stands in quotes").help(call)
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
            let code = if answer.broke_bounds {
                3
            } else if answer.is_incomplete {
                2
            } else {
                u8::from(answer.says_no)
            };
            match format {
                Format::Text if answer.verbatim => print(&plain(&answer.text, style().colour), code),
                Format::Text => print(&plain(&fitted(&answer.text), style().colour), code),
                Format::Csv => print(&answer.text, code),
                Format::Json => print(&lines(answer.json), code),
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
        return print(&lines(outcome::pretty(&glost_page::diagnostic::json(first))), code);
    }
    let shown: Vec<String> = diagnostics.iter().take(MOST_COMPLAINTS).map(complaint).collect();
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

fn lines(json: String) -> String {
    let mut text = match plain_json(&json) {
        Cow::Owned(plain) => plain,
        Cow::Borrowed(_) => json,
    };
    text.push('\n');
    text
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

/// Prints to stderr; if even that is gone there is nobody to tell. Whatever it tells of,
/// no sign of it moves the cursor.
pub(crate) fn complain(text: &str) {
    complain_as_it_is(&plain(text, false));
}

/// As [`complain`], one line of its own.
pub(crate) fn complain_line(text: &dyn std::fmt::Display) {
    complain(&format!("{text}\n"));
}

/// As [`complain`], for lines of our own that renew themselves.
pub(crate) fn complain_as_it_is(text: &str) {
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
        assert!(told.contains("lib.rs:") && told.contains("no kiln here"), "{told}");
    }
}
