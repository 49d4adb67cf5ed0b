//! `glost note`: a note as it was written, what it means, how to look.

use glost_chemistry::quantity::Date;
use glost_core::evidence::notes::{
    Note, Notes, RecipeStanding, Story, Version, maybe_same_pieces, next_look, rate_below_percent, stories,
};
use serde_json::{Value, json};

use crate::layout::{Style, assumed, indented, paragraph};
use crate::looking::{HOW_TO_LOOK, note_json, pieces_words, seen_words, standing_words};

/// Pieces fired so long before their recipe was recorded may be of another.
const LONG_BEFORE_DAYS: i64 = 60;

/// A note that was just written.
#[derive(Debug)]
pub struct NotePage<'a> {
    /// The notebook with it.
    pub notes: &'a Notes,
    /// Its line.
    pub line: usize,
    /// The version it belongs to.
    pub version: Option<&'a Version>,
    /// That version, where it was recorded for this note.
    pub new_version: Option<&'a Version>,
    /// What its recipe is to today's.
    pub standing: RecipeStanding,
    /// What was assumed.
    pub assumptions: &'a [String],
    /// An older version that the pieces may be of, by the day they were fired.
    pub older: Option<&'a Version>,
}

impl NotePage<'_> {
    /// The note with its line, what was recorded with it and what to do next.
    pub fn json(&self) -> Value {
        let Some((note, story)) = self.note_and_story() else {
            return Value::Null;
        };
        let mut fields = note_json(note);
        let next = next_look(story.clone());
        let earlier: Vec<usize> = story
            .looks
            .iter()
            .map(|look| look.line)
            .filter(|line| *line != self.line)
            .collect();
        for (key, value) in [
            (
                "recorded_version",
                json!(self.new_version.map(|version| &version.version)),
            ),
            ("seen", json!(seen_words(note))),
            ("other_looks", json!(earlier)),
            ("contradictions", json!(story.contradictions())),
            (
                "maybe_same_pieces",
                json!(self.maybe_same(note).map(|other| other.line)),
            ),
            ("look_again_on", json!(next.map(|due| due.on.to_string()))),
            ("assumptions", json!(self.assumptions())),
        ] {
            fields.insert(key.to_owned(), value);
        }
        Value::Object(fields)
    }

    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
        let Some((note, story)) = self.note_and_story() else {
            return String::new();
        };
        let first = format!("Noted on line {}: {}.", note.line, seen_words(note));
        let mut text = style.bold(paragraph(&first, 0).trim_end());
        text.push_str("\n\n");
        text.push_str(&paragraph(
            &format!("{}; looked at {}.", pieces_words(&story), note.on.words()),
            2,
        ));
        if let Some(version) = self.new_version {
            text.push_str(&paragraph(
                &format!(
                    "{} is recorded: the recipe, its materials and their lots as they are.",
                    version.version
                ),
                2,
            ));
        }
        if let Some(words) = standing_words(note, &self.standing).filter(|_| self.standing != RecipeStanding::NoRecipe)
        {
            text.push_str(&paragraph(&format!("{words}."), 2));
        }
        for look in story.looks.iter().filter(|look| look.line != note.line) {
            let when = if look.line < note.line { "Before" } else { "Also" };
            text.push_str(&paragraph(
                &format!("{when}, line {}: {}.", look.line, seen_words(look)),
                2,
            ));
        }
        text.push('\n');
        for sentence in meaning(note, story.ever_crazed()) {
            text.push_str(&indented("It means: ", &sentence));
        }
        text.push_str(&indented("To look: ", HOW_TO_LOOK));
        for sentence in story.contradictions() {
            text.push_str(&indented(
                "Doesn't fit: ",
                &format!("{sentence}. Look once more, and take the wrong line back."),
            ));
        }
        if let Some(other) = self.maybe_same(note) {
            text.push_str(&indented(
                "Same pieces? ",
                &format!(
                    "line {} may be an earlier look at these. As they stand they count as other pieces; if they are the same: glost note --void {}, then glost note --again {} ...",
                    other.line, note.line, other.line
                ),
            ));
        }
        text.push_str(&self.next(&story));
        text.push_str(&assumed(&self.assumptions()));
        text.push_str(&indented(
            "Wrong? ",
            &format!("glost note --void {} takes it back.", note.line),
        ));
        text
    }

    fn note_and_story(&self) -> Option<(&Note, Story<'_>)> {
        let note = self.notes.at(self.line)?;
        let mut told = stories(self.notes.standing()).into_iter();
        let story = told.find(|story| story.looks.iter().any(|look| look.line == self.line))?;
        Some((note, story))
    }

    fn maybe_same(&self, note: &Note) -> Option<&Note> {
        let earlier = self.notes.standing().filter(|other| other.line < note.line);
        maybe_same_pieces(note, earlier)
    }

    fn next(&self, story: &Story<'_>) -> String {
        let Some(due) = next_look(story.clone()) else {
            return String::new();
        };
        let latest = story.latest();
        let pieces = latest.pieces.map_or("1".to_owned(), |pieces| pieces.to_string());
        let when = if due.on <= latest.on {
            "soon".to_owned()
        } else {
            due.on.words()
        };
        indented(
            "Look again: ",
            &format!(
                "{when} (glost due); then glost note --again {} --crazed _/{pieces}",
                latest.line
            ),
        )
    }

    fn assumptions(&self) -> Vec<String> {
        let mut said = self.assumptions.to_vec();
        let (Some(note), Some(version)) = (self.notes.at(self.line), self.version) else {
            return said;
        };
        if let Some(older) = self.older {
            said.push(format!(
                "they are of {}, although {} was the recipe when they were fired; if they are of that, take this back and say --version {}",
                version.version, older.version, older.version
            ));
        } else if self.standing == RecipeStanding::Today
            && note
                .fired_on()
                .is_some_and(|fired| version.on.days_since(fired) > LONG_BEFORE_DAYS)
        {
            said.push(
                "the recipe was the same when they were fired; if it was another, note them from a file that holds it: glost note OLD.yaml --version old ...".to_owned(),
            );
        }
        said
    }
}

