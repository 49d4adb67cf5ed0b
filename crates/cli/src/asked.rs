//! What can be asked by programs, by the command line's own definition.

use clap::{Arg, ArgAction, Command, CommandFactory};
use glost_web::{Command as Asked, Key, Takes};

use crate::args::Arguments;

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

/// What can be asked, by the command line's own definition.
pub fn commands() -> Vec<Asked> {
    let mut all = Arguments::command();
    all.build();
    let mut found = Vec::new();
    for command in all.get_subcommands() {
        push(command, &[], &mut found);
    }
    found
}

fn push(command: &Command, before: &[String], found: &mut Vec<Asked>) {
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
            found.push(Asked {
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
