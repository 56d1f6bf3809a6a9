//! A gauge that speaks only when asked, and what is sent to it.
//!
//! Input: which of the dialects that ask, how the answers are cut, whether they
//! are dressed as right Modbus frames, then what the gauge says.
//!
//! Promises: whatever it answers, the gauge is sent nothing but the query of its
//! dialect, the second step when it was confirmed, or a Modbus request to read;
//! every reading is physical; a register whose state is not ok never gives a
//! measurement; and the connection ends when the gauge goes.

use std::{
    io,
    pin::Pin,
    sync::{Arc, LazyLock, Mutex, PoisonError},
    task::{Context, Poll, Waker},
};

use sensor_reader::{
    Dialect, Event, GaugeStream, Options, TransportError,
    transport::{Link, Opening, Transport},
};
use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use vacuum::Sensed;

use super::{
    choices::{Choices, pieces},
    dialects::{ALL, assert_rejected, assert_sample, chosen},
    sums::crc_modbus,
};

/// Longest answer.
const MOST_BYTES: usize = 600;

/// The dialects that ask, as often as they may.
static ASKING: LazyLock<Vec<Dialect>> = LazyLock::new(|| {
    let asking = ALL.iter().filter(|d| d.asks());
    asking.map(|d| hurried(d.source())).collect()
});

/// The dialect with the shortest period that it may have.
fn hurried(source: &str) -> Dialect {
    let lines = source.lines().map(|line| match line.split_once('=') {
        Some((key, _)) if key.trim() == "every_ms" => "every_ms = 20",
        _ => line,
    });
    let text = lines.collect::<Vec<_>>().join("\n");
    Dialect::from_toml(&text, "hurried.toml").unwrap_or_else(|e| panic!("{e}"))
}

/// Checks one input.
pub fn check(data: &[u8]) {
    let mut choices = Choices::new(data);
    let (which, seed, how) = (choices.byte(), choices.byte(), choices.byte());
    let Some(dialect) = chosen(which, ASKING.iter()) else {
        return;
    };
    let answer = match (dialect.is_modbus(), how & 1) {
        (true, 1) => dressed(dialect, &mut choices),
        _ => Answer::plain(choices.take(MOST_BYTES)),
    };
    let script = Script {
        chunks: pieces(&answer.bytes, seed).map(<[u8]>::to_vec).collect(),
        // some wait for the second step
        waits_at: (how & 2 != 0).then_some(usize::from(how >> 4)),
    };
    let talk = Arc::new(Mutex::new(Talk::new(script)));
    let events = listen(dialect, Arc::clone(&talk));
    assert_events(&events, answer.is_ok);
    let talk = talk.lock().unwrap_or_else(PoisonError::into_inner);
    if dialect.is_modbus() {
        assert_only_reads(dialect, &talk.sent);
    } else {
        assert_only_queries(dialect, &talk);
    }
}

fn assert_events(events: &[Event], is_ok: bool) {
    for event in events {
        match event {
            Event::Reading { sample, .. } => {
                assert_sample(sample);
                let measured = matches!(sample.sensed, Sensed::Measured(_));
                assert!(is_ok || !measured, "not all is well, but {sample:?}");
            }
            Event::Rejected { rejected, .. } => assert_rejected(rejected),
            _ => {}
        }
    }
}

/// What the gauge says.
struct Answer {
    bytes: Vec<u8>,
    is_ok: bool,
}

impl Answer {
    fn plain(bytes: &[u8]) -> Self {
        Self {
            bytes: bytes.to_vec(),
            is_ok: true,
        }
    }
}

/// Registers in a frame that is right but for what they hold.
fn dressed(dialect: &Dialect, choices: &mut Choices<'_>) -> Answer {
    let tcp = dialect.name() == "modbus-scaled-registers";
    let transmitter = dialect.name() == "modbus-transmitter-registers";
    let (device, function, most, state_at) = match (tcp, transmitter) {
        (true, _) => (1, 4, 6, 4),
        (_, true) => (9, 4, 8, 6),
        _ => (5, 3, 8, 4),
    };
    let short = choices.byte();
    let mut block = choices.take(most).to_vec();
    if short != 0 {
        // as many registers as were asked for, as an honest device answers
        block.resize(most, 0);
    }
    let state = block.get(state_at..state_at + 2).unwrap_or_default();
    let is_ok = match *state {
        [high, low] if tcp || transmitter => [high, low] == [0, 0],
        [high, low] => high == 0 && low & 3 == 0,
        _ => false,
    };
    let mut body = vec![device, function, block.len() as u8];
    body.append(&mut block);
    let bytes = if tcp {
        // the first transaction of a connection is number 0
        let length = body.len() as u8;
        [vec![0, 0, 0, 0, 0, length], body].concat()
    } else {
        let check = crc_modbus(&body);
        body.extend(check.to_le_bytes());
        body
    };
    Answer { bytes, is_ok }
}

/// Everything that was heard until the gauge went.
fn listen(dialect: &Dialect, talk: Arc<Mutex<Talk>>) -> Vec<Event> {
    let runtime = tokio::runtime::Builder::new_current_thread().build();
    let runtime = runtime.unwrap_or_else(|e| panic!("no runtime: {e}"));
    runtime.block_on(async {
        let wire = Arc::new(Wire(talk));
        let stream = GaugeStream::over(wire, dialect, Options::default()).await;
        let mut stream = stream.unwrap_or_else(|e| panic!("{e}"));
        let mut events = Vec::new();
        while let Some(event) = stream.next().await {
            let ends = matches!(event, Event::Lost { .. } | Event::Ended);
            // a device is asked again only after its period: one answer is enough
            let answered = matches!(event, Event::Reading { .. } | Event::Rejected { .. });
            events.push(event);
            if ends || (answered && dialect.is_modbus()) {
                break;
            }
        }
        events
    })
}

