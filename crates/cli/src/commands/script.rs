use glost_page::layout::Style;
use glost_page::scripts::{OptionView, ScriptView, list_json, list_text, show_json, show_text};
use glost_script::Script;
use glost_studio::Workplace;
use serde_json::json;

use crate::args::{ScriptCommand, ScriptOptions};
use crate::outcome::{Answer, Failure, Outcome};
use crate::rulebook::Rulebook;

pub(super) fn run(options: &ScriptOptions, workplace: &Workplace, style: Style) -> Outcome {
    let book = Rulebook::open(workplace, workplace.settings())?;
    match &options.command {
        ScriptCommand::List => list(&book, style),
        ScriptCommand::New { .. } | ScriptCommand::Test { .. } | ScriptCommand::Reference { .. } => list(&book, style),
        ScriptCommand::Show { name, text } => {
            let script = book.script(workplace, name)?;
            if *text {
                let whole = script.source.text.to_string();
                return Ok(Answer::yes(whole.clone(), json!({"name": script.name, "text": whole})));
            }
            let view = view(&script);
            Ok(Answer::yes(show_text(&view, style), show_json(&view)))
        }
    }
}

fn list(book: &Rulebook, style: Style) -> Outcome {
    let (mut views, mut complaints) = (Vec::new(), Vec::new());
    for name in book.store.names() {
        match book.store.find(name) {
            Ok(script) => views.push(view(&script)),
            Err(why) => complaints.push(why),
        }
    }
    if !complaints.is_empty() {
        return Err(Failure::Wrong(complaints));
    }
    Ok(Answer::yes(list_text(&views, style), list_json(&views)))
}

fn view(script: &Script) -> ScriptView {
    let about = &script.about;
    ScriptView {
        name: script.name.clone(),
        kind: about.kind.word().to_owned(),
        title: about.title.clone(),
        source: about.source.clone(),
        purpose: script.purpose.clone(),
        uses: about.uses.clone(),
        shipped: script.shipped,
        options: about
            .options
            .iter()
            .map(|option| OptionView {
                name: option.name.clone(),
                value: option.value.text(),
                unit: option.unit.clone(),
                range: (option.min, option.max),
                help: option.help.clone(),
            })
            .collect(),
        tables: about
            .tables
            .iter()
            .map(|table| {
                let columns = table.columns.iter().map(|column| match column.kind.word() {
                    Some(kind) => format!("{} ({kind})", column.name),
                    None => column.name.clone(),
                });
                (table.name.clone(), columns.collect())
            })
            .collect(),
    }
}
