use std::{path::Path, sync::Arc, time::Duration};

use tokio::{
    io::AsyncReadExt,
    time::{Instant, timeout_at},
};

use super::{Conclusion, Hearing, Recogniser};
use crate::{
    Parity, PortSettings,
    transport::{SerialTransport, Transport, TransportError},
};

/// Speeds to try, the most common first, bit/s.
pub const COMMON_BAUDS: [u32; 7] = [9600, 115_200, 19_200, 38_400, 57_600, 4800, 2400];

/// How long to listen at one speed.
const LISTEN: Duration = Duration::from_secs(2);
/// The same when the speeds are gone through again with a parity bit.
const LISTEN_PARITY: Duration = Duration::from_secs(1);
/// How long to listen altogether where what comes is understood but too little
/// yet.
const LISTEN_ON: Duration = Duration::from_millis(5_500);
/// So often such a stretch is listened to at once; other promising settings are
/// gone back to later.
const AT_ONCE: usize = 2;
/// How many settings are gone back to without a parity bit, and with one.
const GO_BACK: [usize; 2] = [2, 1];
/// Opening a port and letting it settle, at most.
const OPENING: Duration = Duration::from_millis(40);

/// The longest [`try_port`] listens with so many speeds to try.
#[must_use]
pub fn longest(speeds: usize) -> Duration {
    let speeds = u32::try_from(speeds).unwrap_or(u32::MAX);
    let parities = PARITIES.len() as u32 - 1;
    let back = GO_BACK.iter().sum::<usize>() as u32;
    let trials = speeds.saturating_mul(1 + parities) + back + parities;
    LISTEN.saturating_mul(speeds)
        + (LISTEN_ON - LISTEN_PARITY) * AT_ONCE as u32
        + LISTEN_PARITY.saturating_mul(parities.saturating_mul(speeds))
        + LISTEN_ON * back
        // the other parities of a doubtful one
        + LISTEN * parities
        + OPENING.saturating_mul(trials)
}

/// What comes within this time of opening may have been received at the speed
/// tried before, and is not believed.
const STALE: Duration = Duration::from_millis(30);

/// Parity bits to try behind eight data bits, the most common first.
const PARITIES: [Parity; 3] = [Parity::None, Parity::Even, Parity::Odd];
/// Share of the bytes that must be explained before other settings of the same
/// speed are not looked at any more.
const CLEAR_SHARE: f64 = 0.9;
/// So many bytes without anything understood are a wrong speed.
const BYTES_OF_NOTHING: u64 = 800;
/// So many bytes are enough, whatever they are.
const BYTES_ENOUGH: u64 = 6000;

/// What was heard at one speed.
#[derive(Debug, Clone)]
pub struct Trial {
    /// How the port was set to hear it. Data bits and parity are those that fit
    /// what was heard.
    pub port: PortSettings,
    /// What was heard.
    pub hearing: Hearing,
}

/// What was heard on a port.
#[derive(Debug, Clone)]
pub struct PortHearing {
    /// One entry per speed tried, in the order tried.
    pub trials: Vec<Trial>,
    best: usize,
}

impl PortHearing {
    /// The trial that understood most; `None` if no speed was tried.
    #[must_use]
    pub fn best(&self) -> Option<&Trial> {
        self.trials.get(self.best)
    }
}

/// Listens on a serial port at each speed in turn for about two seconds, a few
/// seconds longer where that is too little to tell, and stops at the first speed
/// at which a dialect is recognised. Then it goes back to the most promising
/// ones. If bytes come and no speed will do, the speeds are gone through again
/// with eight bits and a parity bit. Sends nothing, and takes no longer than
/// [`longest`]. `tell` is given each trial as soon as it is over.
///
/// # Errors
/// [`TransportError`] when the port cannot be opened or is pulled meanwhile.
pub async fn try_port(
    path: &Path,
    bauds: &[u32],
    tell: impl FnMut(&Trial),
) -> Result<PortHearing, TransportError> {
    try_with(
        |port| Arc::new(SerialTransport::new(path, port)) as Arc<dyn Transport>,
        bauds,
        tell,
    )
    .await
}

