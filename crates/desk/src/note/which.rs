//! Which pieces of the kiln's book a note means.

use glost_chemistry::quantity::NumberTrouble;
use glost_chemistry::read::folded;
use glost_core::evidence::firings::{Firing, Group, Put};
use glost_core::evidence::notes::OVER_KEY;
use glost_core::workshop::batches::Booking;

use super::{Draft, Slip};

/// Whether pieces of a load are those of a note.
pub(super) fn is_put(put: &Put, draft: &Draft, booking: Option<&Booking>) -> bool {
    match put {
        Put::Batch { number, booking: id } => match (id, booking) {
            (Some(id), Some(booking)) => *id == booking.id,
            _ => draft.said("batch").is_some_and(|batch| folded(batch) == folded(number)),
        },
        Put::Tile(tile) => is_tile(tile, draft),
        // Without a batch the firing tells which pieces of a glaze are meant.
        Put::Glaze(name) => {
            let says_firing = draft.said("firing").is_some() && draft.said("batch").is_none();
            let glaze = draft.said("glaze").is_some_and(|glaze| folded(glaze) == folded(name));
            says_firing && glaze || name.contains('/') && is_tile(name, draft)
        }
        Put::Ware(_) => false,
    }
}

/// Whether a note is of a tile, `PLAN/A1`: named as one, by its code alone, or as a glaze.
fn is_tile(tile: &str, draft: &Draft) -> bool {
    let tile = folded(tile);
    let bare = tile.rsplit_once('/').map(|(_, bare)| bare);
    match draft.said("tile").map(folded) {
        Some(code) => tile == code || bare == Some(code.as_str()),
        None => draft.said("glaze").map(folded) == Some(tile),
    }
}

/// Whether a firing is called so.
pub(super) fn is_firing(firing: &Firing, text: &str) -> bool {
    let wanted = folded(text);
    firing.id == wanted || firing.firing.as_deref().map(folded) == Some(wanted)
}

pub(super) fn not_in_it(draft: &Draft, groups: &[&Group<'_>]) -> Slip {
    let text = draft.said("firing").unwrap_or("");
    let were: Vec<String> = groups.iter().map(|group| named(group)).collect();
    let message = format!("no piece of these was in firing {text}");
    slip("firing", message, format!("they were in: {}", were.join(", ")))
}

/// Several groups are meant: by clay, else by firing.
pub(super) fn which(draft: &Draft, groups: &[&Group<'_>]) -> Slip {
    let of_one_firing = groups.iter().all(|group| group.firing.id == groups[0].firing.id);
    let batch = draft.said("batch").map(|batch| format!("batch {batch}"));
    let by_name = || draft.said("tile").or(draft.said("glaze")).map(str::to_owned);
    let what = batch.or_else(by_name).unwrap_or_else(|| "these pieces".to_owned());
    if of_one_firing && groups.windows(2).any(|pair| pair[0].over != pair[1].over) {
        let laid: Vec<String> = groups.iter().map(|group| named(group)).collect();
        let message = format!("{what} came from the kiln under several glazes");
        let help = format!("say which with --over: {}", laid.join(", "));
        return slip(OVER_KEY, message, help);
    }
    if of_one_firing {
        let clays: Vec<&str> = groups.iter().filter_map(|group| group.clay).collect();
        let message = format!("{what} came from the kiln on {} clays", groups.len());
        return slip("clay", message, format!("say which with --clay: {}", clays.join(", ")));
    }
    let were: Vec<String> = groups.iter().map(|group| named(group)).collect();
    let message = format!("{what} was in {} firings", groups.len());
    slip(
        "firing",
        message,
        format!("say which with --firing: {}", were.join(", ")),
    )
}

/// `jpq5lo67 (spring glost, 5 on buff stoneware, opened 2026-11-24)`.
fn named(group: &Group<'_>) -> String {
    let firing = group.firing;
    let mut words: Vec<String> = firing.firing.iter().cloned().collect();
    words.push(match group.clay {
        Some(clay) => format!("{} on {clay}", group.pieces),
        None => format!("{} pieces", group.pieces),
    });
    words.extend(group.over.map(|over| format!("{over} over it")));
    words.extend(firing.opened.as_ref().map(|opened| format!("opened {}", opened.on)));
    format!("{} ({})", firing.id, words.join(", "))
}

pub(super) fn slip(key: &'static str, message: String, help: String) -> Slip {
    Slip {
        key,
        trouble: NumberTrouble {
            message,
            help: Some(help),
        },
    }
}
