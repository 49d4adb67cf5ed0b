//! `glost script list`, `show`, `test` and `new`.

mod packages;
mod reference;

use glost_desk::scripts::difference::Line;
use glost_desk::scripts::test::{Test, Tested};
use glost_desk::scripts::{BrokenCard, Card, TableCard, Told, diff, list, new, show, test};

use crate::layout::{Style, indented, paragraph};
use crate::{Csv, Shown};

impl Shown for list::Answer {
    fn csv(&self) -> Option<Csv> {
        Csv::of_json(self, "scripts")
    }

    fn text(&self, style: Style) -> String {
        list_text(&self.scripts, style) + broken_text(&self.broken).as_str()
    }
}

fn list_text(scripts: &[Card], style: Style) -> String {
    let own = scripts.iter().filter(|script| !script.shipped).count();
    let noun = if own == 1 { "script" } else { "scripts" };
    let mut text = style.bold(&format!(
        "{own} {noun} of your own, {} that come with Glost.",
        scripts.len() - own
    ));
    text.push_str("\n\n");
    let widest = scripts
        .iter()
        .map(|script| script.name.chars().count())
        .max()
        .unwrap_or(0);
    for script in scripts {
        let mut notes = Vec::new();
        if !script.shipped {
            notes.push(format!("{}, {}", script.whose, script.hash));
        }
        if script.off {
            notes.push("off".to_owned());
        }
        notes.extend(script.because.iter().map(|because| format!("because {because}")));
        notes.extend(script.cautions.iter().map(|caution| caution.0.message.clone()));
        let notes = if notes.is_empty() {
            String::new()
        } else {
            format!(" ({})", notes.join("; "))
        };
        let lead = format!("{:widest$}  ", script.name);
        text.push_str(&indented(&lead, &format!("{}{notes}", script.title)));
    }
    text.push('\n');
    text.push_str(&paragraph(
        "`glost script show NAME` tells what one does; `glost script show NAME --text` prints it, to copy into your studio's scripts/ and change.",
        0,
    ));
    text
}

impl Shown for diff::Answer {
    fn is_verbatim(&self) -> bool {
        true
    }

    fn text(&self, style: Style) -> String {
        if self.lines.is_empty() {
            return format!("{} is the text that comes with Glost.\n", self.name);
        }
        let head = format!("{}: - shipped {}, + used {}", self.name, self.shipped, self.used);
        format!("{}\n{}", style.bold(&head), lines_text(&self.lines))
    }
}

/// Lines that differ.
fn lines_text(lines: &[Line]) -> String {
    lines.iter().map(|line| line.shown() + "\n").collect()
}

/// The scripts that don't load, each with all that is wrong with it.
fn broken_text(broken: &[BrokenCard]) -> String {
    let mut text = String::new();
    for one in broken {
        text.push_str(&format!("\n{}: it doesn't load, and is left out\n", one.name));
        for error in [&one.error].into_iter().chain(&one.more) {
            text.push_str(&crate::diagnostic::text(&error.0));
        }
    }
    text
}

impl Shown for show::Answer {
    fn is_verbatim(&self) -> bool {
        matches!(self, show::Answer::Text { .. })
    }

    fn text(&self, style: Style) -> String {
        match self {
            show::Answer::Card(card) => show_text(card, style),
            show::Answer::Text { text, .. } => text.clone(),
        }
    }
}

fn show_text(script: &Card, style: Style) -> String {
    let mut text = style.bold(&format!("{}: {}", script.name, script.title));
    text.push_str("\n\n");
    if !script.purpose.is_empty() {
        text.push_str(&paragraph(&script.purpose, 0));
        text.push('\n');
    }
    text.push_str(&indented("Kind: ", script.kind));
    if !script.uses.is_empty() {
        text.push_str(&indented("For: ", &script.uses.join(", ")));
    }
    if !script.meant_for.is_empty() {
        text.push_str(&indented("Meant for: ", &script.meant_for));
    }
    for option in &script.options {
        let unit = option.unit.as_ref().map_or_else(String::new, |unit| format!(" {unit}"));
        let range = match (option.min, option.max) {
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
                let set = option.set_at.as_ref().map_or_else(String::new, |place| {
                    format!(" (set in {place}; {} unless set)", option.default)
                });
                format!("{} = {}{unit}{range}: {}{set}", option.name, option.value, option.help)
            },
        ));
    }
    for TableCard { name, columns } in &script.tables {
        text.push_str(&indented("Table: ", &format!("{name} with {}", columns.join(", "))));
    }
    text.push_str(&indented("Source: ", &script.source));
    let origin = [
        ("Version: ", &script.version),
        ("Author: ", &script.author),
        ("Licence: ", &script.licence),
        ("Based on: ", &script.based_on),
        ("File: ", &script.path),
    ];
    for (lead, told) in origin {
        if let Some(told) = told {
            text.push_str(&indented(lead, told));
        }
    }
    text.push_str(&indented("Text: ", &format!("{}, {}", script.whose, script.hash)));
    if script.off {
        text.push_str(&indented(
            "Off: ",
            "turned off in studio.yaml; it runs where it is named.",
        ));
    }
    if let Some(level) = script.level {
        text.push_str(&indented("Level: ", &format!("its cautions count as {level} here.")));
    }
    if let Some(because) = &script.because {
        text.push_str(&indented("Because: ", because));
    }
    for Told(caution) in &script.cautions {
        let help = caution
            .help
            .as_ref()
            .map_or_else(String::new, |help| format!(": {help}"));
        text.push_str(&indented("Caution: ", &format!("{}{help}.", caution.message)));
    }
    text
}

impl Shown for test::Answer {
    fn text(&self, style: Style) -> String {
        test_text(&self.scripts, self.broken.len(), style) + broken_text(&self.broken).as_str()
    }
}

fn test_text(tested: &[Tested], broken: usize, style: Style) -> String {
    let all: usize = tested.iter().map(|one| one.tests.len()).sum();
    let failed: Vec<(&str, &Test)> = tested
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
        (1, _) => format!("{whose}: its one test doesn't hold."),
        (all, 0) => format!("{whose}: all {all} tests hold."),
        (all, failed) => format!(
            "{whose}: {failed} of {all} tests {}.",
            if failed == 1 { "doesn't hold" } else { "don't hold" }
        ),
    };
    let headline = match broken {
        0 => headline,
        1 => format!("1 script doesn't load; {headline}"),
        many => format!("{many} scripts don't load; {headline}"),
    };
    let mut text = style.bold(&headline);
    text.push('\n');
    for (script, test) in failed {
        text.push_str(&format!("\n{script}, {}\n", test.name));
        for failure in &test.failures {
            text.push_str(&crate::diagnostic::text(failure));
        }
    }
    for one in tested {
        for test in &one.tests {
            if let Some(took) = test.milliseconds {
                text.push_str(&format!("{took:>9.2} ms  {}, {}\n", one.script, test.name));
            }
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

impl Shown for new::Answer {
    fn text(&self, style: Style) -> String {
        new_text(&self.shown, &self.name, self.covers_shipped, style)
    }
}

fn new_text(file: &str, name: &str, covers: bool, style: Style) -> String {
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
