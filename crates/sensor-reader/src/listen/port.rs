use std::{path::Path, time::Duration};

use tokio::{
    io::AsyncReadExt,
    time::{Instant, timeout_at},
};

use super::{Conclusion, Hearing, Recogniser};
use crate::{
    PortSettings,
    transport::{SerialTransport, Transport, TransportError},
};

/// Speeds to try, the most common first, bit/s.
pub const COMMON_BAUDS: [u32; 7] = [9600, 115_200, 19_200, 38_400, 57_600, 4800, 2400];

/// How long to listen at one speed.
const LISTEN: Duration = Duration::from_secs(2);
/// How long to go on when what comes is understood but too little yet.
const LISTEN_ON: Duration = Duration::from_secs(8);

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
/// a dialect is recognised. Sends nothing.
///
/// # Errors
/// [`TransportError`] when the port cannot be opened or is pulled meanwhile.
pub async fn try_port(path: &Path, bauds: &[u32]) -> Result<PortHearing, TransportError> {
    let mut found = PortHearing {
        trials: Vec::new(),
        best: 0,
    };
    for &baud in bauds {
        let port = PortSettings {
            baud,
            ..PortSettings::default()
        };
        let hearing = listen(path, port).await?;
        let recognised = hearing.conclusion == Conclusion::Recognised;
        found.trials.push(Trial {
            port: PortSettings {
                data_bits: hearing.data_bits,
                parity: hearing.parity,
                ..port
            },
            hearing,
        });
        if recognised {
            break;
        }
    }
    found.best = (0..found.trials.len())
        .rev()
        .max_by_key(|i| merit(&found.trials[*i].hearing))
        .unwrap_or(0);
    Ok(found)
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
    let share = hearing.candidates.first().map_or(0.0, |c| c.share);
    let thousandths = |x: f64| (x * 1000.0) as u64;
    (
        rank,
        thousandths(share),
        thousandths(hearing.printable_share),
    )
}

async fn listen(path: &Path, port: PortSettings) -> Result<Hearing, TransportError> {
    let transport = SerialTransport::new(path, port);
    let mut link = transport.open().await?;
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
                let clear = hearing.conclusion == Conclusion::Recognised
                    && hearing
                        .candidates
                        .first()
                        .is_some_and(|c| c.understood >= 8);
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
