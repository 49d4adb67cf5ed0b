//! `glost --help`: commands by what one wants, the first day first.

use clap::Command;
use glost_page::layout::{columns, indented, paragraph};

/// What one wants, with the commands for it; names that aren't there are passed by.
const GROUPS: [(&str, &[&str]); 7] = [
    ("Day one", &["start", "open", "read", "init", "import", "lesson"]),
    (
        "Mixing",
        &[
            "weigh", "slurry", "label", "card", "batches", "cost", "sieve", "convert",
        ],
    ),
    (
        "Looking",
        &[
            "glazes", "unity", "check", "fit", "note", "notes", "due", "fault", "history", "lab", "recall", "melt",
            "chart", "year", "clay", "kiln",
        ],
    ),
    (
        "Recipes",
        &[
            "swap",
            "adjust",
            "reach",
            "compare",
            "affected",
            "sensitivity",
            "keep",
            "formula",
        ],
    ),
    ("Tests", &["blend", "plan", "results", "expect", "exercises"]),
    ("Shelf", &["materials", "add", "set", "rename", "shelf", "export"]),
    ("Rules", &["script", "run", "schema", "completions", "man"]),
];
/// Commands that no group names.
const OTHERS: &str = "More";

/// With the text of `glost --help`, laid out for the terminal.
pub(crate) fn grouped(command: Command) -> Command {
    let text = text(&command);
    command.override_help(text)
}

fn text(command: &Command) -> String {
    let about = command.get_about().map_or_else(String::new, ToString::to_string);
    let mut text = paragraph(&about, 0);
    text.push_str("\nUsage: glost [OPTIONS] <COMMAND>\n");
    text.push_str(&paragraph(
        "A name of several words stands in quotes: glost unity \"Lamplight clear\". `glost COMMAND --help` tells of one command.",
        0,
    ));
    let known = |name: &str| command.find_subcommand(name).filter(|found| !found.is_hide_set());
    let names = command.get_subcommands().map(|found| columns(found.get_name()));
    let width = names.max().unwrap_or(0);
    for (group, commands) in GROUPS {
        push_group(&mut text, group, commands.iter().filter_map(|name| known(name)), width);
    }
    let grouped = |name: &str| GROUPS.iter().any(|(_, names)| names.contains(&name));
    let others = command
        .get_subcommands()
        .filter(|found| !grouped(found.get_name()) && !found.is_hide_set());
    push_group(&mut text, OTHERS, others, width);
    text.push_str("\nOptions of every command:\n");
    for argument in command.get_arguments().filter(|argument| argument.get_long().is_some()) {
        let long = argument.get_long().unwrap_or("");
        let value = argument.get_value_names().and_then(|names| names.first());
        let value = value.map_or_else(String::new, |name| format!(" {name}"));
        let about = argument.get_help().map_or_else(String::new, ToString::to_string);
        text.push_str(&indented(&format!("  {:<18}  ", format!("--{long}{value}")), &about));
    }
    for (lead, about) in [("-h, --help", "Print help"), ("-V, --version", "Print version")] {
        text.push_str(&indented(&format!("  {lead:<18}  "), about));
    }
    text
}

fn push_group<'a>(text: &mut String, group: &str, commands: impl Iterator<Item = &'a Command>, width: usize) {
    let mut commands = commands.peekable();
    if commands.peek().is_none() {
        return;
    }
    text.push_str(&format!("\n{group}:\n"));
    for command in commands {
        let about = command.get_about().map_or_else(String::new, ToString::to_string);
        text.push_str(&indented(&format!("  {:<width$}  ", command.get_name()), &about));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn every_command_is_told_and_start_first() {
        let command = crate::args::Arguments::command();
        let text = text(&command);
        for found in command.get_subcommands() {
            assert!(
                text.contains(&format!("\n  {} ", found.get_name())),
                "{}",
                found.get_name()
            );
        }
        let first = text.lines().skip_while(|line| *line != "Day one:").nth(1);
        assert!(
            first.is_some_and(|line| line.trim_start().starts_with("start ")),
            "{text}"
        );
    }
}
