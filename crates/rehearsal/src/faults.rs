//! Trouble on the wire.

use std::time::{Duration, Instant};

/// Trouble on the wire, for tests.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Faults {
    /// Bytes that are no gauge line, sent before the first reading at or after
    /// these simulated times, s.
    pub garbage: Vec<(f64, Vec<u8>)>,
    /// Pulls the plug at these simulated times, s, for so long (real time). Needs
    /// a link path. What was sent before is delivered first. At [`Pace::Times`](crate::Pace::Times)
    /// the readings of the outage are lost, as they are on a bench; unlimited,
    /// simulated time stands still.
    pub unplug: Vec<(f64, Duration)>,
    /// Sends every line in two writes with a pause between.
    pub split_lines: bool,
}

/// Faults still to come, earliest last.
pub(crate) struct Pending {
    pub(crate) garbage: Vec<(f64, Vec<u8>)>,
    pub(crate) unplug: Vec<(f64, Duration)>,
    pub(crate) split_lines: bool,
    /// When the plug last came back.
    pub(crate) replugged: Option<Instant>,
}

impl Pending {
    pub(crate) fn new(faults: Faults) -> Self {
        let mut garbage = faults.garbage;
        let mut unplug = faults.unplug;
        garbage.sort_by(|a, b| b.0.total_cmp(&a.0));
        unplug.sort_by(|a, b| b.0.total_cmp(&a.0));
        Self {
            garbage,
            unplug,
            split_lines: faults.split_lines,
            replugged: None,
        }
    }
}
