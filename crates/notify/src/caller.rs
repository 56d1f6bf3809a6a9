//! Passes events on one after the other, on a thread of its own: whatever it calls may
//! be slow, hang or fail.

use std::{
    sync::{
        Arc, OnceLock,
        mpsc::{Receiver, RecvTimeoutError, SyncSender, TrySendError, sync_channel},
    },
    thread::JoinHandle,
    time::{Duration, Instant},
};

use tokio::sync::mpsc::UnboundedSender;
use watch::{Act, Event, Snapshot};

use crate::event;

/// Events that wait for the one before them.
const WAITING: usize = 32;

/// Between two looks at what is left running.
const LOOK: Duration = Duration::from_millis(500);

/// When the recording is over and nothing more is begun or waited for; shared.
#[derive(Debug, Clone, Default)]
pub(crate) struct EndBy(Arc<OnceLock<Instant>>);

impl EndBy {
    /// Sets it, once.
    pub(crate) fn set(&self, at: Instant) {
        let _ = self.0.set(at);
    }

    pub(crate) fn is_over(&self) -> bool {
        self.0.get().is_some_and(|at| *at <= Instant::now())
    }
}

/// An event to pass on.
#[derive(Debug)]
pub(crate) struct Call {
    /// All of it, one line of JSON.
    pub(crate) json: String,
    /// What happened, in words.
    pub(crate) text: String,
    /// The job, if it has a name, else the run.
    pub(crate) job: String,
    /// A person should look up.
    pub(crate) grave: bool,
}

impl Call {
    fn of(now: &Snapshot, event: &Event) -> Option<Self> {
        let named = [&now.run.job, &now.run.name];
        let job = named.into_iter().find(|name| !name.is_empty());
        Some(Self {
            json: event::json(now, event)?,
            text: event.text.clone(),
            job: job.cloned().unwrap_or_default(),
            grave: event.kind.is_grave(),
        })
    }
}

/// Passes events on.
pub(crate) struct Caller {
    what: &'static str,
    queue: SyncSender<Call>,
    acts: UnboundedSender<Act>,
}

impl Caller {
    /// What passes events on to `one`, and the thread that ends when this is gone and
    /// all was passed on, or the end has come. `what` names it, with its option, where it
    /// fails. Without an event `one` is called now and then, to look after what it began.
    pub(crate) fn start(
        what: &'static str,
        acts: UnboundedSender<Act>,
        end: EndBy,
        one: impl FnMut(Option<&Call>) -> Result<(), String> + Send + 'static,
    ) -> std::io::Result<(Self, JoinHandle<()>)> {
        let (queue, waiting) = sync_channel(WAITING);
        let tells = acts.clone();
        let thread = std::thread::Builder::new()
            .name("caller".into())
            .spawn(move || call_all(what, &waiting, &tells, &end, one))?;
        Ok((Self { what, queue, acts }, thread))
    }

    /// Never waits: what finds the queue full is left out, and said.
    pub(crate) fn call(&self, now: &Snapshot, event: &Event) {
        let Some(call) = Call::of(now, event) else {
            return;
        };
        if let Err(TrySendError::Full(_)) = self.queue.try_send(call) {
            let late = format!("{} is too slow; an event was left out", self.what);
            let _ = self.acts.send(Act::Tell(late));
        }
    }
}

fn call_all(
    what: &str,
    waiting: &Receiver<Call>,
    acts: &UnboundedSender<Act>,
    end: &EndBy,
    mut one: impl FnMut(Option<&Call>) -> Result<(), String>,
) {
    let mut said = false;
    while !end.is_over() {
        let call = match waiting.recv_timeout(LOOK) {
            Ok(call) => Some(call),
            Err(RecvTimeoutError::Timeout) => None,
            Err(RecvTimeoutError::Disconnected) => return,
        };
        let Err(why) = one(call.as_ref()) else {
            continue;
        };
        // once is enough: the recording goes on either way
        if !std::mem::replace(&mut said, true) {
            let text = format!("{what} {why}; the recording does not need it");
            let _ = acts.send(Act::Tell(text));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn failures_are_said_once() {
        let (acts, mut told) = tokio::sync::mpsc::unbounded_channel();
        let (queue, waiting) = sync_channel(4);
        for _ in 0..3 {
            let call = Call {
                json: "{}".into(),
                text: "Target reached.".into(),
                job: "7".into(),
                grave: false,
            };
            queue.send(call).expect("room");
        }
        drop(queue);
        let mut tried = 0;
        call_all("the command", &waiting, &acts, &EndBy::default(), |call| {
            tried += u32::from(call.is_some());
            Err("failed (3)".into())
        });
        drop(acts);
        assert_eq!(tried, 3);
        let Some(Act::Tell(text)) = told.blocking_recv() else {
            panic!("told")
        };
        assert!(text.starts_with("the command failed (3)"), "{text}");
        assert!(told.blocking_recv().is_none(), "once");
    }
}
