//! Gauges that speak only when asked: what to send and when, without I/O.

use std::time::{Duration, Instant};

/// The query of a dialect, as written under `[poll]`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Ask {
    /// Asks for a reading.
    pub(crate) send: Vec<u8>,
    /// From one query to the next.
    pub(crate) every: Duration,
    /// For gauges that first confirm the query and then want to be told to go on.
    pub(crate) acknowledge: Option<Acknowledge>,
    /// The adapter gives back what is sent.
    pub(crate) echo: bool,
}

/// The second step of a query.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Acknowledge {
    /// What the gauge confirms with.
    pub(crate) expect: Vec<u8>,
    /// What makes it send the reading.
    pub(crate) then_send: Vec<u8>,
}

impl Ask {
    /// Takes what is no reading off the front of a line: the echo of what was
    /// sent, and the confirmation. Nothing is taken off its end, where a bare
    /// check byte may look like a blank.
    pub(crate) fn strip<'l>(&self, mut line: &'l [u8]) -> &'l [u8] {
        let told = |line: &'l [u8], words: &[u8]| {
            let words = words.trim_ascii();
            let rest = line.trim_ascii_start().strip_prefix(words);
            rest.filter(|_| !words.is_empty())
                .map(<[u8]>::trim_ascii_start)
        };
        if self.echo
            && let Some(rest) = told(line, &self.send)
        {
            line = rest;
        }
        if let Some(step) = &self.acknowledge {
            if let Some(rest) = told(line, &step.expect) {
                line = rest;
            }
            if self.echo
                && let Some(rest) = told(line, &step.then_send)
            {
                line = rest;
            }
        }
        line
    }

    /// True if these bytes are nothing but a confirmation or an echo.
    pub(crate) fn is_echo_or_ack(&self, bytes: &[u8]) -> bool {
        let step = self.acknowledge.as_ref();
        let echoed = |sent: &[u8]| self.echo && bytes == sent;
        echoed(&self.send) || step.is_some_and(|s| bytes == s.expect || echoed(&s.then_send))
    }
}

/// Keeps the time of the queries and sees to the second step.
///
/// Pure: the caller sends what it says to send.
#[derive(Debug)]
pub(crate) struct Asker {
    ask: Ask,
    due: Instant,
    /// Bytes heard since the last query, while a confirmation is waited for.
    waiting: Option<Vec<u8>>,
}

impl Asker {
    /// Asks for the first time at `now`.
    pub(crate) fn new(ask: &Ask, now: Instant) -> Self {
        Self {
            ask: ask.clone(),
            due: now,
            waiting: None,
        }
    }

    /// When the next query is due.
    pub(crate) fn due(&self) -> Instant {
        self.due
    }

    /// The query to send now; the next one is due a period later, and those
    /// that were missed are left out.
    pub(crate) fn query(&mut self, now: Instant) -> &[u8] {
        let mut next = self.due + self.ask.every;
        if next <= now {
            next = now + self.ask.every;
        }
        self.due = next;
        self.waiting = self.ask.acknowledge.as_ref().map(|_| Vec::new());
        &self.ask.send
    }

    /// Takes what the gauge said; gives what must be sent because of it.
    pub(crate) fn heard(&mut self, bytes: &[u8]) -> Option<&[u8]> {
        let step = self.ask.acknowledge.as_ref()?;
        let waiting = self.waiting.as_mut()?;
        waiting.extend_from_slice(bytes);
        let confirmed = waiting.windows(step.expect.len()).any(|w| w == step.expect);
        // rubbish before the confirmation must not pile up
        let surplus = waiting.len().saturating_sub(step.expect.len());
        waiting.drain(..surplus);
        if confirmed {
            self.waiting = None;
            return Some(&step.then_send);
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn two_steps() -> Ask {
        Ask {
            send: b"PR\r".to_vec(),
            every: Duration::from_millis(100),
            acknowledge: Some(Acknowledge {
                expect: b"\x06\r\n".to_vec(),
                then_send: b"\x05".to_vec(),
            }),
            echo: true,
        }
    }

    #[test]
    fn the_second_step_comes_once_per_query() {
        let start = Instant::now();
        let mut asker = Asker::new(&two_steps(), start);
        assert_eq!(asker.heard(b"\x06\r\n"), None, "nothing was asked yet");
        assert_eq!(asker.query(start), b"PR\r");
        assert_eq!(asker.heard(b"rubbish\x06"), None);
        assert_eq!(asker.heard(b"\r"), None);
        assert_eq!(asker.heard(b"\n"), Some(&b"\x05"[..]));
        assert_eq!(asker.heard(b"\x06\r\n"), None, "once is enough");
        asker.query(start);
        assert_eq!(asker.heard(b"\x06\r\n"), Some(&b"\x05"[..]));
    }

    #[test]
    fn queries_keep_their_beat_and_missed_ones_are_left_out() {
        let start = Instant::now();
        let ms = |n| start + Duration::from_millis(n);
        let mut asker = Asker::new(&two_steps(), start);
        asker.query(ms(3));
        assert_eq!(asker.due(), ms(100));
        asker.query(ms(130));
        assert_eq!(asker.due(), ms(200));
        asker.query(ms(950));
        assert_eq!(asker.due(), ms(1050));
    }

    #[test]
    fn courtesies_are_taken_off_the_line() {
        let ask = two_steps();
        assert_eq!(ask.strip(b"\x06"), b"");
        assert_eq!(ask.strip(b"PR"), b"");
        assert_eq!(ask.strip(b"\x06\x05512.3"), b"512.3");
        assert_eq!(ask.strip(b"512.3"), b"512.3");
        assert!(ask.is_echo_or_ack(b"\x06\r\n") && ask.is_echo_or_ack(b"PR\r"));
        assert!(!ask.is_echo_or_ack(b"512\r\n"));
    }
}
