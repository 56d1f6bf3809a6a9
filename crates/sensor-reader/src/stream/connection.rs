//! What a connection to a gauge tells, whatever it speaks.

use std::{
    io::ErrorKind,
    sync::Arc,
    time::{Duration, Instant},
};

use tokio::sync::mpsc;

use super::{
    awake::Pause,
    event::{Event, Options},
};
use crate::{Clock, Dialect, sample::Sample, transport::Transport};

/// While the gauge is silent, the system is not asked more often than this.
const SHORTEST_LOOK: Duration = Duration::from_millis(50);

/// The wait before a silent network connection is made anew grows so far.
const LONGEST_RENEW: u32 = 8;

/// The consumer has gone.
pub(super) struct Closed;

/// A gauge that is read, and who is told.
pub(super) struct Pump {
    pub(super) transport: Arc<dyn Transport>,
    pub(super) dialect: Dialect,
    pub(super) options: Options,
    pub(super) events: mpsc::Sender<Event>,
    pub(super) connection: u32,
    /// Pause before the next attempt to connect.
    pub(super) pause: Duration,
    /// How long a network connection may bring nothing before it is made anew.
    pub(super) renew_after: Duration,
}

impl Pump {
    /// Tells a pause, and what waited in the port: with its time where the gauge says it.
    pub(super) async fn tell_pause(&self, pause: Pause, waited: Vec<Sample>) -> Result<(), Closed> {
        let has_time =
            |sample: &Sample| self.dialect.clock() == Clock::Device && sample.device_s.is_some();
        let (timed, waited) = waited.into_iter().partition(has_time);
        let Pause { since, until } = pause;
        self.tell(Event::Paused {
            since,
            until,
            timed,
            waited,
        })
        .await
    }

    pub(super) async fn tell_lost(&self, error: Option<std::io::Error>) -> Result<(), Closed> {
        self.tell(Event::Lost {
            at: Instant::now(),
            why: self.transport.explain_loss(error.as_ref()),
        })
        .await
    }

    /// The error to end a network connection with that has brought nothing for
    /// too long; the next one is given longer.
    pub(super) fn half_open_since(&mut self, last_byte: Instant) -> Option<std::io::Error> {
        let silent = last_byte.elapsed();
        if !self.transport.may_be_half_open() || silent < self.renew_after {
            return None;
        }
        self.renew_after = (2 * self.renew_after).min(LONGEST_RENEW * self.options.renew_after);
        let words = format!("not a byte came for {:.0} s", silent.as_secs_f64());
        Some(std::io::Error::new(ErrorKind::TimedOut, words))
    }

    /// When to look at a silence again.
    pub(super) fn next_look(&self, last_byte: Instant) -> Instant {
        let now = Instant::now();
        let usual = now + self.options.silent_after.max(SHORTEST_LOOK);
        if self.transport.may_be_half_open() {
            usual.min((last_byte + self.renew_after).max(now + SHORTEST_LOOK))
        } else {
            usual
        }
    }

    /// The gauge is there: the next loss is followed by a quick attempt again.
    pub(super) fn answered(&mut self) {
        self.pause = self.options.retry_first;
        self.renew_after = self.options.renew_after;
    }

    pub(super) async fn tell(&self, event: Event) -> Result<(), Closed> {
        self.events.send(event).await.map_err(|_| Closed)
    }
}
