//! One time line for a run: seconds since the start, never backwards.

use std::time::{Duration, Instant};

use chrono::{DateTime, TimeDelta, Utc};
use sensor_reader::Clock;

use crate::clock::{ClockWatch, ComputerClock, TimeEvent};

/// Turns arrival times or a gauge's own clock into elapsed time.
#[derive(Debug)]
pub(crate) struct TimeLine {
    clock: Clock,
    watch: ClockWatch,
    /// Elapsed time when the clocks were first looked at, s: that of a run that
    /// goes on, else 0.
    before_s: f64,
    /// Device time minus elapsed time, s; known from the first reading on.
    device_offset_s: Option<f64>,
    /// Elapsed time of the last entry, when it was, and how long the computer
    /// had slept by then.
    last: (f64, Instant, Duration),
}

/// A jump of the gauge's clock by more than this is a reset, s.
const DEVICE_JUMP_S: f64 = 3_600.0;

impl TimeLine {
    pub(crate) fn start(clock: Clock, computer: Box<dyn ComputerClock>) -> Self {
        let watch = ClockWatch::start(computer);
        let origin = watch.origin();
        Self {
            clock,
            watch,
            before_s: 0.0,
            device_offset_s: None,
            last: (0.0, origin, Duration::ZERO),
        }
    }

    /// Goes on with a run that stands at `elapsed_s` now.
    pub(crate) fn resume(clock: Clock, computer: Box<dyn ComputerClock>, elapsed_s: f64) -> Self {
        let line = Self::start(clock, computer);
        Self {
            before_s: elapsed_s,
            last: (elapsed_s, line.watch.origin(), Duration::ZERO),
            ..line
        }
    }

    /// Tells if the computer's clock was set or the computer slept.
    pub(crate) fn look(&mut self) -> Option<TimeEvent> {
        self.watch.look()
    }

    /// Now, as arrival times are counted.
    pub(crate) fn now(&self) -> Instant {
        self.watch.now()
    }

    /// Elapsed time of the last entry, s.
    pub(crate) fn last_s(&self) -> f64 {
        self.last.0
    }

    /// The gauge's own clock counts, not this computer's.
    pub(crate) fn is_by_gauge(&self) -> bool {
        self.clock == Clock::Device
    }

    /// When the last entry was.
    pub(crate) fn last(&self) -> Instant {
        self.last.1
    }

    /// When the run started.
    pub(crate) fn started(&self) -> DateTime<Utc> {
        self.watch.started()
    }

    /// Elapsed time of a reading, s.
    pub(crate) fn of_reading(&mut self, arrived: Instant, device_s: Option<f64>) -> f64 {
        let elapsed_s = match (self.clock, device_s) {
            (Clock::Device, Some(device_s)) => self.of_device(arrived, device_s),
            _ => self.of_host(arrived),
        };
        self.advance(elapsed_s, arrived)
    }

    /// Elapsed time of a reading of another gauge, s, without advancing: it is put
    /// on this time line by its arrival, or, where both gauges count one clock, by
    /// what it says of that.
    pub(crate) fn of_other(&self, arrived: Instant, shared_s: Option<f64>) -> f64 {
        match (self.clock, shared_s) {
            (Clock::Host, _) => self.of_host(arrived),
            (Clock::Device, Some(shared_s)) => self.of_device_moment(shared_s),
            (Clock::Device, None) => self.since_last(arrived),
        }
    }

    /// Elapsed time of something that happened at the computer, s.
    pub(crate) fn of_act(&mut self, at: Instant) -> f64 {
        let elapsed_s = match self.clock {
            Clock::Host => self.of_host(at),
            Clock::Device => self.since_last(at),
        };
        self.advance(elapsed_s, at)
    }

    /// Elapsed time of a moment on the gauge's own clock, s, without advancing.
    pub(crate) fn of_device_moment(&self, device_s: f64) -> f64 {
        device_s - self.device_offset_s.unwrap_or(0.0)
    }

    /// The time stamp that belongs to an elapsed time: the monotonic clock
    /// decides, the wall clock only says when the run started and by how much it
    /// was set since.
    pub(crate) fn utc(&self, elapsed_s: f64) -> DateTime<Utc> {
        let milliseconds = ((elapsed_s - self.before_s) * 1000.0).round() as i64;
        let since_start = TimeDelta::milliseconds(milliseconds) + self.watch.set_by();
        let started = self.watch.started();
        // beyond the calendar there is no time stamp
        started.checked_add_signed(since_start).unwrap_or(started)
    }

    fn of_host(&self, at: Instant) -> f64 {
        let awake = at.saturating_duration_since(self.watch.origin());
        self.before_s + (awake + self.watch.slept()).as_secs_f64()
    }

