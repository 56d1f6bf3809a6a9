//! Asking a gauge that does not speak by itself, from a list of queries that
//! only read.

use std::{sync::Arc, time::Duration};

use tokio::time::{Instant, timeout_at};

use super::{
    Conclusion,
    candidate::{ENOUGH_LINES, SHAPE_SHARE, is_for_pressure, is_plausible, with_port},
};
use crate::{
    Dialect, Event, GaugeStream, Options, Parity, PortSettings, Sample,
    dialect::Framing,
    transport::{Transport, TransportError},
};

/// An answer that takes longer does not come. One query goes out in this time.
const ANSWER_WITHIN: Duration = Duration::from_millis(450);
/// How long to go on when something answers that is not understood.
const ASK_AGAIN: Duration = Duration::from_millis(1_500);
/// How long to go on when an answer is understood.
const ASK_ON: Duration = Duration::from_secs(8);

/// Speeds to ask at, the most common first, bit/s.
const ASK_BAUDS: [u32; 7] = [9600, 19_200, 4800, 2400, 38_400, 57_600, 115_200];
/// Data bits and parity of gauges that answer in text, and of Modbus devices.
const LINE_FRAMES: [(u8, Parity); 2] = [(8, Parity::None), (7, Parity::Even)];
const MODBUS_FRAMES: [(u8, Parity); 2] = [(8, Parity::Even), (8, Parity::None)];

/// One query of the list, and how the port is set to send it.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Question {
    /// The dialect whose query it is.
    pub dialect: Dialect,
    /// How the port is set.
    pub port: PortSettings,
}

impl Question {
    /// What would be sent, for a person to read before it is.
    #[must_use]
    pub fn sends(&self) -> String {
        let shape = self.dialect.shape();
        if let Framing::Registers(rule) = &shape.framing {
            let (kind, function) = if rule.input {
                ("input", 4)
            } else {
                ("holding", 3)
            };
            let last = u32::from(rule.first) + u32::from(rule.count) - 1;
            return format!(
                "Modbus function {function}: read {kind} registers {} to {last} of device {}",
                rule.first, rule.device
            );
        }
        let Some(ask) = &shape.ask else {
            return "nothing".into();
        };
        let query = format!("\"{}\"", ask.send.escape_ascii());
        match &ask.acknowledge {
            Some(step) => format!(
                "{query}, and \"{}\" once it confirms",
                step.then_send.escape_ascii()
            ),
            None => query,
        }
    }
}

/// The whole list: the queries of the built-in dialects that can be sent on a
/// serial line, first each at the settings of its dialect, then all of them at
/// the usual speeds, or only at `baud` bit/s if given.
///
/// Not those of pressure transmitters: whoever has one names its dialect, and nobody who looks
/// for a vacuum gauge waits for them. Every one only reads. There is no way to add one of another kind: a gauge
/// with a query of its own needs a dialect file.
#[must_use]
pub fn questions(baud: Option<u32>) -> Vec<Question> {
    let tcp = |d: &Dialect| matches!(&d.shape().framing, Framing::Registers(r) if r.tcp);
    let dialects: Vec<Dialect> = Dialect::builtin_names()
        .into_iter()
        // every built-in dialect is loaded by a test
        .filter_map(|name| Dialect::builtin(name).ok())
        .filter(|dialect| dialect.asks() && !tcp(dialect) && !is_for_pressure(dialect))
        .collect();
    let own = dialects.iter().map(|d| (d, d.port()));
    let usual = ASK_BAUDS.into_iter().flat_map(|baud| {
        (0..LINE_FRAMES.len()).flat_map({
            let dialects = &dialects;
            move |i| dialects.iter().map(move |d| (d, usual_port(d, baud, i)))
        })
    });
    let mut list: Vec<Question> = Vec::new();
    for (dialect, port) in own.chain(usual) {
        let port = PortSettings {
            baud: baud.unwrap_or(port.baud),
            ..port
        };
        let known = |q: &Question| q.port == port && q.dialect.name() == dialect.name();
        if !list.iter().any(known) {
            list.push(Question {
                dialect: dialect.clone(),
                port,
            });
        }
    }
    list
}

