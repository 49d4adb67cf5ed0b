//! A question asked of the same program, as at a terminal, in a process of its own:
//! what breaks its bounds, hangs or is no longer wanted ends alone.

use std::fs::File;
use std::path::{Path, PathBuf};
use std::process::Stdio;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Duration;

use axum::http::StatusCode;
use serde_json::{Map, Value};
use tokio::process::Command as Process;
use tokio::sync::{OwnedSemaphorePermit, Semaphore};

use super::once_only::OnceOnly;
use super::{call, typed};
use crate::command::{Command, Program};
use crate::door::{Refusal, secret};
use crate::keeping::Keeping;

/// Questions answered at a time.
const AT_A_TIME: usize = 2;
/// Questions that may wait.
const MOST_WAITING: usize = 8;
/// How long an answer may take.
const DEADLINE: Duration = Duration::from_secs(60);
/// Tells the program that its words come from no keyboard: no quote or dash in them was
/// put there by an editor.
pub const AS_IT_IS: &str = "GLOST_WORDS_AS_THEY_ARE";

/// How a question ended.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Ran {
    /// The exit code of the terminal's command.
    pub(crate) exit: u8,
    /// What it printed.
    pub(crate) answer: Vec<u8>,
    /// Whether it was done before, and only told again.
    pub(crate) is_repeat: bool,
}

/// Who asks the program.
#[derive(Debug, Clone)]
pub(crate) struct Caller(Arc<Inner>);

#[derive(Debug)]
struct Inner {
    program: Program,
    folder: PathBuf,
    commands: Vec<Command>,
    keeping: Keeping,
    at_work: Arc<Semaphore>,
    waiting: AtomicUsize,
}

impl Caller {
    pub(crate) fn new(program: Program, folder: PathBuf, commands: Vec<Command>, keeping: Keeping) -> Caller {
        Caller(Arc::new(Inner {
            program,
            folder,
            commands,
            keeping,
            at_work: Arc::new(Semaphore::new(AT_A_TIME)),
            waiting: AtomicUsize::new(0),
        }))
    }

    /// Asks a command; one with a `request` is done once, however often it comes.
    ///
    /// # Errors
    /// As [`call`]; too many wait, or it takes too long (503); a request that was cut
    /// off where nobody can tell what it did (409).
    pub(crate) async fn ask(&self, path: &str, body: &Map<String, Value>) -> Result<Ran, Refusal> {
        let mut asked = body.clone();
        let request = asked.shift_remove("request").filter(|request| !request.is_null());
        let call = call(&self.0.commands, path, &asked)?;
        let Some(request) = request else {
            return self.run(&call, "json").await;
        };
        self.done_once(&request, call, "json").await
    }

    /// A call that is finished whoever has gone meanwhile, and known again.
    async fn done_once(&self, request: &Value, call: Vec<String>, format: &'static str) -> Result<Ran, Refusal> {
        let once = OnceOnly::of(request, &call)?;
        let own = self.clone();
        let task = tokio::spawn(async move { own.run_once(&once, &call, format).await });
        task.await.unwrap_or_else(|why| {
            let message = format!("the request broke off inside Glost: {why}");
            Err(Refusal::new(StatusCode::INTERNAL_SERVER_ERROR, "our-fault", message))
        })
    }

    /// The answer as text, laid out for a page.
    ///
    /// # Errors
    /// As [`Caller::ask`].
    pub(crate) async fn ask_text(&self, path: &str, body: &Map<String, Value>) -> Result<Ran, Refusal> {
        let call = call(&self.0.commands, path, body)?;
        self.run(&call, "text").await
    }

    /// Takes a table in that was brought along, once: in words, what it did.
    ///
    /// # Errors
    /// As [`Caller::ask`].
    pub(crate) async fn taken_in(&self, table: &Path, taken_as: &[&str], request: &str) -> Result<Ran, Refusal> {
        let call = import(table, taken_as, &[]);
        self.done_once(&request.into(), call, "text").await
    }

    /// What taking it in would do, in words or as JSON.
    ///
    /// # Errors
    /// As [`Caller::ask`].
    pub(crate) async fn would_take_in(&self, table: &Path, taken_as: &[&str], format: &str) -> Result<Ran, Refusal> {
        self.run(&import(table, taken_as, &["--dry-run"]), format).await
    }

    /// The same as somebody types it.
    pub(crate) fn line(&self, path: &str, body: &Map<String, Value>) -> String {
        // What can't be called is shown by its name.
        call(&self.0.commands, path, body).map_or_else(|_| format!("glost {path}"), |call| typed(&call))
    }

    /// A file that a command writes beside its answer; `None` where it writes none.
    ///
    /// # Errors
    /// As [`Caller::ask`].
    pub(crate) async fn made(&self, words: &[&str], option: &str, ending: &str) -> Result<Option<Vec<u8>>, Refusal> {
        let own = secret().map_err(|why| Refusal::of(StatusCode::SERVICE_UNAVAILABLE, why))?;
        let path = self.0.keeping.new_file(&format!("{}.{ending}", &own[..16]));
        let mut call: Vec<String> = words.iter().map(|word| (*word).to_owned()).collect();
        call.insert(1, format!("--{option}={}", path.display()));
        let ran = self.run(&call, "json").await;
        // Where it isn't there, none was written.
        let file = std::fs::read(&path).ok();
        let _ = std::fs::remove_file(&path);
        ran.map(|_| file)
    }