/// What a look means, a sentence each.
fn meaning(note: &Note, crazed_before: bool) -> Vec<String> {
    let mut said = Vec::new();
    match (note.crazed, note.pieces) {
        (Some(0), _) if crazed_before => {}
        (Some(0), Some(pieces)) => said.push(format!(
            "held so far. None of {pieces} shows only that fewer than about {:.0} % of such pieces craze by this age (95 % confidence); crazing can come years later.",
            rate_below_percent(pieces)
        )),
        (Some(_), _) => said.push(
            "crazed pieces are seconds, not tableware: they leak, stain and are weaker. More of these may craze later.".to_owned(),
        ),
        (None, _) => {}
    }
    if note.shivered.is_some_and(|shivered| shivered > 0) {
        said.push("slivers are sharp. Stop this glaze on this clay, and give none of these pieces away.".to_owned());
    }
    if note.lab.is_some() {
        said.push(
            "the report is about this recipe in this firing. Another recipe, lot, clay or firing outdates it; `glost due` tells.".to_owned(),
        );
    }
    said
}

/// A line that was just taken back.
#[derive(Debug)]
pub struct VoidPage<'a> {
    /// The notebook before.
    pub notes: &'a Notes,
    /// The line taken back.
    pub of: usize,
    /// The line that says so.
    pub line: usize,
    /// The day.
    pub on: Date,
    /// Why.
    pub text: Option<&'a str>,
}

impl VoidPage<'_> {
    /// As JSON.
    pub fn json(&self) -> Value {
        json!({
            "line": self.line,
            "on": self.on.to_string(),
            "void": self.of,
            "text": self.text,
            "taken_back": self.notes.at(self.of).map(note_json),
        })
    }

    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
        let reinstated = self.notes.voids().iter().find(|void| void.line == self.of);
        let what = match (self.notes.at(self.of), reinstated) {
            (Some(note), _) => {
                let story = Story { looks: vec![note] };
                format!(
                    "Line {} is taken back: {}, {}.",
                    self.of,
                    pieces_words(&story),
                    seen_words(note)
                )
            }
            (None, Some(void)) => format!("Line {} is taken back: line {} stands again.", self.of, void.of),
            (None, None) => format!("Line {} is set aside; it could not be read.", self.of),
        };
        let mut text = style.bold(paragraph(&what, 0).trim_end());
        text.push('\n');
        text.push_str(&paragraph(
            &format!(
                "The line stays in the notebook, and line {} says that it doesn't count. glost note --void {} makes it stand again.",
                self.line, self.line
            ),
            0,
        ));
        text
    }
}
