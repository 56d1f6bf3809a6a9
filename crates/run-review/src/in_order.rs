//! Work on many things at once, results in the order of the things.

use std::{
    collections::BTreeMap,
    num::NonZero,
    panic::{AssertUnwindSafe, catch_unwind, resume_unwind},
    sync::{Mutex, mpsc},
    thread,
};

/// Results that may wait for an earlier one, for each thread.
const AHEAD: usize = 8;

/// As many threads as this computer can run at once.
pub fn all_cores() -> usize {
    thread::available_parallelism().map_or(1, NonZero::get)
}

/// Calls `make` for 0, 1, … up to `count` on at most `threads` threads, and `take` with
/// every result on this one, in that order and as soon as its turn has come. At most
/// eight results a thread are held at any time, however many there are to come.
pub fn in_order<T: Send>(
    count: usize,
    threads: usize,
    make: impl Fn(usize) -> T + Sync,
    mut take: impl FnMut(T),
) {
    let threads = threads.min(count);
    if threads < 2 {
        (0..count).map(make).for_each(take);
        return;
    }
    let (give, given) = mpsc::channel();
    let given = Mutex::new(given);
    let (done, results) = mpsc::channel();
    let work = |done: mpsc::Sender<_>| {
        while let Some(i) = given.lock().ok().and_then(|given| given.recv().ok()) {
            // a panic is handed over too: else the others would wait for ever
            if done
                .send((i, catch_unwind(AssertUnwindSafe(|| make(i)))))
                .is_err()
            {
                break;
            }
        }
    };
    thread::scope(|scope| {
        let work = &work;
        let started = (0..threads).filter(|_| {
            let done = done.clone();
            thread::Builder::new()
                .spawn_scoped(scope, move || work(done))
                .is_ok()
        });
        if started.count() == 0 {
            // the system gives no thread: this one does it all
            (0..count).map(&make).for_each(take);
            return;
        }
        drop(done);
        // dropped at the end of this closure, whatever ends it: the threads stop then
        let give = give;
        let mut asked = 0..count;
        for i in asked.by_ref().take(AHEAD * threads) {
            let _ = give.send(i);
        }
        let mut early = BTreeMap::new();
        let mut turns = 0..count;
        let mut turn = turns.next();
        for (i, result) in results {
            early.insert(i, result);
            while let Some(result) = turn.and_then(|turn| early.remove(&turn)) {
                take(result.unwrap_or_else(|panic| resume_unwind(panic)));
                turn = turns.next();
                if let Some(next) = asked.next() {
                    let _ = give.send(next);
                }
            }
            if turn.is_none() {
                break;
            }
        }
    });
}

#[cfg(test)]
mod tests {
    use std::{
        sync::atomic::{AtomicUsize, Ordering},
        time::Duration,
    };

    use super::*;

    fn taken(count: usize, threads: usize, make: impl Fn(usize) -> usize + Sync) -> Vec<usize> {
        let mut out = Vec::new();
        in_order(count, threads, make, |v| out.push(v));
        out
    }

    #[test]
    fn the_order_is_that_of_the_things_whatever_takes_longest() {
        // early ones take longest, and so does every seventh
        let make = |i: usize| {
            let ms = if i.is_multiple_of(7) {
                9
            } else {
                5_usize.saturating_sub(i)
            };
            thread::sleep(Duration::from_millis(ms as u64));
            i * i
        };
        let wanted: Vec<usize> = (0..60).map(|i| i * i).collect();
        for threads in [1, 2, 3, 8, 100] {
            assert_eq!(taken(60, threads, make), wanted, "{threads} threads");
        }
        assert_eq!(taken(0, 4, make), Vec::<usize>::new());
        assert_eq!(taken(1, 4, make), vec![0]);
    }

    #[test]
    fn few_results_wait_for_an_early_one() {
        let (made, threads) = (AtomicUsize::new(0), 3);
        let mut out = Vec::new();
        let make = |i: usize| {
            if i == 0 {
                thread::sleep(Duration::from_millis(150));
            }
            made.fetch_add(1, Ordering::SeqCst);
            i
        };
        in_order(1_000, threads, make, |i| {
            if i == 0 {
                let before = made.load(Ordering::SeqCst);
                assert!(before <= AHEAD * threads, "{before} made while 0 was slow");
                assert!(before > threads, "{before}: the others did not go on");
            }
            out.push(i);
        });
        assert_eq!(out.len(), 1_000);
    }

    #[test]
    fn a_panic_comes_through_and_nothing_hangs() {
        let make = |i: usize| {
            assert_ne!(i, 40, "on purpose");
            i
        };
        let caught = catch_unwind(AssertUnwindSafe(|| taken(100, 4, make)));
        assert!(caught.is_err());
    }
}
