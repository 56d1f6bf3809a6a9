//! Where marks come from: typed, asked for by a view, or stamped by the simulated
//! technician of a rehearsal.

use std::{collections::VecDeque, sync::mpsc};

use rehearsal::TimedMark;
use tokio::sync::mpsc as channel;

use crate::watch::Act;

/// Where marks come from.
#[derive(Default)]
pub(crate) struct Marks<'a> {
    /// Asked for by a person.
    acts: Option<channel::UnboundedReceiver<Act>>,
    /// Stamped by the simulated technician, on the gauge's clock.
    timed: Option<(&'a mpsc::Receiver<TimedMark>, VecDeque<TimedMark>)>,
}

impl<'a> Marks<'a> {
    /// Those a person asks for.
    pub(crate) fn typed(acts: channel::UnboundedReceiver<Act>) -> Self {
        Self {
            acts: Some(acts),
            timed: None,
        }
    }

    /// Those of a rehearsal, and what a person asks for beside them.
    pub(crate) fn timed(
        marks: &'a mpsc::Receiver<TimedMark>,
        acts: Option<channel::UnboundedReceiver<Act>>,
    ) -> Self {
        Self {
            acts,
            timed: Some((marks, VecDeque::new())),
        }
    }

    /// The next thing asked for; never completes where nobody asks.
    pub(super) async fn asked(&mut self) -> Option<Act> {
        let Some(acts) = &mut self.acts else {
            return std::future::pending().await;
        };
        acts.recv().await
    }

    /// What was asked for and waits to be done.
    pub(super) fn already_asked(&mut self) -> Option<Act> {
        self.acts.as_mut()?.try_recv().ok()
    }

    /// Timed marks up to a moment on the gauge's clock.
    pub(super) fn due(&mut self, device_s: f64) -> Vec<TimedMark> {
        let Some((receiver, waiting)) = &mut self.timed else {
            return Vec::new();
        };
        waiting.extend(receiver.try_iter());
        let count = waiting.iter().take_while(|m| m.t_s <= device_s).count();
        waiting.drain(..count).collect()
    }
}
