//! `glost script list`, `show`, `test` and `new`.

use glost_chemistry::diagnostic::Diagnostic;
use serde_json::{Value, json};

use crate::layout::{Style, indented, paragraph};

/// What is known about a script before it runs.
#[derive(Debug, Clone)]
pub struct ScriptView {
    /// Its name, `check/alkali-balance`.
    pub name: String,
    /// Its kind.
    pub kind: String,
    /// Its title.
    pub title: String,
    /// Where its numbers come from.
    pub source: String,
    /// What it says in its header comment.
    pub purpose: String,
    /// The uses it applies to; empty: all.
    pub uses: Vec<String>,
    /// Whether it comes with Glost.
    pub shipped: bool,
    /// Its options.
    pub options: Vec<OptionView>,
    /// Its tables: name and columns.
    pub tables: Vec<(String, Vec<String>)>,
}

/// One option of a script.
#[derive(Debug, Clone)]
pub struct OptionView {
    /// Its name.
    pub name: String,
    /// Its value now, as text.
    pub value: String,
    /// Its unit.
    pub unit: Option<String>,
    /// Least and most.
    pub range: (Option<f64>, Option<f64>),
    /// What it does.
    pub help: String,
}

/// The list as JSON.
pub fn list_json(scripts: &[ScriptView]) -> Value {
    json!({"scripts": scripts.iter().map(show_json).collect::<Vec<_>>()})
}

/// One script as JSON.
pub fn show_json(script: &ScriptView) -> Value {
    json!({
        "name": script.name,
        "kind": script.kind,
        "title": script.title,
        "source": script.source,
        "purpose": script.purpose,
        "uses": script.uses,
        "shipped": script.shipped,
        "options": script.options.iter().map(|option| json!({
            "name": option.name, "value": option.value, "unit": option.unit,
            "min": option.range.0, "max": option.range.1, "help": option.help,
        })).collect::<Vec<_>>(),
        "tables": script.tables.iter().map(|(name, columns)| json!({"name": name, "columns": columns})).collect::<Vec<_>>(),
    })
}

/// The list for a terminal.
pub fn list_text(scripts: &[ScriptView], style: Style) -> String {
    let own = scripts.iter().filter(|script| !script.shipped).count();
    let mut text = style.bold(&format!(
        "{own} scripts of your own, {} that come with Glost.",
        scripts.len() - own
    ));
    text.push_str("\n\n");
    let widest = scripts
        .iter()
        .map(|script| script.name.chars().count())
        .max()
        .unwrap_or(0);
    for script in scripts {
        let yours = if script.shipped { "" } else { " (yours)" };
        let lead = format!("{:widest$}  ", script.name);
        text.push_str(&indented(&lead, &format!("{}{yours}", script.title)));
    }
    text.push('\n');
    text.push_str(&paragraph(
        "`glost script show NAME` tells what one does; `glost script show NAME --text` prints it, to copy into your studio's scripts/ and change.",
        0,
    ));
    text
}

/// One script for a terminal.
pub fn show_text(script: &ScriptView, style: Style) -> String {
    let mut text = style.bold(&format!("{}: {}", script.name, script.title));
    text.push_str("\n\n");
    if !script.purpose.is_empty() {
        text.push_str(&paragraph(&script.purpose, 0));
        text.push('\n');
    }
    text.push_str(&indented("Kind: ", &script.kind));
    if !script.uses.is_empty() {
        text.push_str(&indented("For: ", &script.uses.join(", ")));
    }
    for option in &script.options {
        let unit = option.unit.as_ref().map(|unit| format!(" {unit}")).unwrap_or_default();
        let range = match option.range {
            (Some(least), Some(most)) => format!(", {} to {}", crate::number::plain(least), crate::number::plain(most)),
            (Some(least), None) => format!(", from {}", crate::number::plain(least)),
            (None, Some(most)) => format!(", up to {}", crate::number::plain(most)),
            (None, None) => String::new(),
        };
        text.push_str(&indented(
            "Option: ",
            &if option.value.is_empty() {
                format!("{}: {}", option.name, option.help)
            } else {
                format!("{} = {}{unit}{range}: {}", option.name, option.value, option.help)
            },
        ));
    }
    for (name, columns) in &script.tables {
        text.push_str(&indented("Table: ", &format!("{name} with {}", columns.join(", "))));
    }
    text.push_str(&indented("Source: ", &script.source));
    text
}

