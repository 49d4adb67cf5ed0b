//! Shares of the tiles for a class.

use glost_core::tiles::blend::BlendPlan;

/// Codes for each student, neighbours together; the first ones take what is over.
pub(super) fn shares(plan: &BlendPlan, students: usize) -> Vec<Vec<&str>> {
    let count = plan.tiles.len();
    let students = students.clamp(1, count.max(1));
    let (each, over) = (count / students, count % students);
    let mut rest = plan.tiles.iter().map(|tile| tile.code.as_str());
    (0..students)
        .map(|student| rest.by_ref().take(each + usize::from(student < over)).collect())
        .collect()
}
