//! `glost notes`: notes found, looks at the same pieces as one story.

use crate::words::age::age_words;
use glost_chemistry::read::in_parts;
use glost_core::evidence::notes::{Note, Search};
use glost_desk::notes::{Answer, Told};

use crate::fitted::fitted;
use crate::layout::{Style, indented, paragraph};
use crate::number;
use crate::words::notes::{lines_words, not_read, pieces_words, standing_words};
use crate::words::say;
use crate::{Csv, Shown};

/// So many stories at least are worth a core of their own.
const STORIES_FOR_A_CORE: usize = 200;

impl Shown for Answer {
    fn csv(&self) -> Option<Csv> {
        Csv::of_json(self, "notes")
    }

    fn text(&self, style: Style) -> String {
        let mut text = style.bold(paragraph(&headline(self), 0).trim_end());
        text.push('\n');
        let written = in_parts(&self.stories, STORIES_FOR_A_CORE, |part| {
            let mut text = String::new();
            for told in part {
                text.push('\n');
                match self.search.line {
                    Some(_) => text.extend(told.looks.iter().map(whole)),
                    None => text.push_str(&story(told, style)),
                }
            }
            text
        });
        text.extend(written);
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
    if let (Some(line), true) = (answer.search.line, summary.looks > 0) {
        return format!("The note of line {line}.");
    }
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
    let looks = answer.stories.iter().flat_map(|told| &told.looks);
    said.extend(looks.filter_map(failed_test));
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

/// `2 of 3 crazed in boil and ice (line 3)`.
fn failed_test(note: &Note) -> Option<String> {
    let crazed = note.crazed.filter(|crazed| *crazed > 0)?;
    let of = note.pieces.map_or_else(String::new, |pieces| format!(" of {pieces}"));
    Some(format!("{crazed}{of} crazed in {} (line {})", note.test()?, note.line))
}

/// ` of Lamplight clear on buff stoneware`.
fn whose(search: &Search) -> String {
    let mut words = String::new();
    match (&search.over, &search.glaze) {
        (Some(over), Some(glaze)) => words.push_str(&format!(" of {over} over {glaze}")),
        (Some(over), None) => words.push_str(&format!(" of {over} over another")),
        (None, Some(glaze)) => words.push_str(&format!(" of {glaze}")),
        (None, None) => {}
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
    let mut rows = vec![
        ["  line", "looked at", "age", "crazed", "shivered", ""]
            .map(str::to_owned)
            .to_vec(),
    ];
    for note in &told.looks {
        let count = |count: Option<u32>| match (count, note.pieces) {
            (Some(count), Some(pieces)) => format!("{count} of {pieces}"),
            (Some(count), None) => count.to_string(),
            (None, _) => "-".to_owned(),
        };
        rows.push(vec![
            note.line.to_string(),
            note.on.to_string(),
            note.age_days.map_or("-".to_owned(), age_words),
            count(note.crazed),
            count(note.shivered),
            remarks(note),
        ]);
    }
    text.push_str(&fitted(&rows, &[true, false, false, false, false, false]));
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

/// Every key of one note, a line each.
fn whole(note: &Note) -> String {
    let mut text = indented("line: ", &note.line.to_string());
    text.push_str(&indented("id: ", &note.id));
    for (key, value) in note.fields() {
        let shown = match &value {
            serde_json::Value::Null => continue,
            serde_json::Value::String(words) => words.clone(),
            other => other.to_string(),
        };
        if key != "id" {
            text.push_str(&indented(&format!("{key}: "), &shown));
        }
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

/// Test, cause, grades, thickness, report and the whole text.
fn remarks(note: &Note) -> String {
    let mut said: Vec<String> = note.test().map(|test| format!("after {test}")).into_iter().collect();
    said.extend(note.cause.as_ref().map(|cause| format!("cause: {}", cause.word())));
    said.extend(
        note.grades
            .iter()
            .map(|grade| format!("{} {}", grade.property, number::plain(grade.grade))),
    );
    said.extend(
        note.thickness_mm
            .map(|thickness| format!("{} mm", number::plain(thickness))),
    );
    said.extend(note.photo.as_ref().map(|photo| format!("photo {photo}")));
    said.extend(note.lab.as_ref().map(|lab| format!("report {lab}")));
    said.extend(
        note.text
            .as_ref()
            .map(|text| text.split_whitespace().collect::<Vec<_>>().join(" ")),
    );
    said.join("; ")
}
