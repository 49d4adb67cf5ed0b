//! The words that scripts get for what the engine says of fit.

use std::sync::OnceLock;

use glost_core::evidence::window::FitSaid;

static TONGUE: OnceLock<fn(&FitSaid) -> String> = OnceLock::new();

/// Chooses the words of this process. The first choice stands.
pub fn speak_of_fit(tongue: fn(&FitSaid) -> String) {
    TONGUE.get_or_init(|| tongue);
}

/// In the words of this process; the data where none were chosen.
pub(crate) fn words_of(said: &FitSaid) -> String {
    TONGUE.get().map_or_else(|| format!("{said:?}"), |tongue| tongue(said))
}
