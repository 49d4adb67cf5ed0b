//! `glost notes`: notes found, looks at the same pieces as one story.

use glost_core::evidence::notes::{Note, Search, age_words};
use glost_desk::notes::{Answer, Told};

use crate::Shown;
use crate::layout::{Align, Style, Table, indented, paragraph};
use crate::number;
use crate::words::notes::{lines_words, not_read, pieces_words, standing_words};
use crate::words::say;

/// The most characters of a note's text in a table.
const TEXT_SHOWN: usize = 24;

impl Shown for Answer {
    fn text(&self, style: Style) -> String {
        let mut text = style.bold(paragraph(&headline(self), 0).trim_end());
        text.push('\n');
        for told in &self.stories {
            text.push('\n');
            text.push_str(&story(told, style));
        }
        let footer = footer(self);
        if !footer.is_empty() {
            text.push('\n');
            text.push_str(&footer);
        }
        text
    }
}

fn headline(answer: &Answer) -> String {
    let summary = &answer.summary;
    let whose = whose(&answer.search);
    if summary.looks == 0 {
        return match answer.noted {
            0 => format!("Nothing is noted{whose} yet. `glost note` starts it: pieces in the cupboard count."),
            all => format!("No note{whose} among the {all} of this notebook."),
        };
    }
    let mut said = vec![match summary.crazed {
        (_, 0) => "no pieces counted for crazing".to_owned(),
        (0, pieces) => format!("none of {pieces} pieces crazed so far"),
        (crazed, pieces) => format!("{crazed} of {pieces} pieces crazed"),
    }];
    let (shivered, looked) = summary.shivered;
    if shivered > 0 {
        said.push(format!("{shivered} of {looked} shivered"));
    }
    if answer.stories.iter().any(|told| !told.contradictions.is_empty()) {
        said.push("not all of it can be true (see below)".to_owned());
    }
    if let Some(days) = summary.held_days.filter(|days| *days >= 0.5) {
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
        some(summary.looks, "look", "looks"),
        some(answer.stories.len(), "set of pieces", "sets of pieces"),
        said.join("; ")
    )
}

/// ` of Lamplight clear on buff stoneware`.
fn whose(search: &Search) -> String {
    let mut words = String::new();
    if let Some(glaze) = &search.glaze {
        words.push_str(&format!(" of {glaze}"));
    }
    if let Some(tile) = &search.tile {
        words.push_str(&format!(" of tile {tile}"));
    }
    if let Some(lot) = &search.lot {
        words.push_str(&format!(" of lot {lot}"));
    }
    if let Some(clay) = &search.clay {
        words.push_str(&format!(" on {clay}"));
    }
    words
}

fn story(told: &Told, style: Style) -> String {
    let mut text = style.bold(paragraph(&pieces_words(&told.looks), 2).trim_end());
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
    for note in &told.looks {
        let count = |count: Option<u32>| match (count, note.pieces) {
            (Some(count), Some(pieces)) => format!("{count} of {pieces}"),
            (Some(count), None) => count.to_string(),
            (None, _) => "-".to_owned(),
        };
        table.row([
            note.line.to_string(),
            note.on.to_string(),
            note.age_days.map_or("-".to_owned(), age_words),
            count(note.crazed),
            count(note.shivered),
            remarks(note),
        ]);
    }
    text.push_str(&table.text());
    let mut said: Vec<String> = Vec::new();
    for (note, standing) in told.looks.iter().zip(&told.standings) {
        if let Some(words) = standing_words(note, standing).filter(|words| !said.contains(words)) {
            said.push(words);
        }
    }
    for sentence in said {
        text.push_str(&indented("  ", &format!("{sentence}.")));
    }
    for contradiction in &told.contradictions {
        text.push_str(&indented(
            "  Doesn't fit: ",
            &format!("{}. Take the wrong line back.", say(contradiction)),
        ));
    }
    text
}

fn footer(answer: &Answer) -> String {
    let mut text = String::new();
    let unread = not_read(&answer.unread);
    if !unread.is_empty() {
        text.push_str(&indented(
            "Not read: ",
            &format!("{}. The rest is read; nothing was rewritten.", lines_words(&unread)),
        ));
    }
    let void: Vec<usize> = answer.taken_back.iter().map(|void| void.of).collect();
    if !void.is_empty() && answer.search == Search::default() {
        text.push_str(&indented("Taken back: ", &format!("{}.", lines_words(&void))));
    }
    text
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
