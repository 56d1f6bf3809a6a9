//! The reading thread: from an open link to events.

use std::{
    io::ErrorKind,
    sync::Arc,
    time::{Duration, Instant},
};

use tokio::{
    io::{AsyncReadExt, AsyncWriteExt},
    sync::{mpsc, oneshot},
};

use super::{
    awake::Awake,
    connection::{Closed, Pump},
    event::{Event, Options},
    registers,
};
use crate::{
    Decoded, Decoder, Dialect,
    ask::Asker,
    dialect::Framing,
    sample::Sample,
    transport::{Link, Transport, TransportError},
};

/// One read takes at most this much.
const CHUNK_BYTES: usize = 16 * 1024;

/// After a pause, what comes without so long a break waited in the port.
const WAITED: Duration = Duration::from_millis(25);
/// A gauge that speaks without a break is not taken for one that waited for longer.
const WAITED_LONGEST: Duration = Duration::from_millis(200);

/// What a port still holds of earlier answers comes within this time.
const STALE: Duration = Duration::from_millis(30);
/// A query that cannot be sent within this time means a dead line.
const SEND_WITHIN: Duration = Duration::from_secs(2);

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
        renew_after: options.renew_after,
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
            let error = self.attend(link).await?;
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

    /// Reads one connection to its end, asking where the gauge must be asked;
    /// gives the error that ended it, if any.
    async fn attend(&mut self, mut link: Box<dyn Link>) -> Result<Option<std::io::Error>, Closed> {
        let dialect = self.dialect.clone();
        // a recording cannot be asked, but the answers in it can be read
        let answers = self.transport.reconnects();
        match (&dialect.shape().framing, &dialect.shape().ask) {
            (Framing::Registers(rule), _) => registers::attend(self, link, rule).await,
            (_, Some(ask)) if answers => {
                discard_stale(&mut link).await;
                let asker = Asker::new(ask, Instant::now());
                self.listen(link, Some(asker)).await
            }
            _ => self.listen(link, None).await,
        }
    }

    async fn listen(
        &mut self,
        mut link: Box<dyn Link>,
        mut asker: Option<Asker>,
    ) -> Result<Option<std::io::Error>, Closed> {
        // an answer begins at its beginning
        let whole = self.transport.starts_whole() || asker.is_some();
        let mut hearing = Hearing::new(whole, &self.dialect);
        let mut chunk = vec![0_u8; CHUNK_BYTES];
        let mut last_line = Instant::now();
        let mut last_byte = last_line;
        // when to look at the silence next, and whether it was told
        let mut look_at = last_line + self.options.silent_after;
        let mut silence_told = false;
        let mut awake = Awake::new();
        let ended_by = loop {
            let silence = tokio::time::sleep_until(look_at.into());
            let seen = tokio::select! {
                // bytes that are there come before the verdict of silence
                biased;
                read = link.read(&mut chunk) => Seen::Read(read),
                () = until_due(asker.as_ref()) => Seen::AskIsDue,
                () = silence => Seen::Silence,
                () = tokio::time::sleep_until(awake.due().into()) => Seen::Nothing,
            };
            // a capture waits for nobody
            if let Some(pause) = awake.look().filter(|_| self.transport.reconnects()) {
                let read = match seen {
                    Seen::Read(Ok(n @ 1..)) => chunk.get(..n).unwrap_or_default(),
                    Seen::Read(Ok(_)) => break None,
                    Seen::Read(Err(error)) => break Some(error),
                    _ => &[],
                };
                let mut waited = hearing.waited(read);
                let drained = drain(&mut link, &mut hearing, &mut waited).await;
                self.tell_pause(pause, waited).await?;
                // what the port had no room for is missing between these two
                hearing = Hearing::new(asker.is_some(), &self.dialect);
                awake = Awake::new();
                (last_byte, last_line) = (pause.until, pause.until);
                look_at = last_line + self.options.silent_after;
                match drained {
                    Ok(()) => continue,
                    Err(error) => break error,
                }
            }
            let read = match seen {
                Seen::Read(read) => read,
                Seen::Nothing => continue,
                Seen::AskIsDue => {
                    // what is left of an answer must not run into the next
                    hearing.finish(&self.events).await?;
                    match asker.as_mut().map(|a| a.query(Instant::now())) {
                        Some(query) => match send(&mut link, query).await {
                            Ok(()) => continue,
                            Err(error) => break Some(error),
                        },
                        None => continue,
                    }
                }
                Seen::Silence => {
                    if !silence_told {
                        silence_told = true;
                        self.tell(Event::Silent { since: last_line }).await?;
                    }
                    if self.transport.is_gone() {
                        break None;
                    }
                    if let Some(dead) = self.half_open_since(last_byte) {
                        break Some(dead);
                    }
                    look_at = self.next_look(last_byte);
                    continue;
                }
            };
            let arrived = Instant::now();
            match read {
                Ok(0) => break None,
                Ok(n) => {
                    self.answered();
                    last_byte = arrived;
                    let bytes = chunk.get(..n).unwrap_or_default();
                    if hearing.take(bytes, arrived, &self.events).await? {
                        last_line = arrived;
                        look_at = arrived + self.options.silent_after;
                        silence_told = false;
                    }
                    if let Some(go_on) = asker.as_mut().and_then(|a| a.heard(bytes))
                        && let Err(error) = send(&mut link, go_on).await
                    {
                        break Some(error);
                    }
                }
                Err(error) if error.kind() == ErrorKind::Interrupted => {}
                Err(error) => break Some(error),
            }
        };
        hearing.finish(&self.events).await?;
        Ok(ended_by)
    }
}

