//! The door between the terminal and the desk: what was typed goes in as words,
//! the answer comes back and is shown.

use std::io::IsTerminal;
use std::path::PathBuf;
use std::sync::{Mutex, OnceLock, PoisonError};
use std::time::{Duration, Instant};

use clap::parser::ValueSource;
use clap::{ArgMatches, Command};
use glost_chemistry::diagnostic::Diagnostic;
use glost_desk::{Aside, Desk, Place, Question, Words, wire};
use glost_page::Shown;
use glost_page::incomplete;
use glost_page::layout::Style;
use glost_studio::create_new;
use serde_json::Value;

use crate::args::{Common, Format};
use crate::outcome::{self, Answer, Failure, Outcome};

/// What was typed after the command's name, by the names of long options and of
/// what has none; defaults are left to the desk.
pub(crate) fn words(command: &Command, matches: &ArgMatches) -> Words {
    let mut words = Words::default();
    let (mut command, mut matches) = (command, matches);
    while let Some((name, inner)) = matches.subcommand() {
        let Some(named) = command.find_subcommand(name) else {
            break;
        };
        (command, matches) = (named, inner);
        for argument in command.get_arguments() {
            let id = argument.get_id().as_str();
            if matches.value_source(id) != Some(ValueSource::CommandLine) {
                continue;
            }
            for value in matches.get_raw(id).into_iter().flatten() {
                words.push(argument.get_long().unwrap_or(id), value.to_string_lossy());
            }
        }
    }
    words
}

/// Asks one question of the studio that the call stands in.
pub(crate) fn answer<Q: Question>(words: &Words, common: &Common, style: Style) -> Outcome
where
    Q::Answer: Shown,
{
    let desk = open(common)?;
    let outcome = ask::<Q>(words, &desk, common.format, style);
    left_to_the_system(desk);
    outcome
}

/// As [`answer`], where scripts are looked at and none is run.
pub(crate) fn answer_looking<Q: Question>(words: &Words, common: &Common, style: Style) -> Outcome
where
    Q::Answer: Shown,
{
    let desk = Desk::open_to_look(place(common), crate::clock::today)?;
    ask::<Q>(words, &desk, common.format, style)
}

/// What was read of a studio stays until the process ends, which is next: taking thousands of
/// notes and glazes apart one by one takes a tenth of a call.
fn left_to_the_system<T>(read: T) {
    std::mem::forget(read);
}

/// As [`answer`], with stocks as they are once every booking is finished.
pub(crate) fn answer_settled<Q: Question>(words: &Words, common: &Common, style: Style) -> Outcome
where
    Q::Answer: Shown,
{
    let desk = open_settled(common)?;
    let outcome = ask::<Q>(words, &desk, common.format, style);
    left_to_the_system(desk);
    outcome
}

/// As [`answer`], for what may need no studio: then none is opened.
pub(crate) fn answer_anywhere<Q: Question>(words: &Words, common: &Common, style: Style) -> Outcome
where
    Q::Answer: Shown,
{
    let question = Q::from_words(words)?;
    if let Some(tried) = question.rehearsal().and_then(|rehearsal| rehearsal.at_once()) {
        tried?.printed()?;
    }
    match question.at_once() {
        Some(answer) => shown(&answer?, &[], common.format, style),
        None => ask_read(&question, &open(common)?, common.format, style),
    }
}

/// Asks one question at an open desk.
pub(crate) fn ask<Q: Question>(words: &Words, desk: &Desk, format: Format, style: Style) -> Outcome
where
    Q::Answer: Shown,
{
    match desk.read::<Q>(words) {
        Ok(question) => ask_read(&question, desk, format, style),
        Err(failure) => {
            tell(desk);
            Err(failure.into())
        }
    }
}

/// As [`ask`], of a question that is read already.
pub(crate) fn ask_read<Q: Question>(question: &Q, desk: &Desk, format: Format, style: Style) -> Outcome
where
    Q::Answer: Shown,
{
    let answered = rehearsed(question, desk);
    // Of an answer that isn't there nothing is left out.
    let left_out = answered.as_ref().map_or(Vec::new(), |_| desk.take_left_out());
    tell(desk);
    let broken = desk.take_broken_bounds();
    let answered = answered?;
    // Nothing that was asked hangs on a package of scripts that was changed, or it would be no answer.
    let broken: Vec<&Diagnostic> = broken.iter().chain(desk.changed_package()).collect();
    for why in &broken {
        crate::complain(&crate::complaint(why));
    }
    let answer = shown(&answered, &left_out, format, style)?;
    left_to_the_system(answered);
    Ok(Answer {
        broke_bounds: !broken.is_empty(),
        ..answer
    })
}

/// The answer, after what can't be printed of it is known: before anything is done.
fn rehearsed<Q: Question>(question: &Q, desk: &Desk) -> Result<Q::Answer, Failure>
where
    Q::Answer: Shown,
{
    if let Some(rehearsal) = question.rehearsal() {
        rehearsal.ask(desk)?.printed()?;
        // The same will be told of the answer itself.
        desk.take_asides();
        desk.take_left_out();
        desk.take_broken_bounds();
    }
    Ok(question.ask(desk)?)
}

