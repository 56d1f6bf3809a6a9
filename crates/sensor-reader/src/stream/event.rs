//! What a stream of a gauge tells, and how it is to be read.

use std::time::{Duration, Instant};

use crate::{
    SequenceBreak,
    sample::{Rejected, Sample},
};

/// How to read a gauge.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Options {
    /// Keep trying when the gauge cannot be reached at first, instead of failing.
    pub wait_for_gauge: bool,
    /// Report [`Event::Silent`] when no complete line came for this long. As
    /// long as the silence lasts it is checked in the same rhythm whether the
    /// device is still there; [`Event::Lost`] follows if it is not.
    pub silent_after: Duration,
    /// Over a network, open a new connection when not a byte came for this long:
    /// the other side may have lost its power without a word. Doubles with every
    /// attempt that brings nothing, up to eight times as long.
    pub renew_after: Duration,
    /// Pause before the first attempt to reconnect; doubles with every attempt.
    pub retry_first: Duration,
    /// Longest pause between attempts.
    pub retry_longest: Duration,
    /// Speed in bit/s to use instead of the dialect's.
    pub baud: Option<u32>,
}

impl Default for Options {
    /// Fail at once if there is no gauge; silent after 5 s; a network
    /// connection is made anew after 30 s without a byte; retry after 100 ms, then
    /// less and less often down to every 2 s; speed as the dialect says.
    fn default() -> Self {
        Self {
            wait_for_gauge: false,
            silent_after: Duration::from_secs(5),
            renew_after: Duration::from_secs(30),
            retry_first: Duration::from_millis(100),
            retry_longest: Duration::from_secs(2),
            baud: None,
        }
    }
}

/// Something that happened on the way from the gauge.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Event {
    /// The port is open. Comes first, and again after each [`Event::Lost`].
    Connected {
        /// When.
        at: Instant,
        /// Where to.
        address: String,
        /// 1 for the first connection, then 2, 3, ...
        connection: u32,
    },
    /// The gauge spoke.
    Reading {
        /// When the end of the line was read from the port, on the monotonic
        /// clock of this computer. It does not depend on when the event is
        /// taken out of the stream.
        arrived: Instant,
        /// What it said.
        sample: Sample,
    },
    /// A line came that gives no reading.
    Rejected {
        /// When.
        arrived: Instant,
        /// The line and the reason.
        rejected: Rejected,
    },
    /// The gauge said that it has no new value yet. It is there, but gives no
    /// reading.
    Busy {
        /// When.
        arrived: Instant,
    },
    /// The gauge's own count of its lines does not go on by one. Comes ahead of
    /// the reading that shows it. The count is followed within one connection:
    /// what was sent while there was none is not counted.
    Sequence {
        /// When.
        arrived: Instant,
        /// What the count says.
        broken: SequenceBreak,
    },
    /// The connection ended. The stream reconnects by itself: what the gauge
    /// says until the next [`Event::Connected`] is missing, and the record owes
    /// a gap.
    Lost {
        /// When.
        at: Instant,
        /// Why, for a person.
        why: String,
    },
    /// Connected, but no complete line for [`Options::silent_after`]. Once per silence.
    Silent {
        /// Since when.
        since: Instant,
    },
    /// The port was not read for a while: the program was stopped and went on, or the
    /// computer had too much to do. What the gauge said meanwhile waited in the port,
    /// as far as there was room; when it said it nobody knows. The record owes a gap.
    ///
    /// Readings that carry the gauge's own time, where that counts, keep it.
    Paused {
        /// The last moment before at which the port was read.
        since: Instant,
        /// When it was read again.
        until: Instant,
        /// What waited in the port with the gauge's own time, in order.
        timed: Vec<Sample>,
        /// What waited in the port and has no time.
        waited: Vec<Sample>,
    },
    /// Not connected, and an attempt failed for a reason not yet told. The
    /// attempts go on.
    Waiting {
        /// When.
        at: Instant,
        /// Why, for a person.
        why: String,
    },
    /// The end of a recorded capture; nothing follows.
    Ended,
}
