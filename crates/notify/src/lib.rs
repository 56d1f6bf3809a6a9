//! Calls a person who does not look at the screen: the terminal's bell, a notification on
//! the desktop, a command of the person's own, a message broker in the shop. A consumer of
//! the live model in the crate `watch`.
//!
//! Runs on threads of its own, so that neither a command that hangs nor one that cannot be
//! started is noticed by the recording.
//!
//! # What it never does
//! Wait for anybody in the recording's place, or put the text of an event into a command.
//!
//! # Example
//! ```
//! use std::time::Instant;
//! use watch::{Feed, Follow};
//!
//! let mut feed = Feed::new(None, &vacuum::Criteria::default());
//! let (acts, _told) = tokio::sync::mpsc::unbounded_channel();
//! let means = notify::Means { command: Some("cat".into()), ..notify::Means::default() };
//! let notifiers = notify::start(means, || feed.watch(Follow::Calmly), &acts)?;
//! feed.end(Instant::now());
//! notifiers.finish();
//! # Ok::<(), std::io::Error>(())
//! ```

mod caller;
mod desktop;
mod event;
mod hook;
mod mqtt;
#[cfg_attr(not(feature = "tls"), path = "no_trust.rs")]
mod trust;

use std::{
    io,
    thread::JoinHandle,
    time::{Duration, Instant},
};

use tokio::sync::mpsc::UnboundedSender;
use watch::{Act, Event, EventKind, Frame, Watch};

use caller::{Caller, EndBy};

pub use mqtt::{Broker, Password, password_in};
#[cfg(not(feature = "tls"))]
pub use trust::NO_TLS;
pub use trust::{Authorities, Fingerprint, Trust, authorities_in};

/// When recording ends, so long the last events may take to be passed on.
const LAST_WORDS: Duration = Duration::from_secs(2);

/// A recorder shows something every second; twice so long without is stuck.
const QUIET: Duration = Duration::from_secs(4);

/// And so long what was begun may take to be ended.
const ENDING: Duration = Duration::from_secs(1);

/// By what a person is called.
#[derive(Default)]
pub struct Means {
    /// Ring the terminal's bell.
    pub bell: bool,
    /// Show a notification on the desktop.
    pub desktop: bool,
    /// Run this command through the system's shell, with the event as one line of JSON on
    /// its standard input.
    pub command: Option<String>,
    /// Tell a message broker how the run stands.
    pub broker: Option<(Broker, Option<Password>, Trust)>,
}

/// What calls a person, while a run is recorded.
#[derive(Debug, Default)]
pub struct Notifiers {
    threads: Vec<JoinHandle<()>>,
    end: EndBy,
}

/// Starts calling for this run by the means that are asked for. What cannot be passed on
/// comes back through `acts`, to be shown.
///
/// # Errors
/// When a thread cannot be started.
pub fn start(
    means: Means,
    mut watch: impl FnMut() -> Watch,
    acts: &UnboundedSender<Act>,
) -> io::Result<Notifiers> {
    let mut notifiers = Notifiers::default();
    let mut callers = Vec::new();
    let command = means.command.as_deref();
    let hook = command.map(|command| hook::start(command, acts.clone(), notifiers.end.clone()));
    let desktop = means
        .desktop
        .then(|| desktop::start(acts.clone(), notifiers.end.clone()));
    for started in [hook, desktop].into_iter().flatten() {
        let (caller, thread) = started?;
        callers.push(caller);
        notifiers.threads.push(thread);
    }
    if means.bell || !callers.is_empty() {
        notifiers.run("nudge", follow(watch(), means.bell, callers))?;
    }
    if let Some((broker, password, trust)) = means.broker {
        let publishing = mqtt::publish(broker, password, trust, watch(), acts.clone());
        notifiers.run("mqtt", publishing)?;
    }
    Ok(notifiers)
}

impl Notifiers {
    fn run(
        &mut self,
        name: &str,
        what: impl Future<Output = ()> + Send + 'static,
    ) -> io::Result<()> {
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build()?;
        let thread = std::thread::Builder::new()
            .name(name.into())
            .spawn(move || {
                runtime.block_on(what);
                // a name that is still being looked up is not waited for
                runtime.shutdown_background();
            })?;
        self.threads.push(thread);
        Ok(())
    }

    /// Lets them say their last words, but not for long: a command that still runs then is
    /// ended.
    pub fn finish(self) {
        let end = Instant::now() + LAST_WORDS;
        self.end.set(end);
        let end = end + ENDING;
        while self.threads.iter().any(|t| !t.is_finished()) && Instant::now() < end {
            std::thread::sleep(Duration::from_millis(10));
        }
    }
}

async fn follow(mut watch: Watch, bell: bool, callers: Vec<Caller>) {
    // what happened before, in a run that goes on, is no news
    let mut last = watch.borrow_and_update().events.last_number();
    let call = |frame: &Frame, event: &Event| {
        if bell {
            console::ring();
        }
        for caller in &callers {
            caller.call(&frame.now, event);
        }
    };
    let mut quiet = 0;
    loop {
        let went = match tokio::time::timeout(QUIET, watch.changed()).await {
            Ok(changed) => changed.is_err(),
            Err(_) => {
                quiet += 1;
                // the first may be the whole program that was stopped
                let frame = watch.borrow().clone();
                if quiet == 2 && frame.now.version > 0 {
                    call(&frame, &stands_still(&frame));
                }
                continue;
            }
        };
        quiet = 0;
        let frame = watch.borrow_and_update().clone();
        for event in event::news(&frame, &mut last) {
            call(&frame, event);
        }
        let over = frame.now.version > 0 && !frame.now.run.recording;
        if went || over {
            return;
        }
    }
}

/// What a recorder that is stuck cannot say itself.
fn stands_still(frame: &Frame) -> Event {
    Event {
        number: frame.events.last_number(),
        at_s: frame.now.elapsed_s,
        kind: EventKind::DiskTrouble,
        text: "The recording stands still: does the disk answer?".to_owned(),
    }
}
