//! Questions at the terminal about what a call leaves open.

use std::io::{self, BufRead, IsTerminal};
use std::sync::mpsc;
use std::time::Duration;

/// How long to wait for a first answer on a pipe.
const PATIENCE: Duration = Duration::from_secs(2);

/// Who answers what the call leaves open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Asking {
    /// Someone at a terminal: a wrong answer is asked for again.
    Terminal,
    /// Lines that come in on stdin, an answer each: a wrong one ends the call.
    Lines,
    /// No one.
    Nobody,
}

impl Asking {
    /// Who can be asked; stdin is listened to only where something is `missing`.
    pub(crate) fn who(missing: bool) -> Asking {
        if io::stdin().is_terminal() && io::stderr().is_terminal() {
            return Asking::Terminal;
        }
        if missing && !io::stdin().is_terminal() && lines_come() {
            return Asking::Lines;
        }
        Asking::Nobody
    }

    /// The next line; `None` where nobody answers. The question is shown before it at a
    /// terminal, with it where lines come in.
    pub(crate) fn line(self, question: &str) -> Option<String> {
        match self {
            Asking::Nobody => return None,
            Asking::Terminal => crate::complain(&format!("{question} ")),
            Asking::Lines => {}
        }
        let mut line = String::new();
        // What can't be read is no answer.
        let read = io::stdin().lock().read_line(&mut line).unwrap_or(0);
        let line = (read > 0).then(|| line.trim().to_owned())?;
        // What comes as lines reads afterwards as what was typed does.
        if self == Asking::Lines {
            crate::complain(&format!("{question} {line}\n"));
        }
        Some(line)
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
