//! What a script may use up, and the meter that counts it while it runs.
//!
//! Operations are the normal bound: the same script ends the same way on every
//! machine. Time, memory and output are the nets under it; time is the processor's,
//! so that a busy machine ends no script earlier.

use std::cell::Cell;
use std::sync::Arc;
use std::time::{Duration, Instant};

use rhai::{Dynamic, EvalAltResult, Position};

use crate::clock::thread_time;
use crate::command;
use crate::language::number_text;
use crate::memory;
use crate::watchdog::Slot;

/// How much a script may use up in one run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// Steps of the script, native work counted in.
    pub operations: u64,
    /// The longest it may take, in processor time.
    pub time: Duration,
    /// Bytes it may hold at once.
    pub memory_bytes: usize,
    /// Bytes of text it may print, and findings' texts together.
    pub output_bytes: usize,
}

impl Default for Bounds {
    fn default() -> Self {
        Bounds {
            operations: 500_000,
            time: Duration::from_secs(2),
            memory_bytes: 64 << 20,
            output_bytes: 64 << 10,
        }
    }
}

impl Bounds {
    /// For a run over a studio: the usual bounds and some more for each glaze.
    pub fn for_studio(glazes: usize) -> Bounds {
        let glazes = glazes.min(100_000);
        let usual = Bounds::default();
        Bounds {
            operations: usual.operations + 20_000 * glazes as u64,
            time: usual.time + Duration::from_millis(20) * glazes as u32,
            output_bytes: (256 << 10) + (glazes << 10),
            ..usual
        }
    }
}

impl Bounds {
    /// The same with so many notes and rows to walk.
    pub fn walking(self, items: usize) -> Bounds {
        Bounds {
            operations: self.operations + 200 * items as u64,
            time: self.time + Duration::from_micros(200) * items.min(1_000_000) as u32,
            output_bytes: self.output_bytes + 16 * items,
            ..self
        }
    }
}

impl Bounds {
    /// The same with as long as it takes to hold each glaze against each note of a clay; the
    /// steps of that are charged where it is asked for.
    pub fn fitting(self, glazes: usize, notes: usize) -> Bounds {
        let each = Duration::from_micros(10).saturating_mul(u32::try_from(glazes * notes).unwrap_or(u32::MAX));
        Bounds {
            time: self.time + each.min(FITTING_MOST),
            ..self
        }
    }
}

/// The most that [`Bounds::fitting`] adds.
const FITTING_MOST: Duration = Duration::from_secs(60);
/// A script is read up to this size, in bytes.
pub const SOURCE_MOST_BYTES: usize = 64 << 10;
/// Calls inside calls.
pub(crate) const CALL_LEVELS: usize = 32;
/// Depth of an expression outside and inside functions.
pub(crate) const EXPRESSION_DEPTHS: (usize, usize) = (128, 96);
/// Bytes of one text, and of all texts in one list.
pub(crate) const TEXT_MOST_BYTES: usize = 64 << 10;
/// Items in one list or table, those of lists inside counted in.
pub(crate) const ITEMS_MOST: usize = 5_000;
/// Variables alive at once.
pub(crate) const VARIABLES_MOST: usize = 256;
/// Beyond a run's own bound, native code may overshoot by this before the process ends.
const MEMORY_OVERSHOOT_BYTES: usize = 128 << 20;
/// The clock and the allocator are looked at once in so many steps.
const LOOKS_EVERY: u64 = 64;
/// A run as short as this is late for no bound.
const SHORT: Duration = Duration::from_millis(10);
/// Runs are told to the command once they add up to this.
const TOLD_FROM: Duration = Duration::from_millis(1);
/// Steps that a script may still take once a bound is broken. The engine ends
/// it without a place; the next variable it reads has one.
const GRACE_STEPS: u32 = 64;

/// A bound that was broken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bound {
    /// Too many steps.
    Operations,
    /// Too long.
    Time,
    /// Too much memory.
    Memory,
    /// Too much printed or found.
    Output,
    /// Calls nested too deep.
    Calls,
    /// A text grew too long.
    Text,
    /// A list or table grew too big.
    Items,
    /// Too many variables at once.
    Variables,
    /// The scripts of one command together took too long.
    Command,
    /// The engine itself gave up.
    Engine,
}

impl Bound {
    /// The message, with the number that was passed.
    pub(crate) fn message(self, bounds: &Bounds) -> String {
        match self {
            Bound::Operations => format!("the script took more than {} steps", bounds.operations),
            Bound::Time => format!("the script ran longer than {:.1} s", bounds.time.as_secs_f64()),
            Bound::Memory => format!("the script held more than {} MB", bounds.memory_bytes >> 20),
            Bound::Output => format!("the script put out more than {} KB of text", bounds.output_bytes >> 10),
            Bound::Calls => format!("functions call each other more than {CALL_LEVELS} deep"),
            Bound::Text => format!(
                "a text, or the texts of a list together, grew over {} KB",
                TEXT_MOST_BYTES >> 10
            ),
            Bound::Items => {
                format!("a list or table grew over {ITEMS_MOST} items, those of lists inside it counted in")
            }
            Bound::Variables => format!("more than {VARIABLES_MOST} variables at once"),
            Bound::Command => format!(
                "the scripts of this command together took more than {} s",
                number_text(command::limit().as_secs_f64())
            ),
            Bound::Engine => "the script engine gave up on this script".to_owned(),
        }
    }