    fn since_last(&self, at: Instant) -> f64 {
        let (last_s, last_at, slept) = self.last;
        let awake = at.saturating_duration_since(last_at);
        last_s + (awake + self.watch.slept().saturating_sub(slept)).as_secs_f64()
    }

    fn of_device(&mut self, arrived: Instant, device_s: f64) -> f64 {
        let fits = |offset: &f64| {
            let step = device_s - offset - self.last.0;
            (0.0..DEVICE_JUMP_S).contains(&step)
        };
        if let Some(offset) = self.device_offset_s.filter(fits) {
            return device_s - offset;
        }
        // first reading, or the gauge was reset: join its clock to ours
        let elapsed_s = match self.device_offset_s {
            None if self.before_s > 0.0 => self.since_last(arrived),
            None if device_s < DEVICE_JUMP_S => device_s,
            None => 0.0,
            Some(_) => self.since_last(arrived),
        };
        self.device_offset_s = Some(device_s - elapsed_s);
        elapsed_s
    }

    fn advance(&mut self, elapsed_s: f64, at: Instant) -> f64 {
        let elapsed_s = elapsed_s.max(self.last.0);
        self.last = (elapsed_s, at, self.watch.slept());
        elapsed_s
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::clock::fake::FakeClock;

    fn line(clock: Clock) -> (FakeClock, TimeLine) {
        let computer = FakeClock::new(true);
        let line = TimeLine::start(clock, Box::new(computer.clone()));
        (computer, line)
    }

    const SECOND: Duration = Duration::from_secs(1);

    #[test]
    fn a_clock_that_is_set_moves_the_time_stamp_and_nothing_else() {
        let (computer, mut line) = line(Clock::Host);
        let started = line.started();
        let mut before = 0.0;
        let mut set_h = 0;
        for n in 0..60 {
            match n {
                20 => computer.set(TimeDelta::hours(5)),
                40 => computer.set(TimeDelta::hours(-9)),
                _ => {}
            }
            let event = line.look();
            assert_eq!(event.is_some(), n == 20 || n == 40, "{n}: {event:?}");
            set_h += [0, 5, -9][usize::from(n == 20) + 2 * usize::from(n == 40)];
            let now = line.now();
            let elapsed_s = line.of_reading(now, None);
            assert!(
                (elapsed_s - before - 1.0).abs() < 0.5 || n == 0,
                "{n}: {elapsed_s}"
            );
            before = elapsed_s;
            let stamp = (line.utc(elapsed_s) - started).as_seconds_f64() - elapsed_s;
            assert!(
                (stamp - 3_600.0 * f64::from(set_h)).abs() < 0.1,
                "{n}: {stamp}"
            );
            computer.pass(SECOND);
        }
    }

    #[test]
    fn time_asleep_counts_for_the_hold() {
        for clock in [Clock::Host, Clock::Device] {
            let (computer, mut line) = line(clock);
            line.of_reading(line.now(), Some(10.0));
            let before = line.last_s();
            computer.sleep(600 * SECOND);
            assert!(matches!(line.look(), Some(TimeEvent::Slept(_))));
            let after = line.of_act(line.now());
            assert!((after - before - 600.0).abs() < 0.5, "{clock:?}: {after}");
        }
    }

    #[test]
    fn a_gauge_that_is_reset_does_not_turn_time_back() {
        for clock in [Clock::Host, Clock::Device] {
            let (computer, mut line) = line(clock);
            let mut before = line.of_reading(line.now(), Some(500.0));
            // reset twice, once just after it began
            for device_s in [501.0, 502.0, 0.0, 0.1, 0.0, 1.0, 2.0] {
                computer.pass(SECOND);
                let elapsed_s = line.of_reading(line.now(), Some(device_s));
                let step = elapsed_s - before;
                assert!((0.0..1.5).contains(&step), "{clock:?} {device_s}: {step}");
                before = elapsed_s;
            }
        }
    }

    #[test]
    fn a_resumed_run_goes_on_where_the_computers_clock_says() {
        for clock in [Clock::Host, Clock::Device] {
            let computer = FakeClock::new(true);
            let mut line = TimeLine::resume(clock, Box::new(computer), 785.25);
            let started = line.started();
            let arrived = line.watch.origin() + 2 * SECOND;
            // a gauge whose own clock began anew, or ran on
            for device_s in [3.0, 9_000.0] {
                let elapsed_s = line.of_reading(arrived, Some(device_s));
                assert!((elapsed_s - 787.25).abs() < 1e-9, "{elapsed_s}");
                assert_eq!(line.utc(elapsed_s), started + TimeDelta::seconds(2));
            }
        }
    }
}