/// An answer of whatever question, to be shown: what it takes is built once and not once a
/// question.
trait Told: Shown {
    fn says_no(&self) -> bool;
    fn unwritten(&self, why: Diagnostic) -> Diagnostic;
    fn long_json(&self) -> Option<serde_json::Result<String>>;
    fn value(&self) -> serde_json::Result<Value>;
}

impl<A: glost_desk::Answer + Shown> Told for A {
    fn says_no(&self) -> bool {
        glost_desk::Answer::says_no(self)
    }

    fn unwritten(&self, why: Diagnostic) -> Diagnostic {
        glost_desk::Answer::unwritten(self, why)
    }

    fn long_json(&self) -> Option<serde_json::Result<String>> {
        glost_desk::Answer::long_json(self)
    }

    fn value(&self) -> serde_json::Result<Value> {
        serde_json::to_value(self)
    }
}

/// An answer with its files written, and what it left out.
fn shown(answer: &dyn Told, left_out: &[Diagnostic], format: Format, style: Style) -> Outcome {
    for why in left_out {
        crate::complain(&crate::complaint(why));
    }
    let printed = answer.printed()?;
    for file in &printed.files {
        create_new(&file.path, &file.text).map_err(|why| answer.unwritten(why))?;
    }
    if format == Format::Csv
        && let Some(csv) = answer.csv()
    {
        for line in &csv.beside {
            crate::complain_line(&line);
        }
        return Ok(Answer {
            is_incomplete: !left_out.is_empty(),
            ..Answer::yes(csv.without(left_out).rows, Value::Null)
        });
    }
    // Only what is printed is made: a notebook of years is large both ways.
    let verbatim = printed.instead.is_some() || answer.is_verbatim();
    let (text, json) = if format == Format::Json {
        (String::new(), json(answer, printed.json, left_out)?)
    } else {
        let text = printed
            .instead
            .unwrap_or_else(|| answer.text(style) + printed.said.as_str() + incomplete::text(left_out).as_str());
        (text, String::new())
    };
    Ok(Answer {
        text,
        verbatim,
        says_no: answer.says_no(),
        is_incomplete: !left_out.is_empty(),
        broke_bounds: false,
        json,
    })
}

/// The answer as JSON, with what is printed beside it.
fn json(answer: &dyn Told, beside: Vec<(&'static str, Value)>, left_out: &[Diagnostic]) -> Result<String, Failure> {
    let fault = |why| Failure::from(glost_desk::Failure::our_fault("writing the answer as JSON", why));
    if beside.is_empty()
        && left_out.is_empty()
        && let Some(long) = answer.long_json()
    {
        return long.map_err(fault);
    }
    let mut json = answer.value().map_err(fault)?;
    for (key, value) in beside {
        json[key] = value;
    }
    wire::incomplete(&mut json, left_out).map_err(fault)?;
    Ok(outcome::pretty(&json))
}

/// Opens the studio that the call stands in.
pub(crate) fn open(common: &Common) -> Result<Desk, Failure> {
    Ok(Desk::open(place(common), crate::clock::today)?.telling_progress(progress))
}

/// As [`open`], whatever became of packages: for what takes them in and out.
pub(crate) fn open_to_mend(common: &Common) -> Result<Desk, Failure> {
    Ok(Desk::open_to_mend(place(common), crate::clock::today)?)
}

/// Work longer than this tells how far it is, and then as often.
const QUIET: Duration = Duration::from_secs(1);

/// Says now and then how far long work is, to whoever watches.
fn progress(done: usize, all: usize) {
    if !std::io::stderr().is_terminal() {
        return;
    }
    static SINCE: OnceLock<Mutex<Instant>> = OnceLock::new();
    let since = SINCE.get_or_init(|| Mutex::new(Instant::now()));
    let mut told = since.lock().unwrap_or_else(PoisonError::into_inner);
    if told.elapsed() > QUIET {
        *told = Instant::now();
        crate::complain(&format!("{done} of {all} glazes\n"));
    }
}

/// Says now and then how long scripts have run, to whoever watches.
pub(crate) fn scripts_have_run(so_far: Duration, most: Duration) {
    if !std::io::stderr().is_terminal() {
        return;
    }
    static TOLD: Mutex<Option<Instant>> = Mutex::new(None);
    let mut told = TOLD.lock().unwrap_or_else(PoisonError::into_inner);
    if told.is_none_or(|told| told.elapsed() > QUIET) {
        *told = Some(Instant::now());
        let (so_far, most) = (so_far.as_secs(), most.as_secs());
        crate::complain(&format!("scripts have run {so_far} s, {most} s is the most\n"));
    }
}

fn open_settled(common: &Common) -> Result<Desk, Failure> {
    Ok(Desk::open_settled(place(common), crate::clock::today)?)
}

fn place(common: &Common) -> Place {
    Place {
        studio: common.studio.clone(),
        materials: common.materials.clone(),
        here: std::env::current_dir().unwrap_or_else(|_| PathBuf::from(".")),
    }
}

/// Says on stderr what the desk told aside.
pub(crate) fn tell(desk: &Desk) {
    for aside in desk.take_asides() {
        match aside {
            Aside::NoStudio(notice) => crate::complain_line(&notice),
            Aside::Printed(line) => crate::complain_line(&line),
            Aside::Complaint(complaint) => crate::complain(&crate::complaint(&complaint)),
        }
    }
}