    /// What to do about it.
    pub(crate) fn help(self) -> &'static str {
        match self {
            Bound::Operations | Bound::Time => "look for a loop that never ends, or loop over less",
            Bound::Memory => "keep less at once: lists inside lists and stored functions add up",
            Bound::Output => "print less, or one finding instead of many",
            Bound::Calls => "a function that calls itself needs an end; a loop needs no calls",
            Bound::Text | Bound::Items => "look for a loop that never ends, or keep less in one place",
            Bound::Variables => "keep values in a list or a table",
            Bound::Command => "ask for fewer scripts or glazes, or give them longer: `--script-time 300`, in seconds",
            Bound::Engine => "please report it with the script",
        }
    }
}

struct Meter {
    running: Cell<bool>,
    bounds: Cell<Bounds>,
    steps: Cell<u64>,
    next_look: Cell<u64>,
    started: Cell<Option<Instant>>,
    /// Processor time at which it has to end; read once it has run for [`SHORT`].
    deadline: Cell<Option<Duration>>,
    /// What runs of this thread used that the command doesn't know of yet.
    untold: Cell<Duration>,
    memory_at_start: Cell<isize>,
    output: Cell<usize>,
    broken: Cell<Option<Bound>>,
    /// Steps left for [`watch`] to end the script where a place is known.
    grace: Cell<u32>,
}

impl Meter {
    /// The bound that a run past its time broke. Runs are short as a rule, and the clock on
    /// the wall is read at less cost than the processor's.
    fn late(&self) -> Option<Bound> {
        if self.started.get().is_none_or(|started| started.elapsed() < SHORT) {
            return None;
        }
        let (now, time) = (thread_time(), self.bounds.get().time);
        let Some(deadline) = self.deadline.get() else {
            self.deadline.set(Some(now + time));
            return None;
        };
        let used = (now + time).saturating_sub(deadline);
        if now > deadline {
            Some(Bound::Time)
        } else if command::left().is_none_or(|left| used > left) {
            Some(Bound::Command)
        } else {
            None
        }
    }

    /// What a run used: the processor's time of a long one, the wall's of a short one.
    fn used(&self) -> Duration {
        match self.deadline.get() {
            Some(deadline) => SHORT + (thread_time() + self.bounds.get().time).saturating_sub(deadline),
            None => self.started.get().map_or(Duration::ZERO, |started| started.elapsed()),
        }
    }

    /// Tells the command of it, though not of each short run.
    fn tell_the_command(&self, used: Duration) {
        let untold = self.untold.get() + used;
        if untold < TOLD_FROM {
            return self.untold.set(untold);
        }
        self.untold.set(Duration::ZERO);
        command::uses(untold);
    }
}

thread_local! {
    static METER: Meter = const { Meter {
        running: Cell::new(false),
        bounds: Cell::new(Bounds {
            operations: 0,
            time: Duration::ZERO,
            memory_bytes: 0,
            output_bytes: 0,
        }),
        steps: Cell::new(0),
        next_look: Cell::new(0),
        started: Cell::new(None),
        deadline: Cell::new(None),
        untold: Cell::new(Duration::ZERO),
        memory_at_start: Cell::new(0),
        output: Cell::new(0),
        broken: Cell::new(None),
        grace: Cell::new(0),
    } };
    /// Beside the meter: what needs no clearing away is reached at less cost, and each step does.
    static SLOT: Arc<Slot> = Slot::new();
}

/// A metered run; ends when dropped. A run inside a run uses the outer meter.
pub(crate) struct Metered {
    outermost: bool,
}

impl Metered {
    pub(crate) fn start(bounds: Bounds) -> Metered {
        METER.with(|meter| {
            if meter.running.get() {
                return Metered { outermost: false };
            }
            let started = Instant::now();
            meter.running.set(true);
            meter.bounds.set(bounds);
            meter.steps.set(0);
            meter.next_look.set(LOOKS_EVERY);
            meter.started.set(Some(started));
            meter.deadline.set(None);
            meter.memory_at_start.set(memory::held_bytes());
            meter.output.set(0);
            meter.broken.set(command::left().is_none().then_some(Bound::Command));
            meter.grace.set(GRACE_STEPS);
            SLOT.with(|slot| slot.arm(started, bounds.time));
            let ceiling = bounds.memory_bytes.saturating_add(MEMORY_OVERSHOOT_BYTES);
            memory::set_ceiling(meter.memory_at_start.get().saturating_add(ceiling as isize));
            Metered { outermost: true }
        })
    }
}

