//! Lines of an answer written as it is made: whole lines only.

use std::io::{self, IsTerminal, Write};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use glost_chemistry::diagnostic::Diagnostic;
use glost_desk::check::over::{Batch, NoMore, Tally};
use glost_page::FindingLines;
use glost_page::over::LineFormat;

use crate::complain;
use crate::outcome::Failure;

/// A pipe takes this much in one piece (POSIX asks for 512, Linux gives 4096),
/// so that a reader never sees half a line, however the run ends.
const PIECE_BYTES: usize = 4096;
/// Complaints shown at once; all are among the lines.
const MOST_COMPLAINTS: u64 = 8;
/// How often a terminal, and a log, hear how far the work is.
const PROGRESS_EVERY: (Duration, Duration) = (Duration::from_millis(500), Duration::from_secs(10));
/// Nothing is said of work that is shorter.
const LONG_WORK: Duration = Duration::from_secs(2);
/// How long a cancelled run waits for a line that is being written.
const LAST_LINE_WITHIN: Duration = Duration::from_secs(1);
/// The usual exit code of a run that was interrupted.
const INTERRUPTED_EXIT_CODE: i32 = 130;

/// Held while a piece is written; nobody ends the process in between.
static WRITING: Mutex<()> = Mutex::new(());

/// Writes lines, and says how it went.
pub(crate) struct Lines {
    format: LineFormat,
    tally: Tally,
    complaints: u64,
    progress: Progress,
}

impl Lines {
    /// Nobody ends the process within a line from now on.
    pub(crate) fn begin(format: LineFormat) -> Lines {
        end_between_lines();
        Lines {
            format,
            tally: Tally::default(),
            complaints: 0,
            progress: Progress::begin(),
        }
    }

    /// Writes what stands above the lines.
    pub(crate) fn headings(&self) -> Result<(), NoMore> {
        written(write_whole_lines(self.format.headings().as_bytes()))
    }

    /// Writes what came of some glazes.
    pub(crate) fn take(&mut self, batch: Batch<FindingLines>) -> Result<(), NoMore> {
        written(write_whole_lines(batch.lines.as_bytes()))?;
        if !batch.printed.is_empty() || !batch.complaints.is_empty() {
            self.progress.clear();
        }
        complain(&batch.printed);
        for error in batch.complaints {
            self.complaints += 1;
            if self.complaints <= MOST_COMPLAINTS {
                crate::complain_line(&glost_page::diagnostic::text(&error));
            }
        }
        self.tally.add(&batch.tally);
        self.progress.tell(&self.tally);
        Ok(())
    }

    /// Says how it went, with the exit code; `whole`: somebody read everything.
    pub(crate) fn finish(&mut self, whole: bool) -> u8 {
        self.progress.clear();
        if whole {
            if self.complaints > MOST_COMPLAINTS {
                let more = self.complaints - MOST_COMPLAINTS;
                complain(&format!("and {more} more like these; all are among the lines\n"));
            }
            complain(&glost_page::over::tally(&self.tally));
        }
        self.tally.exit_code()
    }

    /// What is left to say of a failure: among lines of JSON it is one more.
    pub(crate) fn failed(&mut self, failure: Failure) -> Failure {
        self.progress.clear();
        if self.format != LineFormat::JsonLines {
            return failure;
        }
        for error in failure.diagnostics() {
            let mut line = FindingLines::default();
            self.format.error(&mut line, error);
            // What keeps a line from being written now kept the others before.
            let _ = write_whole_lines(line.as_bytes());
        }
        Failure::Written(failure.exit_code())
    }
}

fn written(outcome: io::Result<()>) -> Result<(), NoMore> {
    outcome.map_err(|error| match error.kind() {
        io::ErrorKind::BrokenPipe => NoMore::NobodyReads,
        _ => {
            let error = Diagnostic::error("cannot-write", format!("the lines can't be written on: {error}"));
            NoMore::Failed(error.into())
        }
    })
}

/// Writes lines in pieces that end with a line.
fn write_whole_lines(mut lines: &[u8]) -> io::Result<()> {
    while !lines.is_empty() {
        let within = lines.get(..PIECE_BYTES).unwrap_or(lines);
        let after_last = |bytes: &[u8]| bytes.iter().rposition(|byte| *byte == b'\n').map(|at| at + 1);
        let first = || lines.iter().position(|byte| *byte == b'\n').map(|at| at + 1);
        let length = after_last(within).or_else(first).unwrap_or(lines.len());
        let (piece, rest) = lines.split_at(length);
        let _writing = WRITING.lock().unwrap_or_else(PoisonError::into_inner);
        let mut stdout = io::stdout().lock();
        stdout.write_all(piece)?;
        stdout.flush()?;
        lines = rest;
    }
    Ok(())
}

/// Whoever ends the process, a user or the scripts' watchdog, waits for the
/// line that is being written.
#[allow(
    clippy::disallowed_methods,
    reason = "a handler of signals can end the process in no other way"
)]
fn end_between_lines() {
    // Where no handler can be set the system ends the run: between pieces, on a pipe.
    let _ = ctrlc::set_handler(|| {
        let _held = last_line_written();
        complain("\ninterrupted: the lines so far are whole, the rest is not checked\n");
        std::process::exit(INTERRUPTED_EXIT_CODE);
    });
    glost_script::on_last_words(|why| {
        std::mem::forget(last_line_written());
        complain(&format!("error: {why}\n"));
    });
}

#[allow(clippy::disallowed_methods, reason = "a lock can't be waited for with an end to it")]
fn last_line_written() -> Option<MutexGuard<'static, ()>> {
    let start = Instant::now();
    while start.elapsed() < LAST_LINE_WITHIN {
        match WRITING.try_lock() {
            Ok(held) => return Some(held),
            Err(std::sync::TryLockError::Poisoned(poisoned)) => return Some(poisoned.into_inner()),
            Err(std::sync::TryLockError::WouldBlock) => std::thread::sleep(Duration::from_millis(2)),
        }
    }
    None
}

/// How far the work is, on stderr: one line that renews itself on a terminal,
/// a line now and then in a log.
struct Progress {
    start: Instant,
    told: Instant,
    terminal: bool,
    /// Findings that run over the same terminal show it well enough.
    silent: bool,
    line_stands: bool,
}

impl Progress {
    fn begin() -> Progress {
        let terminal = io::stderr().is_terminal();
        Progress {
            start: Instant::now(),
            told: Instant::now(),
            terminal,
            silent: terminal && io::stdout().is_terminal(),
            line_stands: false,
        }
    }

    fn tell(&mut self, tally: &Tally) {
        let every = if self.terminal {
            PROGRESS_EVERY.0
        } else {
            PROGRESS_EVERY.1
        };
        let since = self.start.elapsed();
        if self.silent || since < LONG_WORK || self.told.elapsed() < every {
            return;
        }
        self.told = Instant::now();
        let done = (tally.glazes() + tally.unreadable) as f64;
        let text = glost_page::over::progress(tally, done / since.as_secs_f64());
        if self.terminal {
            crate::complain_as_it_is(&format!("\r\u{1b}[K{text}"));
            self.line_stands = true;
        } else {
            crate::complain_line(&text);
        }
    }

    fn clear(&mut self) {
        if std::mem::take(&mut self.line_stands) {
            crate::complain_as_it_is("\r\u{1b}[K");
        }
    }
}
