//! Modbus gauges: registers asked for and read, nothing ever written.
//!
//! Function 3 (read holding registers) and function 4 (read input registers)
//! of the Modbus application protocol, over RTU or TCP framing.

use std::{
    pin::Pin,
    task::{Context, Poll},
    time::{Duration, Instant},
};

use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio_modbus::{
    client::{Context as Client, Reader, rtu, tcp},
    slave::Slave,
};

use super::{
    awake::PAUSE,
    connection::{Closed, Pump},
    event::Event,
};
use crate::{
    dialect::RegisterRule,
    sample::{RejectReason, Rejected},
    transport::Link,
    understand::{Meaning, understand_block},
};

/// An answer that takes longer does not come.
const ANSWER_WITHIN: Duration = Duration::from_secs(1);

/// A link that can be shown, as the client asks for.
struct Shown(Box<dyn Link>);

impl std::fmt::Debug for Shown {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("link")
    }
}

impl AsyncRead for Shown {
    fn poll_read(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        buffer: &mut ReadBuf<'_>,
    ) -> Poll<std::io::Result<()>> {
        Pin::new(&mut self.0).poll_read(context, buffer)
    }
}

impl AsyncWrite for Shown {
    fn poll_write(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        bytes: &[u8],
    ) -> Poll<std::io::Result<usize>> {
        Pin::new(&mut self.0).poll_write(context, bytes)
    }

    fn poll_flush(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
    ) -> Poll<std::io::Result<()>> {
        Pin::new(&mut self.0).poll_flush(context)
    }

    fn poll_shutdown(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
    ) -> Poll<std::io::Result<()>> {
        Pin::new(&mut self.0).poll_shutdown(context)
    }
}

/// What came of one question.
enum Answer {
    Block(Vec<u8>),
    Refused(String),
    Nothing,
    Broken(std::io::Error),
}

/// Asks for the registers again and again until the connection ends.
pub(super) async fn attend(
    pump: &mut Pump,
    link: Box<dyn Link>,
    rule: &RegisterRule,
) -> Result<Option<std::io::Error>, Closed> {
    let device = Slave(rule.device);
    let mut client = if rule.tcp {
        tcp::attach_slave(Shown(link), device)
    } else {
        rtu::attach_slave(Shown(link), device)
    };
    let mut beat = tokio::time::interval(rule.every);
    beat.set_missed_tick_behavior(tokio::time::MissedTickBehavior::Delay);
    let mut last_answer = Instant::now();
    let mut last_beat = last_answer;
    let mut silence_told = false;
    let mut asked = 0_u64;
    loop {
        beat.tick().await;
        let begun = Instant::now();
        let late = begun.saturating_duration_since(last_beat) >= rule.every + ANSWER_WITHIN + PAUSE;
        asked += 1;
        let answer = ask(&mut client, rule).await;
        let arrived = Instant::now();
        let since = std::mem::replace(&mut last_beat, arrived);
        // the answer may have waited in the port for as long
        if late || arrived.saturating_duration_since(begun) >= ANSWER_WITHIN + PAUSE {
            let understood = match &answer {
                Answer::Block(block) => understand_block(pump.dialect.shape(), block).meaning,
                _ => Ok(Meaning::Busy),
            };
            let waited = match understood {
                Ok(Meaning::Reading(understood)) => vec![understood.reading.into_sample(asked)],
                _ => Vec::new(),
            };
            let until = arrived;
            pump.tell(Event::Paused {
                since,
                until,
                timed: Vec::new(),
                waited,
            })
            .await?;
            match answer {
                Answer::Broken(error) => return Ok(Some(error)),
                Answer::Block(_) | Answer::Refused(_) => last_answer = arrived,
                Answer::Nothing => {}
            }
            continue;
        }
        let event = match answer {
            Answer::Broken(error) => return Ok(Some(error)),
            Answer::Nothing => {
                let silent = last_answer.elapsed() >= pump.options.silent_after;
                if silent && !silence_told {
                    silence_told = true;
                    pump.tell(Event::Silent { since: last_answer }).await?;
                }
                if let Some(dead) = pump.half_open_since(last_answer) {
                    return Ok(Some(dead));
                }
                continue;
            }
            Answer::Block(block) => match understand_block(pump.dialect.shape(), &block).meaning {
                Ok(Meaning::OtherChannel) => continue,
                Ok(Meaning::Busy) => Event::Busy { arrived },
                Ok(Meaning::Reading(understood)) => Event::Reading {
                    arrived,
                    sample: understood.reading.into_sample(asked),
                },
                Err(why) => rejected(arrived, &block, asked, why),
            },
            Answer::Refused(what) => rejected(arrived, b"", asked, RejectReason::Refused { what }),
        };
        last_answer = arrived;
        silence_told = false;
        pump.answered();
        pump.tell(event).await?;
    }
}

fn rejected(arrived: Instant, block: &[u8], asked: u64, why: RejectReason) -> Event {
    Event::Rejected {
        arrived,
        rejected: Rejected::binary(block, asked, why),
    }
}

async fn ask(client: &mut Client, rule: &RegisterRule) -> Answer {
    let question = async {
        if rule.input {
            client.read_input_registers(rule.first, rule.count).await
        } else {
            client.read_holding_registers(rule.first, rule.count).await
        }
    };
    match tokio::time::timeout(ANSWER_WITHIN, question).await {
        Err(_) => Answer::Nothing,
        Ok(Ok(Ok(words))) => Answer::Block(words.into_iter().flat_map(u16::to_be_bytes).collect()),
        Ok(Ok(Err(exception))) => Answer::Refused(exception.to_string()),
        Ok(Err(tokio_modbus::Error::Protocol(error))) => Answer::Refused(error.to_string()),
        // bytes that are no Modbus, as a disturbed line gives them
        Ok(Err(tokio_modbus::Error::Transport(error)))
            if error.kind() == std::io::ErrorKind::InvalidData =>
        {
            Answer::Refused(error.to_string())
        }
        Ok(Err(tokio_modbus::Error::Transport(error))) => Answer::Broken(error),
    }
}
