//! A finished run on the whole screen, forwards and backwards.

use std::{
    io,
    path::PathBuf,
    sync::{
        Arc, Mutex, PoisonError,
        atomic::{AtomicBool, Ordering},
    },
    time::{Duration, Instant},
};

use analyser::{Analyser, Settings};
use report::Trace;
use vacuum::{Entry, Job};
use watch::{Curve, Feed, Frame};

use crate::{
    app::{App, Mode},
    draw,
    keyboard::{self, Input},
    keys::Key,
    picture::{Picture, Scrub},
    terminal::{self, Screen, Surface},
    theme::Theme,
};

/// Moments of a run that can be looked at.
const MOMENTS: usize = 400;
/// A leap is so many of them.
const LEAP: usize = MOMENTS / 10;
/// Playing goes on by one in so long.
const PLAY: Duration = Duration::from_millis(100);

/// A run that is over.
pub struct FinishedRun<'a> {
    /// Where it lies.
    pub path: PathBuf,
    /// When it began, RFC 3339 in UTC.
    pub started_utc: Option<String>,
    /// Its job, where it has one.
    pub job: Option<&'a Job>,
    /// What it is judged by.
    pub settings: Settings,
    /// Its readings for drawing.
    pub trace: &'a Trace,
    /// Rows of its record.
    pub rows: u64,
}

/// Shows a finished run until `q`, `Esc` or Ctrl-C. `entries` is the whole record once
/// more: it is judged anew on a thread beside, so that every moment shows what was known
/// then.
///
/// # Errors
/// When the terminal cannot be drawn on; what `entries` gives as an error ends the look
/// where it came and is handed back when the screen is left.
pub fn show<E: Send + 'static>(
    run: &FinishedRun<'_>,
    entries: impl Iterator<Item = Result<Entry, E>> + Send + 'static,
) -> io::Result<Result<(), E>> {
    let moments = Moments::default();
    let gone = Arc::new(AtomicBool::new(false));
    let mut feed = Feed::new(run.job, &run.settings.criteria);
    feed.name(&run.path, run.started_utc.clone());
    feed.look_back(run.rows);
    let walk = Walk {
        feed,
        analyser: Analyser::new(run.settings.clone()),
        curve: Arc::new(Curve::of(run.trace, 1)),
        moments: moments.clone(),
        gone: Arc::clone(&gone),
    };
    let walking = std::thread::spawn(move || walk.go(entries));
    let shown = look(run.trace, &moments);
    gone.store(true, Ordering::SeqCst);
    let walked = walking.join().unwrap_or(Ok(()));
    shown.map(|()| walked)
}

/// The moments gone through so far.
type Moments = Arc<Mutex<Vec<Frame>>>;

/// Goes through the record once, as it was recorded.
struct Walk {
    feed: Feed,
    analyser: Analyser,
    curve: Arc<Curve>,
    moments: Moments,
    gone: Arc<AtomicBool>,
}

impl Walk {
    fn go<E>(mut self, entries: impl Iterator<Item = Result<Entry, E>>) -> Result<(), E> {
        let (from_s, to_s) = self.curve.extent_s;
        let step_s = (to_s - from_s) / MOMENTS as f64;
        let mut count = 0;
        for entry in entries {
            let entry = entry?;
            if self.gone.load(Ordering::SeqCst) {
                return Ok(());
            }
            // several at once where nothing was recorded for long
            while count < MOMENTS && entry.elapsed_s() > from_s + step_s * (count + 1) as f64 {
                self.take_frame();
                count += 1;
            }
            self.analyser.push(&entry);
            self.feed.entry(&entry);
        }
        while count <= MOMENTS {
            self.take_frame();
            count += 1;
        }
        Ok(())
    }

    fn take_frame(&mut self) {
        self.analyser.tidy();
        self.feed.look(&self.analyser.live(), &[]);
        let mut frame = self.feed.frame(Instant::now());
        frame.history = Arc::clone(&self.curve);
        let moments = self.moments.lock();
        moments.unwrap_or_else(PoisonError::into_inner).push(frame);
    }
}

/// Which moment is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Moment {
    at: usize,
    /// At the end of what has been gone through, wherever that is.
    follows: bool,
    playing: bool,
}

