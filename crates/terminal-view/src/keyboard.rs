//! The keyboard of a view, and the signals that concern its terminal.

use std::{
    io::Read,
    sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel},
    time::Duration,
};

use console::await_foreground;
#[cfg(unix)]
use console::in_foreground;
#[cfg(unix)]
use tokio::sync::mpsc::UnboundedSender;
#[cfg(unix)]
use watch::Act;
#[cfg(unix)]
use wording::{Voice, say};

use crate::keys::{Key, Keys};

/// What reaches a view from outside the recording.
#[derive(Debug)]
pub(crate) enum Input {
    /// A key.
    Key(Key),
    /// The status was asked for, on a keyboard that sends lines.
    Ask,
    /// The terminal is gone.
    Lost,
    /// The program was stopped and goes on.
    #[cfg_attr(
        not(unix),
        expect(dead_code, reason = "no other system stops programs so")
    )]
    Show,
}

/// After this an escape is the key itself.
const ESCAPE: Duration = Duration::from_millis(40);

/// Reads keys until the keyboard ends.
pub(crate) fn start() -> (Sender<Input>, Receiver<Input>) {
    // the keyboard is read past the library's own buffer
    start_on(std::io::stdin(), await_foreground, None)
}

/// Reads the keys of a terminal somewhere else; the end of them is told as its loss.
pub(crate) fn start_far(keyboard: impl Read + Send + 'static) -> (Sender<Input>, Receiver<Input>) {
    start_on(keyboard, || {}, Some(Input::Lost))
}

fn start_on(
    mut keyboard: impl Read + Send + 'static,
    first: impl FnOnce() + Send + 'static,
    at_the_end: Option<Input>,
) -> (Sender<Input>, Receiver<Input>) {
    let (send, receive) = channel();
    let (pieces, came) = channel::<Vec<u8>>();
    std::thread::spawn(move || {
        let mut bytes = [0; 256];
        first();
        while let Ok(count) = keyboard.read(&mut bytes) {
            if count == 0 || pieces.send(bytes[..count].to_vec()).is_err() {
                return;
            }
        }
    });
    let inputs = send.clone();
    std::thread::spawn(move || {
        let mut keys = Keys::default();
        loop {
            let patience = if keys.is_waiting() {
                ESCAPE
            } else {
                Duration::MAX
            };
            let found = match came.recv_timeout(patience) {
                Ok(bytes) => keys.take(&bytes),
                Err(RecvTimeoutError::Timeout) => keys.pause().into_iter().collect(),
                Err(RecvTimeoutError::Disconnected) => {
                    at_the_end.map(|input| inputs.send(input));
                    return;
                }
            };
            if found
                .into_iter()
                .any(|k| inputs.send(Input::Key(k)).is_err())
            {
                return;
            }
        }
    });
    (send, receive)
}

/// Looks after hang-up, suspending and going on, for as long as the recording runs.
/// A hang-up counts where somebody sits at a terminal: then the view goes, nothing else.
#[cfg(unix)]
pub(crate) async fn follow_signals(
    view: Option<Sender<Input>>,
    interactive: bool,
    asks: UnboundedSender<Act>,
    voice: Voice,
) {
    use rustix::process::Signal;
    use tokio::signal::unix::{SignalKind, signal};
    let kind = |s: Signal| SignalKind::from_raw(s.as_raw());
    let (Ok(mut hang_up), Ok(mut suspend), Ok(mut go_on)) = (
        signal(SignalKind::hangup()),
        signal(kind(Signal::TSTP)),
        signal(kind(Signal::CONT)),
    ) else {
        return;
    };
    let tell = |input| view.as_ref().is_some_and(|v| v.send(input).is_ok());
    let mut gone = false;
    loop {
        tokio::select! {
            Some(()) = hang_up.recv(), if interactive => {
                gone = true;
                tell(Input::Lost);
            }
            Some(()) = suspend.recv() => {
                let _ = asks.send(Act::Tell(say!(voice, "screen-not-suspended")));
            }
            // stopped by what cannot be caught: the shell had the terminal meanwhile
            Some(()) = go_on.recv() => {
                if !gone && in_foreground() {
                    tell(Input::Show);
                }
            }
            else => return,
        }
    }
}
