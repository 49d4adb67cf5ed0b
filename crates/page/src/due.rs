//! `glost due`: what to look at again, and when.

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::quantity::Date;
use glost_core::evidence::notes::{Change, Due, Note, Story, Task, age_words};
use serde_json::{Value, json};

use crate::layout::{Style, indented, paragraph};
use crate::looking::{
    HOW_TO_LOOK, change_words, changes_words, lines_words, not_read, pieces_words, seen_words, unread_json,
};

/// The most that is listed of what lies ahead.
const MOST_COMING: usize = 12;

/// What is due.
#[derive(Debug)]
pub struct DuePage<'a> {
    /// By day.
    pub due: Vec<Due<'a>>,
    /// The day it is seen from.
    pub on: Date,
    /// How many notes stand.
    pub noted: usize,
    /// Complaints about the notebook's lines.
    pub unread: &'a [Diagnostic],
}

impl DuePage<'_> {
    /// As JSON.
    pub fn json(&self) -> Value {
        json!({
            "on": self.on.to_string(),
            "due": self.due.iter().map(|due| self.entry_json(due)).collect::<Vec<_>>(),
            "unread": unread_json(self.unread),
        })
    }

    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
        let (now, coming): (Vec<&Due<'_>>, Vec<&Due<'_>>) = self.due.iter().partition(|due| due.on <= self.on);
        let mut text = style.bold(paragraph(&self.headline(&now, &coming), 0).trim_end());
        text.push('\n');
        for (heading, list) in [("Now", &now), ("Coming", &coming)] {
            if list.is_empty() {
                continue;
            }
            text.push_str(&format!("\n{}\n", style.bold(heading)));
            let shown = if heading == "Now" { list.len() } else { MOST_COMING };
            for due in list.iter().take(shown) {
                text.push_str(&self.entry(due));
            }
            if list.len() > shown {
                text.push_str(&format!("and {} more later\n", list.len() - shown));
            }
        }
        if self.due.iter().any(|due| matches!(due.task, Task::Look { .. })) {
            text.push('\n');
            text.push_str(&indented("To look: ", HOW_TO_LOOK));
        }
        let unread = not_read(self.unread);
        if !unread.is_empty() {
            text.push_str(&indented(
                "Not read: ",
                &format!("{} of the notebook.", lines_words(&unread)),
            ));
        }
        text
    }

    fn headline(&self, now: &[&Due<'_>], coming: &[&Due<'_>]) -> String {
        let late = now.iter().filter(|due| due.on < self.on).count();
        match (now.len(), coming.first()) {
            (0, None) if self.noted == 0 => "Nothing is due: nothing is noted yet. `glost note` starts it.".to_owned(),
            (0, None) => "Nothing is due, now or later.".to_owned(),
            (0, Some(next)) => format!("Nothing is due today; next on {}.", next.on.words()),
            (1, _) if late == 1 => "1 thing is overdue.".to_owned(),
            (count, _) => {
                let things = if count == 1 {
                    "1 thing is".to_owned()
                } else {
                    format!("{count} things are")
                };
                let late = match late {
                    0 => String::new(),
                    late if late == count => ", all overdue".to_owned(),
                    late => format!(", {late} of them overdue"),
                };
                format!("{things} due{late}.")
            }
        }
    }

    fn entry(&self, due: &Due<'_>) -> String {
        let late = self.on.days_since(due.on);
        let late = match late {
            1.. => format!(" ({} late)", age_words(late as f64)),
            _ => String::new(),
        };
        let mut text = indented(&format!("  {}  ", due.on), &format!("{}{late}", what(&due.task)));
        for line in details(&due.task) {
            text.push_str(&indented("              ", &line));
        }
        // To be copied as it is, so it isn't wrapped.
        text.push_str(&format!("      {}\n", command(&due.task)));
        text
    }

    fn entry_json(&self, due: &Due<'_>) -> Value {
        let mut entry = json!({
            "on": due.on.to_string(),
            "overdue": due.on < self.on,
            "days_late": self.on.days_since(due.on).max(0),
        });
        let more = match &due.task {
            Task::Look {
                story,
                at_days,
                age_known,
            } => look_json(story, *at_days, *age_known),
            Task::Lab { note, changes } => json!({
                "kind": "lab report",
                "glaze": note.glaze,
                "version": note.version,
                "lines": [note.line],
                "report": note.lab,
                "changes": changes.iter().map(change_words).collect::<Vec<_>>(),
            }),
            Task::NewLot { change, glazes } => json!({
                "kind": "new lot",
                "change": change_words(change),
                "glazes": glazes.iter().map(|(glaze, version)| json!({"glaze": glaze, "version": version})).collect::<Vec<_>>(),
            }),
        };
        if let (Value::Object(entry), Value::Object(more)) = (&mut entry, more) {
            entry.extend(more);
            entry.insert("what".to_owned(), json!(what(&due.task)));
            entry.insert("command".to_owned(), json!(command(&due.task)));
        }
        entry
    }
}

