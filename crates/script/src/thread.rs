//! Scripts run on a thread with a big stack, and a panic stays inside it.

use std::cell::Cell;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Once;

/// Long chains of closures are freed one inside the other.
const STACK_BYTES: usize = 64 << 20;

thread_local! {
    static ON_SCRIPT_THREAD: Cell<bool> = const { Cell::new(false) };
}

static QUIET: Once = Once::new();

/// A panic on a script thread becomes an error; nothing is printed for it.
fn keep_script_threads_quiet() {
    let usual = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |panic| {
        if !ON_SCRIPT_THREAD.try_with(Cell::get).unwrap_or(false) {
            usual(panic);
        }
    }));
}

/// Runs `work` on a thread that scripts may run on; at once if this is one.
///
/// Whoever runs many scripts does so inside one call of this, which saves a
/// thread for each.
///
/// # Errors
/// `work` panicked, or the system gave no thread.
#[allow(clippy::disallowed_methods, reason = "a thread that is lost is an error")]
pub fn on_script_thread<T: Send>(work: impl FnOnce() -> T + Send) -> Result<T, String> {
    if ON_SCRIPT_THREAD.get() {
        return catch(work);
    }
    QUIET.call_once(keep_script_threads_quiet);
    std::thread::scope(|scope| {
        std::thread::Builder::new()
            .name("script".to_owned())
            .stack_size(STACK_BYTES)
            .spawn_scoped(scope, || {
                ON_SCRIPT_THREAD.set(true);
                catch(work)
            })
            .map_err(|error| format!("no thread for the script: {error}"))?
            .join()
            .unwrap_or_else(|_| Err("the script engine broke off".to_owned()))
    })
}

fn catch<T>(work: impl FnOnce() -> T) -> Result<T, String> {
    catch_unwind(AssertUnwindSafe(work)).map_err(|panic| {
        panic
            .downcast_ref::<&str>()
            .map(|text| (*text).to_owned())
            .or_else(|| panic.downcast_ref::<String>().cloned())
            .unwrap_or_else(|| "the script engine broke off".to_owned())
    })
}
