//! The full-screen view of a recording, on a thread of its own.

use std::{
    io,
    panic::{AssertUnwindSafe, catch_unwind},
    sync::mpsc::{Receiver, RecvTimeoutError},
    time::{Duration, Instant},
};

use tokio::sync::mpsc::UnboundedSender;
use watch::{Act, Watch};

use crate::{
    app::App,
    code::PageCode,
    draw,
    keyboard::Input,
    keys::Key,
    line,
    picture::{Picture, STANDS_STILL},
    terminal::{self, Screen, Surface},
    theme::Theme,
    typed_lines::{Reply, TypedLines},
    up::Up,
};

/// Name of the thread that draws.
const THREAD: &str = "view";
/// How often the channel is looked at.
const LOOK: Duration = Duration::from_millis(40);
/// Redrawn no more often than this.
const REDRAW: Duration = Duration::from_millis(100);

/// Shows a recording until it ends. Where the view goes before, the line takes over.
pub(crate) fn start(
    watch: Watch,
    inputs: Receiver<Input>,
    acts: UnboundedSender<Act>,
    page: Option<PageCode>,
    up: Up,
) {
    terminal::give_back_on_panic(THREAD);
    let runtime = tokio::runtime::Handle::current();
    let started = std::thread::Builder::new()
        .name(THREAD.into())
        .spawn(move || {
            let why = trouble(|| {
                let mut app = App::default();
                app.page = page;
                let theme = Theme::of(|name| std::env::var(name).ok());
                let mut screen = Screen::take()?;
                show(watch.clone(), &inputs, &acts, (&mut screen, theme, app))
            });
            terminal::leave();
            if let Some(why) = why {
                console::complain(format!(
                    "the view is off ({why}); the recording goes on, stop it with Ctrl-C"
                ));
            }
            // a recording that is over is over for the line too
            runtime.spawn(line::show(watch.clone(), None, up));
            type_lines(&watch, &inputs, &acts);
        });
    if let Err(e) = started {
        console::complain(format!("the view cannot start: {e}"));
    }
}

/// Shows, and gives what ended it but the end of the recording; a panic among that.
pub(crate) fn trouble(show: impl FnOnce() -> io::Result<()>) -> Option<String> {
    match catch_unwind(AssertUnwindSafe(show)) {
        Ok(Ok(())) => None,
        Ok(Err(e)) => Some(e.to_string()),
        Err(_) => Some("a fault in the view".to_owned()),
    }
}

/// Without a view, keys are lines again.
pub(crate) fn type_lines(watch: &Watch, inputs: &Receiver<Input>, acts: &UnboundedSender<Act>) {
    let mut line = String::new();
    let mut typed = TypedLines::default();
    while let Ok(input) = inputs.recv() {
        match input {
            Input::Key(Key::Char(c)) => line.push(c),
            Input::Key(Key::Enter) => {
                let now = watch.borrow().now.clone();
                let Reply { act, words } = typed.line(std::mem::take(&mut line).trim(), &now);
                if let Some(words) = words {
                    console::say(words);
                }
                if act.is_some_and(|act| acts.send(act).is_err()) {
                    return;
                }
            }
            _ => {}
        }
    }
}

pub(crate) fn show(
    mut watch: Watch,
    inputs: &Receiver<Input>,
    acts: &UnboundedSender<Act>,
    (screen, theme, mut app): (&mut impl Surface, Theme, App),
) -> io::Result<()> {
    let (mut changed, mut drawn) = (true, None::<Instant>);
    let mut came = Instant::now();
    loop {
        // what is owed to the eye is drawn as soon as it may be
        let rest = drawn.map(|at| REDRAW.saturating_sub(at.elapsed()));
        let wait = rest.filter(|_| changed).map_or(LOOK, |rest| rest.min(LOOK));
        match inputs.recv_timeout(wait) {
            Ok(Input::Key(key)) => {
                changed = true;
                if app.leaves(key) {
                    return Ok(());
                }
                let now = watch.borrow().now.clone();
                if let Some(act) = app.key(key, &now, Instant::now()) {
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
        changed |= came.elapsed() >= STANDS_STILL;
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
        app.voice = frame.now.voice;
        app.stamps.clone_from(&frame.now.stamps);
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
