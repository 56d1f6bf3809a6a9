//! The full-screen view of a recording, and the spoken one.
//!
//! # What it may not do
//! Touch the recording. It runs on threads of its own, gets copies through a channel
//! that never waits for it, and asks for marks through another. A terminal that is
//! stuck, goes away, or a view that panics costs the view, nothing else; the calm line
//! takes over. The terminal is given back in every case.
//!
//! # How it is built
//! [`draw`] is a pure function of a frame, the keyboard's state ([`app`]) and a size;
//! [`panels`] says the words, [`plot`] and [`digits`] draw, [`theme`] knows what the
//! terminal can show. [`keys`] understands the keyboard; [`terminal`] takes hold of the
//! terminal. [`look_back`] shows finished runs with the same picture.

pub(crate) mod app;
pub(crate) mod attach;
pub(crate) mod choice;
pub(crate) mod code;
mod digits;
pub(crate) mod draw;
pub(crate) mod keyboard;
pub(crate) mod keys;
pub(crate) mod look_back;
mod panels;
mod plot;
pub(crate) mod spoken;
pub(crate) mod terminal;
mod text;
pub(crate) mod theme;

#[cfg(test)]
mod tests;

use std::{
    io,
    panic::{AssertUnwindSafe, catch_unwind},
    sync::mpsc::{Receiver, RecvTimeoutError},
    time::{Duration, Instant},
};

use tokio::sync::mpsc::UnboundedSender;

use self::{
    app::App, code::PageCode, draw::Picture, keyboard::Input, keys::Key, terminal::Screen,
    theme::Theme,
};
use crate::{
    log::act_of,
    watch::{Act, Watch},
};

/// Name of the thread that draws.
const THREAD: &str = "view";
/// How often the channel is looked at.
const LOOK: Duration = Duration::from_millis(40);
/// Redrawn no more often than this.
const REDRAW: Duration = Duration::from_millis(100);

/// Shows a recording until it ends. The view takes `watch` with it when it goes.
pub(crate) fn start(
    watch: Watch,
    inputs: Receiver<Input>,
    acts: UnboundedSender<Act>,
    page: Option<PageCode>,
) {
    terminal::give_back_on_panic(THREAD);
    let started = std::thread::Builder::new()
        .name(THREAD.into())
        .spawn(move || {
            let why = trouble(|| show(watch, &inputs, &acts, page));
            terminal::leave();
            if let Some(why) = why {
                crate::outcome::complain(format!(
                    "the view is off ({why}); the recording goes on, stop it with Ctrl-C"
                ));
            }
            type_lines(&inputs, &acts);
        });
    if let Err(e) = started {
        crate::outcome::complain(format!("the view cannot start: {e}"));
    }
}

/// Shows, and gives what ended it but the end of the recording; a panic among that.
fn trouble(show: impl FnOnce() -> io::Result<()>) -> Option<String> {
    match catch_unwind(AssertUnwindSafe(show)) {
        Ok(Ok(())) => None,
        Ok(Err(e)) => Some(e.to_string()),
        Err(_) => Some("a fault in the view".to_owned()),
    }
}

/// Without a view, keys are lines again.
fn type_lines(inputs: &Receiver<Input>, acts: &UnboundedSender<Act>) {
    let mut line = String::new();
    while let Ok(input) = inputs.recv() {
        match input {
            Input::Key(Key::Char(c)) => line.push(c),
            Input::Key(Key::Enter) => {
                if let Some(act) = act_of(std::mem::take(&mut line).trim())
                    && acts.send(act).is_err()
                {
                    return;
                }
            }
            _ => {}
        }
    }
}

fn show(
    mut watch: Watch,
    inputs: &Receiver<Input>,
    acts: &UnboundedSender<Act>,
    page: Option<PageCode>,
) -> io::Result<()> {
    let theme = Theme::of(|name| std::env::var(name).ok());
    let mut screen = Screen::take()?;
    let mut app = App::default();
    app.page = page;
    let (mut changed, mut drawn) = (true, None::<Instant>);
    let mut came = Instant::now();
    loop {
        // what is owed to the eye is drawn as soon as it may be
        let rest = drawn.map(|at| REDRAW.saturating_sub(at.elapsed()));
        let wait = rest.filter(|_| changed).map_or(LOOK, |rest| rest.min(LOOK));
        match inputs.recv_timeout(wait) {
            Ok(Input::Key(key)) => {
                changed = true;
                if let Some(act) = app.key(key, Instant::now()) {
                    // the session may have ended: then there is nothing to ask
                    let _ = acts.send(act);
                }
            }
            Ok(Input::Lost) | Err(RecvTimeoutError::Disconnected) => {
                screen.lose();
                return Ok(());
            }
            Ok(Input::Show) => {
                changed = true;
                screen.show()?;
            }
            Ok(Input::Ask) | Err(RecvTimeoutError::Timeout) => {}
        }
        match watch.has_changed() {
            Ok(true) => {
                changed = true;
                came = Instant::now();
            }
            Ok(false) => {}
            // nobody records any more
            Err(_) => return Ok(()),
        }
        // a recorder that is stuck is shown to be, for as long as it is
        changed |= came.elapsed() >= draw::STANDS_STILL;
        changed |= app.expire(Instant::now()) | screen.follow()?;
        let soon = drawn.is_some_and(|at| at.elapsed() < REDRAW);
        if !changed || soon {
            continue;
        }
        let frame = watch.borrow_and_update().clone();
        if frame.now.version == 0 {
            continue;
        }
        if !frame.now.run.recording {
            return Ok(());
        }
        let picture = Picture {
            frame: &frame,
            app: &app,
            theme,
            since_s: came.elapsed().as_secs_f64(),
            scrub: None,
        };
        screen.draw(|area, buffer| draw::draw(&picture, area, buffer))?;
        (changed, drawn) = (false, Some(Instant::now()));
    }
}
