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
/// How long to go on when what comes is understood but too little yet.
const LISTEN_ON: Duration = Duration::from_secs(8);

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

/// Listens on a serial port at each speed in turn for about two seconds,
/// longer if that is too little to tell, and stops at the first speed at which
/// a dialect is recognised. If bytes come and no speed will do, the speeds are
/// gone through again with eight bits and a parity bit. Sends nothing.
/// `tell` is given each trial as soon as it is over.
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

/// As [`try_port`], over any transport that can be set like a serial port:
/// `at` gives the transport for the settings to try.
///
/// # Errors
/// As [`try_port`].
pub async fn try_with(
    at: impl Fn(PortSettings) -> Arc<dyn Transport>,
    bauds: &[u32],
    mut tell: impl FnMut(&Trial),
) -> Result<PortHearing, TransportError> {
    let mut found = PortHearing {
        trials: Vec::new(),
        best: 0,
    };
    // 7 bits and parity are as long as 8 bits without, and are told afterwards
    'tried: for parity in PARITIES {
        for &baud in bauds {
            let (heard, verdict) = trial(&at, baud, parity).await?;
            tell(&heard);
            found.trials.push(heard);
            if verdict == Verdict::Doubted {
                // half of it may get through with a parity bit that is wrong
                for other in PARITIES.into_iter().filter(|p| *p != parity) {
                    let (heard, _) = trial(&at, baud, other).await?;
                    tell(&heard);
                    found.trials.push(heard);
                }
            }
            if verdict != Verdict::Open {
                break 'tried;
            }
        }
        if found.trials.iter().all(|t| t.hearing.bytes == 0) {
            break;
        }
    }
    found.best = (0..found.trials.len())
        .rev()
        .max_by_key(|i| merit(&found.trials[*i].hearing))
        .unwrap_or(0);
    Ok(found)
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

/// Listens once.
async fn trial(
    at: &impl Fn(PortSettings) -> Arc<dyn Transport>,
    baud: u32,
    parity: Parity,
) -> Result<(Trial, Verdict), TransportError> {
    let port = PortSettings {
        baud,
        parity,
        ..PortSettings::default()
    };
    let hearing = listen(at(port)).await?;
    let share = hearing
        .candidates
        .first()
        .map_or(0.0, |c| c.explained_share);
    let verdict = match hearing.conclusion {
        Conclusion::Recognised if share >= CLEAR_SHARE => Verdict::Clear,
        Conclusion::Recognised => Verdict::Doubted,
        _ => Verdict::Open,
    };
    let seven = hearing.data_bits == 7;
    let trial = Trial {
        port: PortSettings {
            data_bits: hearing.data_bits,
            parity: if seven { hearing.parity } else { parity },
            ..port
        },
        hearing,
    };
    Ok((trial, verdict))
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
    let share = hearing
        .candidates
        .first()
        .map_or(0.0, |c| c.explained_share);
    let thousandths = |x: f64| (x * 1000.0) as u64;
    (
        rank,
        thousandths(share),
        thousandths(hearing.printable_share),
    )
}

async fn listen(transport: Arc<dyn Transport>) -> Result<Hearing, TransportError> {
    let mut link = transport.open().await?;
    let mut stale = [0_u8; 4096];
    let fresh_from = Instant::now() + STALE;
    // an end or an error shows again below
    while let Ok(Ok(1..)) = timeout_at(fresh_from, link.read(&mut stale)).await {}
    let mut recogniser = Recogniser::new();
    let mut chunk = [0_u8; 4096];
    let start = Instant::now();
    let mut until = start + LISTEN;
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
            Ok(end) => {
                let error = end.err();
                return Err(TransportError::Other {
                    address: transport.address(),
                    cause: transport.explain_loss(error.as_ref()),
                });
            }
            Err(_) => {
                let hearing = recogniser.hearing();
                let promising = matches!(hearing.conclusion, Conclusion::Unsure { .. })
                    || (hearing.bytes > 0
                        && hearing.candidates.is_empty()
                        && hearing.printable_share > 0.9);
                if promising && until < start + LISTEN_ON {
                    until = start + LISTEN_ON;
                } else {
                    return Ok(hearing);
                }
            }
        }
    }
}
