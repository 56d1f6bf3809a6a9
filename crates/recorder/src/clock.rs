//! The computer's clocks, and whether somebody set one or the computer slept.

use std::time::{Duration, Instant};

use chrono::{DateTime, TimeDelta, Utc};
use wording::Voice;

/// What the computer knows of time. One narrow door, so that tests can set the
/// clock.
pub(crate) trait ComputerClock {
    /// A clock that nobody can set; it may stand still while the computer sleeps.
    fn monotonic(&self) -> Instant;

    /// The clock on the wall, which may be set at any moment.
    fn wall(&self) -> DateTime<Utc>;

    /// A clock that nobody can set and that goes on while the computer sleeps,
    /// counted from any moment; `None` where the system has none.
    fn unsleeping(&self) -> Option<Duration>;
}

/// The real ones.
#[derive(Debug)]
pub(crate) struct SystemClock;

impl ComputerClock for SystemClock {
    fn monotonic(&self) -> Instant {
        Instant::now()
    }

    fn wall(&self) -> DateTime<Utc> {
        Utc::now()
    }

    #[cfg(target_os = "linux")]
    fn unsleeping(&self) -> Option<Duration> {
        let now = rustix::time::clock_gettime(rustix::time::ClockId::Boottime);
        Duration::try_from(now).ok()
    }

    #[cfg(not(target_os = "linux"))]
    fn unsleeping(&self) -> Option<Duration> {
        None
    }
}

/// Something that happened to the computer's time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum TimeEvent {
    /// The wall clock was set, forward if positive.
    Set(TimeDelta),
    /// As [`TimeEvent::Set`], where the system cannot tell it from a sleep.
    SetOrSlept(TimeDelta),
    /// The computer slept; the gauge was not read meanwhile.
    Slept(Duration),
}

impl TimeEvent {
    /// In words, for the record and the screen.
    pub(crate) fn words(self) -> String {
        match self {
            Self::Set(by) => format!("{}; {NOT_COUNTED}", set(by)),
            Self::SetOrSlept(by) => format!("{}, or it slept so long; {NOT_COUNTED}", set(by)),
            Self::Slept(time) => format!(
                "the computer slept for {}: nothing was recorded meanwhile",
                Voice::default().two_units(time.as_secs_f64())
            ),
        }
    }
}

const NOT_COUNTED: &str = "times are counted on a clock that does not jump";

fn set(by: TimeDelta) -> String {
    let direction = if by < TimeDelta::zero() {
        "back"
    } else {
        "forward"
    };
    let size = Voice::default().two_units(by.as_seconds_f64());
    format!("the computer's clock was set {direction} by {size}")
}

/// Less is the clock being trimmed, not set.
const STEP: TimeDelta = TimeDelta::seconds(2);
/// Less is the time between two looks at two clocks.
const NAP: Duration = Duration::from_secs(2);

/// Compares the clocks from the start of a run on.
pub(crate) struct ClockWatch {
    clock: Box<dyn ComputerClock>,
    /// The three clocks at the start.
    origin: Instant,
    started: DateTime<Utc>,
    unsleeping: Option<Duration>,
    /// What was found so far.
    set_by: TimeDelta,
    slept: Duration,
}

impl std::fmt::Debug for ClockWatch {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("ClockWatch")
            .field("set_by", &self.set_by)
            .field("slept", &self.slept)
            .finish_non_exhaustive()
    }
}

impl ClockWatch {
    /// Begins now.
    pub(crate) fn start(clock: Box<dyn ComputerClock>) -> Self {
        Self {
            origin: clock.monotonic(),
            started: clock.wall(),
            unsleeping: clock.unsleeping(),
            clock,
            set_by: TimeDelta::zero(),
            slept: Duration::ZERO,
        }
    }

    /// Now, on the clock that nobody can set.
    pub(crate) fn now(&self) -> Instant {
        self.clock.monotonic()
    }

    pub(crate) fn origin(&self) -> Instant {
        self.origin
    }

    /// When it began, by the wall clock of that moment.
    pub(crate) fn started(&self) -> DateTime<Utc> {
        self.started
    }

    /// By how much the wall clock was set since then.
    pub(crate) fn set_by(&self) -> TimeDelta {
        self.set_by
    }

    /// How long the computer slept since then.
    pub(crate) fn slept(&self) -> Duration {
        self.slept
    }

    /// Looks at the clocks; tells what happened since the last look. A second
    /// look may tell a second thing.
    pub(crate) fn look(&mut self) -> Option<TimeEvent> {
        let awake = self
            .clock
            .monotonic()
            .saturating_duration_since(self.origin);
        let unsleeping = self.clock.unsleeping();
        if let Some((now, then)) = unsleeping.zip(self.unsleeping) {
            let slept = now.saturating_sub(then).saturating_sub(awake);
            let more = slept.saturating_sub(self.slept);
            if more >= NAP {
                self.slept = slept;
                return Some(TimeEvent::Slept(more));
            }
        }
        // a time that does not fit is a clock set by hundreds of millions of years
        let passed = TimeDelta::from_std(awake + self.slept).unwrap_or(TimeDelta::MAX);
        let set_by = (self.clock.wall() - self.started) - passed;
        let more = set_by - self.set_by;
        if more.abs() < STEP {
            return None;
        }
        self.set_by = set_by;
        Some(if unsleeping.is_some() || more < TimeDelta::zero() {
            TimeEvent::Set(more)
        } else {
            TimeEvent::SetOrSlept(more)
        })
    }
}

