//! A later look at pieces that were noted before.

use glost_chemistry::quantity::{Date, NumberTrouble};

use super::draft::{Draft, Slip};
use glost_core::evidence::notes::{MARK_KEY, Note, OVER_KEY};

/// Fills a draft with what is known of the pieces of an earlier note: glaze,
/// version, clay, firing, batch, how many, and their age by now. What the draft
/// says itself stays.
///
/// Only notes of one batch are looks at the same pieces; an earlier note without
/// one is named by its id.
///
/// # Errors
/// The later look is of a day before the pieces came from the kiln.
pub fn look_again(earlier: &Note, draft: &mut Draft, today: Date) -> Result<(), Slip> {
    let batch = Some(earlier.pieces_of().to_owned());
    let known = [
        ("glaze", &earlier.glaze),
        ("version", &earlier.version),
        ("clay", &earlier.clay),
        ("firing", &earlier.firing),
        ("cone", &earlier.cone),
        ("tile", &earlier.tile),
        ("batch", &batch),
    ];
    let marks = [(MARK_KEY, earlier.mark()), (OVER_KEY, earlier.over())];
    for (key, value) in marks {
        if let (None, Some(value)) = (draft.said(key), value) {
            draft.say(key, value);
        }
    }
    for (key, value) in known {
        if let (None, Some(value)) = (draft.said(key), value) {
            draft.say(key, value);
        }
    }
    if let (Some(pieces), false) = (earlier.pieces, draft.says_pieces()) {
        draft.say("pieces", &pieces.to_string());
    }
    if let (Some(fired), false) = (earlier.fired_on(), draft.says_age()) {
        let on = draft
            .said("on")
            .and_then(|text| Date::parse(text).ok())
            .unwrap_or(today);
        let days = on.days_since(fired);
        if days < 0 {
            return Err(Slip {
                key: "on",
                trouble: NumberTrouble {
                    message: format!("{on} is before these pieces came from the kiln, {fired}"),
                    help: Some("write the day they were looked at again".to_owned()),
                },
            });
        }
        draft.say("age_days", &days.to_string());
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use glost_chemistry::diagnostic::Source;
    use glost_core::evidence::notes::{Notes, stories};

    fn day(text: &str) -> Date {
        Date::parse(text).unwrap_or_else(|why| panic!("{why:?}"))
    }

    #[test]
    fn the_second_look_counts_instead_of_the_first() {
        let first = r#"{"on": "2026-10-25", "glaze": "A", "version": "v1", "clay": "buff", "age_days": 1, "pieces": 5, "crazed": 0}"#;
        let (notes, _) = Notes::read(&Source::from_text("n", first));
        let earlier = notes.at(1).unwrap_or_else(|| panic!("no line"));
        let mut draft = Draft::default();
        draft.say("crazed", "2");
        let today = day("2026-11-24");
        assert_eq!(look_again(earlier, &mut draft, today), Ok(()));
        let settled = draft.settle(today).unwrap_or_else(|slip| panic!("{slip:?}"));
        assert_eq!(
            (settled.note.age_days, settled.note.pieces, settled.note.crazed),
            (Some(31.0), Some(5), Some(2))
        );
        let lines = [first.to_owned(), settled.note.to_line()];
        let (notes, complaints) = Notes::read(&Source::from_text("n", &lines.join("\n")));
        assert_eq!(complaints, []);
        let told = stories(notes.standing());
        assert_eq!(told.len(), 1);
        assert_eq!(told[0].looks.iter().map(|note| note.line).collect::<Vec<_>>(), [1, 2]);
        let mut early = Draft::default();
        early.say("on", "2026-10-23");
        assert_eq!(
            look_again(earlier, &mut early, today).map_err(|slip| slip.key),
            Err("on")
        );
    }
}
