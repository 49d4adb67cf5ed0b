//! The last net: ends the process when native code never returns.
//!
//! A script that is slow by itself is stopped by its bounds long before. Only
//! code that never comes back to the engine gets this far, and such code can't
//! be ended from inside.

use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex, Once, OnceLock, Weak};
use std::time::{Duration, Instant};

use crate::clock::process_time;
use crate::command;

/// The exit code for a script that broke its bounds.
pub const BROKEN_BOUNDS_EXIT_CODE: i32 = 3;

/// How long past its time a run may go before the process ends.
const GRACE: Duration = Duration::from_millis(700);
/// After so many times its time on the wall a run is ended though the processor was
/// hardly ours: it may be waiting for something that never comes.
const MOST_TIMES: u64 = 10;
const LOOKS_EVERY: Duration = Duration::from_millis(100);

type LastWords = fn(&str);

static LAST_WORDS: OnceLock<LastWords> = OnceLock::new();
static SLOTS: Mutex<Vec<Weak<Slot>>> = Mutex::new(Vec::new());
static STARTED: OnceLock<Instant> = OnceLock::new();
static LOOKING: Once = Once::new();

/// Who prints the message when the process has to end; the first call counts.
pub fn on_last_words(say: LastWords) {
    let _ = LAST_WORDS.set(say);
}

/// Ends the process with the exit code for broken bounds.
#[allow(
    clippy::disallowed_methods,
    reason = "native code that never returns can be ended in no other way"
)]
pub(crate) fn end_process(why: &str) -> ! {
    match LAST_WORDS.get() {
        Some(say) => say(why),
        None => {
            use std::io::Write;
            let mut err = std::io::stderr();
            for part in ["error: ", why, "\n"] {
                let _ = err.write_all(part.as_bytes());
            }
        }
    }
    std::process::exit(BROKEN_BOUNDS_EXIT_CODE)
}

/// How long the scripts of a command have run, and how long they may.
type Tell = fn(Duration, Duration);

static TELL: OnceLock<Tell> = OnceLock::new();
/// Nothing is told of scripts that are done sooner.
const LONG: Duration = Duration::from_secs(2);

/// Who tells how long scripts have run, once they take long; the first call counts.
pub fn on_long_scripts(tell: fn(Duration, Duration)) {
    let _ = TELL.set(tell);
}

/// One thread's deadline as the watchdog sees it.
pub(crate) struct Slot {
    /// Milliseconds since the start, 0 for none.
    deadline: AtomicU64,
    /// Milliseconds that the run may take, the grace counted in.
    allowed: AtomicU64,
    /// The deadline that was there when the watchdog last looked.
    seen: AtomicU64,
    /// Milliseconds of processor time that the process had used when it saw it first.
    used_before: AtomicU64,
}

impl Slot {
    /// A slot that the watchdog looks at for as long as it lives.
    pub(crate) fn new() -> Arc<Slot> {
        let slot = Arc::new(Slot {
            deadline: AtomicU64::new(0),
            allowed: AtomicU64::new(0),
            seen: AtomicU64::new(0),
            used_before: AtomicU64::new(0),
        });
        if let Ok(mut slots) = SLOTS.lock() {
            slots.retain(|slot| slot.strong_count() > 0);
            slots.push(Arc::downgrade(&slot));
        }
        LOOKING.call_once(|| {
            let _ = std::thread::Builder::new().name("watchdog".to_owned()).spawn(look);
        });
        slot
    }

    /// A run has begun that may take so long.
    pub(crate) fn arm(&self, started: Instant, time: Duration) {
        let allowed = time + GRACE;
        self.allowed.store(allowed.as_millis() as u64, Ordering::Relaxed);
        self.deadline.store(millis(started + allowed), Ordering::Release);
    }

    /// Whether the run has had its time. Other threads' work counts too: they
    /// can make a run on a busy machine end early, but no earlier than its time
    /// on the wall.
    fn is_late(&self, now: u64, used: u64) -> bool {
        let deadline = self.deadline.load(Ordering::Acquire);
        if deadline != self.seen.swap(deadline, Ordering::Relaxed) {
            self.used_before.store(used, Ordering::Relaxed);
        }
        if deadline == 0 || now <= deadline {
            return false;
        }
        let allowed = self.allowed.load(Ordering::Relaxed);
        let used = used - self.used_before.load(Ordering::Relaxed);
        used + LOOKS_EVERY.as_millis() as u64 >= allowed || now - deadline > MOST_TIMES * allowed
    }

    /// For how long the run has been under way, milliseconds.
    fn running(&self, now: u64) -> u64 {
        match self.deadline.load(Ordering::Acquire) {
            0 => 0,
            deadline => (now + self.allowed.load(Ordering::Relaxed)).saturating_sub(deadline),
        }
    }

    /// The run is over.
    pub(crate) fn disarm(&self) {
        self.deadline.store(0, Ordering::Relaxed);
    }
}

fn millis(at: Instant) -> u64 {
    let start = STARTED.get_or_init(Instant::now);
    at.saturating_duration_since(*start).as_millis() as u64 + 1
}

#[allow(clippy::disallowed_methods, reason = "the watchdog looks now and then")]
fn look() {
    loop {
        std::thread::sleep(LOOKS_EVERY);
        let now = millis(Instant::now());
        let used = process_time().as_millis() as u64;
        let slots: Vec<_> = match SLOTS.lock() {
            Ok(slots) => slots.iter().filter_map(Weak::upgrade).collect(),
            Err(_) => continue,
        };
        if slots.iter().any(|slot| slot.is_late(now, used)) {
            end_process("a script ran far past its time and had to be ended from outside");
        }
        if let Some(tell) = TELL.get() {
            let running: u64 = slots.iter().map(|slot| slot.running(now)).sum();
            let so_far = command::used() + Duration::from_millis(running);
            if running > 0 && so_far > LONG {
                tell(so_far, command::limit());
            }
        }
    }
}
