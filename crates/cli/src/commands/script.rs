use std::path::Path;
use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, suggestion};
use glost_page::layout::Style;
use glost_page::reference::{EntryView, ReferencePage};
use glost_page::scripts::{
    OptionView, ScriptView, TestView, TestedView, list_json, list_text, new_text, show_json, show_text, test_json,
    test_text,
};
use glost_script::{DEFINITIONS_HEAD, FailureKind, Form, GROUPS, Kind, Scene, Script, template};
use glost_studio::Workplace;
use serde_json::json;

use crate::args::{ScriptCommand, ScriptOptions};
use crate::outcome::{Answer, Failure, Outcome};
use glost_desk::rulebook::Rulebook;

pub(super) fn run(options: &ScriptOptions, workplace: &Workplace, style: Style) -> Outcome {
    let book = Rulebook::open(workplace, workplace.settings())?;
    match &options.command {
        ScriptCommand::List => list(&book, style),
        ScriptCommand::New { kind, name } => new(&book, workplace, kind, name, style),
        ScriptCommand::Test { name } => test(&book, workplace, name.as_deref(), style),
        ScriptCommand::Reference { definitions } => reference(workplace, definitions.as_deref(), style),
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
    let views: Vec<ScriptView> = every(book)?.iter().map(|script| view(script)).collect();
    Ok(Answer::yes(list_text(&views, style), list_json(&views)))
}

/// Writes a script to start from; never over anything.
fn new(book: &Rulebook, workplace: &Workplace, kind: &str, name: &str, style: Style) -> Outcome {
    let kinds = Kind::ALL.map(Kind::word);
    let kind = Kind::from_word(kind).ok_or_else(|| {
        Diagnostic::error("unknown-kind", format!("`{kind}` is no kind of script"))
            .help(format!("one of {}", kinds.join(", ")))
            .maybe_help(suggestion(kind, kinds))
    })?;
    let name = plain_name(kind, name)?;
    let (whole, path, shown) = match workplace.studio_dir() {
        Some(dir) => {
            let whole = format!("{}/{name}", kind.word());
            let path = dir.join("scripts").join(format!("{whole}.rhai"));
            (whole.clone(), path, format!("scripts/{whole}.rhai"))
        }
        None => {
            let file = format!("{name}.rhai");
            (file.clone(), workplace.path(&file), file)
        }
    };
    if let Some(folder) = path.parent() {
        std::fs::create_dir_all(folder)
            .map_err(|why| Diagnostic::error("cannot-write", format!("{} can't be made: {why}", folder.display())))?;
    }
    glost_studio::create_new(&path, &template(kind, &whole))?;
    let covers = book
        .store
        .find(&whole)
        .is_ok_and(|known| known.name == whole && known.shipped);
    Ok(Answer::yes(
        new_text(&shown, &whole, covers, style),
        json!({"name": whole, "kind": kind.word(), "file": path.display().to_string()}),
    ))
}

/// The name without its kind and ending, if it can name a file.
fn plain_name(kind: Kind, name: &str) -> Result<String, Diagnostic> {
    let bare = name.strip_suffix(".rhai").unwrap_or(name);
    let bare = bare
        .strip_prefix(kind.word())
        .and_then(|rest| rest.strip_prefix('/'))
        .unwrap_or(bare);
    let fits = |sign: char| sign.is_alphanumeric() || matches!(sign, '-' | '_');
    if bare.is_empty() || bare.len() > 60 || !bare.chars().all(fits) || !bare.starts_with(char::is_alphanumeric) {
        return Err(Diagnostic::error("bad-name", format!("`{name}` can't name a script"))
            .help("letters, digits and hyphens, such as spring-retest"));
    }
    Ok(bare.to_owned())
}

/// Runs the tests of one script, or of all. The shipped ones see the shipped
/// materials alone, so that no studio's sheets can fail them.
fn test(book: &Rulebook, workplace: &Workplace, name: Option<&str>, style: Style) -> Outcome {
    let scripts = match name {
        Some(name) => vec![book.script(workplace, name)?],
        None => every(book)?,
    };
    let shipped = book.with_limits(Arc::new(Scene {
        library: Arc::new(glost_studio::shipped_library().0.clone()),
        ..Scene::default()
    }));
    let own = if scripts.iter().all(|script| script.shipped) {
        shipped.clone()
    } else {
        book.with_limits(super::run::studio_scene(workplace)?)
    };
    let mut tested = Vec::new();
    for script in &scripts {
        let mut tests = Vec::new();
        for outcome in script.run_tests(if script.shipped { &shipped } else { &own }) {
            for line in &outcome.printed {
                crate::complain(&format!("{}: {line}\n", outcome.test));
            }
            if let Some(broken) = outcome
                .broke_off
                .as_ref()
                .filter(|why| why.kind == FailureKind::BrokeBounds)
            {
                return Err(broken.clone().into());
            }
            let failures: Vec<Diagnostic> = outcome
                .failures
                .iter()
                .map(|failure| failure.diagnostic(script))
                .chain(outcome.broke_off.iter().map(|failure| failure.diagnostic.clone()))
                .collect();
            tests.push(TestView {
                name: outcome.test,
                failures,
            });
        }
        tested.push(TestedView {
            script: script.name.clone(),
            tests,
        });
    }
    Ok(Answer {
        text: test_text(&tested, style),
        json: test_json(&tested),
        says_no: tested.iter().any(TestedView::fails),
    })
}

fn every(book: &Rulebook) -> Result<Vec<Arc<Script>>, Failure> {
    let (mut scripts, mut complaints) = (Vec::new(), Vec::new());
    for name in book.store.names() {
        match book.store.find(name) {
            Ok(script) => scripts.push(script),
            Err(why) => complaints.push(why),
        }
    }
    if complaints.is_empty() {
        Ok(scripts)
    } else {
        Err(Failure::Wrong(complaints))
    }
}

fn reference(workplace: &Workplace, definitions: Option<&Path>, style: Style) -> Outcome {
    if let Some(dir) = definitions {
        return write_definitions(&workplace.path(&dir.to_string_lossy()));
    }
    let entries: Vec<EntryView> = glost_script::reference()
        .iter()
        .map(|entry| EntryView {
            group: entry.group(),
            form: form_word(entry.form),
            name: entry.name,
            signature: entry.signature(),
            returns: entry.returns.word(),
            about: entry.about,
            example: entry.shown_example(),
        })
        .collect();
    let kinds: Vec<(String, String)> = Kind::ALL
        .into_iter()
        .map(|kind| (kind.word().to_owned(), kind.entry()))
        .collect();
    let page = ReferencePage {
        kinds,
        groups: &GROUPS,
        entries,
    };
    Ok(Answer::yes(page.text(style), page.json()))
}

fn form_word(form: Form) -> &'static str {
    match form {
        Form::Property => "property",
        Form::Method => "method",
        Form::Function => "function",
        Form::Operator => "operator",
        Form::Index => "index",
        Form::Global => "name",
    }
}

/// Writes the definitions; over an older one of ours, never over anything else.
fn write_definitions(dir: &Path) -> Outcome {
    let path = dir.join("glost.d.rhai");
    std::fs::create_dir_all(dir)
        .map_err(|why| Diagnostic::error("cannot-write", format!("{} can't be made: {why}", dir.display())))?;
    let ours = std::fs::read_to_string(&path).is_ok_and(|old| old.starts_with(DEFINITIONS_HEAD));
    let text = glost_script::definitions();
    if ours {
        glost_studio::replace(&path, &text)?;
    } else {
        glost_studio::create_new(&path, &text)?;
    }
    let shown = path.display().to_string();
    Ok(Answer::yes(
        format!("Definitions for editors are in {shown}.\n"),
        json!({"file": shown}),
    ))
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
                let columns = table.columns.iter().map(|column| {
                    let kind = column.kind.word();
                    let notes = kind
                        .into_iter()
                        .chain(column.may_be_missing.then_some("may be left out"));
                    match notes.collect::<Vec<_>>().join(", ").as_str() {
                        "" => column.name.clone(),
                        notes => format!("{} ({notes})", column.name),
                    }
                });
                (table.name.clone(), columns.collect())
            })
            .collect(),
    }
}
