//! A note of the studio's notebook: what was seen on which pieces.

use std::sync::Arc;

use glost_core::evidence::notes::Note;
use rhai::{Array, Dynamic, EvalAltResult, ImmutableString, Map};

use crate::scene;
use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;

use super::walked::handed_over;
use super::{no_such_name, or_nothing, text_or_nothing};

type Raised = Box<EvalAltResult>;

/// A note as scripts see it.
#[derive(Debug, Clone)]
pub(crate) struct NoteValue(Arc<Note>);

/// The standing notes of the present scene, in the order of their lines; those of tests
/// that maltreat pieces tell nothing of pieces in use, and come only where they are wanted.
pub(super) fn standing(with_tests: bool) -> Result<Dynamic, Raised> {
    let scene = scene::scene()?;
    let Some(notebook) = scene.notebook.clone() else {
        return Ok(Dynamic::from(Array::new()));
    };
    let places: Vec<usize> = notebook
        .standing()
        .filter(|(_, note)| with_tests || !note.test().is_some_and(maltreats))
        .map(|(place, _)| place)
        .collect();
    handed_over(places.len(), move |index| {
        Dynamic::from(NoteValue(notebook.note(places[index])))
    })
}

/// Words of tests that maltreat pieces, as no use does: shocks, ice, steam under pressure.
/// Common practice, no source.
const MALTREATED: [&str; 18] = [
    "boil",
    "boiled",
    "boiling",
    "ice",
    "iced",
    "autoclave",
    "autoclaved",
    "steam",
    "steamed",
    "freeze",
    "freezer",
    "freezing",
    "frozen",
    "shock",
    "quench",
    "quenched",
    "oven",
    "torture",
];

/// Whether a test maltreats pieces; a dishwasher or a year of use doesn't.
fn maltreats(test: &str) -> bool {
    let test = test.to_lowercase();
    let mut words = test.split(|sign: char| !sign.is_alphanumeric());
    words.any(|word| MALTREATED.contains(&word))
}

pub(super) fn register(shelf: &mut Shelf) {
    shelf.module.set_custom_type::<NoteValue>(Sort::Note.words());
    texts(shelf);
    counts(shelf);
    grades(shelf);
    shelf.silent(
        "index$get$",
        |_: &mut NoteValue, name: &str| -> Result<Dynamic, Raised> {
            Err(no_such_name(Sort::Note, name, crate::reference::names_of(Sort::Note)))
        },
    );
}

fn texts(shelf: &mut Shelf) {
    shelf.add(
        Entry::property(
            Sort::Note,
            "on",
            Sort::Text,
            "The day the pieces were looked at: \"2026-11-24\".",
        ),
        |note: &mut NoteValue| ImmutableString::from(note.0.on.to_string()),
    );
    let mut text = |name: &'static str, about: &'static str, of: fn(&Note) -> Option<&str>| {
        shelf.add(
            Entry::property(Sort::Note, name, Sort::Text, about),
            move |note: &mut NoteValue| text_or_nothing(of(&note.0)),
        );
    };
    text("glaze", "The glaze's name; `()` where only a tile is named.", |note| {
        note.glaze.as_deref()
    });
    text(
        "version",
        "Which version of its recipe; `()` for the recipe of today.",
        |note| note.version.as_deref(),
    );
    text("clay", "The clay's name; `()` where none is said.", |note| {
        note.clay.as_deref()
    });
    text("firing", "The firing's name; `()` where none is said.", |note| {
        note.firing.as_deref()
    });
    text("cone", "The cone as a text; `()` where none is said.", |note| {
        note.cone.as_deref()
    });
    text(
        "batch",
        "Which pieces: later looks at the same ones share it; `()` where it isn't said.",
        |note| note.batch.as_deref(),
    );
    text("tile", "The tile's code; `()` where it is no tile.", |note| {
        note.tile.as_deref()
    });
    text(
        "test",
        "The test that the pieces went through before, such as \"boil and ice\" or \"dishwasher 50 times\"; `()` where it was none.",
        |note| note.test(),
    );
    text(
        "lab",
        "The laboratory's report that it stands for; `()` where it is none.",
        |note| note.lab.as_deref(),
    );
    text("photo", "Where a picture lies; `()` where there is none.", |note| {
        note.photo.as_deref()
    });
    text("kept", "How the pieces are kept; `()` where it isn't said.", |note| {
        note.kept.as_deref()
    });
    text("text", "Free text; `()` where there is none.", |note| {
        note.text.as_deref()
    });
}

fn counts(shelf: &mut Shelf) {
    shelf.add(
        Entry::property(Sort::Note, "line", Sort::Number, "Its line in the notebook, from 1."),
        |note: &mut NoteValue| note.0.line as i64,
    );
    let mut number = |name: &'static str, about: &'static str, of: fn(&Note) -> Option<f64>| {
        shelf.add(
            Entry::property(Sort::Note, name, Sort::Number, about),
            move |note: &mut NoteValue| or_nothing(of(&note.0)),
        );
    };
    number(
        "age_days",
        "Days between the glaze firing and the look; `()` where it isn't said.",
        |note| note.age_days,
    );
    number(
        "pieces",
        "How many pieces were looked at; `()` where it isn't said.",
        |note| note.pieces.map(f64::from),
    );
    number(
        "crazed",
        "How many of them were crazed; `()` where nobody looked for it.",
        |note| note.crazed.map(f64::from),
    );
    number(
        "shivered",
        "How many of them had shivered; `()` where nobody looked for it.",
        |note| note.shivered.map(f64::from),
    );
    number(
        "thickness_mm",
        "Thickness of the fired glaze in mm; `()` where it isn't said.",
        |note| note.thickness_mm,
    );
}

fn grades(shelf: &mut Shelf) {
    shelf.add(
        Entry::property(
            Sort::Note,
            "lots",
            Sort::Table,
            "Which lots the pieces were made of, by material: `#{ \"feldspar A\": \"K7\" }`.",
        ),
        |note: &mut NoteValue| -> Map {
            let lots = note.0.lots.iter();
            lots.map(|(material, lot)| {
                (
                    material.as_str().into(),
                    Dynamic::from(ImmutableString::from(lot.as_str())),
                )
            })
            .collect()
        },
    );
    shelf.add(
        Entry::property(
            Sort::Note,
            "grades",
            Sort::Table,
            "Its grades, 0 to 5, by property: `#{ gloss: 4 }`.",
        ),
        |note: &mut NoteValue| -> Map {
            let grades = note.0.grades.iter();
            grades
                .map(|grade| (grade.property.as_str().into(), Dynamic::from(grade.grade)))
                .collect()
        },
    );
    shelf.add(
        Entry::method(
            Sort::Note,
            "grade",
            "property",
            Sort::Number,
            "The grade of a property, 0 to 5; `()` where it wasn't graded.",
        )
        .example("note.grade(\"gloss\")"),
        |note: &mut NoteValue, property: &str| or_nothing(note.0.grade(property)),
    );
}
