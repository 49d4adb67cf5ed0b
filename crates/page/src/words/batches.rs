//! What the book of batches has to say.

use glost_core::workshop::batches::Ranked;

pub(crate) fn ranked(ranked: Ranked) -> String {
    match ranked {
        Ranked::BySheetsOfToday => {
            "how far a weight moves the fired glaze is reckoned by the sheets of today, lots aside"
        }
        Ranked::BySize => {
            "the chemistry of the first batch can't be reckoned (an analysis is unknown, or a material is gone): weights are ranked by their size"
        }
    }
    .to_owned()
}
