//! One time line for a run: seconds since the start, never backwards.

use std::time::Instant;

use chrono::{DateTime, TimeDelta, Utc};
use sensor_reader::Clock;

/// Turns arrival times or a gauge's own clock into elapsed time.
#[derive(Debug)]
pub(crate) struct TimeLine {
    clock: Clock,
    started: DateTime<Utc>,
    origin: Instant,
    /// Elapsed time at `origin`, s.
    before_s: f64,
    /// Device time minus elapsed time, s; known from the first reading on.
    device_offset_s: Option<f64>,
    last: (f64, Instant),
}

/// A jump of the gauge's clock by more than this is a reset, s.
const DEVICE_JUMP_S: f64 = 3_600.0;

impl TimeLine {
    pub(crate) fn start(clock: Clock) -> Self {
        let origin = Instant::now();
        Self {
            clock,
            started: Utc::now(),
            origin,
            before_s: 0.0,
            device_offset_s: None,
            last: (0.0, origin),
        }
    }

    /// Goes on with a run that stands at `elapsed_s` now.
    pub(crate) fn resume(clock: Clock, now: DateTime<Utc>, elapsed_s: f64) -> Self {
        let line = Self::start(clock);
        Self {
            started: now - TimeDelta::milliseconds((elapsed_s * 1000.0).round() as i64),
            before_s: elapsed_s,
            last: (elapsed_s, line.origin),
            ..line
        }
    }

    /// When the run started.
    pub(crate) fn started(&self) -> DateTime<Utc> {
        self.started
    }

    /// Elapsed time of a reading, s.
    pub(crate) fn of_reading(&mut self, arrived: Instant, device_s: Option<f64>) -> f64 {
        let elapsed_s = match (self.clock, device_s) {
            (Clock::Device, Some(device_s)) => self.of_device(arrived, device_s),
            _ => self.of_host(arrived),
        };
        self.advance(elapsed_s, arrived)
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
    /// decides, the wall clock only says when the run started.
    pub(crate) fn utc(&self, elapsed_s: f64) -> DateTime<Utc> {
        let milliseconds = (elapsed_s * 1000.0).round() as i64;
        self.started + TimeDelta::milliseconds(milliseconds)
    }

    fn of_host(&self, at: Instant) -> f64 {
        self.before_s + at.saturating_duration_since(self.origin).as_secs_f64()
    }

    fn since_last(&self, at: Instant) -> f64 {
        self.last.0 + at.saturating_duration_since(self.last.1).as_secs_f64()
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
        self.last = (elapsed_s, at);
        elapsed_s
    }
}

#[cfg(test)]
mod tests {
    use std::time::Duration;

    use super::*;

    #[test]
    fn a_resumed_run_goes_on_where_the_computers_clock_says() {
        for clock in [Clock::Host, Clock::Device] {
            let now = Utc::now();
            let mut line = TimeLine::resume(clock, now, 785.25);
            let arrived = line.origin + Duration::from_secs(2);
            // a gauge whose own clock began anew, or ran on
            for device_s in [3.0, 9_000.0] {
                let elapsed_s = line.of_reading(arrived, Some(device_s));
                assert!((elapsed_s - 787.25).abs() < 1e-9, "{elapsed_s}");
                assert_eq!(line.utc(elapsed_s), now + TimeDelta::seconds(2));
            }
        }
    }
}