impl Moment {
    /// Moves; `last` is the last moment there is. False for a key that means nothing.
    fn key(&mut self, key: Key, last: usize) -> bool {
        let (at, playing) = match key {
            Key::Left => (self.at.saturating_sub(1), false),
            Key::Right => (self.at + 1, false),
            Key::PageUp => (self.at.saturating_sub(LEAP), false),
            Key::PageDown => (self.at + LEAP, false),
            Key::Home => (0, false),
            Key::End => (last, false),
            // from the end it plays from the start
            Key::Char(' ') if !self.playing && self.at >= last => (0, true),
            Key::Char(' ') => (self.at, !self.playing),
            _ => return false,
        };
        self.at = at.min(last);
        self.playing = playing;
        self.follows = key == Key::End;
        true
    }

    /// Time goes by.
    fn tick(&mut self, last: usize) {
        if self.follows {
            self.at = last;
        }
        if self.playing {
            self.at = (self.at + 1).min(last);
            self.playing = self.at < MOMENTS;
        }
    }
}

fn look(trace: &Trace, moments: &Moments) -> io::Result<()> {
    let theme = Theme::of(|name| std::env::var(name).ok());
    terminal::give_back_on_panic("");
    let mut screen = Screen::take()?;
    let (_sender, inputs) = keyboard::start();
    let mut app = App::default();
    let mut moment = Moment {
        at: 0,
        follows: true,
        playing: false,
    };
    let mut shown = None;
    loop {
        let input = inputs.recv_timeout(PLAY);
        let (frame, last) = {
            let moments = moments.lock().unwrap_or_else(PoisonError::into_inner);
            let last = moments.len().saturating_sub(1);
            if let Ok(Input::Key(key)) = input {
                match (&app.mode, key) {
                    (Mode::Info, Key::Interrupt) | (Mode::Watching, Key::Interrupt) => break,
                    (Mode::Info, _) => app.mode = Mode::Watching,
                    (_, Key::Char('q') | Key::Escape) => break,
                    (_, Key::Char('i' | '?')) => app.mode = Mode::Info,
                    (_, key) => {
                        moment.key(key, last);
                    }
                }
            } else {
                moment.tick(last);
            }
            (moments.get(moment.at).cloned(), last)
        };
        let look = (moment, last, app.mode.clone());
        let changed = screen.follow()? || shown.as_ref() != Some(&look);
        let Some(frame) = frame.filter(|_| changed) else {
            continue;
        };
        let (from_s, to_s) = trace.extent_s().unwrap_or_default();
        let picture = Picture {
            frame: &frame,
            app: &app,
            theme,
            since_s: 0.0,
            scrub: Some(Scrub {
                at_s: from_s + (to_s - from_s) * moment.at as f64 / MOMENTS as f64,
                ready: last as f64 / MOMENTS as f64,
                playing: moment.playing,
            }),
        };
        screen.draw(|area, buffer| draw::draw(&picture, area, buffer))?;
        shown = Some(look);
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_move_through_the_run_and_stay_inside() {
        let mut moment = Moment {
            at: 0,
            follows: true,
            playing: false,
        };
        moment.tick(MOMENTS);
        assert_eq!(moment.at, MOMENTS, "a finished run begins at its end");
        for (key, at) in [
            (Key::Right, MOMENTS),
            (Key::Left, MOMENTS - 1),
            (Key::PageUp, MOMENTS - 1 - LEAP),
            (Key::Home, 0),
            (Key::Left, 0),
            (Key::PageDown, LEAP),
            (Key::End, MOMENTS),
        ] {
            assert!(moment.key(key, MOMENTS));
            assert_eq!(moment.at, at, "{key:?}");
        }
        assert!(
            !moment.key(Key::Char('s'), MOMENTS),
            "nothing is stamped here"
        );
    }

    #[test]
    fn it_plays_from_the_start_to_the_end_and_stops() {
        let mut moment = Moment {
            at: MOMENTS,
            follows: false,
            playing: false,
        };
        moment.key(Key::Char(' '), MOMENTS);
        assert_eq!((moment.at, moment.playing), (0, true));
        for _ in 0..MOMENTS + 5 {
            moment.tick(MOMENTS);
        }
        assert_eq!((moment.at, moment.playing), (MOMENTS, false));
    }
}
