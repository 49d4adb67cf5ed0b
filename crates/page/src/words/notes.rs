//! What pieces look like, in words that several pages share.

use crate::words::age::age_words;
use glost_core::evidence::notes::{Change, Note, RecipeStanding};
use glost_core::evidence::window::step_of_name;

use glost_desk::booked::Amiss;
use glost_desk::note::Noticed;

use crate::number;

/// How to look, on screens and on paper.
pub(crate) const HOW_TO_LOOK: &str = "Wipe washable dye or marker on and back off, then raking light and a loupe. For shivering: rims and edges, in gloves.";

/// `none of 5 crazed`, `2 of 5 crazed`, `all 5 crazed`.
pub(crate) fn count_words(count: u32, pieces: Option<u32>, word: &str) -> String {
    match pieces {
        None => format!("{count} {word}"),
        Some(pieces) if count == 0 => format!("none of {pieces} {word}"),
        Some(pieces) if count == pieces && pieces > 1 => format!("all {pieces} {word}"),
        Some(pieces) => format!("{count} of {pieces} {word}"),
    }
}

/// What a look saw: counts, age, grades, report.
pub(crate) fn seen_words(note: &Note) -> String {
    let mut said = Vec::new();
    let mut age = note.age_days.map(|days| match days {
        fresh if fresh < 0.5 => " straight from the kiln".to_owned(),
        older => format!(" after {}", age_words(older)),
    });
    if let Some(crazed) = note.crazed {
        said.push(count_words(crazed, note.pieces, "crazed") + age.take().unwrap_or_default().as_str());
    }
    if let Some(shivered) = note.shivered {
        let counted = if note.crazed.is_some() && shivered == 0 {
            "none shivered".to_owned()
        } else {
            count_words(shivered, note.pieces, "shivered")
        };
        said.push(counted + age.take().unwrap_or_default().as_str());
    }
    if let Some(dunted) = note.dunted.filter(|dunted| *dunted > 0) {
        let counted = count_words(dunted, note.pieces, "cracked through");
        said.push(counted + age.take().as_deref().unwrap_or(""));
    }
    for grade in &note.grades {
        said.push(format!("{} {} of 5", grade.property, number::plain(grade.grade)));
    }
    if let Some(lab) = &note.lab {
        said.push(format!("laboratory report: {lab}"));
    }
    if said.is_empty() {
        let pieces = note
            .pieces
            .map_or_else(String::new, |pieces| format!("{pieces} pieces, "));
        said.push(format!("{pieces}nothing counted{}", age.unwrap_or_default()));
    }
    said.join(", ")
}

