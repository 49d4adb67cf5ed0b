//! `glost import`.

use std::collections::HashSet;

use glost_core::intake::table::TakenAs;
use glost_desk::import::{Answer, taken_word};

use crate::Shown;
use crate::layout::{Align, Style, Table, indented, paragraph};
use crate::words::tables::{counted, open};

/// More questions than this are counted.
const MOST_OPEN: usize = 20;
/// More columns than this are counted.
const MOST_COLUMNS: usize = 24;
/// More names than this are counted.
const MOST_NAMES: usize = 12;

impl Shown for Answer {
    fn text(&self, style: Style) -> String {
        let mut text = style.bold(paragraph(&headline(self), 0).trim_end());
        text.push('\n');
        text.push_str(&columns(self));
        text.push_str(&on_top(self));
        if !self.changes.is_empty() {
            let what = if self.dry_run { "Would change" } else { "Changed" };
            text.push_str(&format!("\n{}\n", style.bold(what)));
        }
        for change in self.changes.iter().filter(|change| change.done || self.dry_run) {
            let before = change.before.as_deref().unwrap_or("nothing");
            let sentence = format!("{}: {} {before} -> {}", change.material, change.key, change.after);
            text.push_str(&indented("  ", &sentence));
        }
        if !self.open.is_empty() {
            text.push_str(&format!("\n{}\n", style.bold("Open")));
            for question in self.open.iter().take(MOST_OPEN) {
                text.push_str(&indented("  ? ", &open(question)));
            }
            if self.open.len() > MOST_OPEN {
                text.push_str(&format!(
                    "  and {} more; --format json has all\n",
                    self.open.len() - MOST_OPEN
                ));
            }
        }
        text.push_str(&files(self));
        text
    }
}

fn headline(answer: &Answer) -> String {
    let mut new: Vec<String> = Vec::new();
    let mut count = |count: usize, one: &str, many: &str| {
        if count > 0 {
            new.push(counted(count, one, many));
        }
    };
    count(
        answer.recipes.iter().filter(|glaze| glaze.is_written()).count(),
        "glaze",
        "glazes",
    );
    count(
        answer.materials.iter().filter(|material| !material.there).count(),
        "material",
        "materials",
    );
    count(answer.clays.iter().filter(|clay| !clay.there).count(), "clay", "clays");
    let new = if new.is_empty() {
        "nothing new".to_owned()
    } else {
        new.join(", ")
    };
    let from = format!(
        "{} of {}",
        counted(answer.rows, "row", "rows"),
        counted(answer.tables, "table", "tables")
    );
    let waiting = answer
        .recipes
        .iter()
        .filter(|glaze| !glaze.there && !glaze.is_written())
        .count();
    let mut text = if answer.dry_run {
        format!("Would take in {new} from {from}; nothing is written.")
    } else {
        format!("Taken in: {new} from {from}.")
    };
    if waiting > 0 {
        let verb = if waiting == 1 { "waits" } else { "wait" };
        text.push_str(&format!(
            " {} {verb} for an answer.",
            counted(waiting, "glaze", "glazes")
        ));
    }
    if !answer.kept.is_empty() {
        text.push_str(&format!(
            " {} there already, just so.",
            counted(answer.kept.len(), "is", "are")
        ));
    }
    text
}

/// What each column is taken for, those that speak for themselves in one line.
fn columns(answer: &Answer) -> String {
    let own_name = |heading: &str, word: &str| {
        heading
            .trim_start_matches('+')
            .trim()
            .eq_ignore_ascii_case(word.trim_start_matches('+').trim())
    };
    let mut as_headed: Vec<&str> = Vec::new();
    let mut seen = HashSet::new();
    let mut table = Table::new(&[Align::Left, Align::Left]);
    let mut others = 0;
    for column in &answer.columns {
        let Some(word) = taken_word(&column.taken) else {
            continue;
        };
        if !seen.insert((&column.column, word.clone())) || column.taken == TakenAs::Blank {
            continue;
        }
        if own_name(&column.column, &word) {
            as_headed.push(&column.column);
        } else {
            others += 1;
            if others <= MOST_COLUMNS {
                table.row([column.column.clone(), format!("-> {word}")]);
            }
        }
    }
    let mut text = String::new();
    if !as_headed.is_empty() {
        let mut shown = as_headed
            .iter()
            .take(MOST_COLUMNS)
            .copied()
            .collect::<Vec<_>>()
            .join(", ");
        if as_headed.len() > MOST_COLUMNS {
            shown.push_str(&format!(" and {} more", as_headed.len() - MOST_COLUMNS));
        }
        text.push_str(&indented("Columns taken as they are headed: ", &shown));
    }
    if !table.is_empty() {
        text.push_str("Columns taken otherwise:\n");
        for line in table.text().lines() {
            text.push_str(&format!("  {}\n", line.trim_end()));
        }
        if others > MOST_COLUMNS {
            text.push_str(&format!("  and {} more\n", others - MOST_COLUMNS));
        }
    }
    text
}

/// Which colourants were taken to come on top.
fn on_top(answer: &Answer) -> String {
    let mut materials: Vec<&str> = Vec::new();
    let mut glazes = 0;
    for glaze in &answer.recipes {
        let on_top = &glaze.ready.draft.on_top;
        glazes += usize::from(!on_top.is_empty());
        for material in on_top {
            if !materials.contains(&material.as_str()) {
                materials.push(material);
            }
        }
    }
    if materials.is_empty() {
        return String::new();
    }
    let sentence = format!(
        "{}: taken as additions on top of a base that is 100 without them, in {}. A heading such as `+ {}` says so.",
        materials.join(", "),
        counted(glazes, "glaze", "glazes"),
        materials[0]
    );
    indented("On top: ", &sentence)
}

fn files(answer: &Answer) -> String {
    if answer.written.is_empty() {
        return String::new();
    }
    let mut names = answer
        .written
        .iter()
        .take(MOST_NAMES)
        .cloned()
        .collect::<Vec<_>>()
        .join(", ");
    if answer.written.len() > MOST_NAMES {
        names.push_str(&format!(" and {} more", answer.written.len() - MOST_NAMES));
    }
    let lead = match (answer.dry_run, &answer.into) {
        (true, _) => "Would write: ".to_owned(),
        (false, Some(into)) => format!("Written into {into}: "),
        (false, None) => "Written: ".to_owned(),
    };
    format!("\n{}", indented(&lead, &names))
}