/// A test of a script.
#[derive(Debug, Clone)]
pub struct TestView {
    /// Its name.
    pub name: String,
    /// What didn't hold, or why it broke off; none where it passed.
    pub failures: Vec<Diagnostic>,
}

/// A script with its tests.
#[derive(Debug, Clone)]
pub struct TestedView {
    /// The script's name.
    pub script: String,
    /// Its tests, in the order of its text.
    pub tests: Vec<TestView>,
}

impl TestedView {
    /// Whether something didn't hold.
    pub fn fails(&self) -> bool {
        self.tests.iter().any(|test| !test.failures.is_empty())
    }
}

/// How tests went, for programs.
pub fn test_json(tested: &[TestedView]) -> Value {
    let test = |script: &str, test: &TestView| {
        let failures: Vec<Value> = test
            .failures
            .iter()
            .map(|failure| crate::diagnostic::json(failure)["error"].clone())
            .collect();
        json!({"script": script, "test": test.name, "passed": failures.is_empty(), "failures": failures})
    };
    let tests = tested
        .iter()
        .flat_map(|one| one.tests.iter().map(|each| test(&one.script, each)));
    json!({
        "tests": tests.collect::<Vec<_>>(),
        "passed": !tested.iter().any(TestedView::fails),
        "without_tests": tested.iter().filter(|one| one.tests.is_empty()).map(|one| &one.script).collect::<Vec<_>>(),
    })
}

/// How tests went, for a terminal.
pub fn test_text(tested: &[TestedView], style: Style) -> String {
    let all: usize = tested.iter().map(|one| one.tests.len()).sum();
    let failed: Vec<(&str, &TestView)> = tested
        .iter()
        .flat_map(|one| one.tests.iter().map(|test| (one.script.as_str(), test)))
        .filter(|(_, test)| !test.failures.is_empty())
        .collect();
    let whose = match tested {
        [one] => one.script.clone(),
        many => format!("{} scripts", many.len()),
    };
    let headline = match (all, failed.len()) {
        (0, _) => format!("{whose}: no tests."),
        (1, 0) => format!("{whose}: its one test holds."),
        (all, 0) => format!("{whose}: all {all} tests hold."),
        (all, failed) => format!(
            "{whose}: {failed} of {all} tests {}.",
            if failed == 1 { "doesn't hold" } else { "don't hold" }
        ),
    };
    let mut text = style.bold(&headline);
    text.push('\n');
    for (script, test) in failed {
        text.push_str(&format!("\n{script}, {}\n", test.name));
        for failure in &test.failures {
            text.push_str(&crate::diagnostic::text(failure));
        }
    }
    let without: Vec<&str> = tested
        .iter()
        .filter(|one| one.tests.is_empty())
        .map(|one| one.script.as_str())
        .collect();
    if !without.is_empty() {
        text.push('\n');
        text.push_str(&indented("Without tests: ", &format!("{}.", without.join(", "))));
        text.push_str(&indented(
            "Next: ",
            "write a `fn test_...(t)`; `glost script new` shows how.",
        ));
    }
    text
}

/// A new script was written.
pub fn new_text(file: &str, name: &str, covers: bool, style: Style) -> String {
    let mut text = style.bold(&format!("Wrote {file}: it works, and its tests hold."));
    text.push_str("\n\n");
    if covers {
        text.push_str(&indented(
            "Note: ",
            "a script that comes with Glost has the same name; from now on yours is used.",
        ));
    }
    text.push_str(&indented(
        "Next: ",
        &format!("change it, then `glost script test {name}`."),
    ));
    text
}