/// `Lamplight clear v1, buff stoneware, cone 6, batch 3`.
pub(crate) fn pieces_words(looks: &[Note]) -> String {
    let first = |of: fn(&Note) -> &Option<String>| looks.iter().find_map(|note| of(note).clone());
    let glaze = first(|note| &note.glaze).map(|glaze| match first(|note| &note.version) {
        Some(version) => format!("{glaze} {version}"),
        None => glaze,
    });
    let over = looks.iter().find_map(Note::over);
    let named = [
        match (over, glaze) {
            (Some(over), Some(glaze)) => Some(format!("{over} over {glaze}")),
            (_, glaze) => glaze,
        },
        first(|note| &note.tile).map(|tile| format!("tile {tile}")),
        first(|note| &note.clay),
        first(|note| &note.firing).map(|firing| format!("firing {firing}")),
        first(|note| &note.cone).map(|cone| format!("cone {cone}")),
        first(|note| &note.batch)
            .filter(|batch| !is_of_kiln(looks, batch))
            .map(|batch| {
                let of_note = looks.iter().any(|note| note.batch.is_none() && note.id == batch);
                if of_note {
                    format!("pieces of note {batch}")
                } else if batch.contains(' ') || batch.chars().any(char::is_alphabetic) {
                    batch
                } else {
                    format!("batch {batch}")
                }
            }),
    ];
    named.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// Pieces without a batch's number are told apart by their firing's id, which says nothing.
fn is_of_kiln(looks: &[Note], batch: &str) -> bool {
    looks.iter().filter_map(Note::kiln_id).any(|id| batch.starts_with(id))
}

/// What changed between two versions.
pub(crate) fn change_words(change: &Change) -> String {
    let lot = |lot: &Option<String>| {
        lot.as_deref()
            .map_or("no lot named".to_owned(), |lot| format!("lot {lot}"))
    };
    match change {
        Change::Lot { material, from, to } => format!("{material} {} -> {}", lot(from), lot(to)),
        Change::Renamed { from, to } => format!("{from} -> {to}"),
        Change::Analysis { material } => format!("{material} has another analysis"),
        Change::Amount {
            material,
            from: 0.0,
            to,
        } => format!("{material} {} came in", number::parts(*to)),
        Change::Amount { material, to: 0.0, .. } => format!("{material} is out"),
        Change::Amount { material, from, to } => {
            format!("{material} {} -> {}", number::parts(*from), number::parts(*to))
        }
    }
}

/// Several changes.
pub(crate) fn changes_words(changes: &[Change]) -> String {
    const SHOWN: usize = 4;
    let mut words: Vec<String> = changes.iter().take(SHOWN).map(change_words).collect();
    if changes.len() > SHOWN {
        words.push(format!("and {} more", changes.len() - SHOWN));
    }
    words.join(", ")
}

/// Which recipe a note is about; `None` where it is today's.
pub(crate) fn standing_words(note: &Note, standing: &RecipeStanding) -> Option<String> {
    let version = note.version.as_deref().unwrap_or_default();
    match standing {
        RecipeStanding::Today => None,
        RecipeStanding::Older(changes) => Some(format!(
            "{version} is an older recipe; since then {}",
            changes_words(changes)
        )),
        RecipeStanding::Unsaid => Some("No version named: it counts as today's recipe".to_owned()),
        RecipeStanding::Unrecorded => Some(format!("Nobody recorded what {version} was")),
        RecipeStanding::NoRecipe if note.glaze.as_deref().is_some_and(|name| step_of_name(name).is_some()) => {
            Some("No file of its own: its name says what was added, and that counts".to_owned())
        }
        RecipeStanding::NoRecipe if note.glaze.is_some() => {
            Some("No file that can be read describes this glaze".to_owned())
        }
        RecipeStanding::NoRecipe => None,
    }
}

/// The errors among complaints: lines that weren't read at all.
pub(crate) fn not_read(complaints: &[glost_chemistry::diagnostic::Diagnostic]) -> Vec<usize> {
    let errors = complaints
        .iter()
        .filter(|complaint| complaint.severity == glost_chemistry::diagnostic::Severity::Error);
    errors
        .filter_map(|error| error.place.as_ref().map(|place| place.mark.line))
        .collect()
}

/// `line 4`, `lines 4 and 6`, `lines 4, 6 and 9`.
pub(crate) fn lines_words(lines: &[usize]) -> String {
    let numbers: Vec<String> = lines.iter().map(usize::to_string).collect();
    match numbers.as_slice() {
        [] => "no line".to_owned(),
        [one] => format!("line {one}"),
        [many @ .., last] => format!("lines {} and {last}", many.join(", ")),
    }
}

/// Why a batch isn't booked for a glaze.
pub fn amiss(amiss: &Amiss) -> String {
    match amiss {
        Amiss::NeverBooked { batch } => {
            format!("batch {batch} was never booked: `glost batches` lists those that were")
        }
        Amiss::TakenBack { batch } => format!("the booking of batch {batch} was taken back"),
        Amiss::Shared { batch, ids } => {
            format!(
                "{} batches are called {batch}: name one by its id, {}",
                ids.len(),
                ids.join(" or ")
            )
        }
        Amiss::OfAnother {
            batch,
            booked_as,
            glaze,
        } => format!("batch {batch} was booked as {booked_as}, not as {glaze}"),
    }
}

/// `bought clear lot K7, kaolin lot 61`.
pub(crate) fn lots_words(lots: &[(String, String)]) -> String {
    let each: Vec<String> = lots
        .iter()
        .map(|(material, lot)| match lot.is_empty() {
            true => format!("{material}, lot not told"),
            // A powder's own name may end with its lot.
            false if material.ends_with(&format!("lot {lot}")) => material.clone(),
            false => format!("{material} lot {lot}"),
        })
        .collect();
    each.join(", ")
}

/// `its cones missed: 2 hotter than cone 6`.
pub(crate) fn missed_words(cones: f64, meant: &str) -> String {
    let way = if cones > 0.0 { "hotter" } else { "cooler" };
    format!(
        "its cones missed: {} {way} than cone {meant}",
        number::plain(cones.abs())
    )
}

/// What is noticed or taken for granted beside a note.
pub(super) fn noticed(noticed: &Noticed) -> String {
    match noticed {
        Noticed::ClayOfGlaze { clay } => format!("on {clay}, as the glaze's file says; --clay says another"),
        Noticed::ClayOfPlan { clay } => format!("on {clay}, as the plan says; --clay says another"),
        Noticed::FiringOfGlaze { firing, cone } => {
            let cone = cone.as_ref().map(|cone| format!("cone {cone}"));
            let fired: Vec<String> = firing.iter().cloned().chain(cone).collect();
            format!(
                "fired to {}, as the glaze's file says; --firing or --cone says another",
                fired.join(", ")
            )
        }
        Noticed::NoFile { glaze } => {
            format!("no file describes {glaze}: its results count, its chemistry is not known")
        }
        Noticed::NotWorkedOut { glaze, why } => format!(
            "noted; the recipe of {glaze} can't be worked out now, so no version was kept: the note counts for the recipe that is read once this is mended: {why}"
        ),
        Noticed::Batch(why) => amiss(why),
        Noticed::AsBooked {
            batch,
            on,
            glaze,
            lots,
            clay,
            cone,
            version,
        } => {
            let version = version.as_ref().map_or_else(String::new, |version| format!(" {version}"));
            let on_clay = clay.as_ref().map(|clay| format!("on {clay}"));
            let cone = cone.as_ref().map(|cone| format!("cone {cone}"));
            let lots = (!lots.is_empty()).then(|| lots_words(lots));
            let said: Vec<String> = on_clay.into_iter().chain(cone).chain(lots).collect();
            let said = if said.is_empty() { String::new() } else { format!(": {}", said.join(", ")) };
            format!("as batch {batch} was booked on {on}, {glaze}{version}{said}")
        }
        Noticed::OpenLots { lots } => format!("of the lots that are open now: {}", lots_words(lots)),
        Noticed::FromKiln {
            id,
            firing,
            opened,
            clay,
            cone,
            pieces,
            age_days,
        } => {
            let name = firing.as_ref().map_or_else(String::new, |name| format!("{name}, "));
            let clay = clay.as_ref().map_or_else(String::new, |clay| format!(" on {clay}"));
            let cone = cone.as_ref().map_or_else(String::new, |cone| format!(", cone {cone}"));
            format!(
                "from the kiln's book, {name}{id}: {pieces} pieces{clay}{cone}, opened on {opened}, {age_days} days before this look"
            )
        }
        Noticed::ConesMissed { cones, meant, pooled } => {
            let missed = missed_words(*cones, meant);
            match pooled {
                true => format!("{missed}; they count with firings to the cone that you say all the same"),
                false => format!("{missed}: a firing of its own for `glost fit`; --cone {meant} counts them with the others"),
            }
        }
        Noticed::NotOpened { id, firing } => format!(
            "a load with them isn't opened yet ({}): `glost kiln opened {id}` gives them their age",
            firing.as_deref().unwrap_or("no name")
        ),
        Noticed::UnknownFiring { firing, near } => {
            let near = near.as_ref().map_or_else(String::new, |near| format!("; did you mean {near}?"));
            format!("the kiln's book has no firing called {firing}{near}: noted by that name, without what a book would tell")
        }
        Noticed::NoPhoto { photo } => format!("no picture lies at {photo}: the path is noted all the same"),
        Noticed::Over { over } => format!(
            "{over} lies over it: no chemistry is claimed of the two; fit, running and leaching are another matter than of each alone"
        ),
        Noticed::TestCare => "tests break pieces: tongs, goggles, long sleeves, shards kept in; that pan and freezer never again for food; never a pressure cooker".to_owned(),
        Noticed::NoPlan { tile } => format!("tile {tile}: no plan that is kept here has it, so nothing says what is on it"),
        Noticed::MaybeOlder { version, older } => format!(
            "they are of {version}, although {older} was the recipe when they were fired; if they are of that, take this back and say --version {older}"
        ),
        Noticed::FiredLongBefore => "the recipe was the same when they were fired; if it was another, note them from a file that holds it: glost note OLD.yaml --version old ...".to_owned(),
        Noticed::RowsLeftOut { rows } => format!("{rows} rows without anything seen are left out"),
    }
}
