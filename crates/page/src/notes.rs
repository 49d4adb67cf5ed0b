//! `glost notes`: notes found, looks at the same pieces as one story.

use glost_chemistry::diagnostic::Diagnostic;
use glost_core::evidence::notes::{Note, Notes, Search, Story, TodaysRecipes, Versions, age_words};
use serde_json::{Value, json};

use crate::layout::{Align, Style, Table, indented, paragraph};
use crate::looking::{lines_words, not_read, note_json, pieces_words, standing_key, standing_words, unread_json};
use crate::number;

/// The most characters of a note's text in a table.
const TEXT_SHOWN: usize = 24;

/// Notes that were looked for.
#[derive(Debug)]
pub struct NotesPage<'a> {
    /// The whole notebook.
    pub notes: &'a Notes,
    /// What was found.
    pub found: Vec<Story<'a>>,
    /// What was looked for.
    pub search: &'a Search,
    /// The recorded versions.
    pub versions: &'a Versions,
    /// The recipes of today.
    pub recipes: &'a TodaysRecipes,
    /// Complaints about the notebook's lines.
    pub unread: &'a [Diagnostic],
}

impl NotesPage<'_> {
    /// Every note found, by line, and the lines that can't be read.
    pub fn json(&self) -> Value {
        let mut looks: Vec<&Note> = self
            .found
            .iter()
            .flat_map(|story| story.looks.iter().copied())
            .collect();
        looks.sort_by_key(|note| note.line);
        let notes = looks.into_iter().map(|note| {
            let mut fields = note_json(note);
            let standing = self.recipes.standing(note, self.versions);
            fields.insert("recipe".to_owned(), standing_key(&standing));
            Value::Object(fields)
        });
        let stories = self.found.iter().map(|story| {
            json!({
                "lines": story.looks.iter().map(|note| note.line).collect::<Vec<_>>(),
                "contradictions": story.contradictions(),
            })
        });
        let void = self.notes.voids().iter().filter(|void| void.counts);
        json!({
            "notes": notes.collect::<Vec<_>>(),
            "stories": stories.collect::<Vec<_>>(),
            "taken_back": void.map(|void| json!({"line": void.of, "by": void.line, "text": void.text})).collect::<Vec<_>>(),
            "unread": unread_json(self.unread),
        })
    }

    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
        let mut text = style.bold(paragraph(&self.headline(), 0).trim_end());
        text.push('\n');
        for story in &self.found {
            text.push('\n');
            text.push_str(&self.story(story, style));
        }
        let footer = self.footer();
        if !footer.is_empty() {
            text.push('\n');
            text.push_str(&footer);
        }
        text
    }

    fn headline(&self) -> String {
        let looks: usize = self.found.iter().map(|story| story.looks.len()).sum();
        let whose = self.whose();
        if looks == 0 {
            return match self.notes.standing().count() {
                0 => format!("Nothing is noted{whose} yet. `glost note` starts it: pieces in the cupboard count."),
                all => format!("No note{whose} among the {all} of this notebook."),
            };
        }
        let counts = |of: fn(&Story<'_>) -> Option<(u32, u32)>| {
            let pairs = self.found.iter().filter_map(of);
            pairs.fold((0u32, 0u32), |sum, (some, pieces)| {
                (sum.0.saturating_add(some), sum.1.saturating_add(pieces))
            })
        };
        let (crazed, pieces) = counts(|story| story.crazed());
        let (shivered, looked) = counts(|story| story.shivered());
        let mut said = vec![match (crazed, pieces) {
            (_, 0) => "no pieces counted for crazing".to_owned(),
            (0, pieces) => format!("none of {pieces} pieces crazed so far"),
            (crazed, pieces) => format!("{crazed} of {pieces} pieces crazed"),
        }];
        if shivered > 0 {
            said.push(format!("{shivered} of {looked} shivered"));
        }
        if self.found.iter().any(|story| !story.contradictions().is_empty()) {
            said.push("not all of it can be true (see below)".to_owned());
        }
        let held = self
            .found
            .iter()
            .filter(|story| !story.ever_crazed() && story.crazed().is_some());
        if let Some(days) = held.filter_map(|story| story.latest().age_days).max_by(f64::total_cmp)
            && days >= 0.5
        {
            said.push(format!("what held has done so for up to {}", age_words(days)));
        }
        let some = |count: usize, one: &str, many: &str| {
            if count == 1 {
                format!("1 {one}")
            } else {
                format!("{count} {many}")
            }
        };
        format!(
            "{}{whose}, {}: {}.",
            some(looks, "look", "looks"),
            some(self.found.len(), "set of pieces", "sets of pieces"),
            said.join("; ")
        )
    }

    /// ` at Lamplight clear on buff stoneware`.
    fn whose(&self) -> String {
        let search = self.search;
        let mut words = String::new();
        if let Some(glaze) = &search.glaze {
            words.push_str(&format!(" of {glaze}"));
        }
        if let Some(tile) = &search.tile {
            words.push_str(&format!(" of tile {tile}"));
        }
        if let Some(clay) = &search.clay {
            words.push_str(&format!(" on {clay}"));
        }
        words
    }

    fn story(&self, story: &Story<'_>, style: Style) -> String {
        let mut text = style.bold(paragraph(&pieces_words(story), 2).trim_end());
        text.push('\n');
        let mut table = Table::new(&[
            Align::Right,
            Align::Left,
            Align::Left,
            Align::Left,
            Align::Left,
            Align::Left,
        ]);
        table.row(["  line", "looked at", "age", "crazed", "shivered", ""]);
        for note in &story.looks {
            let count = |count: Option<u32>| match (count, note.pieces) {
                (Some(count), Some(pieces)) => format!("{count} of {pieces}"),
                (Some(count), None) => count.to_string(),
                (None, _) => "-".to_owned(),
            };
            table.row([
                format!("{}", note.line),
                note.on.to_string(),
                note.age_days.map_or("-".to_owned(), age_words),
                count(note.crazed),
                count(note.shivered),
                remarks(note),
            ]);
        }
        text.push_str(&table.text());
        let mut said: Vec<String> = Vec::new();
        for note in &story.looks {
            let standing = self.recipes.standing(note, self.versions);
            if let Some(words) = standing_words(note, &standing).filter(|words| !said.contains(words)) {
                said.push(words);
            }
        }
        for sentence in said {
            text.push_str(&indented("  ", &format!("{sentence}.")));
        }
        for sentence in story.contradictions() {
            text.push_str(&indented(
                "  Doesn't fit: ",
                &format!("{sentence}. Take the wrong line back."),
            ));
        }
        text
    }

    fn footer(&self) -> String {
        let mut text = String::new();
        let unread = not_read(self.unread);
        if !unread.is_empty() {
            text.push_str(&indented(
                "Not read: ",
                &format!("{}. The rest is read; nothing was rewritten.", lines_words(&unread)),
            ));
        }
        let void: Vec<usize> = self
            .notes
            .voids()
            .iter()
            .filter(|void| void.counts)
            .map(|void| void.of)
            .collect();
        if !void.is_empty() && *self.search == Search::default() {
            text.push_str(&indented("Taken back: ", &format!("{}.", lines_words(&void))));
        }
        text
    }
}

/// Grades, thickness, report and the beginning of the text.
fn remarks(note: &Note) -> String {
    let mut said: Vec<String> = note
        .grades
        .iter()
        .map(|grade| format!("{} {}", grade.property, number::plain(grade.grade)))
        .collect();
    said.extend(
        note.thickness_mm
            .map(|thickness| format!("{} mm", number::plain(thickness))),
    );
    said.extend(note.lab.as_ref().map(|lab| format!("report {lab}")));
    said.extend(
        note.text
            .as_ref()
            .map(|text| text.split_whitespace().collect::<Vec<_>>().join(" ")),
    );
    let said = said.join("; ");
    if said.chars().count() > TEXT_SHOWN {
        said.chars().take(TEXT_SHOWN - 1).chain(['…']).collect()
    } else {
        said
    }
}