/// Listens on a transport that has nothing to set, for some seconds: a network connection,
/// or a capture to its end. Sends nothing.
///
/// # Errors
/// [`TransportError`] when it cannot be opened, or a connection ends meanwhile.
pub async fn hear_stream(transport: Arc<dyn Transport>) -> Result<Hearing, TransportError> {
    listen(transport, LISTEN_ON, &mut 0).await
}

/// As [`try_port`], over any transport that can be set like a serial port:
/// `at` gives the transport for the settings to try.
///
/// # Errors
/// As [`try_port`].
pub async fn try_with(
    at: impl Fn(PortSettings) -> Arc<dyn Transport>,
    bauds: &[u32],
    tell: impl FnMut(&Trial),
) -> Result<PortHearing, TransportError> {
    let mut search = Search {
        at,
        tell,
        trials: Vec::new(),
        tried: Vec::new(),
        at_once: AT_ONCE,
    };
    search.run(bauds).await?;
    let trials = search.trials;
    let best = (0..trials.len())
        .rev()
        .max_by_key(|i| merit(&trials[*i].hearing))
        .unwrap_or(0);
    Ok(PortHearing { trials, best })
}

/// A search for speed and dialect.
struct Search<A, T> {
    at: A,
    tell: T,
    trials: Vec<Trial>,
    /// How the port was set for each trial.
    tried: Vec<(u32, Parity)>,
    /// So often a promising speed may still be listened to for longer at once.
    at_once: usize,
}

impl<A: Fn(PortSettings) -> Arc<dyn Transport>, T: FnMut(&Trial)> Search<A, T> {
    async fn run(&mut self, bauds: &[u32]) -> Result<(), TransportError> {
        // 7 bits and parity are as long as 8 bits without, and are told afterwards
        for &baud in bauds {
            if self.settled(baud, Parity::None, LISTEN).await? {
                return Ok(());
            }
        }
        let heard = self.trials.iter().any(|t| t.hearing.bytes > 0);
        if !heard || self.go_back(0, GO_BACK[0]).await? {
            return Ok(());
        }
        let from = self.trials.len();
        for parity in PARITIES.into_iter().filter(|p| *p != Parity::None) {
            for &baud in bauds {
                if self.settled(baud, parity, LISTEN_PARITY).await? {
                    return Ok(());
                }
            }
        }
        self.go_back(from, GO_BACK[1]).await.map(|_| ())
    }

