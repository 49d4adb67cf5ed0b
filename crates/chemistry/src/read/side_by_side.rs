//! Thousands of things read or worked out on all cores at once.

use std::iter::Flatten;
use std::panic::resume_unwind;
use std::{thread, vec};

/// What `of` makes of parts of `items` in a row, the parts in their order; so many parts as
/// the machine has cores, but none of fewer than `least` items. Whoever joins the parts has
/// what one call with all of them gives, on any machine.
///
/// # Panics
/// As `of` does.
#[allow(clippy::disallowed_methods, reason = "panics go on")]
pub fn in_parts<I: Sync, O: Send>(items: &[I], least: usize, of: impl Fn(&[I]) -> O + Sync) -> Vec<O> {
    let most = items.len() / least.max(1);
    if most < 2 {
        return vec![of(items)];
    }
    let parts = thread::available_parallelism().map_or(1, usize::from).min(most);
    let mut parts = items.chunks(items.len().div_ceil(parts));
    let (first, of) = (parts.next().unwrap_or(&[]), &of);
    thread::scope(|scope| {
        let others: Vec<_> = parts.map(|part| scope.spawn(move || of(part))).collect();
        let mut all = vec![of(first)];
        let joined = others.into_iter().map(thread::ScopedJoinHandle::join);
        all.extend(joined.map(|other| other.unwrap_or_else(|panic| resume_unwind(panic))));
        all
    })
}

/// What `of` makes of each of `items`, in their order, worked out as [`in_parts`] does.
///
/// # Panics
/// As `of` does.
pub fn each_in_parts<I: Sync, O: Send>(
    items: &[I],
    least: usize,
    of: impl Fn(&I) -> O + Sync,
) -> Flatten<vec::IntoIter<Vec<O>>> {
    let parts = in_parts(items, least, |part| part.iter().map(&of).collect::<Vec<O>>());
    parts.into_iter().flatten()
}

#[cfg(test)]
mod tests {
    use super::{each_in_parts, in_parts};

    #[test]
    fn the_parts_joined_are_the_whole_in_its_order() {
        for count in [0, 1, 9, 10, 19, 20, 21, 1000, 1003] {
            let items: Vec<usize> = (0..count).collect();
            let parts = in_parts(&items, 10, |part| part.to_vec());
            assert!(parts.len() == 1 || parts.iter().all(|part| part.len() >= 5), "{count}");
            assert_eq!(parts.concat(), items, "{count}");
            let doubled: Vec<usize> = each_in_parts(&items, 10, |item| item * 2).collect();
            assert!(doubled.into_iter().eq(items.iter().map(|item| item * 2)), "{count}");
        }
    }

    #[test]
    #[should_panic(expected = "the kiln is out")]
    fn a_panic_in_any_part_is_one_of_the_whole() {
        let items: Vec<usize> = (0..100).collect();
        in_parts(&items, 10, |part| assert!(!part.contains(&99), "the kiln is out"));
    }
}
