//! Notes about the same pieces as one story.

use std::borrow::Cow;
use std::collections::HashMap;

use glost_chemistry::read::{folding, same_name};
use serde::Serialize;

use super::note::Note;

/// What can't all be true of the looks at one batch.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum StoryOdd {
    /// A fault went away.
    Healed {
        /// Which.
        fault: &'static str,
        /// A line, and how many pieces it says.
        before: (usize, u32),
        /// A later one, that says fewer.
        later: (usize, u32),
    },
    /// A later line looks at more pieces.
    Grown {
        /// A line, and how many it looks at.
        before: (usize, u32),
        /// The later one.
        later: (usize, u32),
    },
}

type Count = fn(&Note) -> Option<u32>;

/// Looks at the same pieces, by age and then by line. Notes that share a batch
/// are of the same pieces; one without a batch stands alone.
#[derive(Debug, Clone, PartialEq)]
pub struct Story<'a> {
    /// The looks, at least one.
    pub looks: Vec<&'a Note>,
}

impl<'a> Story<'a> {
    /// The look that counts: the greatest age, then the latest line.
    pub fn latest(&self) -> &'a Note {
        self.looks[self.looks.len() - 1]
    }

    /// The first look.
    pub fn first(&self) -> &'a Note {
        self.looks[0]
    }

    /// Something that any look says, the latest first.
    pub fn any<T>(&self, of: impl Fn(&'a Note) -> Option<T>) -> Option<T> {
        self.looks.iter().rev().find_map(|note| of(note))
    }

    /// The looks at what became of the pieces by themselves: one after a torture test is
    /// evidence of its own.
    pub fn by_themselves(&self) -> impl DoubleEndedIterator<Item = &'a Note> {
        self.looks.iter().copied().filter(|note| note.test().is_none())
    }

    /// Whether no piece is left that a torture test spared.
    pub fn all_tortured(&self) -> bool {
        let tested = self.looks.iter().filter(|note| note.test().is_some());
        let Some(tortured) = tested.map(|note| note.pieces.unwrap_or(1)).max() else {
            return false;
        };
        let whole = self.by_themselves().map(|note| note.pieces.unwrap_or(1)).max();
        whole.is_none_or(|whole| whole <= tortured)
    }

    /// The latest count of pieces that crazed by themselves with how many were looked at.
    pub fn crazed(&self) -> Option<(u32, u32)> {
        let mut looks = self.by_themselves().rev();
        looks.find_map(|note| Some((note.crazed?, note.pieces?)))
    }

    /// Torture tests that crazed some of them.
    pub fn failed_tests(&self) -> impl Iterator<Item = (&'a str, &'a Note)> {
        let crazed = |note: &&'a Note| note.crazed.is_some_and(|count| count > 0);
        let looks = self.looks.iter().copied().filter(crazed);
        looks.filter_map(|note| Some((note.test()?, note)))
    }

    /// The latest count of shivered pieces with how many were looked at.
    pub fn shivered(&self) -> Option<(u32, u32)> {
        self.any(|note| Some((note.shivered?, note.pieces?)))
    }

    /// Whether any look saw a piece that crazed by itself.
    pub fn ever_crazed(&self) -> bool {
        self.by_themselves()
            .any(|note| note.crazed.is_some_and(|count| count > 0))
    }

    /// Whether any look saw a shivered piece.
    pub fn ever_shivered(&self) -> bool {
        self.looks
            .iter()
            .any(|note| note.shivered.is_some_and(|count| count > 0))
    }

    /// What in it can't all be true.
    pub fn contradictions(&self) -> Vec<StoryOdd> {
        let mut said = Vec::new();
        let crazed: Count = |note| note.crazed;
        let shivered: Count = |note| note.shivered;
        for (word, count) in [("crazed", crazed), ("shivered", shivered)] {
            let looks = self.by_themselves();
            let seen: Vec<(&Note, u32)> = looks.filter_map(|note| Some((note, count(note)?))).collect();
            for pair in seen.windows(2) {
                let ((before, more), (after, fewer)) = (pair[0], pair[1]);
                if fewer < more {
                    said.push(StoryOdd::Healed {
                        fault: word,
                        before: (before.line, more),
                        later: (after.line, fewer),
                    });
                }
            }
        }
        let looks = self.by_themselves();
        let pieces: Vec<(&Note, u32)> = looks.filter_map(|note| Some((note, note.pieces?))).collect();
        for pair in pieces.windows(2) {
            let ((before, some), (after, other)) = (pair[0], pair[1]);
            if other > some {
                said.push(StoryOdd::Grown {
                    before: (before.line, some),
                    later: (after.line, other),
                });
            }
        }
        said
    }

    /// Whether a note is of these pieces.
    fn holds(&self, note: &Note) -> bool {
        let first = self.first();
        let same = |one: &Option<String>, other: &Option<String>| alike(one.as_deref(), other.as_deref());
        let fits = |of: fn(&Note) -> &Option<String>| {
            let known = self.looks.iter().map(|look| of(look)).find(|known| known.is_some());
            known.is_none_or(|known| of(note).is_none() || same(known, of(note)))
        };
        // The kiln's own record says more of a firing than its name and cone.
        let one_kiln = first.kiln_id().is_some();
        alike(first.kiln_id(), note.kiln_id())
            && same_name(first.pieces_of(), note.pieces_of())
            && same(&first.glaze, &note.glaze)
            && same(&first.tile, &note.tile)
            && alike(first.over(), note.over())
            && fits(|note| &note.clay)
            && (one_kiln || fits(|note| &note.firing) && fits(|note| &note.cone))
    }
}

