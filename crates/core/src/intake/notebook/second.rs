//! A second recipe on the same page: set apart, so that two are never mixed into one.

use super::doubt::Doubt;
use super::look::comes_on_top;
use super::split::{Entry, Page};

/// How many materials must come again before a block is taken for another recipe.
const FEWEST_AGAIN: usize = 2;

/// Marks the entries of a second recipe and says so.
pub(super) fn set_second_apart(page: &mut Page) {
    let Some(start) = second_start(&page.entries) else {
        return;
    };
    let last_of_first = page.entries[start - 1].line;
    let line = page.entries[start].line;
    for entry in &mut page.entries[start..] {
        entry.second = Some(line);
    }
    page.totals.retain(|total| total.after <= start && total.line < line);
    if page.fired_on.is_some_and(|fired| fired > last_of_first) {
        page.about.cone = None;
        page.about.peak = None;
        page.about.atmosphere = None;
    }
    page.doubts.push(Doubt::SecondRecipe(line));
}

/// The first entry after a gap from which on most of the base's materials come again.
fn second_start(entries: &[Entry]) -> Option<usize> {
    (FEWEST_AGAIN..entries.len()).find(|at| {
        if entries[*at].line <= entries[at - 1].line + 1 {
            return false;
        }
        let (before, after) = entries.split_at(*at);
        let base: Vec<&str> = after.iter().filter_map(base_name).collect();
        let again = base
            .iter()
            .filter(|name| before.iter().filter_map(base_name).any(|known| known == **name))
            .count();
        again >= FEWEST_AGAIN && 2 * again >= base.len()
    })
}

/// What may belong to a base, by its name.
fn base_name(entry: &Entry) -> Option<&str> {
    let material = entry.material()?;
    (!entry.plus && !comes_on_top(material)).then_some(material.name.as_str())
}
