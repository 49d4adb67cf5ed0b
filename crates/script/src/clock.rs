//! Processor time: what a script has used up itself, however busy the machine is.
//! Where the system can't tell it, the time on the wall has to do.

use std::time::Duration;
#[cfg(not(unix))]
use std::time::Instant;

/// Processor time of this thread, from any start.
pub(crate) fn thread_time() -> Duration {
    #[cfg(unix)]
    return read(rustix::time::ClockId::ThreadCPUTime);
    #[cfg(not(unix))]
    return wall_time();
}

/// Processor time of all threads of this process, from any start.
pub(crate) fn process_time() -> Duration {
    #[cfg(unix)]
    return read(rustix::time::ClockId::ProcessCPUTime);
    #[cfg(not(unix))]
    return wall_time();
}

#[cfg(unix)]
fn read(clock: rustix::time::ClockId) -> Duration {
    let time = rustix::time::clock_gettime(clock);
    // Processor time is never negative.
    Duration::new(time.tv_sec.unsigned_abs(), time.tv_nsec.unsigned_abs() as u32)
}

#[cfg(not(unix))]
fn wall_time() -> Duration {
    static STARTED: std::sync::OnceLock<Instant> = std::sync::OnceLock::new();
    STARTED.get_or_init(Instant::now).elapsed()
}