impl Drop for Metered {
    fn drop(&mut self) {
        if self.outermost {
            METER.with(|meter| {
                memory::set_ceiling(isize::MAX);
                meter.running.set(false);
                meter.tell_the_command(meter.used());
                // A thread that is on its end has nothing left to disarm.
                let _ = SLOT.try_with(|slot| slot.disarm());
            });
        }
    }
}

/// Counts the steps of a run that nobody timed: none of them takes a nanosecond.
pub(crate) fn took(steps: u64) {
    METER.with(|meter| meter.tell_the_command(Duration::from_nanos(steps)));
}

/// Counts one step; `Some` ends the script.
pub(crate) fn tick() -> Option<Dynamic> {
    if charge(1).is_ok() {
        return None;
    }
    METER.with(|meter| match meter.grace.get() {
        0 => Some(Dynamic::UNIT),
        left => {
            meter.grace.set(left - 1);
            None
        }
    })
}

/// Looked at with every variable that a script reads: ends it there once a
/// bound is broken, or calls are nested too deep.
pub(crate) fn watch(call_level: usize) -> Result<(), Box<EvalAltResult>> {
    METER.with(|meter| {
        if meter.broken.get().is_none() {
            if call_level <= CALL_LEVELS {
                return Ok(());
            }
            meter.broken.set(Some(Bound::Calls));
        }
        Err(ended())
    })
}

/// Breaks a bound from native code.
pub(crate) fn break_now(bound: Bound) -> Box<EvalAltResult> {
    METER.with(|meter| meter.broken.set(meter.broken.get().or(Some(bound))));
    ended()
}

/// An error that keeps the place where it is raised. A script may catch it, but
/// not go on: the meter stays broken.
fn ended() -> Box<EvalAltResult> {
    EvalAltResult::ErrorRuntime(Dynamic::UNIT, Position::NONE).into()
}

/// Counts native work as steps.
pub(crate) fn charge(steps: u64) -> Result<(), Bound> {
    METER.with(|meter| {
        if let Some(broken) = meter.broken.get() {
            return Err(broken);
        }
        let now = meter.steps.get().saturating_add(steps);
        meter.steps.set(now);
        if now < meter.next_look.get() {
            return Ok(());
        }
        meter.next_look.set(now + LOOKS_EVERY);
        let bounds = meter.bounds.get();
        let grown = memory::held_bytes() - meter.memory_at_start.get();
        let broken = if now > bounds.operations {
            Bound::Operations
        } else if grown > bounds.memory_bytes as isize {
            Bound::Memory
        } else if let Some(broken) = meter.late() {
            broken
        } else {
            return Ok(());
        };
        meter.broken.set(Some(broken));
        Err(broken)
    })
}

/// Counts text that goes out; past the bound the script ends at its next step.
pub(crate) fn charge_output(bytes: usize) -> bool {
    METER.with(|meter| {
        let now = meter.output.get().saturating_add(bytes);
        meter.output.set(now);
        let fits = now <= meter.bounds.get().output_bytes;
        if !fits && meter.broken.get().is_none() {
            meter.broken.set(Some(Bound::Output));
        }
        fits
    })
}

/// The bound that this thread's run broke, and the bounds it had.
pub(crate) fn broken() -> Option<(Bound, Bounds)> {
    METER.with(|meter| Some((meter.broken.get()?, meter.bounds.get())))
}

/// Bounds of this thread's present or last run.
pub(crate) fn present() -> Bounds {
    METER.with(|meter| meter.bounds.get())
}

/// [`charge`] as an error that ends the script.
pub(crate) fn charge_or_end(steps: u64) -> Result<(), Box<EvalAltResult>> {
    charge(steps).map_err(|_| ended())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Not a test by itself: native code that doesn't come back in time.
    #[test]
    #[ignore = "run by the_watchdog_ends_what_never_comes_back"]
    fn never_comes_back() {
        let _metered = Metered::start(Bounds {
            time: Duration::from_millis(100),
            ..Bounds::default()
        });
        let start = thread_time();
        while thread_time() - start < Duration::from_secs(60) {
            std::hint::spin_loop();
        }
        println!("it came back");
    }

    #[test]
    fn the_watchdog_ends_what_never_comes_back() {
        let output = std::process::Command::new(std::env::current_exe().unwrap_or_default())
            .args(["--exact", "bounds::tests::never_comes_back", "--ignored", "--nocapture"])
            .output();
        let output = output.unwrap_or_else(|why| panic!("{why}"));
        assert_eq!(output.status.code(), Some(3));
        let said = String::from_utf8_lossy(&output.stdout).into_owned();
        assert!(!said.contains("it came back"), "{said}");
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(said.contains("error: a script ran far past its time"), "{said}");
    }

    #[test]
    fn steps_are_counted_and_stay_broken() {
        let _metered = Metered::start(Bounds {
            operations: 1_000,
            ..Bounds::default()
        });
        assert_eq!(charge(900), Ok(()));
        assert_eq!(charge(200), Err(Bound::Operations));
        assert_eq!(charge(0), Err(Bound::Operations));
        assert!(watch(0).is_err());
    }
}
