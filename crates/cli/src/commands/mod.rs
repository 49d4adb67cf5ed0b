//! One file for each command.

mod add;
mod blend;
mod icon;
mod kiln;
mod open;
mod over;
mod packages;
mod read;
mod start;
mod watch;

use glost_chemistry::diagnostic::Diagnostic;
use glost_desk::{Words, scripts};
use glost_page::layout::Style;

use crate::args::{Arguments, Command, Common, Format, ScriptCommand, ScriptOptions};
use crate::complete;
use crate::door;
use crate::lsp;
use crate::manual;
use crate::outcome::Outcome;

pub(crate) fn run(arguments: &Arguments, words: &Words, style: Style) -> Outcome {
    let common = &arguments.common;
    let gives_lines = matches!(&arguments.command, Command::Check(options) if options.over.is_some());
    if common.format == Format::Csv && !has_rows(&arguments.command) {
        let error = Diagnostic::error(
            "bad-option",
            "--format csv goes with tables; what this command answers is none",
        );
        return Err(error
            .help("here it is text or json; json has every number in full")
            .into());
    }
    glost_script::command_begins(common.script_time);
    if !gives_lines {
        glost_script::on_long_scripts(door::scripts_have_run);
    }
    match &arguments.command {
        Command::Formula(_) => door::answer_anywhere::<glost_desk::formula::Question>(words, common, style),
        Command::Import(_) => door::answer::<glost_desk::import::Question>(words, common, style),
        Command::Exercises(_) => door::answer_anywhere::<glost_desk::exercises::Question>(words, common, style),
        Command::Export(_) => door::answer::<glost_desk::export::Question>(words, common, style),
        Command::Glazes(_) => door::answer::<glost_desk::glazes::Question>(words, common, style),
        Command::Compare(_) => door::answer::<glost_desk::compare::Question>(words, common, style),
        Command::History(_) => door::answer::<glost_desk::history::Question>(words, common, style),
        Command::Init(_) => door::answer_anywhere::<glost_desk::init::Question>(words, common, style),
        Command::Start(_) => start::run(words, common, style),
        Command::Results(options) if options.all => {
            door::answer::<glost_desk::expect::whole::Question>(words, common, style)
        }
        Command::Expect(_) => door::answer::<glost_desk::expect::Question>(words, common, style),
        Command::Results(_) => door::answer::<glost_desk::results::Question>(words, common, style),
        Command::Fit(_) => door::answer::<glost_desk::fit::Question>(words, common, style),
        Command::Label(_) => door::answer_anywhere::<glost_desk::label::Question>(words, common, style),
        Command::Card(_) => door::answer::<glost_desk::card::Question>(words, common, style),
        Command::Unity(_) => door::answer::<glost_desk::unity::Question>(words, common, style),
        Command::Chart(_) => door::answer::<glost_desk::chart::Question>(words, common, style),
        Command::Check(_) if gives_lines => over::run(words, common),
        Command::Check(_) => door::answer::<glost_desk::check::Question>(words, common, style),
        Command::Swap(_) => door::answer::<glost_desk::swap::Question>(words, common, style),
        Command::Reach(_) => door::answer::<glost_desk::reach::Question>(words, common, style),
        Command::Adjust(_) => door::answer::<glost_desk::adjust::Question>(words, common, style),
        Command::Affected(_) => door::answer::<glost_desk::affected::Question>(words, common, style),
        Command::Shelf(_) => door::answer_settled::<glost_desk::shelf::Question>(words, common, style),
        Command::Fault(_) => door::answer::<glost_desk::fault::Question>(words, common, style),
        Command::Run(_) => door::answer_settled::<glost_desk::run::Question>(words, common, style),
        Command::Blend(_) => blend::run(words, common, style),
        Command::Keep(_) => door::answer::<glost_desk::keep::Question>(words, common, style),
        Command::Plan(_) => door::answer::<glost_desk::plan::Question>(words, common, style),
        Command::Weigh(options) if options.commit => door::answer::<glost_desk::weigh::Question>(words, common, style),
        Command::Weigh(_) => door::answer_settled::<glost_desk::weigh::Question>(words, common, style),
        Command::Batches(_) => door::answer::<glost_desk::batches::Question>(words, common, style),
        Command::Cost(_) => door::answer::<glost_desk::cost::Question>(words, common, style),
        Command::Convert(_) => door::answer::<glost_desk::convert::Question>(words, common, style),
        Command::Slurry(_) => door::answer::<glost_desk::slurry::Question>(words, common, style),
        Command::Clay(_) => door::answer::<glost_desk::clay::Question>(words, common, style),
        Command::Sensitivity(_) => door::answer::<glost_desk::sensitivity::Question>(words, common, style),
        Command::Melt(_) => door::answer::<glost_desk::melt::Question>(words, common, style),
        Command::Note(_) => door::answer::<glost_desk::note::Question>(words, common, style),
        Command::Notes(_) => door::answer::<glost_desk::notes::Question>(words, common, style),
        Command::Kiln(options) => kiln::run(options, words, common, style),
        Command::Open(options) => open::run(options, common),
        Command::Recall(_) => door::answer::<glost_desk::recall::Question>(words, common, style),
        Command::Lab(_) => door::answer::<glost_desk::lab::Question>(words, common, style),
        Command::Year(_) => door::answer::<glost_desk::year::Question>(words, common, style),
        Command::Due(_) => door::answer::<glost_desk::due::Question>(words, common, style),
        Command::Add(_) => add::run(words, common, style),
        Command::Rename(_) => door::answer_settled::<glost_desk::rename::Question>(words, common, style),
        Command::Set(_) => door::answer_settled::<glost_desk::set::Question>(words, common, style),
        Command::Completions(options) => complete::script(&options.shell),
        Command::Man(options) => manual::write(&options.dir),
        Command::Schema(_) => door::answer_anywhere::<glost_desk::schema::Question>(words, common, style),
        Command::Sieve(_) => door::answer_anywhere::<glost_desk::sieve::Question>(words, common, style),
        Command::Read(options) => read::run(options, words, common, style),
        Command::Materials(_) => door::answer_settled::<glost_desk::materials::Question>(words, common, style),
        Command::Script(options) => script(options, words, common, style),
    }
}

