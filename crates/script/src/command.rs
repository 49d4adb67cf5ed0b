//! What all scripts of one command may use of the processor together: forty short ones over
//! two thousand glazes break no bound of their own, and take an hour.

use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Duration;

/// Unless somebody says otherwise.
pub(crate) const USUAL: Duration = Duration::from_secs(60);
/// What each glaze that a command walks over adds.
const A_GLAZE: Duration = Duration::from_millis(20);

/// Nanoseconds; no bound until a door says that a command begins.
static LIMIT: AtomicU64 = AtomicU64::new(u64::MAX);
static USED: AtomicU64 = AtomicU64::new(0);

fn nanos(time: Duration) -> u64 {
    u64::try_from(time.as_nanos()).unwrap_or(u64::MAX)
}

/// A command begins whose scripts may take so long together; `None`: the usual minute.
pub fn command_begins(time: Option<Duration>) {
    LIMIT.store(nanos(time.unwrap_or(USUAL)), Ordering::Relaxed);
    USED.store(0, Ordering::Relaxed);
}

/// The command walks over so many glazes more: each adds a little to what it may take.
pub fn command_walks(glazes: usize) {
    add(A_GLAZE.saturating_mul(u32::try_from(glazes).unwrap_or(u32::MAX)));
}

/// The command may take so much longer.
pub(crate) fn add(time: Duration) {
    // Nobody else writes anything that hangs on it.
    let _ = LIMIT.fetch_update(Ordering::Relaxed, Ordering::Relaxed, |limit| {
        Some(limit.saturating_add(nanos(time)))
    });
}

/// Counts what a script used.
pub(crate) fn uses(time: Duration) {
    USED.fetch_add(nanos(time), Ordering::Relaxed);
}

/// What is left; none once it is used up.
pub(crate) fn left() -> Option<Duration> {
    let left = LIMIT.load(Ordering::Relaxed).checked_sub(USED.load(Ordering::Relaxed));
    left.filter(|left| *left > 0).map(Duration::from_nanos)
}

/// How long the scripts of this command may take together.
pub(crate) fn limit() -> Duration {
    Duration::from_nanos(LIMIT.load(Ordering::Relaxed))
}

/// What they took so far.
pub(crate) fn used() -> Duration {
    Duration::from_nanos(USED.load(Ordering::Relaxed))
}
