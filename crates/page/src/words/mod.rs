//! The words that assumptions, cautions and doubts get, in one place.
//!
//! The engine knows what is to be said and says it as data ([`Said`]); how it reads
//! is decided here and nowhere else.

use glost_desk::{Said, speak_with};

/// Chooses these words for every answer of this process.
pub fn install() {
    speak_with(say);
}

/// What is said, as a sentence.
pub fn say(said: &Said) -> String {
    match said {
        Said::AsOnSheet {
            material,
            provenance,
            lot,
        } => {
            let lot = lot.as_ref().map(|lot| format!(", lot {lot}")).unwrap_or_default();
            format!("{material} as on its sheet ({provenance}{lot})")
        }
        Said::Text(text) => text.clone(),
    }
}
