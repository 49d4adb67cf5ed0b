//! Which pieces a note is of, where more than a batch's number tells them apart.

use std::borrow::Cow;

use serde_json::Value;

use glost_chemistry::read::same_name;

use super::note::Note;

/// The key of the kiln's record that the pieces came from.
pub const KILN_KEY: &str = "firing_id";
/// The key of how many cones hotter than meant the kiln went.
pub const MISSED_KEY: &str = "missed";
/// The key of a firing that doesn't count with others to its cone.
pub const APART_KEY: &str = "apart";
/// The key of the mark on the pieces.
pub const MARK_KEY: &str = "mark";
/// The key of a second glaze over the first.
pub const OVER_KEY: &str = "over";

/// `A over B`: what lies over, and what lies under it; no text of other words is one.
pub fn two_glazes(text: &str) -> Option<(&str, &str)> {
    const OVER: &str = " over ";
    let lower = text.to_lowercase();
    // Letters whose small form is of another length would move what follows.
    let at = lower.find(OVER).filter(|_| lower.len() == text.len())?;
    let (over, under) = (text.get(..at)?.trim(), text.get(at + OVER.len()..)?.trim());
    (!over.is_empty() && !under.is_empty()).then_some((over, under))
}

/// Whether a lot is among these of materials; of several bags in one batch (`K7 + L2`) each.
pub fn are_of_lot(lots: &[(String, String)], lot: &str) -> bool {
    let mut each = lots.iter().flat_map(|(_, lots)| lots.split(" + "));
    each.any(|one| same_name(one, lot))
}

impl Note {
    /// The same pieces have the same: their batch, else the id of their first note; with the
    /// kiln's record, where one bucket went into several firings.
    pub fn group(&self) -> Cow<'_, str> {
        match self.kiln_id() {
            Some(kiln) => Cow::Owned(format!("{} from {kiln}", self.pieces_of())),
            None => Cow::Borrowed(self.pieces_of()),
        }
    }

    /// The id of the kiln's record that the pieces came from.
    pub fn kiln_id(&self) -> Option<&str> {
        self.other_text(KILN_KEY)
    }

    /// How many cones hotter than meant their kiln went, below zero where cooler; `None` where
    /// it bent as meant, or she pooled them all the same.
    pub fn missed_cones(&self) -> Option<f64> {
        let missed = self.other.iter().find(|(key, _)| key == MISSED_KEY)?;
        missed.1.as_f64().filter(|missed| missed.abs() >= 1.0)
    }

    /// Whether she set their firing apart from others to its cone.
    pub fn is_apart(&self) -> bool {
        self.other
            .iter()
            .any(|(key, value)| key == APART_KEY && *value == Value::Bool(true))
    }

    /// The mark scratched or stamped on the pieces.
    pub fn mark(&self) -> Option<&str> {
        self.other_text(MARK_KEY)
    }

    /// The glaze that lies over the first one.
    pub fn over(&self) -> Option<&str> {
        self.other_text(OVER_KEY)
    }

    /// Whether a lot is among those that the pieces were made of; of several bags in one batch
    /// (`K7 + L2`) each.
    pub fn holds_lot(&self, lot: &str) -> bool {
        are_of_lot(&self.lots, lot)
    }

    /// With a text under a key of its own.
    pub fn with_text(&mut self, key: &str, text: &str) {
        self.other.retain(|(known, _)| known != key);
        // Most notes have one such key or two.
        self.other.reserve_exact(1);
        self.other.push((key.to_owned(), Value::from(text)));
    }

    fn other_text(&self, key: &str) -> Option<&str> {
        let found = self.other.iter().find(|(known, _)| known == key);
        let text = found.and_then(|(_, value)| value.as_str()).map(str::trim);
        text.filter(|text| !text.is_empty())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_glazes_are_named_by_over() {
        assert_eq!(two_glazes("clear over Tern blue"), Some(("clear", "Tern blue")));
        assert_eq!(two_glazes(" Clear  OVER blue "), Some(("Clear", "blue")));
        for other in ["clear", "overcast", "over blue", "clear over ", "\u{130}x over"] {
            assert_eq!(two_glazes(other), None, "{other}");
        }
    }
}
