//! `glost note`: a note as it was written, what it means, how to look.

use crate::words::age::age_words;
use glost_chemistry::diagnostic::Diagnostic;
use glost_core::evidence::notes::{Note, RecipeStanding};
use glost_desk::Said;
use glost_desk::note::{Answer, Meaning, NextLook, Noted, TakenBack, TypedIn, WhatStood};

use super::note_blank;
use crate::Shown;
use crate::layout::{Align, Style, Table, assumed, indented, paragraph};
use crate::print::Printed;
use crate::words::notes::{HOW_TO_LOOK, pieces_words, seen_words, standing_words};
use crate::words::{say, say_all};

/// Rows of a table shown on a screen.
const SHOWN: usize = 30;

impl Shown for Answer {
    fn text(&self, style: Style) -> String {
        match self {
            Answer::Blank(sheet) => note_blank::text(sheet),
            Answer::Noted(noted) => noted_text(noted, style),
            Answer::TakenBack(taken_back) => taken_back_text(taken_back, style),
            Answer::Typed(typed) => typed_text(typed, style),
        }
    }

    fn printed(&self) -> Result<Printed, Diagnostic> {
        match self {
            Answer::Blank(sheet) => note_blank::printed(sheet),
            Answer::Noted(_) | Answer::TakenBack(_) | Answer::Typed(_) => Ok(Printed::default()),
        }
    }
}

fn noted_text(noted: &Noted, style: Style) -> String {
    let note = &noted.note;
    let first = if noted.already {
        format!(
            "Already noted, on line {} ({}): {}. Nothing was written; --twice notes other pieces that look the same.",
            note.line,
            note.id,
            seen_words(note)
        )
    } else {
        format!("Noted on line {} ({}): {}.", note.line, note.id, seen_words(note))
    };
    let mut text = style.bold(paragraph(&first, 0).trim_end());
    text.push_str("\n\n");
    text.push_str(&which_pieces(noted));
    text.push('\n');
    for meaning in &noted.meaning {
        text.push_str(&indented("It means: ", &meaning_words(*meaning, note)));
    }
    text.push_str(&care(&noted.cautions));
    text.push_str(&indented("To look: ", HOW_TO_LOOK));
    for said in &noted.contradictions {
        text.push_str(&indented(
            "Doesn't fit: ",
            &format!("{}. Look once more, and take the wrong line back.", say(said)),
        ));
    }
    if let Some(other) = noted.maybe_same_pieces {
        text.push_str(&indented(
            "Same pieces? ",
            &format!(
                "line {other} may be an earlier look at these. As they stand they count as other pieces; if they are the same: glost note --void {}, then glost note --again {other} ...",
                note.line
            ),
        ));
    }
    text.push_str(&noted.next.map_or_else(String::new, next_text));
    text.push_str(&assumed(&say_all(&noted.assumptions)));
    text.push_str(&indented(
        "Wrong? ",
        &format!("glost note --void {} takes it back.", note.line),
    ));
    text
}

/// The pieces, their recipe and the other looks at them.
fn which_pieces(noted: &Noted) -> String {
    let note = &noted.note;
    let mut text = paragraph(
        &format!("{}; looked at {}.", pieces_words(&noted.looks), note.on.words()),
        2,
    );
    if let Some(version) = &noted.recorded_version {
        text.push_str(&paragraph(
            &format!("{version} is recorded: the recipe, its materials and their lots as they are."),
            2,
        ));
    }
    if noted.standing != RecipeStanding::NoRecipe
        && let Some(words) = standing_words(note, &noted.standing)
    {
        text.push_str(&paragraph(&format!("{words}."), 2));
    }
    for look in noted.looks.iter().filter(|look| look.line != note.line) {
        let when = if look.line < note.line { "Before" } else { "Also" };
        text.push_str(&paragraph(
            &format!("{when}, line {}: {}.", look.line, seen_words(look)),
            2,
        ));
    }
    text
}

fn next_text(next: NextLook) -> String {
    let pieces = next.pieces.map_or("1".to_owned(), |pieces| pieces.to_string());
    let when = if next.soon { "soon".to_owned() } else { next.on.words() };
    indented(
        "Look again: ",
        &format!(
            "{when} (glost due); then glost note --again {} --crazed _/{pieces}",
            next.line
        ),
    )
}

/// What to take care of, each on a line of its own.
fn care(cautions: &[Said]) -> String {
    let each = cautions
        .iter()
        .map(|said| indented("Care: ", &format!("{}.", say(said))));
    each.collect()
}

