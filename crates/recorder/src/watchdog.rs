//! Notices a recorder that does not breathe: a disk that does not answer, for instance,
//! holds up a write for as long as it likes, and nothing else would say so.

use std::{
    sync::{
        Arc,
        atomic::{AtomicU64, Ordering},
    },
    time::{Duration, Instant},
};

use crate::operator::Operator;

/// Between two looks.
const LOOK: Duration = Duration::from_millis(500);
/// Looks without a breath after which it is said: five times as long as the longest
/// pause of a recorder that is well.
const STILL: u32 = 6;
/// Then it is said again every minute.
const REMIND: u32 = 120;
/// A look that comes so late shows that the whole program was stopped, not the recorder.
const LATE: Duration = Duration::from_secs(1);

/// Watches while it lives.
pub(crate) struct Watchdog {
    breaths: Arc<AtomicU64>,
}

impl Watchdog {
    /// Begins to watch, on a thread of its own.
    pub(crate) fn start(operator: Arc<dyn Operator>) -> Self {
        let breaths = Arc::new(AtomicU64::new(0));
        let seen = Arc::downgrade(&breaths);
        // without it the recording is as good as before
        let _ = std::thread::Builder::new()
            .name("watchdog".into())
            .spawn(move || {
                let mut watched = Watched::default();
                loop {
                    let begun = Instant::now();
                    std::thread::sleep(LOOK);
                    let Some(breaths) = seen.upgrade() else {
                        return;
                    };
                    let breaths = breaths.load(Ordering::Relaxed);
                    let told = watched.look(breaths, begun.elapsed() > LATE);
                    if let Some(words) = told {
                        operator.stands_still(&words);
                    }
                }
            });
        Self { breaths }
    }

    /// The recorder is well.
    pub(crate) fn breathe(&self) {
        self.breaths.fetch_add(1, Ordering::Relaxed);
    }
}

/// What was seen so far.
#[derive(Debug, Default)]
struct Watched {
    breaths: u64,
    still: u32,
}

impl Watched {
    /// A look; gives what there is to say.
    fn look(&mut self, breaths: u64, late: bool) -> Option<String> {
        let seconds = |looks: u32| f64::from(looks) * LOOK.as_secs_f64();
        if breaths != self.breaths {
            self.breaths = breaths;
            let still = std::mem::take(&mut self.still);
            return (still >= STILL).then(|| {
                format!(
                    "the recording goes on after {:.0} s; a gap in the record shows what was \
                     missed, if anything",
                    seconds(still)
                )
            });
        }
        if late {
            return None;
        }
        self.still += 1;
        let due = self.still >= STILL && (self.still - STILL).is_multiple_of(REMIND);
        due.then(|| {
            format!(
                "THE RECORDING STANDS STILL for {:.0} s: the disk does not answer, or the \
                 computer has too much to do. What the gauge says waits in memory; keep the \
                 computer running, look at the disk and its cable",
                seconds(self.still)
            )
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_recorder_that_does_not_breathe_is_told_of_and_when_it_goes_on() {
        let mut watched = Watched::default();
        for breaths in 1..20 {
            assert_eq!(watched.look(breaths, false), None);
        }
        let said: Vec<String> = (0..130).filter_map(|_| watched.look(19, false)).collect();
        assert_eq!(said.len(), 2, "{said:?}");
        assert!(said[0].contains("STANDS STILL for 3 s"), "{said:?}");
        assert!(said[1].contains("for 63 s"), "{said:?}");
        let on = watched.look(20, false).expect("it goes on");
        assert!(on.contains("goes on after 65 s"), "{on}");
        assert_eq!(watched.look(21, false), None);
    }

    #[test]
    fn a_program_that_was_stopped_as_a_whole_is_no_recorder_that_hangs() {
        let mut watched = Watched::default();
        assert_eq!(watched.look(1, false), None);
        let said = (0..100).filter_map(|_| watched.look(1, true)).count();
        assert_eq!(said, 0);
    }
}