fn usual_port(dialect: &Dialect, baud: u32, frame: usize) -> PortSettings {
    let frames = if dialect.is_modbus() {
        MODBUS_FRAMES
    } else {
        LINE_FRAMES
    };
    let (data_bits, parity) = frames[frame];
    PortSettings {
        baud,
        data_bits,
        parity,
        ..PortSettings::default()
    }
}

/// How long it takes to put so many questions if nothing answers.
#[must_use]
pub fn longest_asking(questions: usize) -> Duration {
    // opening and setting the port included
    (ANSWER_WITHIN + Duration::from_millis(80)) * u32::try_from(questions).unwrap_or(u32::MAX)
}

/// What came of a [`Question`].
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Answer {
    /// What was asked.
    pub question: Question,
    /// Answers understood.
    pub understood: u64,
    /// Answers not understood.
    pub rejected: u64,
    /// The last one understood.
    pub example: Option<Sample>,
    /// What to make of it.
    pub conclusion: Conclusion,
}

impl Answer {
    /// A dialect file to keep: the dialect with the port settings that worked.
    #[must_use]
    pub fn to_toml(&self) -> String {
        with_port(self.question.dialect.source(), self.question.port)
    }
}

/// Asks one question, once if nothing answers, for up to eight seconds if
/// something understandable does. This sends: say so first.
///
/// `at` gives the transport for the settings of the question.
///
/// # Errors
/// [`TransportError`] when the port cannot be opened or is pulled meanwhile.
pub async fn ask(
    at: impl Fn(PortSettings) -> Arc<dyn Transport>,
    question: &Question,
) -> Result<Answer, TransportError> {
    let transport = at(question.port);
    let address = transport.address();
    let mut stream = GaugeStream::over(transport, &question.dialect, Options::default()).await?;
    let start = Instant::now();
    let mut until = start + ANSWER_WITHIN;
    let mut implausible = 0;
    let mut answer = Answer {
        question: question.clone(),
        understood: 0,
        rejected: 0,
        example: None,
        conclusion: Conclusion::Silence,
    };
    while answer.understood <= ENOUGH_LINES {
        match timeout_at(until, stream.next()).await {
            Err(_) | Ok(None) => break,
            Ok(Some(Event::Reading { sample, .. })) => {
                answer.understood += 1;
                implausible += u64::from(!is_plausible(&sample, &question.dialect));
                answer.example = Some(sample);
            }
            Ok(Some(Event::Rejected { .. })) => answer.rejected += 1,
            Ok(Some(Event::Lost { why, .. } | Event::Waiting { why, .. })) => {
                return Err(TransportError::Other {
                    address,
                    cause: why,
                });
            }
            Ok(Some(Event::Busy { .. })) => {}
            Ok(Some(_)) => continue,
        }
        until = start
            + if answer.understood > 0 {
                ASK_ON
            } else {
                ASK_AGAIN
            };
    }
    answer.conclusion = conclude(&answer, implausible);
    Ok(answer)
}

fn conclude(answer: &Answer, implausible: u64) -> Conclusion {
    let all = answer.understood + answer.rejected;
    if all == 0 {
        return Conclusion::Silence;
    }
    if answer.understood == 0 {
        return Conclusion::NotUnderstood {
            why: "something answers, but not what this query is answered with".into(),
        };
    }
    let share = answer.understood as f64 / all as f64;
    let unsure = |why: String| Conclusion::Unsure { why };
    if answer.understood < ENOUGH_LINES || share < SHAPE_SHARE {
        return unsure(format!(
            "only {} of {all} answers are understood",
            answer.understood
        ));
    }
    if implausible > 0 {
        return unsure("the answers give pressures far above that of the air".into());
    }
    if answer.question.dialect.is_modbus() {
        // the CRC proves the protocol, not what the registers hold
        return unsure(
            "a Modbus device answers, but only its manual says what its registers hold: compare with its display".into(),
        );
    }
    Conclusion::Recognised
}
