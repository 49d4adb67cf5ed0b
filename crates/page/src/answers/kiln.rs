//! `glost kiln`: loads, openings, the book, and what firings taught.

use glost_chemistry::diagnostic::Diagnostic;
use glost_core::evidence::firings::Firing;
use glost_desk::kiln::{Listed, Loaded, Opened, Seen, TakenBack, Told};

use crate::layout::{Style, assumed, indented, paragraph};
use crate::number;
use crate::print::{Printed, kiln_sheet};
use crate::words::due::{command, to_do};
use crate::words::kiln::{entry, firing, how_it_came_out};
use crate::words::notes::missed_words;
use crate::words::{say, say_all};
use crate::{Csv, Shown};

/// First looks that are shown.
const MOST_DUE: usize = 8;
/// What was written beside looks that is shown of each firing.
const MOST_TEXTS: usize = 6;

impl Shown for Loaded {
    fn text(&self, style: Style) -> String {
        let head = if self.already {
            format!(
                "This load is written down already: {}. Nothing was written.",
                firing(&self.firing)
            )
        } else {
            format!("Loaded on {}: {}.", self.firing.on.words(), firing(&self.firing))
        };
        let mut text = style.bold(paragraph(&head, 0).trim_end());
        text.push('\n');
        text.push_str(&load(&self.firing));
        text.push('\n');
        for said in self.said.iter().chain(&self.cautions) {
            text.push_str(&indented("Caution: ", &format!("{}.", say(said))));
        }
        text.push_str(&assumed(&say_all(&self.assumptions)));
        text.push_str(&indented(
            "Then: ",
            &format!("glost kiln opened {} --bent CONE, once it is cold.", self.firing.id),
        ));
        text.push_str(&indented("On paper: ", "glost kiln --page kiln.html"));
        text.push_str(&wrong(&self.firing.id));
        text
    }
}

impl Shown for Opened {
    fn text(&self, style: Style) -> String {
        let fired = &self.firing;
        let on = fired.opened.as_ref().map_or(fired.on, |opened| opened.on);
        let how = how_it_came_out(fired);
        let how = if how.is_empty() {
            String::new()
        } else {
            format!(": {how}")
        };
        let head = format!("Opened on {}, {}{how}.", on.words(), firing(fired));
        let mut text = style.bold(paragraph(&head, 0).trim_end());
        text.push('\n');
        text.push_str(&load(fired));
        text.push('\n');
        for said in &self.cautions {
            text.push_str(&indented("Caution: ", &format!("{}.", say(said))));
        }
        if !self.due.is_empty() {
            text.push_str(&paragraph(
                "These pieces are of age 0 now. To look at (`glost due` tells again):",
                0,
            ));
        }
        for due in self.due.iter().take(MOST_DUE) {
            text.push_str(&indented(&format!("  {}  ", due.on), &to_do(&due.task)));
            text.push_str(&format!("      {}\n", command(&due.task)));
        }
        if self.due.len() > MOST_DUE {
            text.push_str(&format!("and {} more\n", self.due.len() - MOST_DUE));
        }
        let opening = fired
            .opened
            .as_ref()
            .map_or(fired.id.as_str(), |opened| opened.id.as_str());
        text.push_str(&wrong(opening));
        text
    }
}

impl Shown for Listed {
    fn csv(&self) -> Option<Csv> {
        Csv::of_json(self, "firings")
    }

    fn text(&self, style: Style) -> String {
        match self {
            Listed::List { firings, log, .. } => list(firings, *log, style),
            Listed::TakenBack(done) => taken_back(done, style),
        }
    }

    fn printed(&self) -> Result<Printed, Diagnostic> {
        let Listed::List {
            firings,
            page: Some(file),
            ..
        } = self
        else {
            return Ok(Printed::default());
        };
        let said = format!("\nPage: {}, to open in a browser and print.\n", file.path.display());
        Printed::pages(file, &kiln_sheet::pages(firings), said)
    }
}

fn wrong(id: &str) -> String {
    indented("Wrong? ", &format!("glost kiln --void {id} takes it back."))
}

fn load(firing: &Firing) -> String {
    firing.load.iter().map(|one| indented("  ", &entry(one))).collect()
}

