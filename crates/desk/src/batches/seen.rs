//! What was noted of the pieces of batches.

use std::collections::HashMap;

use glost_chemistry::read::{folded, same_name};
use glost_core::evidence::notes::{Notes, Story, stories};
use glost_core::workshop::batches::Booking;

use super::SeenOfBatch;

/// The notebook by batch.
pub(super) struct Seen<'a> {
    stories: HashMap<String, Vec<Story<'a>>>,
}

impl<'a> Seen<'a> {
    pub(super) fn of(notes: &'a Notes) -> Seen<'a> {
        let mut by_batch: HashMap<String, Vec<Story<'a>>> = HashMap::new();
        let of_batches = notes.standing().filter(|note| note.batch.is_some());
        for story in stories(of_batches) {
            let batch = folded(story.first().pieces_of());
            by_batch.entry(batch).or_default().push(story);
        }
        Seen { stories: by_batch }
    }

    pub(super) fn of_batch(&self, booking: &Booking) -> Option<SeenOfBatch> {
        let named = [booking.number.text(), booking.id.as_str()];
        let stories = named
            .iter()
            .filter_map(|name| self.stories.get(&folded(name)))
            .flatten();
        let of_glaze = |story: &&Story<'_>| {
            let glaze = story.any(|note| note.glaze.as_deref());
            glaze.is_none_or(|glaze| same_name(glaze, &booking.glaze))
        };
        let stories: Vec<&Story<'_>> = stories.filter(of_glaze).collect();
        if stories.is_empty() {
            return None;
        }
        let sum = |of: fn(&Story<'_>) -> Option<(u32, u32)>| {
            let pairs = stories.iter().filter_map(|story| of(story));
            pairs.fold((0_u32, 0_u32), |sum, (some, pieces)| {
                (sum.0.saturating_add(some), sum.1.saturating_add(pieces))
            })
        };
        let (crazed, pieces) = sum(|story| story.crazed());
        let ages = stories
            .iter()
            .flat_map(|story| &story.looks)
            .filter_map(|note| note.age_days);
        Some(SeenOfBatch {
            looks: stories.iter().map(|story| story.looks.len()).sum(),
            pieces,
            crazed,
            failed_tests: {
                let failed = stories.iter().flat_map(|story| story.failed_tests());
                let mut tests: Vec<String> = failed.map(|(test, _)| test.to_owned()).collect();
                tests.dedup();
                tests
            },
            shivered: sum(|story| story.shivered()).0,
            age_days: ages.max_by(f64::total_cmp),
        })
    }
}
