//! Calls a person who does not look at the screen: the terminal's bell, a notification on
//! the desktop, a command of the person's own, a message broker in the
//! shop. The page's sound and vibration are the page's.
//!
//! Runs on a thread of its own over the live model, so that neither a command that hangs
//! nor one that cannot be started is noticed by the recording.

mod caller;
mod desktop;
mod hook;
mod mqtt;
#[cfg_attr(not(feature = "tls"), path = "nudge/no_trust.rs")]
mod trust;

use std::{
    thread::JoinHandle,
    time::{Duration, Instant},
};

use clap::Args;
use tokio::sync::mpsc::UnboundedSender;

use self::caller::{Caller, EndBy};
use crate::{
    outcome::Failure,
    output,
    watch::{Act, EventKind, Frame, Watch, events::Event},
};

/// When recording ends, so long the last events may take to be passed on.
const LAST_WORDS: Duration = Duration::from_secs(2);

/// A recorder shows something every second; twice so long without is stuck.
const QUIET: Duration = Duration::from_secs(4);

/// And so long what was begun may take to be ended.
const ENDING: Duration = Duration::from_secs(1);

/// How a person is called.
#[derive(Debug, Default, Args)]
pub(crate) struct NudgeArguments {
    /// Rings the terminal's bell when the target is reached, at a stall, at the end of a
    /// hold, and when gauge or disk need a hand
    #[arg(long)]
    pub(crate) bell: bool,
    /// Shows a notification on the desktop for each of these
    #[arg(long)]
    pub(crate) notify: bool,
    /// Runs this command for each of these, through the system's shell, with one JSON
    /// object on its standard input; at most 15 s each, with what it starts in the
    /// background, and never longer than the recording. The text of an event is in the
    /// object only: never part of the command
    #[arg(long, value_name = "COMMAND")]
    pub(crate) on_event: Option<String>,
    /// Tells an MQTT broker in the shop how the run stands: mqtt://HOST:PORT/TOPIC, or
    /// mqtt://USER@HOST:PORT/TOPIC. Nothing is encrypted; with mqtts:// everything is, and
    /// the broker has to show a certificate that this computer trusts
    #[cfg_attr(
        not(feature = "tls"),
        doc = "(mqtts:// not in this build, which has no TLS)"
    )]
    #[arg(long, value_name = "ADDRESS")]
    pub(crate) mqtt: Option<mqtt::Broker>,
    /// A file whose first line is the password of that user
    #[arg(long, value_name = "FILE", requires = "mqtt", value_parser = mqtt::password_in)]
    pub(crate) mqtt_password_file: Option<mqtt::Password>,
    /// For mqtts://: trusts the one certificate with this SHA-256 fingerprint, and no
    /// other; its name and its dates are not looked at. Read the fingerprint at the broker
    /// itself: openssl x509 -noout -fingerprint -sha256 -in FILE
    #[cfg_attr(not(feature = "tls"), doc = "(not in this build, which has no TLS)")]
    #[arg(
        long,
        value_name = "SHA256",
        requires = "mqtt",
        conflicts_with = "mqtt_ca_file"
    )]
    pub(crate) mqtt_fingerprint: Option<trust::Fingerprint>,
    /// For mqtts://: trusts certificates that the authority in this file (PEM) has signed
    /// for the broker's name or address, in place of those that this computer trusts
    #[cfg_attr(not(feature = "tls"), doc = "(not in this build, which has no TLS)")]
    #[arg(long, value_name = "FILE", requires = "mqtt", value_parser = trust::authorities_in)]
    pub(crate) mqtt_ca_file: Option<trust::Authorities>,
}

impl NudgeArguments {
    /// Looks at what goes together, before anything is recorded.
    pub(crate) fn check(&self) -> Result<(), Failure> {
        let asks_trust = self.mqtt_fingerprint.is_some() || self.mqtt_ca_file.is_some();
        match &self.mqtt {
            Some(broker) if asks_trust && !broker.encrypted() => Err(Failure::usage(
                "--mqtt-fingerprint and --mqtt-ca-file go with an address that begins with \
                 mqtts://, for nothing is encrypted with mqtt://",
            )),
            _ => Ok(()),
        }
    }
}