fn list(firings: &[Told], log: bool, style: Style) -> String {
    let standing = firings.iter().filter(|told| told.firing.stands());
    let closed = standing.clone().filter(|told| told.firing.opened.is_none()).count();
    let head = match (standing.count(), closed) {
        (0, _) => "No firing is written down yet. `glost kiln load \"14 = 5 on CLAY\"` starts the book.".to_owned(),
        (1, 0) => "1 firing.".to_owned(),
        (all, 0) => format!("{all} firings."),
        (1, _) => "1 firing, not opened yet.".to_owned(),
        (all, closed) => format!("{all} firings, {closed} of them not opened yet."),
    };
    let mut text = style.bold(paragraph(&head, 0).trim_end());
    text.push('\n');
    for told in firings {
        text.push('\n');
        text.push_str(&style.bold(paragraph(&format!("{}  {}", told.firing.on, firing(&told.firing)), 0).trim_end()));
        text.push('\n');
        text.push_str(&state(&told.firing));
        text.push_str(&load(&told.firing));
        match &told.seen {
            Some(seen) => text.push_str(&taught(seen)),
            None if log && told.firing.is_open() => text.push_str("  Seen: nothing noted yet\n"),
            None => {}
        }
    }
    text
}

fn state(firing: &Firing) -> String {
    if let Some(void) = &firing.void {
        let why = void.text.as_ref().map_or_else(String::new, |why| format!(": {why}"));
        return indented("  Taken back: ", &format!("on {}{why}", void.on));
    }
    let Some(opened) = &firing.opened else {
        return indented("  Not opened yet: ", &format!("glost kiln opened {}", firing.id));
    };
    let mut said = vec![format!("on {}", opened.on)];
    let how = how_it_came_out(firing);
    if !how.is_empty() {
        said.push(how);
    }
    if let (Some(cones), Some(meant)) = (firing.missed(), &firing.cone_meant) {
        said.push(format!("{}: a firing of its own", missed_words(cones, meant)));
    }
    indented("  Opened: ", &said.join(", "))
}

/// What was seen of its pieces.
fn taught(seen: &Seen) -> String {
    let mut said = Vec::new();
    if seen.pieces > 0 {
        said.push(format!("{} of {} crazed", seen.crazed, seen.pieces));
    }
    let failed = seen.failed_tests.iter();
    said.extend(failed.map(|(line, test)| format!("crazed in {test} (line {line})")));
    for (count, word) in [(seen.shivered, "shivered"), (seen.dunted, "cracked through")] {
        if count > 0 {
            said.push(format!("{count} {word}"));
        }
    }
    for (property, least, most) in &seen.grades {
        said.push(match least == most {
            true => format!("{property} {}", number::plain(*least)),
            false => format!("{property} {} to {}", number::plain(*least), number::plain(*most)),
        });
    }
    let looks = match seen.lines.len() {
        1 => "1 look".to_owned(),
        looks => format!("{looks} looks"),
    };
    let said = if said.is_empty() {
        "nothing counted".to_owned()
    } else {
        said.join(", ")
    };
    let mut text = indented("  Seen: ", &format!("{looks}: {said}"));
    for (line, words) in seen.texts.iter().take(MOST_TEXTS) {
        let plain: Vec<&str> = words.split_whitespace().collect();
        text.push_str(&indented(&format!("    line {line}: "), &plain.join(" ")));
    }
    if seen.texts.len() > MOST_TEXTS {
        text.push_str(&format!("    and {} more\n", seen.texts.len() - MOST_TEXTS));
    }
    text
}

fn taken_back(done: &TakenBack, style: Style) -> String {
    let what = match &done.firing {
        Some(fired) if fired.id == done.void.of => format!("The firing {} is taken back.", firing(fired)),
        Some(fired) => format!("The opening of {} is taken back: it waits to be opened.", firing(fired)),
        None => format!("{} is taken back.", done.void.of),
    };
    let mut text = style.bold(paragraph(&what, 0).trim_end());
    text.push('\n');
    for said in &done.cautions {
        text.push_str(&indented("Caution: ", &format!("{}.", say(said))));
    }
    text.push_str(&paragraph(
        &format!(
            "The line stays in firings.jsonl, and line {} says that it doesn't count. glost kiln --void {} makes it stand again.",
            done.void.line, done.void.id
        ),
        0,
    ));
    text
}
