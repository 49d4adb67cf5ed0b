//! Counts the memory that a thread holds, so that a script's share is known.
//!
//! The binary installs [`CountingAllocator`] as its global allocator. Without
//! it everything works, only the memory bound never strikes.

#![allow(unsafe_code)]

use std::alloc::{GlobalAlloc, Layout, System};
use std::cell::Cell;

/// What is given back by itself.
#[cfg(all(target_os = "linux", target_env = "gnu"))]
const LARGE_BYTES: libc::c_int = 1 << 20;

thread_local! {
    static HELD: Cell<isize> = const { Cell::new(0) };
    static CEILING: Cell<isize> = const { Cell::new(isize::MAX) };
}

/// The system's allocator with a counter for each thread.
///
/// ```ignore
/// #[global_allocator]
/// static MEMORY: glost_script::CountingAllocator = glost_script::CountingAllocator;
/// ```
pub struct CountingAllocator;

impl CountingAllocator {
    /// Has whatever takes a megabyte or more given back as soon as it is let go. By itself
    /// glibc keeps the room of the first large text for later, and years of books then lie
    /// scattered in it. Elsewhere nothing changes.
    pub fn give_large_back() {
        // SAFETY: sets a number that the next allocation reads; what it refuses stays as it was.
        #[cfg(all(target_os = "linux", target_env = "gnu"))]
        unsafe {
            libc::mallopt(libc::M_MMAP_THRESHOLD, LARGE_BYTES);
        }
    }
}

/// Bytes that this thread has taken and not given back. Memory that one thread
/// takes and another frees counts on both: only differences within a run mean
/// something.
pub(crate) fn held_bytes() -> isize {
    HELD.try_with(Cell::get).unwrap_or(0)
}

/// Sets the count at which this thread ends the process: the last net, for
/// native code that asks for more than any script may hold.
pub(crate) fn set_ceiling(bytes: isize) {
    let _ = CEILING.try_with(|ceiling| ceiling.set(bytes));
}

fn count(change: isize) {
    let now = HELD
        .try_with(|held| {
            let now = held.get().saturating_add(change);
            held.set(now);
            now
        })
        .unwrap_or(0);
    if change > 0 && now > CEILING.try_with(Cell::get).unwrap_or(isize::MAX) {
        set_ceiling(isize::MAX);
        crate::watchdog::end_process("the script asked for more memory than any script may hold");
    }
}

// SAFETY: every call is handed to `System` unchanged; the counters allocate nothing.
unsafe impl GlobalAlloc for CountingAllocator {
    unsafe fn alloc(&self, layout: Layout) -> *mut u8 {
        count(layout.size() as isize);
        unsafe { System.alloc(layout) }
    }

    unsafe fn dealloc(&self, memory: *mut u8, layout: Layout) {
        count(-(layout.size() as isize));
        unsafe { System.dealloc(memory, layout) }
    }

    unsafe fn alloc_zeroed(&self, layout: Layout) -> *mut u8 {
        count(layout.size() as isize);
        unsafe { System.alloc_zeroed(layout) }
    }

    unsafe fn realloc(&self, memory: *mut u8, layout: Layout, new_size: usize) -> *mut u8 {
        count(new_size as isize - layout.size() as isize);
        unsafe { System.realloc(memory, layout, new_size) }
    }
}
