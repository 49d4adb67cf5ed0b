//! `glost due`: what to look at again, and when.

mod calendar;
mod ics;

use crate::words::age::age_words;
use glost_chemistry::diagnostic::Diagnostic;
use glost_desk::due::{Answer, Due, Task};

use crate::layout::{Style, indented, paragraph};
use crate::print::{File, Printed};
use crate::words::due::{command, to_do};
use crate::words::notes::{HOW_TO_LOOK, changes_words, lines_words, not_read, seen_words};
use crate::words::say;
use crate::{Csv, Shown};

/// The most that is listed of what lies ahead.
const MOST_COMING: usize = 12;

impl Shown for Answer {
    fn csv(&self) -> Option<Csv> {
        Csv::of_json(self, "due")
    }

    fn text(&self, style: Style) -> String {
        let (now, coming) = now_and_coming(self);
        let mut text = style.bold(paragraph(&headline(self, &now, &coming), 0).trim_end());
        text.push('\n');
        for (heading, list, most) in [("Now", &now, usize::MAX), ("Coming", &coming, MOST_COMING)] {
            if list.is_empty() {
                continue;
            }
            text.push_str(&format!("\n{}\n", style.bold(heading)));
            for due in list.iter().take(most) {
                text.push_str(&entry(due));
            }
            if list.len() > most {
                text.push_str(&format!("and {} more later\n", list.len() - most));
            }
        }
        if self.due.iter().any(|due| matches!(due.task, Task::Look { .. })) {
            text.push('\n');
            text.push_str(&indented("To look: ", HOW_TO_LOOK));
        }
        let unread = not_read(&self.unread);
        if !unread.is_empty() {
            text.push_str(&indented(
                "Not read: ",
                &format!("{} of the notebook.", lines_words(&unread)),
            ));
        }
        text
    }

    fn printed(&self) -> Result<Printed, Diagnostic> {
        let mut printed = match &self.page {
            Some(page) => {
                let said = format!("Calendar: {}\n", page.path.display());
                Printed::pages(page, &calendar::pages(self), said)?
            }
            None => Printed::default(),
        };
        match (&self.ics, self.ics.as_ref().and_then(|_| ics::ics(self))) {
            (Some(path), Some(text)) => {
                printed.said.push_str(&paragraph(
                    &format!(
                        "For a calendar programme: {}; events keep their names, so that a later file can take the place of this one.",
                        path.display()
                    ),
                    0,
                ));
                printed.files.push(File {
                    path: path.clone(),
                    text,
                });
            }
            (Some(path), None) => {
                let nothing = format!("{} was not written: nothing is due.", path.display());
                printed.said.push_str(&paragraph(&nothing, 0));
            }
            (None, _) => {}
        }
        Ok(printed)
    }
}

/// What is due by now, and what comes later.
fn now_and_coming(answer: &Answer) -> (Vec<&Due>, Vec<&Due>) {
    answer.due.iter().partition(|due| due.on <= answer.on)
}

fn headline(answer: &Answer, now: &[&Due], coming: &[&Due]) -> String {
    let late = now.iter().filter(|due| due.days_late > 0).count();
    match (now.len(), coming.first()) {
        (0, None) if answer.noted == 0 => "Nothing is due: nothing is noted yet. `glost note` starts it.".to_owned(),
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

fn entry(due: &Due) -> String {
    let late = match due.days_late {
        1.. => format!(" ({} late)", age_words(due.days_late as f64)),
        _ => String::new(),
    };
    let mut text = indented(&format!("  {}  ", due.on), &format!("{}{late}", to_do(&due.task)));
    for line in details(&due.task) {
        text.push_str(&indented("              ", &line));
    }
    // To be copied as it is, so it isn't wrapped.
    text.push_str(&format!("      {}\n", command(&due.task)));
    text
}

fn details(task: &Task) -> Vec<String> {
    let mut said = Vec::new();
    match task {
        Task::Look {
            looks,
            age_known,
            contradictions,
            ..
        } => {
            let latest = looks.last().into_iter();
            said.extend(latest.map(|latest| match latest.line {
                0 => format!("from the kiln on {}, not looked at yet", latest.on),
                line => format!("last look, line {line}: {}", seen_words(latest)),
            }));
            if !age_known {
                said.push("their age was never said: counted from the first note".to_owned());
            }
            said.extend(
                contradictions
                    .iter()
                    .map(|contradiction| format!("doesn't fit: {}", say(contradiction))),
            );
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