fn meaning_words(meaning: Meaning, note: &Note) -> String {
    match meaning {
        Meaning::HeldSoFar { pieces, below_percent } => format!(
            "no crazing seen. None of {pieces} shows only that fewer than about {below_percent:.0} % of such pieces craze by this age (95 % confidence); crazing can come years later."
        ),
        Meaning::PassedTest => {
            "a test that is passed raises nothing: such pieces can still craze with age. One that is failed comes first."
                .to_owned()
        }
        Meaning::Dunted => {
            "stop: give none of that batch away, a cracked piece can come apart in the hand. Slow the cooling.".to_owned()
        }
        Meaning::Crazed => {
            format!(
                "crazed pieces are seconds, not tableware: they leak, stain and are weaker. More of these may craze later: \
                 give none away. No further look is due, for that it crazes is known; glost note --again {} notes one all \
                 the same.",
                note.line
            )
        }
        Meaning::FailedTest => format!(
            "crazed in {}: that comes first in `glost fit`, whatever held by itself until now; expect such pieces to craze \
             with age. A test counts apart, never as time on the shelf; the pieces that went through it are spent.",
            note.test().unwrap_or("the test")
        ),
        Meaning::Shivered => {
            "slivers are sharp. Stop this glaze on this clay, and give none of these pieces away.".to_owned()
        }
        Meaning::Report => "the report is about this recipe in this firing. Another recipe, lot, clay or firing outdates it; `glost due` tells.".to_owned(),
    }
}

fn taken_back_text(taken_back: &TakenBack, style: Style) -> String {
    let TakenBack { of, line, what, .. } = taken_back;
    let what = match what {
        WhatStood::Note(note) => {
            let pieces = pieces_words(std::slice::from_ref(note));
            format!("Line {of} is taken back: {pieces}, {}.", seen_words(note))
        }
        WhatStood::Void(again) => format!("Line {of} is taken back: line {again} stands again."),
        WhatStood::Unread => format!("Line {of} is set aside; it could not be read."),
    };
    let mut text = style.bold(paragraph(&what, 0).trim_end());
    text.push('\n');
    text.push_str(&paragraph(
        &format!(
            "The line stays in the notebook, and line {line} says that it doesn't count. glost note --void {line} makes it stand again."
        ),
        0,
    ));
    text
}

fn typed_text(typed: &TypedIn, style: Style) -> String {
    let lines = match typed.notes.as_slice() {
        [one] => format!("1 note on line {}", one.line),
        [first, .., last] => format!("{} notes on lines {} to {}", typed.notes.len(), first.line, last.line),
        [] => "0 notes".to_owned(),
    };
    let mut text = style.bold(&format!("{lines}, from {}.", typed.file));
    text.push_str("\n\n");
    text.push_str(&rows(&typed.notes));
    if typed.notes.len() > SHOWN {
        text.push_str(&format!("and {} more\n", typed.notes.len() - SHOWN));
    }
    text.push('\n');
    for version in &typed.new_versions {
        text.push_str(&paragraph(
            &format!(
                "{} {} is recorded: the recipe as it is.",
                version.glaze, version.version
            ),
            2,
        ));
    }
    text.push_str(&care(&typed.cautions));
    text.push_str(&assumed(&say_all(&typed.assumptions)));
    text.push_str(&indented("Wrong? ", "glost note --void LINE takes one line back."));
    text
}

fn rows(notes: &[Note]) -> String {
    let mut table = Table::new(&[
        Align::Right,
        Align::Left,
        Align::Left,
        Align::Left,
        Align::Left,
        Align::Left,
    ]);
    table.row(["line", "glaze or tile", "clay", "age", "crazed", "shivered"]);
    for note in notes.iter().take(SHOWN) {
        let count = |count: Option<u32>| match (count, note.pieces) {
            (Some(count), Some(pieces)) => format!("{count} of {pieces}"),
            _ => "-".to_owned(),
        };
        let glaze = note.glaze.as_deref().map(|name| shortened(name, 22));
        let tile = note.tile.as_deref().map(|code| shortened(code, 10));
        table.row([
            note.line.to_string(),
            [glaze, tile].into_iter().flatten().collect::<Vec<_>>().join(", "),
            note.clay.as_deref().map_or("-".to_owned(), |clay| shortened(clay, 18)),
            note.age_days.map_or("-".to_owned(), age_words),
            count(note.crazed),
            count(note.shivered),
        ]);
    }
    table.text()
}

fn shortened(text: &str, most: usize) -> String {
    if text.chars().count() > most {
        text.chars().take(most - 1).chain(['…']).collect()
    } else {
        text.to_owned()
    }
}
