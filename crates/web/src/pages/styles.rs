//! Styles of sheets to print, by names of ours.

use std::sync::{Mutex, PoisonError};

use crate::keeping::hex;

/// So many are kept; few are ever different.
const MOST: usize = 64;

/// The latest styles.
#[derive(Debug, Default)]
pub(crate) struct Styles(Mutex<Vec<(String, String)>>);

impl Styles {
    /// Keeps one, and gives its name.
    pub(crate) fn keep(&self, style: &str) -> String {
        let name = format!("{}.css", &hex(style.as_bytes())[..16]);
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if !all.iter().any(|(known, _)| *known == name) {
            all.insert(0, (name.clone(), style.to_owned()));
            all.truncate(MOST);
        }
        name
    }

    /// The one of this name.
    pub(crate) fn named(&self, name: &str) -> Option<String> {
        let all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        all.iter()
            .find(|(known, _)| known == name)
            .map(|(_, style)| style.clone())
    }
}