fn alike(one: Option<&str>, other: Option<&str>) -> bool {
    match (one, other) {
        (Some(one), Some(other)) => same_name(one, other),
        (one, other) => one.is_none() == other.is_none(),
    }
}

/// The stories in notes, in the order of their first lines.
pub fn stories<'a>(notes: impl IntoIterator<Item = &'a Note>) -> Vec<Story<'a>> {
    let mut stories: Vec<Story<'a>> = Vec::new();
    let notes = notes.into_iter();
    let most = notes.size_hint().1.unwrap_or(0);
    let mut of_batch: HashMap<Cow<'a, str>, Vec<usize>> = HashMap::with_capacity(most);
    for note in notes {
        // A note without a batch is one of its own, which later looks name by its id.
        let known = of_batch.entry(folding(note.pieces_of())).or_default();
        let found = known
            .iter()
            .copied()
            .find(|index| stories.get(*index).is_some_and(|story| story.holds(note)));
        match found.and_then(|index| stories.get_mut(index)) {
            Some(story) => story.looks.push(note),
            None => {
                known.push(stories.len());
                stories.push(Story { looks: vec![note] });
            }
        }
    }
    for story in &mut stories {
        // A look without an age is placed by its day.
        let first_day = story.looks.iter().filter_map(|note| note.fired_on()).min();
        let age = |note: &Note| match (note.age_days, first_day) {
            (Some(days), _) => days,
            (None, Some(day)) => note.on.days_since(day) as f64,
            (None, None) => note.on.day_number() as f64,
        };
        story
            .looks
            .sort_by(|one, other| age(one).total_cmp(&age(other)).then(one.line.cmp(&other.line)));
    }
    stories
}

