//! A gauge as a stream of events: opens, reads, notices silence and loss,
//! reconnects.

mod awake;
mod connection;
mod event;
mod pump;
mod registers;

use std::{sync::Arc, thread::JoinHandle};

use tokio::sync::{mpsc, oneshot};

pub use event::{Event, Options};

use crate::{
    Address, Dialect,
    transport::{Transport, TransportError, transport},
};

/// Events that may wait for a slow consumer before reading pauses: 16 s at
/// 1,000 readings/s. Reading then resumes where it paused; what the operating
/// system buffers meanwhile is not lost.
const BACKLOG: usize = 16_384;

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
