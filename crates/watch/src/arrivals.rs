//! How often a gauge is heard.

use std::{
    collections::VecDeque,
    time::{Duration, Instant},
};

/// Readings a second are counted over so long.
const RATE_OVER: Duration = Duration::from_secs(10);
/// Arrivals remembered for that.
const RATE_MOST: usize = 256;

/// When the last readings came.
#[derive(Debug, Clone, Default)]
pub(crate) struct Arrivals(VecDeque<Instant>);

impl Arrivals {
    /// A reading came.
    pub(crate) fn push(&mut self, at: Instant) {
        if self.0.len() >= RATE_MOST {
            self.0.pop_front();
        }
        self.0.push_back(at);
    }

    /// When the newest came.
    pub(crate) fn newest(&self) -> Option<Instant> {
        self.0.back().copied()
    }

    /// Readings a second lately.
    pub(crate) fn per_s(&self, now: Instant) -> f64 {
        let age = |at: &Instant| now.saturating_duration_since(*at);
        let from = self.0.partition_point(|at| age(at) > RATE_OVER);
        let count = self.0.len() - from;
        let span = self.0.get(from).map_or(0.0, |at| age(at).as_secs_f64());
        // what was forgotten leaves a shorter stretch, not a slower gauge
        match count {
            0 | 1 => 0.0,
            _ => count as f64 / span.max(0.2),
        }
    }
}
