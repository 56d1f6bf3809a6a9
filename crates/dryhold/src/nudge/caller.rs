//! Passes events on one after the other, on a thread of its own: whatever it calls may
//! be slow, hang or fail.

use std::{
    sync::mpsc::{Receiver, SyncSender, TrySendError, sync_channel},
    thread::JoinHandle,
};

use tokio::sync::mpsc::UnboundedSender;

use super::hook;
use crate::{
    outcome::Failure,
    watch::{Act, Snapshot, events::Event},
};

/// Events that wait for the one before them.
const WAITING: usize = 32;

/// An event to pass on.
#[derive(Debug)]
pub(super) struct Call {
    /// All of it, one line of JSON.
    pub(super) json: String,
    /// What happened, in words.
    pub(super) text: String,
    /// The job, if it has a name, else the run.
    pub(super) job: String,
    /// A person should look up.
    pub(super) grave: bool,
}

impl Call {
    fn of(now: &Snapshot, event: &Event) -> Option<Self> {
        let named = [&now.run.job, &now.run.name];
        let job = named.into_iter().find(|name| !name.is_empty());
        Some(Self {
            json: hook::told(now, event)?,
            text: event.text.clone(),
            job: job.cloned().unwrap_or_default(),
            grave: event.kind.is_grave(),
        })
    }
}

/// Passes events on.
pub(super) struct Caller {
    what: &'static str,
    queue: SyncSender<Call>,
    acts: UnboundedSender<Act>,
}

impl Caller {
    /// What passes events on to `one`, and the thread that ends when this is gone and
    /// all was passed on. `what` names it, with its option, where it fails.
    pub(super) fn start(
        what: &'static str,
        acts: UnboundedSender<Act>,
        one: impl FnMut(&Call) -> Result<(), String> + Send + 'static,
    ) -> Result<(Self, JoinHandle<()>), Failure> {
        let (queue, waiting) = sync_channel(WAITING);
        let tells = acts.clone();
        let thread = std::thread::Builder::new()
            .name("caller".into())
            .spawn(move || call_all(what, &waiting, &tells, one))
            .map_err(Failure::other)?;
        Ok((Self { what, queue, acts }, thread))
    }

    /// Never waits: what finds the queue full is left out, and said.
    pub(super) fn call(&self, now: &Snapshot, event: &Event) {
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
    mut one: impl FnMut(&Call) -> Result<(), String>,
) {
    let mut said = false;
    while let Ok(call) = waiting.recv() {
        let Err(why) = one(&call) else { continue };
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
        call_all("the command", &waiting, &acts, |_| {
            tried += 1;
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
