//! `glost open`: the bench in a browser, answered by this same program.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command as Process, Stdio};

use clap::{Arg, ArgAction, Command, CommandFactory};
use glost_chemistry::diagnostic::Diagnostic;
use glost_studio::find_studio;
use glost_web::{Addresses, ForPhones, Keeping, Key, Opening, Takes};

use crate::args::{Arguments, Common, Format, OpenOptions};
use crate::outcome::{Failure, Outcome};

/// Commands that no page asks: they would open another bench, or talk to an editor.
const NOT_ASKED: [&[&str]; 5] = [&["open"], &["script", "lsp"], &["help"], &["completions"], &["man"]];
/// How values are called that are text, in which a path means nothing.
const TEXT: [&str; 12] = [
    "TEXT",
    "WORDS",
    "WHY",
    "CAUSE",
    "TEST",
    "REPORT",
    "MARK",
    "N/PIECES",
    "PROPERTY=GRADE",
    "AIMS",
    "FORMULA",
    "AIM",
];

pub(super) fn run(options: &OpenOptions, common: &Common) -> Outcome {
    let program =
        std::env::current_exe().map_err(|why| glost_desk::Failure::our_fault("finding the program's own file", why))?;
    let opening = Opening {
        folder: folder(options, common)?,
        program,
        commands: commands(),
        port: options.port,
        until_stdin: options.until_stdin,
        phones: (options.phone.is_some() || options.class).then(|| ForPhones {
            address: options.phone.flatten(),
            with_class: options.class,
        }),
    };
    glost_web::open(opening, |addresses, keeping| told(options, common, addresses, keeping))?;
    Err(Failure::Written(0))
}

/// The folder said, else the studio that the call stands in, else where it stands.
fn folder(options: &OpenOptions, common: &Common) -> Result<PathBuf, Diagnostic> {
    let here = std::env::current_dir().unwrap_or_else(|_| PathBuf::from("."));
    let said = options.dir.as_ref().or(common.studio.as_ref());
    let folder = match said {
        Some(said) => here.join(said),
        None => find_studio(&here).unwrap_or(here),
    };
    if folder.is_dir() {
        return Ok(folder);
    }
    let message = format!("there is no folder {}", folder.display());
    Err(Diagnostic::error("no-folder", message)
        .help("make it first: an empty one is asked the five questions of the first day"))
}

fn told(options: &OpenOptions, common: &Common, addresses: &Addresses, keeping: &Keeping) -> Result<(), Diagnostic> {
    let text = match common.format {
        Format::Json => serde_json::to_string(addresses)
            .map_err(|why| Diagnostic::error("our-fault", format!("the address can't be told: {why}")))?,
        _ if options.no_browser => format!("The bench is open; the way in, once: {}", addresses.open),
        _ => format!("The bench is open: {} (Ctrl-C closes it)", addresses.address),
    };
    if let Some(phones) = &addresses.phones {
        crate::complain(&format!(
            "Phones come in at {phones} by plain http: only in a network you trust. Pair them on the page Phones. School networks often keep phones apart; the firewall may ask.\n"
        ));
    }
    let mut stdout = std::io::stdout().lock();
    // Whoever started it may not read what it says.
    let _ = writeln!(stdout, "{text}").and_then(|()| stdout.flush());
    if !options.no_browser {
        show(&keeping.way_in(&addresses.open)?, addresses);
    }
    Ok(())
}

/// Sends the browser to a file that leads in.
fn show(way_in: &Path, addresses: &Addresses) {
    let opener = if cfg!(target_os = "macos") {
        "open"
    } else if cfg!(windows) {
        "explorer"
    } else {
        "xdg-open"
    };
    let started = Process::new(opener)
        .arg(way_in)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn();
    if started.is_err() {
        crate::complain(&format!(
            "no browser could be started; open this, once: {}\n",
            addresses.open
        ));
    }
}

/// What can be asked, by the command line's own definition.
fn commands() -> Vec<glost_web::Command> {
    let mut all = Arguments::command();
    all.build();
    let mut found = Vec::new();
    for command in all.get_subcommands() {
        push(command, &[], &mut found);
    }
    found
}

fn push(command: &Command, before: &[String], found: &mut Vec<glost_web::Command>) {
    let mut words = before.to_vec();
    words.push(command.get_name().to_owned());
    if NOT_ASKED.iter().any(|not| words == *not) {
        return;
    }
    if !command.is_subcommand_required_set() {
        let keys: Vec<Key> = command
            .get_arguments()
            .filter(|argument| is_asked(argument))
            .map(key)
            .collect();
        for name in std::iter::once(command.get_name()).chain(command.get_all_aliases()) {
            let mut words = before.to_vec();
            words.push(name.to_owned());
            found.push(glost_web::Command {
                words,
                keys: keys.clone(),
            });
        }
    }
    for inner in command.get_subcommands() {
        push(inner, &words, found);
    }
}

/// The options of every command are the bench's to set.
fn is_asked(argument: &Arg) -> bool {
    let is_help = matches!(
        argument.get_action(),
        ArgAction::Help | ArgAction::HelpLong | ArgAction::HelpShort | ArgAction::Version
    );
    !is_help && !argument.is_global_set()
}

fn key(argument: &Arg) -> Key {
    let least = argument.get_num_args().map(|range| range.min_values());
    let takes = match (argument.get_action().takes_values(), least) {
        (false, _) => Takes::Nothing,
        (true, Some(0)) => Takes::MaybeValue,
        (true, _) => Takes::Value,
    };
    let id = argument.get_id().as_str();
    let called = argument.get_value_names().and_then(|names| names.first());
    Key {
        name: argument.get_long().unwrap_or(id).to_owned(),
        other_names: argument
            .get_all_aliases()
            .into_iter()
            .flatten()
            .map(str::to_owned)
            .collect(),
        takes,
        position: argument.get_index(),
        is_text: called.is_some_and(|name| TEXT.contains(&name.as_str())),
    }
}