/// True for what is worth calling somebody.
pub(crate) const fn calls(kind: EventKind) -> bool {
    match kind {
        EventKind::TargetReached
        | EventKind::StallFound
        | EventKind::HoldPassed
        | EventKind::HoldPassedWithLeak
        | EventKind::HoldFailed
        | EventKind::HoldWillNotPass
        | EventKind::GaugeLost
        | EventKind::GaugeBack
        | EventKind::DiskTrouble
        | EventKind::DiskFine
        | EventKind::OrderBroken => true,
        EventKind::StallEnded
        | EventKind::HoldBegan
        | EventKind::Marked
        | EventKind::Withdrawn
        | EventKind::Told => false,
    }
}

/// Those who call, while a run is recorded.
#[derive(Debug, Default)]
pub(crate) struct Nudges {
    threads: Vec<JoinHandle<()>>,
    end: EndBy,
}

/// Starts calling for this run, where that is asked for.
pub(crate) fn start(
    arguments: &NudgeArguments,
    mut watch: impl FnMut() -> Watch,
    acts: &UnboundedSender<Act>,
) -> Result<Nudges, Failure> {
    let mut nudges = Nudges::default();
    let mut callers = Vec::new();
    let command = arguments.on_event.as_deref();
    let hook = command.map(|command| hook::start(command, acts.clone(), nudges.end.clone()));
    let desktop = arguments
        .notify
        .then(|| desktop::start(acts.clone(), nudges.end.clone()));
    for started in [hook, desktop].into_iter().flatten() {
        let (caller, thread) = started?;
        callers.push(caller);
        nudges.threads.push(thread);
    }
    if arguments.bell || !callers.is_empty() {
        nudges.run("nudge", follow(watch(), arguments.bell, callers))?;
    }
    if let Some(broker) = &arguments.mqtt {
        let password = arguments.mqtt_password_file.clone();
        let (one, signed) = (&arguments.mqtt_fingerprint, &arguments.mqtt_ca_file);
        let trust = trust::Trust::of(one.as_ref(), signed.as_ref());
        let publishing = mqtt::publish(broker.clone(), password, trust, watch(), acts.clone());
        nudges.run("mqtt", publishing)?;
    }
    Ok(nudges)
}

impl Nudges {
    fn run(
        &mut self,
        name: &str,
        what: impl Future<Output = ()> + Send + 'static,
    ) -> Result<(), Failure> {
        let runtime = crate::log::runtime()?;
        let thread = std::thread::Builder::new()
            .name(name.into())
            .spawn(move || {
                runtime.block_on(what);
                // a name that is still being looked up is not waited for
                runtime.shutdown_background();
            })
            .map_err(Failure::other)?;
        self.threads.push(thread);
        Ok(())
    }

    /// Lets them say their last words, but not for long: a command that still runs then is
    /// ended.
    pub(crate) fn finish(self) {
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
            output::ring();
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
        for event in news(&frame, &mut last) {
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

/// What is worth calling somebody and was not seen yet.
fn news<'a>(frame: &'a Frame, last: &mut u64) -> Vec<&'a Event> {
    let since = std::mem::replace(last, frame.events.last_number());
    let all = frame.events.all();
    all.filter(|e| e.number > since && calls(e.kind)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::watch::Events;
    use std::sync::Arc;

    #[test]
    fn each_event_calls_once_and_remarks_never() {
        let mut events = Events::default();
        events.add(1.0, EventKind::Marked, "Marked.");
        events.add(2.0, EventKind::TargetReached, "Reached.");
        let mut frame = Frame {
            events: Arc::new(events.clone()),
            ..Frame::default()
        };
        let mut last = 0;
        let kinds = |all: Vec<&Event>| all.iter().map(|e| e.kind).collect::<Vec<_>>();
        assert_eq!(kinds(news(&frame, &mut last)), [EventKind::TargetReached]);
        assert_eq!(kinds(news(&frame, &mut last)), []);
        events.add(3.0, EventKind::GaugeLost, "Lost.");
        frame.events = Arc::new(events);
        assert_eq!(kinds(news(&frame, &mut last)), [EventKind::GaugeLost]);
    }
}