/// What the reading thread sees next.
enum Seen {
    Read(std::io::Result<usize>),
    AskIsDue,
    Silence,
    Nothing,
}

/// Reads what waited in the port while nobody read it. The error is what ended the
/// connection.
async fn drain(
    link: &mut Box<dyn Link>,
    hearing: &mut Hearing,
    waited: &mut Vec<Sample>,
) -> Result<(), Option<std::io::Error>> {
    let begun = Instant::now();
    let mut chunk = vec![0_u8; CHUNK_BYTES];
    while begun.elapsed() < WAITED_LONGEST {
        match tokio::time::timeout(WAITED, link.read(&mut chunk)).await {
            Err(_) => break,
            Ok(Ok(0)) => return Err(None),
            Ok(Ok(n)) => waited.extend(hearing.waited(chunk.get(..n).unwrap_or_default())),
            Ok(Err(error)) if error.kind() == ErrorKind::Interrupted => {}
            Ok(Err(error)) => return Err(Some(error)),
        }
    }
    Ok(())
}

/// Completes when the next query is due; never without queries.
async fn until_due(asker: Option<&Asker>) {
    match asker {
        Some(asker) => tokio::time::sleep_until(asker.due().into()).await,
        None => std::future::pending().await,
    }
}

/// Reads away what the gauge said before it was asked.
async fn discard_stale(link: &mut Box<dyn Link>) {
    let mut stale = [0_u8; 1024];
    let until = tokio::time::Instant::now() + STALE;
    // an end or an error shows itself again at the next read
    while let Ok(Ok(1..)) = tokio::time::timeout_at(until, link.read(&mut stale)).await {}
}

/// Sends a query whole.
async fn send(link: &mut Box<dyn Link>, query: &[u8]) -> std::io::Result<()> {
    let sending = async {
        link.write_all(query).await?;
        link.flush().await
    };
    match tokio::time::timeout(SEND_WITHIN, sending).await {
        Ok(sent) => sent,
        Err(_) => Err(std::io::Error::new(
            ErrorKind::TimedOut,
            "the gauge could not be asked: the port takes no bytes (is flow control right?)",
        )),
    }
}

/// A decoder with arrival times.
struct Hearing {
    decoder: Decoder,
    decoded: Vec<Decoded>,
    /// When the first line arrived, while it is held back.
    held_since: Option<Instant>,
    /// The channel whose silence counts, where there are several.
    judged: Option<String>,
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
            judged: dialect.channel().map(str::to_owned),
        }
    }

    /// Lines of other channels are no sign of life from the judged one.
    fn is_sign_of_life(&self, decoded: &Decoded) -> bool {
        match decoded {
            Decoded::Sample(sample) => sample.channel.as_deref() == self.judged.as_deref(),
            Decoded::Rejected(_) | Decoded::Busy { .. } => true,
            // comes with the line it was noticed at
            Decoded::Sequence(_) => false,
        }
    }

    /// Decodes a chunk and passes it on; true if a line was completed.
    async fn take(
        &mut self,
        bytes: &[u8],
        arrived: Instant,
        events: &mpsc::Sender<Event>,
    ) -> Result<bool, Closed> {
        self.decoder.push(bytes, &mut self.decoded);
        let mut spoke = self.decoded.iter().any(|d| self.is_sign_of_life(d));
        self.pass_on(arrived, events).await?;
        if self.decoder.is_holding() && self.held_since.is_none() {
            self.held_since = Some(arrived);
            spoke = true;
        }
        Ok(spoke)
    }

    /// The readings in bytes that waited in the port for an unknown time. Lines without
    /// a reading say nothing that would be missed.
    fn waited(&mut self, bytes: &[u8]) -> Vec<Sample> {
        self.decoder.push(bytes, &mut self.decoded);
        let samples = self.decoded.drain(..).filter_map(|decoded| match decoded {
            Decoded::Sample(sample) => Some(sample),
            _ => None,
        });
        samples.collect()
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
                Decoded::Busy { .. } => Event::Busy { arrived },
                Decoded::Sequence(broken) => Event::Sequence { arrived, broken },
            };
            events.send(event).await.map_err(|_| Closed)?;
        }
        Ok(())
    }
}
