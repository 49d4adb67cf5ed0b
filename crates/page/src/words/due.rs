//! What is due, in words.

use crate::words::age::age_words;
use glost_core::evidence::notes::{Change, Note};
use glost_desk::due::Task;

use super::notes::{change_words, pieces_words};

/// What to do.
pub(crate) fn to_do(task: &Task) -> String {
    match task {
        Task::Look { looks, at_days, .. } => format!("{}: look at {}", pieces_words(looks), age_words(*at_days)),
        Task::Lab { note, .. } => format!(
            "{}: the laboratory's {} is of {}, and the recipe has changed",
            note.glaze.as_deref().unwrap_or(""),
            note.lab.as_deref().unwrap_or(""),
            note.version.as_deref().unwrap_or("an older recipe")
        ),
        Task::NewLot { changes, .. } => {
            let analysis = |change: &Change| matches!(change, Change::Analysis { .. });
            let lead = match (changes.iter().all(analysis), changes.len()) {
                (true, _) => "",
                (false, 1) => "new lot, ",
                (false, _) => "new lots, ",
            };
            let which = if changes.len() == 1 { "it" } else { "them" };
            let words: Vec<String> = changes.iter().map(change_words).collect();
            format!("{lead}{}: tile {which} beside the old", words.join("; "))
        }
    }
}

/// The first look at pieces that a kiln's book knows.
fn first_look(looks: &[Note], pieces: u32) -> String {
    let Some(from_kiln) = looks.first() else {
        return "glost kiln".to_owned();
    };
    let kiln = from_kiln.kiln_id().unwrap_or("");
    let which = match (&from_kiln.tile, &from_kiln.batch, &from_kiln.glaze) {
        (Some(tile), ..) => format!("--tile \"{tile}\""),
        // Pieces without a batch are told apart by their firing.
        (None, Some(batch), Some(glaze)) if batch.starts_with(kiln) => format!("\"{glaze}\""),
        (None, Some(batch), _) => format!("--batch \"{batch}\""),
        (None, None, glaze) => format!("\"{}\"", glaze.as_deref().unwrap_or("")),
    };
    let over = from_kiln
        .over()
        .map_or_else(String::new, |over| format!(" --over \"{over}\""));
    format!("glost note {which}{over} --firing {kiln} --crazed _/{pieces}")
}

/// The same for what is read later, elsewhere: by the note's id, for a merge moves lines.
pub(crate) fn lasting_command(task: &Task) -> String {
    match task {
        Task::Look { looks, pieces, .. } => match looks.last() {
            Some(latest) if latest.line > 0 && !latest.id.is_empty() => {
                format!("glost note --again {} --crazed _/{}", latest.id, pieces.unwrap_or(1))
            }
            _ => command(task),
        },
        Task::Lab { .. } | Task::NewLot { .. } => command(task),
    }
}

/// The call that notes it, to be copied as it is.
pub(crate) fn command(task: &Task) -> String {
    match task {
        Task::Look { looks, pieces, .. } => {
            let line = looks.last().map_or(0, |latest| latest.line);
            if line == 0 {
                return first_look(looks, pieces.unwrap_or(1));
            }
            format!("glost note --again {line} --crazed _/{}", pieces.unwrap_or(1))
        }
        Task::Lab { note, .. } => format!("glost note \"{}\" --lab REPORT", note.glaze.as_deref().unwrap_or("")),
        Task::NewLot { changes, glazes } => {
            let glaze = glazes.first().map_or("", |first| first.0.as_str());
            let batch = match changes.first() {
                Some(Change::Lot { to: Some(lot), .. }) => format!(" --batch \"lot {lot}\""),
                Some(Change::Renamed { to, .. }) => {
                    // `bought clear, lot 4`: the glaze's name says the rest.
                    let lot = to.rsplit(", ").next().unwrap_or(to);
                    format!(" --batch \"{lot}\"")
                }
                _ => String::new(),
            };
            format!("glost note \"{glaze}\"{batch} --age 1d --crazed _/_")
        }
    }
}