/// An earlier note without a batch that may be of the same pieces: the same
/// glaze, clay and firing, made within a tenth of their age and three days.
pub fn maybe_same_pieces<'a>(note: &Note, earlier: impl IntoIterator<Item = &'a Note>) -> Option<&'a Note> {
    let made = note.fired_on()?;
    let same_text = |one: &Option<String>, other: &Option<String>| alike(one.as_deref(), other.as_deref());
    if note.batch.is_some() || note.crazed.is_none() || note.test().is_some() {
        return None;
    }
    let mut found = None;
    for other in earlier {
        let same = other.batch.is_none()
            && other.crazed.is_some()
            && same_text(&other.glaze, &note.glaze)
            && same_text(&other.tile, &note.tile)
            && same_text(&other.clay, &note.clay)
            && same_text(&other.firing, &note.firing)
            && same_text(&other.cone, &note.cone);
        let slack = 3.0 + note.age_days.unwrap_or(0.0) / 10.0;
        let close = other
            .fired_on()
            .is_some_and(|day| (made.days_since(day).abs() as f64) <= slack);
        if same && close && other.age_days < note.age_days {
            found = Some(other);
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::evidence::notes::Notes;
    use glost_chemistry::diagnostic::Source;

    fn notes(text: &str) -> Notes {
        Notes::read(&Source::from_text("notes.jsonl", text)).0
    }

    #[test]
    fn later_looks_at_a_batch_are_one_story() {
        let book = notes(
            r#"{"on": "2026-10-25", "glaze": "A", "clay": "buff", "batch": "3", "age_days": 180, "pieces": 5, "crazed": 1}
{"on": "2026-05-28", "glaze": "a", "clay": "Buff", "cone": "6", "batch": "3", "age_days": 30, "pieces": 5, "crazed": 0}
{"on": "2026-05-28", "glaze": "A", "clay": "white", "batch": "3", "age_days": 30, "pieces": 5, "crazed": 0}
{"on": "2026-05-28", "glaze": "A", "clay": "buff", "age_days": 30, "pieces": 5, "crazed": 0}
{"on": "2026-05-28", "glaze": "A", "clay": "buff", "age_days": 30, "pieces": 5, "crazed": 0, "copy": 2}
"#,
        );
        let told = stories(book.standing());
        let lines: Vec<Vec<usize>> = told
            .iter()
            .map(|story| story.looks.iter().map(|note| note.line).collect())
            .collect();
        assert_eq!(lines, [vec![2, 1], vec![3], vec![4], vec![5]]);
        assert_eq!(told[0].crazed(), Some((1, 5)));
        assert!(told[0].contradictions().is_empty());
    }

    #[test]
    fn crazes_do_not_heal_and_batches_do_not_grow() {
        let book = notes(
            r#"{"on": "2026-05-28", "glaze": "A", "batch": "3", "age_days": 30, "pieces": 5, "crazed": 2}
{"on": "2026-10-25", "glaze": "A", "batch": "3", "age_days": 180, "pieces": 6, "crazed": 0}
"#,
        );
        let said = stories(book.standing())[0].contradictions();
        assert_eq!(
            said,
            [
                StoryOdd::Healed {
                    fault: "crazed",
                    before: (1, 2),
                    later: (2, 0)
                },
                StoryOdd::Grown {
                    before: (1, 5),
                    later: (2, 6)
                },
            ]
        );
    }

    #[test]
    fn a_torture_test_contradicts_no_look_and_ends_none() {
        let book = notes(
            r#"{"on": "2026-05-28", "glaze": "A", "batch": "3", "age_days": 30, "pieces": 6, "crazed": 0}
{"on": "2026-05-28", "glaze": "A", "batch": "3", "age_days": 30, "pieces": 3, "crazed": 2, "test": "boil and ice"}
{"on": "2026-10-25", "glaze": "A", "batch": "3", "age_days": 180, "pieces": 6, "crazed": 0}
"#,
        );
        let story = &stories(book.standing())[0];
        assert_eq!((story.crazed(), story.ever_crazed()), (Some((0, 6)), false));
        assert_eq!(story.contradictions(), []);
        let failed: Vec<(&str, usize)> = story.failed_tests().map(|(test, note)| (test, note.line)).collect();
        assert_eq!(failed, [("boil and ice", 2)]);
        let next = super::super::due::next_look(story.clone()).map(|due| due.on.to_string());
        assert_eq!(
            next.as_deref(),
            Some("2027-04-28"),
            "the pieces that are left are looked at on"
        );
    }

    #[test]
    fn a_second_look_without_a_batch_is_noticed() {
        let book = notes(
            r#"{"on": "2026-05-28", "glaze": "A", "age_days": 30, "pieces": 5, "crazed": 0}
{"on": "2026-10-25", "glaze": "A", "age_days": 183, "pieces": 5, "crazed": 0}
{"on": "2026-10-25", "glaze": "A", "age_days": 30, "pieces": 5, "crazed": 0}
"#,
        );
        let before = |line: usize| {
            let note = book.at(line).unwrap_or_else(|| panic!("no line {line}"));
            maybe_same_pieces(note, book.all().iter().filter(|other| other.line < line)).map(|other| other.line)
        };
        assert_eq!((before(2), before(3)), (Some(1), None));
    }

    /// Crazed and shivered pieces of a batch, look by look.
    #[test]
    fn a_fault_that_any_look_saw_was_there() {
        let ever = |looks: &[(u32, u32)]| {
            let line = |(crazed, shivered): &(u32, u32)| {
                format!(
                    r#"{{"on":"2026-07-10","glaze":"white","clay":"buff","batch":"1","pieces":5,"crazed":{crazed},"shivered":{shivered}}}"#
                )
            };
            let text: Vec<String> = looks.iter().map(line).collect();
            let (notes, complaints) = Notes::read(&Source::from_text("n", &text.join("\n")));
            assert_eq!(complaints, []);
            let stories = stories(notes.standing());
            assert_eq!(stories.len(), 1);
            (stories[0].ever_crazed(), stories[0].ever_shivered())
        };
        assert_eq!(ever(&[(0, 0)]), (false, false));
        assert_eq!(ever(&[(0, 2)]), (false, true));
        assert_eq!(ever(&[(1, 0), (0, 1), (2, 1)]), (true, true));
    }
}