fn look_json(story: &Story<'_>, at_days: f64, age_known: bool) -> Value {
    let first = |of: fn(&Note) -> &Option<String>| story.looks.iter().find_map(|note| of(note).clone());
    json!({
        "kind": "look",
        "glaze": first(|note| &note.glaze),
        "version": first(|note| &note.version),
        "clay": first(|note| &note.clay),
        "firing": first(|note| &note.firing),
        "cone": first(|note| &note.cone),
        "batch": first(|note| &note.batch),
        "tile": first(|note| &note.tile),
        "lines": story.looks.iter().map(|note| note.line).collect::<Vec<_>>(),
        "at_days": at_days,
        "age_known": age_known,
    })
}

fn what(task: &Task<'_>) -> String {
    match task {
        Task::Look { story, at_days, .. } => format!("{}: look at {}", pieces_words(story), age_words(*at_days)),
        Task::Lab { note, .. } => format!(
            "{}: the laboratory's {} is of {}, and the recipe has changed",
            note.glaze.as_deref().unwrap_or_default(),
            note.lab.as_deref().unwrap_or_default(),
            note.version.as_deref().unwrap_or("an older recipe")
        ),
        Task::NewLot { change, .. } => match change {
            Change::Analysis { .. } => format!("{}: tile it beside the old", change_words(change)),
            _ => format!("new lot, {}: tile it beside the old", change_words(change)),
        },
    }
}

fn command(task: &Task<'_>) -> String {
    match task {
        Task::Look { story, .. } => {
            let latest = story.latest();
            let pieces = story.any(|note| note.pieces).unwrap_or(1);
            format!("glost note --again {} --crazed _/{pieces}", latest.line)
        }
        Task::Lab { note, .. } => format!(
            "glost note \"{}\" --lab REPORT",
            note.glaze.as_deref().unwrap_or_default()
        ),
        Task::NewLot { change, glazes } => {
            let glaze = glazes.first().map_or("", |first| first.0.as_str());
            let batch = match change {
                Change::Lot { to: Some(lot), .. } => format!(" --batch \"lot {lot}\""),
                Change::Renamed { to, .. } => {
                    // `bought clear, lot 4`: the glaze's name says the rest.
                    let lot = to.rsplit(", ").next().unwrap_or(to);
                    format!(" --batch \"{lot}\"")
                }
                _ => String::new(),
            };
            format!("glost note \"{glaze}\"{batch} --age 1d --crazed _/_")
        }
    }
}

fn details(task: &Task<'_>) -> Vec<String> {
    let mut said = Vec::new();
    match task {
        Task::Look { story, age_known, .. } => {
            let latest = story.latest();
            said.push(format!("last look, line {}: {}", latest.line, seen_words(latest)));
            if !age_known {
                said.push("their age was never said: counted from the first note".to_owned());
            }
            for sentence in story.contradictions() {
                said.push(format!("doesn't fit: {sentence}"));
            }
        }
        Task::Lab { changes, .. } => {
            said.push(format!("since then: {}", changes_words(changes)));
            said.push("the report says nothing about the new recipe: don't show it with the ware".to_owned());
        }
        Task::NewLot { glazes, .. } => {
            let named: Vec<String> = glazes
                .iter()
                .map(|(glaze, version)| format!("{glaze} (noted as {version})"))
                .collect();
            said.push(format!("in {}", named.join(", ")));
            said.push(
                "old and new on one tile of the same clay, in the same firing, before it joins the bucket".to_owned(),
            );
        }
    }
    said
}