/// Nothing but requests to read the registers of the dialect.
fn assert_only_reads(dialect: &Dialect, sent: &[u8]) {
    let shown = sent.escape_ascii();
    if dialect.name() == "modbus-scaled-registers" {
        for request in sent.chunks(12) {
            let read = [0, 0, 0, 6, 1, 4, 0, 0, 0, 3];
            assert_eq!(request.get(2..), Some(&read[..]), "sent {shown}");
        }
    } else {
        let read = match dialect.name() {
            "modbus-transmitter-registers" => [9, 4, 1, 0, 0, 4, 0xF1, 0x7D],
            _ => [5, 3, 0, 100, 0, 4, 0x04, 0x52],
        };
        for request in sent.chunks(8) {
            assert_eq!(request, read, "sent {shown}");
        }
    }
}

/// Nothing but queries, and the second step at most once behind each, where the
/// gauge has confirmed it.
fn assert_only_queries(dialect: &Dialect, talk: &Talk) {
    let query = dialect.query().unwrap_or_else(|| panic!("no query"));
    let two_steps = dialect.name() == "polled-confirmed-line";
    let mut may_go_on = false;
    let mut rest = talk.sent.as_slice();
    let mut second_steps = 0;
    while !rest.is_empty() {
        if let Some(behind) = rest.strip_prefix(query) {
            may_go_on = two_steps;
            rest = behind;
        } else if let (true, Some(behind)) = (may_go_on, rest.strip_prefix(b"\x05")) {
            may_go_on = false;
            second_steps += 1;
            rest = behind;
        } else {
            panic!("sent {}", talk.sent.escape_ascii());
        }
    }
    let confirmed = talk.said.windows(3).filter(|w| w == b"\x06\r\n").count();
    assert!(
        second_steps <= confirmed,
        "{second_steps} second steps, {confirmed} confirmations"
    );
}

/// What the gauge will say.
struct Script {
    chunks: Vec<Vec<u8>>,
    /// Chunk before which it waits to be told to go on.
    waits_at: Option<usize>,
}

/// A connection as the gauge sees it.
struct Talk {
    script: Script,
    next: usize,
    /// The first look at the port finds nothing: what is old is not our matter.
    looked: bool,
    sent: Vec<u8>,
    said: Vec<u8>,
    writes: usize,
    reader: Option<Waker>,
}

impl Talk {
    fn new(script: Script) -> Self {
        Self {
            script,
            next: 0,
            looked: false,
            sent: Vec::new(),
            said: Vec::new(),
            writes: 0,
            reader: None,
        }
    }

    /// A gauge that speaks only when asked, and once more where it waits.
    fn may_speak(&self) -> bool {
        let waits = self.script.waits_at.is_some_and(|at| self.next >= at);
        self.writes > usize::from(waits)
    }
}

/// The near end.
struct End(Arc<Mutex<Talk>>);

impl AsyncRead for End {
    fn poll_read(
        self: Pin<&mut Self>,
        context: &mut Context<'_>,
        buffer: &mut ReadBuf<'_>,
    ) -> Poll<io::Result<()>> {
        let mut talk = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if !std::mem::replace(&mut talk.looked, true) {
            return Poll::Ready(Err(io::ErrorKind::Interrupted.into()));
        }
        if !talk.may_speak() {
            talk.reader = Some(context.waker().clone());
            return Poll::Pending;
        }
        // behind the last chunk the gauge is pulled
        if let Some(chunk) = talk.script.chunks.get(talk.next).cloned() {
            let taken = chunk.len().min(buffer.remaining());
            buffer.put_slice(&chunk[..taken]);
            talk.said.extend_from_slice(&chunk[..taken]);
            talk.next += 1;
        }
        Poll::Ready(Ok(()))
    }
}

impl AsyncWrite for End {
    fn poll_write(
        self: Pin<&mut Self>,
        _: &mut Context<'_>,
        bytes: &[u8],
    ) -> Poll<io::Result<usize>> {
        let mut talk = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        talk.sent.extend_from_slice(bytes);
        talk.writes += 1;
        if let Some(reader) = talk.reader.take() {
            reader.wake();
        }
        Poll::Ready(Ok(bytes.len()))
    }

    fn poll_flush(self: Pin<&mut Self>, _: &mut Context<'_>) -> Poll<io::Result<()>> {
        Poll::Ready(Ok(()))
    }

    fn poll_shutdown(self: Pin<&mut Self>, _: &mut Context<'_>) -> Poll<io::Result<()>> {
        Poll::Ready(Ok(()))
    }
}

/// A way to the gauge that works once.
struct Wire(Arc<Mutex<Talk>>);

impl Transport for Wire {
    fn address(&self) -> String {
        "wire".into()
    }

    fn open(&self) -> Opening {
        let end = End(Arc::clone(&self.0));
        Box::pin(async move { Ok::<Box<dyn Link>, TransportError>(Box::new(end)) })
    }
}