    async fn run_once(&self, once: &OnceOnly, call: &[String], format: &str) -> Result<Ran, Refusal> {
        let alone = self.alone().await?;
        if let Some(known) = once.known(&self.0.keeping, &self.0.folder)? {
            return Ok(known);
        }
        let before = once.begin(&self.0.keeping, &self.0.folder)?;
        let ran = self.run_with(call, format, Stdio::from(alone)).await?;
        if ran.exit > 1 && before.still_holds(&self.0.folder) {
            // What was wrong may be mended: the same form is then done as if for the first time.
            once.forget(&self.0.keeping);
        } else if let Err(why) = once.done(&self.0.keeping, &ran) {
            // It is done and is told so. Sent again it is refused, since its books have grown.
            if ran.exit > 1 || before.still_holds(&self.0.folder) {
                return Err(why);
            }
        }
        Ok(ran)
    }

    /// A turn among requests with an id. The lock is the file's own and the process that
    /// does the request holds it, too: one that outlives a bench that was killed is
    /// waited for, so that nothing is done while it may still be doing it.
    async fn alone(&self) -> Result<File, Refusal> {
        let keeping = self.0.keeping.clone();
        let locked = tokio::task::spawn_blocking(move || keeping.locked());
        let broke = |why: String| {
            Refusal::new(
                StatusCode::SERVICE_UNAVAILABLE,
                "not-kept",
                format!("requests can't be kept: {why}"),
            )
        };
        match locked.await {
            Ok(Ok(file)) => Ok(file),
            Ok(Err(why)) => Err(broke(why.to_string())),
            Err(why) => Err(broke(why.to_string())),
        }
    }

    /// Runs a call; dropped, it ends the process.
    ///
    /// # Errors
    /// Too many wait, or it takes too long.
    pub(crate) async fn run(&self, call: &[String], format: &str) -> Result<Ran, Refusal> {
        self.run_with(call, format, Stdio::null()).await
    }

    async fn run_with(&self, call: &[String], format: &str, input: Stdio) -> Result<Ran, Refusal> {
        let _turn = self.turn().await?;
        let failed = |why: std::io::Error| {
            let message = format!("the answer can't be had: {why}");
            Refusal::new(StatusCode::SERVICE_UNAVAILABLE, "not-run", message)
        };
        let mut process = Process::new(&self.0.program.file);
        process.args(&self.0.program.before);
        process.arg(format!("--format={format}"));
        // It stands in the folder, as somebody at a terminal would.
        process
            .args(call)
            .current_dir(&self.0.folder)
            .env(AS_IT_IS, "1")
            .env("COLUMNS", glost_page::bench::COLUMNS.to_string())
            .stdin(input)
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .kill_on_drop(true);
        let child = process.spawn().map_err(failed)?;
        match tokio::time::timeout(DEADLINE, child.wait_with_output()).await {
            Ok(output) => {
                let output = output.map_err(failed)?;
                // One that was ended from outside has no code: that is nobody's answer.
                let exit = output.status.code().and_then(|code| u8::try_from(code).ok());
                let ended = || {
                    Refusal::new(
                        StatusCode::SERVICE_UNAVAILABLE,
                        "ended",
                        "the answer was ended from outside",
                    )
                };
                Ok(Ran {
                    exit: exit.ok_or_else(ended)?,
                    answer: output.stdout,
                    is_repeat: false,
                })
            }
            Err(_) => {
                let message = format!("no answer within {} seconds", DEADLINE.as_secs());
                Err(Refusal::new(StatusCode::SERVICE_UNAVAILABLE, "too-long", message).help("ask for less at a time"))
            }
        }
    }

    /// A turn at the desk.
    async fn turn(&self) -> Result<OwnedSemaphorePermit, Refusal> {
        let busy = || {
            let refusal = Refusal::new(
                StatusCode::SERVICE_UNAVAILABLE,
                "busy",
                "the desk is busy: too many questions wait",
            );
            refusal.help("ask again in a moment")
        };
        if let Ok(turn) = self.0.at_work.clone().try_acquire_owned() {
            return Ok(turn);
        }
        let _waiting = Waiting::among(&self.0.waiting).ok_or_else(busy)?;
        self.0.at_work.clone().acquire_owned().await.map_err(|_| busy())
    }
}

fn import(table: &Path, taken_as: &[&str], options: &[&str]) -> Vec<String> {
    let meanings = taken_as.iter().map(|meaning| format!("--as={meaning}"));
    let options = options.iter().map(|option| (*option).to_owned());
    let file = ["--".to_owned(), table.display().to_string()];
    let import = std::iter::once("import".to_owned());
    import.chain(meanings).chain(options).chain(file).collect()
}

/// A place among those who wait.
struct Waiting<'a>(&'a AtomicUsize);

impl Waiting<'_> {
    fn among(waiting: &AtomicUsize) -> Option<Waiting<'_>> {
        let before = waiting.fetch_add(1, Ordering::SeqCst);
        // Given back where there is none.
        let place = Waiting(waiting);
        (before < MOST_WAITING).then_some(place)
    }
}

impl Drop for Waiting<'_> {
    fn drop(&mut self) {
        self.0.fetch_sub(1, Ordering::SeqCst);
    }
}
