//! What a shell offers while a call is typed: commands and options, and the studio's
//! own names where one is wanted.
//!
//! The shell asks this program at each key, by a variable of the environment; the
//! part of `clap_complete` that answers is marked unstable by its makers.

use std::ffi::OsStr;

use clap::builder::StyledStr;
use clap::{Command, CommandFactory};
use clap_complete::env::{CompleteEnv, Shells};
use clap_complete::{ArgValueCompleter, CompletionCandidate};
use glost_chemistry::diagnostic::{Diagnostic, suggestion};
use glost_desk::{Desk, NamesOf, Place};

use crate::args::Arguments;
use crate::outcome::{Answer, Failure, Outcome};
use crate::{clock, help};

/// The variable by which a shell asks.
const ASKED: &str = "GLOST_COMPLETE";
/// By the names of options and of what has none: which names fit there.
const WANTED: [(&str, NamesOf); 13] = [
    ("glaze", NamesOf::Glazes),
    ("glazes", NamesOf::Glazes),
    ("near", NamesOf::Glazes),
    ("material", NamesOf::Materials),
    ("with", NamesOf::Materials),
    ("without", NamesOf::Materials),
    ("out", NamesOf::Materials),
    ("keep", NamesOf::Materials),
    ("drop", NamesOf::Materials),
    ("clay", NamesOf::Clays),
    ("script", NamesOf::Scripts),
    ("limits", NamesOf::Scripts),
    ("check", NamesOf::Scripts),
];

/// Likewise where a command's own word says what fits: its name, and the argument's.
const WANTED_BY: [(&str, &str, NamesOf); 5] = [
    ("set", "name", NamesOf::Any),
    ("rename", "old", NamesOf::Any),
    ("show", "name", NamesOf::Scripts),
    ("test", "name", NamesOf::Scripts),
    ("diff", "name", NamesOf::Scripts),
];

/// Bash puts names in as they are: one of several words would come apart.
const QUOTED_IN_BASH: &str = r#"
_glost_quoted() {
    _clap_complete_glost "$@"
    [[ "${COMP_WORDS[COMP_CWORD]}" == [\"\']* ]] && return
    local at
    for at in "${!COMPREPLY[@]}"; do
        printf -v "COMPREPLY[at]" %q "${COMPREPLY[at]}"
    done
}
complete -o nospace -o bashdefault -F _glost_quoted glost
"#;

/// Answers a shell that asks, and ends then; else does nothing.
pub(crate) fn if_asked() {
    if std::env::var_os(ASKED).is_some() {
        CompleteEnv::with_factory(with_names).var(ASKED).complete();
    }
}

/// What a shell has to be told once to ask.
pub(crate) fn script(shell: &str) -> Outcome {
    let shells = Shells::builtins();
    let Some(known) = shells.completer(shell) else {
        let names = || shells.names();
        let all: Vec<&str> = names().collect();
        let error = Diagnostic::error("bad-option", format!("there are no completions for `{shell}`"));
        let help = suggestion(shell, names()).unwrap_or_else(|| format!("there are some for {}", all.join(", ")));
        return Err(error.help(help).into());
    };
    let mut text = Vec::new();
    known
        .write_registration(ASKED, "glost", "glost", "glost", &mut text)
        .map_err(|why| Failure::from(glost_desk::Failure::our_fault("the completions", why)))?;
    let mut text = String::from_utf8_lossy(&text).into_owned();
    if shell == "bash" {
        text.push_str(QUOTED_IN_BASH);
    }
    let json = serde_json::json!({ "shell": shell, "text": text });
    Ok(Answer {
        verbatim: true,
        ..Answer::yes(text, json)
    })
}

/// The command with the names that fit each place.
fn with_names() -> Command {
    named(help::grouped(Arguments::command()))
}

fn named(command: Command) -> Command {
    let within = command.get_name().to_owned();
    let command = command.mut_args(|argument| {
        let name = argument.get_long().unwrap_or(argument.get_id().as_str());
        let everywhere = WANTED.iter().find(|(wanted, _)| *wanted == name).map(|(_, of)| *of);
        let here = WANTED_BY
            .iter()
            .find(|(of, wanted, _)| *of == within && *wanted == name);
        match here.map(|(_, _, of)| *of).or(everywhere) {
            Some(of) => argument.add(ArgValueCompleter::new(move |typed: &OsStr| fitting(of, typed))),
            None => argument,
        }
    });
    command.mut_subcommands(named)
}

/// The names that begin as typed, without regard to case. Nothing where the studio can't
/// be read: the call itself will say why.
fn fitting(of: NamesOf, typed: &OsStr) -> Vec<CompletionCandidate> {
    // Some shells hand over what stands before a space with its backslash, and a quote that
    // is still open.
    let typed = typed.to_string_lossy().to_lowercase().replace('\\', "");
    let typed = typed.trim_start_matches(['"', '\'']);
    let here = std::env::current_dir();
    let desk = here.ok().and_then(|here| {
        let place = Place {
            studio: None,
            materials: Vec::new(),
            here,
        };
        Desk::open(place, clock::today).ok()
    });
    let names = desk.map_or_else(Vec::new, |desk| desk.names(of));
    let fitting = names.into_iter().filter(|name| name.to_lowercase().starts_with(typed));
    fitting
        .map(|name| CompletionCandidate::new(name).help(None::<StyledStr>))
        .collect()
}