    /// Listens for longer at the most promising settings tried since `from`;
    /// true if that settles it.
    async fn go_back(&mut self, from: usize, most: usize) -> Result<bool, TransportError> {
        let mut promising: Vec<usize> = (from..self.trials.len())
            .filter(|i| is_promising(&self.trials[*i].hearing))
            .collect();
        promising.sort_by_key(|i| std::cmp::Reverse(merit(&self.trials[*i].hearing)));
        for i in promising.into_iter().take(most) {
            let (baud, parity) = self.tried[i];
            if self.settled(baud, parity, LISTEN_ON).await? {
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// Listens with these settings; true if nothing else need be tried.
    async fn settled(
        &mut self,
        baud: u32,
        parity: Parity,
        patience: Duration,
    ) -> Result<bool, TransportError> {
        let verdict = self.listen(baud, parity, patience).await?;
        if verdict == Verdict::Doubted {
            // half of it may get through with a parity bit that is wrong
            for other in PARITIES.into_iter().filter(|p| *p != parity) {
                self.listen(baud, other, LISTEN).await?;
            }
        }
        Ok(verdict != Verdict::Open)
    }

    async fn listen(
        &mut self,
        baud: u32,
        parity: Parity,
        patience: Duration,
    ) -> Result<Verdict, TransportError> {
        let port = PortSettings {
            baud,
            parity,
            ..PortSettings::default()
        };
        let hearing = listen((self.at)(port), patience, &mut self.at_once).await?;
        let verdict = verdict(&hearing);
        let seven = hearing.data_bits == 7;
        let trial = Trial {
            port: PortSettings {
                data_bits: hearing.data_bits,
                parity: if seven { hearing.parity } else { parity },
                ..port
            },
            hearing,
        };
        (self.tell)(&trial);
        self.trials.push(trial);
        self.tried.push((baud, parity));
        Ok(verdict)
    }
}

fn explained(hearing: &Hearing) -> f64 {
    hearing
        .candidates
        .first()
        .map_or(0.0, |c| c.explained_share)
}

/// Something there may be recognised if it is listened to for longer.
fn is_promising(hearing: &Hearing) -> bool {
    matches!(hearing.conclusion, Conclusion::Unsure { .. })
        || (hearing.bytes > 0 && hearing.candidates.is_empty() && hearing.printable_share > 0.9)
}

/// What one trial says about going on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Verdict {
    /// Recognised, and nearly everything is understood.
    Clear,
    /// Recognised, but a good part is not understood.
    Doubted,
    /// Not recognised.
    Open,
}

fn verdict(hearing: &Hearing) -> Verdict {
    match hearing.conclusion {
        Conclusion::Recognised if explained(hearing) >= CLEAR_SHARE => Verdict::Clear,
        Conclusion::Recognised => Verdict::Doubted,
        _ => Verdict::Open,
    }
}

/// What makes one trial better than another: lines understood, weighed by their
/// share, then readable text.
fn merit(hearing: &Hearing) -> (u8, u64, u64) {
    let rank = match hearing.conclusion {
        Conclusion::Recognised => 3,
        Conclusion::Unsure { .. } => 2,
        Conclusion::NotUnderstood { .. } => 1,
        Conclusion::Silence => 0,
    };
    let share = explained(hearing);
    let thousandths = |x: f64| (x * 1000.0) as u64;
    (
        rank,
        thousandths(share),
        thousandths(hearing.printable_share),
    )
}

/// Listens once. Where all that comes is understood but too little yet, goes on
/// at once as long as `at_once` allows.
async fn listen(
    transport: Arc<dyn Transport>,
    patience: Duration,
    at_once: &mut usize,
) -> Result<Hearing, TransportError> {
    let mut link = transport.open().await?;
    let mut stale = [0_u8; 4096];
    let fresh_from = Instant::now() + STALE;
    if !transport.starts_whole() {
        // an end or an error shows again below
        while let Ok(Ok(1..)) = timeout_at(fresh_from, link.read(&mut stale)).await {}
    }
    let mut recogniser = Recogniser::new();
    let mut chunk = [0_u8; 4096];
    let start = Instant::now();
    let mut until = start + patience;
    loop {
        match timeout_at(until, link.read(&mut chunk)).await {
            Ok(Ok(n)) if n > 0 => {
                recogniser.push(chunk.get(..n).unwrap_or_default());
                let hearing = recogniser.hearing();
                // a few lines more than needed, so that a rival can show itself
                let recognised = hearing.conclusion == Conclusion::Recognised;
                let understood = hearing.candidates.first().map_or(0, |c| c.understood);
                let clear = (recognised && understood >= 8)
                    || (understood == 0 && hearing.bytes >= BYTES_OF_NOTHING)
                    || hearing.bytes >= BYTES_ENOUGH;
                if clear {
                    return Ok(hearing);
                }
            }
            Ok(Ok(_)) if !transport.reconnects() => return Ok(recogniser.hearing()),
            Ok(end) => {
                let error = end.err();
                return Err(TransportError::Other {
                    address: transport.address(),
                    cause: transport.explain_loss(error.as_ref()),
                });
            }
            Err(_) => {
                let hearing = recogniser.hearing();
                let clean = is_promising(&hearing)
                    && (hearing.candidates.is_empty() || explained(&hearing) >= CLEAR_SHARE);
                if clean && *at_once > 0 && until < start + LISTEN_ON {
                    *at_once -= 1;
                    until = start + LISTEN_ON;
                } else {
                    return Ok(hearing);
                }
            }
        }
    }
}
