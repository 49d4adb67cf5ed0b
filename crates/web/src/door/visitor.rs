//! Who is at the door.

use serde::{Deserialize, Serialize};

/// Who asks: what is offered, and what is there at all, goes by it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Visitor {
    /// At the machine itself.
    Owner,
    /// The owner's phone: mixes, looks, opens kilns, photographs, reads.
    Phone,
    /// Somebody of a class: looks at own tiles, counts, photographs.
    Class,
}

impl Visitor {
    /// Whether prices and stocks are shown.
    pub(crate) fn sees_prices(self) -> bool {
        self == Visitor::Owner
    }

    /// Whether recipes are shown.
    pub(crate) fn sees_recipes(self) -> bool {
        self != Visitor::Class
    }
}
