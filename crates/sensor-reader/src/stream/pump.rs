//! The reading thread: from an open link to events.

use std::{
    io::ErrorKind,
    sync::Arc,
    time::{Duration, Instant},
};

use tokio::{
    io::AsyncReadExt,
    sync::{mpsc, oneshot},
};

use super::{Event, Options};
use crate::{
    Decoded, Decoder, Dialect,
    transport::{Link, Transport, TransportError},
};

/// One read takes at most this much.
const CHUNK_BYTES: usize = 16 * 1024;

/// The consumer has gone.
struct Closed;

/// Body of the reading thread.
pub(super) fn run(
    transport: Arc<dyn Transport>,
    dialect: Dialect,
    options: Options,
    events: mpsc::Sender<Event>,
    ready: oneshot::Sender<Result<(), TransportError>>,
) {
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build();
    let runtime = match runtime {
        Ok(runtime) => runtime,
        Err(error) => {
            // nobody waits any more if this fails
            let _ = ready.send(Err(TransportError::Start {
                address: transport.address(),
                cause: error.to_string(),
            }));
            return;
        }
    };
    let watch = events.clone();
    let mut pump = Pump {
        transport,
        dialect,
        options,
        events,
        connection: 0,
        pause: options.retry_first,
    };
    runtime.block_on(async {
        tokio::select! {
            () = watch.closed() => {}
            _ = pump.live(ready) => {}
        }
    });
    // a name look-up may still run; it must not delay the caller
    runtime.shutdown_background();
}

struct Pump {
    transport: Arc<dyn Transport>,
    dialect: Dialect,
    options: Options,
    events: mpsc::Sender<Event>,
    connection: u32,
    /// Pause before the next attempt to connect.
    pause: Duration,
}

impl Pump {
    async fn live(
        &mut self,
        ready: oneshot::Sender<Result<(), TransportError>>,
    ) -> Result<(), Closed> {
        let mut link = match self.transport.open().await {
            Ok(link) => {
                let _ = ready.send(Ok(()));
                link
            }
            Err(error) if self.options.wait_for_gauge => {
                let _ = ready.send(Ok(()));
                self.reopen(Some(error.to_string())).await?
            }
            Err(error) => {
                let _ = ready.send(Err(error));
                return Ok(());
            }
        };
        loop {
            self.connection = self.connection.saturating_add(1);
            self.tell(Event::Connected {
                at: Instant::now(),
                address: self.transport.address(),
                connection: self.connection,
            })
            .await?;
            let error = self.listen(link).await?;
            if !self.transport.reconnects() {
                if error.is_some() {
                    self.tell_lost(error).await?;
                }
                return self.tell(Event::Ended).await;
            }
            self.tell_lost(error).await?;
            link = self.reopen(None).await?;
        }
    }

    /// Tries until a connection stands; tells each new reason once.
    async fn reopen(&mut self, mut why: Option<String>) -> Result<Box<dyn Link>, Closed> {
        if let Some(why) = why.clone() {
            let at = Instant::now();
            self.tell(Event::Waiting { at, why }).await?;
        }
        loop {
            tokio::time::sleep(self.pause).await;
            self.pause = (self.pause * 2).min(self.options.retry_longest);
            match self.transport.open().await {
                Ok(link) => return Ok(link),
                Err(error) => {
                    let reason = error.to_string();
                    if why.as_ref() != Some(&reason) {
                        why = Some(reason.clone());
                        self.tell(Event::Waiting {
                            at: Instant::now(),
                            why: reason,
                        })
                        .await?;
                    }
                }
            }
        }
    }

    /// Reads one connection to its end; gives the error that ended it, if any.
    async fn listen(&mut self, mut link: Box<dyn Link>) -> Result<Option<std::io::Error>, Closed> {
        let mut hearing = Hearing::new(self.transport.starts_whole(), &self.dialect);
        let mut chunk = vec![0_u8; CHUNK_BYTES];
        let mut last_line = Instant::now();
        let mut silence_told = false;
        let ended_by = loop {
            let silence = tokio::time::sleep_until((last_line + self.options.silent_after).into());
            let read = tokio::select! {
                // bytes that are there come before the verdict of silence
                biased;
                read = link.read(&mut chunk) => read,
                () = silence, if !silence_told => {
                    silence_told = true;
                    self.tell(Event::Silent { since: last_line }).await?;
                    continue;
                }
            };
            let arrived = Instant::now();
            match read {
                Ok(0) => break None,
                Ok(n) => {
                    self.pause = self.options.retry_first;
                    let bytes = chunk.get(..n).unwrap_or_default();
                    if hearing.take(bytes, arrived, &self.events).await? {
                        last_line = arrived;
                        silence_told = false;
                    }
                }
                Err(error) if error.kind() == ErrorKind::Interrupted => {}
                Err(error) => break Some(error),
            }
        };
        hearing.finish(&self.events).await?;
        Ok(ended_by)
    }

    async fn tell_lost(&self, error: Option<std::io::Error>) -> Result<(), Closed> {
        self.tell(Event::Lost {
            at: Instant::now(),
            why: self.transport.explain_loss(error.as_ref()),
        })
        .await
    }

    async fn tell(&self, event: Event) -> Result<(), Closed> {
        self.events.send(event).await.map_err(|_| Closed)
    }
}

/// A decoder with arrival times.
struct Hearing {
    decoder: Decoder,
    decoded: Vec<Decoded>,
    /// When the first line arrived, while it is held back.
    held_since: Option<Instant>,
}

impl Hearing {
    fn new(starts_whole: bool, dialect: &Dialect) -> Self {
        let decoder = if starts_whole {
            Decoder::new(dialect)
        } else {
            Decoder::joining(dialect)
        };
        Self {
            decoder,
            decoded: Vec::new(),
            held_since: None,
        }
    }

    /// Decodes a chunk and passes it on; true if a line was completed.
    async fn take(
        &mut self,
        bytes: &[u8],
        arrived: Instant,
        events: &mpsc::Sender<Event>,
    ) -> Result<bool, Closed> {
        let lines_before = self.decoder.lines();
        self.decoder.push(bytes, &mut self.decoded);
        self.pass_on(arrived, events).await?;
        if self.decoder.is_holding() && self.held_since.is_none() {
            self.held_since = Some(arrived);
        }
        Ok(self.decoder.lines() > lines_before)
    }

    async fn finish(&mut self, events: &mpsc::Sender<Event>) -> Result<(), Closed> {
        self.decoder.finish(&mut self.decoded);
        self.pass_on(Instant::now(), events).await
    }

    async fn pass_on(
        &mut self,
        arrived: Instant,
        events: &mpsc::Sender<Event>,
    ) -> Result<(), Closed> {
        for decoded in self.decoded.drain(..) {
            // a line that was held back comes out first, with its own time
            let arrived = self.held_since.take().unwrap_or(arrived);
            let event = match decoded {
                Decoded::Sample(sample) => Event::Reading { arrived, sample },
                Decoded::Rejected(rejected) => Event::Rejected { arrived, rejected },
            };
            events.send(event).await.map_err(|_| Closed)?;
        }
        Ok(())
    }
}