#[cfg(test)]
pub(crate) mod fake {
    use std::sync::{Arc, Mutex};

    use super::*;

    /// What is added to the real clocks.
    #[derive(Debug, Clone, Copy)]
    pub(crate) struct Added {
        pub wall: TimeDelta,
        pub slept: Option<Duration>,
        pub awake: Duration,
    }

    /// Clocks that a test sets.
    #[derive(Debug, Clone)]
    pub(crate) struct FakeClock(Arc<Mutex<Added>>);

    impl FakeClock {
        pub(crate) fn new(tells_sleep: bool) -> Self {
            Self(Arc::new(Mutex::new(Added {
                wall: TimeDelta::zero(),
                slept: tells_sleep.then_some(Duration::ZERO),
                awake: Duration::ZERO,
            })))
        }

        /// Somebody sets the wall clock.
        pub(crate) fn set(&self, by: TimeDelta) {
            self.0.lock().expect("nobody panicked").wall += by;
        }

        /// The lid is shut for so long.
        pub(crate) fn sleep(&self, time: Duration) {
            let mut added = self.0.lock().expect("nobody panicked");
            added.wall += TimeDelta::from_std(time).expect("short");
            added.slept = added.slept.map(|slept| slept + time);
        }

        /// Time goes by, on every clock.
        pub(crate) fn pass(&self, time: Duration) {
            self.0.lock().expect("nobody panicked").awake += time;
        }

        fn added(&self) -> Added {
            *self.0.lock().expect("nobody panicked")
        }
    }

    impl ComputerClock for FakeClock {
        fn monotonic(&self) -> Instant {
            Instant::now() + self.added().awake
        }

        fn wall(&self) -> DateTime<Utc> {
            let added = self.added();
            Utc::now() + added.wall + added.awake
        }

        fn unsleeping(&self) -> Option<Duration> {
            let added = self.added();
            let real = Instant::now().saturating_duration_since(*START) + added.awake;
            added.slept.map(|slept| real + slept)
        }
    }

    static START: std::sync::LazyLock<Instant> = std::sync::LazyLock::new(Instant::now);
}

#[cfg(test)]
mod tests {
    use super::{fake::FakeClock, *};

    fn watched(tells_sleep: bool) -> (FakeClock, ClockWatch) {
        let clock = FakeClock::new(tells_sleep);
        let watch = ClockWatch::start(Box::new(clock.clone()));
        (clock, watch)
    }

    #[test]
    fn a_clock_set_by_hours_is_told_once_and_in_words() {
        let (clock, mut watch) = watched(true);
        for (by, wanted) in [
            (TimeDelta::hours(5), "set forward by 5 h 0 min"),
            (TimeDelta::minutes(-9 * 60 - 7), "set back by 9 h 7 min"),
            (TimeDelta::seconds(3), "set forward by 3 s"),
            (TimeDelta::days(-400), "set back by 400 d 0 h"),
        ] {
            clock.pass(Duration::from_secs(3_600));
            assert_eq!(watch.look(), None);
            // rounding to whole seconds must not decide the test
            clock
                .set(by + TimeDelta::milliseconds(if by > TimeDelta::zero() { 200 } else { -200 }));
            let words = watch.look().expect("noticed").words();
            assert!(words.contains(wanted), "{words}");
            assert!(words.ends_with(NOT_COUNTED), "{words}");
            assert_eq!(watch.look(), None, "once");
        }
    }

    #[test]
    fn trimming_is_not_setting() {
        let (clock, mut watch) = watched(true);
        clock.set(TimeDelta::milliseconds(1_500));
        assert_eq!(watch.look(), None);
        clock.set(TimeDelta::milliseconds(-3_000));
        assert_eq!(watch.look(), None);
    }

    #[test]
    fn a_sleep_is_told_apart_from_a_clock_that_was_set() {
        let (clock, mut watch) = watched(true);
        clock.sleep(Duration::from_secs(2_400));
        let told = watch.look().expect("noticed").words();
        assert!(told.contains("slept for 40 min 0 s"), "{told}");
        assert_eq!(watch.look(), None);
        assert_eq!(watch.set_by(), TimeDelta::zero());
        // where the system cannot tell, it is said so
        let (clock, mut watch) = watched(false);
        clock.sleep(Duration::from_secs(2_400));
        let told = watch.look().expect("noticed").words();
        assert!(told.contains("or it slept so long"), "{told}");
    }

    #[test]
    fn the_real_clocks_agree() {
        let mut watch = ClockWatch::start(Box::new(SystemClock));
        assert_eq!(watch.look(), None);
    }
}
