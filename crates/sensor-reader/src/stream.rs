//! A gauge as a stream of events: opens, reads, notices silence and loss,
//! reconnects.

mod awake;
mod pump;
mod registers;

use std::{
    sync::Arc,
    thread::JoinHandle,
    time::{Duration, Instant},
};

use tokio::sync::{mpsc, oneshot};

use crate::{
    Address, Dialect, SequenceBreak,
    sample::{Rejected, Sample},
    transport::{Transport, TransportError, transport},
};

/// Events that may wait for a slow consumer before reading pauses: 16 s at
/// 1,000 readings/s. Reading then resumes where it paused; what the operating
/// system buffers meanwhile is not lost.
const BACKLOG: usize = 16_384;

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

/// A running connection to a gauge.
///
/// A gauge that speaks only when asked is asked at the pace of its dialect, with
/// nothing but the dialect's query; see [`Dialect::asks`].
///
/// The port is read on a thread of its own, so that arrival times stay right
/// and nothing is lost while the caller writes to a slow disk. Dropping the
/// stream stops that thread and releases the port before `drop` returns.
///
/// ```no_run
/// # async fn demo() -> Result<(), Box<dyn std::error::Error>> {
/// use sensor_reader::{Address, Dialect, Event, GaugeStream, Options};
/// let address = Address::parse("/dev/ttyUSB0")?;
/// let dialect = Dialect::load("number-unit-line")?;
/// let mut gauge = GaugeStream::open(&address, &dialect, Options::default()).await?;
/// while let Some(event) = gauge.next().await {
///     if let Event::Reading { sample, .. } = event {
///         println!("{:?}", sample.sensed);
///     }
/// }
/// # Ok(())
/// # }
/// ```
#[derive(Debug)]
pub struct GaugeStream {
    events: mpsc::Receiver<Event>,
    thread: Option<JoinHandle<()>>,
}

impl GaugeStream {
    /// Opens the gauge at `address` and begins to read.
    ///
    /// # Errors
    /// [`TransportError`] when the first attempt fails, unless
    /// [`Options::wait_for_gauge`] is set.
    pub async fn open(
        address: &Address,
        dialect: &Dialect,
        options: Options,
    ) -> Result<Self, TransportError> {
        let mut port = dialect.port();
        if let Some(baud) = options.baud {
            port.baud = baud;
        }
        Self::over(transport(address, port), dialect, options).await
    }

    /// As [`GaugeStream::open`], over a transport of the caller's own.
    ///
    /// # Errors
    /// As [`GaugeStream::open`].
    pub async fn over(
        transport: Arc<dyn Transport>,
        dialect: &Dialect,
        options: Options,
    ) -> Result<Self, TransportError> {
        if dialect.is_modbus() && !transport.reconnects() {
            return Err(TransportError::CannotBeAsked {
                address: transport.address(),
            });
        }
        let (sender, events) = mpsc::channel(BACKLOG);
        let (ready, opened) = oneshot::channel();
        let address = transport.address();
        let dialect = dialect.clone();
        let thread = std::thread::Builder::new()
            .name("gauge".into())
            .spawn(move || pump::run(transport, dialect, options, sender, ready))
            .map_err(|error| TransportError::Start {
                address: address.clone(),
                cause: error.to_string(),
            })?;
        let stream = Self {
            events,
            thread: Some(thread),
        };
        match opened.await {
            Ok(Ok(())) => Ok(stream),
            Ok(Err(error)) => Err(error),
            Err(_) => Err(TransportError::Start {
                address,
                cause: "the reading thread stopped".into(),
            }),
        }
    }

    /// The next event; `None` after [`Event::Ended`].
    ///
    /// Cancel-safe: an event is either returned or stays in the stream.
    pub async fn next(&mut self) -> Option<Event> {
        self.events.recv().await
    }

    /// Waits for at least one event, then appends all that are there, at most
    /// `limit`, to `out`; returns how many. 0 after [`Event::Ended`].
    ///
    /// Cancel-safe like [`GaugeStream::next`].
    pub async fn next_batch(&mut self, out: &mut Vec<Event>, limit: usize) -> usize {
        self.events.recv_many(out, limit).await
    }
}

impl Drop for GaugeStream {
    fn drop(&mut self) {
        self.events.close();
        if let Some(thread) = self.thread.take() {
            // a panic over there has been reported by its own hook
            let _ = thread.join();
        }
    }
}
