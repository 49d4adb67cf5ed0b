//! A disk in memory that loses power: what is written and what lasts are kept apart,
//! and whatever a real disk may forget or reorder, it may.
//!
//! What lasts, as POSIX promises it and no more: the bytes of a file once it is
//! synced, a name (new, renamed, removed) once its folder is synced. Of the rest a
//! cut keeps, by chance: of each file some of the writes since its last sync, in
//! order, the last one torn, or the new length without the bytes (filled with zeros);
//! of each folder some of the changes of names since its last sync, in order. A
//! rename is one change: there is no moment with neither name.

mod disk;
mod file;
mod state;

pub use disk::SimulatedDisk;
pub use state::{Moment, Refusal};

/// Chance that is the same on every machine: a linear congruential sequence modulo
/// 2^64, its multiplier one of P. L'Ecuyer's (Math. Comp. 68, 1999; from memory).
#[derive(Debug, Clone)]
pub struct Chance(u64);

impl Chance {
    /// One that starts from a number.
    pub fn from(start: u64) -> Chance {
        Chance(
            start
                .wrapping_mul(2_862_933_555_777_941_757)
                .wrapping_add(3_037_000_493)
                | 1,
        )
    }

    /// A number below `bound`, which is above zero.
    pub fn below(&mut self, bound: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(2_862_933_555_777_941_757)
            .wrapping_add(3_037_000_493);
        ((self.0 >> 33) as usize) % bound
    }
}