/// Whether a command's answer is a table.
fn has_rows(command: &Command) -> bool {
    match command {
        Command::Kiln(options) => options.command.is_none(),
        Command::Script(options) => matches!(options.command, ScriptCommand::List),
        Command::Check(_)
        | Command::Unity(_)
        | Command::Weigh(_)
        | Command::Blend(_)
        | Command::Swap(_)
        | Command::Reach(_)
        | Command::History(_)
        | Command::Lab(_)
        | Command::Sieve(_)
        | Command::Sensitivity(_)
        | Command::Fault(_)
        | Command::Melt(_)
        | Command::Slurry(_)
        | Command::Exercises(_)
        | Command::Plan(_)
        | Command::Run(_)
        | Command::Glazes(_)
        | Command::Compare(_)
        | Command::Materials(_)
        | Command::Notes(_)
        | Command::Due(_)
        | Command::Batches(_)
        | Command::Cost(_)
        | Command::Affected(_)
        | Command::Shelf(_)
        | Command::Year(_)
        | Command::Chart(_)
        | Command::Results(_) => true,
        _ => false,
    }
}

fn script(options: &ScriptOptions, words: &Words, common: &Common, style: Style) -> Outcome {
    match &options.command {
        ScriptCommand::List => door::answer_looking::<scripts::list::Question>(words, common, style),
        ScriptCommand::Show { .. } => door::answer_looking::<scripts::show::Question>(words, common, style),
        ScriptCommand::New { .. } => door::answer_looking::<scripts::new::Question>(words, common, style),
        ScriptCommand::Test { watch: true, name, .. } => watch::run(name.as_deref(), words, common, style),
        ScriptCommand::Test { .. } => door::answer::<scripts::test::Question>(words, common, style),
        ScriptCommand::Diff { .. } => door::answer_looking::<scripts::diff::Question>(words, common, style),
        ScriptCommand::Add { .. } => packages::run("add", words, common, style),
        ScriptCommand::Update { .. } => packages::run("update", words, common, style),
        ScriptCommand::Remove { .. } => packages::run("remove", words, common, style),
        ScriptCommand::Pack { .. } => packages::run("pack", words, common, style),
        ScriptCommand::Lsp { .. } => lsp::run(common),
        ScriptCommand::Reference { .. } => door::answer_looking::<scripts::reference::Question>(words, common, style),
    }
}
