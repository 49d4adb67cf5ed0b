//! Work that many threads share and hand in by turns.

use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};

use glost_script::on_script_thread;

/// Whether the work goes on after a piece was handed in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Then {
    GoOn,
    Stop,
}

/// Whose turn it is.
struct Turns<H> {
    next: u64,
    over: bool,
    /// Why a worker was lost; the first counts.
    lost: Option<String>,
    hand_in: H,
}

/// A lock that a panic elsewhere doesn't spoil: what it guards is whole at any time.
pub(super) fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Works with `threads` threads until nothing is left to `take`, or `hand_in` stops
/// it: each takes a numbered piece (from 0, without gaps), works on it and hands it
/// in when all before it are handed in. All run on threads that scripts may run on.
///
/// # Errors
/// Why a worker was lost: then what it had taken is handed in by nobody, and nothing
/// after it.
pub(super) fn in_turn<Piece, Done: Send>(
    threads: usize,
    take: impl Fn() -> Option<(u64, Piece)> + Sync,
    work: impl Fn(Piece) -> Done + Sync,
    hand_in: impl FnMut(Done) -> Then + Send,
) -> Result<(), String> {
    let changed = Condvar::new();
    let turns = Mutex::new(Turns {
        next: 0,
        over: false,
        lost: None,
        hand_in,
    });
    let wait_and_hand_in = |number: u64, done: Done| {
        let early = |turns: &mut Turns<_>| !turns.over && turns.next != number;
        let waited = changed.wait_while(locked(&turns), early);
        let mut turns = waited.unwrap_or_else(PoisonError::into_inner);
        if !turns.over {
            turns.over = (turns.hand_in)(done) == Then::Stop;
            turns.next += 1;
        }
        changed.notify_all();
        !turns.over
    };
    let worker = || {
        let ended = on_script_thread(|| {
            while let Some((number, piece)) = take() {
                if !wait_and_hand_in(number, work(piece)) {
                    break;
                }
            }
        });
        if let Err(why) = ended {
            let mut turns = locked(&turns);
            turns.over = true;
            turns.lost.get_or_insert(why);
            changed.notify_all();
        }
    };
    std::thread::scope(|scope| {
        for _ in 1..threads {
            scope.spawn(worker);
        }
        worker();
    });
    let turns = turns.into_inner().unwrap_or_else(PoisonError::into_inner);
    turns.lost.map_or(Ok(()), Err)
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicU64, Ordering};

    use super::*;

    fn up_to(most: u64) -> impl Fn() -> Option<(u64, u64)> + Sync {
        let next = AtomicU64::new(0);
        move || {
            let number = next.fetch_add(1, Ordering::Relaxed);
            (number < most).then_some((number, number))
        }
    }

    #[test]
    fn pieces_are_handed_in_in_their_order_on_any_number_of_threads() {
        for threads in [1, 2, 7] {
            let mut got = Vec::new();
            let outcome = in_turn(
                threads,
                up_to(500),
                |piece| piece * 3,
                |done| {
                    got.push(done);
                    Then::GoOn
                },
            );
            assert_eq!(outcome, Ok(()));
            assert_eq!(got, (0..500).map(|piece| piece * 3).collect::<Vec<_>>());
        }
    }

    #[test]
    fn a_lost_worker_is_told_and_nothing_after_its_piece_is_handed_in() {
        for threads in [1, 2, 7] {
            let mut got = Vec::new();
            let outcome = in_turn(
                threads,
                up_to(500),
                |piece| if piece == 40 { panic!("the kiln is out") } else { piece },
                |done| {
                    got.push(done);
                    Then::GoOn
                },
            );
            assert_eq!(outcome, Err("the kiln is out".to_owned()));
            assert_eq!(got, (0..40).collect::<Vec<_>>());
        }
    }

    #[test]
    fn whoever_takes_the_pieces_can_stop_the_work() {
        let mut got = 0;
        let outcome = in_turn(
            3,
            up_to(u64::MAX),
            |piece| piece,
            |_| {
                got += 1;
                if got == 10 { Then::Stop } else { Then::GoOn }
            },
        );
        assert_eq!((outcome, got), (Ok(()), 10));
    }
}
